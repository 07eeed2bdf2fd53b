/* SPDX-License-Identifier: MIT */
/* A finding's name and its reasons, for whoever tells it: the notes, the sheet, the drawing, the packing list. */
#include "loads_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, NAME = 160 };

static void name_points(char *out, size_t size, const bc_loads *loads, const bc_load_finding *finding) {
  const bc_load_point *point = &loads->points[finding->first];
  const int last = point->point + (int)finding->count - 1;
  if (point->of == 1)
    snprintf(out, size, "%.300s", point->title);
  else if (finding->count == 1)
    snprintf(out, size, _("%.300s, point %d of %d"), point->title, point->point, point->of);
  else
    snprintf(out, size, _("%.300s, points %d to %d of %d"), point->title, point->point, last, point->of);
}

static const char *id_of(const bc_loads *loads, const bc_load_finding *finding) {
  switch (finding->subject) {
  case BC_LOAD_ROD:
    return loads->rods[finding->first].id;
  case BC_LOAD_GRID:
    return loads->grids[finding->first].id;
  case BC_LOAD_TABLE:
    return loads->tables[finding->first].id;
  default:
    return loads->shelves[finding->first].id;
  }
}

void bc_load_finding_name(char *out, size_t size, const bc_loads *loads, const bc_plan *plan,
                          const bc_load_finding *finding) {
  static const bc_carrier_kind kinds[] = {
      [BC_LOAD_ROD] = BC_CARRIER_ROD,   [BC_LOAD_SHELF] = BC_CARRIER_SHELF, [BC_LOAD_FIXINGS] = BC_CARRIER_SHELF,
      [BC_LOAD_GRID] = BC_CARRIER_GRID, [BC_LOAD_TABLE] = BC_CARRIER_TABLE, [BC_LOAD_FRAME] = BC_CARRIER_FRAME};
  if (finding->subject == BC_LOAD_POINTS) {
    name_points(out, size, loads, finding);
    return;
  }
  bc_carrier on = {.kind = kinds[finding->subject], .id = "frame"};
  if (finding->subject != BC_LOAD_FRAME) on.id = id_of(loads, finding);
  char name[NAME];
  bc_carrier_name(name, sizeof name, plan, &on);
  if (finding->subject == BC_LOAD_FIXINGS)
    snprintf(out, size, _("the upper screws of %s"), name);
  else
    snprintf(out, size, "%s", name);
}

/* In the order of the reasons; ratings have their figures told by the caller. */
void loads_tell_reasons(bc_buffer *out, unsigned why) {
  static const char *const texts[BC_WHY_REASONS] = {
      NULL,
      N_("It would tip over."),
      N_("It would lift off a bracket."),
      N_("It sags too much."),
      N_("It is too weak."),
      N_("It is past the end of what should carry it."),
      N_("This fixing does not hold in this wall, or may not go into it."),
      N_("What carries it does not hold."),
      N_("NOT KNOWN: a weight is not given."),
      N_("NOT KNOWN: a rating is not given."),
      N_("NOT KNOWN: its material or thickness is not given."),
      N_("NOT KNOWN: its bending cannot be worked out from the supports given."),
      N_("NOT KNOWN: the height of its brackets is not given."),
      N_("NOT KNOWN: whether what carries it holds is not known."),
      NULL, /* loads_tell_pull */
  };
  for (int i = 0; i < BC_WHY_REASONS; i++)
    if (texts[i] && why & 1u << i)
      bc_buffer_add(out, out->length > 0 && out->text[out->length - 1] == ' ' ? "%s" : " %s", bc_text_safety(texts[i]));
}

void loads_tell_pull(bc_buffer *out, const bc_load_point *point, bc_units units) {
  char pulled[WORDS], rated[WORDS], reach[WORDS];
  bc_mass_words(pulled, sizeof pulled, loads_kg_of_newton(point->pulled_n) * 1000, units);
  bc_mass_words(rated, sizeof rated, loads_kg_of_newton(point->rated_n) * 1000, units);
  bc_length_words(reach, sizeof reach, BC_CHILD_REACH_CM, units);
  bc_buffer_add(
      out,
      bc_text_safety(
          " A child can reach it and pull: it must hold %s then and is rated for %s only. Hang it higher than "
          "%s, keep children away from it, or use stronger fixings that close."),
      pulled, rated, reach);
}

