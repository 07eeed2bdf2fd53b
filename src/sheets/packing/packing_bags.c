/* SPDX-License-Identifier: MIT */
/* Which thing goes into which bag. Alike things are shared out one by one and gathered again afterwards. */
#include "packing_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STOWED_MOST 2000 /* more things than this are shared out by weight alone, and said */

static bc_status make_boxes(packing_box **out, packer *pack, const pile *all) {
  *out = bc_allocate(all->count, sizeof **out);
  if (!*out) return bc_fail_memory(pack->context);
  for (size_t i = 0; i < all->count; i++) (*out)[i] = all->loads[i].box;
  return BC_OK;
}

/* By sizes as well as by weight. The bags by weight alone are as few as any can be; so is what their volume asks, and
 * what cannot lie beside one another. */
static bc_status stow_all(packer *pack, const pile *all, size_t *bag_of) {
  bc_packing *out = pack->out;
  const double *sides = pack->plan->packing.bag_size;
  if (all->count > STOWED_MOST) return BC_OK;
  packing_box *boxes = NULL;
  bc_status status = make_boxes(&boxes, pack, all);
  if (status != BC_OK) return status;
  double mass_g = 0;
  for (size_t i = 0; i < all->count; i++) mass_g += all->loads[i].mass_g;
  const double limit = out->bag_limit_g - out->bag_own_g;
  packing_bag_room room = {.sides = sides, .limit_g = limit};
  room.least = out->bags_proven ? out->bag_count : (size_t)ceil(mass_g / limit - 1e-9);
  size_t by_size = 0;
  status = packing_boxes_least(&by_size, pack->context, boxes, all->count, room);
  if (by_size > room.least) room.least = by_size;
  if (status == BC_OK) status = packing_stow(bag_of, &out->bag_count, pack->context, boxes, all->count, room);
  for (size_t i = 0; status == BC_OK && i < all->count; i++)
    if (all->loads[i].inside) bag_of[i] = bag_of[all->loads[i].inside - 1];
  out->bags_proven = out->bag_count == room.least;
  out->sizes_known = pack->unsized_count == 0 && !pack->cloth_unsized;
  free(boxes);
  return status;
}

#define SPARE 0.02 /* a bag fuller than this is weighed again: scales at home differ by as much; our choice */

/* Limits are asked for, never taken for granted. */
static bc_status note_limit(packer *pack) {
  if (!pack->plan->packing.bag_kg_usual) return BC_OK;
  char limit[64];
  bc_mass_words(limit, sizeof limit, pack->out->bag_limit_g, pack->plan->units);
  return bc_note(&pack->out->notes, pack->context,
                 _("How much one bag may weigh is not given: it is taken as %s. Ask your carrier, and write it into "
                   "the plan as \"bag_kg\"."),
                 limit);
}

/* What nobody knows about sizes. */
static bc_status note_sizes(packer *pack, const pile *all) {
  bc_packing *out = pack->out;
  const bool sized = pack->plan->packing.bag_side_count == 3;
  bc_status status = BC_OK;
  if (!sized)
    status = bc_note(&out->notes, pack->context,
                     _("The bags' size is not given: they are filled by weight, and whether all fits is not known. "
                       "Measure a bag and write it into the plan as \"bag_size\"; ask your carrier what is allowed."));
  else if (all->count > STOWED_MOST)
    status = bc_note(&out->notes, pack->context,
                     _("There are too many things to try them in the bags: they are filled by weight, and whether all "
                       "fits is not known."));
  if (status == BC_OK && sized && pack->unsized_count > 0)
    status =
        bc_note(&out->notes, pack->context,
                bc_text_plural("%zu piece has no depth (%s): whether it fits is not known. Measure it.",
                               "%zu pieces have no depth (the first is %s): whether they fit is not known. Measure "
                               "them.",
                               pack->unsized_count),
                pack->unsized_count, pack->unsized);
  if (status == BC_OK && sized && pack->cloth_unsized)
    status = bc_note(&out->notes, pack->context,
                     _("How thick the folded cloth is follows from its weight, so whether it fits is not known."));
  return status;
}

