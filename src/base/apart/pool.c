/* SPDX-License-Identifier: MIT */
/* Workers in waiting. A decoder is replaced after each photo, a planner after many orders or a failure. */
#include "apart.h"

#include <signal.h>
#include <string.h>
#include <time.h>

#define PLANNER_ORDERS 400 /* then a fresh one: whatever a library hoards is given back */
#define TEND_MS 400
#define ANSWER_MOST ((uint64_t)256 << 20)

/* A worker that waits may die: the kernel is short of memory, or somebody ends it. Nobody should have to ask first. */
static void replace_dead(apart_pool *pool) {
  for (unsigned i = 0; i < pool->count; i++) {
    if (pool->busy[i] || (pool->worker[i].pidfd >= 0 && apart_worker_lives(&pool->worker[i]))) continue;
    apart_worker_end(&pool->worker[i]);
    apart_nursery_fork(pool->nursery, pool->kind, &pool->worker[i]);
  }
}

static void *tend(void *argument) {
  apart_pool *pool = argument;
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

unsigned apart_pool_alive(apart_pool *pool) {
  unsigned alive = 0;
  pthread_mutex_lock(&pool->lock);
  for (unsigned i = 0; i < pool->count; i++)
    alive += pool->busy[i] || (pool->worker[i].pidfd >= 0 && apart_worker_lives(&pool->worker[i]));
  pthread_mutex_unlock(&pool->lock);
  return alive;
}

void apart_pool_start(apart_pool *pool, apart_nursery *nursery, apart_worker_kind kind, unsigned count,
                      unsigned patient_most) {
  *pool = (apart_pool){.nursery = nursery,
                       .kind = kind,
                       .count = count < APART_WORKERS ? count : APART_WORKERS,
                       .patient_most = patient_most};
  pthread_mutex_init(&pool->lock, NULL);
  pthread_cond_init(&pool->freed, NULL);
  for (unsigned i = 0; i < pool->count; i++) apart_nursery_fork(nursery, kind, &pool->worker[i]);
  pool->tended = pthread_create(&pool->tender, NULL, tend, pool) == 0;
}

void apart_pool_stop(apart_pool *pool) {
  pthread_mutex_lock(&pool->lock);
  pool->ending = true;
  pthread_cond_broadcast(&pool->freed);
  pthread_mutex_unlock(&pool->lock);
  if (pool->tended) pthread_join(pool->tender, NULL);
  for (unsigned i = 0; i < pool->count; i++) apart_worker_end(&pool->worker[i]);
  pthread_cond_destroy(&pool->freed);
  pthread_mutex_destroy(&pool->lock);
}

static unsigned take_place(apart_pool *pool, bool urgent) {
  pthread_mutex_lock(&pool->lock);
  pool->urgent_waiting += urgent;
  for (;;) {
    unsigned place = 0;
    while (place < pool->count && pool->busy[place]) place++;
    if (place < pool->count && (urgent || (pool->urgent_waiting == 0 && pool->patient_now < pool->patient_most))) {
      pool->busy[place] = true;
      pool->patient[place] = !urgent;
      pool->patient_now += !urgent;
      pool->urgent_waiting -= urgent;
      pthread_mutex_unlock(&pool->lock);
      return place;
    }
    pthread_cond_wait(&pool->freed, &pool->lock);
  }
}

static void give_place_back(apart_pool *pool, unsigned place) {
  pthread_mutex_lock(&pool->lock);
  pool->busy[place] = false;
  pool->patient_now -= pool->patient[place];
  pthread_cond_broadcast(&pool->freed);
  pthread_mutex_unlock(&pool->lock);
}

static apart_outcome have_done(apart_worker *worker, const apart_message *in, apart_message *out, int64_t deadline,
                               uint64_t most) {
  int done = apart_wire_send(worker->socket, in, deadline);
  if (done == 1) done = apart_wire_receive(worker->socket, out, deadline, most);
  if (done != 1) return done == 0 ? APART_LATE : APART_DIED;
  return out->kind == APART_KIND_NO_SANDBOX ? APART_NO_SANDBOX : APART_DONE;
}

apart_outcome apart_do_once(apart_nursery *nursery, const apart_message *in, apart_message *out, int deadline_ms,
                            uint64_t most) {
  apart_worker worker;
  *out = (apart_message){0};
  if (!apart_nursery_fork(nursery, APART_DECODER, &worker)) return APART_NO_WORKER;
  const apart_outcome outcome = have_done(&worker, in, out, apart_now_ms() + deadline_ms, most);
  apart_worker_end(&worker);
  return outcome;
}

/* A worker that waited may have ended (its life's processor time, the kernel short of memory): the order
 * has not been looked at then, so a fresh one is asked once. */
static bool ready(apart_pool *pool, apart_worker *worker) {
  if (worker->pidfd >= 0 && apart_worker_lives(worker)) return true;
  apart_worker_end(worker);
  return apart_nursery_fork(pool->nursery, pool->kind, worker);
}

apart_outcome apart_pool_run(apart_pool *pool, const apart_message *in, apart_message *out, int deadline_ms,
                             bool urgent) {
  *out = (apart_message){0};
  const unsigned place = take_place(pool, urgent);
  apart_worker *worker = &pool->worker[place];
  apart_outcome outcome = APART_NO_WORKER;
  if (ready(pool, worker)) {
    outcome = have_done(worker, in, out, apart_now_ms() + deadline_ms, ANSWER_MOST);
    worker->done++;
  }
  if (outcome != APART_DONE || pool->kind == APART_DECODER || worker->done >= PLANNER_ORDERS) {
    apart_worker_end(worker);
    apart_nursery_fork(pool->nursery, pool->kind, worker); /* so that the next finds one waiting */
  }
  give_place_back(pool, place);
  return outcome;
}
