/* SPDX-License-Identifier: MIT */
/* A short statement that a venue's officer can sign: what the plan says, and blanks for what it does not. */
#include "loads_internal.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 64 };
#define BLANK "____________________"

double bc_loads_worst_point_n(const bc_loads *loads) {
  double worst = 0;
  for (size_t i = 0; i < loads->point_count; i++) worst = fmax(worst, loads->points[i].demand_n);
  for (size_t i = 0; i < loads->rod_count; i++)
    for (size_t k = 0; k < loads->rods[i].support_count; k++)
      worst = fmax(worst, fabs(loads->rods[i].reactions_total_n[k]));
  for (size_t i = 0; i < loads->shelf_count; i++)
    for (size_t k = 0; k < loads->shelves[i].bracket_count; k++)
      worst = fmax(worst, loads->shelves[i].brackets[k].demand_n);
  return worst;
}

/* The fixings that the plan names, each once. */
static void add_fixings(bc_buffer *out, const bc_plan *plan) {
  bool used[BC_FIXINGS] = {[BC_FIXING_UNKNOWN] = false};
  used[plan->stand.fixing] = true;
  for (size_t i = 0; i < plan->piece_count; i++)
    if (bc_mount_hangs(plan->pieces[i].mount.kind) && !plan->pieces[i].mount.on)
      used[bc_plan_fixing_of(plan, &plan->pieces[i])] = true;
  bool any = false;
  for (int i = BC_FIXING_UNKNOWN + 1; i < BC_FIXINGS; i++) {
    if (!used[i]) continue;
    bc_buffer_add(out, any ? ", %s" : "%s", bc_fixing_text((bc_fixing)i));
    any = true;
  }
  if (!any) bc_buffer_add(out, "%s", BLANK);
}

bc_status bc_loads_statement(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                             bc_units units) {
  bc_buffer text = {0};
  char total[WORDS], worst[WORDS];
  const bool missing = loads->unweighed > 0 || (plan->cloth.given && !(loads->cloth_kg > 0));
  bc_mass_words(total, sizeof total, loads->total_kg * 1000, units);
  bc_mass_words(worst, sizeof worst, loads_kg_of_newton(bc_loads_worst_point_n(loads)) * 1000, units);
  const bool own = plan->frame.given || plan->stand.wall != BC_WALL_UNKNOWN;
  bc_buffer_add(&text, _("Wall: %s\n"),
                !own                ? BLANK
                : plan->frame.given ? bc_wall_text(BC_WALL_OWN_FRAME)
                                    : bc_wall_text(plan->stand.wall));
  bc_buffer_add(&text, "%s ", _("Fixings:"));
  add_fixings(&text, plan);
  bc_buffer_add(&text,
                missing ? _("\nHangs in all: more than %s\nAt the worst point: more than %s\n")
                        : _("\nHangs in all: %s\nAt the worst point: %s\n"),
                total, worst);
  bc_buffer_say(&text, _("Design factor: %g\n"), loads->design_factor);
  bc_buffer_add(&text, "%s\n",
                loads->overloaded  ? _("By this plan: DOES NOT HOLD")
                : loads->uncertain ? _("By this plan: NOT KNOWN whether it holds")
                : own              ? _("By this plan: holds")
                      : _("By this plan: the hooks, rods and shelves hold. Whether the wall holds is NOT KNOWN."));
  if (loads->unplaced > 0)
    bc_buffer_add(&text,
                  bc_text_plural("Without a place yet, and not counted: %zu piece\n",
                                 "Without a place yet, and not counted: %zu pieces\n", loads->unplaced),
                  loads->unplaced);
  if (plan->cloth.given) bc_buffer_add(&text, _("Flame certificate of the cloth, seen: %s\n"), BLANK);
  bc_buffer_add(&text, _("Date: %s   Stand: %s   Venue: %s\n"), BLANK, BLANK, BLANK);
  bc_buffer_add(&text, _("Names: %s (who hangs it)   %s (who has seen it)\n"), BLANK, BLANK);
  return bc_buffer_finish(&text, out, context);
}
