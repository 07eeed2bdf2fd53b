/* SPDX-License-Identifier: MIT */
/* Hard rules over random plans, BC_RULES_PLANS of them (1,000; 10,000 in the deep part): checked here from the
 * plan and the answer alone, with none of the stage's own tests of overlap. */
#include "plans.h"

#include <backcloth/loads.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

#include "support/context.h"

#define SLACK 1e-6

/* Zones, a post, a panel, a riser, a chair, an open side: each in some of the plans, and pieces on them. */
static void add_fittings(dice *d, bc_plan *plan) {
  const double width = plan->stand.width;
  if (dice_between(d, 0, 2) == 0)
    plan_zone(plan, (bc_zone_kind)dice_between(d, 0, 1), dice_cm(d, 0, 250), dice_cm(d, 60, 200), dice_cm(d, 1, 50),
              dice_cm(d, 1, 60));
  if (dice_between(d, 0, 3) == 0)
    plan_post(plan, dice_cm(d, 0, (int)width - 20), dice_cm(d, 4, 20), dice_between(d, 0, 2));
  if (dice_between(d, 0, 2) == 0)
    plan_grid(plan, dice_cm(d, 0, (int)width - 80), dice_cm(d, 10, 40), dice_cm(d, 40, 80), dice_cm(d, 100, 180),
              dice_between(d, 0, 1) ? 7.62 : dice_cm(d, 5, 12));
  if (plan->grid_count && dice_between(d, 0, 1)) plan->grids->rated_kg = dice_between(d, 5, 60);
  if (plan->table_count && dice_between(d, 0, 1))
    plan_riser(plan, plan->tables->x + dice_cm(d, 0, 10), dice_cm(d, 15, 28), dice_cm(d, 5, 25));
  if (dice_between(d, 0, 3) == 0) plan_chair(plan, dice_cm(d, 0, (int)width - 50), dice_cm(d, 40, 120));
  plan->stand.open_side = (bc_open_side)dice_between(d, 0, 3);
  plan->stand.visitors_from = (bc_side)dice_between(d, 0, 2);
  for (size_t i = 0; i < plan->piece_count; i++) {
    bc_mount *mount = &plan->pieces[i].mount;
    const bool hangs = bc_mount_hangs(mount->kind) && !mount->on;
    if (hangs && mount->kind >= BC_MOUNT_HOOK && plan->grid_count && dice_between(d, 0, 1))
      mount->on = strdup("grid-1");
    else if (hangs && plan->post_count && dice_between(d, 0, 3) == 0)
      mount->on = strdup("post-1");
    else if (mount->kind == BC_MOUNT_TABLE && plan->riser_count && dice_between(d, 0, 1))
      mount->on = strdup("riser-1");
  }
}