/* What nobody knows about the bags, and which of them have hardly anything to spare. */
static bc_status note_bags(packer *pack, const pile *all) {
  bc_packing *out = pack->out;
  if (all->count == 0) return BC_OK;
  bc_status status = note_limit(pack);
  if (status == BC_OK) status = note_sizes(pack, all);
  for (size_t b = 0; status == BC_OK && b < out->bag_count; b++) {
    const double spare = out->bag_limit_g - out->bags_g[b];
    if (spare > SPARE * out->bag_limit_g) continue;
    char left[64];
    bc_mass_words(left, sizeof left, spare, pack->plan->units);
    status = bc_note(&out->notes, pack->context,
                     _("Bag %zu has only %s to spare. Weigh it on the scale that counts, or take something out."),
                     b + 1, left);
  }
  return status;
}

/* --- bags ------------------------------------------------------------------------------------------------------ */
static bc_status split(packer *pack, pile *all) {
  bc_packing *out = pack->out;
  uint64_t *milligrams = bc_allocate(all->count, sizeof *milligrams);
  size_t *bag_of = bc_allocate(all->count, sizeof *bag_of);
  bc_status status = milligrams && bag_of ? BC_OK : bc_fail_memory(pack->context);
  if (status == BC_OK) {
    /* In millimilligrams, up to the next, and the limit down to one, so that rounding never overfills a bag. */
    const uint64_t limit = (uint64_t)floor((out->bag_limit_g - out->bag_own_g) * 1000 + 1e-3);
    for (size_t i = 0; i < all->count; i++) {
      milligrams[i] = (uint64_t)ceil(all->loads[i].mass_g * 1000 - 1e-3);
      if (milligrams[i] > limit) milligrams[i] = limit;
    }
    bc_packing_bags bags;
    status = bc_packing_split(bag_of, &bags, pack->context, milligrams, all->count, limit);
    out->bag_count = bags.count;
    out->bags_proven = bags.proven;
    if (status == BC_OK && pack->plan->packing.bag_side_count == 3) status = stow_all(pack, all, bag_of);
    if (out->unweighed > 0) out->bags_proven = false;
  }
  if (status == BC_OK) out->bags_g = bc_allocate(out->bag_count, sizeof *out->bags_g);
  if (status == BC_OK && !out->bags_g) status = bc_fail_memory(pack->context);
  for (size_t i = 0; status == BC_OK && i < all->count; i++) {
    all->loads[i].bag = bag_of[i] + 1;
    out->bags_g[bag_of[i]] += all->loads[i].mass_g;
  }
  for (size_t b = 0; status == BC_OK && b < out->bag_count; b++) out->bags_g[b] += out->bag_own_g;
  out->total_g += out->bag_own_g * (double)out->bag_count;
  if (status == BC_OK) status = note_bags(pack, all);
  free(milligrams);
  free(bag_of);
  return status;
}

static int by_bag(const void *first, const void *second) {
  const load *a = first, *b = second;
  if (a->bag != b->bag) return a->bag < b->bag ? -1 : 1;
  if (a->mass_g != b->mass_g) return a->mass_g > b->mass_g ? -1 : 1;
  const int words = strcmp(a->what, b->what);
  if (words != 0) return words;
  return a->piece && b->piece ? strcmp(a->piece, b->piece) : (a->piece != NULL) - (b->piece != NULL);
}

static bc_status gather(packer *pack, pile *all) {
  qsort(all->loads, all->count, sizeof *all->loads, by_bag);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < all->count;) {
    size_t alike = 1;
    while (i + alike < all->count && by_bag(&all->loads[i], &all->loads[i + alike]) == 0) alike++;
    const load *one = &all->loads[i];
    status = packing_add_item(pack, (bc_packing_item){.what = bc_copy_text(one->what),
                                                      .piece = one->piece,
                                                      .count = alike,
                                                      .mass_g = one->mass_g,
                                                      .wrapped = {one->wrapped[0], one->wrapped[1], one->wrapped[2]},
                                                      .place = BC_PACKING_BAG,
                                                      .bag = one->bag});
    i += alike;
  }
  return status;
}

bc_status packing_share_out(packer *pack, pile *all) {
  const bc_status status = split(pack, all);
  return status == BC_OK ? gather(pack, all) : status;
}
