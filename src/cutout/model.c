/* SPDX-License-Identifier: MIT */
/* A learned model as the source of the first guess: what it says of itself, the picture that it is shown, and the map
 * that it gives, for which docs/model.md is the contract. onnx.c runs it; session.c goes on from the guess. */
#include "base/base.h"
#include "onnx.h"
#include "scale.h"
#include "value.h"

#include <backcloth/file.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct bc_cutout_model {
  char *name;
  cutout_onnx *network;
  double mean[3], spread[3]; /* of each channel: (value - mean) / spread is what the network is shown */
  bool logit;                /* it gives log odds, not probabilities */
  int side, multiple;        /* of the picture, where the network takes any size */
};

enum { least_side = 16, most_multiple = 256 };

/* ---- what a model says of itself ---- */

static bool read_three(double to[3], const json_t *list, double least) {
  if (!json_is_array(list) || json_array_size(list) != 3) return false;
  for (size_t i = 0; i < 3; i++) {
    const json_t *number = json_array_get(list, i);
    if (!json_is_number(number) || json_number_value(number) < least || json_number_value(number) > 1000) return false;
    to[i] = json_number_value(number);
  }
  return true;
}

static bool read_whole(int *to, const json_t *number, int least, int most) {
  if (!json_is_integer(number) || json_integer_value(number) < least || json_integer_value(number) > most) return false;
  *to = (int)json_integer_value(number);
  return true;
}

static bool read_output(bool *logit, const json_t *word) {
  const char *text = json_string_value(word);
  if (!text || (strcmp(text, "logit") != 0 && strcmp(text, "probability") != 0)) return false;
  *logit = strcmp(text, "logit") == 0;
  return true;
}

static bool read_about(bc_cutout_model *model, const json_t *about) {
  const char *key;
  json_t *value;
  if (!json_is_object(about)) return false;
  json_object_foreach((json_t *)about, key, value) {
    const bool known = strcmp(key, "mean") == 0       ? read_three(model->mean, value, -1000)
                       : strcmp(key, "std") == 0      ? read_three(model->spread, value, 1e-6)
                       : strcmp(key, "output") == 0   ? read_output(&model->logit, value)
                       : strcmp(key, "side") == 0     ? read_whole(&model->side, value, least_side, CUTOUT_ONNX_SIDE)
                       : strcmp(key, "multiple") == 0 ? read_whole(&model->multiple, value, 1, most_multiple)
                                                      : false;
    if (!known) return false;
  }
  return true;
}

static bc_status read_words(bc_cutout_model *model, bc_context *context) {
  char *text = NULL;
  const bc_status status = cutout_onnx_word(&text, context, model->network, "backcloth");
  if (status != BC_OK || !text) return status;
  json_t *about = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
  const bool understood = read_about(model, about);
  if (!understood)
    bc_fail(context, BC_BAD_DATA,
            _("%s: what this model says of itself under \"backcloth\" is not understood: %.200s. docs/model.md lists "
              "what it may say."),
            model->name, text);
  json_decref(about);
  free(text);
  return understood ? BC_OK : BC_BAD_DATA;
}

/* ---- opening ---- */

bool bc_cutout_is_model(const char *path) {
  if (bc_path_has_suffix(path, "onnx")) return true;
  if (strcmp(path, "-") == 0) return false;
  FILE *stream = fopen(path, "rb");
  if (!stream) return false;
  const int first = fgetc(stream), version = fgetc(stream); /* no picture begins with the field "IR version" */
  fclose(stream);
  return first == 0x08 && version > 0 && version < 0x20;
}

static bc_status open_network(bc_cutout_model *model, bc_context *context, const char *path) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->model_bytes);
  if (status == BC_OK) status = cutout_onnx_open(&model->network, context, model->name, bytes, size);
  free(bytes);
  return status == BC_OK ? read_words(model, context) : status;
}

bc_status bc_cutout_model_open(bc_cutout_model **out, bc_context *context, const char *path) {
  *out = NULL;
  bc_cutout_model *model = bc_allocate(1, sizeof *model);
  if (!model) return bc_fail_memory(context);
  *model = (bc_cutout_model){.name = bc_copy_text(path), .spread = {1, 1, 1}, .side = 320, .multiple = 32};
  const bc_status status = model->name ? open_network(model, context, path) : bc_fail_memory(context);
  if (status == BC_OK)
    *out = model;
  else
    bc_cutout_model_free(model);
  return status;
}

void bc_cutout_model_free(bc_cutout_model *model) {
  if (!model) return;
  cutout_onnx_free(model->network);
  free(model->name);
  free(model);
}

/* ---- the picture that it is shown ---- */

