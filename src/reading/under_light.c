/* SPDX-License-Identifier: MIT */
/* A reading as it appears under another light: every colour in it is mapped.
 * In: bc_reading. Out: a new bc_reading. Source: the mappings are those of <backcloth/colour.h>. */
#include "reading_internal.h"

#include <stdlib.h>
#include <string.h>

static void map_place(const bc_light *light, bc_rim_place *place) {
  const bc_colour seen = bc_colour_under_light(
      (bc_colour){{(double)place->L, (double)place->a, (double)place->b}, (double)place->luminance}, light);
  place->L = (float)seen.lab.L;
  place->a = (float)seen.lab.a;
  place->b = (float)seen.lab.b;
  place->luminance = (float)seen.luminance;
}

static void map_all(const bc_light *light, bc_reading *reading) {
  reading->mean = bc_colour_under_light(reading->mean, light);
  reading->mixed = bc_colour_under_light(bc_colour_from_lab(reading->mixed), light).lab;
  for (size_t i = 0; i < reading->colour_count; i++) {
    bc_main_colour *colour = &reading->colours[i];
    colour->lab = bc_colour_under_light(bc_colour_from_lab(colour->lab), light).lab;
    bc_lab_to_hex(colour->lab, colour->css);
  }
  for (size_t i = 0; i < reading->rim_count; i++) map_place(light, &reading->rim[i]);
}

static bc_status copy(bc_reading *to, bc_context *context, const bc_reading *from) {
  *to = *from;
  to->notes = (bc_notes){0};
  to->photo = bc_copy_text(from->photo);
  to->profile = bc_copy_text(from->profile);
  to->rim = bc_allocate(from->rim_count, sizeof *to->rim);
  if (!to->photo || !to->profile || !to->rim) return bc_fail_memory(context);
  if (from->rim_count) memcpy(to->rim, from->rim, from->rim_count * sizeof *to->rim);
  return base_notes_copy(&to->notes, context, &from->notes);
}

bc_status bc_reading_under_light(bc_reading **out, bc_context *context, const bc_reading *reading,
                                 const bc_light *light) {
  *out = NULL;
  bc_reading *seen = bc_allocate(1, sizeof *seen);
  if (!seen) return bc_fail_memory(context);
  const bc_status status = copy(seen, context, reading);
  if (status != BC_OK) {
    bc_reading_free(seen);
    return status;
  }
  map_all(light, seen);
  *out = seen;
  return BC_OK;
}
