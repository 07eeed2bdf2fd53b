/* SPDX-License-Identifier: MIT */
/* A reading as JSON that gives exactly the same reading back, and its restoring.
 * In: bc_reading. Out: the object of json.c with the key "stored"; docs/method/reading.md describes it. */
#include "reading_internal.h"

#include "base/base64.h"
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { figure_count = 14, colour_figures = 4, rim_figures = 8 };
enum { shares_count = BC_READING_LEVELS + 2 * BC_READING_DETAIL };

/* ---- the figures in their order ---- */

static void list_figures(double *to[figure_count], bc_reading *r) {
  double *const all[figure_count] = {&r->area_share,  &r->box_share,      &r->mean.lab.L,    &r->mean.lab.a,
                                     &r->mean.lab.b,  &r->mean.luminance, &r->mixed.L,       &r->mixed.a,
                                     &r->mixed.b,     &r->lightness_p05,  &r->lightness_p50, &r->lightness_p95,
                                     &r->see_through, &r->outline_length};
  memcpy(to, all, sizeof all);
}

static size_t gather_figures(double *out, const bc_reading *reading) {
  bc_reading copy = *reading;
  double *list[figure_count];
  list_figures(list, &copy);
  size_t n = 0;
  for (size_t i = 0; i < figure_count; i++) out[n++] = *list[i];
  out[n++] = reading->confidence;
  out[n++] = reading->uncertainty.mired;
  out[n++] = reading->uncertainty.duv;
  out[n++] = reading->uncertainty.stops;
  for (size_t i = 0; i < reading->colour_count; i++) {
    const bc_main_colour *c = &reading->colours[i];
    out[n++] = c->lab.L, out[n++] = c->lab.a, out[n++] = c->lab.b, out[n++] = c->share;
  }
  return n;
}

enum { most_figures = figure_count + 4 + colour_figures * BC_READING_COLOURS };

static void spread_figures(bc_reading *reading, const double *from) {
  double *list[figure_count];
  list_figures(list, reading);
  for (size_t i = 0; i < figure_count; i++) *list[i] = *from++;
  reading->confidence = *from++;
  reading->uncertainty.mired = *from++;
  reading->uncertainty.duv = *from++;
  reading->uncertainty.stops = *from++;
  for (size_t i = 0; i < reading->colour_count; i++) {
    bc_main_colour *c = &reading->colours[i];
    c->lab = (bc_lab){from[0], from[1], from[2]};
    c->share = from[3];
    from += colour_figures;
  }
}

/* ---- little-endian IEEE 754 as base64 ---- */

static json_t *doubles_json(const double *value, size_t count) {
  unsigned char bytes[8 * most_figures];
  char text[BC_BASE64_ROOM(sizeof bytes)];
  for (size_t i = 0; i < count; i++) {
    uint64_t bits;
    memcpy(&bits, &value[i], 8);
    for (size_t k = 0; k < 8; k++) bytes[8 * i + k] = (unsigned char)(bits >> (8 * k));
  }
  base_base64(text, bytes, 8 * count);
  return json_string(text);
}

static json_t *floats_json(const float *value, size_t count) {
  unsigned char *bytes = bc_allocate(count, 4);
  char *text = bc_allocate(BC_BASE64_ROOM(4 * count), 1);
  json_t *out = NULL;
  for (size_t i = 0; bytes && i < count; i++) {
    uint32_t bits;
    memcpy(&bits, &value[i], 4);
    for (size_t k = 0; k < 4; k++) bytes[4 * i + k] = (unsigned char)(bits >> (8 * k));
  }
  if (bytes && text) {
    base_base64(text, bytes, 4 * count);
    out = json_string(text);
  }
  free(bytes);
  free(text);
  return out;
}

