/* SPDX-License-Identifier: MIT */
/* What the files of the packing list share. */
#ifndef BC_SRC_SHEETS_PACKING_INTERNAL_H
#define BC_SRC_SHEETS_PACKING_INTERNAL_H

#include "base/base.h"
#include <backcloth/packing.h>

typedef struct packer {
  bc_context *context;
  const bc_plan *plan;
  const bc_loads *loads;
  bc_packing *out;
  const char *unsized; /* the first piece without a depth, when bags have a size */
  size_t unsized_count;
} packer;

/* A thing as it is packed: its three sides with the wrapping, cm, if they are known. */
typedef struct packing_box {
  double size[3];
  double mass_g;
  bool known;
} packing_box;
/* Whether it goes into an empty bag, turned any way. */
bool packing_box_fits(const double *size, const double *sides);
/* No packing has fewer bags than this, by what they hold. */
size_t packing_boxes_least(const packing_box *boxes, size_t count, const double *sides);
/* What one bag takes: its three sides, cm, and its load. */
typedef struct packing_bag_room {
  const double *sides;
  double limit_g;
} packing_bag_room;
/* Each must fit by itself, in size and weight. */
bc_status packing_stow(size_t *bag_of, size_t *bag_count, bc_context *context, const packing_box *boxes, size_t count,
                       packing_bag_room room);

void packing_cut_cloth(packer *pack);
bc_status packing_count_hardware(packer *pack); /* hardware, cord, tools */
double packing_kit_grams(const packer *pack);   /* all small hardware together, an estimate */
/* Takes over the item's `what`; NULL fails for lack of memory. */
bc_status packing_add_item(packer *pack, bc_packing_item item);
bc_status packing_list_fittings(packer *pack); /* what is long, bulky or lent */
bc_status packing_list(packer *pack);          /* items, bags, sums */

#endif
