/* SPDX-License-Identifier: MIT */
/* The list itself, which grows by an item. */
#include "packing_internal.h"

#include <stdlib.h>

bc_status packing_add_item(packer *pack, bc_packing_item item) {
  bc_packing *out = pack->out;
  bc_packing_item *grown = item.what ? bc_reallocate(out->items, out->item_count + 1, sizeof *grown) : NULL;
  if (!grown) {
    free(item.what);
    return bc_fail_memory(pack->context);
  }
  out->items = grown;
  grown[out->item_count++] = item;
  return BC_OK;
}
