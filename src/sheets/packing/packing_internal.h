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
  const char *unsized; /* the first piece without a depth */
  size_t unsized_count;
  bool cloth_unsized; /* its weight is not known, so neither is how thick it is when folded */
} packer;

/* A thing as it is packed: its three sides with the wrapping, cm, if they are known. */
typedef struct packing_box {
  double size[3];
  double mass_g;
  bool known;
  bool stack; /* of things in one another, which might be packed in two stacks as well */
} packing_box;
/* Whether it goes into an empty bag, turned any way. */
bool packing_box_fits(const double *size, const double *sides);
/* What one bag takes: its three sides, cm, and its load; no packing has fewer bags than `least`. */
typedef struct packing_bag_room {
  const double *sides;
  double limit_g;
  size_t least;
} packing_bag_room;
/* No packing has fewer bags than this, by what they hold. */
bc_status packing_boxes_least(size_t *least, bc_context *context, const packing_box *boxes, size_t count,
                              packing_bag_room room);
/* 0-based bags, by the best of a few orders; every box fits an empty bag. */
bc_status packing_stow(size_t *bag_of, size_t *bag_count, bc_context *context, const packing_box *boxes, size_t count,
                       packing_bag_room room);

/* One thing that goes into a bag, before it is split. */
typedef struct load {
  const char *what, *piece; /* borrowed */
  double mass_g;
  size_t bag;
  packing_box box;
  double wrapped[3]; /* its own box; 0: not known */
  size_t inside;     /* 1 + number of the load in whose stack it stands; 0: by itself */
} load;

typedef struct pile {
  load *loads;
  size_t count;
} pile;

/* Shares the things out over bags and lists them. */
bc_status packing_share_out(packer *pack, pile *all);

void packing_cut_cloth(packer *pack);
bc_status packing_count_hardware(packer *pack); /* hardware, cord, tools */
double packing_kit_grams(const packer *pack);   /* all small hardware together, an estimate */
/* Takes over the item's `what`; NULL fails for lack of memory. */
bc_status packing_add_item(packer *pack, bc_packing_item item);
bc_status packing_list_fittings(packer *pack); /* what is long, bulky or lent */
bc_status packing_list(packer *pack);          /* items, bags, sums */

#endif
