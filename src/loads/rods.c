/* SPDX-License-Identifier: MIT */
/* Rods and battens: what they carry, as beams on their supports, against the material's strength over
 * the design factor and a sag of span / 200 (common practice, no source). */
#include "beam.h"
#include "loads_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SAG_SHARE 200

/* Section figures in m: area, second moment of area, distance of the outermost fibre. */
typedef struct section {
  double area, second_moment, fibre;
} section;

static section section_of(const bc_rod *rod) {
  const double high = rod->outer_mm / 1000, broad = rod->breadth_mm / 1000;
  const double inner = rod->wall_mm > 0 ? fmax(0, high - 2 * rod->wall_mm / 1000) : 0;
  if (broad > 0) { /* a batten on edge; a tube of rectangular section when it has a wall */
    const double inner_broad = rod->wall_mm > 0 ? fmax(0, broad - 2 * rod->wall_mm / 1000) : 0;
    return (section){broad * high - inner_broad * inner, (broad * pow(high, 3) - inner_broad * pow(inner, 3)) / 12,
                     high / 2};
  }
  return (section){M_PI / 4 * (high * high - inner * inner), M_PI / 64 * (pow(high, 4) - pow(inner, 4)), high / 2};
}

/* Longest field between two supports, m. */
static double longest_span(const loads_beam *beam) {
  double longest = 0;
  for (size_t i = 0; i + 1 < beam->support_count; i++)
    longest = fmax(longest, beam->supports[i + 1] - beam->supports[i]);
  return longest;
}

static size_t gather_forces(loads_force *forces, bc_load_rod *out, const bc_loads *loads, const bc_rod *rod) {
  size_t count = 0;
  for (size_t i = 0; i < loads->point_count; i++) {
    const bc_load_point *point = &loads->points[i];
    if (!point->on || strcmp(point->on, rod->id) != 0) continue;
    out->unweighed = out->unweighed || !point->weighed;
    /* A point past the end fails by itself; here it loads the end. */
    const double x = fmin(fmax((point->x - rod->x) / 100, 0), rod->length / 100);
    forces[count++] = (loads_force){x, point->vertical_n};
  }
  return count;
}

static size_t gather_spreads(loads_spread spreads[2], const bc_loads *loads, const bc_plan *plan, const bc_rod *rod,
                             double own_n_per_m) {
  const double length = rod->length / 100;
  spreads[0] = (loads_spread){0, length, own_n_per_m};
  if (bc_plan_cloth_rod(plan) != rod || !(loads->cloth_kg > 0)) return 1;
  const bc_wall_cloth *cloth = &plan->cloth;
  /* All of its weight comes on the rod, even where the cloth is the wider. */
  const double from = fmax(0, (cloth->left - rod->x) / 100),
               to = fmin(length, (cloth->left + cloth->width - rod->x) / 100);
  if (to - from < 1e-6) return 1;
  spreads[1] = (loads_spread){from, to, loads->cloth_kg * BC_STANDARD_GRAVITY / (to - from)};
  return 2;
}

static void judge(bc_load_rod *out, const bc_rod *rod, double factor) {
  double greatest = 0;
  for (size_t i = 0; i < out->support_count; i++) {
    greatest = fmax(greatest, fabs(out->reactions_total_n[i]));
    out->lifts = out->lifts || out->reactions_total_n[i] < -1e-9;
  }
  out->rated_n = rod->rated_kg * BC_STANDARD_GRAVITY;
  const bc_holds supports = loads_compare(greatest, out->rated_n, factor, &out->needed_n, &out->utilisation);
  if (supports == BC_HOLDS_NO) out->why |= BC_WHY_OVERLOADED;
  if (supports == BC_HOLDS_UNKNOWN) out->why |= BC_WHY_NO_RATING;
  if (out->max_stress_mpa > out->allowed_stress_mpa) out->why |= BC_WHY_WEAK;
  if (out->sag_mm > out->allowed_deflection_mm) out->why |= BC_WHY_SAGS;
  if (out->unweighed) out->why |= BC_WHY_NO_WEIGHT;
}

static double greatest_sag_mm(const loads_beam_answer *answer) {
  return 1000 * fmax(answer->sag, fmax(fabs(answer->tip_left), fabs(answer->tip_right)));
}

static void take_hung(bc_load_rod *out, const loads_beam_answer *answer) {
  memcpy(out->reactions_n, answer->reactions, sizeof out->reactions_n);
  out->reaction_left_n = answer->reactions[0];
  out->reaction_right_n = answer->reactions[out->support_count - 1];
  out->max_moment_nm = fmax(answer->sagging, answer->hogging);
  out->max_deflection_mm = greatest_sag_mm(answer);
}

