/* SPDX-License-Identifier: MIT */
/* The hanging-load notes for a person: what each point carries, what is to settle, the order of hanging, the
 * cautions. A mark by shape stands before each line, beside the words. Figures for an engineer are in the JSON. */
#include "loads_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { WORDS = 64, NAME = 160 };

typedef struct teller {
  bc_buffer out;
  const bc_loads *loads;
  const bc_plan *plan;
  bc_units units;
} teller;

static const char *mark(bc_holds holds) {
  return holds == BC_HOLDS_YES ? "✓" : holds == BC_HOLDS_NO ? "✗" : "?";
}

static void mass(char *out, double newton, bc_units units) {
  bc_mass_words(out, WORDS, loads_kg_of_newton(newton) * 1000, units);
}

/* --- names -------------------------------------------------------------------------------------------------- */
/* The carrier called `id`, "the rod" or "the rod "left"". */
static void carrier_name(char *out, const bc_plan *plan, const char *id) {
  bc_carrier on = {0};
  for (size_t i = 0; i < bc_plan_carrier_count(plan); i++) {
    on = bc_plan_carrier(plan, i);
    if (on.kind != BC_CARRIER_FRAME && strcmp(on.id, id) == 0) break;
  }
  bc_carrier_name(out, NAME, plan, &on);
}

/* Sentences end with a space for the next one; a line does not. */
static void end_line(teller *t) {
  while (t->out.length > 0 && t->out.text[t->out.length - 1] == ' ') t->out.text[--t->out.length] = '\0';
  bc_buffer_add(&t->out, "\n");
}

/* --- ratings ------------------------------------------------------------------------------------------------- */
/* "Times 5: 3.5 kg. Rated 4 kg: holds, 88 % used." */
static void tell_rating(teller *t, bc_holds holds, double rated_n, double needed_n, double utilisation) {
  char rated[WORDS], needed[WORDS];
  const double factor = t->loads->design_factor;
  mass(rated, rated_n, t->units);
  mass(needed, needed_n, t->units);
  if (holds == BC_HOLDS_YES)
    bc_buffer_add(&t->out, _("Times %g: %s. Rated %s: holds, %.0f %% of the rating used."), factor, needed, rated,
                  100 * utilisation);
  else if (holds == BC_HOLDS_NO)
    bc_buffer_add(&t->out, _("Times %g: %s. Rated only %s: DOES NOT HOLD."), factor, needed, rated);
  else
    bc_buffer_add(&t->out, _("Times %g: it must be rated for %s or more. Its rating is not given."), factor, needed);
}

/* --- hanging points ------------------------------------------------------------------------------------------- */
static bool alike(const bc_load_point *a, const bc_load_point *b) {
  return strcmp(a->piece, b->piece) == 0 && fabs(a->demand_n - b->demand_n) < 0.005 && a->rated_n == b->rated_n;
}

static void tell_what_it_hangs_from(teller *t, const bc_load_point *point) {
  char on[NAME];
  if (!point->on)
    bc_buffer_add(&t->out, t->plan->frame.given ? _("%s, on the frame: ") : _("%s, on the wall: "),
                  bc_mount_text(point->kind));
  else {
    carrier_name(on, t->plan, point->on);
    bc_buffer_add(&t->out, _("%s, on %s: "), bc_mount_text(point->kind), on);
  }
}

static void tell_load(teller *t, const bc_load_point *point, size_t count) {
  char load[WORDS], side[WORDS];
  mass(load, point->demand_n, t->units);
  mass(side, fabs(point->horizontal_n), t->units);
  const bool sideways = fabs(point->horizontal_n) > 0.005;
  if (count > 1 && sideways)
    bc_buffer_add(&t->out, _("each carries %s, of which %s pull sideways. "), load, side);
  else if (count > 1)
    bc_buffer_add(&t->out, _("each carries %s. "), load);
  else if (sideways)
    bc_buffer_add(&t->out, _("carries %s, of which %s pull sideways. "), load, side);
  else
    bc_buffer_add(&t->out, _("carries %s. "), load);
}

