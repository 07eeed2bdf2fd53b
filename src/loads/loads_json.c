/* SPDX-License-Identifier: MIT */
/* The loads for programs. "ok" is null where a rating is not known. */
#include "loads_internal.h"

#include "base/json.h"
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

static json_t *point_json(const bc_load_point *point) {
  return json_pack("{s:s,s:i,s:s,s:s,s:o,s:o,s:o,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:o}", "piece", point->piece, "point",
                   point->point, "title", point->title, "mount", bc_mount_word(point->kind), "on", word(point->on), "x",
                   figure(point->x), "y", figure(point->y), "vertical_n", point->vertical_n, "horizontal_n",
                   point->horizontal_n, "tension_n", point->tension_n, "demand_n", point->demand_n, "most_n",
                   point->most_n, "rated_n", point->rated_n, "needed_n", point->needed_n, "utilisation",
                   point->utilisation, "ok", truth(point->holds));
}

static json_t *rod_json(const bc_load_rod *rod) {
  json_t *reactions = json_array();
  for (size_t i = 0; i < rod->support_count; i++) json_array_append_new(reactions, json_real(rod->reactions_n[i]));
  json_t *total = json_array();
  for (size_t i = 0; i < rod->support_count; i++) json_array_append_new(total, json_real(rod->reactions_total_n[i]));
  return json_pack("{s:s,s:f,s:f,s:o,s:f,s:o,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:o}", "id", rod->id,
                   "reaction_left_n", rod->reaction_left_n, "reaction_right_n", rod->reaction_right_n, "reactions_n",
                   reactions, "own_weight_n", rod->own_weight_n, "reactions_total_n", total, "max_moment_total_nm",
                   rod->max_moment_total_nm, "max_deflection_total_mm", rod->max_deflection_total_mm, "utilisation",
                   rod->utilisation, "max_moment_nm", rod->max_moment_nm, "max_deflection_mm", rod->max_deflection_mm,
                   "allowed_deflection_mm", rod->allowed_deflection_mm, "max_stress_mpa", rod->max_stress_mpa,
                   "allowed_stress_mpa", rod->allowed_stress_mpa, "rated_n", rod->rated_n, "needed_n", rod->needed_n,
                   "ok", truth(rod->holds));
}

static json_t *shelf_json(const bc_load_shelf *shelf) {
  json_t *brackets = json_array();
  for (size_t i = 0; i < shelf->bracket_count; i++) {
    const bc_load_bracket *bracket = &shelf->brackets[i];
    json_array_append_new(brackets, json_pack("{s:f,s:f,s:f,s:f}", "x", bracket->x, "vertical_n", bracket->vertical_n,
                                              "pull_n", bracket->pull_n, "demand_n", bracket->demand_n));
  }
  return json_pack("{s:s,s:f,s:f,s:f,s:f,s:f,s:o,s:f,s:f,s:f,s:o,s:o,s:o}", "id", shelf->id, "load_n", shelf->load_n,
                   "own_weight_n", shelf->own_weight_n, "rated_n", shelf->rated_n, "needed_n", shelf->needed_n,
                   "utilisation", shelf->utilisation, "brackets", brackets, "fixing_rated_n", shelf->fixing_rated_n,
                   "fixing_needed_n", shelf->fixing_needed_n, "fixing_utilisation", shelf->fixing_utilisation,
                   "shelf_ok", truth(shelf->shelf_holds), "fixings_ok", truth(shelf->fixings_hold), "ok",
                   truth(shelf->holds));
}

static json_t *grids_json(const bc_loads *loads) {
  json_t *list = json_array();
  for (size_t i = 0; i < loads->grid_count; i++) {
    const bc_load_grid *grid = &loads->grids[i];
    json_array_append_new(list, json_pack("{s:s,s:f,s:f,s:f,s:f,s:o}", "id", grid->id, "load_n", grid->load_n,
                                          "rated_n", grid->rated_n, "needed_n", grid->needed_n, "utilisation",
                                          grid->utilisation, "ok", truth(grid->holds)));
  }
  return list;
}

static json_t *frame_json(const bc_load_frame *frame) {
  if (!frame->given) return json_null();
  return json_pack("{s:f,s:[f,f],s:f,s:f,s:f,s:f,s:o,s:f,s:o,s:o}", "weight_n", frame->weight_n, "restoring_nm",
                   frame->restoring_nm[0], frame->restoring_nm[1], "push_without_ballast_n", frame->push_bare_n,
                   "push_n", frame->push_n, "push_wanted_n", BC_FRAME_PUSH_N, "push_height_cm", frame->push_height_cm,
                   "tips_forward", json_boolean(frame->forward), "ballast_g", frame->ballast_g, "ballast_needed_g",
                   isfinite(frame->ballast_needed_g) ? json_real(frame->ballast_needed_g) : json_null(), "ok",
                   truth(frame->holds));
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

bc_status bc_loads_to_json(char **out, bc_context *context, const bc_loads *loads) {
  *out = NULL;
  json_t *points = json_array(), *rods = json_array(), *shelves = json_array();
  for (size_t i = 0; i < loads->point_count; i++) json_array_append_new(points, point_json(&loads->points[i]));
  for (size_t i = 0; i < loads->rod_count; i++) json_array_append_new(rods, rod_json(&loads->rods[i]));
  for (size_t i = 0; i < loads->shelf_count; i++) json_array_append_new(shelves, shelf_json(&loads->shelves[i]));
  json_t *root =
      json_pack("{s:f,s:f,s:I,s:f,s:f,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "design_factor", loads->design_factor,
                "total_kg", loads->total_kg, "unweighed", (json_int_t)loads->unweighed, "per_metre_kg",
                loads->per_metre_kg, "cloth_kg", loads->cloth_kg, "points", points, "rods", rods, "shelves", shelves,
                "grids", grids_json(loads), "frame", frame_json(&loads->frame), "steps", steps_json(loads), "cautions",
                bc_json_texts(loads->cautions.text, loads->cautions.count), "notes",
                bc_json_texts(loads->notes.text, loads->notes.count));
  *out = root ? json_dumps(root, JSON_COMPACT | DIGITS) : NULL;
  json_decref(root);
  return *out ? BC_OK : bc_fail_memory(context);
}
