/* SPDX-License-Identifier: MIT */
/* Where the outline gets lost: the longest stretch, and its place on the piece in words.
 * In: reading and cloth. Out: bc_lost_stretch for drawing and for explaining. */
#include "match_internal.h"

#include <math.h>
#include <stdlib.h>

static void flag_places(bool *lost, const bc_reading *reading, const bc_cloth *cloth) {
  bc_rim_place places[BC_READING_RIM];
  match_rim_without_sparkle(places, reading);
  bc_colour own[MATCH_LANES];
  double clarity[MATCH_LANES];
  for (size_t first = 0, count; first < reading->rim_count; first += count) {
    count = reading->rim_count - first < MATCH_LANES ? reading->rim_count - first : MATCH_LANES;
    for (size_t i = 0; i < count; i++) {
      const bc_rim_place *place = &places[first + i];
      own[i] = (bc_colour){{(double)place->L, (double)place->a, (double)place->b}, (double)place->luminance};
    }
    match_clarities_on(clarity, own, count, reading->see_through, cloth);
    for (size_t i = 0; i < count; i++) lost[first + i] = match_verdict_of(clarity[i]) == BC_GETS_LOST;
  }
}

/* Longest run of lost places on one outline, places [first, end). It may run over the outline's start,
 * but not over a part that lies beyond the photo's edge. */
static void longest_on(bc_lost_stretch *best, const bc_reading *reading, const bool *lost, size_t first, size_t end) {
  const size_t count = end - first;
  size_t run = 0;
  for (size_t step = 0; step < 2 * count; step++) {
    const size_t i = first + step % count;
    if (reading->rim[i].after_gap) run = 0;
    run = lost[i] ? run + 1 : 0;
    if (run > count) run = count;
    if (run > best->count) {
      best->count = run;
      best->first = first + (step + 1 + count - run) % count;
      best->contour = reading->rim[first].contour;
    }
  }
}

bc_lost_stretch bc_match_lost(const bc_reading *reading, const bc_cloth *cloth, bool *lost) {
  bool own[BC_READING_RIM];
  bool *flags = lost ? lost : own;
  bc_lost_stretch best = {0};
  if (!reading->rim_count || reading->rim_count > BC_READING_RIM) return best;
  flag_places(flags, reading, cloth);
  size_t all = 0;
  for (size_t first = 0, end; first < reading->rim_count; first = end) {
    for (end = first; end < reading->rim_count && reading->rim[end].contour == reading->rim[first].contour; end++)
      all += flags[end];
    longest_on(&best, reading, flags, first, end);
  }
  best.share = (double)best.count / (double)reading->rim_count;
  best.lost_share = (double)all / (double)reading->rim_count;
  return best;
}

/* Where the middle of the stretch lies, seen from the middle of the whole outline. */
const char *bc_match_where(const bc_reading *reading, const bc_lost_stretch *stretch) {
  size_t first = stretch->first, end;
  while (first > 0 && reading->rim[first - 1].contour == stretch->contour) first--;
  for (end = first; end < reading->rim_count && reading->rim[end].contour == stretch->contour;) end++;
  double left = 1, right = 0, top = 1, bottom = 0, x = 0, y = 0;
  for (size_t i = 0; i < reading->rim_count; i++) {
    left = fmin(left, (double)reading->rim[i].x);
    right = fmax(right, (double)reading->rim[i].x);
    top = fmin(top, (double)reading->rim[i].y);
    bottom = fmax(bottom, (double)reading->rim[i].y);
  }
  if (!stretch->count || end == first) return _("nowhere");
  for (size_t i = 0; i < stretch->count; i++) {
    const bc_rim_place *place = &reading->rim[first + (stretch->first - first + i) % (end - first)];
    x += (double)place->x / (double)stretch->count;
    y += (double)place->y / (double)stretch->count;
  }
  const double across = (x - left) / fmax(1e-9, right - left), down = (y - top) / fmax(1e-9, bottom - top);
  const int column = across < 1.0 / 3 ? 0 : across > 2.0 / 3 ? 2 : 1, row = down < 1.0 / 3 ? 0 : down > 2.0 / 3 ? 2 : 1;
  if (stretch->share > 0.6) return _("nearly all round");
  const char *const where[3][3] = {{_("at the top left"), _("at the top"), _("at the top right")},
                                   {_("on the left"), _("in the middle"), _("on the right")},
                                   {_("at the bottom left"), _("at the bottom"), _("at the bottom right")}};
  return where[row][column];
}
