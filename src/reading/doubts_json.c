/* SPDX-License-Identifier: MIT */
/* Where a piece's outline is doubtful, as JSON and back. In: bc_cutout_doubts. Out: the key "doubts" of a piece. */
#include "reading_internal.h"

#include <math.h>

static json_t *stretch_json(const bc_cutout_stretch *stretch) {
  json_t *dots = json_array();
  for (int i = 0; i < stretch->dot_count; i++)
    if (json_array_append_new(dots, json_pack("[i,i]", stretch->dots[i].x, stretch->dots[i].y))) {
      json_decref(dots);
      return NULL;
    }
  const bc_box box = stretch->box;
  return json_pack("{s:[i,i,i,i],s:f,s:o}", "box", box.x, box.y, box.width, box.height, "share", stretch->share, "dots",
                   dots);
}

/* The longest stretch first, and the place where one word decides most. */
json_t *reading_doubts_json(const bc_cutout_doubts *doubts) {
  json_t *list = json_array(), *tap = NULL;
  for (int i = 0; i < doubts->stretch_count; i++)
    if (json_array_append_new(list, stretch_json(&doubts->stretch[i]))) {
      json_decref(list);
      return NULL;
    }
  if (doubts->has_tap)
    tap = json_pack("{s:[i,i],s:b,s:f}", "at", doubts->tap.x, doubts->tap.y, "now_piece", doubts->tap_is_piece, "share",
                    doubts->tap_share);
  return json_pack("{s:o,s:o*}", "stretches", list, "tap", tap);
}

static bool read_share(double *out, const json_t *from) {
  *out = json_number_value(from);
  return json_is_number(from) && isfinite(*out) && *out >= 0;
}

static bool read_point(bc_point_px *out, const json_t *from) {
  json_t *value = (json_t *)(uintptr_t)from;
  return value && json_unpack(value, "[i,i!]", &out->x, &out->y) == 0;
}

static bool read_stretch(bc_cutout_stretch *out, const json_t *from) {
  const json_t *const dots = json_object_get(from, "dots");
  json_t *const box = json_object_get(from, "box");
  if (!box || json_unpack(box, "[i,i,i,i!]", &out->box.x, &out->box.y, &out->box.width, &out->box.height) != 0 ||
      !read_share(&out->share, json_object_get(from, "share")) || !json_is_array(dots) ||
      json_array_size(dots) > BC_CUTOUT_DOTS)
    return false;
  out->dot_count = (int)json_array_size(dots);
  for (int i = 0; i < out->dot_count; i++)
    if (!read_point(&out->dots[i], json_array_get(dots, (size_t)i))) return false;
  return true;
}

/* Readings of earlier versions have no doubts. */
bool reading_doubts_read(bc_cutout_doubts *out, const json_t *from) {
  *out = (bc_cutout_doubts){0};
  if (!from) return true;
  const json_t *const list = json_object_get(from, "stretches"), *const tap = json_object_get(from, "tap");
  if (!json_is_array(list) || json_array_size(list) > BC_CUTOUT_STRETCHES) return false;
  out->stretch_count = (int)json_array_size(list);
  for (int i = 0; i < out->stretch_count; i++)
    if (!read_stretch(&out->stretch[i], json_array_get(list, (size_t)i))) return false;
  if (!tap) return true;
  out->has_tap = true;
  out->tap_is_piece = json_is_true(json_object_get(tap, "now_piece"));
  return read_point(&out->tap, json_object_get(tap, "at")) &&
         read_share(&out->tap_share, json_object_get(tap, "share"));
}
