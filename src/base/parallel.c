/* SPDX-License-Identifier: MIT */
/* Two halves of a work at the same time: a thread for the second half, joined before the call returns. */
#include "parallel.h"

#include <pthread.h>
#include <sched.h>
#include <stddef.h>

static _Thread_local bool single;
static bool several_processors;
static pthread_once_t counted = PTHREAD_ONCE_INIT;

static void count_processors(void) {
  cpu_set_t ours;
  several_processors = sched_getaffinity(0, sizeof ours, &ours) == 0 && CPU_COUNT(&ours) > 1;
}

bool base_can_do_both(void) {
  if (single) return false;
  pthread_once(&counted, count_processors);
  return several_processors;
}

bool bc_stay_single(bool stay) {
  const bool before = single;
  single = stay;
  return before;
}

typedef struct second_half {
  void (*work)(void *cargo, int half);
  void *cargo;
} second_half;

static void *do_second(void *argument) {
  const second_half *second = argument;
  single = true;
  second->work(second->cargo, 1);
  return NULL;
}

void base_do_both(void (*work)(void *cargo, int half), void *cargo) {
  second_half second = {work, cargo};
  pthread_t thread;
  const bool together = base_can_do_both() && pthread_create(&thread, NULL, do_second, &second) == 0;
  const bool before = bc_stay_single(true);
  work(cargo, 0);
  if (!together) work(cargo, 1);
  bc_stay_single(before);
  if (together) pthread_join(thread, NULL);
}