/* A plan with anything in it: shelves, rods, tables, pins, groups, cords, odd sizes and gaps. */
static bc_plan *random_plan(dice *d, bc_arrange_zone *zones, size_t *zone_count) {
  const int pieces = dice_between(d, 0, 10);
  bc_plan *plan = plan_empty((size_t)pieces);
  plan->stand.width = dice_cm(d, 120, 400);
  plan->stand.wall_height = dice_cm(d, 180, 260);
  plan->gap = dice_between(d, 0, 3) == 0 ? 0 : dice_cm(d, 1, 15);
  if (dice_between(d, 0, 1)) plan_table(plan, dice_cm(d, 0, 60), dice_cm(d, 40, 60), 60, dice_cm(d, 60, 95));
  if (dice_between(d, 0, 1))
    plan_shelf(plan, dice_cm(d, 0, 50), dice_cm(d, 110, 170), dice_cm(d, 30, 70), 20, dice_between(d, 0, 20));
  if (dice_between(d, 0, 1)) plan_rod(plan, dice_cm(d, 0, 20), plan->stand.wall_height - dice_cm(d, 5, 20), 90);
  if (dice_between(d, 0, 2) == 0) {
    plan->cloth.given = true;
    plan->cloth.left = dice_cm(d, 0, 40);
    plan->cloth.width = plan->stand.width - plan->cloth.left - dice_cm(d, 0, 20);
    plan->cloth.top = plan->stand.wall_height - dice_cm(d, 0, 20);
    plan->cloth.height = plan->cloth.top;
  }
  *zone_count = (size_t)dice_between(d, 0, 2);
  for (size_t i = 0; i < *zone_count; i++)
    zones[i] = (bc_arrange_zone){dice_cm(d, 0, 300), dice_cm(d, 0, 200), dice_cm(d, 1, 40), dice_cm(d, 1, 60),
                                 dice_between(d, 0, 1) == 1};
  for (int i = 0; i < pieces; i++) {
    bc_piece *piece = plan_add(plan, dice_cm(d, 5, 60), dice_cm(d, 5, 70));
    piece->role = (bc_role)dice_between(d, 0, 4);
    if (i > 0 && piece->role == BC_ROLE_STATEMENT) piece->role = BC_ROLE_SUPPORT;
    piece->mount.kind = (bc_mount_kind)dice_between(d, 0, 7);
    piece->mount.points = dice_between(d, 1, 2);
    piece->mount.cord_angle = dice_between(d, 15, 90);
    piece->depth = dice_between(d, 0, 25);
    piece->weight_g = dice_between(d, 100, 5000);
    if (dice_between(d, 0, 4) == 0) piece->mount.rated_kg = dice_between(d, 1, 20);
    if (bc_mount_hangs(piece->mount.kind) && plan->rod_count && dice_between(d, 0, 3) == 0)
      piece->mount.on = strdup(plan->rods[0].id);
    if (dice_between(d, 0, 2) == 0) piece->group = strdup(dice_between(d, 0, 1) ? "bowls" : "lids");
  }
  add_fittings(d, plan);
  return plan;
}

typedef struct box {
  double x0, x1, y0, y1;
} box;

static box box_of(const bc_piece *piece, bc_point_cm at) {
  return (box){at.x - piece->width / 2, at.x + piece->width / 2, at.y - piece->height / 2, at.y + piece->height / 2};
}

static void check_pair(const bc_plan *plan, const bc_arrangement *a, size_t i, size_t j) {
  const box p = box_of(&plan->pieces[i], a->places[i].at), q = box_of(&plan->pieces[j], a->places[j].at);
  const double across = fmax(p.x0, q.x0) - fmin(p.x1, q.x1), upright = fmax(p.y0, q.y0) - fmin(p.y1, q.y1);
  assert_true(fmax(across, upright) >= plan->gap - SLACK);
}

static bool touches(box p, double x0, double y0, double x1, double y1) {
  return p.x0 < x1 - SLACK && x0 < p.x1 - SLACK && p.y0 < y1 - SLACK && y0 < p.y1 - SLACK;
}

static void check_hanging(const bc_plan *plan, const bc_piece *piece, bc_point_cm at) {
  const box p = box_of(piece, at);
  const bc_rod *rod = bc_plan_rod_of(plan, piece);
  for (int k = 0; k < piece->mount.points; k++) {
    const bc_point_cm point = bc_plan_hanging_point(plan, piece, at, k);
    assert_true(point.x >= -SLACK && point.x <= plan->stand.width + SLACK);
    if (rod) {
      assert_true(p.y1 < rod->y);
      assert_true(point.x >= rod->x - SLACK && point.x <= rod->x + rod->length + SLACK);
    } else {
      assert_true(point.y <= BC_ARRANGE_REACH + BC_ARRANGE_STEP + SLACK);
      assert_true(point.y <= plan->stand.wall_height + SLACK);
    }
  }
  for (size_t k = 0; k < plan->shelf_count; k++) {
    const bc_shelf *s = &plan->shelves[k];
    assert_false(touches(p, s->x, s->y - 2, s->x + s->width, s->y));
  }
  for (size_t k = 0; k < plan->table_count; k++) {
    const bc_table *t = &plan->tables[k];
    const double room = fmin(plan->stand.wall_height, BC_ARRANGE_REACH + BC_ARRANGE_STEP) - t->height;
    const bool tall = piece->height + 20 + piece->width > room; /* may have to reach below the table top */
    if (!tall && !rod) assert_false(touches(p, t->x, 0, t->x + t->width, t->height));
  }
}

static bool within(double value, double low, double high) {
  return value >= low - SLACK && value <= high + SLACK;
}