/* What must be rated for how much, and what it is rated for. A stiff point that may come to carry all of it by itself
 * must at least be rated for that. */
static void figures(double *needed_n, double *rated_n, const bc_loads *loads, const bc_load_finding *finding) {
  const size_t i = finding->first;
  const bc_load_subject of = finding->subject;
  if (of == BC_LOAD_POINTS) {
    *needed_n = fmax(loads->points[i].needed_n, loads->points[i].most_n);
    *rated_n = loads->points[i].rated_n;
  }
  if (of == BC_LOAD_ROD) *needed_n = loads->rods[i].needed_n, *rated_n = loads->rods[i].rated_n;
  if (of == BC_LOAD_SHELF) *needed_n = loads->shelves[i].needed_n, *rated_n = loads->shelves[i].rated_n;
  if (of == BC_LOAD_FIXINGS) *needed_n = loads->shelves[i].fixing_needed_n, *rated_n = loads->shelves[i].fixing_rated_n;
  if (of == BC_LOAD_GRID) *needed_n = loads->grids[i].needed_n, *rated_n = loads->grids[i].rated_n;
  if (of == BC_LOAD_TABLE) *needed_n = loads->tables[i].load_n, *rated_n = loads->tables[i].rated_n;
}

bc_status bc_load_finding_text(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                               const bc_load_finding *finding, bc_units units) {
  char name[2 * NAME], needed[WORDS], rated[WORDS];
  double needed_n = 0, rated_n = 0;
  bc_buffer text = {0};
  bc_load_finding_name(name, sizeof name, loads, plan, finding);
  figures(&needed_n, &rated_n, loads, finding);
  bc_mass_words(needed, sizeof needed, loads_kg_of_newton(needed_n) * 1000, units);
  bc_mass_words(rated, sizeof rated, loads_kg_of_newton(rated_n) * 1000, units);
  bc_buffer_add(&text, "%s:", name);
  if (finding->why & BC_WHY_OVERLOADED)
    bc_buffer_add(&text, bc_text_safety(" It must be rated for %s and is rated for only %s."), needed, rated);
  loads_tell_reasons(&text, finding->why);
  if (finding->why & BC_WHY_PULLED) loads_tell_pull(&text, &loads->points[finding->first], units);
  return bc_buffer_finish(&text, out, context);
}

/* "Mirror, points 4 to 5 of 8; the rod", the first `most` of them. */
static bool add_names(bc_buffer *out, const bc_loads *loads, const bc_plan *plan, bc_holds holds, size_t most) {
  size_t count = 0;
  for (size_t i = 0; i < loads->finding_count; i++) {
    if (loads->findings[i].holds != holds || ++count > most) continue;
    char name[2 * NAME];
    bc_load_finding_name(name, sizeof name, loads, plan, &loads->findings[i]);
    bc_buffer_add(out, count > 1 ? "; %s" : "%s", name);
  }
  if (count > most) bc_buffer_add(out, _("; and %zu more"), count - most);
  return count > 0;
}

bc_status bc_loads_warning(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan, size_t most) {
  bc_buffer text = {0}, fails = {0}, unknown = {0};
  if (add_names(&fails, loads, plan, BC_HOLDS_NO, most))
    bc_buffer_add(&text, bc_text_safety("STOP: hang nothing until this plan passes. Does not hold: %s."), fails.text);
  if (add_names(&unknown, loads, plan, BC_HOLDS_UNKNOWN, most))
    bc_buffer_add(&text,
                  text.length > 0
                      ? bc_text_safety(" NOT KNOWN whether it holds: %s.")
                      : bc_text_safety("NOT KNOWN whether it holds, so hang nothing before it is settled: %s."),
                  unknown.text);
  if (loads_place_nothing(loads, plan))
    bc_buffer_add(&text, text.length > 0 ? " %s" : "%s",
                  bc_text_safety("NOT KNOWN whether it holds: no piece has a place yet."));
  text.failed = text.failed || fails.failed || unknown.failed;
  if (text.length == 0) bc_buffer_add(&text, "%s", "");
  bc_buffer_clear(&fails);
  bc_buffer_clear(&unknown);
  return bc_buffer_finish(&text, out, context);
}
