/* SPDX-License-Identifier: MIT */
/* The list of what is brought: each thing by itself, as it is wrapped. packing_bags.c shares them out. */
#include "packing_internal.h"

#include <stdlib.h>

/* --- what there is ------------------------------------------------------------------------------------------ */
static double padded(const packer *pack, const bc_piece *piece) {
  return piece->weight_g * (1 + pack->plan->packing.padding / 100);
}

static size_t count_units(const bc_plan *plan) {
  size_t units = 2; /* cloth, kit */
  for (size_t i = 0; i < plan->piece_count; i++) units += (size_t)plan->pieces[i].count;
  return units;
}

/* The three sides of a piece as it is wrapped. */
static packing_box box_of(const packer *pack, const bc_piece *piece) {
  const double more = 2 * pack->plan->packing.wrap;
  return (packing_box){.size = {piece->width + more, piece->height + more, piece->depth + more},
                       .mass_g = padded(pack, piece),
                       .known = piece->depth > 0 && !piece->unmeasured};
}

static bc_status put_apart(packer *pack, const char *what, const char *piece, double mass_g, size_t count) {
  return packing_add_item(
      pack,
      (bc_packing_item){
          .what = bc_copy_text(what), .piece = piece, .count = count, .mass_g = mass_g, .place = BC_PACKING_APART});
}

static bc_status put_too_heavy(packer *pack, const char *what, const char *piece, double mass_g, size_t count) {
  bc_packing *out = pack->out;
  out->too_heavy = true;
  const bc_status status = put_apart(pack, what, piece, mass_g, count);
  if (status != BC_OK) return status;
  char mass[64], limit[64];
  bc_mass_words(mass, sizeof mass, mass_g, pack->plan->units);
  bc_mass_words(limit, sizeof limit, out->bag_limit_g, pack->plan->units);
  return bc_note(&out->notes, pack->context,
                 _("%s weighs %s packed; one bag may weigh %s. Carry it separately, or say that a bag may weigh more."),
                 what, mass, limit);
}

/* What is too heavy or too large for any bag is carried apart, and said. */
static bc_status put(packer *pack, pile *all, const char *what, const char *piece, size_t count,
                     const packing_box *box) {
  const double mass_g = box->mass_g;
  bc_packing *out = pack->out;
  const bc_packing_wishes *wishes = &pack->plan->packing;
  const double unknown[3] = {0}, *sides = box->known ? box->size : unknown;
  out->total_g += mass_g * (double)count;
  if (mass_g > out->bag_limit_g - out->bag_own_g) return put_too_heavy(pack, what, piece, mass_g, count);
  if (box->known && wishes->bag_side_count == 3 && !packing_box_fits(box->size, wishes->bag_size)) {
    out->too_large = true;
    const bc_status status = put_apart(pack, what, piece, mass_g, count);
    return status != BC_OK ? status
                           : bc_note(&out->notes, pack->context,
                                     _("Wrapped as it is, %s does not fit into a bag. Carry it separately."), what);
  }
  for (size_t i = 0; i < count; i++)
    all->loads[all->count++] =
        (load){.what = what, .piece = piece, .mass_g = mass_g, .box = *box, .wrapped = {sides[0], sides[1], sides[2]}};
  return BC_OK;
}

#define NESTED 0.25 /* of its height that one more of a stack adds: our choice, for bowls and baskets */

/* So many in one another have the height of one and a part of each other's. */
static packing_box stack_box(const packer *pack, const bc_piece *piece, size_t count) {
  packing_box box = box_of(pack, piece);
  box.size[1] += piece->height * NESTED * (double)(count - 1);
  box.mass_g *= (double)count;
  box.stack = count > 1;
  return box;
}

/* The most that go into a bag as one stack; then as few stacks as that asks for have the least volume of all ways. */
static size_t stack_most(const packer *pack, const bc_piece *piece) {
  const bc_packing_wishes *wishes = &pack->plan->packing;
  const double limit = pack->out->bag_limit_g - pack->out->bag_own_g;
  const packing_box one = box_of(pack, piece);
  if (!piece->nests || !one.known || wishes->bag_side_count != 3 || !(one.mass_g > 0)) return 1;
  size_t most = 1;
  for (; most < (size_t)piece->count; most++) {
    const packing_box higher = stack_box(pack, piece, most + 1);
    if (higher.mass_g > limit || !packing_box_fits(higher.size, wishes->bag_size)) break;
  }
  return most;
}

