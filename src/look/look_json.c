/* SPDX-License-Identifier: MIT */
/* All figures of a look as one JSON object.
 * In: bc_look. Out: text for programs; the keys are fixed. */
#include "look_internal.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

static double rounded(double value, double step) {
  const double whole = round(value / step);
  return whole == 0 ? 0 : whole * step;
}

/* Appends and takes over `value`; on failure drops the list, so that json_pack fails in its turn. */
static json_t *append(json_t *list, json_t *value) {
  if (!list || json_array_append_new(list, value) == 0) return list;
  json_decref(list);
  return NULL;
}

static json_t *pair_of(double first, double second) {
  return json_pack("[f,f]", first, second);
}

static json_t *lab_json(bc_lab lab) {
  return json_pack("[f,f,f]", lab.L, lab.a, lab.b);
}

static json_t *colour_json(bc_colour colour) {
  char css[8];
  bc_lab_to_hex(colour.lab, css);
  return json_pack("{s:o,s:f,s:s,s:o}", "lab", lab_json(colour.lab), "luminance", colour.luminance, "css", css, "name",
                   bc_json_text(bc_colour_name(colour.lab)));
}

static json_t *match_json(const bc_pair *pair) {
  return json_pack("{s:f,s:f,s:f,s:f,s:f,s:f,s:s}", "contrast_ratio", pair->contrast_ratio, "delta_l", pair->delta_l,
                   "delta_e00", pair->delta_e00, "outline_share", pair->outline_share, "seen_share", pair->seen_share,
                   "clarity", pair->clarity, "verdict", bc_verdict_word(pair->verdict));
}

static json_t *corners_json(const bc_look *look) {
  json_t *list = json_array();
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    list = append(list, pair_of(rounded(look->outline.corner[i].x, 0.01), rounded(look->outline.corner[i].y, 0.01)));
  return list;
}

static json_t *matrix_json(const bc_homography *homography) {
  json_t *list = json_array();
  for (int i = 0; i < 9; i++) list = append(list, json_real(homography->m[i]));
  return list;
}

static json_t *wall_json(const bc_look *look) {
  return json_pack("{s:o,s:b,s:f,s:f,s:f,s:s,s:f,s:o,s:f,s:o,s:f,s:f,s:f,s:s}", "corners", corners_json(look), "found",
                   look->outline.found, "confidence", look->outline.confidence, "width_cm", look->width_cm, "height_cm",
                   look->height_cm, "height_from", look->height_given ? "given" : "geometry", "pixels_per_cm",
                   look->pixels_per_cm, "to_photo", matrix_json(&look->to_photo), "bend", look->outline.bend, "colour",
                   colour_json(look->wall_colour), "evenness", look->evenness, "covered_share", look->covered_share,
                   "busy_bits", look->texture.busy_bits, "busy", bc_busy_word(bc_textile_busy(&look->texture)));
}

static json_t *camera_json(const bc_look_camera *camera) {
  static const char *const sources[] = {"photo", "wall", "assumed"};
  return json_pack("{s:f,s:f,s:s,s:f,s:f,s:f,s:o,s:f}", "focal_px", camera->focal_px, "focal_35_mm",
                   camera->focal_35_mm, "focal_from", sources[camera->focal_source], "roll_deg", camera->roll,
                   "pitch_deg", camera->pitch, "yaw_deg", camera->yaw, "at", pair_of(camera->x_cm, camera->y_cm),
                   "distance_cm", camera->distance_cm);
}

const char *bc_look_height_word(bc_look_height height) {
  static const char *const words[] = {"in the band", "above", "below", "on the floor"};
  return words[height];
}

