/* SPDX-License-Identifier: MIT */
/* The list of what is brought, and in which bag. Alike things are brought one by one into the split and
 * gathered again afterwards. */
#include "packing_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- what there is ------------------------------------------------------------------------------------------ */
/* One thing that goes into a bag, before it is split. */
typedef struct load {
  const char *what, *piece; /* borrowed */
  double mass_g;
  size_t bag;
  packing_box box;
  size_t inside; /* 1 + number of the load in whose stack it stands; 0: by itself */
} load;

typedef struct pile {
  load *loads;
  size_t count;
} pile;

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
    all->loads[all->count++] = (load){.what = what, .piece = piece, .mass_g = mass_g, .box = *box};
  return BC_OK;
}

#define NESTED 0.25 /* of its height that one more of a stack adds: our choice, for bowls and baskets */

/* A stack of such as stand in one another has the height of one and a part of each other's. */
static size_t stack_of(const packer *pack, const bc_piece *piece, packing_box *box) {
  const bc_packing_wishes *wishes = &pack->plan->packing;
  const double limit = pack->out->bag_limit_g - pack->out->bag_own_g, one = padded(pack, piece);
  size_t most = 1;
  if (!piece->nests || !box->known || wishes->bag_side_count != 3 || !(one > 0)) return 1;
  while (most < (size_t)piece->count) {
    packing_box higher = *box;
    higher.size[1] = piece->height * (1 + NESTED * (double)most) + 2 * wishes->wrap;
    if (one * (double)(most + 1) > limit || !packing_box_fits(higher.size, wishes->bag_size)) break;
    most++;
  }
  box->size[1] = piece->height * (1 + NESTED * (double)(most - 1)) + 2 * wishes->wrap;
  box->mass_g = one * (double)most;
  return most;
}

static bc_status note_unweighed(packer *pack, const bc_piece *piece) {
  pack->out->unweighed += (size_t)piece->count;
  return bc_note(&pack->out->notes, pack->context,
                 _("%s: its weight is not given and is missing here: the real load is higher. Weigh it and note its "
                   "weight."),
                 piece->title);
}

/* The first of a stack has the stack's box, the others have none: they are inside it. */
static bc_status put_piece(packer *pack, pile *all, const bc_piece *piece) {
  packing_box box = box_of(pack, piece);
  if (pack->plan->packing.bag_side_count == 3 && !box.known)
    pack->unsized = pack->unsized ? pack->unsized : piece->title, pack->unsized_count++;
  const size_t stack = stack_of(pack, piece, &box);
  const packing_box single = box_of(pack, piece);
  size_t left = (size_t)piece->count;
  bc_status status = BC_OK;
  while (status == BC_OK && stack > 1 && left >= stack) {
    const size_t first = all->count;
    status = put(pack, all, piece->title, piece->id, stack, &single);
    if (status == BC_OK && all->count == first + stack) {
      all->loads[first].box = box;
      for (size_t i = 1; i < stack; i++) all->loads[first + i].box = (packing_box){.known = false};
      for (size_t i = 1; i < stack; i++) all->loads[first + i].inside = first + 1;
    }
    left -= stack;
  }
  return status == BC_OK && left > 0 ? put(pack, all, piece->title, piece->id, left, &single) : status;
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
    {
      const bc_packing_cloth *cloth = &pack->out->cloth;
      const packing_box box = {.size = {cloth->folded_width, cloth->folded_height, cloth->folded_thick},
                               .mass_g = cloth->mass_g,
                               .known = cloth->mass_g > 0};
      status = put(pack, all, _("the cloth"), NULL, 1, &box);
    }
    if (status == BC_OK && !(pack->out->cloth.mass_g > 0))
      status = bc_note(&pack->out->notes, pack->context,
                       _("The cloth's weight is not given and is missing here: the real load is higher. Note what a "
                         "square metre of it weighs; its label says so."));
  }
  const packing_box kit = {.mass_g = packing_kit_grams(pack), .known = false};
  if (status == BC_OK && kit.mass_g > 0) status = put(pack, all, _("small hardware (weight estimated)"), NULL, 1, &kit);
  return status;
}

