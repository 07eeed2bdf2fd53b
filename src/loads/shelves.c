/* SPDX-License-Identifier: MIT */
/* Shelves: what stands on each against its rating, and its brackets' upper fixings, which are pulled out
 * of the wall. A shelf is a beam on its brackets; a bracket is a lever:
 *
 *   wall |---------- shelf        W at e from the wall; the lower end bears on the wall
 *      T <|#      | W             T h = W e   (moments about the lower end)
 *         | #     v
 *       h |   #
 *         |>                      T: pull on the upper fixing, beside its share of W */
#include "beam.h"
#include "loads_internal.h"

#include <math.h>
#include <stdlib.h>

#define SLACK_CM 0.1 /* tapes are read to a millimetre, as in the plan's check */

static bc_status note_missing(bc_loads *loads, bc_context *context, const bc_piece *piece, const bc_shelf *shelf) {
  loads->unweighed++;
  return bc_note(
      &loads->notes, context,
      bc_text_safety("%s stands on shelf \"%s\", but its weight is not given and is missing here: the real load is "
                     "higher. Weigh it and note its weight."),
      piece->title, shelf->id);
}

/* The pieces on the shelf as forces, N, and as moments about the wall, N m. What stands on a shelf stands in
 * the middle of its depth, or further out when it is the deeper. */
typedef struct burden {
  loads_force *forces, *moments;
  size_t count;
  double own_n;
  bool unweighed, beyond; /* of something on it: no weight; past the shelf's end */
} burden;

static bc_status gather(burden *out, bc_loads *loads, bc_context *context, const bc_plan *plan, const bc_shelf *shelf) {
  for (size_t p = 0; p < plan->piece_count; p++) {
    const bc_piece *piece = &plan->pieces[p];
    if (bc_plan_shelf_of(plan, piece) != shelf || !piece->placed) continue;
    const double x = piece->at.x + piece->mount.off_centre - shelf->x;
    out->beyond = out->beyond || x < -SLACK_CM || x > shelf->width + SLACK_CM;
    if (!(piece->weight_g > 0)) {
      out->unweighed = true;
      const bc_status status = note_missing(loads, context, piece, shelf);
      if (status != BC_OK) return status;
      continue;
    }
    const double place = fmin(fmax(x, 0), shelf->width) / 100, newton = loads_newton_of_grams(piece->weight_g);
    out->forces[out->count] = (loads_force){place, newton};
    out->moments[out->count++] = (loads_force){place, newton * fmax(shelf->depth, piece->depth) / 200};
  }
  return BC_OK;
}

/* Reactions of a stiff board do not depend on its stiffness: 1 stands for it. One bracket carries all, and where the
 * board is no beam any of them may have to. */
static void react(double *reactions, const bc_shelf *shelf, const loads_force *forces, size_t count, double own) {
  const double length = shelf->width / 100;
  const loads_spread spread = {0, length, own / length};
  loads_beam beam = {.length = length,
                     .stiffness = 1,
                     .support_count = (size_t)shelf->brackets,
                     .forces = forces,
                     .force_count = count,
                     .spreads = &spread,
                     .spread_count = 1};
  for (int i = 0; i < shelf->brackets; i++) beam.supports[i] = length * (i + 0.5) / shelf->brackets;
  loads_beam_answer answer;
  if (shelf->brackets > 1 && loads_beam_solve(&answer, &beam)) {
    for (int i = 0; i < shelf->brackets; i++) reactions[i] = answer.reactions[i];
    return;
  }
  double all = own;
  for (size_t i = 0; i < count; i++) all += forces[i].newton;
  for (int i = 0; i < shelf->brackets; i++) reactions[i] = all;
}

static void load_brackets(bc_load_shelf *out, const bc_shelf *shelf, const burden *on) {
  double down[BC_ROD_SUPPORTS], moment[BC_ROD_SUPPORTS];
  react(down, shelf, on->forces, on->count, on->own_n);
  react(moment, shelf, on->moments, on->count, on->own_n * shelf->depth / 200);
  out->bracket_count = (size_t)shelf->brackets;
  for (size_t i = 0; i < out->bracket_count; i++) {
    bc_load_bracket *bracket = &out->brackets[i];
    bracket->x = shelf->x + shelf->width * ((double)i + 0.5) / shelf->brackets;
    bracket->vertical_n = down[i];
    bracket->pull_n = shelf->bracket_height > 0 ? fmax(0, moment[i]) / (shelf->bracket_height / 100) : 0;
    bracket->demand_n = hypot(fmax(0, down[i]), bracket->pull_n);
    out->lifts = out->lifts || down[i] < -1e-9;
  }
}