static json_t *piece_json(const bc_look *look, size_t i) {
  const bc_look_piece *const p = &look->pieces[i];
  return json_pack("{s:i,s:s,s:o,s:f,s:f,s:f,s:o,s:s,s:f,s:f,s:b,s:o,s:o,s:o}", "number", (int)i + 1, "source",
                   p->boxed ? "boxed" : "found", "at", pair_of(p->x_cm, p->y_cm), "width_cm", p->width_cm, "height_cm",
                   p->height_cm, "area_cm2", p->area_cm2, "tilt_deg", p->has_tilt ? json_real(p->tilt) : json_null(),
                   "height", bc_look_height_word(p->height), "focus_cm", p->focus_cm, "cutout_confidence",
                   p->study->cutout->confidence, "doubtful", bc_reading_is_doubtful(p->study->reading), "behind",
                   colour_json(p->behind->colour), "match", match_json(&p->pair), "on_cloth",
                   look->cloth ? match_json(&p->on_cloth) : json_null());
}

static json_t *pieces_json(const bc_look *look) {
  json_t *list = json_array();
  for (size_t i = 0; i < look->piece_count; i++) list = append(list, piece_json(look, i));
  return list;
}

const char *bc_look_thing_word(bc_look_thing_kind kind) {
  static const char *const words[] = {"table", "on the table", "before the wall", "shelf"};
  return words[kind];
}

static json_t *things_json(const bc_look *look) {
  json_t *list = json_array();
  for (size_t i = 0; i < look->thing_count; i++) {
    const bc_look_thing *const t = &look->things[i];
    list = append(list, json_pack("{s:s,s:f,s:f,s:f,s:f}", "what", bc_look_thing_word(t->kind), "x", t->x, "y", t->y,
                                  "width_cm", t->width, "height_cm", t->height));
  }
  return list;
}

static json_t *gaps_json(const bc_look *look) {
  json_t *list = json_array();
  for (size_t i = 0; i < look->gap_count; i++) {
    const bc_look_gap *const g = &look->gaps[i];
    list = append(list,
                  json_pack("{s:f,s:f,s:f,s:f}", "x", g->x, "y", g->y, "width_cm", g->width, "height_cm", g->height));
  }
  return list;
}

static json_t *cloth_json(const bc_cloth *cloth) {
  if (!cloth) return json_null();
  return json_pack("{s:o,s:o,s:o}", "cloth", bc_json_text(cloth->spec), "name", bc_json_text(cloth->name), "colour",
                   colour_json(cloth->colour));
}

bc_status bc_look_guess_to_json(char **out, bc_context *context, const char *photo, const bc_look_outline *guess) {
  json_t *corners = guess->confidence > 0 ? json_array() : json_null();
  for (int i = 0; guess->confidence > 0 && i < BC_LOOK_CORNERS; i++)
    corners = append(corners, pair_of(rounded(guess->corner[i].x, 0.01), rounded(guess->corner[i].y, 0.01)));
  json_t *object = json_pack("{s:o,s:{s:o,s:b,s:f}}", "photo", bc_json_text(photo), "wall", "corners", corners, "found",
                             0, "confidence", guess->confidence);
  *out = object ? json_dumps(object, JSON_COMPACT | JSON_REAL_PRECISION(10)) : NULL;
  json_decref(object);
  return *out ? BC_OK : bc_fail_memory(context);
}

bc_status bc_look_to_json(char **out, bc_context *context, const bc_look *look) {
  *out = NULL;
  json_t *object = json_pack("{s:o,s:[i,i],s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "photo", bc_json_text(look->photo),
                             "pixels", look->full_width, look->full_height, "wall", wall_json(look), "camera",
                             camera_json(&look->camera), "sight_band", pair_of(look->sight_low, look->sight_high),
                             "focus", pair_of(look->focus.x, look->focus.y), "pieces", pieces_json(look), "things",
                             things_json(look), "empty", gaps_json(look), "cloth", cloth_json(look->cloth), "notes",
                             bc_json_texts(look->notes.text, look->notes.count));
  if (object) *out = json_dumps(object, JSON_COMPACT | JSON_REAL_PRECISION(10));
  json_decref(object);
  return *out ? BC_OK : bc_fail_memory(context);
}