/* Points of a piece that carry the same are told in one line. */
static size_t tell_points(teller *t, size_t first) {
  const bc_load_point *point = &t->loads->points[first];
  size_t count = 1;
  while (first + count < t->loads->point_count && alike(point, &t->loads->points[first + count])) count++;
  bc_buffer_add(&t->out, "  %s ", mark(point->tips ? BC_HOLDS_NO : point->holds));
  if (point->of == 1)
    bc_buffer_add(&t->out, _("%s, "), point->title);
  else if (count > 1)
    bc_buffer_add(&t->out, _("%s, points %d to %d of %d, "), point->title, point->point, point->point + (int)count - 1,
                  point->of);
  else
    bc_buffer_add(&t->out, _("%s, point %d of %d, "), point->title, point->point, point->of);
  tell_what_it_hangs_from(t, point);
  tell_load(t, point, count);
  tell_rating(t, point->holds, point->rated_n, point->needed_n, point->utilisation);
  bc_buffer_add(&t->out, "\n");
  return count;
}

/* --- rods, shelves, frame -------------------------------------------------------------------------------------- */
static void tell_bending(teller *t, const bc_load_rod *rod) {
  char sag[WORDS], most[WORDS];
  bc_length_words(sag, sizeof sag, rod->max_deflection_total_mm / 10, t->units);
  bc_length_words(most, sizeof most, rod->allowed_deflection_mm / 10, t->units);
  if (rod->max_deflection_total_mm > rod->allowed_deflection_mm)
    bc_buffer_add(&t->out, _("It SAGS TOO MUCH, %s, where %s is the most. "), sag, most);
  else if (rod->max_deflection_total_mm < 0.5)
    bc_buffer_add(&t->out, _("It hardly sags. "));
  else
    bc_buffer_add(&t->out, _("It sags %s, where %s is the most. "), sag, most);
  const double used = 100 * rod->max_stress_mpa / rod->allowed_stress_mpa;
  if (used > 100)
    bc_buffer_add(&t->out, _("It is TOO WEAK: it would need %.0f %% of the strength that may be used. "), used);
  else
    bc_buffer_add(&t->out, _("%.0f %% of the strength that may be used is used. "), used);
}

static void tell_rod(teller *t, const bc_load_rod *rod) {
  if (rod->support_count == 0) return; /* a note says why */
  char name[NAME], load[WORDS];
  double greatest = 0;
  for (size_t i = 0; i < rod->support_count; i++) greatest = fmax(greatest, fabs(rod->reactions_total_n[i]));
  carrier_name(name, t->plan, rod->id);
  mass(load, greatest, t->units);
  bc_buffer_add(&t->out, _("  %s %s with its own weight: the bracket that carries most carries %s. "), mark(rod->holds),
                name, load);
  const bc_holds supports = !(rod->rated_n > 0)            ? BC_HOLDS_UNKNOWN
                            : rod->utilisation > 1 + 1e-12 ? BC_HOLDS_NO
                                                           : BC_HOLDS_YES;
  tell_rating(t, supports, rod->rated_n, rod->needed_n, rod->utilisation);
  bc_buffer_add(&t->out, " ");
  tell_bending(t, rod);
  if (rod->lifts) bc_buffer_add(&t->out, _("It pulls upwards at one bracket, which must hold it down. "));
  end_line(t);
}

