/* SPDX-License-Identifier: MIT */
/* What the store saves: every photo of a folder opened by computing, through an empty store, and through a full one;
 * and the wall of its plan drawn from computed studies, from kept ones, and from pixels in memory, which is painting
 * alone. Interleaved, best of three, one core. */
#include "bench.h"

#include <backcloth/drawing.h>
#include <backcloth/store.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { ROUNDS = 3 };
typedef struct times {
  double computed, first, second, drawn, painted;
} times;

static void keep_least(double *least, double taken) {
  if (taken < *least) *least = taken;
}

static bool open_all(bc_context *context, const bc_plan *plan, bc_study **studies) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    studies[i] = NULL;
    if (plan->pieces[i].photo && bc_study_open(&studies[i], context, plan->pieces[i].photo, NULL) != BC_OK)
      return false;
    if (studies[i] && bc_drawing_keep_cut(context, studies[i]) != BC_OK) return false;
  }
  return true;
}

static void free_all(const bc_plan *plan, bc_study **studies) {
  for (size_t i = 0; i < plan->piece_count; i++) bc_study_free(studies[i]);
}

static bool draw(bc_context *context, const bc_plan *plan, bc_study **studies) {
  return bc_drawing_elevation(context, plan, studies, NULL, NULL, "/tmp/backcloth-bench.png") == BC_OK;
}

/* Opens all, keeps the time in `opened`, draws where `drawn` is asked for, and lets all go. */
static bool go(bc_context *context, const bc_plan *plan, bc_study **studies, double *opened, double *drawn) {
  const double start = bench_seconds();
  bool fine = open_all(context, plan, studies);
  keep_least(opened, bench_seconds() - start);
  if (fine && drawn) {
    const double begun = bench_seconds();
    fine = draw(context, plan, studies);
    keep_least(drawn, bench_seconds() - begun);
  }
  free_all(plan, studies);
  return fine;
}

static bool round_of(bc_context *context, const bc_plan *plan, bc_study **studies, times *best) {
  bc_store *store = NULL;
  bool fine = go(context, plan, studies, &best->computed, &best->painted);
  if (!fine || bc_store_open_for_now(&store, context, "/tmp") != BC_OK) return false;
  bc_context_use_store(context, store);
  fine = go(context, plan, studies, &best->first, NULL) && go(context, plan, studies, &best->second, &best->drawn);
  bc_context_use_store(context, NULL);
  bc_store_close(store);
  return fine;
}

static int report(const bc_plan *plan, const times *best) {
  printf("%zu pieces opened: computed %.0f ms; into an empty store %.0f ms, ratio %.2f; from the store %.1f ms, ratio "
         "%.4f\n",
         plan->piece_count, 1000 * best->computed, 1000 * best->first, best->first / best->computed,
         1000 * best->second, best->second / best->computed);
  printf("the wall: painted from pixels in memory %.0f ms; opened and drawn from the store %.0f ms, ratio %.2f\n",
         1000 * best->painted, 1000 * (best->second + best->drawn), (best->second + best->drawn) / best->painted);
  return 0;
}

int bench_store(int argc, char **argv) {
  const char *folder = argc > 1 ? argv[1] : "assets/demo";
  char path[1200];
  bc_context *context = NULL;
  bc_plan *plan = NULL;
  times best = {1e9, 1e9, 1e9, 1e9, 1e9};
  snprintf(path, sizeof path, "%s/plan.json", folder);
  if (bc_context_new(&context) != BC_OK) return 70;
  bool fine = bc_plan_open(&plan, context, path, NULL) == BC_OK;
  bc_study **studies = fine ? calloc(plan->piece_count, sizeof(bc_study *)) : NULL;
  for (int i = 0; i < ROUNDS && fine && studies; i++) fine = round_of(context, plan, studies, &best);
  unlink("/tmp/backcloth-bench.png");
  if (!fine || !studies) fprintf(stderr, "%s\n", bc_context_message(context));
  const int code = fine && studies ? report(plan, &best) : 66;
  free(studies);
  bc_plan_free(plan);
  bc_context_free(context);
  return code;
}
