/* SPDX-License-Identifier: MIT */
/* The packing list's entry: the cloth first, then hardware and tools, then the bags. */
#include "packing_internal.h"

#include <stdlib.h>

static bc_status note_cloth(packer *pack) {
  const bc_packing_cloth *cloth = &pack->out->cloth;
  if (cloth->sideways)
    return bc_note(&pack->out->notes, pack->context,
                   _("The cloth is laid sideways on the bolt, so that it needs no seam. Check that its pattern may lie "
                     "on its side."));
  if (cloth->panels > 1)
    return bc_note(&pack->out->notes, pack->context,
                   _("The bolt is narrower than the cloth: %d panels are sewn side by side. Put the seams where pieces "
                     "cover them."),
                   cloth->panels);
  return BC_OK;
}

bc_status bc_packing_of(bc_packing **out, bc_context *context, const bc_plan *plan) {
  *out = NULL;
  bc_loads *loads = NULL;
  bc_status status = bc_loads_of(&loads, context, plan);
  if (status != BC_OK) return status;
  bc_packing *packing = bc_allocate(1, sizeof *packing);
  packer pack = {.context = context, .plan = plan, .loads = loads, .out = packing};
  status = packing ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) {
    packing_cut_cloth(&pack);
    status = note_cloth(&pack);
  }
  if (status == BC_OK) status = packing_count_hardware(&pack);
  if (status == BC_OK) status = packing_list(&pack);
  if (status == BC_OK) status = bc_loads_warning(&packing->warning, context, loads, plan, SIZE_MAX);
  if (status == BC_OK)
    packing->holds = loads->overloaded ? BC_HOLDS_NO : loads->uncertain ? BC_HOLDS_UNKNOWN : BC_HOLDS_YES;
  bc_loads_free(loads);
  if (status != BC_OK) {
    bc_packing_free(packing);
    return status;
  }
  *out = packing;
  return BC_OK;
}

void bc_packing_free(bc_packing *packing) {
  if (!packing) return;
  for (size_t i = 0; i < packing->item_count; i++) {
    free(packing->items[i].what);
    free(packing->items[i].brief);
  }
  for (size_t i = 0; i < packing->tool_count; i++) free(packing->tools[i]);
  free(packing->items);
  free(packing->tools);
  free(packing->hardware);
  free(packing->bags_g);
  free(packing->warning);
  bc_notes_clear(&packing->notes);
  free(packing);
}