static void tell_shelf(teller *t, const bc_load_shelf *shelf) {
  char name[NAME], load[WORDS];
  carrier_name(name, t->plan, shelf->id);
  mass(load, shelf->load_n, t->units);
  bc_buffer_add(&t->out, _("  %s %s carries %s. "), mark(shelf->shelf_holds), name, load);
  tell_rating(t, shelf->shelf_holds, shelf->rated_n, shelf->needed_n, shelf->utilisation);
  bc_buffer_add(&t->out, "\n");
  double pull = 0, demand = 0;
  for (size_t i = 0; i < shelf->bracket_count; i++) {
    pull = fmax(pull, shelf->brackets[i].pull_n);
    demand = fmax(demand, shelf->brackets[i].demand_n);
  }
  if (!(pull > 0)) return; /* a note asks for the bracket's height */
  char out_of[WORDS];
  mass(out_of, pull, t->units);
  mass(load, demand, t->units);
  bc_buffer_add(&t->out,
                _("  %s The upper screw of each bracket of %s carries up to %s, of which %s pull it out of the "
                  "wall. "),
                mark(shelf->lifts ? BC_HOLDS_NO : shelf->fixings_hold), name, load, out_of);
  tell_rating(t, shelf->fixings_hold, shelf->fixing_rated_n, shelf->fixing_needed_n, shelf->fixing_utilisation);
  bc_buffer_add(&t->out, "\n");
}

/* "The grid panel carries 6 kg in all. Times 5: …" */
static void tell_grid(teller *t, const bc_load_grid *grid) {
  char name[NAME], load[WORDS];
  carrier_name(name, t->plan, grid->id);
  mass(load, grid->load_n, t->units);
  bc_buffer_add(&t->out, _("  %s %s carries %s in all. "), mark(grid->holds), name, load);
  tell_rating(t, grid->holds, grid->rated_n, grid->needed_n, grid->utilisation);
  bc_buffer_add(&t->out, "\n");
}

static void tell_frame(teller *t, const bc_load_frame *frame) {
  if (!frame->given) return;
  char bare[WORDS], push[WORDS], wanted[WORDS], ballast[WORDS], height[WORDS];
  mass(bare, fmax(0, frame->push_bare_n), t->units);
  mass(push, fmax(0, frame->push_n), t->units);
  mass(wanted, BC_FRAME_PUSH_N, t->units);
  bc_length_words(height, sizeof height, frame->push_height_cm, t->units);
  bc_mass_words(ballast, sizeof ballast, frame->ballast_g, t->units);
  if (frame->ballast_g > 0)
    bc_buffer_add(&t->out,
                  _("  %s The frame tips when someone leans on it at a height of %s with %s; without ballast, with "
                    "%s. It should take %s. "),
                  mark(frame->holds), height, push, bare, wanted);
  else
    bc_buffer_add(&t->out,
                  _("  %s The frame tips when someone leans on it at a height of %s with %s. It should take %s. "),
                  mark(frame->holds), height, push, wanted);
  if (frame->holds == BC_HOLDS_YES) {
    bc_buffer_add(&t->out, _("It stands.\n"));
    return;
  }
  if (isinf(frame->ballast_needed_g)) {
    bc_buffer_add(&t->out,
                  _("IT MAY TIP, and ballast at this place does not help: move it to the middle of the feet.\n"));
    return;
  }
  bc_mass_words(ballast, sizeof ballast, frame->ballast_needed_g, t->units);
  bc_buffer_add(&t->out,
                _("IT MAY TIP: put %s of ballast on its feet in all, use deeper feet, or tie it to the "
                  "building.\n"),
                ballast);
}

/* --- what is to settle ------------------------------------------------------------------------------------------ */
static void settle_piece(teller *t, size_t first, size_t count) {
  const bc_load_point *point = &t->loads->points[first];
  double needed = 0;
  for (size_t i = first; i < first + count; i++) needed = fmax(needed, t->loads->points[i].needed_n);
  char mass_words[WORDS];
  mass(mass_words, needed, t->units);
  bc_buffer_add(&t->out,
                _("  - %s: each point (%s) must be rated for %s or more. Read the rating on the packaging and "
                  "give \"rated_kg\".\n"),
                point->title, bc_mount_text(point->kind), mass_words);
}

static void settle_points(teller *t) {
  const bc_loads *loads = t->loads;
  for (size_t first = 0; first < loads->point_count;) {
    size_t count = 1;
    while (first + count < loads->point_count &&
           strcmp(loads->points[first + count].piece, loads->points[first].piece) == 0)
      count++;
    if (!(loads->points[first].rated_n > 0)) settle_piece(t, first, count);
    first += count;
  }
}

