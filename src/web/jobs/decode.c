/* SPDX-License-Identifier: MIT */
/* What a decoder does with one photo: reading, face, preview, piece alone, mask; or a cloth's colour; or a
 * study for a drawing. It runs behind the strict filter: the photo comes as an open file. */
#include "jobs.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#define POINTS_MOST 4000

static bc_status read_photo(uint8_t **bytes, size_t *size, bc_context *context, const bc_apart_message *in,
                            const json_t *order) {
  const json_int_t wanted = json_integer_value(json_object_get(order, "bytes"));
  *size = 0;
  *bytes = wanted > 0 ? malloc((size_t)wanted) : NULL;
  if (!*bytes || in->files != 1) return bc_fail_memory(context);
  while (*size < (size_t)wanted) {
    const ssize_t got = read(in->file[0], *bytes + *size, (size_t)wanted - *size);
    if (got <= 0) break;
    *size += (size_t)got;
  }
  return BC_OK;
}

static bool box_from(bc_box *box, const json_t *value) {
  double n[4];
  if (!json_is_array(value) || json_array_size(value) != 4) return false;
  for (size_t i = 0; i < 4; i++) n[i] = fmin(1e6, fmax(-1e6, json_number_value(json_array_get(value, i))));
  *box = (bc_box){(int)lround(n[0]), (int)lround(n[1]), (int)lround(n[2]), (int)lround(n[3])};
  return true;
}

static size_t points_from(bc_point_px **points, const json_t *list) {
  size_t count = json_array_size(list);
  if (count > POINTS_MOST) count = POINTS_MOST;
  *points = bc_allocate(count, sizeof **points);
  for (size_t i = 0; *points && i < count; i++) {
    const json_t *point = json_array_get(list, i);
    const double x = json_number_value(json_array_get(point, 0)), y = json_number_value(json_array_get(point, 1));
    (*points)[i] = (bc_point_px){(int)lround(fmin(1e6, fmax(-1e6, x))), (int)lround(fmin(1e6, fmax(-1e6, y)))};
  }
  return *points ? count : 0;
}

/* The image that the server kept lies in memory already: it is mapped rather than read. */
static bc_status study_of_image(bc_study **out, bc_context *context, const bc_apart_message *in, const json_t *order,
                                const char *name, const bc_study_options *options) {
  const json_int_t size = json_integer_value(json_object_get(order, "bytes"));
  void *bytes = size > 0 && in->files == 1
                    ? mmap(NULL, (size_t)size, PROT_READ, MAP_PRIVATE | MAP_POPULATE, in->file[0], 0)
                    : MAP_FAILED;
  if (bytes == MAP_FAILED) return bc_fail_memory(context);
  bc_image *image = NULL;
  const bc_status status = web_image_unpack(&image, context, bytes, (size_t)size);
  munmap(bytes, (size_t)size);
  return status == BC_OK ? bc_study_of_image(out, context, image, name, options) : status;
}

static bc_status study_of(bc_study **out, bc_context *context, const bc_apart_message *in, const json_t *order) {
  const json_t *help = json_object_get(order, "help");
  bc_study_options options = bc_study_options_default();
  bc_point_px *keep = NULL, *drop = NULL;
  options.cutout.has_box = box_from(&options.cutout.box, json_object_get(help, "box"));
  options.image.has_white = box_from(&options.image.white, json_object_get(help, "white"));
  options.cutout.keep_count = points_from(&keep, json_object_get(help, "keep"));
  options.cutout.drop_count = points_from(&drop, json_object_get(help, "drop"));
  options.cutout.keep = keep;
  options.cutout.drop = drop;
  uint8_t *bytes = NULL;
  size_t size = 0;
  const char *name = json_string_value(json_object_get(order, "name"));
  bc_status status;
  if (json_is_true(json_object_get(order, "image"))) {
    status = study_of_image(out, context, in, order, name ? name : "", &options);
  } else {
    status = read_photo(&bytes, &size, context, in, order);
    if (status == BC_OK) status = bc_study_decode(out, context, bytes, size, name, &options);
  }
  free(bytes);
  free(keep);
  free(drop);
  return status;
}

