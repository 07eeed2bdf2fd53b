/* SPDX-License-Identifier: MIT */
/* Equilibrium as a property: forces and moments of 100,000 random systems sum to nothing within 1e-9 of the weight
 * (statics; the only rounding is that of doubles). */
#include <backcloth/loads.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

enum { PLANS = 5000, PIECES = 20, ROOM = 1 << 14 };
static uint64_t seed = 20260711;

static double between(double low, double high) {
  seed = seed * 6364136223846793005u + 1442695040888963407u;
  return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

/* %a is not JSON, so 17 digits carry the figure whole. */
static size_t add_piece(char *to, size_t room, int i) {
  const int kind = (int)between(0, 5);
  const double x = between(10, 290), width = between(5, 150);
  size_t n = (size_t)snprintf(to, room,
                              "%s{\"id\":\"p%d\",\"width\":%.17g,\"height\":30,\"weight_g\":%.17g,\"at\":[%.17g,150],"
                              "\"mount\":{",
                              i ? "," : "", i, width, between(1, 20000), x);
  char *const at = to + n;
  const size_t left = room - n;
  if (kind == 0)
    n += (size_t)snprintf(at, left, "\"kind\":\"cord\",\"points\":2,\"cord_angle\":%.17g,\"off_centre\":%.17g}}",
                          between(3, 89), between(-0.2, 0.2) * width);
  else if (kind == 1)
    n += (size_t)snprintf(at, left, "\"kind\":\"cord\",\"points\":2,\"cord_angles\":[%.17g,%.17g]}}", between(3, 89),
                          between(3, 89));
  else if (kind == 2)
    n += (size_t)snprintf(at, left, "\"kind\":\"cord\",\"points\":1,\"cord_angle\":%.17g}}", between(3, 89));
  else if (kind == 3)
    n += (size_t)snprintf(at, left, "\"kind\":\"shelf\",\"on\":\"s\",\"off_centre\":%.17g}}",
                          between(-0.3, 0.3) * width);
  else
    n += (size_t)snprintf(at, left, "\"kind\":\"%s\",\"points\":%d,\"off_centre\":%.17g}}",
                          between(0, 1) < 0.5 ? "nail" : "clip", 1 + (int)between(0, 8), between(-0.2, 0.2) * width);
  return n;
}

static bc_plan *random_plan(void) {
  static char text[ROOM];
  size_t n = (size_t)snprintf(text, ROOM,
                              "{\"backcloth\":1,\"title\":\"t\",\"stand\":{\"width\":300,\"wall_height\":240},"
                              "\"frame\":{\"base_depth\":%.17g,\"weight_g\":%.17g,\"ballast_g\":%.17g},"
                              "\"shelves\":[{\"id\":\"s\",\"x\":0,\"width\":300,\"depth\":%.17g,\"weight_g\":%.17g,"
                              "\"brackets\":%d,\"bracket_height\":%.17g}],\"pieces\":[",
                              between(40, 200), between(1000, 40000), between(0, 60000), between(10, 60),
                              between(100, 9000), 1 + (int)between(0, 6), between(5, 50));
  for (int i = 0; i < PIECES; i++) n += add_piece(text + n, ROOM - n, i);
  n += (size_t)snprintf(text + n, ROOM - n, "]}");
  bc_plan *plan = NULL;
  const bc_status status = bc_plan_parse(&plan, context, text, n, "plan.json", NULL);
  if (status != BC_OK) print_message("%s\n", bc_context_message(context));
  assert_int_equal(status, BC_OK);
  return plan;
}

#define zero(sum, scale) assert_true(fabs(sum) <= 1e-9 * fmax(1, scale))

/* Where the pull of a point meets the piece, from its middle: cords at the quarter points. */
static double arm(const bc_piece *piece, int i) {
  const int count = piece->mount.points;
  if (piece->mount.kind == BC_MOUNT_CLIP && count > 1) return piece->width * ((double)i / (count - 1) - 0.5);
  return piece->width * ((i + 0.5) / count - 0.5);
}

static void check_piece(const bc_piece *piece, const bc_load_point *points) {
  const double weight = piece->weight_g / 1000 * BC_STANDARD_GRAVITY;
  double down = 0, sideways = 0, moment = 0;
  for (int i = 0; i < piece->mount.points; i++) {
    down += points[i].vertical_n, sideways += points[i].horizontal_n;
    moment += points[i].vertical_n * arm(piece, i);
    if (piece->mount.points == 2)
      zero(hypot(points[i].vertical_n, points[i].horizontal_n) - points[i].tension_n, weight * 20);
    if (piece->mount.cord_angle_count == 2) /* the pull runs along the wire */
      zero(points[i].vertical_n - points[i].tension_n * sin(piece->mount.cord_angles[i] * M_PI / 180), weight * 20);
    if (points[i].tips) return;
  }
  zero(down - weight, weight);
  zero(sideways, weight * 20);
  /* One point or one eye: the piece turns until its mass is below. */
  if (piece->mount.points > 1 && piece->mount.cord_angle_count == 0)
    zero(moment - weight * piece->mount.off_centre, weight * piece->width);
}

static void check_shelf(const bc_plan *plan, const bc_load_shelf *shelf) {
  const bc_shelf *on = &plan->shelves[0];
  double down = -shelf->own_weight_n, turn = -shelf->own_weight_n * 150, wall = -shelf->own_weight_n * on->depth / 2;
  bool pulled = true;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (piece->mount.kind != BC_MOUNT_SHELF) continue;
    const double newton = piece->weight_g / 1000 * BC_STANDARD_GRAVITY;
    const double x = fmin(fmax(piece->at.x + piece->mount.off_centre, 0), 300);
    down -= newton, turn -= newton * x, wall -= newton * fmax(on->depth, piece->depth) / 2;
  }
  for (size_t i = 0; i < shelf->bracket_count; i++) {
    const bc_load_bracket *b = &shelf->brackets[i];
    down += b->vertical_n, turn += b->vertical_n * b->x, wall += b->pull_n * on->bracket_height;
    pulled = pulled && b->pull_n > 0;
  }
  const double weight = shelf->load_n + shelf->own_weight_n;
  zero(down, weight);
  if (shelf->bracket_count > 1) zero(turn, weight * 300);
  if (pulled) zero(wall, weight * 60);
}

