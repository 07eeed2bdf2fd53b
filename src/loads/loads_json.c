/* SPDX-License-Identifier: MIT */
/* The loads for programs. "ok" is null where it is not known whether something holds, and so is what rests on a weight,
 * rating or material that is not given. */
#include "loads_internal.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

/* Figures to six digits: finer than any scale or packaging. */
#define DIGITS JSON_REAL_PRECISION(6)

static json_t *truth(bc_holds holds) {
  return holds == BC_HOLDS_UNKNOWN ? json_null() : json_boolean(holds == BC_HOLDS_YES);
}
static json_t *figure(double value) {
  return isnan(value) ? json_null() : json_real(value);
}
static json_t *word(const char *text) {
  return text ? json_string(text) : json_null();
}

static json_t *known(double value, bool is_known) {
  return is_known && isfinite(value) ? json_real(value) : json_null();
}

/* A rating: null when nobody gave it. */
static json_t *rating(double newton) {
  return known(newton, newton > 0);
}

static json_t *reasons(unsigned why) {
  json_t *list = json_array();
  for (int i = 0; i < BC_WHY_REASONS; i++)
    if (why & 1u << i) json_array_append_new(list, json_string(bc_load_reason_word(i)));
  return list;
}

static json_t *point_json(const bc_load_point *point) {
  const bool weighed = point->weighed;
  json_t *out = json_pack("{s:s,s:i,s:s,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "piece", point->piece,
                          "point", point->point, "title", point->title, "mount", bc_mount_word(point->kind), "on",
                          word(point->on), "x", figure(point->x), "y", figure(point->y), "vertical_n",
                          known(point->vertical_n, weighed), "horizontal_n", known(point->horizontal_n, weighed),
                          "outward_n", known(point->outward_n, weighed), "tension_n", known(point->tension_n, weighed),
                          "demand_n", known(point->demand_n, weighed), "most_n", known(point->most_n, weighed),
                          "rated_n", rating(point->rated_n), "needed_n", known(point->needed_n, weighed));
  json_t *more = json_pack("{s:o,s:o,s:o,s:o,s:o}", "pulled_by_a_child_n", known(point->pulled_n, point->in_reach),
                           "pulled_ok", point->in_reach ? truth(point->pulled) : json_null(), "utilisation",
                           known(point->utilisation, point->holds != BC_HOLDS_UNKNOWN && point->rated_n > 0 && weighed),
                           "ok", truth(point->holds), "why", reasons(point->why));
  if (json_object_update(out, more) != 0) json_decref(out), out = NULL;
  json_decref(more);
  return out;
}

static json_t *forces(const double *newton, size_t count) {
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++) json_array_append_new(list, json_real(newton[i]));
  return list;
}

static json_t *rod_json(const bc_load_rod *rod) {
  const bool solved = rod->solved, whole = solved && !rod->unweighed;
  json_t *out = json_pack(
      "{s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "id", rod->id, "reaction_left_n",
      known(rod->reaction_left_n, solved), "reaction_right_n", known(rod->reaction_right_n, solved), "reactions_n",
      forces(rod->reactions_n, rod->support_count), "own_weight_n", known(rod->own_weight_n, solved),
      "reactions_total_n", forces(rod->reactions_total_n, rod->support_count), "max_moment_total_nm",
      known(rod->max_moment_total_nm, solved), "max_deflection_total_mm", known(rod->max_deflection_total_mm, solved),
      "sag_in_time_mm", known(rod->sag_mm, solved), "utilisation",
      known(rod->utilisation, whole && rod->rated_n > 0 && rod->holds != BC_HOLDS_UNKNOWN));
  json_t *more = json_pack(
      "{s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:b}", "max_moment_nm", known(rod->max_moment_nm, solved),
      "max_deflection_mm", known(rod->max_deflection_mm, solved), "allowed_deflection_mm",
      known(rod->allowed_deflection_mm, solved), "max_stress_mpa", known(rod->max_stress_mpa, solved),
      "allowed_stress_mpa", known(rod->allowed_stress_mpa, solved), "rated_n", rating(rod->rated_n), "needed_n",
      known(rod->needed_n, solved), "ok", truth(rod->holds), "why", reasons(rod->why), "unweighed", rod->unweighed);
  if (json_object_update(out, more) != 0) json_decref(out), out = NULL;
  json_decref(more);
  return out;
}

