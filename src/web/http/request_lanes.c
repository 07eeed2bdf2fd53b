/* SPDX-License-Identifier: MIT */
/* Whole requests wait in lanes for the threads of each. Whoever sends a hundred at once does not keep the others
 * waiting: the next is always one of those for whom the fewest threads are at work, and what comes by one link never
 * has more than half of a lane. */
#include "request_lanes.h"

#include <limits.h>
#include <stdlib.h>

#define THREADS_MOST 8

struct web_lane {
  pthread_mutex_t lock;
  pthread_cond_t filled;
  web_request *first; /* in the order in which they came */
  bool closed;
  pthread_t thread[THREADS_MOST];
  const web_request *at_work[THREADS_MOST];
  unsigned count, working;
  void (*answer)(web_request *r);
};

static unsigned at_work_for(const web_lane *lane, uint64_t who) {
  unsigned count = 0;
  for (unsigned i = 0; i < lane->count; i++) count += lane->at_work[i] && lane->at_work[i]->who == who;
  return count;
}

/* Where the next stands in the line; NULL: nobody may go on. What waits at the end is still answered. */
static web_request **next_of(web_lane *lane) {
  web_request **best = NULL;
  unsigned fewest = UINT_MAX;
  for (web_request **at = &lane->first; *at; at = &(*at)->next) {
    const unsigned count = at_work_for(lane, (*at)->who);
    const bool spent = *(*at)->link && !lane->closed && count >= (lane->count + 1) / 2;
    if (!spent && count < fewest) best = at, fewest = count;
  }
  return best;
}

static web_request *take_next(web_lane *lane, unsigned place) {
  web_request **at = next_of(lane);
  if (!at) return NULL;
  web_request *r = *at;
  *at = r->next;
  lane->at_work[place] = r;
  return r;
}

/* The lock is held before and after. */
static void have_answered(web_lane *lane, web_request *r, unsigned place) {
  pthread_mutex_unlock(&lane->lock);
  lane->answer(r);
  pthread_mutex_lock(&lane->lock);
  lane->at_work[place] = NULL;
  if (lane->first) pthread_cond_broadcast(&lane->filled); /* somebody's share may be free again */
  pthread_mutex_unlock(&lane->lock);
  r->ready = true;
  MHD_resume_connection(r->connection); /* from here on the request may be gone */
  pthread_mutex_lock(&lane->lock);
}

static void *work_lane(void *data) {
  web_lane *lane = data;
  pthread_mutex_lock(&lane->lock);
  const unsigned place = lane->working++;
  for (;;) {
    web_request *r = take_next(lane, place);
    if (r)
      have_answered(lane, r, place);
    else if (lane->closed)
      break;
    else
      pthread_cond_wait(&lane->filled, &lane->lock);
  }
  pthread_mutex_unlock(&lane->lock);
  return NULL;
}

web_lane *web_lane_open(unsigned count, void (*answer)(web_request *r)) {
  web_lane *lane = bc_allocate(1, sizeof *lane);
  if (!lane) return NULL;
  lane->answer = answer;
  pthread_mutex_init(&lane->lock, NULL);
  pthread_cond_init(&lane->filled, NULL);
  pthread_mutex_lock(&lane->lock);
  while (lane->count < count && lane->count < THREADS_MOST &&
         pthread_create(&lane->thread[lane->count], NULL, work_lane, lane) == 0)
    lane->count++;
  pthread_mutex_unlock(&lane->lock);
  return lane;
}

bool web_lane_put(web_lane *lane, web_request *r) {
  r->next = NULL;
  pthread_mutex_lock(&lane->lock);
  const bool closed = lane->closed;
  web_request **end = &lane->first;
  while (*end) end = &(*end)->next;
  if (!closed) *end = r;
  pthread_cond_signal(&lane->filled);
  pthread_mutex_unlock(&lane->lock);
  return !closed;
}

void web_lane_close(web_lane *lane) {
  if (!lane) return;
  pthread_mutex_lock(&lane->lock);
  lane->closed = true;
  pthread_cond_broadcast(&lane->filled);
  pthread_mutex_unlock(&lane->lock);
  for (unsigned i = 0; i < lane->count; i++) pthread_join(lane->thread[i], NULL);
  free(lane);
}
