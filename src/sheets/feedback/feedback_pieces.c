/* SPDX-License-Identifier: MIT */
/* The clearest and the least clear pieces on a cloth, each with a picture and its figures; and what the next photos
 * could do better. In: facts. Out: sentences with figures. */
#include "feedback_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define SMALL_SHARE 0.04 /* of the photo that is the piece: below, its rim is few pixels (our choice) */
#define SMALL_PIXELS 900 /* shorter side: phones take larger ones (our choice) */

/* ---- pieces on a cloth ---- */

typedef struct order {
  size_t piece;
  double clarity;
} order;

size_t feedback_unsure(const feedback_facts *facts) {
  size_t count = 0;
  for (size_t i = 0; i < facts->count; i++) count += bc_reading_is_doubtful(facts->all.piece[i].reading);
  return count;
}

static int clearer(const void *a, const void *b) {
  const order *first = a, *second = b;
  if (first->clarity != second->clarity) return first->clarity < second->clarity ? 1 : -1;
  return first->piece < second->piece ? -1 : first->piece > second->piece;
}

static void say_figures(feedback_pen *pen, const bc_pair *pair) {
  feedback_figure(pen, "outline_clear", pair->seen_share, _("%.0f %% of the outline is clear"), 100 * pair->seen_share);
  feedback_figure(pen, "contrast_ratio", pair->contrast_ratio, _("contrast %.1f : 1"), pair->contrast_ratio);
}

static void say_verdict(feedback_pen *pen, const feedback_facts *facts, const bc_ranked_cloth *ranked, size_t i) {
  const bc_pair *pair = &ranked->pairs[i];
  const bc_reading *reading = facts->all.piece[i].reading;
  const bc_cloth *cloth = feedback_cloth(facts, ranked);
  const bc_lost_stretch lost = bc_match_lost(reading, cloth, NULL);
  const char *title = facts->photos[i]->title;
  if (pair->verdict == BC_STANDS_OUT)
    feedback_say(pen, _("%s stands out."), title);
  else if (pair->verdict == BC_SOFT && lost.lost_share >= 0.02)
    feedback_say(pen, _("%s looks soft; its edge fades %s."), title, bc_match_where(reading, &lost));
  else if (pair->verdict == BC_SOFT)
    feedback_say(pen, _("%s looks soft."), title);
  else if (lost.lost_share >= 0.02)
    feedback_say(pen, _("%s gets lost, first %s."), title, bc_match_where(reading, &lost));
  else
    feedback_say(pen, _("%s gets lost."), title);
  say_figures(pen, pair);
  const bc_visibility *seen = ranked->visibility ? &ranked->visibility[i] : NULL;
  if (seen && seen->known && seen->outline_m > 0 && seen->outline_m < BC_FAR_M)
    feedback_figure(pen, "made_out_m", seen->outline_m, _("made out up to %.1f m (%.0f ft)"), seen->outline_m,
                    seen->outline_m / 0.3048);
}

/* What was measured along an outline that may be wrong is not told as if it were known. */
static void say_doubt(feedback_pen *pen, const feedback_facts *facts, const bc_ranked_cloth *ranked, size_t i) {
  const double sure = facts->all.piece[i].reading->confidence;
  feedback_say(pen,
               _("%s: its edge was hard to find in this photo, so these figures are a guess. To be sure, photograph it "
                 "again on something plain of quite another colour."),
               facts->photos[i]->title);
  feedback_figure(pen, "outline_sure", sure, _("outline only %.0f %% sure"), floor(100 * sure));
  say_figures(pen, &ranked->pairs[i]);
}

static void say_piece(feedback_pen *pen, const feedback_facts *facts, const bc_ranked_cloth *ranked, size_t i) {
  const bc_cloth *cloth = feedback_cloth(facts, ranked);
  if (bc_reading_is_doubtful(facts->all.piece[i].reading))
    say_doubt(pen, facts, ranked, i);
  else
    say_verdict(pen, facts, ranked, i);
  if (!facts->pictures || pen->failed) return;
  bc_feedback_picture picture, *small = pen->sheet->small.jpeg ? NULL : &pen->sheet->small;
  if (feedback_piece_picture(&picture, small, pen->context, facts->studies[i], cloth) != BC_OK) {
    pen->failed = true;
    return;
  }
  picture.words = bc_format(_("%s on “%s”"), facts->photos[i]->title, cloth->name);
  if (small) small->words = bc_copy_text(picture.words);
  feedback_picture(pen, picture);
}

