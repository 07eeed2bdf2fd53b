/* SPDX-License-Identifier: MIT */
/* Many makers' sheets as one job, and its two kinds of items: feedback_job.c. */
#ifndef BC_SHEETS_FEEDBACK_JOB_H
#define BC_SHEETS_FEEDBACK_JOB_H

#include "feedback_internal.h"

#include <jansson.h>

typedef enum feedback_outcome { ITEM_WAITS = 0, ITEM_READ, ITEM_KNOWN, ITEM_FAILED } feedback_outcome;

typedef struct feedback_item {
  const char *path, *mask; /* borrowed from a maker */
} feedback_item;

typedef struct feedback_job {
  bc_context *context;
  const bc_feedback_options *options;
  bc_store *store, *now; /* now: one of our own, which goes at the end */
  char *cache_path;
  char *languages[2];
  size_t language_count;
  feedback_cloths cloths[2]; /* in each language: a colour's name is a word */
  feedback_maker *makers;    /* looked through, not read */
  char **trouble;            /* a maker's folder that could not be used: why */
  size_t count;
  feedback_item *items;
  size_t item_count;
  bc_feedback_progress progress;
  double started, photos_started;
  size_t fresh; /* photos that were read, for the estimate */
} feedback_job;

/* Reads a photo into the cache. */
feedback_outcome feedback_job_read(feedback_job *all, feedback_cache *cache, size_t i);
/* Makes a maker's sheet from what the cache has. */
feedback_outcome feedback_job_make(feedback_job *all, feedback_cache *cache, size_t i);
/* All that was made last time; `told` is the maker's JSON of then. */
bool feedback_job_is_there(const feedback_job *all, const feedback_maker *maker, const json_t *told);

#endif