/* A side of the picture: the network's own, else in the photo's proportions. */
static int side_of(const bc_cutout_model *model, int fixed, int own, int longest) {
  if (fixed > 0) return fixed;
  const int steps = (int)lround((double)own * model->side / longest / model->multiple);
  return (steps < 1 ? 1 : steps) * model->multiple;
}

/* The photo's CIELAB in three planes of the picture's size becomes what the network is shown. */
static void show(float *planes, size_t count, const bc_cutout_model *model) {
  for (size_t i = 0; i < count; i++) {
    double linear[3];
    bc_lab_to_linear_srgb((bc_lab){(double)planes[i], (double)planes[count + i], (double)planes[2 * count + i]},
                          linear);
    for (size_t c = 0; c < 3; c++) {
      const double coded = bc_srgb_encode(fmin(fmax(linear[c], 0), 1));
      planes[c * count + i] = (float)((coded - model->mean[c]) / model->spread[c]);
    }
  }
}

static float *picture_of(const bc_cutout_model *model, const bc_image *image, int width, int height) {
  const size_t count = (size_t)width * (size_t)height;
  const float *const from[3] = {image->L, image->a, image->b};
  float *planes = bc_allocate(3 * count, sizeof *planes), *scratch = bc_allocate((size_t)image->width, sizeof *scratch);
  for (size_t c = 0; planes && scratch && c < 3; c++)
    for (int y = 0; y < height; y++)
      cutout_scale_row_of_floats(planes + c * count + (size_t)y * (size_t)width, y, from[c],
                                 (cutout_scaling){image->width, image->height, width, height}, scratch);
  if (planes && scratch) {
    show(planes, count, model);
  } else {
    free(planes);
    planes = NULL;
  }
  free(scratch);
  return planes;
}

/* ---- the map that it gives ---- */

/* Values to 0..255. `*odd` is the first value that is no probability, when it returns false. */
static bool to_bytes(uint8_t *bytes, const float *map, size_t count, bool logit, float *odd) {
  for (size_t i = 0; i < count; i++) {
    const float value = logit ? 1 / (1 + expf(-map[i])) : map[i];
    *odd = map[i];
    if (!(value >= -0.001f && value <= 1.001f)) return false; /* also when it is not a number */
    bytes[i] = (uint8_t)lroundf(255 * fminf(fmaxf(value, 0), 1));
  }
  return true;
}

static bc_status fill(bc_cutout *guess, bc_context *context, const bc_cutout_model *model, const float *map, int width,
                      int height) {
  const size_t count = (size_t)width * (size_t)height;
  uint8_t *bytes = bc_allocate(count, 1);
  float *scratch = bc_allocate((size_t)width, sizeof *scratch), odd = 0;
  bc_status status = bytes && scratch ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK && !to_bytes(bytes, map, count, model->logit, &odd))
    status = bc_fail(context, BC_BAD_DATA,
                     _("%s: this model gave a value that is no probability: %g. If it gives logits, it must say so; "
                       "docs/model.md explains how."),
                     model->name, (double)odd);
  for (int y = 0; status == BC_OK && y < guess->height; y++)
    cutout_scale_row(guess->alpha + (size_t)y * (size_t)guess->width, y, bytes,
                     (cutout_scaling){width, height, guess->width, guess->height}, scratch);
  if (status == BC_OK && !cutout_set_box(guess))
    status = bc_fail(context, BC_BAD_DATA,
                     _("%s: this model sees no piece in the photo. Do without it, or draw a box round the piece."),
                     model->name);
  free(bytes);
  free(scratch);
  return status;
}

static bc_status ask(bc_cutout *guess, bc_context *context, const bc_image *image, const bc_cutout_model *model) {
  const int longest = image->width > image->height ? image->width : image->height;
  int width, height;
  cutout_onnx_size(model->network, &width, &height);
  width = side_of(model, width, image->width, longest);
  height = side_of(model, height, image->height, longest);
  float *picture = picture_of(model, image, width, height), *map = NULL;
  if (!picture) return bc_fail_memory(context);
  bc_status status = cutout_onnx_run(&map, &width, &height, context, model->network, picture);
  free(picture);
  if (status == BC_OK) status = fill(guess, context, model, map, width, height);
  free(map);
  return status;
}

bc_status bc_cutout_from_model(bc_cutout **out, bc_context *context, const bc_image *image,
                               const bc_cutout_model *model) {
  *out = NULL;
  bc_cutout *guess = NULL;
  bc_status status = cutout_new(&guess, context, image);
  if (status == BC_OK) status = ask(guess, context, image, model);
  if (status == BC_OK)
    *out = guess;
  else
    bc_cutout_free(guess);
  return status;
}