static void check_hooks(const bc_plan *plan, const bc_piece *piece, bc_point_cm at) {
  const bc_grid *grid = bc_plan_grid_of(plan, piece);
  const bc_post *post = bc_plan_post_of(plan, piece);
  const bool bare = !grid && !post && !bc_plan_rod_of(plan, piece);
  for (int k = 0; k < piece->mount.points; k++) {
    const bc_point_cm point = bc_plan_hanging_point(plan, piece, at, k);
    if (grid) {
      const double column = (point.x - grid->x) / grid->mesh, row = (point.y - grid->y) / grid->mesh;
      assert_true(fabs(column - round(column)) * grid->mesh < 0.1 && fabs(row - round(row)) * grid->mesh < 0.1);
      assert_true(within(point.x, grid->x - 0.1, grid->x + grid->width + 0.1));
      assert_true(within(point.y, grid->y - 0.1, grid->y + grid->height + 0.1));
    }
    if (post) assert_true(post->hang && within(point.x, post->x, post->x + post->width));
    for (size_t z = 0; bare && z < plan->post_count; z++) {
      const bc_post *other = &plan->posts[z];
      assert_false(point.x > other->x && point.x < other->x + other->width && point.y < other->y + other->height);
    }
    for (size_t z = 0; bare && z < plan->zone_count; z++) {
      const bc_zone *zone = &plan->zones[z];
      assert_false(point.x > zone->x && point.x < zone->x + zone->width && point.y > zone->y &&
                   point.y < zone->y + zone->height);
    }
  }
}

/* Nothing is where a zone, a post, a panel, a riser or a chair has to be. */
static void check_fittings(const bc_plan *plan, const bc_piece *piece, const bc_place *place) {
  const box p = box_of(piece, place->at);
  const bool hangs = bc_mount_hangs(piece->mount.kind), table = piece->mount.kind == BC_MOUNT_TABLE;
  const char *on = place->on ? place->on : "";
  for (size_t i = 0; i < plan->zone_count; i++) {
    const bc_zone *z = &plan->zones[i];
    if (z->kind == BC_ZONE_KEEP_CLEAR) assert_false(touches(p, z->x, z->y, z->x + z->width, z->y + z->height));
  }
  for (size_t i = 0; i < plan->post_count; i++) {
    const bc_post *s = &plan->posts[i];
    if (strcmp(on, s->id) != 0 && !table) assert_false(touches(p, s->x, s->y, s->x + s->width, s->y + s->height));
  }
  for (size_t i = 0; i < plan->grid_count; i++) {
    const bc_grid *g = &plan->grids[i];
    if (strcmp(on, g->id) != 0 && hangs) assert_false(touches(p, g->x, g->y, g->x + g->width, g->y + g->height));
  }
  for (size_t i = 0; i < plan->riser_count; i++) {
    const bc_riser *r = &plan->risers[i];
    const double top = bc_plan_riser_top(plan, r);
    if (strcmp(on, r->id) != 0 && table) assert_false(touches(p, r->x, top - r->height, r->x + r->width, top));
  }
  for (size_t i = 0; i < plan->chair_count; i++) {
    const bc_chair *c = &plan->chairs[i];
    if (piece->mount.kind == BC_MOUNT_FLOOR) assert_false(touches(p, c->x, 0, c->x + c->width, c->height));
  }
  if (hangs) check_hooks(plan, piece, place->at);
}

