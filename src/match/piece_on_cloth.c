/* SPDX-License-Identifier: MIT */
/* One piece on one cloth: the published measures, the outline, and the clarity made from them.
 * In: reading and cloth. Out: bc_pair. Source: WCAG 2.2, CIEDE2000; docs/method/match.md. */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define OUTLINE_RATIO 3.0        /* WCAG 2.2 SC 1.4.11 */
#define GATHER_L 2.0             /* rim places this close in L*, a*, b* are judged together: less than a just */
#define GATHER_AB 3.0            /* noticeable step in a textured photo (our choice; the ranking doesn't feel it) */
#define OUTLINE_WEIGHT (2.0 / 3) /* the outline counts twice the body (our choice) */

static int ascending(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

/* A rim place and the cell of colour that it lies in, as one number: L*, a*, b* of the cell, then the place, 16 bits
 * each. In rising order cells are together, and each one's places in their own order. */
typedef uint64_t gathered;
#define PLACE_BITS 16

static uint64_t step_of(double value, double size) {
  return (uint64_t)(lround(fmin(32767, fmax(-32768, value / size))) + 32768);
}

static gathered gather_place(const bc_rim_place *place, double coarse, size_t number) {
  const uint64_t L = step_of((double)place->L, GATHER_L * coarse), a = step_of((double)place->a, GATHER_AB * coarse),
                 b = step_of((double)place->b, GATHER_AB * coarse);
  return L << (3 * PLACE_BITS) | a << (2 * PLACE_BITS) | b << PLACE_BITS | number;
}

/* Sorts by one byte and keeps the order of those that are alike in it; true when that changed anything. */
static bool sort_by_byte(gathered *out, const gathered *from, size_t count, int shift) {
  size_t start[257] = {0};
  for (size_t i = 0; i < count; i++) start[(from[i] >> shift & 0xff) + 1]++;
  if (count == 0 || start[(from[0] >> shift & 0xff) + 1] == count) return false;
  for (int k = 0; k < 256; k++) start[k + 1] += start[k];
  for (size_t i = 0; i < count; i++) out[start[from[i] >> shift & 0xff]++] = from[i];
  return true;
}

/* Places come in their own order, so that only cells are sorted: byte after byte, the least first. */
static void sort_cells(gathered *order, size_t count) {
  gathered other[BC_READING_RIM];
  for (int shift = PLACE_BITS; shift < 64; shift += 8)
    if (sort_by_byte(other, order, count, shift)) memcpy(order, other, count * sizeof *order);
}

static bool same_cell(gathered first, gathered second) {
  return first >> PLACE_BITS == second >> PLACE_BITS;
}

static match_patch mean_patch(const bc_reading *reading, const gathered *order, size_t count, size_t all) {
  match_patch patch = {.share = (double)count / (double)all};
  for (size_t i = 0; i < count; i++) {
    const bc_rim_place *place = &reading->rim[order[i] & ((1u << PLACE_BITS) - 1)];
    patch.colour.lab.L += (double)place->L / (double)count;
    patch.colour.lab.a += (double)place->a / (double)count;
    patch.colour.lab.b += (double)place->b / (double)count;
    patch.colour.luminance += (double)place->luminance / (double)count;
  }
  return patch;
}

/* Cells seen so far, found by a hash (Knuth's multiplicative one): no entry is 0. */
#define SEEN_BITS 8
typedef struct seen_cells {
  uint64_t cell[1 << SEEN_BITS];
  size_t count;
} seen_cells;

static bool see_cell(seen_cells *seen, gathered place) {
  const uint64_t cell = (place >> PLACE_BITS) + 1;
  size_t at = (size_t)(cell * UINT64_C(0x9E3779B97F4A7C15) >> (64 - SEEN_BITS));
  while (seen->cell[at] && seen->cell[at] != cell) at = (at + 1) % (1 << SEEN_BITS);
  if (seen->cell[at]) return true;
  seen->cell[at] = cell;
  return ++seen->count <= MATCH_RIM_PATCHES;
}

/* Gathers with cells `coarse` times as large; false as soon as that gives too many patches. */
static bool gather_with(match_prepared *out, const bc_reading *reading, double coarse) {
  gathered order[BC_READING_RIM];
  seen_cells seen = {0};
  for (size_t i = 0; i < out->rim_count; i++) {
    order[i] = gather_place(&reading->rim[i], coarse, i);
    if (!see_cell(&seen, order[i])) return false;
  }
  sort_cells(order, out->rim_count);
  out->rim_patches = 0;
  for (size_t i = 0, end; i < out->rim_count; i = end) {
    for (end = i + 1; end < out->rim_count && same_cell(order[i], order[end]);) end++;
    out->rim[out->rim_patches++] = mean_patch(reading, order + i, end - i, out->rim_count);
  }
  return true;
}

static void gather_rim(match_prepared *out, const bc_reading *reading) {
  for (double coarse = 1; !gather_with(out, reading, coarse); coarse *= 1.25) continue;
}

static void gather_body(match_prepared *out, const bc_reading *reading) {
  double total = 0;
  for (size_t i = 0; i < reading->colour_count; i++) total += reading->colours[i].share;
  for (size_t i = 0; total > 0 && i < reading->colour_count; i++)
    out->body[out->body_patches++] =
        (match_patch){bc_colour_from_lab(reading->colours[i].lab), reading->colours[i].share / total};
  if (!out->body_patches) out->body[out->body_patches++] = (match_patch){reading->mean, 1};
}

static void settle_lane(match_lanes *lanes, size_t i, const match_patch *patch, double weight) {
  const bc_lab lab = patch->colour.lab;
  lanes->L[i] = lab.L;
  lanes->a[i] = lab.a;
  lanes->b[i] = lab.b;
  lanes->chroma[i] = sqrt(lab.a * lab.a + lab.b * lab.b);
  lanes->weight[i] = weight * patch->share;
}

void match_prepared_settle(match_prepared *piece) {
  const match_patch mean = {piece->mean, 1};
  if (!piece->rim_patches) settle_lane(&piece->lanes, 0, &mean, OUTLINE_WEIGHT);
  for (size_t i = 0; i < piece->rim_patches; i++) settle_lane(&piece->lanes, i, &piece->rim[i], OUTLINE_WEIGHT);
  const size_t rim = piece->rim_patches ? piece->rim_patches : 1;
  for (size_t i = 0; i < piece->body_patches; i++)
    settle_lane(&piece->lanes, rim + i, &piece->body[i], 1 - OUTLINE_WEIGHT);
}

void match_prepare(match_prepared *out, const bc_reading *photographed) {
  bc_rim_place places[BC_READING_RIM];
  bc_reading dull = *photographed;
  const bc_reading *const reading = &dull;
  match_rim_without_sparkle(places, photographed);
  dull.rim = places;
  out->polished = reading->polished;
  out->metal = bc_colour_from_lab(reading->mixed);
  out->mean = reading->mean;
  out->see_through = reading->see_through;
  out->rim_patches = out->body_patches = 0;
  out->rim_count = reading->rim_count < BC_READING_RIM ? reading->rim_count : BC_READING_RIM;
  for (size_t i = 0; i < out->rim_count; i++) out->rim_luminance[i] = (double)reading->rim[i].luminance;
  if (out->rim_count) {
    qsort(out->rim_luminance, out->rim_count, sizeof *out->rim_luminance, ascending);
    gather_rim(out, reading);
  }
  gather_body(out, reading);
  match_prepared_settle(out);
}

/* Number of rim places with luminance <= limit. */
static size_t places_up_to(const match_prepared *piece, double limit) {
  size_t low = 0, high = piece->rim_count;
  while (low < high) {
    const size_t middle = low + (high - low) / 2;
    if (piece->rim_luminance[middle] <= limit)
      low = middle + 1;
    else
      high = middle;
  }
  return low;
}

/* The lanes as they are seen before a cloth that shows through the piece. */
static void see_cloth_through(match_lanes *out, const match_prepared *piece, size_t count, const bc_colour *cloth) {
  for (size_t i = 0; i < count; i++) {
    const bc_colour own = {{piece->lanes.L[i], piece->lanes.a[i], piece->lanes.b[i]}, 0};
    const match_patch seen = {bc_colour_mixed(own, *cloth, piece->see_through), 1};
    settle_lane(out, i, &seen, piece->lanes.weight[i]);
  }
}

static double clarity_against(const match_prepared *piece, const bc_colour *behind, double spread, double *seen) {
  const size_t rim = piece->rim_patches ? piece->rim_patches : 1, count = rim + piece->body_patches;
  match_lanes through = {0};
  if (piece->see_through > 0) see_cloth_through(&through, piece, count, behind);
  const match_lanes *lanes = piece->see_through > 0 ? &through : &piece->lanes;
  double here[MATCH_LANES], clarity = 0;
  match_clarity_lanes(here, lanes, count, behind, spread);
  for (size_t i = 0; i < count; i++) {
    clarity += lanes->weight[i] * here[i];
    if (i < rim && match_verdict_of(here[i]) == BC_STANDS_OUT) *seen += lanes->weight[i] / OUTLINE_WEIGHT;
  }
  return fmin(1, clarity);
}

/* Over the cloth's colours: each is behind a place of the rim as often as its share says. */
static double clarity_and_seen(const match_prepared *piece, const bc_cloth *cloth, double *seen) {
  const double spread = match_cloth_spread(cloth);
  double clarity = 0;
  *seen = 0;
  for (size_t i = 0; i < match_cloth_part_count(cloth); i++) {
    const bc_cloth_part part = match_cloth_part_at(cloth, i);
    double seen_here = 0;
    clarity += part.share * clarity_against(piece, &part.colour, spread, &seen_here);
    *seen += part.share * seen_here;
  }
  return fmin(1, clarity);
}

/* The share that mirrors shows the stand, the rest is as photographed. */
static double clarity_at_stand(const match_prepared *piece, const bc_cloth *cloth, double photographed) {
  if (!(piece->polished > 0)) return photographed;
  return photographed + piece->polished * (match_mirror_clarity(piece, cloth) - photographed);
}

double match_prepared_clarity(const match_prepared *piece, const bc_cloth *cloth) {
  double seen;
  const double photographed = clarity_and_seen(piece, cloth, &seen);
  return 0.5 * (photographed + clarity_at_stand(piece, cloth, photographed));
}

void match_prepared_cast(match_prepared *piece, bc_cast cast) {
  for (size_t i = 0; i < piece->rim_patches; i++)
    piece->rim[i].colour = bc_colour_with_cast(piece->rim[i].colour, cast);
  for (size_t i = 0; i < piece->body_patches; i++)
    piece->body[i].colour = bc_colour_with_cast(piece->body[i].colour, cast);
  piece->mean = bc_colour_with_cast(piece->mean, cast);
  if (piece->polished > 0) piece->metal = bc_colour_with_cast(piece->metal, cast);
  match_prepared_settle(piece);
}

static void light(bc_colour *colour, double factor) {
  const double before = (colour->lab.L + 16) / 116, after = before * cbrt(factor);
  colour->lab.L = 116 * after - 16;
  colour->lab.a *= cbrt(factor);
  colour->lab.b *= cbrt(factor);
  colour->luminance *= factor;
}

void match_prepared_light(match_prepared *piece, double factor) {
  for (size_t i = 0; i < piece->rim_patches; i++) light(&piece->rim[i].colour, factor);
  for (size_t i = 0; i < piece->body_patches; i++) light(&piece->body[i].colour, factor);
  light(&piece->mean, factor);
  match_prepared_settle(piece);
}

/* Share of rim places whose contrast ratio with a colour behind them is at least 3: darker or lighter. Through
 * glass a place keeps only a part of its own difference, so the limits lie farther away. */
static double share_against(const match_prepared *piece, const bc_colour *behind) {
  const bc_colour mean = bc_colour_mixed(piece->mean, *behind, piece->see_through);
  if (!piece->rim_count) return bc_contrast_ratio(mean.luminance, behind->luminance) >= OUTLINE_RATIO ? 1 : 0;
  const double light = fmax(0, behind->luminance), cloth = light + MATCH_FLARE, hair = 1e-9;
  const double keep = fmax(1e-9, 1 - piece->see_through);
  const size_t darker = places_up_to(piece, light + (cloth / OUTLINE_RATIO - cloth) / keep + hair);
  const size_t not_lighter = places_up_to(piece, light + (cloth * OUTLINE_RATIO - cloth) / keep - hair);
  return (double)(darker + piece->rim_count - not_lighter) / (double)piece->rim_count;
}

static double outline_share(const match_prepared *piece, const bc_cloth *cloth) {
  double share = 0;
  for (size_t i = 0; i < match_cloth_part_count(cloth); i++) {
    const bc_cloth_part part = match_cloth_part_at(cloth, i);
    share += part.share * share_against(piece, &part.colour);
  }
  return share;
}

bc_pair match_prepared_on(const match_prepared *piece, const bc_cloth *cloth) {
  const bc_colour mean = bc_colour_mixed(piece->mean, cloth->colour, piece->see_through);
  bc_pair pair = {
      .contrast_ratio = bc_contrast_ratio(mean.luminance, cloth->colour.luminance),
      .delta_l = fabs(mean.lab.L - cloth->colour.lab.L),
      .delta_e00 = bc_delta_e00(mean.lab, cloth->colour.lab),
      .outline_share = outline_share(piece, cloth),
  };
  pair.clarity_photographed = clarity_and_seen(piece, cloth, &pair.seen_share);
  pair.clarity_at_stand = clarity_at_stand(piece, cloth, pair.clarity_photographed);
  pair.clarity = 0.5 * (pair.clarity_photographed + pair.clarity_at_stand);
  /* Gathering places moves a few across the 3:1 line; what lightness alone shows is seen in any case. */
  if (!(match_cloth_spread(cloth) > 0) && !(piece->see_through > 0))
    pair.seen_share = fmax(pair.seen_share, pair.outline_share);
  pair.seen_share = fmin(1, pair.seen_share);
  pair.verdict = match_verdict_of(pair.clarity);
  return pair;
}

bc_pair bc_match_pair(const bc_reading *reading, const bc_cloth *cloth) {
  match_prepared piece;
  match_prepare(&piece, reading);
  return match_prepared_on(&piece, cloth);
}