static json_t *brackets_json(const bc_load_shelf *shelf) {
  json_t *brackets = json_array();
  const bool high = !(shelf->fixings_why & BC_WHY_NO_BRACKET);
  for (size_t i = 0; i < shelf->bracket_count; i++) {
    const bc_load_bracket *bracket = &shelf->brackets[i];
    json_array_append_new(brackets,
                          json_pack("{s:f,s:f,s:o,s:o}", "x", bracket->x, "vertical_n", bracket->vertical_n, "pull_n",
                                    known(bracket->pull_n, high), "demand_n", known(bracket->demand_n, high)));
  }
  return brackets;
}

static json_t *shelf_json(const bc_load_shelf *shelf) {
  const bool rated = shelf->rated_n > 0 && shelf->shelf_holds != BC_HOLDS_UNKNOWN;
  const bool fixed = shelf->fixing_rated_n > 0 && shelf->fixings_hold != BC_HOLDS_UNKNOWN;
  return json_pack("{s:s,s:f,s:o,s:o,s:f,s:o,s:o,s:o,s:f,s:o,s:o,s:o,s:o,s:o,s:o,s:b}", "id", shelf->id, "load_n",
                   shelf->load_n, "own_weight_n", rating(shelf->own_weight_n), "rated_n", rating(shelf->rated_n),
                   "needed_n", shelf->needed_n, "utilisation", known(shelf->utilisation, rated), "brackets",
                   brackets_json(shelf), "fixing_rated_n", rating(shelf->fixing_rated_n), "fixing_needed_n",
                   shelf->fixing_needed_n, "fixing_utilisation", known(shelf->fixing_utilisation, fixed), "shelf_ok",
                   truth(shelf->shelf_holds), "fixings_ok", truth(shelf->fixings_hold), "ok", truth(shelf->holds),
                   "shelf_why", reasons(shelf->shelf_why), "fixings_why", reasons(shelf->fixings_why), "unweighed",
                   shelf->unweighed);
}

static json_t *grids_json(const bc_loads *loads) {
  json_t *list = json_array();
  for (size_t i = 0; i < loads->grid_count; i++) {
    const bc_load_grid *grid = &loads->grids[i];
    const bool rated = grid->rated_n > 0 && grid->holds != BC_HOLDS_UNKNOWN;
    json_array_append_new(list, json_pack("{s:s,s:f,s:o,s:f,s:o,s:o,s:o,s:b}", "id", grid->id, "load_n", grid->load_n,
                                          "rated_n", rating(grid->rated_n), "needed_n", grid->needed_n, "utilisation",
                                          known(grid->utilisation, rated), "ok", truth(grid->holds), "why",
                                          reasons(grid->why), "unweighed", grid->unweighed));
  }
  return list;
}

static json_t *tables_json(const bc_loads *loads) {
  json_t *list = json_array();
  for (size_t i = 0; i < loads->table_count; i++) {
    const bc_load_table *table = &loads->tables[i];
    json_array_append_new(list, json_pack("{s:s,s:f,s:o,s:o,s:o,s:b}", "id", table->id, "load_n", table->load_n,
                                          "rated_n", rating(table->rated_n), "ok", truth(table->holds), "why",
                                          reasons(table->why), "unweighed", table->unweighed));
  }
  return list;
}

static json_t *frame_json(const bc_load_frame *frame) {
  if (!frame->given) return json_null();
  return json_pack("{s:f,s:[f,f],s:[f,f],s:f,s:f,s:f,s:f,s:f,s:o,s:f,s:o,s:o,s:o}", "weight_n", frame->weight_n,
                   "restoring_nm", frame->restoring_nm[0], frame->restoring_nm[1], "restoring_sold_out_nm",
                   frame->sold_out_nm[0], frame->sold_out_nm[1], "push_without_ballast_n", frame->push_bare_n, "push_n",
                   frame->push_n, "push_wanted_n", frame->wanted_nm / (frame->push_height_cm / 100), "side_load_n",
                   frame->side_n, "push_height_cm", frame->push_height_cm, "tips_forward", json_boolean(frame->forward),
                   "ballast_g", frame->ballast_g, "ballast_needed_g", known(frame->ballast_needed_g, true), "ok",
                   truth(frame->holds), "why", reasons(frame->why));
}

