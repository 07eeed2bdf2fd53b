/* SPDX-License-Identifier: MIT */
/* A maker's sheet as data, section by section. In: a maker's folder, read. Out: bc_feedback_sheet, in the language
 * chosen for the process. */
#include "feedback_internal.h"

#include <backcloth/plan.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool summarise(bc_feedback_summary *s, const feedback_facts *facts) {
  const feedback_maker *maker = facts->maker;
  s->name = bc_copy_text(maker->name);
  s->folder = bc_copy_utf8(maker->folder);
  s->photos = maker->photo_count;
  s->pieces = facts->count;
  s->not_read = maker->photo_count - facts->count;
  s->plan_failed = maker->plan_message != NULL;
  s->need = bc_feedback_need(0, 0, 0);
  if (facts->count) {
    const bc_ranked_cloth *now = feedback_now(facts);
    s->lost = feedback_count(facts, now, BC_GETS_LOST);
    s->soft = feedback_count(facts, now, BC_SOFT);
    s->clear = feedback_count(facts, now, BC_STANDS_OUT);
    s->score = now->score;
    s->need = bc_feedback_need(s->pieces, s->lost, s->score);
    s->present = bc_copy_text(feedback_cloth(facts, now)->name);
  }
  if (facts->best_count) {
    const bc_ranked_cloth *best = &facts->match->cloths[facts->best[0]];
    s->best = bc_copy_text(feedback_cloth(facts, best)->name);
    s->best_score = best->score;
    s->best_lost = feedback_count(facts, best, BC_GETS_LOST);
  }
  if (!s->present) s->present = bc_copy_text("");
  if (!s->best) s->best = bc_copy_text("");
  return s->name && s->folder && s->present && s->best;
}

static void say_seen(feedback_pen *pen, const feedback_facts *facts) {
  const bc_feedback_summary *s = &pen->sheet->summary;
  feedback_section(pen, BC_FEEDBACK_SEEN, NULL, "%s", _("What the photos show"));
  if (!s->pieces) {
    feedback_say(pen, "%s", _("No piece could be read yet. Send photos of the pieces, one piece in each."));
    feedback_figure(pen, "photos", (double)s->photos, bc_text_plural("%zu photo", "%zu photos", s->photos), s->photos);
    return;
  }
  const size_t rest = s->soft + s->lost;
  if (!rest)
    feedback_say(pen, _("On “%s” every piece stands out."), s->present);
  else if (!s->lost)
    feedback_say(pen, _("On “%s” nothing gets lost, and some pieces could be clearer."), s->present);
  else
    feedback_say(pen, _("On “%s” some pieces get lost. That says something about the wall, not about the work."),
                 s->present);
  feedback_figure(pen, "pieces", (double)s->pieces, bc_text_plural("%zu piece", "%zu pieces", s->pieces), s->pieces);
  feedback_figure(pen, "stand_out", (double)s->clear, _("standing out: %zu"), s->clear);
  feedback_figure(pen, "soft", (double)s->soft, _("soft: %zu"), s->soft);
  feedback_figure(pen, "lost", (double)s->lost, _("lost: %zu"), s->lost);
  const size_t unsure = feedback_unsure(facts);
  if (unsure) {
    feedback_say(pen, "%s",
                 _("Not every outline was found for certain; what is counted of those pieces is a guess until there is "
                   "a better photo."));
    feedback_figure(pen, "outlines_unsure", (double)unsure, _("outlines not sure: %zu of %zu"), unsure, s->pieces);
  }
  if (!facts->maker->plan) {
    feedback_say(pen, "%s", _("There is no plan of the stand, so a white wall was taken."));
    feedback_figure(pen, "wall_lightness", 100, _("lightness L* %d"), 100);
  }
  if (!facts->maker->cloths.count && facts->best_count) {
    feedback_say(pen, "%s", _("No cloths were named, so the colours that would serve best were searched for."));
    feedback_figure(pen, "cloths", (double)facts->best_count,
                    bc_text_plural("%zu colour", "%zu colours", facts->best_count), facts->best_count);
  }
}

