/* SPDX-License-Identifier: MIT */
/* The cards of the set-up sheet from the loads' order of putting up: what each shows, not how. */
#include "setup_sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void add_map(sheet_card *c, double x, double y, double width, double height) {
  if (c->map_count == SHEET_CARD_PIECES) return;
  double *m = c->map[c->map_count++];
  m[0] = x, m[1] = y, m[2] = width, m[3] = height;
}

static void add_across(sheet_card *c, double x) {
  if (c->across_count < SHEET_CARD_PIECES) c->across[c->across_count++] = x;
}

static void add_piece(sheet_card *c, const bc_plan *plan, size_t index) {
  const bc_piece *piece = &plan->pieces[index];
  if (c->piece_count < SHEET_CARD_PIECES) c->pieces[c->piece_count++] = index;
  if (piece->placed)
    add_map(c, piece->at.x - piece->width / 2, piece->at.y - piece->height / 2, piece->width, piece->height);
}

static void card_of_hung(sheet_card *c, const bc_plan *plan, size_t index) {
  const bc_piece *piece = &plan->pieces[index];
  c->icon = (sheet_icon)piece->mount.kind;
  c->title = piece->title;
  c->hardware = (size_t)piece->mount.points;
  add_piece(c, plan, index);
  if (!piece->placed) return;
  for (int n = 0; n < piece->mount.points; n++) {
    const bc_point_cm at = bc_plan_hanging_point(plan, piece, piece->at, n);
    add_across(c, at.x);
    c->high = n == 0 ? at.y : fmax(c->high, at.y);
  }
}

static void card_of_frame(sheet_card *c, const bc_plan *plan) {
  c->icon = SHEET_FRAME, c->title = _("Frame"), c->ballast_g = plan->frame.ballast_g;
  add_map(c, 0, 0, plan->stand.width, 4);
}

static void card_of_rod(sheet_card *c, const bc_rod *rod) {
  c->icon = SHEET_ROD, c->title = _("Rod"), c->hardware = rod->support_count, c->high = rod->y;
  for (size_t i = 0; i < rod->support_count; i++) add_across(c, rod->supports[i]);
  add_map(c, rod->x, rod->y - 3, rod->length, 6);
}

static void card_of_cloth(sheet_card *c, const bc_wall_cloth *cloth) {
  c->icon = SHEET_CLOTH, c->title = _("Cloth"), c->high = cloth->top;
  add_across(c, cloth->left);
  add_map(c, cloth->left, cloth->top - cloth->height, cloth->width, cloth->height);
}

static void card_of_grid(sheet_card *c, const bc_grid *grid) {
  c->icon = SHEET_GRID, c->title = _("Grid panel"), c->high = grid->y + grid->height;
  add_across(c, grid->x), add_across(c, grid->x + grid->width);
  add_map(c, grid->x, grid->y, grid->width, grid->height);
}

static void card_of_shelf(sheet_card *c, const bc_shelf *shelf) {
  c->icon = SHEET_BRACKET, c->title = _("Shelf"), c->hardware = (size_t)shelf->brackets, c->high = shelf->y;
  for (int i = 0; i < shelf->brackets; i++) add_across(c, shelf->x + shelf->width * (i + 0.5) / shelf->brackets);
  add_map(c, shelf->x, shelf->y - 4, shelf->width, 6);
}

static void card_of_table(sheet_card *c, const bc_table *table) {
  c->icon = SHEET_TABLE, c->title = _("Table");
  add_across(c, table->x), add_across(c, table->x + table->width);
  add_map(c, table->x, table->height - 5, table->width, 8);
  add_map(c, table->x, 0, 6, table->height);
  add_map(c, table->x + table->width - 6, 0, 6, table->height);
}

static void card_of_fitting(sheet_card *c, const bc_plan *plan, const bc_load_step *step) {
  if (step->kind == BC_STEP_FRAME) card_of_frame(c, plan);
  if (step->kind == BC_STEP_ROD) card_of_rod(c, &plan->rods[step->index]);
  if (step->kind == BC_STEP_CLOTH) card_of_cloth(c, &plan->cloth);
  if (step->kind == BC_STEP_GRID) card_of_grid(c, &plan->grids[step->index]);
  if (step->kind == BC_STEP_SHELF) card_of_shelf(c, &plan->shelves[step->index]);
  if (step->kind == BC_STEP_TABLE) card_of_table(c, &plan->tables[step->index]);
}

/* What has no place yet is not mixed with what has one. */
static bool same_carrier(const bc_plan *plan, size_t a, size_t b) {
  const bc_piece *first = &plan->pieces[a], *second = &plan->pieces[b];
  return first->mount.kind == second->mount.kind && first->placed == second->placed &&
         bc_plan_shelf_of(plan, first) == bc_plan_shelf_of(plan, second) &&
         bc_plan_table_of(plan, first) == bc_plan_table_of(plan, second);
}

/* `done` marks the loads' steps that are on a card. */
static void card_of_standing(sheet_card *c, const sheet_setup *s, size_t from, bool *done) {
  const size_t index = s->loads->steps[from].index;
  c->icon = (sheet_icon)s->plan->pieces[index].mount.kind;
  c->title = bc_mount_text(s->plan->pieces[index].mount.kind);
  c->mass_g = 0;
  for (size_t i = from; i < s->loads->step_count && c->piece_count < SHEET_CARD_PIECES; i++) {
    const bc_load_step *other = &s->loads->steps[i];
    if (i != from && (done[i] || other->kind != BC_STEP_STAND || !same_carrier(s->plan, index, other->index))) continue;
    add_piece(c, s->plan, other->index);
    c->two_people = c->two_people || other->two_people;
    done[i] = true;
  }
}

static bool has_no_place(const sheet_setup *s, size_t step) {
  const bc_load_step *one = &s->loads->steps[step];
  return (one->kind == BC_STEP_HANG || one->kind == BC_STEP_STAND) && !s->plan->pieces[one->index].placed;
}

/* The last card: all that has no place, so that nobody looks for it on the wall. */
static bool card_of_unplaced(sheet_card *c, const sheet_setup *s) {
  *c = (sheet_card){.icon = SHEET_ASK, .title = _("No place yet"), .high = NAN};
  for (size_t i = 0; i < s->loads->step_count; i++)
    if (has_no_place(s, i)) add_piece(c, s->plan, s->loads->steps[i].index);
  return c->piece_count > 0;
}

static void make_card(sheet_card *c, const sheet_setup *s, size_t step_index, bool *done) {
  const bc_load_step *step = &s->loads->steps[step_index];
  *c = (sheet_card){.high = NAN, .mass_g = step->mass_g, .two_people = step->two_people, .ladder = step->ladder};
  done[step_index] = true;
  if (step->kind == BC_STEP_HANG)
    card_of_hung(c, s->plan, step->index);
  else if (step->kind == BC_STEP_STAND)
    card_of_standing(c, s, step_index, done);
  else
    card_of_fitting(c, s->plan, step);
}

bc_status sheet_make_cards(sheet_card **out, size_t *count, const sheet_setup *s) {
  bool *done = bc_allocate(s->loads->step_count, sizeof *done);
  sheet_card *cards = bc_allocate(s->loads->step_count + 1, sizeof *cards);
  *out = cards;
  *count = 0;
  for (size_t i = 0; done && cards && i < s->loads->step_count; i++)
    if (!done[i] && !has_no_place(s, i)) make_card(&cards[(*count)++], s, i, done);
  if (cards && card_of_unplaced(&cards[*count], s)) (*count)++;
  const bool room = done && cards;
  free(done);
  return room ? BC_OK : bc_fail_memory(s->context);
}