/* A photo of cloth shows no piece: its middle stands for one, so that it has a preview and a reading like others. */
static bc_cutout *middle_of(const bc_image *image) {
  bc_cutout *cutout = bc_allocate(1, sizeof *cutout);
  const int width = image->width, height = image->height;
  uint8_t *alpha = cutout ? bc_allocate((size_t)width * (size_t)height, 1) : NULL;
  if (!alpha) {
    free(cutout);
    return NULL;
  }
  const bc_box box = {width / 10, height / 10, width - 2 * (width / 10), height - 2 * (height / 10)};
  for (int y = box.y; y < box.y + box.height; y++)
    memset(alpha + (size_t)y * (size_t)width + box.x, 255, (size_t)box.width);
  *cutout = (bc_cutout){
      .width = width, .height = height, .alpha = alpha, .box = box, .confidence = 1, .source = BC_CUTOUT_MASK};
  return cutout;
}

static bc_status read_cloth(bc_study *study, bc_context *context, const uint8_t *bytes, size_t size, const char *name) {
  bc_photo *photo = NULL;
  bc_status status = bc_photo_decode(&photo, context, bytes, size, name, NULL);
  if (status == BC_OK) status = bc_image_from_photo(&study->image, context, photo, NULL);
  bc_photo_free(photo);
  if (status != BC_OK) return status;
  study->cutout = middle_of(study->image);
  if (!study->cutout) return bc_fail_memory(context);
  return bc_reading_of(&study->reading, context, study->image, study->cutout, name);
}

static bc_status cloth_study_of(bc_study **out, bc_context *context, const bc_apart_message *in, const json_t *order) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  const char *name = json_string_value(json_object_get(order, "name"));
  bc_study *study = bc_allocate(1, sizeof *study);
  bc_status status = study ? read_photo(&bytes, &size, context, in, order) : bc_fail_memory(context);
  if (status == BC_OK) status = read_cloth(study, context, bytes, size, name ? name : "");
  free(bytes);
  if (status == BC_OK)
    *out = study;
  else
    bc_study_free(study);
  return status;
}

static bool shows_cloth(const json_t *order) {
  return json_is_true(json_object_get(json_object_get(order, "help"), "cloth"));
}

static bool add_part(bc_apart_message *out, bc_apart_part *part) {
  return bc_apart_message_add(out, part->bytes, part->size);
}

static char *facts_text(bc_context *context, const bc_study *study) {
  char *reading = NULL, *face = NULL, *text = NULL;
  const double across = (double)study->image->full_width / study->image->width;
  const double down = (double)study->image->full_height / study->image->height;
  const bc_box box = study->cutout->box;
  if (bc_reading_to_json(&reading, context, study->reading) == BC_OK &&
      bc_match_face_json(&face, context, study->reading) == BC_OK)
    text = bc_format("{\"reading\":%s,\"face\":%s,\"pixels\":[%d,%d],\"cutout_box\":[%ld,%ld,%ld,%ld]}", reading, face,
                     study->image->full_width, study->image->full_height, lround(box.x * across), lround(box.y * down),
                     lround(box.width * across), lround(box.height * down));
  free(reading);
  free(face);
  return text;
}

static bc_status make_preview(bc_apart_part *preview, bc_context *context, const bc_study *study, const json_t *order) {
  if (!json_is_true(json_object_get(order, "previewed"))) return web_preview_jpeg(preview, context, study->image);
  *preview = (bc_apart_part){(uint8_t *)bc_copy_text(""), 0};
  return preview->bytes ? BC_OK : bc_fail_memory(context);
}

static bc_status answer_piece(bc_context *context, bc_study *study, const json_t *order, bc_apart_message *out) {
  bc_apart_part reading = {0}, preview = {0}, cutout = {0}, mask = {0}, image = {0};
  const bool keep = json_is_true(json_object_get(order, "keep_image"));
  char *facts = facts_text(context, study);
  bc_status status = facts ? web_reading_pack(&reading, context, study->reading) : bc_fail_memory(context);
  if (status == BC_OK) status = make_preview(&preview, context, study, order);
  if (status == BC_OK && keep) status = web_image_pack(&image, context, study->image); /* before its edge is cleaned */
  if (status == BC_OK) status = web_mask_png(&mask, context, study->cutout);
  if (status == BC_OK) status = web_cutout_webp(&cutout, context, study->image, study->cutout);
  const bool whole = bc_apart_message_add_text(out, facts) & add_part(out, &reading) & add_part(out, &preview) &
                     add_part(out, &cutout) & add_part(out, &mask) & (!keep || add_part(out, &image));
  return status != BC_OK || whole ? status : bc_fail_memory(context);
}

