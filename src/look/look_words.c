/* SPDX-License-Identifier: MIT */
/* A look in plain words: facts with their figures, then what to try. No grade of the person.
 * In: bc_look. Out: text for people. */
#include "look_internal.h"

#include "base/measures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct length_words {
  char text[BC_MEASURE_ROOM];
} length_words;

/* Both units, the asked first. */
static length_words length(double cm, bc_units units) {
  length_words out;
  base_measure_length_both(out.text, cm, units, BC_MEASURE_SEEN);
  return out;
}

static size_t count_of(const bc_look *look, bc_verdict verdict, bool on_cloth) {
  size_t count = 0;
  for (size_t i = 0; i < look->piece_count; i++)
    count += (on_cloth ? look->pieces[i].on_cloth : look->pieces[i].pair).verdict == verdict;
  return count;
}

/* ---- facts about the whole ---- */

static bc_status tell_wall(bc_notes *facts, bc_context *context, const bc_look *look, bc_units units) {
  const length_words wide = length(look->width_cm, units), high = length(look->height_cm, units);
  const length_words away = length(look->camera.distance_cm, units);
  const bc_status status =
      bc_note(facts, context,
              look->height_given ? _("The wall is %s wide and %s high.")
                                 : _("The wall is %s wide, as you said, and as worked out from the photo %s high."),
              wide.text, high.text);
  if (status != BC_OK) return status;
  const double aside = fabs(look->camera.yaw), askew = fabs(look->camera.roll);
  if (aside < 0.5 && askew < 0.5)
    return bc_note(facts, context, _("The photo was taken from %s away, straight on."), away.text);
  return bc_note(facts, context,
                 _("The photo was taken from %s away, %.0f° from the side and %.0f° askew; both are straightened."),
                 away.text, aside, askew);
}

static bc_status tell_pieces(bc_notes *facts, bc_context *context, const bc_look *look) {
  if (!look->piece_count)
    return bc_note(facts, context, _("No piece was found on it. Point them out with --box, one for each."));
  return bc_note(
      facts, context,
      bc_text_plural("%zu piece is on it and covers %.0f %% of the wall. Standing out: %zu, soft: %zu, lost: %zu.",
                     "%zu pieces are on it and cover %.0f %% of the wall. Standing out: %zu, soft: %zu, lost: %zu.",
                     look->piece_count),
      look->piece_count, 100 * look->covered_share, count_of(look, BC_STANDS_OUT, false),
      count_of(look, BC_SOFT, false), count_of(look, BC_GETS_LOST, false));
}

static bc_status tell_rest(bc_notes *facts, bc_context *context, const bc_look *look, bc_units units) {
  static const char *const busy[] = {N_("As a whole the wall looks plain (%.1f bits of clutter)."),
                                     N_("As a whole the wall looks quiet (%.1f bits of clutter)."),
                                     N_("As a whole the wall looks lively (%.1f bits of clutter)."),
                                     N_("As a whole the wall looks busy (%.1f bits of clutter).")};
  const bc_status status = bc_note(facts, context, _(busy[bc_textile_busy(&look->texture)]), look->texture.busy_bits);
  if (status != BC_OK || !look->gap_count) return status;
  const bc_look_gap *const gap = &look->gaps[0];
  const length_words wide = length(gap->width, units), high = length(gap->height, units), up = length(gap->y, units);
  if (gap->y < 3)
    return bc_note(facts, context, _("The largest empty area is %s wide and %s high and reaches down to the floor."),
                   wide.text, high.text);
  return bc_note(facts, context, _("The largest empty area is %s wide and %s high and begins %s above the floor."),
                 wide.text, high.text, up.text);
}

bc_status bc_look_facts(bc_notes *facts, bc_context *context, const bc_look *look, bc_units units) {
  bc_status status = tell_wall(facts, context, look, units);
  if (status == BC_OK) status = tell_pieces(facts, context, look);
  return status == BC_OK ? tell_rest(facts, context, look, units) : status;
}

static void say_place(bc_buffer *text, const bc_look_piece *piece, bc_units units) {
  const length_words at = length(piece->y_cm, units);
  static const char *const words[] = {
      N_("Its middle is at %s, in the sight band."), N_("Its middle is at %s, above the sight band."),
      N_("Its middle is at %s, below the sight band."),
      N_("Its middle is at %s; it stands on the floor or in front of the wall, so its size is a rough guess.")};
  bc_buffer_add(text, _(words[piece->height]), at.text);
}

static void say_piece(bc_buffer *text, const bc_look *look, size_t i, bc_units units) {
  const bc_look_piece *const piece = &look->pieces[i];
  const length_words wide = length(piece->width_cm, units), high = length(piece->height_cm, units);
  const bc_main_colour *const colour = piece->study->reading->colours;
  bc_buffer_add(text, "\n%zu. ", i + 1);
  /* TRANSLATORS: the piece's main colour, its width, its height */
  bc_buffer_add(text, _("%s, %s wide and %s high: %s."), piece->study->reading->colour_count ? colour[0].name : "",
                wide.text, high.text, bc_verdict_text(piece->pair.verdict));
  bc_buffer_add(text, " ");
  bc_buffer_say(text, _("Contrast %.1f : 1 with the %s behind it; %.0f %% of the outline is clear."),
                piece->pair.contrast_ratio, piece->behind->name, 100 * piece->pair.seen_share);
  bc_buffer_add(text, " ");
  say_place(text, piece, units);
}

