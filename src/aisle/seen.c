/* SPDX-License-Identifier: MIT */
/* What visitors in the aisle see of each piece: many visitors, each past another crowd. */
#include "aisle_internal.h"

#include <math.h>
#include <stdlib.h>

#define BOARD_CM 2.0 /* a shelf's thickness, as the elevation draws it */
#define SEEN_SHARE 0.5
#define BEHIND_CM 1.0 /* pieces nearer together than this stand side by side: neither hides the other */

bc_aisle_options bc_aisle_options_default(void) {
  return (bc_aisle_options){.crowd = 4, .trials = 2000, .seed = 1};
}

double bc_aisle_piece_z(const bc_plan *plan, const bc_piece *piece) {
  const bc_shelf *const shelf = bc_plan_shelf_of(plan, piece);
  const bc_table *const table = bc_plan_table_of(plan, piece);
  const bc_riser *const riser = bc_plan_riser_of(plan, piece);
  const bc_post *const post = bc_plan_post_of(plan, piece);
  if (shelf) return shelf->depth / 2;
  if (riser && table) return table->from_wall + riser->depth / 2;
  if (post) return post->depth + piece->depth / 2;
  if (table) return table->from_wall + table->depth / 2;
  return piece->depth / 2;
}

#define CHAIR_BLOCKS 6

static aisle_rect rect_of(const bc_piece *piece) {
  return (aisle_rect){piece->at.x - piece->width / 2, piece->at.x + piece->width / 2, piece->at.y - piece->height / 2,
                      piece->at.y + piece->height / 2};
}

/* Back rest, seat and four legs, as they are drawn: between its legs one sees through. */
static size_t gather_chair(aisle_block *out, const bc_chair *c) {
  const double end = c->x + c->width, back = c->from_wall, front = back + c->depth, leg = BC_CHAIR_LEG_CM;
  const double under = fmax(0, c->seat - BC_CHAIR_THICK_CM);
  out[0] = (aisle_block){{c->x, end, under, c->seat}, back, front};
  out[1] = (aisle_block){{c->x, end, c->seat, c->height}, back, back + BC_CHAIR_THICK_CM};
  for (int i = 0; i < 4; i++) {
    const double x = i & 1 ? end - leg : c->x, z = i & 2 ? front - leg : back;
    out[2 + i] = (aisle_block){{x, x + leg, 0, under}, z, z + leg};
  }
  return CHAIR_BLOCKS;
}

/* Risers, posts and chairs; a grid's wires hide nothing. */
static size_t gather_fittings(aisle_block *out, const bc_plan *plan) {
  size_t count = 0;
  for (size_t i = 0; i < plan->riser_count; i++) {
    const bc_riser *const r = &plan->risers[i];
    const bc_table *const t = bc_plan_riser_table(plan, r);
    if (!t) continue;
    out[count++] = (aisle_block){
        {r->x, r->x + r->width, t->height, bc_plan_riser_top(plan, r)}, t->from_wall, t->from_wall + r->depth};
  }
  for (size_t i = 0; i < plan->post_count; i++) {
    const bc_post *const p = &plan->posts[i];
    out[count++] = (aisle_block){{p->x, p->x + p->width, p->y, p->y + p->height}, 0, p->depth};
  }
  for (size_t i = 0; i < plan->chair_count; i++) {
    count += gather_chair(out + count, &plan->chairs[i]);
  }
  return count;
}

/* Everything that stays where it is, whoever looks: cloth-covered tables, shelves, and the pieces. */
static size_t gather_blocks(aisle_block *out, const bc_plan *plan) {
  size_t count = gather_fittings(out, plan);
  for (size_t i = 0; i < plan->table_count; i++) {
    const bc_table *const t = &plan->tables[i];
    out[count++] = (aisle_block){{t->x, t->x + t->width, 0, t->height}, t->from_wall, t->from_wall + t->depth};
  }
  for (size_t i = 0; i < plan->shelf_count; i++) {
    const bc_shelf *const s = &plan->shelves[i];
    out[count++] = (aisle_block){{s->x, s->x + s->width, s->y - BOARD_CM, s->y}, 0, s->depth};
  }
  for (size_t i = 0; i < plan->piece_count; i++) {
    const double z = bc_aisle_piece_z(plan, &plan->pieces[i]);
    /* One without a place hides nothing. */
    out[count++] =
        (aisle_block){rect_of(&plan->pieces[i]), z, plan->pieces[i].placed && !plan->pieces[i].unmeasured ? z : -1};
  }
  return count;
}

typedef struct view {
  const bc_plan *plan;
  const aisle_block *blocks;
  size_t block_count;
  aisle_outline *outlines;
  bc_aisle_eye eye;
  const bc_aisle_person *people;
  int people_count;
} view;

static bool meets(const aisle_outline *outline, aisle_rect area) {
  double left = INFINITY, right = -INFINITY;
  for (int i = 0; i < outline->count; i++) {
    left = fmin(left, outline->knots[i].left);
    right = fmax(right, outline->knots[i].right);
  }
  return left < area.right && right > area.left && outline->knots[0].y < area.top &&
         outline->knots[outline->count - 1].y > area.bottom;
}