static bool read_doubles(double *out, size_t count, const json_t *from) {
  unsigned char bytes[8 * most_figures];
  if (!json_is_string(from) || !base_base64_read(bytes, 8 * count, json_string_value(from))) return false;
  for (size_t i = 0; i < count; i++) {
    uint64_t bits = 0;
    for (size_t k = 0; k < 8; k++) bits |= (uint64_t)bytes[8 * i + k] << (8 * k);
    memcpy(&out[i], &bits, 8);
    if (!isfinite(out[i])) return false;
  }
  return true;
}

static bool read_floats(float *out, size_t count, const json_t *from) {
  unsigned char *bytes = bc_allocate(count, 4);
  bool good = bytes && json_is_string(from) && base_base64_read(bytes, 4 * count, json_string_value(from));
  for (size_t i = 0; good && i < count; i++) {
    uint32_t bits = 0;
    for (size_t k = 0; k < 4; k++) bits |= (uint32_t)bytes[4 * i + k] << (8 * k);
    memcpy(&out[i], &bits, 4);
    good = isfinite(out[i]);
  }
  free(bytes);
  return good;
}

/* ---- writing ---- */

static json_t *shares_json(const bc_reading *reading) {
  float all[shares_count];
  memcpy(all, reading->lightness_share, sizeof reading->lightness_share);
  memcpy(all + BC_READING_LEVELS, reading->detail, sizeof reading->detail);
  memcpy(all + BC_READING_LEVELS + BC_READING_DETAIL, reading->detail_cycles, sizeof reading->detail_cycles);
  return floats_json(all, shares_count);
}

static json_t *rim_json(const bc_reading *reading) {
  float *all = bc_allocate(reading->rim_count, rim_figures * sizeof *all);
  if (!all) return NULL;
  for (size_t i = 0; i < reading->rim_count; i++) {
    const bc_rim_place *p = &reading->rim[i];
    const float row[rim_figures] = {p->x, p->y, p->luminance,      p->L,
                                    p->a, p->b, (float)p->contour, p->after_gap ? 1.0f : 0.0f};
    memcpy(all + rim_figures * i, row, sizeof row);
  }
  json_t *out = floats_json(all, rim_figures * reading->rim_count);
  free(all);
  return out;
}

bc_status bc_reading_to_stored_json(char **out, bc_context *context, const bc_reading *reading) {
  *out = NULL;
  char *plain = NULL;
  const bc_status status = bc_reading_to_json(&plain, context, reading);
  if (status != BC_OK) return status;
  json_t *all = json_loads(plain, 0, NULL);
  free(plain);
  double figures[most_figures];
  const size_t count = gather_figures(figures, reading);
  json_t *stored = json_pack("{s:i,s:i,s:o,s:o,s:o}", "version", 1, "places", (int)reading->rim_count, "figures",
                             doubles_json(figures, count), "shares", shares_json(reading), "rim", rim_json(reading));
  if (all && stored && json_object_set_new(all, "stored", stored) == 0)
    *out = json_dumps(all, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(6));
  json_decref(all);
  return *out ? BC_OK : bc_fail_memory(context);
}

/* ---- restoring ---- */

static bool read_colours(bc_reading *reading, const json_t *list) {
  if (!json_is_array(list) || json_array_size(list) > BC_READING_COLOURS) return false;
  reading->colour_count = json_array_size(list);
  for (size_t i = 0; i < reading->colour_count; i++) {
    bc_main_colour *c = &reading->colours[i];
    const char *css = json_string_value(json_object_get(json_array_get(list, i), "css"));
    const char *name = json_string_value(json_object_get(json_array_get(list, i), "name"));
    if (!css || !name || strlen(css) >= sizeof c->css || strlen(name) >= sizeof c->name) return false;
    strcpy(c->css, css);
    strcpy(c->name, name);
  }
  return true;
}

