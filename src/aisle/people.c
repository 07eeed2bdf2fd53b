/* SPDX-License-Identifier: MIT */
/* Who looks and who stands in the way: bodies by the survey's distributions, places by chance. */
#include "aisle_internal.h"

#include <math.h>
#include <stdlib.h>

/* ANSUR II (2012), NATICK/TR-15/007: cm, mean and standard deviation, women and men. Standing eye height
 * is derived person by person: stature - sitting height + sitting eye height. */
typedef struct spread {
  double mean, sd;
} spread;
static const spread stature[2] = {{162.85, 6.42}, {175.62, 6.86}};
static const spread eye_height[2] = {{151.95, 6.17}, {164.24, 6.65}};
static const spread shoulders[2] = {{45.03, 2.87}, {51.04, 3.25}};
#define EYE_SHARE (151.7 / 162.6) /* medians of women, the same survey */
#define SHOES_CM 2.5              /* common practice, no source */

#define ELLIPSE_ACROSS_CM 61.0 /* Fruin 1971, from memory */
#define ELLIPSE_DEEP_CM 46.0
#define BEFORE_VISITOR_CM 120.0 /* Hall 1966, personal distance, from memory */
#define CROWDED_CM 60.0         /* a person's own breadth (Fruin 1971): less is touch */
#define CROWDS 200              /* throws for the picture, of which nearly every one finds room */
#define TRIES 400               /* a crowd of six finds room in a stand of 3 m by 3 m within a few dozen */

double aisle_uniform(aisle_chance *chance) {
  uint64_t z = (chance->state += 0x9E3779B97F4A7C15u);
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
  return (double)((z ^ (z >> 31)) >> 11) * 0x1.0p-53;
}

static double aisle_normal(aisle_chance *chance, double mean, double sd) {
  const double radius = sqrt(-2 * log(1 - aisle_uniform(chance)));
  return mean + sd * radius * cos(2 * M_PI * aisle_uniform(chance));
}

bc_aisle_eye bc_aisle_eye_of(const bc_plan *plan) {
  return (bc_aisle_eye){plan->stand.width / 2, plan->viewers.stature * EYE_SHARE, plan->viewers.distance};
}

bc_aisle_eye aisle_random_eye(const bc_plan *plan, aisle_chance *chance) {
  const spread height = eye_height[aisle_uniform(chance) < 0.5];
  const double y = SHOES_CM + aisle_normal(chance, height.mean, height.sd);
  return (bc_aisle_eye){plan->stand.width * aisle_uniform(chance), y, plan->viewers.distance};
}

double bc_aisle_furniture_reach(const bc_plan *plan) {
  double reach = 0;
  for (size_t n = 0; n < bc_plan_carrier_count(plan); n++) {
    const bc_carrier one = bc_plan_carrier(plan, n);
    if (one.kind == BC_CARRIER_SHELF || one.kind == BC_CARRIER_TABLE) reach = fmax(reach, one.from_wall + one.depth);
  }
  return reach;
}

/* Between what stands at the wall and the front of the stand, and not just before the visitor. */
static aisle_floor aisle_floor_of(const bc_plan *plan) {
  const double near = bc_aisle_furniture_reach(plan) + ELLIPSE_DEEP_CM / 2;
  const double usual = fmin(plan->stand.depth, plan->viewers.distance - BEFORE_VISITOR_CM);
  /* Near viewers stand in the crowd themselves: then their distance gives way, but nobody stands against them. */
  const double crowded = fmin(near + ELLIPSE_DEEP_CM, plan->viewers.distance - CROWDED_CM);
  return (aisle_floor){plan->stand.width, near, fmax(usual, crowded)};
}

static bool is_clear(const bc_aisle_person *people, int count, const bc_aisle_person *candidate) {
  for (int i = 0; i < count; i++)
    if (hypot((people[i].x - candidate->x) / ELLIPSE_ACROSS_CM, (people[i].z - candidate->z) / ELLIPSE_DEEP_CM) < 1)
      return false;
  return true;
}

static int by_distance(const void *first, const void *second) {
  const double a = ((const bc_aisle_person *)first)->z, b = ((const bc_aisle_person *)second)->z;
  return (a > b) - (a < b);
}

int aisle_place_crowd(bc_aisle_person people[BC_AISLE_CROWD_MOST], const bc_plan *plan, int wanted,
                      aisle_chance *chance) {
  const aisle_floor floor = aisle_floor_of(plan);
  int count = 0;
  for (int tries = 0; count < wanted && tries < TRIES && floor.far >= floor.near; tries++) {
    const int who = aisle_uniform(chance) < 0.5;
    bc_aisle_person candidate = {.stature = SHOES_CM + aisle_normal(chance, stature[who].mean, stature[who].sd),
                                 .breadth = aisle_normal(chance, shoulders[who].mean, shoulders[who].sd)};
    const double room = fmax(0, floor.width - candidate.breadth);
    candidate.x = (floor.width - room) / 2 + room * aisle_uniform(chance);
    candidate.z = floor.near + (floor.far - floor.near) * aisle_uniform(chance);
    if (is_clear(people, count, &candidate)) people[count++] = candidate;
  }
  qsort(people, (size_t)count, sizeof *people, by_distance);
  return count;
}

/* Not every throw of a crowd that the stand can hold finds room for all: others are tried. */
int bc_aisle_crowd(bc_aisle_person people[BC_AISLE_CROWD_MOST], const bc_plan *plan, const bc_aisle_options *options) {
  aisle_chance chance = {options->seed};
  const int wanted = options->crowd < BC_AISLE_CROWD_MOST ? options->crowd : BC_AISLE_CROWD_MOST;
  int count = aisle_place_crowd(people, plan, wanted, &chance);
  for (int i = 1; i < CROWDS && count < wanted; i++) count = aisle_place_crowd(people, plan, wanted, &chance);
  return count;
}
