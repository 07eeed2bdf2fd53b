/* SPDX-License-Identifier: MIT */
/* Arranging: 60 pieces on a wall in all three styles, and one answer to a finger that drags a piece. */
#include "bench.h"

#include <backcloth/arrange.h>
#include <stdlib.h>
#include <string.h>

#define PIECES 60
#define SNAPS 1000

static uint64_t next(uint64_t *state) {
  *state = *state * 6364136223846793005u + 1442695040888963407u;
  return *state >> 33;
}

static void fill(bc_plan *plan, bc_piece *pieces, char ids[][16], uint64_t seed) {
  *plan = (bc_plan){.title = (char *)"bench", .stand = {.width = 800, .depth = 300, .wall_height = 240}};
  plan->gap = 8;
  plan->design_factor = 5;
  plan->viewers = (bc_viewers){.distance = 400, .stature = 165, .sight_low = 98, .sight_high = 175};
  plan->pieces = pieces;
  plan->piece_count = PIECES;
  for (int i = 0; i < PIECES; i++) {
    snprintf(ids[i], sizeof ids[i], "p%d", i);
    pieces[i] = (bc_piece){.id = ids[i], .title = ids[i], .weight_g = 500, .count = 1};
    pieces[i].width = (double)(15 + next(&seed) % 16);
    pieces[i].height = (double)(15 + next(&seed) % 16);
    pieces[i].mount = (bc_mount){.given = true, .kind = BC_MOUNT_NAIL, .points = 1, .cord_angle = 60};
    pieces[i].group = i % 3 == 0 ? (char *)"a" : i % 3 == 1 ? (char *)"b" : NULL;
  }
  pieces[0].role = BC_ROLE_STATEMENT;
  pieces[0].width = 100;
  pieces[0].height = 90;
}

static double arrange_once(bc_context *context, bc_plan *plan, bc_arrangements **result) {
  const double start = bench_seconds();
  if (bc_arrange(result, context, plan, NULL) != BC_OK) {
    fprintf(stderr, "%s\n", bc_context_message(context));
    exit(70);
  }
  return bench_seconds() - start;
}

int bench_arrange(int argc, char **argv) {
  (void)argc;
  (void)argv;
  static bc_piece pieces[PIECES];
  static char ids[PIECES][16];
  bc_plan plan;
  bc_context *context = NULL;
  bc_arrangements *result = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  double best = 1e9;
  for (uint64_t turn = 0; turn < 5; turn++) {
    fill(&plan, pieces, ids, turn + 1);
    bc_arrangements_free(result);
    const double seconds = arrange_once(context, &plan, &result);
    if (seconds < best) best = seconds;
  }
  printf("arrange: %d pieces, three styles: %.3f s (best of 5), %zu left off, best score %.1f\n", PIECES, best,
         result->arrangement[0]->left_off, result->arrangement[0]->score);
  if (bc_arrange_apply(&plan, context, result->arrangement[0]) != BC_OK) return 70;
  const double start = bench_seconds();
  bc_snap snap;
  for (int i = 0; i < SNAPS; i++)
    if (bc_arrange_snap(&snap, context, &plan,
                        &(bc_snap_wish){(size_t)i % PIECES, (bc_point_cm){100 + i % 600, 150}, 3}, NULL) != BC_OK)
      return 70;
  printf("arrange: snap among %d pieces: %.1f us\n", PIECES, 1e6 * (bench_seconds() - start) / SNAPS);
  bc_arrangements_free(result);
  bc_context_free(context);
  return 0;
}