static void take_total(bc_load_rod *out, const loads_beam_answer *answer, const section *cut) {
  memcpy(out->reactions_total_n, answer->reactions, sizeof out->reactions_total_n);
  out->max_moment_total_nm = fmax(answer->sagging, answer->hogging);
  out->max_deflection_total_mm = greatest_sag_mm(answer);
  out->tip_left_mm = 1000 * answer->tip_left;
  out->tip_right_mm = 1000 * answer->tip_right;
  out->max_stress_mpa = out->max_moment_total_nm * cut->fibre / cut->second_moment / 1e6;
}

/* Twice: what hangs on the rod, and that with the rod's own weight. */
static bool solve(bc_load_rod *out, const bc_loads *loads, const bc_plan *plan, const bc_rod *rod,
                  const loads_material *material, loads_force *forces) {
  const section cut = section_of(rod);
  loads_spread spreads[2];
  loads_beam beam = {.length = rod->length / 100,
                     .stiffness = material->elastic_gpa * 1e9 * cut.second_moment,
                     .support_count = rod->support_count,
                     .forces = forces,
                     .force_count = gather_forces(forces, out, loads, rod),
                     .spreads = spreads};
  for (size_t i = 0; i < rod->support_count; i++) beam.supports[i] = (rod->supports[i] - rod->x) / 100;
  const double own = cut.area * material->density * BC_STANDARD_GRAVITY;
  loads_beam_answer hung, all;
  beam.spread_count = gather_spreads(spreads, loads, plan, rod, 0);
  if (!loads_beam_solve(&hung, &beam)) return false;
  loads_beam_extremes(&beam, &hung);
  spreads[0].newton_per_m = own;
  if (!loads_beam_solve(&all, &beam)) return false;
  loads_beam_extremes(&beam, &all);
  out->support_count = rod->support_count;
  out->own_weight_n = own * beam.length;
  out->allowed_stress_mpa = material->strength_mpa * loads_wood_strength(rod, material) / loads->design_factor;
  out->allowed_deflection_mm = 1000 * longest_span(&beam) / SAG_SHARE;
  take_hung(out, &hung);
  take_total(out, &all, &cut);
  out->sag_mm = out->max_deflection_total_mm * loads_wood_creep(rod, material);
  out->unweighed = out->unweighed || (bc_plan_cloth_rod(plan) == rod && !(loads->cloth_kg > 0));
  judge(out, rod, loads->design_factor);
  return true;
}

static bc_status note_unknown_material(bc_loads *loads, bc_context *context, const bc_rod *rod) {
  char *words = loads_material_words();
  if (!words) return bc_fail_memory(context);
  const bc_status status =
      rod->material ? bc_note(&loads->notes, context,
                              bc_text_safety("Rod \"%s\": the strength of \"%s\" is not known here, so nobody "
                                             "can say whether it holds. Known: %s."),
                              rod->id, rod->material, words)
                    : bc_note(&loads->notes, context,
                              bc_text_safety("Rod \"%s\": what it is made of is not given, so nobody can say "
                                             "whether it holds. Write it into the plan as \"material\": %s."),
                              rod->id, words);
  free(words);
  return status;
}

static bc_status note_unknown_thickness(bc_loads *loads, bc_context *context, const bc_rod *rod) {
  return bc_note(
      &loads->notes, context,
      bc_text_safety("Rod \"%s\": its thickness is not given, so nobody can say whether it holds. Measure across its "
                     "outside and write it into the plan as \"outer_mm\"."),
      rod->id);
}

static bc_status add_rod(bc_loads *loads, bc_context *context, const bc_plan *plan, const bc_rod *rod) {
  bc_load_rod *out = &loads->rods[loads->rod_count++];
  *out = (bc_load_rod){.id = rod->id, .why = BC_WHY_NO_MATERIAL};
  out->rated_n = rod->rated_kg * BC_STANDARD_GRAVITY;
  if (!(out->rated_n > 0)) out->why |= BC_WHY_NO_RATING;
  const loads_material *material = rod->material ? loads_material_named(rod->material) : NULL;
  if (!material) return note_unknown_material(loads, context, rod);
  if (!rod->outer_given) return note_unknown_thickness(loads, context, rod);
  loads_force *forces = bc_allocate(loads->point_count, sizeof *forces);
  if (!forces) return bc_fail_memory(context);
  out->why = 0;
  out->solved = solve(out, loads, plan, rod, material, forces);
  free(forces);
  if (out->solved) return BC_OK;
  out->why = BC_WHY_NO_BEAM;
  return bc_note(
      &loads->notes, context,
      bc_text_safety("Rod \"%s\": its bending cannot be worked out from its supports and thickness. Give two supports "
                     "that lie on the rod, and its diameter in mm."),
      rod->id);
}

bc_status loads_find_rods(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->rods = bc_allocate(plan->rod_count, sizeof *loads->rods);
  if (!loads->rods) return bc_fail_memory(context);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->rod_count; i++)
    status = add_rod(loads, context, plan, &plan->rods[i]);
  return status;
}