static unsigned reasons(bc_holds compared, bool unweighed) {
  const unsigned why = compared == BC_HOLDS_NO        ? BC_WHY_OVERLOADED
                       : compared == BC_HOLDS_UNKNOWN ? BC_WHY_NO_RATING
                                                      : 0;
  return why | (unweighed ? BC_WHY_NO_WEIGHT : 0);
}

/* Without the bracket's height the pull is missing, so less than all is known: no pass. Its own weight pulls at the
 * fixings, not at the board's rating. */
static void judge(bc_load_shelf *out, const bc_shelf *shelf, const burden *on, double factor) {
  double greatest = 0;
  for (size_t i = 0; i < out->bracket_count; i++) greatest = fmax(greatest, out->brackets[i].demand_n);
  out->rated_n = shelf->rated_kg * BC_STANDARD_GRAVITY;
  out->fixing_rated_n = shelf->fixing_rated_kg * BC_STANDARD_GRAVITY;
  out->unweighed = on->unweighed;
  out->shelf_why =
      reasons(loads_compare(out->load_n, out->rated_n, factor, &out->needed_n, &out->utilisation), on->unweighed);
  out->fixings_why =
      reasons(loads_compare(greatest, out->fixing_rated_n, factor, &out->fixing_needed_n, &out->fixing_utilisation),
              on->unweighed || !(out->own_weight_n > 0));
  if (!(shelf->bracket_height > 0)) out->fixings_why |= BC_WHY_NO_BRACKET;
  if (out->lifts) out->shelf_why |= BC_WHY_LIFTS;
  if (on->beyond) out->shelf_why |= BC_WHY_BEYOND;
}

static bc_status note_shelf(bc_loads *loads, bc_context *context, const bc_shelf *shelf, const bc_load_shelf *out) {
  if (out->lifts)
    return bc_note(
        &loads->notes, context,
        bc_text_safety("Shelf \"%s\" would tip over its last bracket. Move what stands near its end inwards."),
        shelf->id);
  if (!(shelf->bracket_height > 0))
    return bc_note(
        &loads->notes, context,
        bc_text_safety(
            "Shelf \"%s\": how hard its upper screws are pulled is not known. Measure a bracket from the lowest point "
            "where it touches the wall up to its upper screw, and write that height into the plan."),
        shelf->id);
  if (!(shelf->weight_g > 0))
    return bc_note(
        &loads->notes, context,
        bc_text_safety("Shelf \"%s\": its own weight is not given and is missing here: the real load on its screws is "
                       "higher. Weigh it with its brackets."),
        shelf->id);
  return BC_OK;
}

static bc_status add_shelf(bc_loads *loads, bc_context *context, const bc_plan *plan, const bc_shelf *shelf) {
  bc_load_shelf *out = &loads->shelves[loads->shelf_count++];
  *out = (bc_load_shelf){.id = shelf->id, .own_weight_n = loads_newton_of_grams(shelf->weight_g)};
  burden on = {.forces = bc_allocate(plan->piece_count, sizeof *on.forces),
               .moments = bc_allocate(plan->piece_count, sizeof *on.moments),
               .own_n = out->own_weight_n};
  bc_status status = on.forces && on.moments ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = gather(&on, loads, context, plan, shelf);
  if (status == BC_OK) {
    for (size_t i = 0; i < on.count; i++) out->load_n += on.forces[i].newton;
    load_brackets(out, shelf, &on);
    judge(out, shelf, &on, loads->design_factor);
    status = note_shelf(loads, context, shelf, out);
  }
  free(on.forces);
  free(on.moments);
  return status;
}

bc_status loads_find_shelves(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->shelves = bc_allocate(plan->shelf_count, sizeof *loads->shelves);
  if (!loads->shelves) return bc_fail_memory(context);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->shelf_count; i++)
    status = add_shelf(loads, context, plan, &plan->shelves[i]);
  return status;
}
