/* SPDX-License-Identifier: MIT */
/* A reading as one line of JSON.
 * In: bc_reading. Out: text for programs; the keys are fixed. */
#include "reading_internal.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>

static json_t *lab_json(bc_lab lab) {
  return json_pack("[f,f,f]", lab.L, lab.a, lab.b);
}

static json_t *colours_json(const bc_reading *reading) {
  json_t *list = json_array();
  for (size_t i = 0; i < reading->colour_count; i++) {
    const bc_main_colour *colour = &reading->colours[i];
    json_t *entry = json_pack("{s:o,s:s,s:f,s:s}", "lab", lab_json(colour->lab), "css", colour->css, "share",
                              colour->share, "name", colour->name);
    if (json_array_append_new(list, entry)) {
      json_decref(list);
      return NULL;
    }
  }
  return list;
}

/* [cycles across the width, contrast] by octave, coarse last. */
static json_t *detail_json(const bc_reading *reading) {
  json_t *list = json_array();
  for (size_t i = 0; i < BC_READING_DETAIL && reading->detail_cycles[i] > 0; i++)
    if (json_array_append_new(list,
                              json_pack("[f,f]", (double)reading->detail_cycles[i], (double)reading->detail[i]))) {
      json_decref(list);
      return NULL;
    }
  return list;
}

static json_t *piece_json(const bc_reading *reading) {
  const bc_box box = reading->box;
  return json_pack(
      "{s:[i,i,i,i],s:f,s:f,s:o,s:f,s:o,s:{s:f,s:f,s:f},s:o,s:{s:f,s:i},s:o,s:f,s:f,s:b,s:o,s:{s:f,s:f,s:f,s:f}}",
      "box", box.x, box.y, box.width, box.height, "area_share", reading->area_share, "box_share", reading->box_share,
      "lab", lab_json(reading->mean.lab), "luminance", reading->mean.luminance, "mixed_lab", lab_json(reading->mixed),
      "lightness", "p05", reading->lightness_p05, "p50", reading->lightness_p50, "p95", reading->lightness_p95,
      "colours", colours_json(reading), "outline", "length", reading->outline_length, "places", (int)reading->rim_count,
      "detail", detail_json(reading), "see_through", reading->see_through, "confidence", reading->confidence,
      "doubtful", bc_reading_is_doubtful(reading), "doubts", reading_doubts_json(&reading->doubts), "uncertainty",
      "mired", reading->uncertainty.mired, "duv", reading->uncertainty.duv, "stops", reading->uncertainty.stops,
      "delta_e00", bc_colour_spread(reading->mean, reading->uncertainty));
}

bc_status bc_reading_to_json(char **out, bc_context *context, const bc_reading *reading) {
  json_t *all = json_pack("{s:o,s:[i,i],s:o,s:o,s:o}", "photo", bc_json_text(reading->photo), "pixels",
                          reading->full_width, reading->full_height, "profile", bc_json_text(reading->profile), "piece",
                          piece_json(reading), "notes", bc_json_texts(reading->notes.text, reading->notes.count));
  *out = all ? json_dumps(all, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(6)) : NULL;
  json_decref(all);
  return *out ? BC_OK : bc_fail_memory(context);
}
