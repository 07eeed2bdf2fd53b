/* SPDX-License-Identifier: MIT */
/* The pull on every hanging point.
 *
 *  cord to two points         cord to one point        nails, hooks, pins
 *   T \           / T               *                     *      *
 *      \ a     a /               T / \ T                  |V1    |V2
 *   +---o-------o---+             o   o                +--+--x---+--+
 *   V = W/2, H = V/tan a      T = W / (2 sin a)          e: mass off centre
 *
 *  from the side: wall |  * h above the lower edge       T h = W d / 2 (moments about the lower edge, which bears on
 *                      |<-T---+                          the wall), d: the piece's depth. As a shelf's bracket.
 *                      |      | W at d / 2
 *                      |>-----+
 */
#include "loads_internal.h"

#include <math.h>
#include <stdlib.h>

#define RADIANS (M_PI / 180)

double loads_newton_of_grams(double grams) {
  return grams / 1000 * BC_STANDARD_GRAVITY;
}
double loads_kg_of_newton(double newton) {
  return newton / BC_STANDARD_GRAVITY;
}

double bc_loads_cord_tension_n(double load_n, double degrees) {
  return load_n / (2 * sin(degrees * RADIANS));
}

bc_holds loads_compare(double demand_n, double rated_n, double factor, double *needed_n, double *utilisation) {
  *needed_n = demand_n * factor;
  *utilisation = rated_n > 0 ? *needed_n / rated_n : 0;
  if (!(rated_n > 0)) return BC_HOLDS_UNKNOWN;
  return *utilisation <= 1 + 1e-12 ? BC_HOLDS_YES : BC_HOLDS_NO;
}

double loads_cloth_grams(const bc_wall_cloth *cloth) {
  if (!cloth->given) return 0;
  return cloth->width * cloth->fullness / 100 * cloth->height / 100 * cloth->grams_per_m2;
}

/* A soft edge between clips hangs half from either: the outer clips carry half a field. */
static double soft_share(int number, int points) {
  if (points == 1) return 1;
  const bool outer = number == 0 || number == points - 1;
  return (outer ? 0.5 : 1.0) / (points - 1);
}

/* Two legs that meet at one point: the sideways pulls cancel there. */
static void pull_one_point(bc_load_point *point, const bc_mount *mount, double weight_n) {
  point->vertical_n = weight_n;
  point->tension_n = bc_loads_cord_tension_n(weight_n, mount->cord_angle);
}

/* Each leg to a point of its own. The mass shares by the lever rule; the sideways pulls are equal and
 * opposite, as at two legs of the given angle under half the weight each. Off centre the piece tilts a
 * little until the legs' slopes fit: tan a_i = V_i / H. */
static void pull_two_points(bc_load_point *point, const bc_mount *mount, double weight_n, double share_n, int number) {
  const double sideways = weight_n / 2 / tan(mount->cord_angle * RADIANS);
  point->vertical_n = share_n;
  point->horizontal_n = (number == 0 ? 1 : -1) * sideways;
  point->tension_n = hypot(share_n, sideways);
}

/* One eye, two legs at angles of their own: equal and opposite sideways pulls.
 * T1 = W cos a2 / sin(a1 + a2), T2 = W cos a1 / sin(a1 + a2): two-force equilibrium of the eye. */
static void pull_v_wire(bc_load_point *point, const bc_mount *mount, double weight_n, int number) {
  const double own = mount->cord_angles[number] * RADIANS, other = mount->cord_angles[1 - number] * RADIANS;
  const double sum = sin(own + other);
  /* Both legs straight up share alike. */
  point->tension_n = sum > 1e-9 ? weight_n * cos(other) / sum : weight_n / 2;
  point->vertical_n = point->tension_n * sin(own);
  point->horizontal_n = (number == 0 ? 1 : -1) * point->tension_n * cos(own);
}

static void pull(bc_load_point *point, const bc_piece *piece, double weight_n, double share_n, int number) {
  const bc_mount *mount = &piece->mount;
  if (mount->kind != BC_MOUNT_CORD)
    point->vertical_n = point->tension_n = share_n;
  else if (mount->cord_angle_count == 2)
    pull_v_wire(point, mount, weight_n, number);
  else if (mount->points == 1)
    pull_one_point(point, mount, weight_n);
  else
    pull_two_points(point, mount, weight_n, share_n, number);
}

