/* SPDX-License-Identifier: MIT */
/* Lengths of this stage: cm to whole mm and back, to grids and meshes, and in words. */
#include "problem.h"

#include <math.h>

int arr_mm(double cm) {
  return (int)lround(cm * ARR_MM);
}

/* A piece is never taken for smaller than it is: half of the next even mm. The small term keeps
 * 12.4 cm, which is 123.99999 mm in binary, from growing. */
int arr_half(double cm) {
  return (int)ceil(cm * ARR_MM / 2 - 1e-6);
}

int arr_rounding(double cm) {
  return fabs(cm * ARR_MM - round(cm * ARR_MM)) > 1e-6 ? 1 : 0;
}

int arr_on_mesh(const arr_lane *lane, int x) {
  if (!(lane->mesh > 0)) return x;
  return (int)lround(lane->mesh_x + round((x - lane->mesh_x) / lane->mesh) * lane->mesh);
}

int arr_on_grid(const arr_problem *problem, int value) {
  const int grid = problem->grid;
  if (grid <= 1) return value;
  const int down = value >= 0 ? value / grid * grid : -((-value + grid - 1) / grid * grid);
  return value - down > grid / 2 ? down + grid : down;
}

const char *arr_cm(const bc_plan *plan, double cm) {
  static _Thread_local char buffer[8][64];
  static _Thread_local unsigned turn;
  char *here = buffer[turn++ % 8];
  bc_length_words(here, sizeof buffer[0], cm, plan->units);
  return here;
}

bc_point_cm arr_at_cm(const arr_problem *problem, const arr_spot *spot) {
  const arr_lane *lane = &problem->lanes[spot->lane];
  const bool carried = lane->carrier != 0;
  return (bc_point_cm){spot->x / ARR_MM, carried ? lane->y_exact : spot->y / ARR_MM};
}

/* The piece as it hangs from the bare wall, its centre at the origin. */
static bc_point_cm point_of(const bc_piece *piece, int number) {
  bc_piece alone = *piece;
  alone.mount.on = NULL;
  const bc_plan nothing = {0};
  return bc_plan_hanging_point(&nothing, &alone, (bc_point_cm){0, 0}, number);
}

double arr_rise_cm(const bc_piece *piece) {
  double rise = 0;
  for (int i = 0; i < piece->mount.points; i++) rise = fmax(rise, point_of(piece, i).y - piece->height / 2);
  return rise;
}

double arr_half_span_cm(const bc_piece *piece) {
  double span = 0;
  for (int i = 0; i < piece->mount.points; i++) span = fmax(span, fabs(point_of(piece, i).x));
  return span;
}