#define STOWED_MOST 200 /* more things than this are shared out by weight alone, and said */

/* By sizes as well as by weight. The bags by weight alone are as few as any can be; so is what their volume asks. */
static bc_status stow_all(packer *pack, pile *all, size_t *bag_of) {
  bc_packing *out = pack->out;
  const double *sides = pack->plan->packing.bag_size;
  if (all->count > STOWED_MOST) return BC_OK;
  packing_box *boxes = bc_allocate(all->count, sizeof *boxes);
  if (!boxes) return bc_fail_memory(pack->context);
  double mass_g = 0;
  for (size_t i = 0; i < all->count; i++) {
    boxes[i] = all->loads[i].box;
    mass_g += all->loads[i].mass_g;
  }
  const double limit = out->bag_limit_g - out->bag_own_g;
  const size_t by_weight = out->bags_proven ? out->bag_count : (size_t)ceil(mass_g / limit - 1e-9);
  const size_t by_size = packing_boxes_least(boxes, all->count, sides);
  const bc_status status =
      packing_stow(bag_of, &out->bag_count, pack->context, boxes, all->count, (packing_bag_room){sides, limit});
  for (size_t i = 0; i < all->count; i++)
    if (all->loads[i].inside) bag_of[i] = bag_of[all->loads[i].inside - 1];
  out->bags_proven = out->bag_count == (by_weight > by_size ? by_weight : by_size);
  out->sizes_known = pack->unsized_count == 0;
  free(boxes);
  return status;
}

#define SPARE 0.02 /* a bag fuller than this is weighed again: scales at home differ by as much; our choice */

/* What nobody knows about the bags, and which of them have hardly anything to spare. */
static bc_status note_bags(packer *pack, const pile *all) {
  bc_packing *out = pack->out;
  bc_status status = BC_OK;
  if (all->count > 0 && pack->plan->packing.bag_side_count != 3)
    status = bc_note(&out->notes, pack->context,
                     _("The bags' size is not given: they are filled by weight, and whether all fits is not known. "
                       "Measure a bag and write it into the plan as \"bag_size\"; ask your carrier what is allowed."));
  else if (all->count > STOWED_MOST)
    status = bc_note(&out->notes, pack->context,
                     _("There are too many things to try them in the bags: they are filled by weight, and whether all "
                       "fits is not known."));
  if (status == BC_OK && pack->unsized_count > 0)
    status =
        bc_note(&out->notes, pack->context,
                bc_text_plural("%zu piece has no depth (%s): whether it fits is not known. Measure it.",
                               "%zu pieces have no depth (the first is %s): whether they fit is not known. Measure "
                               "them.",
                               pack->unsized_count),
                pack->unsized_count, pack->unsized);
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
  uint64_t *grams = bc_allocate(all->count, sizeof *grams);
  size_t *bag_of = bc_allocate(all->count, sizeof *bag_of);
  bc_status status = grams && bag_of ? BC_OK : bc_fail_memory(pack->context);
  if (status == BC_OK) {
    /* Up to the next gram, and the limit down to one, so that rounding never overfills a bag. */
    const uint64_t limit = (uint64_t)floor(out->bag_limit_g - out->bag_own_g + 1e-6);
    for (size_t i = 0; i < all->count; i++) {
      grams[i] = (uint64_t)ceil(all->loads[i].mass_g - 1e-6);
      if (grams[i] > limit) grams[i] = limit;
    }
    bc_packing_bags bags;
    status = bc_packing_split(bag_of, &bags, pack->context, grams, all->count, limit);
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
  if (status == BC_OK) status = note_bags(pack, all);
  free(grams);
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
                                                      .place = BC_PACKING_BAG,
                                                      .bag = one->bag});
    i += alike;
  }
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
  bc_status status = put_pieces(pack, &all);
  if (status == BC_OK) status = put_cloth_and_kit(pack, &all);
  if (status == BC_OK) status = split(pack, &all);
  if (status == BC_OK) status = gather(pack, &all);
  if (status == BC_OK) status = packing_list_fittings(pack);
  free(all.loads);
  return status;
}