/* The list that everything else is told from. */
static json_t *findings_json(const bc_loads *loads) {
  static const char *const subjects[] = {"points", "rod", "shelf", "fixings", "grid", "table", "frame"};
  json_t *list = json_array();
  for (size_t i = 0; i < loads->finding_count; i++) {
    const bc_load_finding *finding = &loads->findings[i];
    const size_t first = finding->first;
    const bc_load_point *point = &loads->points[first];
    const bool points = finding->subject == BC_LOAD_POINTS;
    const char *id = points                              ? point->piece
                     : finding->subject == BC_LOAD_ROD   ? loads->rods[first].id
                     : finding->subject == BC_LOAD_GRID  ? loads->grids[first].id
                     : finding->subject == BC_LOAD_TABLE ? loads->tables[first].id
                     : finding->subject == BC_LOAD_FRAME ? "frame"
                                                         : loads->shelves[first].id;
    json_array_append_new(list, json_pack("{s:s,s:s,s:o,s:o,s:o,s:o}", "of", subjects[finding->subject], "id", id,
                                          "first", points ? json_integer(point->point) : json_null(), "last",
                                          points ? json_integer(point->point + (int)finding->count - 1) : json_null(),
                                          "ok", truth(finding->holds), "why", reasons(finding->why)));
  }
  return list;
}

static json_t *steps_json(const bc_loads *loads) {
  static const char *const kinds[] = {"frame", "rod", "cloth", "grid", "shelf", "hang", "table", "stand"};
  json_t *steps = json_array();
  for (size_t i = 0; i < loads->step_count; i++) {
    const bc_load_step *step = &loads->steps[i];
    json_array_append_new(steps,
                          json_pack("{s:s,s:I,s:f,s:o,s:b,s:b}", "kind", kinds[step->kind], "index",
                                    (json_int_t)step->index, "mass_g", step->mass_g, "height_cm",
                                    figure(step->height_cm), "two_people", step->two_people, "ladder", step->ladder));
  }
  return steps;
}

static bc_holds whole(const bc_loads *loads) {
  return loads->overloaded ? BC_HOLDS_NO : loads->uncertain ? BC_HOLDS_UNKNOWN : BC_HOLDS_YES;
}

bc_status bc_loads_to_json(char **out, bc_context *context, const bc_loads *loads) {
  *out = NULL;
  json_t *points = json_array(), *rods = json_array(), *shelves = json_array();
  for (size_t i = 0; i < loads->point_count; i++) json_array_append_new(points, point_json(&loads->points[i]));
  for (size_t i = 0; i < loads->rod_count; i++) json_array_append_new(rods, rod_json(&loads->rods[i]));
  for (size_t i = 0; i < loads->shelf_count; i++) json_array_append_new(shelves, shelf_json(&loads->shelves[i]));
  json_t *root =
      json_pack("{s:f,s:f,s:I,s:I,s:f,s:f,s:f,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "design_factor",
                loads->design_factor, "total_kg", loads->total_kg, "unweighed", (json_int_t)loads->unweighed,
                "unplaced", (json_int_t)loads->unplaced, "per_metre_kg", loads->per_metre_kg, "cloth_kg",
                loads->cloth_kg, "worst_point_n", bc_loads_worst_point_n(loads), "ok", truth(whole(loads)), "findings",
                findings_json(loads), "points", points, "rods", rods, "shelves", shelves, "grids", grids_json(loads),
                "tables", tables_json(loads), "frame", frame_json(&loads->frame), "steps", steps_json(loads),
                "cautions", bc_json_texts(loads->cautions.text, loads->cautions.count), "notes",
                bc_json_texts(loads->notes.text, loads->notes.count));
  *out = root ? json_dumps(root, JSON_COMPACT | DIGITS) : NULL;
  json_decref(root);
  return *out ? BC_OK : bc_fail_memory(context);
}
