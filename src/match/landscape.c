/* SPDX-License-Identifier: MIT */
/* The collection's score over all cloths that can be dyed, by hue and lightness, for the contrast landscape.
 * In: a collection. Out: bc_landscape. Source: the bounds of the search, docs/method/match.md. */
#include "match_internal.h"

#include "base/parallel.h"
#include <math.h>
#include <stdlib.h>

/* Vividness tried at every hue and lightness, as shares of the most that can be dyed there. */
static const double shares[] = {0.25, 0.5, 0.75, 1};

static double score_on(match_prepared *pieces, size_t count, bc_lab lab) {
  const bc_cloth cloth = {.colour = bc_colour_from_lab(lab)};
  return match_score_on(pieces, count, &cloth);
}

/* The most chroma that is inside sRGB, too. */
static double reachable(double L, double hue_deg) {
  const double hue = hue_deg * (M_PI / 180);
  double low = 0, high = bc_match_most_chroma(L, hue_deg);
  for (int i = 0; i < 12; i++) {
    const double middle = i ? (low + high) / 2 : high * (1 - 1e-9);
    if (bc_match_dyeable((bc_lab){L, middle * cos(hue), middle * sin(hue)}))
      low = middle;
    else
      high = middle;
  }
  return low;
}

static void fill_place(bc_landscape_place *out, match_prepared *pieces, size_t count, double L, double hue_deg) {
  const double hue = hue_deg * (M_PI / 180), most = reachable(L, hue_deg);
  out->score = -1;
  for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
    const bc_lab lab = {L, shares[i] * most * cos(hue), shares[i] * most * sin(hue)};
    const double score = score_on(pieces, count, lab);
    if (score > out->score + 1e-9) *out = (bc_landscape_place){lab, score};
  }
}

typedef struct filling {
  bc_landscape *land;
  match_prepared *pieces[2]; /* of each half: a score is noted in them */
  size_t count;
} filling;

/* Every second row. */
static void fill_half(void *cargo, int half) {
  const filling *all = cargo;
  match_prepared *pieces = all->pieces[half];
  for (int row = half; row < BC_LANDSCAPE_ROWS; row += 2) {
    const double L = BC_LANDSCAPE_DARKEST + BC_LANDSCAPE_STEP * row;
    all->land->grey[row] = (bc_landscape_place){{L, 0, 0}, score_on(pieces, all->count, (bc_lab){L, 0, 0})};
    for (int column = 0; column < BC_LANDSCAPE_COLUMNS; column++)
      fill_place(&all->land->place[row][column], pieces, all->count, L, 360.0 * column / BC_LANDSCAPE_COLUMNS);
  }
}

bc_status bc_match_landscape(bc_landscape **out, bc_context *context, const bc_collection *collection) {
  *out = NULL;
  if (!collection->count)
    return bc_fail(context, BC_BAD_USAGE, _("There is no piece to match. Name at least one photo."));
  filling all = {.count = collection->count};
  bc_status status = BC_OK;
  for (int half = 0; status == BC_OK && half < 2; half++)
    status = match_prepare_all(&all.pieces[half], context, collection);
  if (status == BC_OK) all.land = bc_allocate(1, sizeof *all.land);
  if (all.land) base_do_both(fill_half, &all);
  for (int half = 0; half < 2; half++) free(all.pieces[half]);
  *out = all.land;
  return all.land || status != BC_OK ? status : bc_fail_memory(context);
}