/* ---- what to try, in order of effect ---- */

static bc_status try_cloth(bc_notes *tries, bc_context *context, const bc_look *look) {
  if (!look->cloth || !look->piece_count) return BC_OK;
  return bc_note(tries, context,
                 _("Put “%1$s” behind them: of %2$zu in all, standing out %3$zu, lost %4$zu; as it is now, standing "
                   "out %5$zu, lost %6$zu."),
                 look->cloth->name, look->piece_count, count_of(look, BC_STANDS_OUT, true),
                 count_of(look, BC_GETS_LOST, true), count_of(look, BC_STANDS_OUT, false),
                 count_of(look, BC_GETS_LOST, false));
}

static bc_status try_contrast(bc_notes *tries, bc_context *context, const bc_look *look) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < look->piece_count; i++) {
    const bc_look_piece *const piece = &look->pieces[i];
    if (piece->pair.verdict == BC_GETS_LOST)
      status = bc_note(tries, context,
                       piece->behind->colour.lab.L > 50
                           ? _("Piece %zu gets lost (%.1f : 1). A dark card or cloth behind it would show it.")
                           : _("Piece %zu gets lost (%.1f : 1). A light card or cloth behind it would show it."),
                       i + 1, piece->pair.contrast_ratio);
  }
  return status;
}

static bc_status try_height(bc_notes *tries, bc_context *context, const bc_look *look, bc_units units) {
  const length_words low = length(look->sight_low, units), high = length(look->sight_high, units);
  bc_buffer numbers = {0};
  size_t count = 0;
  for (size_t i = 0; i < look->piece_count; i++)
    if (look->pieces[i].height == BC_LOOK_ABOVE || look->pieces[i].height == BC_LOOK_BELOW)
      bc_buffer_add(&numbers, count++ ? ", %zu" : "%zu", i + 1);
  bc_status status = numbers.failed ? bc_fail_memory(context) : BC_OK;
  if (status == BC_OK && count)
    status = bc_note(tries, context,
                     bc_text_plural("Piece %s hangs outside the sight band; people look between %s and %s above the "
                                    "floor. Move what matters most into it.",
                                    "Pieces %s hang outside the sight band; people look between %s and %s above the "
                                    "floor. Move what matters most into it.",
                                    count),
                     numbers.text, low.text, high.text);
  bc_buffer_clear(&numbers);
  return status;
}

static bc_status try_level(bc_notes *tries, bc_context *context, const bc_look *look) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < look->piece_count; i++) {
    const bc_look_piece *const piece = &look->pieces[i];
    if (piece->has_tilt && fabs(piece->tilt) >= 1.5)
      status =
          bc_note(tries, context,
                  piece->tilt > 0 ? _("Piece %zu leans %.1f° to the right. Straighten it, unless it is meant to lean.")
                                  : _("Piece %zu leans %.1f° to the left. Straighten it, unless it is meant to lean."),
                  i + 1, fabs(piece->tilt));
  }
  return status;
}

static bc_status try_focus(bc_notes *tries, bc_context *context, const bc_look *look, bc_units units) {
  double nearest = HUGE_VAL;
  for (size_t i = 0; i < look->piece_count; i++) {
    const bc_look_piece *const p = &look->pieces[i];
    const double dx = fmax(0, fabs(p->x_cm - look->focus.x) - p->width_cm / 2);
    const double dy = fmax(0, fabs(p->y_cm - look->focus.y) - p->height_cm / 2);
    nearest = fmin(nearest, hypot(dx, dy));
  }
  if (!look->piece_count || nearest < look->width_cm / 10) return BC_OK;
  const length_words far = length(nearest, units);
  return bc_note(tries, context,
                 _("Nothing hangs at the focus, where people look first: the nearest piece is %s from it."), far.text);
}

bc_status bc_look_tries(bc_notes *tries, bc_context *context, const bc_look *look, bc_units units) {
  bc_status status = try_cloth(tries, context, look);
  if (status == BC_OK) status = try_contrast(tries, context, look);
  if (status == BC_OK) status = try_height(tries, context, look, units);
  if (status == BC_OK) status = try_level(tries, context, look);
  return status == BC_OK ? try_focus(tries, context, look, units) : status;
}

/* ---- all of it ---- */

static void add_list(bc_buffer *text, const char *heading, const bc_notes *notes) {
  for (size_t i = 0; i < notes->count; i++) {
    if (i == 0 && heading) bc_buffer_add(text, "\n%s\n", heading);
    bc_buffer_add(text, heading ? "- %s\n" : "%s\n", notes->text[i]);
  }
}

bc_status bc_look_to_words(char **out, bc_context *context, const bc_look *look, bc_units units) {
  bc_buffer text = {0};
  bc_notes facts = {0}, tries = {0};
  *out = NULL;
  bc_status status = bc_look_facts(&facts, context, look, units);
  if (status == BC_OK) status = bc_look_tries(&tries, context, look, units);
  add_list(&text, NULL, &facts);
  for (size_t i = 0; i < look->piece_count; i++) say_piece(&text, look, i, units);
  if (look->piece_count) bc_buffer_add(&text, "\n");
  add_list(&text, _("What to try"), &tries);
  add_list(&text, _("Worth knowing"), &look->notes);
  bc_notes_clear(&facts);
  bc_notes_clear(&tries);
  if (status == BC_OK) return bc_buffer_finish(&text, out, context);
  bc_buffer_clear(&text);
  return status;
}