static void settle_fittings(teller *t) {
  char name[NAME], needed[WORDS];
  for (size_t i = 0; i < t->loads->rod_count; i++) {
    const bc_load_rod *rod = &t->loads->rods[i];
    if (rod->rated_n > 0 || rod->support_count == 0) continue;
    carrier_name(name, t->plan, rod->id);
    mass(needed, rod->needed_n, t->units);
    bc_buffer_add(&t->out, _("  - Each bracket of %s must be rated for %s or more. Give its \"rated_kg\".\n"), name,
                  needed);
  }
  for (size_t i = 0; i < t->loads->shelf_count; i++) {
    const bc_load_shelf *shelf = &t->loads->shelves[i];
    if (!(shelf->load_n > 0)) continue;
    carrier_name(name, t->plan, shelf->id);
    mass(needed, shelf->needed_n, t->units);
    if (!(shelf->rated_n > 0))
      bc_buffer_add(&t->out, _("  - %s must be rated for %s or more. Give its \"rated_kg\".\n"), name, needed);
    mass(needed, shelf->fixing_needed_n, t->units);
    if (!(shelf->fixing_rated_n > 0) && shelf->brackets[0].pull_n > 0)
      bc_buffer_add(&t->out,
                    _("  - The upper screw and plug of each bracket of %s must be rated for %s or more in this "
                      "wall. Give \"fixing_rated_kg\".\n"),
                    name, needed);
  }
}

static void settle_grids(teller *t) {
  char name[NAME], needed[WORDS];
  for (size_t i = 0; i < t->loads->grid_count; i++) {
    const bc_load_grid *grid = &t->loads->grids[i];
    if (grid->rated_n > 0) continue;
    carrier_name(name, t->plan, grid->id);
    mass(needed, grid->needed_n, t->units);
    bc_buffer_add(&t->out,
                  _("  - %s, with what holds it up, must be rated for %s or more in all, besides its own weight. Give "
                    "its \"rated_kg\".\n"),
                  name, needed);
  }
}

static void tell_to_settle(teller *t) {
  bc_buffer settle = t->out;
  t->out = (bc_buffer){0};
  for (size_t i = 0; i < t->loads->notes.count; i++) bc_buffer_add(&t->out, "  - %s\n", t->loads->notes.text[i]);
  settle_points(t);
  settle_fittings(t);
  settle_grids(t);
  const bc_buffer lines = t->out;
  t->out = settle;
  if (lines.length > 0) bc_buffer_add(&t->out, "\n%s\n%s", _("To settle"), lines.text);
  t->out.failed = t->out.failed || lines.failed;
  bc_buffer dropped = lines;
  bc_buffer_clear(&dropped);
}

/* --- the order of hanging ---------------------------------------------------------------------------------------- */
static void tell_step_itself(teller *t, const bc_load_step *step) {
  char name[NAME];
  switch (step->kind) {
  case BC_STEP_FRAME:
    bc_buffer_add(&t->out, "%s",
                  t->loads->frame.ballast_g > 0 ? _("Stand the frame up and put the ballast on its feet.")
                                                : _("Stand the frame up."));
    break;
  case BC_STEP_ROD:
    carrier_name(name, t->plan, t->plan->rods[step->index].id);
    bc_buffer_add(&t->out, _("Put up %s."), name);
    break;
  case BC_STEP_CLOTH:
    bc_buffer_add(&t->out, _("Hang the cloth and smooth it."));
    break;
  case BC_STEP_GRID:
    carrier_name(name, t->plan, t->plan->grids[step->index].id);
    bc_buffer_add(&t->out, _("Put up %s."), name);
    break;
  case BC_STEP_SHELF:
    carrier_name(name, t->plan, t->plan->shelves[step->index].id);
    bc_buffer_add(&t->out, _("Put up %s."), name);
    break;
  case BC_STEP_TABLE:
    bc_buffer_add(&t->out, _("Put the table in its place."));
    break;
  case BC_STEP_HANG:
    bc_buffer_add(&t->out, _("Hang %s."), t->plan->pieces[step->index].title);
    break;
  default:
    bc_buffer_add(&t->out, _("Stand %s in its place."), t->plan->pieces[step->index].title);
  }
}