/* Clearest and least clear are chosen among the pieces whose outlines are sure; `doubtful` of the others follow. */
static void say_ends(feedback_pen *pen, const feedback_facts *facts, const bc_ranked_cloth *ranked, size_t best,
                     size_t weakest, size_t doubtful) {
  order *all = bc_allocate(facts->count, sizeof *all);
  if (!all) {
    pen->failed = true;
    return;
  }
  size_t sure = 0;
  for (size_t i = 0; i < facts->count; i++)
    if (!bc_reading_is_doubtful(facts->all.piece[i].reading)) all[sure++] = (order){i, ranked->pairs[i].clarity};
  qsort(all, sure, sizeof *all, clearer);
  if (best > sure) best = sure;
  if (weakest > sure - best) weakest = sure - best;
  for (size_t i = 0; i < best; i++) say_piece(pen, facts, ranked, all[i].piece);
  for (size_t i = sure - weakest; i < sure; i++) say_piece(pen, facts, ranked, all[i].piece);
  for (size_t i = 0; i < facts->count && doubtful; i++)
    if (bc_reading_is_doubtful(facts->all.piece[i].reading)) say_piece(pen, facts, ranked, i), doubtful--;
  free(all);
}

static void swatch(char css[8], const bc_cloth *cloth) {
  bc_lab_to_hex(cloth->colour.lab, css);
}

void feedback_pieces_now(feedback_pen *pen, const feedback_facts *facts) {
  char css[8];
  const bc_ranked_cloth *now = feedback_now(facts);
  swatch(css, feedback_cloth(facts, now));
  feedback_section(pen, BC_FEEDBACK_NOW, css, _("On the wall as it is: “%s”"), feedback_cloth(facts, now)->name);
  say_ends(pen, facts, now, 2, 4, 4);
}

static const char *compared(size_t clear_now, size_t clear, size_t lost_now, size_t lost) {
  if (clear > clear_now && lost > lost_now)
    return _("More pieces stand out here than on the wall as it is, but more get lost, too.");
  if (clear < clear_now && lost < lost_now)
    return _("Fewer pieces get lost here than on the wall as it is, but fewer stand out, too.");
  if (clear > clear_now) return _("More pieces stand out here than on the wall as it is.");
  if (clear < clear_now) return _("Fewer pieces stand out here than on the wall as it is.");
  if (lost < lost_now) return _("As many pieces stand out here as on the wall as it is, and fewer get lost.");
  if (lost > lost_now) return _("As many pieces stand out here as on the wall as it is, but more get lost.");
  return _("As many pieces stand out here as on the wall as it is.");
}

void feedback_pieces_on(feedback_pen *pen, const feedback_facts *facts, size_t which) {
  char css[8];
  const bc_ranked_cloth *ranked = &facts->match->cloths[facts->best[which]];
  swatch(css, feedback_cloth(facts, ranked));
  feedback_section(pen, BC_FEEDBACK_CLOTH, css, _("On “%s”"), feedback_cloth(facts, ranked)->name);
  const bc_ranked_cloth *now = feedback_now(facts);
  const size_t clear_now = feedback_count(facts, now, BC_STANDS_OUT),
               lost_now = feedback_count(facts, now, BC_GETS_LOST);
  const size_t clear = feedback_count(facts, ranked, BC_STANDS_OUT), lost = feedback_count(facts, ranked, BC_GETS_LOST);
  feedback_say(pen, "%s", compared(clear_now, clear, lost_now, lost));
  feedback_figure(pen, "stand_out", (double)clear, _("stand out: %zu now, %zu then"), clear_now, clear);
  feedback_figure(pen, "lost", (double)lost, _("get lost: %zu now, %zu then"), lost_now, lost);
  say_ends(pen, facts, ranked, 1, 1, 0);
}

