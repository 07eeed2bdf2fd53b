/* SPDX-License-Identifier: MIT */
/* Whether the wall looks empty or crowded, where its largest free rectangle is, and what would fill it. */
#include "problem.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

/* Rectangles and edges within the usable wall, mm. */
typedef struct wall {
  int x0, x1, y0, y1;
  arr_block *full;
  size_t full_count;
  int *xs;
  size_t x_count;
} wall;

static void add_full(wall *w, int x0, int y0, int x1, int y1) {
  x0 = base_most(x0, w->x0);
  x1 = base_least(x1, w->x1);
  y0 = base_most(y0, w->y0);
  y1 = base_least(y1, w->y1);
  if (x0 >= x1 || y0 >= y1) return;
  w->full[w->full_count++] = (arr_block){.x0 = x0, .y0 = y0, .x1 = x1, .y1 = y1};
  w->xs[w->x_count++] = x0;
  w->xs[w->x_count++] = x1;
}

static int ascending(const void *a, const void *b) {
  return (*(const int *)a > *(const int *)b) - (*(const int *)a < *(const int *)b);
}

static int by_bottom(const void *a, const void *b) {
  const arr_block *first = a, *second = b;
  return (first->y0 > second->y0) - (first->y0 < second->y0);
}

/* Largest empty rectangle: between any two edges, the tallest free run of the columns they enclose.
 * Cubic in the pieces, so edges beyond a hundred are thinned out. */
static arr_block largest_space(wall *w) {
  arr_block best = {0};
  long best_area = 0;
  qsort(w->xs, w->x_count, sizeof *w->xs, ascending);
  qsort(w->full, w->full_count, sizeof *w->full, by_bottom);
  const size_t step = w->x_count / 100 + 1;
  for (size_t i = 0; i < w->x_count; i += step)
    for (size_t j = i + 1; j < w->x_count; j += step) {
      const int x0 = w->xs[i], x1 = w->xs[j];
      int from = w->y0;
      for (size_t k = 0; k <= w->full_count; k++) {
        const bool end = k == w->full_count;
        if (!end && (w->full[k].x1 <= x0 || w->full[k].x0 >= x1)) continue;
        const int to = end ? w->y1 : w->full[k].y0;
        const long area = (long)(x1 - x0) * base_most(0, to - from);
        if (area > best_area) {
          best_area = area;
          best = (arr_block){.x0 = x0, .y0 = from, .x1 = x1, .y1 = to};
        }
        if (!end) from = base_most(from, w->full[k].y1);
      }
    }
  return best;
}

/* The space that is left when the gap is kept on every side. */
static bc_arrange_zone zone_within(const arr_block *space, int gap) {
  const int width = space->x1 - space->x0 - 2 * gap, height = space->y1 - space->y0 - 2 * gap;
  if (width <= 0 || height <= 0) return (bc_arrange_zone){0};
  return (bc_arrange_zone){.x = (space->x0 + gap) / ARR_MM,
                           .y = (space->y0 + gap) / ARR_MM,
                           .width = width / ARR_MM,
                           .height = height / ARR_MM};
}

/* A larger piece that stands on the floor or a table and would fit the space: worth moving up. */
static const bc_piece *to_move_up(const bc_plan *plan, const bc_wall_fill *fill) {
  const bc_piece *best = NULL;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (piece->mount.kind != BC_MOUNT_FLOOR && piece->mount.kind != BC_MOUNT_TABLE) continue;
    if (piece->pinned || piece->width > fill->space.width || piece->height > fill->space.height) continue;
    if (!best || piece->width * piece->height > best->width * best->height) best = piece;
  }
  return best;
}

static bc_status advise_empty(bc_wall_fill *fill, bc_context *context, const bc_plan *plan) {
  const bc_arrange_zone *s = &fill->space;
  char width[64], height[64];
  bc_status status =
      bc_note(&fill->notes, context,
              _("The wall looks empty: pieces cover %.0f %% of what can be used (%.0f to %.0f %% look well, common "
                "practice)."),
              100 * fill->covered_share, 100 * BC_ARRANGE_EMPTY_BELOW, 100 * BC_ARRANGE_CROWDED_ABOVE);
  if (status != BC_OK || s->width < 10 || s->height < 10) return status;
  bc_length_words(width, sizeof width, s->width, plan->units);
  bc_length_words(height, sizeof height, s->height, plan->units);
  status = bc_note(&fill->notes, context,
                   _("The largest free space is %s wide and %s high, its middle %s from the "
                     "left and %s up."),
                   width, height, arr_cm(plan, s->x + s->width / 2), arr_cm(plan, s->y + s->height / 2));
  const bc_piece *piece = to_move_up(plan, fill);
  if (status == BC_OK && piece)
    status = bc_note(&fill->notes, context, _("\"%s\" would fit there: move it up from the %s."), piece->title,
                     piece->mount.kind == BC_MOUNT_FLOOR ? _("floor") : _("table"));
  if (status == BC_OK && plan->shelf_count == 0 && s->width >= 60)
    status = bc_note(&fill->notes, context, _("A shelf of %s there would lift small work into view."),
                     arr_cm(plan, fmin(120, floor(s->width * 0.8 / 10) * 10)));
  bool sign = false;
  for (size_t i = 0; i < plan->piece_count; i++) sign = sign || plan->pieces[i].role == BC_ROLE_SIGN;
  if (status == BC_OK && !sign)
    status = bc_note(&fill->notes, context, _("A sign with the maker's name would fill it too; the plan has none."));
  return status;
}

