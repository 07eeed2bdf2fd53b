/* SPDX-License-Identifier: MIT */
/* Where things of a plan are: the focus, the carrier of a piece, its hanging points.
 *
 *   cord, one point      cord, two points         others
 *         *               *             *          *       *
 *        / \               \           /           |       |
 *     +--o-o--+             +--o---o--+          +-+-------+-+
 */
#include "plan_internal.h"

#include <math.h>
#include <string.h>

#define RADIANS (M_PI / 180)

/* A twelfth of the width: half way to the edge of the wall's middle third, so that the focus stays in it. Our choice.
 */
#define FOCUS_SHIFT (1.0 / 12)

/* Which way the focus moves, -1 left, +1 right. Visitors in the aisle along an open side stand nearest to that end of
 * the wall. From a closed side they see the far half first, since the side wall hides the near half. */
static int focus_way(const bc_stand *stand) {
  const bool left = stand->open_side == BC_OPEN_LEFT || stand->open_side == BC_OPEN_BOTH;
  const bool right = stand->open_side == BC_OPEN_RIGHT || stand->open_side == BC_OPEN_BOTH;
  if (stand->visitors_from == BC_FROM_LEFT) return left ? -1 : 1;
  if (stand->visitors_from == BC_FROM_RIGHT) return right ? 1 : -1;
  return (int)right - (int)left;
}

double bc_plan_eye_height(const bc_plan *plan) {
  return plan->viewers.stature * BC_PLAN_EYE_OF_STATURE;
}

bc_point_cm bc_plan_focus(const bc_plan *plan) {
  const double x = plan->stand.width / 2 + focus_way(&plan->stand) * FOCUS_SHIFT * plan->stand.width;
  const double low = plan->viewers.sight_low, high = plan->viewers.sight_high;
  const double y = fmin(fmax(bc_plan_eye_height(plan), low), high);
  return (bc_point_cm){x, fmin(y, plan->stand.wall_height)};
}

/* Index of the entry called `id`; the only entry when no id is given and `only` allows it; else count. */
static size_t find(const char *list, size_t count, size_t size, size_t id_offset, const char *id, bool only) {
  if (!id) return only && count == 1 ? 0 : count;
  for (size_t i = 0; i < count; i++) {
    const char *other;
    memcpy(&other, list + i * size + id_offset, sizeof other);
    if (strcmp(other, id) == 0) return i;
  }
  return count;
}

const bc_rod *bc_plan_rod_of(const bc_plan *plan, const bc_piece *piece) {
  if (!bc_mount_hangs(piece->mount.kind)) return NULL;
  /* Without `on` a hanging piece hangs on the wall, even if there is a rod. */
  const size_t i =
      find((const char *)plan->rods, plan->rod_count, sizeof *plan->rods, offsetof(bc_rod, id), piece->mount.on, false);
  return i < plan->rod_count ? &plan->rods[i] : NULL;
}

#define AT_TOP_CM 10 /* a rod so near the cloth's top edge is meant to carry it: our choice */

const bc_rod *bc_plan_cloth_rod(const bc_plan *plan) {
  const bc_wall_cloth *cloth = &plan->cloth;
  if (!cloth->given) return NULL;
  const double middle = cloth->left + cloth->width / 2;
  for (size_t i = 0; i < plan->rod_count; i++) {
    const bc_rod *rod = &plan->rods[i];
    if (cloth->on ? strcmp(cloth->on, rod->id) == 0
                  : fabs(rod->y - cloth->top) <= AT_TOP_CM && rod->x < middle && rod->x + rod->length > middle)
      return rod;
  }
  return NULL;
}

const bc_shelf *bc_plan_shelf_of(const bc_plan *plan, const bc_piece *piece) {
  if (piece->mount.kind != BC_MOUNT_SHELF) return NULL;
  const size_t i = find((const char *)plan->shelves, plan->shelf_count, sizeof *plan->shelves, offsetof(bc_shelf, id),
                        piece->mount.on, true);
  return i < plan->shelf_count ? &plan->shelves[i] : NULL;
}

static const bc_table *table_named(const bc_plan *plan, const char *id) {
  const size_t i =
      find((const char *)plan->tables, plan->table_count, sizeof *plan->tables, offsetof(bc_table, id), id, true);
  return i < plan->table_count ? &plan->tables[i] : NULL;
}

const bc_riser *bc_plan_riser_of(const bc_plan *plan, const bc_piece *piece) {
  if (piece->mount.kind != BC_MOUNT_TABLE) return NULL;
  const size_t i = find((const char *)plan->risers, plan->riser_count, sizeof *plan->risers, offsetof(bc_riser, id),
                        piece->mount.on, false);
  return i < plan->riser_count ? &plan->risers[i] : NULL;
}

const bc_table *bc_plan_riser_table(const bc_plan *plan, const bc_riser *riser) {
  return table_named(plan, riser->on);
}

