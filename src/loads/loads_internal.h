/* SPDX-License-Identifier: MIT */
/* What the files of the loads stage share. */
#ifndef BC_SRC_LOADS_INTERNAL_H
#define BC_SRC_LOADS_INTERNAL_H

#include "base/base.h"
#include <backcloth/loads.h>

/* A material of rods and battens. */
typedef struct loads_material {
  const char *word;    /* as in the plan */
  double elastic_gpa;  /* modulus of elasticity */
  double strength_mpa; /* bending strength of clear wood, yield of metal */
  double density;      /* kg/m3 */
  bool wood;
} loads_material;
/* What is left of clear wood's strength in a rod of such a grade and air, and how many times it comes to sag in time;
 * 1 for metal. */
double loads_wood_strength(const bc_rod *rod, const loads_material *material);
double loads_wood_creep(const bc_rod *rod, const loads_material *material);
/* NULL when the plan's word is not known. */
const loads_material *loads_material_named(const char *word);
/* "ash, aluminium, …" for messages; malloc'd or NULL. */
char *loads_material_words(void);

double loads_newton_of_grams(double grams);
double loads_kg_of_newton(double newton);

/* Compares a demand with a rating and fills in what is needed. */
bc_holds loads_compare(double demand_n, double rated_n, double factor, double *needed_n, double *utilisation);

bc_status loads_find_points(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_find_rods(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_find_shelves(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_find_tables(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_find_frame(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_find_order(bc_loads *loads, bc_context *context, const bc_plan *plan);
/* Those that name pieces, rods, tables and fixings: cautions_by_name.c. */
bc_status loads_add_named_cautions(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_add_cautions(bc_loads *loads, bc_context *context, const bc_plan *plan);

/* All that hangs on a grid panel, and whether its rating holds it. */
bc_status loads_find_grids(bc_loads *loads, bc_context *context, const bc_plan *plan);

/* The verdicts of everything, from the bottom up: frame, carriers, points; then the list of findings. */
bc_status loads_find_findings(bc_loads *loads, bc_context *context, const bc_plan *plan);
/* Whether there are pieces and none has a place: nothing can be said of the wall then. */
bool loads_place_nothing(const bc_loads *loads, const bc_plan *plan);
/* Whole sentences for the reasons, each with a space before it; those of ratings are left to the caller. */
void loads_tell_reasons(bc_buffer *out, unsigned why);
/* The sentence for BC_WHY_PULLED, with a space before it. */
void loads_tell_pull(bc_buffer *out, const bc_load_point *point, bc_units units);
/* Words of the order of putting up: order_words.c. */
void loads_tell_order(bc_buffer *out, const bc_loads *loads, const bc_plan *plan, bc_units units);

/* Mass of the cloth as it hangs, with its fullness, g; 0 when its weight is not known. */
double loads_cloth_grams(const bc_wall_cloth *cloth);

#endif
