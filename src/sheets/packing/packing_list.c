/* SPDX-License-Identifier: MIT */
/* The list of what is brought, and in which bag. Alike things are brought one by one into the split and
 * gathered again afterwards. */
#include "packing_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bc_status packing_add_item(packer *pack, char *what, const char *piece, size_t count, double mass_g,
                           bc_packing_place place, size_t bag) {
  bc_packing *out = pack->out;
  bc_packing_item *grown = what ? bc_reallocate(out->items, out->item_count + 1, sizeof *grown) : NULL;
  if (!grown) {
    free(what);
    return bc_fail_memory(pack->context);
  }
  out->items = grown;
  grown[out->item_count++] = (bc_packing_item){what, NULL, piece, count, mass_g, place, bag};
  return BC_OK;
}

/* --- what there is ------------------------------------------------------------------------------------------ */
/* One thing that goes into a bag, before it is split. */
typedef struct load {
  const char *what, *piece; /* borrowed */
  double mass_g;
  size_t bag;
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

/* What is too heavy for any bag is carried apart, and said. */
static bc_status put(packer *pack, pile *all, const char *what, const char *piece, double mass_g, size_t count) {
  bc_packing *out = pack->out;
  out->total_g += mass_g * (double)count;
  if (mass_g > out->bag_limit_g) {
    out->too_heavy = true;
    const bc_status status = packing_add_item(pack, bc_copy_text(what), piece, count, mass_g, BC_PACKING_APART, 0);
    if (status != BC_OK) return status;
    char mass[64], limit[64];
    bc_mass_words(mass, sizeof mass, mass_g, pack->plan->units);
    bc_mass_words(limit, sizeof limit, out->bag_limit_g, pack->plan->units);
    return bc_note(&out->notes, pack->context,
                   _("%s weighs %s packed; one bag may weigh %s. Carry it apart, or say that a bag may weigh more."),
                   what, mass, limit);
  }
  for (size_t i = 0; i < count; i++) all->loads[all->count++] = (load){what, piece, mass_g, 0};
  return BC_OK;
}

static bc_status note_unweighed(packer *pack, const bc_piece *piece) {
  pack->out->unweighed += (size_t)piece->count;
  return bc_note(&pack->out->notes, pack->context,
                 _("%s: its weight is not given and is missing here: the real load is higher. Weigh it and note its "
                   "weight."),
                 piece->title);
}

static bc_status put_pieces(packer *pack, pile *all) {
  const bc_plan *plan = pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    pack->out->pieces_g += piece->weight_g * piece->count;
    pack->out->padding_g += (padded(pack, piece) - piece->weight_g) * piece->count;
    status = put(pack, all, piece->title, piece->id, padded(pack, piece), (size_t)piece->count);
    if (status == BC_OK && !(piece->weight_g > 0)) status = note_unweighed(pack, piece);
  }
  return status;
}

static bc_status put_cloth_and_kit(packer *pack, pile *all) {
  bc_status status = BC_OK;
  if (pack->out->cloth.needed) {
    status = put(pack, all, _("the cloth"), NULL, pack->out->cloth.mass_g, 1);
    if (status == BC_OK && !(pack->out->cloth.mass_g > 0))
      status = bc_note(&pack->out->notes, pack->context,
                       _("The cloth's weight is not given and is missing here: the real load is higher. Note what a "
                         "square metre of it weighs; its label says so."));
  }
  const double kit = packing_kit_grams(pack);
  if (status == BC_OK && kit > 0) status = put(pack, all, _("small hardware (weight estimated)"), NULL, kit, 1);
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
    const uint64_t limit = (uint64_t)floor(out->bag_limit_g + 1e-6);
    for (size_t i = 0; i < all->count; i++) {
      grams[i] = (uint64_t)ceil(all->loads[i].mass_g - 1e-6);
      if (grams[i] > limit) grams[i] = limit;
    }
    status = bc_packing_split(bag_of, &out->bag_count, &out->bags_proven, pack->context, grams, all->count, limit);
    if (out->unweighed > 0) out->bags_proven = false;
  }
  if (status == BC_OK) out->bags_g = bc_allocate(out->bag_count, sizeof *out->bags_g);
  if (status == BC_OK && !out->bags_g) status = bc_fail_memory(pack->context);
  for (size_t i = 0; status == BC_OK && i < all->count; i++) {
    all->loads[i].bag = bag_of[i] + 1;
    out->bags_g[bag_of[i]] += all->loads[i].mass_g;
  }
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
    status = packing_add_item(pack, bc_copy_text(one->what), one->piece, alike, one->mass_g, BC_PACKING_BAG, one->bag);
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
  bc_status status = put_pieces(pack, &all);
  if (status == BC_OK) status = put_cloth_and_kit(pack, &all);
  if (status == BC_OK) status = split(pack, &all);
  if (status == BC_OK) status = gather(pack, &all);
  if (status == BC_OK) status = packing_list_fittings(pack);
  free(all.loads);
  return status;
}