double bc_plan_riser_top(const bc_plan *plan, const bc_riser *riser) {
  const bc_table *table = bc_plan_riser_table(plan, riser);
  return riser->height + (table ? table->height : 0);
}

const bc_table *bc_plan_table_of(const bc_plan *plan, const bc_piece *piece) {
  if (piece->mount.kind != BC_MOUNT_TABLE) return NULL;
  const bc_riser *riser = bc_plan_riser_of(plan, piece);
  return riser ? bc_plan_riser_table(plan, riser) : table_named(plan, piece->mount.on);
}

const bc_grid *bc_plan_grid_of(const bc_plan *plan, const bc_piece *piece) {
  if (!bc_mount_hangs(piece->mount.kind)) return NULL;
  const size_t i = find((const char *)plan->grids, plan->grid_count, sizeof *plan->grids, offsetof(bc_grid, id),
                        piece->mount.on, false);
  return i < plan->grid_count ? &plan->grids[i] : NULL;
}

const bc_post *bc_plan_post_of(const bc_plan *plan, const bc_piece *piece) {
  if (!bc_mount_hangs(piece->mount.kind)) return NULL;
  const size_t i = find((const char *)plan->posts, plan->post_count, sizeof *plan->posts, offsetof(bc_post, id),
                        piece->mount.on, false);
  return i < plan->post_count ? &plan->posts[i] : NULL;
}

/* Share of the width, 0 at the left edge. */
static double share_of_width(const bc_mount *mount, int number) {
  if (mount->kind == BC_MOUNT_CLIP && mount->points > 1) return (double)number / (mount->points - 1);
  return (number + 0.5) / mount->points;
}

/* A cord's legs rise from the quarter points at its angle. */
static bc_point_cm cord_point(const bc_piece *piece, bc_point_cm at, int number) {
  const double top = at.y + piece->height / 2, slope = tan(piece->mount.cord_angle * RADIANS);
  if (piece->mount.cord_angle_count == 2) { /* from one eye at the top, in the middle, to two points */
    const double leg = piece->mount.cord_angles[number] * RADIANS;
    return (bc_point_cm){at.x + (number == 0 ? -1 : 1) * piece->width / 4,
                         top + piece->width / 4 * fmin(tan(leg), tan(89 * RADIANS))};
  }
  if (piece->mount.points == 1) /* straight legs never meet: as high as legs of 89 degrees */
    return (bc_point_cm){at.x, top + piece->width / 4 * fmin(slope, tan(89 * RADIANS))};
  const double side = number == 0 ? -1 : 1;
  const double rise = piece->width / 4;
  return (bc_point_cm){at.x + side * (piece->width / 4 + rise / slope), top + rise};
}

/* The wire of the mesh nearest to an offset from the piece's middle. Seen from the middle both ways alike, which lies
 * on a wire or half way between two; a point that falls between two wires takes the outer one. */
static double on_mesh(const bc_grid *grid, double middle, double offset) {
  const double halves = round((middle - grid->x) / grid->mesh * 2);
  const double shift = fmod(fabs(halves), 2) / 2; /* 0 on a wire, 0.5 between two */
  const double wires = floor(fabs(offset) / grid->mesh - shift + 0.5 + 1e-9) + shift;
  const double base = grid->x + halves / 2 * grid->mesh;
  if (shift == 0 && wires == 0) return base;
  return base + (offset < 0 ? -1 : 1) * fmax(wires, shift) * grid->mesh;
}

bc_point_cm bc_plan_hanging_point(const bc_plan *plan, const bc_piece *piece, bc_point_cm at, int number) {
  const bc_grid *grid = bc_plan_grid_of(plan, piece);
  const bc_rod *rod = bc_plan_rod_of(plan, piece);
  bc_point_cm point = {at.x + piece->width * (share_of_width(&piece->mount, number) - 0.5), at.y + piece->height / 2};
  if (piece->mount.kind == BC_MOUNT_CORD) point = cord_point(piece, at, number);
  if (grid) point.x = on_mesh(grid, at.x, point.x - at.x);
  if (!rod) return point;
  /* On a rod the point is where the rod is; a cord with two legs leans as far as its angle says. */
  if (piece->mount.kind == BC_MOUNT_CORD && piece->mount.points == 2) {
    const double rise = fmax(rod->y - (at.y + piece->height / 2), 0);
    const double side = number == 0 ? -1 : 1;
    point.x = at.x + side * (piece->width / 4 + rise / tan(piece->mount.cord_angle * RADIANS));
  }
  point.y = rod->y;
  return point;
}

bool bc_plan_points_coincide(const bc_plan *plan, const bc_piece *piece, bc_point_cm at) {
  for (int i = 1; i < piece->mount.points; i++)
    if (bc_plan_hanging_point(plan, piece, at, i).x - bc_plan_hanging_point(plan, piece, at, i - 1).x <= 0.1)
      return true;
  return false;
}
