/* SPDX-License-Identifier: MIT */
/* Central projection from a visitor's eye upon a plane parallel to the wall: what stands at z is
 * enlarged by (d - target) / (d - z) about the point straight ahead of the eye. */
#include "aisle_internal.h"

#include <math.h>

/* Half the breadth of a standing person in an open jacket, arms at the sides: the outer contour of the
 * figure that the drawings use, in shares of half the shoulder breadth. */
typedef struct waypoint {
  double height, half;
} waypoint;
static const waypoint body[] = {{0.000, 0.42}, {0.020, 0.45}, {0.040, 0.37}, {0.140, 0.43}, {0.230, 0.49},
                                {0.336, 0.60}, {0.352, 0.78}, {0.425, 0.89}, {0.500, 0.95}, {0.600, 1.00},
                                {0.715, 0.96}, {0.778, 0.93}, {0.815, 0.86}, {0.836, 0.70}, {0.849, 0.43},
                                {0.866, 0.22}, {0.896, 0.24}, {0.922, 0.31}, {0.956, 0.33}, {0.982, 0.27},
                                {0.997, 0.15}, {1.000, 0.00}};
#define WAYPOINTS ((int)(sizeof body / sizeof body[0]))
_Static_assert(sizeof body / sizeof body[0] <= AISLE_KNOTS, "the figure has more bends than an outline holds");

double bc_aisle_half_breadth(double height_share) {
  for (int i = 0; i + 1 < WAYPOINTS; i++)
    if (height_share >= body[i].height && height_share <= body[i + 1].height)
      return body[i].half + (body[i + 1].half - body[i].half) * (height_share - body[i].height) /
                                (body[i + 1].height - body[i].height);
  return 0;
}

static double onto(double value, double straight_ahead, double enlarged) {
  return straight_ahead + (value - straight_ahead) * enlarged;
}

bool aisle_project_person(aisle_outline *out, const bc_aisle_person *person, bc_aisle_eye eye, double target_z) {
  if (person->z <= target_z || person->z >= eye.z) return false;
  const double enlarged = (eye.z - target_z) / (eye.z - person->z);
  out->count = WAYPOINTS;
  for (int i = 0; i < WAYPOINTS; i++) {
    const double half = body[i].half * person->breadth / 2;
    out->knots[i] = (aisle_knot){onto(body[i].height * person->stature, eye.y, enlarged),
                                 onto(person->x - half, eye.x, enlarged), onto(person->x + half, eye.x, enlarged)};
  }
  return true;
}

typedef struct spot {
  double x, y;
} spot;

/* How far the convex hull of eight spots reaches at one height: the extremes of all lines between them. */
static aisle_knot hull_at(const spot spots[8], double y) {
  aisle_knot knot = {y, INFINITY, -INFINITY};
  for (int i = 0; i < 8; i++)
    for (int k = 0; k < 8; k++) {
      const spot from = spots[i], to = spots[k];
      if (from.y > y || to.y < y) continue;
      const double x = to.y > from.y ? from.x + (to.x - from.x) * (y - from.y) / (to.y - from.y) : from.x;
      knot.left = fmin(knot.left, x);
      knot.right = fmax(knot.right, x);
    }
  return knot;
}

static void sort_up(double *values, int count) {
  for (int i = 1; i < count; i++)
    for (int k = i; k > 0 && values[k] < values[k - 1]; k--) {
      const double other = values[k];
      values[k] = values[k - 1];
      values[k - 1] = other;
    }
}

bool aisle_project_block(aisle_outline *out, const aisle_block *block, bc_aisle_eye eye, double target_z) {
  const double planes[2] = {fmax(block->back_z, target_z), fmin(block->front_z, eye.z - 1)};
  if (planes[1] <= target_z || planes[1] < planes[0]) return false;
  spot spots[8];
  double heights[4];
  for (size_t i = 0; i < 2; i++) {
    const double enlarged = (eye.z - target_z) / (eye.z - planes[i]);
    const double low = onto(block->face.bottom, eye.y, enlarged), high = onto(block->face.top, eye.y, enlarged);
    const double left = onto(block->face.left, eye.x, enlarged), right = onto(block->face.right, eye.x, enlarged);
    spots[4 * i] = (spot){left, low};
    spots[4 * i + 1] = (spot){right, low};
    spots[4 * i + 2] = (spot){left, high};
    spots[4 * i + 3] = (spot){right, high};
    heights[2 * i] = low;
    heights[2 * i + 1] = high;
  }
  sort_up(heights, 4);
  out->count = 0;
  for (int i = 0; i < 4; i++)
    if (i == 0 || heights[i] > heights[i - 1]) out->knots[out->count++] = hull_at(spots, heights[i]);
  return out->count > 1;
}