static bool read_rim(bc_reading *reading, const json_t *stored) {
  const json_int_t count = json_integer_value(json_object_get(stored, "places"));
  if (count < 0 || count > BC_READING_RIM) return false;
  float *all = bc_allocate((size_t)count, rim_figures * sizeof *all);
  reading->rim = bc_allocate((size_t)count, sizeof *reading->rim);
  bool good = all && reading->rim && read_floats(all, rim_figures * (size_t)count, json_object_get(stored, "rim"));
  for (size_t i = 0; good && i < (size_t)count; i++) {
    const float *row = all + rim_figures * i;
    good = row[6] >= 0 && row[6] <= BC_READING_RIM;
    if (good) reading->rim[i] = (bc_rim_place){row[0], row[1], row[2], row[3], row[4], row[5], (int)row[6], row[7] > 0};
  }
  if (good) reading->rim_count = (size_t)count;
  free(all);
  return good;
}

static bool read_texts(bc_reading *reading, bc_context *context, const json_t *all) {
  const char *photo = json_string_value(json_object_get(all, "photo"));
  const char *profile = json_string_value(json_object_get(all, "profile"));
  const json_t *notes = json_object_get(all, "notes");
  reading->photo = bc_copy_text(photo);
  reading->profile = bc_copy_text(profile);
  bool good = reading->photo && reading->profile && json_is_array(notes);
  for (size_t i = 0; good && i < json_array_size(notes); i++) {
    const char *note = json_string_value(json_array_get(notes, i));
    good = note && bc_note(&reading->notes, context, "%s", note) == BC_OK;
  }
  return good;
}

static bool read_shares(bc_reading *reading, const json_t *from) {
  float all[shares_count];
  if (!read_floats(all, shares_count, from)) return false;
  memcpy(reading->lightness_share, all, sizeof reading->lightness_share);
  memcpy(reading->detail, all + BC_READING_LEVELS, sizeof reading->detail);
  memcpy(reading->detail_cycles, all + BC_READING_LEVELS + BC_READING_DETAIL, sizeof reading->detail_cycles);
  return true;
}

static bool read_all(bc_reading *reading, bc_context *context, json_t *all) {
  json_t *piece = json_object_get(all, "piece"), *stored = json_object_get(all, "stored");
  bc_box *box = &reading->box;
  if (json_unpack(all, "{s:[i,i]}", "pixels", &reading->full_width, &reading->full_height) ||
      json_unpack(piece, "{s:[i,i,i,i]}", "box", &box->x, &box->y, &box->width, &box->height) ||
      json_integer_value(json_object_get(stored, "version")) != 1)
    return false;
  if (reading->full_width < 1 || reading->full_height < 1 || box->width < 0 || box->height < 0) return false;
  double figures[most_figures];
  if (!read_texts(reading, context, all) || !read_colours(reading, json_object_get(piece, "colours")) ||
      !read_doubles(figures, figure_count + 4 + colour_figures * reading->colour_count,
                    json_object_get(stored, "figures")) ||
      !read_shares(reading, json_object_get(stored, "shares")) ||
      !reading_doubts_read(&reading->doubts, json_object_get(piece, "doubts")))
    return false;
  spread_figures(reading, figures);
  return read_rim(reading, stored);
}

bc_status bc_reading_from_json(bc_reading **out, bc_context *context, const char *text, size_t size, const char *name) {
  *out = NULL;
  json_error_t error;
  json_t *all = json_loadb(text, size, JSON_REJECT_DUPLICATES, &error);
  if (!all)
    return bc_fail(context, BC_BAD_DATA, _("%s: a line is not JSON (%s). Make it with 'backcloth read --stored'."),
                   name, error.text);
  bc_reading *reading = bc_allocate(1, sizeof *reading);
  const bool good = reading && read_all(reading, context, all);
  json_decref(all);
  if (!reading) return bc_fail_memory(context);
  if (good) {
    *out = reading;
    return BC_OK;
  }
  bc_reading_free(reading);
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: a line does not hold a whole reading. Make it with 'backcloth read --stored'."), name);
}