static void random_systems_are_in_equilibrium(void **state) {
  (void)state;
  size_t systems = 0;
  for (int p = 0; p < PLANS; p++) {
    bc_plan *plan = random_plan();
    bc_loads *loads = NULL;
    assert_int_equal(bc_loads_of(&loads, context, plan), BC_OK);
    size_t point = 0;
    for (size_t i = 0; i < plan->piece_count; i++, systems++) {
      if (!bc_mount_hangs(plan->pieces[i].mount.kind)) continue;
      assert_string_equal(loads->points[point].piece, plan->pieces[i].id);
      check_piece(&plan->pieces[i], &loads->points[point]);
      point += (size_t)plan->pieces[i].mount.points;
    }
    check_shelf(plan, &loads->shelves[0]);
    /* About either end of the feet: both moments together are the weight times the feet's depth. */
    const bc_load_frame *frame = &loads->frame;
    /* About both ends together: all but the goods, which never count where they would hold the frame down. */
    double goods = 0;
    for (size_t i = 0; i < plan->piece_count; i++)
      if (plan->pieces[i].placed) goods += plan->pieces[i].weight_g / 1000 * BC_STANDARD_GRAVITY;
    zero(frame->sold_out_nm[0] + frame->sold_out_nm[1] - (frame->weight_n - goods) * plan->frame.base_depth / 100,
         frame->weight_n * 2);
    for (int end = 0; end < 2; end++) assert_true(frame->restoring_nm[end] <= frame->sold_out_nm[end]);
    bc_loads_free(loads);
    bc_plan_free(plan);
  }
  assert_int_equal(systems, 100000);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(random_systems_are_in_equilibrium)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