static double visible_share(const view *v, size_t piece) {
  const aisle_rect area = rect_of(&v->plan->pieces[piece]);
  const double z = bc_aisle_piece_z(v->plan, &v->plan->pieces[piece]);
  const size_t first_piece = v->block_count - v->plan->piece_count;
  int count = 0;
  for (int i = 0; i < v->people_count; i++)
    if (aisle_project_person(&v->outlines[count], &v->people[i], v->eye, z) && meets(&v->outlines[count], area))
      count++;
  for (size_t i = 0; i < v->block_count; i++) {
    const double behind = i < first_piece ? 0 : BEHIND_CM;
    if (i == first_piece + piece || v->blocks[i].front_z <= z + behind) continue;
    if (aisle_project_block(&v->outlines[count], &v->blocks[i], v->eye, z) && meets(&v->outlines[count], area)) count++;
  }
  const double hidden = aisle_union_area(area, v->outlines, count);
  if (hidden < 0) return -1;
  return fmin(1, fmax(0, 1 - hidden / ((area.right - area.left) * (area.top - area.bottom))));
}

static bool view_open(view *v, const bc_plan *plan) {
  const size_t most = plan->table_count + plan->shelf_count + plan->riser_count + plan->post_count +
                      CHAIR_BLOCKS * plan->chair_count + plan->piece_count;
  aisle_block *const blocks = bc_allocate(most, sizeof *blocks);
  *v = (view){
      .plan = plan, .blocks = blocks, .outlines = bc_allocate(most + BC_AISLE_CROWD_MOST + 1, sizeof *v->outlines)};
  if (!blocks || !v->outlines) return false;
  v->block_count = gather_blocks(blocks, plan);
  return true;
}

static void view_close(view *v) {
  free((aisle_block *)(uintptr_t)v->blocks);
  free(v->outlines);
}

double bc_aisle_visible_share(const bc_plan *plan, size_t piece, bc_aisle_eye eye, const bc_aisle_person *people,
                              int count) {
  view v;
  double share = -1;
  if (view_open(&v, plan)) {
    v.eye = eye;
    v.people = people;
    v.people_count = count < BC_AISLE_CROWD_MOST ? count : BC_AISLE_CROWD_MOST;
    share = visible_share(&v, piece);
  }
  view_close(&v);
  return share;
}

/* ---- many visitors ---- */

/* Running mean and sum of squares: Welford 1962. */
static void add(bc_aisle_piece *p, double share, int number) {
  const double before = share - p->visible_share;
  p->visible_share += before / number;
  p->standard_error += before * (share - p->visible_share);
  if (share >= SEEN_SHARE) p->seen_share += 1;
}

/* The crowd that every visitor can be given: figures, words and picture all speak of this one. */
static void find_crowd(bc_aisle *aisle, const bc_plan *plan, const bc_aisle_options *options) {
  bc_aisle_person people[BC_AISLE_CROWD_MOST];
  for (int trial = 0, before = -1; before != aisle->crowd; trial = 0) {
    aisle_chance chance = {options->seed};
    before = aisle->crowd;
    for (; trial < options->trials && before == aisle->crowd; trial++) {
      aisle_random_eye(plan, &chance);
      aisle->crowd = aisle_place_crowd(people, plan, before, &chance);
    }
  }
}

/* Each visitor's crowd stands in `people` while they look. */
static bc_status look(bc_aisle *aisle, bc_context *context, view *v, bc_aisle_person *people,
                      const bc_aisle_options *options) {
  aisle_chance chance = {options->seed};
  v->people = people;
  find_crowd(aisle, v->plan, options);
  for (int trial = 1; trial <= options->trials; trial++) {
    v->eye = aisle_random_eye(v->plan, &chance);
    v->people_count = aisle_place_crowd(people, v->plan, aisle->crowd, &chance);
    for (size_t i = 0; i < aisle->count; i++) {
      const double share = visible_share(v, aisle->pieces[i].piece);
      if (share < 0) return bc_fail_memory(context);
      add(&aisle->pieces[i], share, trial);
    }
  }
  const double n = options->trials;
  for (size_t i = 0; i < aisle->count; i++) {
    bc_aisle_piece *const p = &aisle->pieces[i];
    p->standard_error = n > 1 ? sqrt(p->standard_error / (n - 1) / n) : 0;
    p->seen_share /= n;
  }
  return BC_OK;
}

static bc_status check_options(bc_context *context, const bc_aisle_options *options) {
  if (options->crowd < 0 || options->crowd > BC_AISLE_CROWD_MOST)
    return bc_fail(context, BC_BAD_USAGE, _("A crowd is from 0 to %d people, not %d."), BC_AISLE_CROWD_MOST,
                   options->crowd);
  if (options->trials < 1) return bc_fail(context, BC_BAD_USAGE, _("At least one visitor must look."));
  return BC_OK;
}

bc_status bc_aisle_of(bc_aisle **out, bc_context *context, const bc_plan *plan, const bc_aisle_options *options) {
  const bc_aisle_options usual = bc_aisle_options_default();
  if (!options) options = &usual;
  *out = NULL;
  bc_status status = check_options(context, options);
  if (status != BC_OK) return status;
  bc_aisle *const aisle = bc_allocate(1, sizeof *aisle);
  view v;
  bc_aisle_person people[BC_AISLE_CROWD_MOST];
  const bool room = view_open(&v, plan);
  if (aisle) aisle->pieces = bc_allocate(plan->piece_count, sizeof *aisle->pieces);
  if (!room || !aisle || !aisle->pieces) {
    status = bc_fail_memory(context);
  } else {
    aisle->crowd = aisle->asked = options->crowd;
    aisle->trials = options->trials;
    for (size_t i = 0; i < plan->piece_count; i++)
      if (plan->pieces[i].placed && !plan->pieces[i].unmeasured) aisle->pieces[aisle->count++].piece = i;
    status = look(aisle, context, &v, people, options);
  }
  view_close(&v);
  if (status == BC_OK)
    *out = aisle;
  else
    bc_aisle_free(aisle);
  return status;
}

void bc_aisle_free(bc_aisle *aisle) {
  if (!aisle) return;
  free(aisle->pieces);
  free(aisle);
}