static void check_standing(const bc_plan *plan, const bc_piece *piece, const bc_place *place) {
  const double foot = place->at.y - piece->height / 2;
  if (piece->mount.kind == BC_MOUNT_FLOOR) {
    assert_true(fabs(foot) < SLACK);
    return;
  }
  for (size_t k = 0; k < plan->shelf_count; k++) {
    const bc_shelf *s = &plan->shelves[k];
    if (piece->mount.kind != BC_MOUNT_SHELF || strcmp(s->id, place->on) != 0) continue;
    assert_true(fabs(foot - s->y) < SLACK);
    assert_true(place->at.x - piece->width / 2 >= s->x - SLACK &&
                place->at.x + piece->width / 2 <= s->x + s->width + SLACK);
    assert_true(piece->depth <= s->depth);
    return;
  }
  for (size_t k = 0; k < plan->table_count; k++) {
    const bc_table *t = &plan->tables[k];
    if (piece->mount.kind != BC_MOUNT_TABLE || strcmp(t->id, place->on) != 0) continue;
    assert_true(fabs(foot - t->height) < SLACK);
    assert_true(place->at.x - piece->width / 2 >= t->x - SLACK &&
                place->at.x + piece->width / 2 <= t->x + t->width + SLACK);
    return;
  }
  for (size_t k = 0; k < plan->riser_count; k++) {
    const bc_riser *r = &plan->risers[k];
    if (piece->mount.kind != BC_MOUNT_TABLE || strcmp(r->id, place->on) != 0) continue;
    assert_true(fabs(foot - bc_plan_riser_top(plan, r)) < SLACK);
    assert_true(within(place->at.x - piece->width / 2, r->x, r->x + r->width));
    assert_true(within(place->at.x + piece->width / 2, r->x, r->x + r->width));
    return;
  }
  fail_msg("a standing piece is on nothing");
}

static void check_piece(const bc_plan *plan, const bc_arrangement *a, size_t i, const bc_arrange_zone *zones,
                        size_t zone_count) {
  const bc_piece *piece = &plan->pieces[i];
  const bc_place *place = &a->places[i];
  if (place->state == BC_PLACE_LEFT_OFF) {
    assert_non_null(place->why);
    assert_true(strlen(place->why) > 10);
    return;
  }
  const box p = box_of(piece, place->at);
  assert_true(p.x0 >= -SLACK && p.y0 >= -SLACK);
  assert_true(p.x1 <= plan->stand.width + SLACK && p.y1 <= plan->stand.wall_height + SLACK);
  const bool hangs = bc_mount_hangs(piece->mount.kind);
  for (size_t k = 0; k < zone_count; k++)
    if (hangs || (zones[k].post && piece->mount.kind != BC_MOUNT_TABLE))
      assert_false(touches(p, zones[k].x, zones[k].y, zones[k].x + zones[k].width, zones[k].y + zones[k].height));
  check_fittings(plan, piece, place);
  if (hangs)
    check_hanging(plan, piece, place->at);
  else
    check_standing(plan, piece, place);
}

/* What a piece takes above itself: from its top edge to its nails, as broad as these lie apart. Cords only. */
static bool cord_of(box *out, const bc_plan *plan, const bc_piece *piece, bc_point_cm at) {
  if (piece->mount.kind != BC_MOUNT_CORD) return false;
  *out = (box){at.x, at.x, at.y + piece->height / 2, at.y + piece->height / 2};
  for (int k = 0; k < piece->mount.points; k++) {
    const bc_point_cm nail = bc_plan_hanging_point(plan, piece, at, k);
    out->x0 = fmin(out->x0, nail.x);
    out->x1 = fmax(out->x1, nail.x);
    out->y1 = fmax(out->y1, nail.y);
  }
  return out->y1 > out->y0;
}

static void apart(box p, box q, double gap) {
  const double across = fmax(p.x0, q.x0) - fmin(p.x1, q.x1), upright = fmax(p.y0, q.y0) - fmin(p.y1, q.y1);
  assert_true(fmax(across, upright) >= gap - SLACK);
}

/* No nail is behind a neighbour, no cord within the gap of one or of another's cord, none across a rod. */
static void check_cords(const bc_plan *plan, const bc_arrangement *a) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (a->places[i].state == BC_PLACE_LEFT_OFF || !bc_mount_hangs(piece->mount.kind)) continue;
    box cord, other;
    const bool corded = cord_of(&cord, plan, piece, a->places[i].at);
    for (size_t j = 0; j < plan->piece_count; j++) {
      if (j == i || a->places[j].state == BC_PLACE_LEFT_OFF) continue;
      const box neighbour = box_of(&plan->pieces[j], a->places[j].at);
      for (int k = 0; k < piece->mount.points; k++) {
        const bc_point_cm nail = bc_plan_hanging_point(plan, piece, a->places[i].at, k);
        assert_false(touches(neighbour, nail.x - SLACK, nail.y - SLACK, nail.x + SLACK, nail.y + SLACK));
      }
      if (corded) apart(cord, neighbour, plan->gap);
      if (corded && cord_of(&other, plan, &plan->pieces[j], a->places[j].at)) apart(cord, other, plan->gap);
    }
    for (size_t k = 0; corded && k < plan->rod_count; k++) {
      const bc_rod *rod = &plan->rods[k];
      if (bc_plan_rod_of(plan, piece) != rod) assert_false(touches(cord, rod->x, rod->y, rod->x + rod->length, rod->y));
    }
  }
}

