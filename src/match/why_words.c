/* SPDX-License-Identifier: MIT */
/* Explains a cloth piece by piece: the figures, the reason for the verdict, what would help most.
 * In: a match. Out: sentences for a maker and for a mentor. */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

static void say_figures(bc_buffer *text, const bc_pair *pair) {
  bc_buffer_say(
      text,
      _("  In figures: contrast %.1f : 1, lightness difference %.0f, colour difference %.0f, outline at 3 : 1 or more "
        "%.0f %%, outline seen by lightness or colour %.0f %%, clarity %.2f\n"),
      pair->contrast_ratio, pair->delta_l, pair->delta_e00, 100 * pair->outline_share, 100 * pair->seen_share,
      pair->clarity);
}

static bc_verdict lower_of(const bc_pair *pair) {
  return pair->verdict < pair->neighbour ? pair->verdict : pair->neighbour;
}

static bc_verdict upper_of(const bc_pair *pair) {
  return pair->verdict < pair->neighbour ? pair->neighbour : pair->verdict;
}

static void say_clear(bc_buffer *text, const bc_pair *pair) {
  if (pair->outline_share >= 0.5)
    bc_buffer_add(
        text,
        _("  It stands out because its edge is much lighter or darker than the cloth along %.0f %% of its outline.\n"),
        100 * pair->outline_share);
  else
    bc_buffer_add(text, _("  It stands out by its colour more than by lightness; in dim or coloured light, and for "
                          "people who see colours differently, it will be weaker.\n"));
}

static void say_unclear(bc_buffer *text, const bc_reading *reading, const bc_cloth *cloth, const bc_pair *pair) {
  const bc_lost_stretch lost = bc_match_lost(reading, cloth, NULL);
  if (pair->delta_l < 5 && pair->delta_e00 < 9)
    bc_buffer_add(text, _("  On the whole it is nearly as light as the cloth and of a similar colour.\n"));
  else if (pair->delta_l < 5)
    bc_buffer_add(text, _("  It is nearly as light as the cloth; only its colour sets it apart.\n"));
  else if (lost.lost_share < 0.1)
    bc_buffer_add(text, _("  Its edge can be made out against the cloth, but nowhere clearly.\n"));
  if (lost.share > 0.6)
    bc_buffer_add(text, _("  %.0f %% of its outline gets lost, nearly all round.\n"), 100 * lost.lost_share);
  else if (lost.lost_share >= 0.1)
    bc_buffer_add(text, _("  %.0f %% of its outline gets lost; the longest stretch is %s (%.0f %%).\n"),
                  100 * lost.lost_share, bc_match_where(reading, &lost), 100 * lost.share);
  if (cloth->spread_l >= 8)
    bc_buffer_add(text,
                  _("  The cloth's own pattern hides part of the difference; a plainer cloth would be calmer.\n"));
}

/* What each change would do is computed, never assumed. */
static void say_advice(bc_buffer *text, const bc_match *match, const bc_advice *advice) {
  const char *const then = bc_verdict_text(advice->verdict);
  switch (advice->remedy) {
  case BC_REMEDY_NONE:
    return;
  case BC_REMEDY_CLOTH:
    bc_buffer_add(text,
                  _("  What would help most: the cloth “%s”, which is better for the whole collection, too. On it the "
                    "verdict is “%s”.\n"),
                  match_cloth_of(match, &match->cloths[advice->cloth])->name, then);
    return;
  case BC_REMEDY_LAMP:
    bc_buffer_add(
        text,
        _("  What would help most: a lamp on this piece, twice as bright as the rest of the wall. The verdict "
          "would then be “%s”.\n"),
        then);
    return;
  case BC_REMEDY_MOUNT:
    bc_buffer_add(text,
                  _("  What would help most: a card or board behind this piece, %s (%s), that shows all round it. The "
                    "verdict would then be “%s”.\n"),
                  bc_colour_name(advice->mount), advice->css, then);
    return;
  case BC_REMEDY_PLACE:
    bc_buffer_add(text, _("  No cloth, card or lamp that was tried changes that: about half of the piece is light and "
                          "half of it dark. Leave space round it.\n"));
    return;
  }
}