static bc_status do_piece(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out) {
  bc_study *study = NULL;
  bc_status status =
      shows_cloth(order) ? cloth_study_of(&study, context, in, order) : study_of(&study, context, in, order);
  if (status == BC_OK) status = answer_piece(context, study, order, out);
  bc_study_free(study);
  return status;
}

static bc_status do_study(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out) {
  bc_study *study = NULL;
  bc_apart_part part = {0};
  bc_status status =
      shows_cloth(order) ? cloth_study_of(&study, context, in, order) : study_of(&study, context, in, order);
  if (status == BC_OK) status = web_study_pack(&part, context, study);
  if (status == BC_OK && !add_part(out, &part)) status = bc_fail_memory(context);
  bc_study_free(study);
  return status;
}

/* The colours of a pattern: what lies behind a piece is one of them. */
static json_t *parts_json(const bc_cloth *cloth) {
  json_t *list = json_array();
  for (size_t i = 0; i < cloth->part_count; i++) {
    const bc_colour *c = &cloth->parts[i].colour;
    json_array_append_new(list, json_pack("{s:[f,f,f],s:f,s:f}", "lab", c->lab.L, c->lab.a, c->lab.b, "luminance",
                                          c->luminance, "share", cloth->parts[i].share));
  }
  return list;
}

/* All that the library says of the textile, so that what is told of it is told here, too. */
static json_t *textile_json(const bc_textile *textile) {
  json_t *colours = json_array();
  for (size_t i = 0; i < textile->colour_count; i++) {
    const bc_main_colour *c = &textile->colours[i];
    json_array_append_new(colours, json_pack("{s:[f,f,f],s:f,s:s,s:s}", "lab", c->lab.L, c->lab.a, c->lab.b, "share",
                                             c->share, "css", c->css, "name", c->name));
  }
  return json_pack("{s:o,s:f,s:f}", "colours", colours, "pattern_share", textile->pattern_share, "busy_bits",
                   textile->busy_bits);
}

static bc_status do_cloth(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_cloth *cloth = NULL;
  bc_status status = read_photo(&bytes, &size, context, in, order);
  if (status == BC_OK)
    status = bc_cloth_decode(&cloth, context, bytes, size, json_string_value(json_object_get(order, "name")), NULL);
  free(bytes);
  if (status != BC_OK) return status;
  json_t *facts = json_pack("{s:o,s:[f,f,f],s:f,s:f}", "name", bc_json_text(cloth->name), "lab", cloth->colour.lab.L,
                            cloth->colour.lab.a, cloth->colour.lab.b, "luminance", cloth->colour.luminance, "spread_l",
                            cloth->spread_l);
  json_object_set_new(facts, "parts", parts_json(cloth));
  json_object_set_new(facts, "textile", textile_json(&cloth->textile));
  if (!bc_apart_message_add_text(out, json_dumps(facts, JSON_COMPACT))) status = bc_fail_memory(context);
  json_decref(facts);
  bc_cloth_free(cloth);
  return status;
}

/* What a phone makes stays far below; what is beyond is told in a sentence rather than by a death. */
static void set_limits(bc_limits *limits) {
  limits->file_bytes = (uint64_t)64 << 20;
  limits->decode_bytes = (uint64_t)640 << 20;
}

bc_status web_decoder_work(bc_context *context, const bc_apart_message *in, bc_apart_message *out) {
  json_t *order = json_loads(bc_apart_message_text(in, 0), 0, NULL);
  set_limits(bc_context_limits(context));
  bc_status status = BC_OUR_FAULT;
  if (order && in->kind == WEB_JOB_PIECE) status = do_piece(context, in, order, out);
  if (order && in->kind == WEB_JOB_STUDY) status = do_study(context, in, order, out);
  if (order && in->kind == WEB_JOB_CLOTH) status = do_cloth(context, in, order, out);
  json_decref(order);
  return status;
}