/* Where there is a cloth, what hangs on the bare wall hangs on it. */
static void check_cloth(const bc_plan *plan, const bc_arrangement *a) {
  const bc_wall_cloth *cloth = &plan->cloth;
  for (size_t i = 0; cloth->given && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (a->places[i].state != BC_PLACE_PLACED || !bc_mount_hangs(piece->mount.kind) || piece->mount.on) continue;
    const box p = box_of(piece, a->places[i].at);
    assert_true(p.x0 >= cloth->left - SLACK && p.x1 <= cloth->left + cloth->width + SLACK);
    assert_true(p.y1 <= cloth->top + SLACK);
  }
}

/* One list, the best first; each style can be had; nothing on the wall is no success; a cause for all that is left. */
static void check_list(const bc_plan *plan, const bc_arrangements *result) {
  for (size_t k = 0; k < BC_ARRANGE_STYLES; k++) assert_true(result->of_style[k] < result->count);
  for (size_t k = 0; k < result->count; k++) {
    const bc_arrangement *a = result->arrangement[k], *before = k > 0 ? result->arrangement[k - 1] : NULL;
    size_t left = 0;
    for (size_t i = 0; i < plan->piece_count; i++) {
      const bc_place *place = &a->places[i];
      if (place->state != BC_PLACE_LEFT_OFF) continue;
      left++;
      assert_true(place->cause == BC_LEFT_ROOM || place->cause == BC_LEFT_RATING || place->cause == BC_LEFT_UNKNOWN);
    }
    assert_int_equal(left, a->left_off);
    if (left > 0 && left == plan->piece_count) assert_true(a->score == 0);
    if (before) assert_true(before->left_off < left || (before->left_off == left && before->score >= a->score - 1e-9));
    assert_int_equal(result->arrangement[result->of_style[a->style]]->style, a->style);
  }
}

/* What was placed holds: the loads stage finds no overload in the plan without the pieces left off. */
static void check_loads(const bc_plan *plan, const bc_arrangement *a) {
  bc_plan hung = *plan;
  hung.pieces = calloc(plan->piece_count + 1, sizeof *hung.pieces);
  hung.piece_count = 0;
  for (size_t i = 0; i < plan->piece_count; i++) {
    if (a->places[i].state == BC_PLACE_LEFT_OFF) continue;
    bc_piece *piece = &hung.pieces[hung.piece_count++];
    *piece = plan->pieces[i];
    piece->placed = true;
    piece->at = a->places[i].at;
    piece->mount.on = (char *)a->places[i].on;
  }
  bc_loads *loads = NULL;
  assert_int_equal(bc_loads_of(&loads, context, &hung), BC_OK);
  for (size_t i = 0; i < loads->point_count; i++)
    assert_false(loads->points[i].why & BC_WHY_FAILS & ~(unsigned)BC_WHY_PULLED);
  for (size_t i = 0; i < loads->rod_count; i++) assert_int_not_equal(loads->rods[i].holds, BC_HOLDS_NO);
  for (size_t i = 0; i < loads->shelf_count; i++) assert_int_not_equal(loads->shelves[i].holds, BC_HOLDS_NO);
  bc_loads_free(loads);
  free(hung.pieces);
}

static void check_all(const bc_plan *plan, const bc_arrangements *result, const bc_arrange_zone *zones,
                      size_t zone_count) {
  assert_true(result->count >= 1 && result->count <= BC_ARRANGE_STYLES);
  for (size_t k = 0; k < result->count; k++) {
    const bc_arrangement *a = result->arrangement[k];
    assert_int_equal(a->place_count, plan->piece_count);
    assert_true(a->score >= 0 && a->score <= 100 + 1e-9);
    for (size_t i = 0; i < plan->piece_count; i++) {
      check_piece(plan, a, i, zones, zone_count);
      for (size_t j = i + 1; j < plan->piece_count; j++)
        if (a->places[i].state != BC_PLACE_LEFT_OFF && a->places[j].state != BC_PLACE_LEFT_OFF)
          check_pair(plan, a, i, j);
    }
    check_loads(plan, a);
    check_cords(plan, a);
    check_cloth(plan, a);
  }
  check_list(plan, result);
}

