/* SPDX-License-Identifier: MIT */
/* Whether a freestanding frame tips: moments about the front and the back end of its feet.
 *
 *        | <- push at 1.2 m
 *        |__ cloth and uprights, W at `front`      about the front end:  M = sum W d
 *        |                                         about the back end:   M = sum W (base - d)
 *   =====+=====  feet                              push that tips it:    M / height
 *   0    front   base_depth      d from the front end of the feet, backwards
 *
 * Goods are sold: they count where they pull it over, never as ballast. So the frame is judged full and sold out.
 * Wind is left out on purpose: see the caution. */
#include "loads_internal.h"

#include <math.h>

typedef struct balance {
  const bc_frame *frame;
  bc_load_frame *out;
} balance;

static void add_weight(balance *b, double newton, double d_cm) {
  const double arms[2] = {d_cm / 100, (b->frame->base_depth - d_cm) / 100};
  b->out->weight_n += newton;
  for (int end = 0; end < 2; end++) {
    b->out->restoring_nm[end] += newton * arms[end];
    if (arms[end] < 0) b->out->overturning_nm[end] -= newton * arms[end];
  }
}

/* What hangs stands out by half its depth; what a shelf carries, by half the deeper of both. */
static void add_goods(balance *b, const bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    const bc_shelf *shelf = bc_plan_shelf_of(plan, piece);
    if (!piece->placed) continue;
    if (!bc_mount_hangs(piece->mount.kind) && !shelf) continue; /* tables and floor stand by themselves */
    const double d_cm = b->frame->front - fmax(piece->depth, shelf ? shelf->depth : 0) / 2;
    const double arms[2] = {d_cm / 100, (b->frame->base_depth - d_cm) / 100};
    const double newton = loads_newton_of_grams(piece->weight_g);
    b->out->weight_n += newton;
    for (int end = 0; end < 2; end++) {
      if (arms[end] >= 0) continue;
      b->out->unweighed = b->out->unweighed || !(newton > 0);
      b->out->restoring_nm[end] += newton * arms[end];
      b->out->overturning_nm[end] -= newton * arms[end];
    }
  }
}

static void add_own(balance *b, const bc_loads *loads, const bc_plan *plan) {
  const double front = b->frame->front;
  add_weight(b, loads_newton_of_grams(b->frame->weight_g), front);
  add_weight(b, loads->cloth_kg * BC_STANDARD_GRAVITY, front);
  for (size_t i = 0; i < loads->rod_count; i++) add_weight(b, loads->rods[i].own_weight_n, front);
  for (size_t i = 0; i < plan->shelf_count; i++)
    add_weight(b, loads_newton_of_grams(plan->shelves[i].weight_g), front - plan->shelves[i].depth / 2);
}

/* Whoever leans on it, or the side load on the whole area, whichever turns it more. The area is the cloth's; of a
 * frame without a cloth, as if it were closed: the safe side. */
static void want(bc_load_frame *out, const bc_plan *plan) {
  const bc_wall_cloth *cloth = &plan->cloth;
  const double wide = cloth->given ? cloth->width : plan->stand.width;
  const double high = cloth->given ? cloth->height : plan->stand.wall_height;
  const double middle = cloth->given ? cloth->top - cloth->height / 2 : high / 2;
  out->side_n = BC_FRAME_SIDE_N_M2 * wide * high / 1e4;
  out->wanted_nm = fmax(BC_FRAME_PUSH_N * out->push_height_cm / 100, out->side_n * middle / 100);
}

static double weaker_push(const bc_load_frame *out, bool *forward) {
  *forward = out->restoring_nm[0] <= out->restoring_nm[1];
  return fmin(out->restoring_nm[0], out->restoring_nm[1]) / (out->push_height_cm / 100);
}

/* What the moment about an end must be: from the side, and for its own loads with their factor. */
static double wanted_nm(const bc_load_frame *out, int end) {
  return fmax(out->wanted_nm, (BC_FRAME_FACTOR - 1) * out->overturning_nm[end]) - out->tie_nm;
}

static double needed_ballast_g(const bc_frame *frame, const bc_load_frame *bare) {
  const double arms[2] = {frame->ballast_at / 100, (frame->base_depth - frame->ballast_at) / 100};
  double needed = 0;
  for (int end = 0; end < 2; end++) {
    const double lacking = wanted_nm(bare, end) - bare->restoring_nm[end];
    if (lacking <= 0) continue;
    needed = arms[end] > 1e-9 ? fmax(needed, lacking / arms[end]) : INFINITY;
  }
  return needed / BC_STANDARD_GRAVITY * 1000;
}

/* Goods only take away, so full is never better than sold out. A frame of unknown weight may yet be heavy enough. */
static void judge(const bc_frame *frame, bc_load_frame *out) {
  bool stands = true;
  for (int end = 0; end < 2; end++) stands = stands && out->restoring_nm[end] >= wanted_nm(out, end) * (1 - 1e-12);
  if (!stands) out->why |= frame->weight_g > 0 ? BC_WHY_TIPS : BC_WHY_NO_WEIGHT;
  if (out->unweighed) out->why |= BC_WHY_NO_WEIGHT;
}

bc_status loads_find_frame(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  const bc_frame *frame = &plan->frame;
  bc_load_frame *out = &loads->frame;
  if (!frame->given) return BC_OK;
  *out = (bc_load_frame){
      .given = true, .ballast_g = frame->ballast_g, .push_height_cm = fmin(BC_FRAME_PUSH_CM, plan->stand.wall_height)};
  out->tie_nm = frame->tie_rated_kg * BC_STANDARD_GRAVITY / loads->design_factor * plan->stand.wall_height / 100;
  want(out, plan);
  balance b = {frame, out};
  add_own(&b, loads, plan);
  for (int end = 0; end < 2; end++) out->sold_out_nm[end] = out->restoring_nm[end];
  add_goods(&b, plan);
  bool unused;
  out->push_bare_n = weaker_push(out, &unused);
  out->ballast_needed_g = needed_ballast_g(frame, out);
  for (int end = 0; end < 2; end++) out->sold_out_nm[end] -= out->restoring_nm[end];
  add_weight(&b, loads_newton_of_grams(frame->ballast_g), frame->ballast_at);
  for (int end = 0; end < 2; end++) out->sold_out_nm[end] += out->restoring_nm[end];
  out->push_n = weaker_push(out, &out->forward);
  judge(frame, out);
  if (frame->weight_g > 0) return BC_OK;
  return bc_note(
      &loads->notes, context,
      bc_text_safety("The frame's own weight is not given and is missing here. Weigh it with its feet and note its "
                     "weight."));
}