static void say_distance(bc_buffer *text, const bc_visibility *seen) {
  if (!seen || !seen->known) return;
  if (seen->outline_m <= 0)
    bc_buffer_add(text, _("  At its width of %.0f cm less than half of its outline can be made out, even from near.\n"),
                  seen->width_cm);
  else if (seen->outline_m >= BC_FAR_M)
    bc_buffer_add(text, _("  At its width of %.0f cm its outline can be made out from anywhere in the aisle.\n"),
                  seen->width_cm);
  else
    bc_buffer_say(text,
                  _("  At its width of %.0f cm its outline can be made out from up to about %.1f m (%.0f ft) away.\n"),
                  seen->width_cm, seen->outline_m, seen->outline_m / 0.3048);
  if (seen->detail_m > 0 && seen->detail_m < BC_FAR_M)
    bc_buffer_say(text, _("  Its own detail can be made out from up to about %.1f m (%.0f ft) away.\n"), seen->detail_m,
                  seen->detail_m / 0.3048);
}

/* "Share of the outline made out at 1, 2 … 10 m": told where it changes. */
static void say_sweep(bc_buffer *text, const bc_visibility *seen) {
  if (!seen || !seen->known) return;
  if (seen->sweep[0] - seen->sweep[BC_SWEEP - 1] < 0.05) {
    bc_buffer_add(text,
                  _("  From 1 m as from 10 m (3 and 33 ft) away, the same %.0f %% of its outline can be made out.\n"),
                  100 * seen->sweep[0]);
    return;
  }
  bc_buffer_add(text,
                _("  Of its outline, %.0f %% can be made out from 1 m (3 ft) away, %.0f %% from 2 m (7 ft), %.0f %% "
                  "from 4 m (13 ft), %.0f %% from 6 m (20 ft) and %.0f %% from 10 m (33 ft).\n"),
                100 * seen->sweep[0], 100 * seen->sweep[1], 100 * seen->sweep[3], 100 * seen->sweep[5],
                100 * seen->sweep[9]);
}

static void say_polished(bc_buffer *text, const bc_reading *reading, const bc_pair *pair) {
  if (!(reading->polished > 0)) return;
  const double percent = 100 * reading->polished;
  bc_buffer_add(
      text,
      reading->polish_estimated
          ? _("  It is polished: perhaps %.0f %% of it mirrors, by the photo (say it with --polished if you "
              "know better). As photographed: “%s”. At the stand, where it mirrors cloth and hall: “%s”. The "
              "mean of both counts; a lamp's sparkle doesn't.\n")
          : _("  It is polished: %.0f %% of it mirrors. As photographed: “%s”. At the stand, where it mirrors "
              "cloth and hall: “%s”. The mean of both counts; a lamp's sparkle doesn't.\n"),
      percent, bc_verdict_text(match_verdict_of(pair->clarity_photographed)),
      bc_verdict_text(match_verdict_of(pair->clarity_at_stand)));
}

void match_say_piece(bc_buffer *text, const bc_match *match, size_t position, size_t piece) {
  const bc_ranked_cloth *ranked = &match->cloths[position];
  const bc_pair *pair = &ranked->pairs[piece];
  char *title = bc_collection_title(match->collection, piece);
  if (!title)
    text->failed = true;
  else
    bc_buffer_add(text, _("%s: %s\n"), title, bc_verdict_text(pair->verdict));
  if (pair->on_edge)
    bc_buffer_add(text, _("  It is on the edge between “%s” and “%s”.\n"), bc_verdict_text(lower_of(pair)),
                  bc_verdict_text(upper_of(pair)));
  free(title);
  if (pair->verdict == BC_STANDS_OUT)
    say_clear(text, pair);
  else
    say_unclear(text, match_reading(match, piece), match_cloth_of(match, ranked), pair);
  say_polished(text, match_reading(match, piece), pair);
  say_distance(text, ranked->visibility ? &ranked->visibility[piece] : NULL);
  say_sweep(text, ranked->visibility ? &ranked->visibility[piece] : NULL);
  const bc_advice advice = bc_match_advice(match, position, piece);
  say_advice(text, match, &advice);
  say_figures(text, pair);
}

bc_status bc_match_why(char **out, bc_context *context, const bc_match *match, size_t position) {
  *out = NULL;
  if (position >= match->cloth_count)
    return bc_fail(context, BC_BAD_USAGE,
                   bc_text_plural("There is only %zu cloth in this match.", "There are only %zu cloths in this match.",
                                  match->cloth_count),
                   match->cloth_count);
  const bc_ranked_cloth *ranked = &match->cloths[position];
  bc_buffer text = {0};
  bc_buffer_add(&text, _("“%s” (place %d, %.0f of 100, give or take %.0f for the light of the photos): "),
                match_cloth_of(match, ranked)->name, ranked->rank, ranked->score, ranked->score_sd);
  match_say_verdicts(&text, context, match, ranked);
  bc_buffer_add(&text, "\n");
  for (size_t p = 0; p < match->piece_count; p++) match_say_piece(&text, match, position, p);
  return bc_buffer_finish(&text, out, context);
}