static bc_load_point *add_point(bc_loads *loads, bc_context *context) {
  bc_load_point *grown = bc_reallocate(loads->points, loads->point_count + 1, sizeof *grown);
  if (!grown) {
    bc_fail_memory(context);
    return NULL;
  }
  loads->points = grown;
  bc_load_point *point = &grown[loads->point_count++];
  *point = (bc_load_point){0};
  return point;
}

/* How many times a point's downward share pulls it out of the wall. */
static double outward_share(const bc_piece *piece, bc_point_cm at) {
  const double above = at.y - (piece->at.y - piece->height / 2);
  return piece->depth / 2 / fmax(above, 1);
}

/* Where statics cannot tell, the rating must also hold the most that the point may come to carry, by itself. */
static void judge(bc_load_point *point, double most_n, double rated_kg, double factor) {
  point->demand_n = hypot(hypot(point->vertical_n, point->horizontal_n), point->outward_n);
  point->most_n = fmax(point->demand_n, most_n);
  point->rated_n = rated_kg * BC_STANDARD_GRAVITY;
  point->alone = loads_compare(point->demand_n, point->rated_n, factor, &point->needed_n, &point->utilisation);
  if (!point->weighed) {
    point->alone = BC_HOLDS_UNKNOWN;
    point->utilisation = 0;
  } else if (point->rated_n > 0 && point->most_n > point->rated_n) {
    point->alone = BC_HOLDS_NO;
  }
}

/* A child pulls at the piece as its own weight does. */
static void judge_pulled(bc_load_point *point, const bc_piece *piece, double weight_n) {
  const double lower_edge = piece->at.y - piece->height / 2;
  const bool low = lower_edge <= BC_CHILD_REACH_CM && !piece->mount.out_of_reach;
  point->in_reach = piece->weight_g >= BC_CHILD_PIECE_G && low;
  if (!point->in_reach) return;
  double unused, share;
  point->pulled_n = point->demand_n * (weight_n + BC_CHILD_PULL_N) / weight_n;
  point->pulled = loads_compare(point->pulled_n, point->rated_n, 1, &unused, &share);
}

enum { POINTS_MOST = 64 }; /* the plan's own limit */

static bool statics_cannot_tell(const bc_mount *mount) {
  return mount->points >= 3 && mount->kind != BC_MOUNT_CLIP && mount->kind != BC_MOUNT_CORD;
}

/* What each point of a piece carries, and the most that it may; `tips` is the number of the point it would tip
 * about, or -1. A cord's legs start at the quarter points, others where the plan's geometry puts the points. */
static void share_piece(double *share, double *most, int *tips, const bc_piece *piece, double weight_n) {
  const int count = piece->mount.points;
  double x[POINTS_MOST] = {0}, stiffness[POINTS_MOST] = {0};
  const bool clips = piece->mount.kind == BC_MOUNT_CLIP;
  for (int i = 0; i < count; i++) {
    x[i] = piece->width * (clips && count > 1 ? (double)i / (count - 1) - 0.5 : (i + 0.5) / count - 0.5);
    stiffness[i] = clips ? soft_share(i, count) : 1;
  }
  const double centre = piece->mount.off_centre;
  *tips = -1;
  if (!bc_loads_share_n(share, x, stiffness, (size_t)count, weight_n, centre)) *tips = centre < 0 ? 0 : count - 1;
  for (int i = 0; i < count; i++)
    most[i] = statics_cannot_tell(&piece->mount) ? bc_loads_most_n(x, (size_t)count, (size_t)i, weight_n, centre) : 0;
}

static bc_status note_tipping(bc_loads *loads, bc_context *context, const bc_piece *piece) {
  return bc_note(
      &loads->notes, context,
      bc_text_safety("%s: its weight lies outside its hanging points, so it would tip over one of them. Set the points "
                     "further apart, or hang it nearer to where it balances."),
      piece->title);
}

