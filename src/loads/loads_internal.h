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
} loads_material;
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
bc_status loads_find_frame(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_find_order(bc_loads *loads, bc_context *context, const bc_plan *plan);
bc_status loads_add_cautions(bc_loads *loads, bc_context *context, const bc_plan *plan);

/* All that hangs on a grid panel, and whether its rating holds it. */
bc_status loads_find_grids(bc_loads *loads, bc_context *context, const bc_plan *plan);

/* Mass of the cloth as it hangs, with its fullness, g; 0 when its weight is not known. */
double loads_cloth_grams(const bc_wall_cloth *cloth);

#endif
