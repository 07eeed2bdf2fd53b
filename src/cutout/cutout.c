/* SPDX-License-Identifier: MIT */
/* The cut-out as a value: made, measured, freed. How the piece is found is in find.c. */
#include "base/base.h"
#include "value.h"

#include <stdlib.h>

bc_cutout_options bc_cutout_options_default(void) {
  return (bc_cutout_options){0};
}

bc_status cutout_new(bc_cutout **out, bc_context *context, const bc_image *image) {
  *out = NULL;
  size_t count = 0;
  bc_cutout *cutout = bc_allocate(1, sizeof *cutout);
  if (cutout && base_size_multiply((size_t)image->width, (size_t)image->height, &count))
    cutout->alpha = bc_allocate(count, 1);
  if (!cutout || !cutout->alpha) {
    bc_cutout_free(cutout);
    return bc_fail_memory(context);
  }
  cutout->width = image->width;
  cutout->height = image->height;
  *out = cutout;
  return BC_OK;
}

void bc_cutout_free(bc_cutout *cutout) {
  if (!cutout) return;
  bc_notes_clear(&cutout->notes);
  free(cutout->alpha);
  free(cutout);
}

void bc_cutout_free_list(bc_cutout **list, size_t count) {
  for (size_t i = 0; list && i < count; i++) bc_cutout_free(list[i]);
  free(list);
}

bool cutout_set_box(bc_cutout *cutout) {
  int left = cutout->width, right = -1, top = cutout->height, bottom = -1;
  for (int y = 0; y < cutout->height; y++) {
    const uint8_t *row = cutout->alpha + (size_t)y * (size_t)cutout->width;
    int first = 0, last = cutout->width - 1;
    while (first <= last && row[first] < 128) first++;
    while (last > first && row[last] < 128) last--;
    if (first > last) continue;
    if (first < left) left = first;
    if (last > right) right = last;
    if (y < top) top = y;
    bottom = y;
  }
  if (right < 0) return false;
  cutout->box = (bc_box){.x = left, .y = top, .width = right - left + 1, .height = bottom - top + 1};
  return true;
}
