/* SPDX-License-Identifier: MIT */
/* The hanging-load notes for a person, from the list of findings: what does not hold and what is not known first, by
 * name, then each in figures, what is to settle, the order of hanging, the cautions, the statement. A mark by shape
 * stands before each line, beside the words. Figures for an engineer are in the JSON. */
#include "loads_internal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { WORDS = 64, NAME = 320 };

typedef struct teller {
  bc_buffer out;
  bc_context *context;
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

/* Sentences end with a space for the next one; a line does not. */
static void end_line(teller *t) {
  while (t->out.length > 0 && t->out.text[t->out.length - 1] == ' ') t->out.text[--t->out.length] = '\0';
  bc_buffer_add(&t->out, "\n");
}

/* --- ratings ------------------------------------------------------------------------------------------------- */
/* "It must be rated for 3.5 kg, 5 times its load. It is rated for 4 kg and holds …" Then whatever else speaks against
 * it. */
static void tell_rating(teller *t, unsigned why, double rated_n, double needed_n, double utilisation) {
  char rated[WORDS], needed[WORDS];
  const double factor = t->loads->design_factor;
  mass(rated, rated_n, t->units);
  mass(needed, needed_n, t->units);
  if (why & (BC_WHY_NO_WEIGHT | BC_WHY_NO_RATING) && !(why & BC_WHY_OVERLOADED))
    bc_buffer_say(&t->out, bc_text_safety("It must be rated for %s or more, %g times its load."), needed, factor);
  else
    bc_buffer_say(&t->out, _("It must be rated for %s, %g times its load."), needed, factor);
  bc_buffer_add(&t->out, " ");
  if (why == 0)
    bc_buffer_say(&t->out, _("It is rated for %s and holds: %.0f %% of that is used."), rated, 100 * utilisation);
  else if (why & BC_WHY_OVERLOADED)
    bc_buffer_say(&t->out, bc_text_safety("It is rated for only %s: it DOES NOT HOLD."), rated);
  else if (why & BC_WHY_NO_RATING && !(why & BC_WHY_NO_WEIGHT))
    bc_buffer_add(&t->out, "%s", _("Its rating is not given."));
  else if (!(why & (BC_WHY_NO_WEIGHT | BC_WHY_NO_RATING)))
    bc_buffer_say(&t->out, _("It is rated for %s."), rated);
  const bool told = !(why & (BC_WHY_OVERLOADED | BC_WHY_NO_WEIGHT)); /* of the rating */
  loads_tell_reasons(&t->out, why & ~(unsigned)(BC_WHY_SAGS | BC_WHY_WEAK | (told ? BC_WHY_NO_RATING : 0)));
}

/* --- hanging points ------------------------------------------------------------------------------------------- */
static void tell_what_it_hangs_from(teller *t, const bc_load_point *point) {
  char on[NAME];
  bc_carrier carrier = {.kind = BC_CARRIER_FRAME};
  for (size_t i = 0; point->on && i < bc_plan_carrier_count(t->plan); i++) {
    carrier = bc_plan_carrier(t->plan, i);
    if (carrier.kind != BC_CARRIER_FRAME && strcmp(carrier.id, point->on) == 0) break;
  }
  if (!point->on) {
    bc_buffer_add(&t->out, t->plan->frame.given ? _("%s, on the frame: ") : _("%s, on the wall: "),
                  bc_mount_text(point->kind));
    return;
  }
  bc_carrier_name(on, sizeof on, t->plan, &carrier);
  bc_buffer_add(&t->out, _("%s, on %s: "), bc_mount_text(point->kind), on);
}

/* A part so small beside the whole is left out: it changes the whole by less than a seven-hundredth. */
#define SMALL_PART 0.05
#define LEAST_N 0.02 /* two grams: less is not told in whole ones */

/* "It pulls with 4.4 kg: 1.5 kg down and 4.1 kg sideways." Parts of a force are not parts of a sum. */
static void tell_pull(teller *t, const char *const parts[4], bool each) {
  const char *const all = parts[0], *const down = parts[1], *const side = parts[2], *const out = parts[3];
  if (side && out)
    bc_buffer_say(&t->out,
                  each ? _("Each pulls with %s: %s down, %s sideways and %s out of the wall.")
                       : _("It pulls with %s: %s down, %s sideways and %s out of the wall."),
                  all, down, side, out);
  else if (side)
    bc_buffer_say(&t->out,
                  each ? _("Each pulls with %s: %s down and %s sideways.")
                       : _("It pulls with %s: %s down and %s sideways."),
                  all, down, side);
  else
    bc_buffer_say(&t->out,
                  each ? _("Each pulls with %s: %s down and %s out of the wall.")
                       : _("It pulls with %s: %s down and %s out of the wall."),
                  all, down, out);
  bc_buffer_add(&t->out, " ");
}

static void tell_load(teller *t, const bc_load_point *point, size_t count) {
  char load[WORDS], down[WORDS], side[WORDS], out[WORDS];
  const double least = fmax(SMALL_PART * point->demand_n, LEAST_N);
  mass(load, point->demand_n, t->units);
  mass(down, point->vertical_n, t->units);
  mass(side, fabs(point->horizontal_n), t->units);
  mass(out, point->outward_n, t->units);
  const bool sideways = fabs(point->horizontal_n) > least, outwards = point->outward_n > least;
  if (!point->weighed) return;
  if (sideways || outwards) {
    tell_pull(t, (const char *const[4]){load, down, sideways ? side : NULL, outwards ? out : NULL}, count > 1);
    return;
  }
  bc_buffer_say(&t->out, count > 1 ? _("Each carries %s.") : _("It carries %s."), load);
  bc_buffer_add(&t->out, " ");
}

static void tell_points(teller *t, const bc_load_finding *finding) {
  const bc_load_point *point = &t->loads->points[finding->first];
  tell_what_it_hangs_from(t, point);
  tell_load(t, point, finding->count);
  if (point->weighed)
    tell_rating(t, finding->why, point->rated_n, point->needed_n, point->utilisation);
  else
    loads_tell_reasons(&t->out, finding->why);
  if (finding->why & BC_WHY_PULLED) loads_tell_pull(&t->out, point, t->units);
}

/* --- rods, shelves, panels, tables ------------------------------------------------------------------------------ */
static void tell_bending(teller *t, const bc_load_rod *rod) {
  char sag[WORDS], most[WORDS];
  bc_length_words(sag, sizeof sag, rod->sag_mm / 10, t->units);
  bc_length_words(most, sizeof most, rod->allowed_deflection_mm / 10, t->units);
  if (rod->sag_mm > rod->allowed_deflection_mm)
    bc_buffer_say(&t->out, bc_text_safety("It SAGS TOO MUCH: by %s, where %s is the most."), sag, most);
  else if (rod->sag_mm < 0.5)
    bc_buffer_say(&t->out, _("It hardly sags."));
  else
    bc_buffer_say(&t->out, _("It sags by %s, where %s is the most."), sag, most);
  bc_buffer_add(&t->out, " ");
  const double used = 100 * rod->max_stress_mpa / rod->allowed_stress_mpa;
  if (used > 100)
    bc_buffer_add(&t->out, bc_text_safety("It is TOO WEAK: it would need %.0f %% of the strength that may be used."),
                  used);
  else
    bc_buffer_add(&t->out, _("It needs %.0f %% of the strength that may be used."), used);
  bc_buffer_add(&t->out, " ");
}

static void tell_rod(teller *t, const bc_load_finding *finding) {
  const bc_load_rod *rod = &t->loads->rods[finding->first];
  char load[WORDS];
  double greatest = 0;
  if (!rod->solved) {
    loads_tell_reasons(&t->out, finding->why);
    return;
  }
  for (size_t i = 0; i < rod->support_count; i++) greatest = fmax(greatest, fabs(rod->reactions_total_n[i]));
  mass(load, greatest, t->units);
  bc_buffer_add(&t->out, _("Together with the rod's own weight, the bracket that carries most carries %s."), load);
  bc_buffer_add(&t->out, " ");
  tell_rating(t, finding->why, rod->rated_n, rod->needed_n, rod->utilisation);
  bc_buffer_add(&t->out, " ");
  tell_bending(t, rod);
  if (rod->lifts)
    bc_buffer_add(&t->out, "%s", bc_text_safety("It pulls upwards at one bracket, which must hold it down."));
}

static void tell_fixings(teller *t, const bc_load_finding *finding) {
  const bc_load_shelf *shelf = &t->loads->shelves[finding->first];
  const bc_load_bracket *worst = &shelf->brackets[0];
  for (size_t i = 1; i < shelf->bracket_count; i++)
    if (shelf->brackets[i].demand_n > worst->demand_n) worst = &shelf->brackets[i];
  if (finding->why & BC_WHY_NO_BRACKET) {
    loads_tell_reasons(&t->out, finding->why);
    return;
  }
  char load[WORDS], down[WORDS], out[WORDS];
  mass(load, worst->demand_n, t->units);
  mass(down, worst->vertical_n, t->units);
  mass(out, worst->pull_n, t->units);
  tell_pull(t, (const char *const[4]){load, down, NULL, out}, true);
  tell_rating(t, finding->why, shelf->fixing_rated_n, shelf->fixing_needed_n, shelf->fixing_utilisation);
}

static void tell_carried(teller *t, const bc_load_finding *finding, double load_n, double rated_n, double needed_n,
                         double utilisation) {
  char load[WORDS];
  mass(load, load_n, t->units);
  if (!(load_n > 0) && finding->why & BC_WHY_NO_WEIGHT) {
    loads_tell_reasons(&t->out, finding->why);
    return;
  }
  bc_buffer_say(&t->out, _("It carries %s."), load);
  bc_buffer_add(&t->out, " ");
  tell_rating(t, finding->why, rated_n, needed_n, utilisation);
}

/* A table's rating is what it may carry: no factor. */
static void tell_table(teller *t, const bc_load_finding *finding) {
  const bc_load_table *table = &t->loads->tables[finding->first];
  char load[WORDS], rated[WORDS];
  mass(load, table->load_n, t->units);
  mass(rated, table->rated_n, t->units);
  bc_buffer_say(&t->out, _("It carries %s."), load);
  bc_buffer_add(&t->out, " ");
  bc_buffer_add(&t->out,
                finding->why & BC_WHY_OVERLOADED ? bc_text_safety("It may carry only %s.") : _("It may carry %s."),
                rated);
  loads_tell_reasons(&t->out, finding->why);
}

static void tell_what_it_lacks(teller *t) {
  const bc_load_frame *frame = &t->loads->frame;
  char ballast[WORDS];
  bc_mass_words(ballast, sizeof ballast, frame->ballast_needed_g, t->units);
  if (frame->holds == BC_HOLDS_YES)
    bc_buffer_add(&t->out, "%s",
                  frame->tie_nm > 0
                      ? _("With its ties the frame stands firm, with all pieces on it and when all are sold.")
                      : _("The frame stands firm, with all pieces on it and when all are sold."));
  else if (isinf(frame->ballast_needed_g))
    bc_buffer_add(
        &t->out, "%s",
        bc_text_safety("IT MAY TIP, and ballast at this place does not help: move it to the middle of the feet."));
  else if (frame->ballast_needed_g > frame->ballast_g)
    bc_buffer_add(
        &t->out,
        bc_text_safety("IT MAY TIP: put %s of ballast on its feet in all, use deeper feet, or tie it to the building."),
        ballast);
  loads_tell_reasons(&t->out, frame->why & ~(unsigned)BC_WHY_TIPS);
}

static void tell_frame(teller *t) {
  const bc_load_frame *frame = &t->loads->frame;
  char bare[WORDS], push[WORDS], wanted[WORDS], height[WORDS];
  mass(bare, fmax(0, frame->push_bare_n), t->units);
  mass(push, fmax(0, frame->push_n), t->units);
  mass(wanted, frame->wanted_nm / (frame->push_height_cm / 100), t->units);
  bc_length_words(height, sizeof height, frame->push_height_cm, t->units);
  if (frame->ballast_g > 0)
    bc_buffer_say(
        &t->out,
        bc_text_safety(
            "It tips over when it is pushed with %2$s at a height of %1$s; without ballast, with %3$s. It should "
            "withstand %4$s."),
        height, push, bare, wanted);
  else
    bc_buffer_say(
        &t->out,
        bc_text_safety("It tips over when it is pushed with %2$s at a height of %1$s. It should withstand %3$s."),
        height, push, wanted);
  bc_buffer_add(&t->out, " ");
  tell_what_it_lacks(t);
}

static void tell_finding(teller *t, const bc_load_finding *finding) {
  const size_t i = finding->first;
  char name[NAME];
  bc_load_finding_name(name, sizeof name, t->loads, t->plan, finding);
  bc_buffer_add(&t->out, "  %s ", mark(finding->holds));
  if (finding->subject == BC_LOAD_POINTS)
    bc_buffer_add(&t->out, "%s%s", name, _(", "));
  else
    bc_buffer_add(&t->out, _("%s: "), name);
  if (finding->subject == BC_LOAD_POINTS) tell_points(t, finding);
  if (finding->subject == BC_LOAD_ROD) tell_rod(t, finding);
  if (finding->subject == BC_LOAD_FIXINGS) tell_fixings(t, finding);
  if (finding->subject == BC_LOAD_TABLE) tell_table(t, finding);
  if (finding->subject == BC_LOAD_FRAME) tell_frame(t);
  const bc_load_shelf *shelf = &t->loads->shelves[i];
  if (finding->subject == BC_LOAD_SHELF)
    tell_carried(t, finding, shelf->load_n, shelf->rated_n, shelf->needed_n, shelf->utilisation);
  const bc_load_grid *grid = &t->loads->grids[i];
  if (finding->subject == BC_LOAD_GRID)
    tell_carried(t, finding, grid->load_n, grid->rated_n, grid->needed_n, grid->utilisation);
  end_line(t);
}

/* --- what stands at the top ----------------------------------------------------------------------------------------
 */
static bc_status tell_first(teller *t, bc_holds holds, const char *heading) {
  bool any = false;
  for (size_t i = 0; i < t->loads->finding_count; i++) {
    const bc_load_finding *finding = &t->loads->findings[i];
    if (finding->holds != holds) continue;
    char *text = NULL;
    const bc_status status = bc_load_finding_text(&text, t->context, t->loads, t->plan, finding, t->units);
    if (status != BC_OK) return status;
    if (!any) bc_buffer_add(&t->out, "%s\n", heading);
    any = true;
    bc_buffer_add(&t->out, "  %s %s\n", mark(holds), text);
    free(text);
  }
  if (any) bc_buffer_add(&t->out, "\n");
  return BC_OK;
}

static void tell_sums(teller *t) {
  const bc_loads *loads = t->loads;
  char total[WORDS], metre[WORDS], cloth[WORDS];
  bc_mass_words(total, sizeof total, loads->total_kg * 1000, t->units);
  bc_mass_words(metre, sizeof metre, loads->per_metre_kg * 1000, t->units);
  bc_mass_words(cloth, sizeof cloth, loads->cloth_kg * 1000, t->units);
  bc_buffer_add(&t->out, _("Hanging loads. In all %s hang here, %s on each metre of wall; the cloth is %s of that.\n"),
                total, metre, cloth);
  if (loads->unweighed > 0)
    bc_buffer_add(&t->out,
                  bc_text_plural("%zu piece is not weighed and is missing here: the real load is higher.\n",
                                 "%zu pieces are not weighed and are missing here: the real load is higher.\n",
                                 loads->unweighed),
                  loads->unweighed);
  bc_buffer_say(&t->out,
                _("Every point must be rated for %g times what it carries: that is the design factor.\n"
                  "✓ holds   ✗ does not hold   ? not known\n\n"),
                loads->design_factor);
}

/* --- what is to settle ------------------------------------------------------------------------------------------ */
/* Every rating that is not given, with what it must be. */
static void settle_rating(teller *t, const bc_load_finding *finding) {
  if (!(finding->why & BC_WHY_NO_RATING)) return;
  const size_t i = finding->first;
  const double needed_n = finding->subject == BC_LOAD_POINTS
                              ? fmax(t->loads->points[i].needed_n, t->loads->points[i].pulled_n)
                          : finding->subject == BC_LOAD_ROD     ? t->loads->rods[i].needed_n
                          : finding->subject == BC_LOAD_SHELF   ? t->loads->shelves[i].needed_n
                          : finding->subject == BC_LOAD_FIXINGS ? t->loads->shelves[i].fixing_needed_n
                                                                : t->loads->grids[i].needed_n;
  char name[NAME], needed[WORDS];
  bc_load_finding_name(name, sizeof name, t->loads, t->plan, finding);
  mass(needed, needed_n, t->units);
  const char *key = finding->subject == BC_LOAD_FIXINGS ? "fixing_rated_kg" : "rated_kg";
  if (needed_n > 0)
    bc_buffer_add(&t->out,
                  _("  - %s: must be rated for %s or more. Read the rating on the packaging and write it into the plan "
                    "as \"%s\".\n"),
                  name, needed, key);
  else
    bc_buffer_add(&t->out, _("  - %s: read the rating on the packaging and write it into the plan as \"%s\".\n"), name,
                  key);
}

static void tell_to_settle(teller *t) {
  bc_buffer above = t->out;
  t->out = (bc_buffer){0};
  for (size_t i = 0; i < t->loads->notes.count; i++) bc_buffer_add(&t->out, "  - %s\n", t->loads->notes.text[i]);
  for (size_t i = 0; i < t->loads->finding_count; i++) settle_rating(t, &t->loads->findings[i]);
  bc_buffer lines = t->out;
  t->out = above;
  if (lines.length > 0) bc_buffer_add(&t->out, "\n%s\n%s", _("To settle"), lines.text);
  t->out.failed = t->out.failed || lines.failed;
  bc_buffer_clear(&lines);
}

static void tell_cautions(teller *t) {
  bc_buffer_add(&t->out, "\n%s\n", _("Take care"));
  for (size_t i = 0; i < t->loads->cautions.count; i++) bc_buffer_add(&t->out, "  - %s\n", t->loads->cautions.text[i]);
}

static bc_status tell_statement(teller *t) {
  char *text = NULL;
  const bc_status status = bc_loads_statement(&text, t->context, t->loads, t->plan, t->units);
  if (status == BC_OK)
    bc_buffer_add(
        &t->out, "\n%s\n%s",
        bc_text_safety("For the venue's officer to sign. Local codes, the venue's rules and a licensed person decide."),
        text);
  free(text);
  return status;
}

bc_status bc_loads_to_words(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                            bc_units units) {
  *out = NULL;
  teller t = {.context = context, .loads = loads, .plan = plan, .units = units};
  bc_status status =
      tell_first(&t, BC_HOLDS_NO, bc_text_safety("STOP: hang nothing until this plan passes. These do not hold:"));
  if (status == BC_OK)
    status = tell_first(&t, BC_HOLDS_UNKNOWN,
                        bc_text_safety("NOT KNOWN whether these hold: settle it before anything hangs."));
  if (loads_place_nothing(loads, plan))
    bc_buffer_add(&t.out, "%s\n\n", bc_text_safety("NOT KNOWN whether it holds: no piece has a place yet."));
  tell_sums(&t);
  for (size_t i = 0; i < loads->finding_count; i++) tell_finding(&t, &loads->findings[i]);
  tell_to_settle(&t);
  /* Whoever reads how to go on, goes on. */
  if (!loads->overloaded) loads_tell_order(&t.out, loads, plan, units);
  tell_cautions(&t);
  if (status == BC_OK) status = tell_statement(&t);
  if (status == BC_OK) return bc_buffer_finish(&t.out, out, context);
  bc_buffer_clear(&t.out);
  return status;
}
