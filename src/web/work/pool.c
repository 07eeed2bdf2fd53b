/* SPDX-License-Identifier: MIT */
/* Workers in waiting. A decoder is replaced after each photo, a desk after many orders or a failure. */
#include "work.h"

#include <signal.h>
#include <string.h>

#define DESK_ORDERS 400 /* then a fresh one: whatever a library hoards is given back */
#define ANSWER_MOST ((uint64_t)256 << 20)

void web_pool_start(web_pool *pool, web_nursery *nursery, web_worker_kind kind, unsigned count, unsigned patient_most) {
  *pool = (web_pool){.nursery = nursery,
                     .kind = kind,
                     .count = count < WEB_WORKERS ? count : WEB_WORKERS,
                     .patient_most = patient_most};
  pthread_mutex_init(&pool->lock, NULL);
  pthread_cond_init(&pool->freed, NULL);
  for (unsigned i = 0; i < pool->count; i++) web_nursery_fork(nursery, kind, &pool->worker[i]);
}

void web_pool_stop(web_pool *pool) {
  for (unsigned i = 0; i < pool->count; i++) web_worker_end(&pool->worker[i]);
  pthread_cond_destroy(&pool->freed);
  pthread_mutex_destroy(&pool->lock);
}

static unsigned take_place(web_pool *pool, bool urgent) {
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

static void give_place_back(web_pool *pool, unsigned place) {
  pthread_mutex_lock(&pool->lock);
  pool->busy[place] = false;
  pool->patient_now -= pool->patient[place];
  pthread_cond_broadcast(&pool->freed);
  pthread_mutex_unlock(&pool->lock);
}

static web_outcome have_done(web_worker *worker, const web_message *in, web_message *out, int64_t deadline) {
  int done = web_wire_send(worker->socket, in, deadline);
  if (done == 1) done = web_wire_receive(worker->socket, out, deadline, ANSWER_MOST);
  return done == 1 ? WEB_DONE : done == 0 ? WEB_LATE : WEB_DIED;
}

/* A worker that waited may have ended (its life's processor time, the kernel short of memory): the order
 * has not been looked at then, so a fresh one is asked once. */
static bool ready(web_pool *pool, web_worker *worker) {
  if (worker->pidfd >= 0 && web_worker_lives(worker)) return true;
  web_worker_end(worker);
  return web_nursery_fork(pool->nursery, pool->kind, worker);
}

web_outcome web_pool_run(web_pool *pool, const web_message *in, web_message *out, int deadline_ms, bool urgent) {
  *out = (web_message){0};
  const unsigned place = take_place(pool, urgent);
  web_worker *worker = &pool->worker[place];
  web_outcome outcome = WEB_NO_WORKER;
  if (ready(pool, worker)) {
    outcome = have_done(worker, in, out, web_now_ms() + deadline_ms);
    worker->done++;
  }
  if (outcome != WEB_DONE || pool->kind == WEB_DECODER || worker->done >= DESK_ORDERS) {
    web_worker_end(worker);
    web_nursery_fork(pool->nursery, pool->kind, worker); /* so that the next finds one waiting */
  }
  give_place_back(pool, place);
  return outcome;
}