/* ---- the next photos ---- */

typedef struct found {
  size_t *piece, count;
  double worst; /* figure of the worst of them */
} found;

static bool is_cut_off(const bc_reading *reading) {
  for (size_t i = 0; i < reading->rim_count; i++)
    if (reading->rim[i].after_gap) return true;
  return false;
}

static bool light_unknown(const bc_reading *reading) {
  return reading->uncertainty.mired >= bc_uncertainty_unknown.mired;
}

static double shorter_side(const bc_reading *reading) {
  return fmin(reading->full_width, reading->full_height);
}

typedef enum fault { FAULT_CUT_OFF = 0, FAULT_UNSURE, FAULT_SMALL, FAULT_FEW_PIXELS, FAULT_LIGHT, FAULTS } fault;

/* Whether a reading has the fault; *figure is what the sentence tells. */
static bool has_fault(fault which, const bc_reading *reading, double *figure) {
  switch (which) {
  case FAULT_CUT_OFF:
    *figure = 1;
    return is_cut_off(reading);
  case FAULT_UNSURE:
    *figure = reading->confidence;
    return bc_reading_is_doubtful(reading);
  case FAULT_SMALL:
    *figure = reading->area_share;
    return reading->area_share < SMALL_SHARE;
  case FAULT_FEW_PIXELS:
    *figure = shorter_side(reading);
    return shorter_side(reading) < SMALL_PIXELS;
  default:
    *figure = reading->uncertainty.mired;
    return light_unknown(reading);
  }
}

static bool find_fault(found *out, fault which, const feedback_facts *facts) {
  *out = (found){.piece = bc_allocate(facts->count, sizeof(size_t)), .worst = 1e9};
  for (size_t i = 0; out->piece && i < facts->count; i++) {
    double figure;
    if (!has_fault(which, facts->all.piece[i].reading, &figure)) continue;
    out->piece[out->count++] = i;
    out->worst = fmin(out->worst, figure);
  }
  return out->piece;
}

static void say_fault(feedback_pen *pen, const feedback_facts *facts, fault which, const found *f, const char *names) {
  static const char *const sentences[FAULTS] = {
      N_("Step back a little, so that the whole piece is in the picture: %s."),
      N_("Lay the piece on something plain that differs from it; the edge was hard to find here: %s."),
      N_("Go closer, so that the piece fills a third of the picture or more: %s."),
      N_("Send the photo as the phone took it; this one has few pixels: %s."),
      N_("Lay a sheet of white paper beside the piece, so that its true colour is known: %s.")};
  feedback_say(pen, _(sentences[which]), names);
  feedback_figure(pen, "photos", (double)f->count, _("photos: %zu of %zu"), f->count, facts->count);
  if (which == FAULT_UNSURE)
    feedback_figure(pen, "confidence", f->worst, _("least sure edge: %.0f %%"), floor(100 * f->worst));
  if (which == FAULT_SMALL)
    feedback_figure(pen, "area_share", f->worst, _("smallest share of the picture: %.1f %%"), 100 * f->worst);
  if (which == FAULT_FEW_PIXELS) feedback_figure(pen, "pixels", f->worst, _("shortest side: %.0f pixels"), f->worst);
}

void feedback_photos(feedback_pen *pen, const feedback_facts *facts) {
  feedback_section(pen, BC_FEEDBACK_PHOTOS, NULL, "%s", _("For the next photos"));
  size_t said = 0;
  for (int which = 0; which < FAULTS && !pen->failed; which++) {
    found f;
    pen->failed = !find_fault(&f, (fault)which, facts);
    char *names = pen->failed || !f.count ? NULL : feedback_names(facts, f.piece, f.count);
    if (names) {
      say_fault(pen, facts, (fault)which, &f, names);
      said++;
    }
    free(names);
    free(f.piece);
  }
  if (said) return;
  feedback_say(pen, "%s", _("These photos were good; take the next ones the same way."));
  feedback_figure(pen, "photos", (double)facts->count, bc_text_plural("%zu photo", "%zu photos", facts->count),
                  facts->count);
}