static void tell_order(teller *t) {
  bc_buffer_add(&t->out, "\n%s\n", _("Put up in this order: what needs two people first, then from the top down"));
  size_t number = 0;
  for (size_t i = 0; i < t->loads->step_count; i++) {
    const bc_load_step *step = &t->loads->steps[i];
    char height[WORDS];
    if (step->kind >= BC_STEP_HANG && step->kind != BC_STEP_TABLE && !t->plan->pieces[step->index].placed) continue;
    bc_buffer_add(&t->out, " %2zu. ", ++number);
    tell_step_itself(t, step);
    if (step->kind <= BC_STEP_HANG && isfinite(step->height_cm)) {
      bc_length_words(height, sizeof height, step->height_cm, t->units);
      bc_buffer_add(&t->out, _(" Highest point %s above the floor."), height);
    }
    if (step->two_people) bc_buffer_add(&t->out, "%s", _(" Two people."));
    if (step->ladder) bc_buffer_add(&t->out, "%s", _(" Step ladder."));
    bc_buffer_add(&t->out, "\n");
  }
}

/* "No place yet: Bowl, Scarf." */
static void tell_unplaced(teller *t) {
  bc_buffer titles = {0};
  for (size_t i = 0; i < t->plan->piece_count; i++)
    if (!t->plan->pieces[i].placed) bc_buffer_add(&titles, titles.length ? ", %s" : "%s", t->plan->pieces[i].title);
  if (titles.length > 0) bc_buffer_add(&t->out, _("     No place yet: %s.\n"), titles.text);
  t->out.failed = t->out.failed || titles.failed;
  bc_buffer_clear(&titles);
}

static void tell_cautions(teller *t) {
  bc_buffer_add(&t->out, "\n%s\n", _("Take care"));
  for (size_t i = 0; i < t->loads->cautions.count; i++) bc_buffer_add(&t->out, "  - %s\n", t->loads->cautions.text[i]);
}

bc_status bc_loads_to_words(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                            bc_units units) {
  teller t = {.loads = loads, .plan = plan, .units = units};
  char total[WORDS], metre[WORDS], cloth[WORDS];
  bc_mass_words(total, sizeof total, loads->total_kg * 1000, units);
  bc_mass_words(metre, sizeof metre, loads->per_metre_kg * 1000, units);
  bc_mass_words(cloth, sizeof cloth, loads->cloth_kg * 1000, units);
  bc_buffer_add(&t.out, _("Hanging loads. In all %s hang here, %s on each metre of wall; the cloth is %s of that.\n"),
                total, metre, cloth);
  if (loads->unweighed > 0)
    bc_buffer_add(&t.out,
                  bc_text_plural("%zu piece is not weighed and not counted here.\n",
                                 "%zu pieces are not weighed and not counted here.\n", loads->unweighed),
                  loads->unweighed);
  bc_buffer_add(&t.out,
                _("Every point must be rated for %g times what it carries: that is the design factor.\n"
                  "✓ holds   ✗ does not hold   ? not known\n\n"),
                loads->design_factor);
  for (size_t i = 0; i < loads->point_count;) i += tell_points(&t, i);
  for (size_t i = 0; i < loads->rod_count; i++) tell_rod(&t, &loads->rods[i]);
  for (size_t i = 0; i < loads->shelf_count; i++) tell_shelf(&t, &loads->shelves[i]);
  for (size_t i = 0; i < loads->grid_count; i++) tell_grid(&t, &loads->grids[i]);
  tell_frame(&t, &loads->frame);
  tell_to_settle(&t);
  tell_order(&t);
  tell_unplaced(&t);
  tell_cautions(&t);
  return bc_buffer_finish(&t.out, out, context);
}
