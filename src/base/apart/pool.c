/* SPDX-License-Identifier: MIT */
/* Workers in waiting. A decoder is replaced after each photo, a planner after many orders or a failure. */
#include "apart.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define PLANNER_ORDERS 400 /* then a fresh one: whatever a library hoards is given back */
#define TEND_MS 400
#define ANSWER_MOST ((uint64_t)256 << 20)

/* A worker that waits may die: the kernel is short of memory, or somebody ends it. Nobody should have to ask first. */
static void replace_dead(bc_apart_pool *pool) {
  for (unsigned i = 0; i < pool->count; i++) {
    if (pool->busy[i] || (pool->worker[i].pidfd >= 0 && apart_worker_lives(&pool->worker[i]))) continue;
    apart_worker_end(&pool->worker[i]);
    apart_nursery_fork(pool->nursery, pool->kind, &pool->worker[i]);
  }
}

static void *tend(void *argument) {
  bc_apart_pool *pool = argument;
  pthread_mutex_lock(&pool->lock);
  while (!pool->ending) {
    replace_dead(pool);
    struct timespec until;
    clock_gettime(CLOCK_REALTIME, &until);
    until.tv_nsec += TEND_MS * 1000000L;
    until.tv_sec += until.tv_nsec / 1000000000L;
    until.tv_nsec %= 1000000000L;
    pthread_cond_timedwait(&pool->freed, &pool->lock, &until);
  }
  pthread_mutex_unlock(&pool->lock);
  return NULL;
}

unsigned bc_apart_pool_alive(bc_apart_pool *pool) {
  unsigned alive = 0;
  pthread_mutex_lock(&pool->lock);
  for (unsigned i = 0; i < pool->count; i++)
    alive += pool->busy[i] || (pool->worker[i].pidfd >= 0 && apart_worker_lives(&pool->worker[i]));
  pthread_mutex_unlock(&pool->lock);
  return alive;
}

unsigned bc_apart_pool_wanted(const bc_apart_pool *pool) {
  return pool->count;
}

bool bc_apart_pool_start(bc_apart_pool **out, bc_apart_nursery *nursery, bc_apart_kind kind, unsigned count,
                         unsigned patient_most) {
  bc_apart_pool *pool = *out = calloc(1, sizeof *pool);
  if (!pool) return false;
  pool->nursery = nursery;
  pool->kind = kind;
  pool->count = count < BC_APART_WORKERS ? count : BC_APART_WORKERS;
  pool->patient_most = patient_most;
  pthread_mutex_init(&pool->lock, NULL);
  pthread_cond_init(&pool->freed, NULL);
  for (unsigned i = 0; i < pool->count; i++) apart_nursery_fork(nursery, kind, &pool->worker[i]);
  pool->tended = pthread_create(&pool->tender, NULL, tend, pool) == 0;
  return true;
}

void bc_apart_pool_stop(bc_apart_pool *pool) {
  if (!pool) return;
  pthread_mutex_lock(&pool->lock);
  pool->ending = true;
  pthread_cond_broadcast(&pool->freed);
  pthread_mutex_unlock(&pool->lock);
  if (pool->tended) pthread_join(pool->tender, NULL);
  for (unsigned i = 0; i < pool->count; i++) apart_worker_end(&pool->worker[i]);
  pthread_cond_destroy(&pool->freed);
  pthread_mutex_destroy(&pool->lock);
  free(pool);
}

struct apart_waiter {
  struct apart_waiter *next;
  uint64_t who;
  bool urgent;
};

static unsigned at_work_for(const bc_apart_pool *pool, uint64_t who) {
  unsigned count = 0;
  for (unsigned i = 0; i < pool->count; i++) count += pool->busy[i] && pool->who[i] == who;
  return count;
}

/* Whose turn it is once a worker is free; NULL: nobody's, since work that can wait never has all places. */
static const struct apart_waiter *next_of(const bc_apart_pool *pool) {
  const struct apart_waiter *best = NULL;
  for (const struct apart_waiter *one = pool->waiting; one; one = one->next)
    if (!best || (one->urgent && !best->urgent) ||
        (one->urgent == best->urgent && at_work_for(pool, one->who) < at_work_for(pool, best->who)))
      best = one;
  return best && (best->urgent || pool->patient_now < pool->patient_most) ? best : NULL;
}