/* Why something could not be read, and how much of the whole it is. */
static void say_not_read(feedback_pen *pen, const feedback_facts *facts) {
  const feedback_maker *maker = facts->maker;
  const bc_feedback_summary *s = &pen->sheet->summary;
  if (!s->not_read && !maker->plan_message && !maker->cloths_message && !facts->wall_message) return;
  feedback_section(pen, BC_FEEDBACK_NOT_READ, NULL, "%s", _("What could not be read"));
  for (size_t i = 0; i < maker->photo_count; i++) {
    if (!maker->photos[i].message) continue;
    feedback_say(pen, "%s", maker->photos[i].message);
    feedback_figure(pen, "photos_not_read", (double)s->not_read, _("photos: %zu of %zu"), s->not_read, s->photos);
  }
  const char *const others[] = {maker->plan_message, maker->cloths_message, facts->wall_message};
  for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
    if (!others[i]) continue;
    feedback_say(pen, "%s", others[i]);
    feedback_figure(pen, "files_not_read", 1, "%s", _("one file; all else was used"));
  }
}

static void quote_notes(feedback_pen *pen, const char *notes) {
  if (!notes || !notes[strspn(notes, " \t\r\n")]) return;
  feedback_section(pen, BC_FEEDBACK_NOTES, NULL, "%s", _("Notes"));
  char *copy = bc_copy_text(notes), *rest = copy, *line;
  pen->failed = pen->failed || !copy;
  while (rest && (line = strsep(&rest, "\r\n")))
    if (line[strspn(line, " \t")]) feedback_say(pen, "%s", line);
  free(copy);
}

static bc_status write_sections(feedback_pen *pen, const feedback_facts *facts) {
  bc_status status = BC_OK;
  say_seen(pen, facts);
  if (facts->count) {
    feedback_try(pen, facts);
    feedback_pieces_now(pen, facts);
    for (size_t i = 0; i < facts->best_count; i++) feedback_pieces_on(pen, facts, i);
    if (facts->maker->plan) status = feedback_wall(pen, facts);
    feedback_photos(pen, facts);
  }
  say_not_read(pen, facts);
  quote_notes(pen, facts->maker->notes);
  return status;
}

bc_status feedback_write(bc_feedback_sheet **out, const feedback_maker *maker, const bc_feedback_options *options,
                         bool pictures) {
  *out = NULL;
  feedback_facts facts;
  bc_status status = feedback_facts_find(&facts, maker, options, pictures);
  feedback_pen pen = {.context = maker->context, .sheet = bc_allocate(1, sizeof *pen.sheet)};
  if (status == BC_OK && !pen.sheet) status = bc_fail_memory(maker->context);
  if (status == BC_OK) {
    /* TRANSLATORS: the two-letter code of your language, for example es. */
    pen.sheet->language = bc_copy_text(_("en"));
    pen.sheet->right_to_left = bc_language_right_to_left();
    if (!summarise(&pen.sheet->summary, &facts) || !pen.sheet->language) status = bc_fail_memory(maker->context);
  }
  if (status == BC_OK) status = write_sections(&pen, &facts);
  if (status == BC_OK && pen.failed) status = bc_fail_memory(maker->context);
  feedback_facts_clear(&facts);
  if (status == BC_OK)
    *out = pen.sheet;
  else
    bc_feedback_sheet_free(pen.sheet);
  return status;
}

bc_feedback_options bc_feedback_options_default(void) {
  return (bc_feedback_options){0};
}

bc_status bc_feedback_sheet_of(bc_feedback_sheet **out, bc_context *context, const char *folder,
                               const bc_feedback_options *options, bool pictures) {
  *out = NULL;
  feedback_maker maker = {0};
  feedback_cloths cloths = {.path = options->cloths};
  bc_status status = cloths.path ? bc_cloths_open(&cloths.list, context, cloths.path) : BC_OK;
  if (status == BC_OK) status = feedback_maker_open(&maker, context, NULL, folder, &cloths);
  if (status == BC_OK) status = feedback_maker_read(&maker);
  if (status == BC_OK) status = feedback_write(out, &maker, options, pictures);
  feedback_maker_clear(&maker);
  bc_cloths_clear(&cloths.list);
  return status;
}
