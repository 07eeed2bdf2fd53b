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
} packer;

void packing_cut_cloth(packer *pack);
bc_status packing_count_hardware(packer *pack); /* hardware, cord, tools */
double packing_kit_grams(const packer *pack);   /* all small hardware together, an estimate */
/* Takes over `what`; NULL fails for lack of memory. */
bc_status packing_add_item(packer *pack, char *what, const char *piece, size_t count, double mass_g,
                           bc_packing_place place, size_t bag);
bc_status packing_list_fittings(packer *pack); /* what is long, bulky or lent */
bc_status packing_list(packer *pack);          /* items, bags, sums */

#endif