static bc_status advise(bc_wall_fill *fill, bc_context *context, const bc_plan *plan) {
  switch (fill->fullness) {
  case BC_WALL_EMPTY:
    return advise_empty(fill, context, plan);
  case BC_WALL_CROWDED:
    return bc_note(
        &fill->notes, context,
        _("The wall looks crowded: pieces cover %.0f %% of what can be used (up to %.0f %% looks well, common "
          "practice). Keep a few in reserve and hang them as others sell."),
        100 * fill->covered_share, 100 * BC_ARRANGE_CROWDED_ABOVE);
  default:
    return bc_note(&fill->notes, context, _("Pieces cover %.0f %% of the usable wall: neither empty nor crowded."),
                   100 * fill->covered_share);
  }
}

static double blocked_area(const wall *w) {
  double area =
      0; /* zones do not overlap in sensible plans; where they do, the usable wall is only taken for smaller */
  for (size_t i = 0; i < w->full_count; i++)
    area += (double)(w->full[i].x1 - w->full[i].x0) * (w->full[i].y1 - w->full[i].y0);
  return area;
}

static void measure(bc_wall_fill *out, const arr_problem *problem, wall *w) {
  for (size_t i = 0; i < problem->block_count; i++) {
    const arr_block *b = &problem->blocks[i];
    if (b->carrier < 0) add_full(w, b->x0, b->y0, b->x1, b->y1);
  }
  const double usable = fmax(1, (double)(w->x1 - w->x0) * (w->y1 - w->y0) - blocked_area(w));
  const size_t zones = w->full_count;
  double covered = 0;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    const arr_spot *s = &item->home;
    if (s->lane < 0) continue;
    add_full(w, s->x - item->half_w, s->y - item->half_h, s->x + item->half_w, s->y + item->half_h);
  }
  for (size_t i = zones; i < w->full_count; i++)
    covered += (double)(w->full[i].x1 - w->full[i].x0) * (w->full[i].y1 - w->full[i].y0);
  for (size_t i = 0; i < problem->block_count; i++) { /* boards and rods are in the way of a free space too */
    const arr_block *b = &problem->blocks[i];
    if (b->carrier >= 0) add_full(w, b->x0, b->y0, b->x1, b->y1);
  }
  out->usable_cm2 = usable / (ARR_MM * ARR_MM);
  out->covered_share = covered / usable;
  out->fullness = out->covered_share < BC_ARRANGE_EMPTY_BELOW     ? BC_WALL_EMPTY
                  : out->covered_share > BC_ARRANGE_CROWDED_ABOVE ? BC_WALL_CROWDED
                                                                  : BC_WALL_EASY;
  const arr_block space = largest_space(w);
  out->space = zone_within(&space, problem->gap);
}

bc_status bc_arrange_fill(bc_wall_fill *out, bc_context *context, const bc_plan *plan,
                          const bc_arrange_options *options) {
  *out = (bc_wall_fill){0};
  bc_arrange_options checked;
  bc_status status = arr_options(&checked, context, plan, options);
  if (status != BC_OK) return status;
  bc_plan still = *plan;
  still.pieces = arr_pinned_pieces(plan);
  arr_problem *problem = NULL;
  status = still.pieces ? arr_problem_new(&problem, context, &still, &checked, ARR_ROOM_CLOTH, NULL)
                        : bc_fail_memory(context);
  if (status == BC_OK && problem) {
    wall w = {.x0 = problem->region_x0,
              .x1 = problem->region_x1,
              .y0 = problem->low,
              .y1 = base_least(problem->top, problem->region_y1)};
    const size_t most_full = problem->count + 2 * problem->block_count;
    w.full = bc_allocate(most_full + 1, sizeof *w.full);
    w.xs = bc_allocate(2 * most_full + 2, sizeof *w.xs);
    if (w.full && w.xs && w.x0 < w.x1 && w.y0 < w.y1) {
      w.xs[w.x_count++] = w.x0;
      w.xs[w.x_count++] = w.x1;
      measure(out, problem, &w);
      status = advise(out, context, plan);
    } else if (!w.full || !w.xs) {
      status = bc_fail_memory(context);
    }
    free(w.full);
    free(w.xs);
  }
  arr_problem_free(problem);
  free(still.pieces);
  if (status != BC_OK) bc_wall_fill_clear(out);
  return status;
}

void bc_wall_fill_clear(bc_wall_fill *fill) {
  bc_notes_clear(&fill->notes);
  *fill = (bc_wall_fill){0};
}
