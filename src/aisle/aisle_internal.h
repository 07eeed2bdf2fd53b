/* SPDX-License-Identifier: MIT */
/* What the files of the aisle's geometry share. */
#ifndef BC_AISLE_INTERNAL_H
#define BC_AISLE_INTERNAL_H

#include <backcloth/aisle.h>

#include "base/base.h"

/* An outline that is one stretch at every height: knots with rising y, straight lines between. */
#define AISLE_KNOTS 24
typedef struct aisle_knot {
  double y, left, right;
} aisle_knot;
typedef struct aisle_outline {
  aisle_knot knots[AISLE_KNOTS];
  int count;
} aisle_outline;

typedef struct aisle_rect {
  double left, right, bottom, top;
} aisle_rect;

/* Something solid with upright sides parallel to the wall. */
typedef struct aisle_block {
  aisle_rect face;
  double back_z, front_z;
} aisle_block;

/* The area of the union of outlines within a rectangle, exact but for rounding; -1 without memory. */
double aisle_union_area(aisle_rect area, const aisle_outline *outlines, int count);

/* Outlines as seen from the eye, drawn upon the plane z = target. False when all of it is behind that plane. */
bool aisle_project_person(aisle_outline *out, const bc_aisle_person *person, bc_aisle_eye eye, double target_z);
bool aisle_project_block(aisle_outline *out, const aisle_block *block, bc_aisle_eye eye, double target_z);

/* ---- chance: SplitMix64 (Steele, Lea, Flood 2014) and Box-Muller (1958) ---- */
typedef struct aisle_chance {
  uint64_t state;
} aisle_chance;
double aisle_uniform(aisle_chance *chance); /* 0 <= value < 1 */

/* ---- people ---- */
/* Where people may stand, cm; empty when near >= far. */
typedef struct aisle_floor {
  double width, near, far;
} aisle_floor;
int aisle_place_crowd(bc_aisle_person people[BC_AISLE_CROWD_MOST], const bc_plan *plan, int wanted,
                      aisle_chance *chance);
bc_aisle_eye aisle_random_eye(const bc_plan *plan, aisle_chance *chance);

#endif