static bc_status note_unweighed(packer *pack, const bc_piece *piece) {
  pack->out->unweighed += (size_t)piece->count;
  return bc_note(
      &pack->out->notes, pack->context,
      bc_text_safety("%s: its weight is not given and is missing here: the real load is higher. Weigh it and note its "
                     "weight."),
      piece->title);
}

/* The first of a stack has the stack's box, the others have none: they are inside it. */
static bc_status put_stack(packer *pack, pile *all, const bc_piece *piece, size_t count) {
  const packing_box single = box_of(pack, piece);
  const size_t first = all->count;
  const bc_status status = put(pack, all, piece->title, piece->id, count, &single);
  if (status != BC_OK || all->count == first || count < 2) return status; /* carried apart, each by itself */
  all->loads[first].box = stack_box(pack, piece, count);
  for (size_t i = 1; i < count; i++) {
    all->loads[first + i].box = (packing_box){.known = false};
    all->loads[first + i].inside = first + 1;
  }
  return status;
}

static bc_status put_piece(packer *pack, pile *all, const bc_piece *piece) {
  if (!(piece->depth > 0) || piece->unmeasured)
    pack->unsized = pack->unsized ? pack->unsized : piece->title, pack->unsized_count++;
  const packing_box single = box_of(pack, piece);
  const size_t most = stack_most(pack, piece);
  bc_status status = BC_OK;
  if (most > 1)
    status = bc_note(&pack->out->notes, pack->context,
                     _("%s: packed in one another; each is taken to add a quarter of its height, an estimate. Try it."),
                     piece->title);
  for (size_t left = (size_t)piece->count; status == BC_OK && left > 0;) {
    const size_t now = most == 1 ? left : left < most ? left : most;
    status = most == 1 ? put(pack, all, piece->title, piece->id, now, &single) : put_stack(pack, all, piece, now);
    left -= now;
  }
  return status;
}

static bc_status put_pieces(packer *pack, pile *all) {
  const bc_plan *plan = pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    pack->out->pieces_g += piece->weight_g * piece->count;
    pack->out->padding_g += (padded(pack, piece) - piece->weight_g) * piece->count;
    status = put_piece(pack, all, piece);
    if (status == BC_OK && !(piece->weight_g > 0)) status = note_unweighed(pack, piece);
  }
  return status;
}

static bc_status put_cloth_and_kit(packer *pack, pile *all) {
  bc_status status = BC_OK;
  if (pack->out->cloth.needed) {
    const bc_packing_cloth *cloth = &pack->out->cloth;
    const packing_box box = {.size = {cloth->folded_width, cloth->folded_height, cloth->folded_thick},
                             .mass_g = cloth->mass_g,
                             .known = cloth->mass_g > 0}; /* how thick it is follows from its weight */
    pack->cloth_unsized = !box.known;
    status = put(pack, all, _("the cloth"), NULL, 1, &box);
    if (status == BC_OK && !(pack->out->cloth.mass_g > 0))
      status = bc_note(&pack->out->notes, pack->context,
                       _("The cloth's weight is not given and is missing here: the real load is higher. Note what a "
                         "square metre of it weighs; its label says so."));
  }
  const packing_box kit = {.mass_g = packing_kit_grams(pack), .known = false};
  if (status == BC_OK && kit.mass_g > 0) status = put(pack, all, _("small hardware (weight estimated)"), NULL, 1, &kit);
  return status;
}

#define UNITS_MOST 200000 /* things in all: far more than a stand holds */

bc_status packing_list(packer *pack) {
  const size_t units = count_units(pack->plan);
  if (units > UNITS_MOST)
    return bc_fail(pack->context, BC_BAD_DATA, _("The plan brings %zu things; %d are accepted. Check each \"count\"."),
                   units, UNITS_MOST);
  pile all = {.loads = bc_allocate(units, sizeof *all.loads)};
  if (!all.loads) return bc_fail_memory(pack->context);
  pack->out->bag_limit_g = pack->plan->packing.bag_kg * 1000;
  pack->out->bag_own_g = pack->plan->packing.bag_own_kg * 1000;
  for (int i = 0; i < 3 && pack->plan->packing.bag_side_count == 3; i++)
    pack->out->bag_size[i] = pack->plan->packing.bag_size[i];
  bc_status status = put_pieces(pack, &all);
  if (status == BC_OK) status = put_cloth_and_kit(pack, &all);
  if (status == BC_OK) status = packing_share_out(pack, &all);
  if (status == BC_OK) status = packing_list_fittings(pack);
  free(all.loads);
  return status;
}
