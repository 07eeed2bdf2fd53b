/* SPDX-License-Identifier: MIT */
/* The order of putting up, in words. */
#include "loads_internal.h"

#include <math.h>
#include <stdio.h>

enum { WORDS = 64, NAME = 160 };

typedef struct teller {
  bc_buffer out;
  const bc_loads *loads;
  const bc_plan *plan;
  bc_units units;
} teller;

/* "Put up the rod.": carriers of which there are several by their ids. */
static void tell_put_up(teller *t, bc_carrier_kind kind, size_t index) {
  for (size_t i = 0; i < bc_plan_carrier_count(t->plan); i++) {
    const bc_carrier on = bc_plan_carrier(t->plan, i);
    if (on.kind != kind || on.index != index) continue;
    char name[NAME];
    bc_carrier_name(name, sizeof name, t->plan, &on);
    bc_buffer_add(&t->out, _("Put up %s."), name);
  }
}

static void tell_step_itself(teller *t, const bc_load_step *step) {
  switch (step->kind) {
  case BC_STEP_FRAME:
    bc_buffer_add(&t->out, "%s",
                  t->loads->frame.ballast_g > 0 ? _("Stand the frame up and put the ballast on its feet.")
                                                : _("Stand the frame up."));
    break;
  case BC_STEP_ROD:
    tell_put_up(t, BC_CARRIER_ROD, step->index);
    break;
  case BC_STEP_CLOTH:
    bc_buffer_add(&t->out, _("Hang the cloth and smooth it."));
    break;
  case BC_STEP_GRID:
    tell_put_up(t, BC_CARRIER_GRID, step->index);
    break;
  case BC_STEP_SHELF:
    tell_put_up(t, BC_CARRIER_SHELF, step->index);
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
    if (step->two_people) bc_buffer_add(&t->out, "%s", bc_text_safety(" Two people lift it."));
    if (step->ladder) bc_buffer_add(&t->out, "%s", bc_text_safety(" Use a step ladder."));
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

void loads_tell_order(bc_buffer *out, const bc_loads *loads, const bc_plan *plan, bc_units units) {
  teller t = {.out = *out, .loads = loads, .plan = plan, .units = units};
  tell_order(&t);
  tell_unplaced(&t);
  *out = t.out;
}