/* A piece on three or more points is safe only if they are level: said with what one of them may come to carry. */
static bc_status note_many(bc_loads *loads, bc_context *context, const bc_piece *piece, const double *most) {
  if (!statics_cannot_tell(&piece->mount)) return BC_OK;
  double greatest = 0;
  for (int i = 0; i < piece->mount.points; i++) greatest = fmax(greatest, most[i]);
  char mass[64];
  bc_mass_words(mass, sizeof mass, loads_kg_of_newton(greatest) * 1000, BC_UNITS_METRIC);
  return bc_note(
      &loads->cautions, context,
      bc_text_safety(
          "%s hangs on %d stiff points. If one sits a little low, another carries up to %s. Level them, or use "
          "two points."),
      piece->title, piece->mount.points, mass);
}

static void fill_point(bc_load_point *point, const bc_plan *plan, const bc_piece *piece, int number) {
  const bc_rod *rod = bc_plan_rod_of(plan, piece);
  const bc_point_cm at = bc_plan_hanging_point(plan, piece, piece->at, number);
  point->piece = piece->id;
  point->title = piece->title;
  point->point = number + 1;
  point->of = piece->mount.points;
  point->kind = piece->mount.kind;
  point->on = rod ? rod->id : piece->mount.on;
  point->x = at.x;
  point->y = at.y;
  point->weighed = piece->weight_g > 0;
}

static bc_status add_piece(bc_loads *loads, bc_context *context, const bc_plan *plan, const bc_piece *piece) {
  const double weight_n = loads_newton_of_grams(piece->weight_g);
  double share[POINTS_MOST], most[POINTS_MOST];
  int tips;
  share_piece(share, most, &tips, piece, weight_n);
  const bool one_eye = piece->mount.kind == BC_MOUNT_CORD && piece->mount.cord_angle_count == 2;
  for (int i = 0; i < piece->mount.points; i++) {
    bc_load_point *point = add_point(loads, context);
    if (!point) return BC_OUR_FAULT;
    fill_point(point, plan, piece, i);
    point->tips = tips == i && !one_eye;
    pull(point, piece, weight_n, share[i], i);
    const double out = outward_share(piece, (bc_point_cm){point->x, point->y});
    point->outward_n = point->vertical_n * out;
    judge(point, most[i] * hypot(1, out), piece->mount.rated_kg, loads->design_factor);
    judge_pulled(point, piece, weight_n);
  }
  const bc_status status = piece->weight_g > 0 ? note_many(loads, context, piece, most) : BC_OK;
  return status == BC_OK && tips >= 0 && !one_eye ? note_tipping(loads, context, piece) : status;
}

/* The cloth's own clips, corner to corner, when no rod carries it. */
static bc_status add_cloth(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  const bc_wall_cloth *cloth = &plan->cloth;
  if (!cloth->given || bc_plan_cloth_rod(plan)) return BC_OK;
  for (int i = 0; i < cloth->points; i++) {
    bc_load_point *point = add_point(loads, context);
    if (!point) return BC_OUR_FAULT;
    point->piece = "cloth";
    point->title = _("the cloth");
    point->point = i + 1;
    point->of = cloth->points;
    point->kind = BC_MOUNT_CLIP;
    point->x = cloth->left + (cloth->points > 1 ? cloth->width * i / (cloth->points - 1) : cloth->width / 2);
    point->y = cloth->top;
    point->weighed = loads->cloth_kg > 0;
    point->vertical_n = point->tension_n = loads->cloth_kg * BC_STANDARD_GRAVITY * soft_share(i, cloth->points);
    judge(point, 0, cloth->rated_kg, loads->design_factor);
  }
  return BC_OK;
}

static bc_status note_unweighed(bc_loads *loads, bc_context *context, const bc_piece *piece) {
  loads->unweighed++;
  return bc_note(
      &loads->notes, context,
      bc_text_safety("%s hangs, but its weight is not given and is missing here: the real load is higher. Weigh it and "
                     "note its weight."),
      piece->title);
}

bc_status loads_find_points(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!piece->placed) loads->unplaced++;
    if (!bc_mount_hangs(piece->mount.kind) || !piece->placed) continue;
    loads->total_kg += piece->weight_g / 1000;
    status = add_piece(loads, context, plan, piece);
    if (status == BC_OK && !(piece->weight_g > 0)) status = note_unweighed(loads, context, piece);
  }
  return status == BC_OK ? add_cloth(loads, context, plan) : status;
}
