/* SPDX-License-Identifier: MIT */
/* The wall drawn as planned and with the best cloth, what in the plan is to settle, and cautions before anything is
 * hung. In: facts with a plan. Out: sentences with figures and two pictures. */
#include "feedback_internal.h"

#include <backcloth/colour.h>
#include <backcloth/loads.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FINDINGS 4 /* told at most; the plan's own check tells all */

/* Small studies in the order of the plan's pieces. */
static bc_study **by_piece(const feedback_facts *facts) {
  bc_study **out = bc_allocate(facts->maker->plan->piece_count, sizeof(bc_study *));
  for (size_t i = 0; out && i < facts->count; i++)
    if (facts->photos[i]->piece != SIZE_MAX) out[facts->photos[i]->piece] = facts->studies[i];
  return out;
}

/* The same plan with another cloth, as photographed where there is a photo of it. Everything is borrowed. */
static bc_plan with_cloth(const bc_plan *plan, const bc_cloth *cloth) {
  static const char prefix[] = "photo:";
  const bool photographed = strncmp(cloth->spec, prefix, strlen(prefix)) == 0;
  bc_plan other = *plan;
  other.cloth.colour = cloth->colour;
  other.cloth.photo = photographed ? cloth->spec + strlen(prefix) : NULL;
  other.cloth.photo_width = BC_PLAN_PHOTO_WIDTH_CM;
  other.cloth.photo_width_given = false;
  if (plan->cloth.given) return other;
  other.cloth.given = true;
  other.cloth.width = plan->stand.width;
  other.cloth.height = other.cloth.top = plan->stand.wall_height;
  other.cloth.left = 0;
  other.cloth.fullness = 1;
  return other;
}

static size_t placed(const bc_plan *plan) {
  size_t count = 0;
  for (size_t i = 0; i < plan->piece_count; i++) count += plan->pieces[i].placed;
  return count;
}

static void say_wall(feedback_pen *pen, const feedback_facts *facts, const bc_plan *plan, const bc_ranked_cloth *ranked,
                     bool before, bc_study *const *studies) {
  const size_t lost = feedback_count(facts, ranked, BC_GETS_LOST), drawn = placed(plan);
  const char *name = feedback_cloth(facts, ranked)->name;
  feedback_say(pen, before ? _("The wall as it is planned, with “%s”.") : _("The same wall with “%s”."), name);
  feedback_figure(pen, "lost", (double)lost, _("lost: %zu of %zu"), lost, facts->count);
  feedback_figure(pen, "placed", (double)drawn, _("with a place: %zu of %zu"), drawn, plan->piece_count);
  if (!facts->pictures || pen->failed) return;
  bc_feedback_picture picture, *small = before ? &pen->sheet->small : NULL;
  if (small) feedback_picture_clear(small);
  if (feedback_wall_picture(&picture, small, pen->context, plan, studies) != BC_OK) {
    pen->failed = true;
    return;
  }
  picture.words = bc_format(before ? _("The wall as it is planned, with “%s”.") : _("The same wall with “%s”."), name);
  if (small) small->words = bc_copy_text(picture.words);
  picture.wide = true;
  feedback_picture(pen, picture);
}

static bc_status say_findings(feedback_pen *pen, const bc_plan *plan) {
  bc_plan_findings findings = {0};
  const bc_status status = bc_plan_check(&findings, pen->context, plan);
  size_t serious = 0, said = 0;
  for (size_t i = 0; i < findings.count; i++) serious += findings.finding[i].serious;
  for (size_t i = 0; status == BC_OK && i < findings.count && said < FINDINGS; i++) {
    if (!findings.finding[i].serious) continue;
    said++;
    feedback_say(pen, "%s", findings.finding[i].text);
    feedback_figure(pen, "finding", (double)said, _("%zu of %zu to settle"), said, serious);
  }
  bc_plan_findings_clear(&findings);
  return status;
}

static size_t overloads(const bc_loads *loads, double *most) {
  size_t count = 0;
  *most = 0;
  for (size_t i = 0; i < loads->point_count; i++) {
    count += loads->points[i].alone == BC_HOLDS_NO;
    if (loads->points[i].utilisation > *most) *most = loads->points[i].utilisation;
  }
  return count;
}

static void say_hanging(feedback_pen *pen, const feedback_facts *facts, const bc_loads *loads) {
  char mass[64];
  double most;
  const size_t over = overloads(loads, &most);
  bc_mass_words(mass, sizeof mass, 1000 * loads->total_kg, facts->options->units);
  feedback_section(pen, BC_FEEDBACK_HANGING, NULL, "%s", bc_text_safety("Before anything is hung"));
  if (loads->overloaded) {
    feedback_say(
        pen, "%s",
        bc_text_safety(
            "Something here does not hold by these figures. Do not hang it; lighten it or fix it better first."));
    feedback_figure(pen, "points_over", (double)over, bc_text_plural("%zu hanging point", "%zu hanging points", over),
                    over);
    if (most > 0) feedback_figure(pen, "utilisation", most, _("up to %.0f %% of what is allowed"), 100 * most);
  }
  for (size_t i = 0; i < loads->cautions.count; i++) {
    feedback_say(pen, "%s", loads->cautions.text[i]);
    feedback_figure(pen, "total_kg", loads->total_kg, _("hanging in all: %s"), mass);
    feedback_figure(pen, "design_factor", loads->design_factor, _("planned %.3g times as strong"),
                    loads->design_factor);
  }
}

bc_status feedback_wall(feedback_pen *pen, const feedback_facts *facts) {
  const bc_plan *plan = facts->maker->plan;
  bc_plan now = *plan;
  bc_study **studies = by_piece(facts);
  if (!studies) return bc_fail_memory(pen->context);
  if (facts->wall_message) now.cloth.given = false; /* its photo can't be read: the wall behind it was judged */
  feedback_section(pen, BC_FEEDBACK_WALL, NULL, "%s", _("The wall"));
  say_wall(pen, facts, &now, feedback_now(facts), true, studies);
  if (facts->best_count) {
    const bc_ranked_cloth *best = &facts->match->cloths[facts->best[0]];
    const bc_plan after = with_cloth(plan, feedback_cloth(facts, best));
    say_wall(pen, facts, &after, best, false, studies);
  }
  free(studies);
  bc_status status = say_findings(pen, plan);
  bc_loads *loads = NULL;
  if (status == BC_OK) status = bc_loads_of(&loads, pen->context, plan);
  if (status == BC_OK) {
    say_hanging(pen, facts, loads);
    pen->sheet->summary.overloaded = loads->overloaded;
  }
  bc_loads_free(loads);
  return status;
}