static unsigned free_place(const bc_apart_pool *pool) {
  unsigned place = 0;
  while (place < pool->count && pool->busy[place]) place++;
  return place;
}

static void stand_in_line(bc_apart_pool *pool, struct apart_waiter *me) {
  struct apart_waiter **end = &pool->waiting;
  while (*end) end = &(*end)->next;
  *end = me;
}

static void leave_line(bc_apart_pool *pool, const struct apart_waiter *me) {
  struct apart_waiter **at = &pool->waiting;
  while (*at != me) at = &(*at)->next;
  *at = me->next;
}

static unsigned take_place(bc_apart_pool *pool, bool urgent, uint64_t who) {
  struct apart_waiter me = {.who = who, .urgent = urgent};
  pthread_mutex_lock(&pool->lock);
  stand_in_line(pool, &me);
  while (free_place(pool) == pool->count || next_of(pool) != &me) pthread_cond_wait(&pool->freed, &pool->lock);
  const unsigned place = free_place(pool);
  leave_line(pool, &me);
  pool->busy[place] = true;
  pool->patient[place] = !urgent;
  pool->patient_now += !urgent;
  pool->who[place] = who;
  if (pool->waiting) pthread_cond_broadcast(&pool->freed); /* another place may be free for another */
  pthread_mutex_unlock(&pool->lock);
  return place;
}

static void give_place_back(bc_apart_pool *pool, unsigned place) {
  pthread_mutex_lock(&pool->lock);
  pool->busy[place] = false;
  pool->patient_now -= pool->patient[place];
  pthread_cond_broadcast(&pool->freed);
  pthread_mutex_unlock(&pool->lock);
}

static bc_apart_outcome have_done(apart_worker *worker, const bc_apart_message *in, bc_apart_message *out,
                                  int64_t deadline, uint64_t most) {
  int done = apart_wire_send(worker->socket, in, deadline);
  if (done == 1) done = apart_wire_receive(worker->socket, out, deadline, most);
  if (done != 1) return done == 0 ? BC_APART_LATE : BC_APART_DIED;
  return out->kind == APART_KIND_NO_SANDBOX ? BC_APART_NO_SANDBOX : BC_APART_DONE;
}

bc_apart_outcome apart_do_once(bc_apart_nursery *nursery, bc_apart_kind kind, const bc_apart_message *in,
                               bc_apart_message *out, int deadline_ms, uint64_t most) {
  apart_worker worker;
  *out = (bc_apart_message){0};
  if (!apart_nursery_fork(nursery, kind, &worker)) return BC_APART_NO_WORKER;
  const bc_apart_outcome outcome = have_done(&worker, in, out, bc_now_ms() + deadline_ms, most);
  apart_worker_end(&worker);
  return outcome;
}

/* A worker that waited may have ended (its life's processor time, the kernel short of memory): the order
 * has not been looked at then, so a fresh one is asked once. */
static bool ready(bc_apart_pool *pool, apart_worker *worker) {
  if (worker->pidfd >= 0 && apart_worker_lives(worker)) return true;
  apart_worker_end(worker);
  return apart_nursery_fork(pool->nursery, pool->kind, worker);
}

bc_apart_outcome bc_apart_pool_run(bc_apart_pool *pool, const bc_apart_message *in, bc_apart_message *out,
                                   int deadline_ms, bool urgent, uint64_t who) {
  *out = (bc_apart_message){0};
  const unsigned place = take_place(pool, urgent, who);
  apart_worker *worker = &pool->worker[place];
  bc_apart_outcome outcome = BC_APART_NO_WORKER;
  if (ready(pool, worker)) {
    outcome = have_done(worker, in, out, bc_now_ms() + deadline_ms, ANSWER_MOST);
    worker->done++;
  }
  if (outcome != BC_APART_DONE || pool->kind == BC_APART_DECODER || worker->done >= PLANNER_ORDERS) {
    apart_worker_end(worker);
    apart_nursery_fork(pool->nursery, pool->kind, worker); /* so that the next finds one waiting */
  }
  give_place_back(pool, place);
  return outcome;
}