#ifdef __SANITIZE_ADDRESS__
#define PLANS 400 /* the sanitizers take about 15 times as long */
#else
#define PLANS 1000
#endif

static int plans_to_try(void) {
  const char *text = getenv("BC_RULES_PLANS");
  if (!text) return PLANS;
  const int plans = atoi(text);
  assert_true(plans > 0);
  return plans;
}

static void random_plans_keep_every_rule(void **state) {
  (void)state;
  const int plans = plans_to_try();
  size_t placed = 0, left_off = 0;
  for (int number = 0; number < plans; number++) {
    dice d = {(uint64_t)number};
    bc_arrange_zone zones[2];
    bc_arrange_options options = bc_arrange_options_default();
    bc_plan *plan = random_plan(&d, zones, &options.zone_count);
    options.zones = zones;
    options.effort = number % 50 == 0 ? 1 : 0.02; /* the rules do not depend on how long the search looks */
    bc_arrangements *result = NULL;
    assert_int_equal(bc_arrange(&result, context, plan, &options), BC_OK);
    check_all(plan, result, zones, options.zone_count);
    left_off += result->arrangement[0]->left_off;
    placed += plan->piece_count - result->arrangement[0]->left_off;
    bc_arrangements_free(result);
    plan_drop(plan);
  }
  assert_true(placed > 3 * left_off / 2); /* leaving everything off would keep every rule too */
}

/* The same plan and seed give the same answer, to the last bit. */
static void same_seed_same_answer(void **state) {
  (void)state;
  for (int number = 0; number < 40; number++) {
    char *first = NULL, *second = NULL;
    for (int turn = 0; turn < 2; turn++) {
      dice d = {(uint64_t)number + 77};
      bc_arrange_zone zones[2];
      bc_arrange_options options = bc_arrange_options_default();
      bc_plan *plan = random_plan(&d, zones, &options.zone_count);
      options.zones = zones;
      bc_arrangements *result = NULL;
      assert_int_equal(bc_arrange(&result, context, plan, &options), BC_OK);
      assert_int_equal(bc_arrange_to_json(turn == 0 ? &first : &second, context, plan, result), BC_OK);
      bc_arrangements_free(result);
      plan_drop(plan);
    }
    assert_string_equal(first, second);
    free(first);
    free(second);
  }
}

/* Pinned pieces keep their place to the last bit, and nothing comes near them. */
static void pins_stay(void **state) {
  (void)state;
  for (int number = 0; number < 200; number++) {
    dice d = {(uint64_t)number + 5000};
    bc_arrange_options options = bc_arrange_options_default();
    options.effort = number % 20 == 0 ? 1 : 0.1; /* nor does a pin depend on it */
    bc_plan *plan = plan_empty(8);
    for (int i = 0; i < 8; i++) plan_add(plan, dice_cm(&d, 10, 40), dice_cm(&d, 10, 40));
    bc_piece *pinned = &plan->pieces[dice_between(&d, 0, 7)];
    pinned->placed = pinned->pinned = true;
    pinned->at = (bc_point_cm){dice_cm(&d, 30, 270) + 0.0037, dice_cm(&d, 100, 200) + 0.0019};
    const bc_point_cm was = pinned->at;
    bc_arrangements *result = NULL;
    assert_int_equal(bc_arrange(&result, context, plan, &options), BC_OK);
    for (size_t k = 0; k < result->count; k++) {
      const bc_place *place = &result->arrangement[k]->places[pinned - plan->pieces];
      assert_int_equal(place->state, BC_PLACE_KEPT);
      assert_memory_equal(&place->at, &was, sizeof was);
    }
    check_all(plan, result, NULL, 0);
    bc_arrangements_free(result);
    plan_drop(plan);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(random_plans_keep_every_rule),
      cmocka_unit_test(same_seed_same_answer),
      cmocka_unit_test(pins_stay),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
