/* SPDX-License-Identifier: MIT */
/* A learned model as the first guess. The models are made here, byte by byte, after the open standard ONNX (onnx.proto:
 * field numbers and types): one convolution of 1 x 1, so that what comes out is known for every pixel. In a build
 * without ONNX Runtime the plain sentence about that is checked. */
#include <backcloth/cutout.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"

/* ---- a model, written as protocol buffers ---- */

typedef struct message {
  uint8_t bytes[4096];
  size_t size;
} message;

static void put_varint(message *m, uint64_t value) {
  for (; value >= 0x80; value >>= 7) m->bytes[m->size++] = (uint8_t)(value | 0x80);
  m->bytes[m->size++] = (uint8_t)value;
}

static void put_number(message *m, unsigned field, int64_t value) {
  put_varint(m, field << 3);
  put_varint(m, (uint64_t)value);
}

static void put_bytes(message *m, unsigned field, const void *bytes, size_t size) {
  put_varint(m, field << 3 | 2);
  put_varint(m, size);
  memcpy(m->bytes + m->size, bytes, size);
  m->size += size;
}

static void put_text(message *m, unsigned field, const char *text) {
  put_bytes(m, field, text, strlen(text));
}

static void put_message(message *m, unsigned field, const message *part) {
  put_bytes(m, field, part->bytes, part->size);
}

enum { FLOAT = 1, DOUBLE = 11 }; /* TensorProto.DataType */

typedef struct plan {
  int channels, type;        /* of the input */
  int height, width;         /* of the input; 0: any */
  int maps;                  /* channels that come out */
  float weight[3], constant; /* of the convolution, the same for every map */
  bool sigmoid;
  bool second_input;
  const char *about; /* metadata under "backcloth", or NULL */
} plan;

static const plan red_channel = {.channels = 3, .type = FLOAT, .maps = 1, .weight = {1, 0, 0}};

static void put_value(message *graph, unsigned field, const char *name, int type, const int *size) {
  static const char *const any[] = {"n", "c", "h", "w"};
  message shape = {.size = 0}, tensor = {.size = 0}, kind = {.size = 0}, value = {.size = 0};
  for (int i = 0; i < 4; i++) {
    message dimension = {.size = 0};
    if (size[i] > 0)
      put_number(&dimension, 1, size[i]);
    else
      put_text(&dimension, 2, any[i]);
    put_message(&shape, 1, &dimension);
  }
  put_number(&tensor, 1, type);
  put_message(&tensor, 2, &shape);
  put_message(&kind, 1, &tensor);
  put_text(&value, 1, name);
  put_message(&value, 2, &kind);
  put_message(graph, field, &value);
}

static void put_tensor(message *graph, const char *name, const int *size, int dimensions, const float *values,
                       size_t count) {
  message tensor = {.size = 0};
  for (int i = 0; i < dimensions; i++) put_number(&tensor, 1, size[i]);
  put_number(&tensor, 2, FLOAT);
  put_text(&tensor, 8, name);
  put_bytes(&tensor, 9, values, count * sizeof *values);
  put_message(graph, 5, &tensor);
}

static void put_node(message *graph, const char *kind, const char *const *from, int count, const char *to) {
  message node = {.size = 0};
  for (int i = 0; i < count; i++) put_text(&node, 1, from[i]);
  put_text(&node, 2, to);
  put_text(&node, 4, kind);
  put_message(graph, 1, &node);
}

static void put_graph(message *model, const plan *p) {
  message graph = {.size = 0};
  float weights[12], constants[4];
  for (int i = 0; i < p->maps; i++) {
    memcpy(weights + i * p->channels, p->weight, (size_t)p->channels * sizeof *weights);
    constants[i] = p->constant;
  }
  put_text(&graph, 2, "made");
  put_tensor(&graph, "weights", (int[]){p->maps, p->channels, 1, 1}, 4, weights, (size_t)(p->maps * p->channels));
  put_tensor(&graph, "constants", (int[]){p->maps}, 1, constants, (size_t)p->maps);
  put_node(&graph, "Conv", (const char *const[]){"picture", "weights", "constants"}, 3, p->sigmoid ? "sum" : "map");
  if (p->sigmoid) put_node(&graph, "Sigmoid", (const char *const[]){"sum"}, 1, "map");
  put_value(&graph, 11, "picture", p->type, (int[]){1, p->channels, p->height, p->width});
  if (p->second_input) put_value(&graph, 11, "other", FLOAT, (int[]){1, 1, 1, 1});
  put_value(&graph, 12, "map", p->type, (int[]){1, p->maps, p->height, p->width});
  put_message(model, 7, &graph);
}

static void make(message *model, const plan *p) {
  message set = {.size = 0}, about = {.size = 0};
  model->size = 0;
  put_number(model, 1, 8); /* IR version */
  put_number(&set, 2, 13); /* version of the operators */
  put_message(model, 8, &set);
  put_graph(model, p);
  if (!p->about) return;
  put_text(&about, 1, "backcloth");
  put_text(&about, 2, p->about);
  put_message(model, 14, &about);
}

static char path[64];

static void write_bytes(const void *bytes, size_t size) {
  strcpy(path, "/tmp/backcloth-model-XXXXXX");
  const int file = mkstemp(path);
  assert_true(file >= 0);
  assert_int_equal(write(file, bytes, size), (ssize_t)size);
  close(file);
}

/* ---- told from a picture ---- */

static void models_are_told_from_pictures(void **state) {
  (void)state;
  static const uint8_t png[] = {0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'}, jpeg[] = {0xff, 0xd8, 0xff, 0xe0};
  message model;
  make(&model, &red_channel);
  write_bytes(model.bytes, model.size);
  assert_true(bc_cutout_is_model(path));
  unlink(path);
  assert_false(bc_cutout_is_model(path)); /* nothing is there, and the name says nothing */
  write_bytes(png, sizeof png);
  assert_false(bc_cutout_is_model(path));
  unlink(path);
  write_bytes(jpeg, sizeof jpeg);
  assert_false(bc_cutout_is_model(path));
  unlink(path);
  assert_true(bc_cutout_is_model("rough.onnx"));
  assert_true(bc_cutout_is_model("ROUGH.ONNX"));
  assert_false(bc_cutout_is_model("-"));
}

static void missing_files_and_limits(void **state) {
  (void)state;
  bc_cutout_model *model = NULL;
  assert_int_equal(bc_cutout_model_open(&model, context, "/nowhere/rough.onnx"), BC_NO_INPUT);
  assert_null(model);
  message bytes;
  make(&bytes, &red_channel);
  write_bytes(bytes.bytes, bytes.size);
  bc_context_limits(context)->model_bytes = bytes.size - 1;
  assert_int_equal(bc_cutout_model_open(&model, context, path), BC_BAD_DATA);
  assert_null(strstr(bc_context_message(context), "ONNX")); /* it was not even looked at */
  bc_context_limits(context)->model_bytes = bytes.size;
  const bc_status status = bc_cutout_model_open(&model, context, path);
#ifdef BC_ONNXRUNTIME
  assert_int_equal(status, BC_OK);
#else
  assert_int_equal(status, BC_BAD_DATA);
  assert_non_null(strstr(bc_context_message(context), "needs ONNX Runtime"));
  assert_non_null(strstr(bc_context_message(context), path));
  assert_null(model);
#endif
  bc_cutout_model_free(model);
  unlink(path);
  bc_context_limits(context)->model_bytes = 512u << 20;
}

#ifdef BC_ONNXRUNTIME

/* ---- a photo of two discs ---- */

static bc_status open_model(bc_cutout_model **out, const plan *p) {
  message model;
  make(&model, p);
  write_bytes(model.bytes, model.size);
  const bc_status status = bc_cutout_model_open(out, context, path);
  unlink(path);
  return status;
}

enum { WIDTH = 400, HEIGHT = 300 };

/* sRGB red and blue in CIELAB D50, and the grey whose three channels are 0.4663: CSS Color 4 gives rgb(46.63%) for
 * lab(50% 0 0). The figures for red and blue are widely published (Bradford-adapted); from memory. */
static const float red[3] = {54.29f, 80.80f, 69.89f}, blue[3] = {29.57f, 68.29f, -112.03f}, grey[3] = {50, 0, 0};

static const float *colour_at(int x, int y) {
  return hypot(x - 110.0, y - 150.0) < 60 ? red : hypot(x - 290.0, y - 150.0) < 60 ? blue : grey;
}

static bc_image *photo(void) {
  bc_image *image = calloc(1, sizeof *image);
  assert_non_null(image);
  image->width = image->full_width = WIDTH;
  image->height = image->full_height = HEIGHT;
  float **const plane[] = {&image->L, &image->a, &image->b};
  for (int c = 0; c < 3; c++) {
    *plane[c] = calloc((size_t)WIDTH * HEIGHT, sizeof(float));
    assert_non_null(*plane[c]);
    for (int i = 0; i < WIDTH * HEIGHT; i++) (*plane[c])[i] = colour_at(i % WIDTH, i / WIDTH)[c];
  }
  return image;
}

static void free_photo(bc_image *image) {
  free(image->L);
  free(image->a);
  free(image->b);
  free(image);
}

/* What the model of this plan says in the middle of the red disc, of the blue one, and of the ground. */
static void ask(double said[3], const plan *p) {
  bc_image *image = photo();
  bc_cutout_model *model = NULL;
  bc_cutout *guess = NULL;
  assert_int_equal(open_model(&model, p), BC_OK);
  assert_int_equal(bc_cutout_from_model(&guess, context, image, model), BC_OK);
  assert_int_equal(guess->width, WIDTH);
  assert_int_equal(guess->height, HEIGHT);
  said[0] = guess->alpha[150 * WIDTH + 110] / 255.0;
  said[1] = guess->alpha[150 * WIDTH + 290] / 255.0;
  said[2] = guess->alpha[20 * WIDTH + 200] / 255.0;
  bc_cutout_free(guess);
  bc_cutout_model_free(model);
  free_photo(image);
}

static const double step = 0.004; /* of eight bits, and of the published figures' two places */

static void sees_srgb_from_0_to_1(void **state) {
  (void)state;
  for (int c = 0; c < 3; c++) {
    const double want[3][3] = {{1, 0, 0.4663}, {0, 0, 0.4663}, {0, 1, 0.4663}};
    plan p = red_channel;
    p.weight[0] = c == 0;
    p.weight[1] = c == 1;
    p.weight[2] = c == 2;
    p.constant = c == 1 ? 0.25f : 0; /* green alone would have no pixel that is probably piece */
    double said[3];
    ask(said, &p);
    for (int i = 0; i < 3; i++) assert_true(fabs(said[i] - want[c][i] - (double)p.constant) < step);
  }
}

static double sigmoid(double x) {
  return 1 / (1 + exp(-x));
}

static void obeys_mean_std_and_logit(void **state) {
  (void)state;
  plan p = {.channels = 3,
            .type = FLOAT,
            .maps = 1,
            .weight = {0.5f, -0.25f, 0.75f},
            .constant = -0.5f,
            .about = "{\"mean\": [0.485, 0.456, 0.406], \"std\": [0.229, 0.224, 0.225], \"output\": \"logit\"}"};
  const double mean[3] = {0.485, 0.456, 0.406}, std[3] = {0.229, 0.224, 0.225};
  const double seen[3][3] = {{1, 0, 0}, {0, 0, 1}, {0.4663, 0.4663, 0.4663}};
  double want[3], said[3];
  for (int i = 0; i < 3; i++) {
    double sum = (double)p.constant;
    for (int c = 0; c < 3; c++) sum += (double)p.weight[c] * (seen[i][c] - mean[c]) / std[c];
    want[i] = sigmoid(sum);
  }
  ask(said, &p);
  for (int i = 0; i < 3; i++) assert_true(fabs(said[i] - want[i]) < 0.01);
  p.about = "{\"mean\": [0.485, 0.456, 0.406], \"std\": [0.229, 0.224, 0.225], \"output\": \"probability\"}";
  p.sigmoid = true; /* in the model itself: the same */
  ask(said, &p);
  for (int i = 0; i < 3; i++) assert_true(fabs(said[i] - want[i]) < 0.01);
}

static void lands_in_the_right_places(void **state) {
  (void)state;
  static const int sizes[][2] = {{0, 0}, {64, 64}, {40, 96}, {300, 0}, {777, 777}}; /* height, width */
  bc_image *image = photo();
  for (size_t k = 0; k < sizeof sizes / sizeof *sizes; k++) {
    plan p = {.channels = 3, .type = FLOAT, .maps = 1, .weight = {30, -30, -30}, .constant = -10, .sigmoid = true};
    p.height = sizes[k][0];
    p.width = sizes[k][1];
    p.about = k == 0 ? "{\"side\": 200, \"multiple\": 50}" : NULL;
    bc_cutout_model *model = NULL;
    bc_cutout *guess = NULL;
    assert_int_equal(open_model(&model, &p), BC_OK);
    assert_int_equal(bc_cutout_from_model(&guess, context, image, model), BC_OK);
    size_t both = 0, either = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
      const bool want = colour_at(i % WIDTH, i / WIDTH) == red, got = guess->alpha[i] >= 128;
      both += want && got;
      either += want || got;
    }
    assert_true((double)both / (double)either > (k == 0 || k >= 3 ? 0.96 : 0.90)); /* a cell's width at the rim */
    bc_cutout_free(guess);
    bc_cutout_model_free(model);
  }
  free_photo(image);
}

static void the_search_starts_from_it(void **state) {
  (void)state;
  static const float shares[2][3] = {{30, -30, -30}, {-30, -30, 30}};
  bc_image *image = photo();
  for (int k = 0; k < 2; k++) { /* the red disc is asked for, then the blue one */
    plan p = red_channel;
    memcpy(p.weight, shares[k], sizeof p.weight);
    p.constant = -10;
    p.sigmoid = true;
    bc_cutout_model *model = NULL;
    bc_cutout *guess = NULL, *found = NULL;
    assert_int_equal(open_model(&model, &p), BC_OK);
    assert_int_equal(bc_cutout_from_model(&guess, context, image, model), BC_OK);
    bc_cutout_options options = bc_cutout_options_default();
    options.first_guess = bc_cutout_guess_of_mask;
    options.first_guess_data = guess;
    assert_int_equal(bc_cutout_find(&found, context, image, &options), BC_OK);
    assert_true((found->alpha[150 * WIDTH + 110] >= 128) == (k == 0));
    assert_true((found->alpha[150 * WIDTH + 290] >= 128) == (k == 1));
    assert_true(found->alpha[20 * WIDTH + 200] < 128);
    bc_cutout_free(found);
    bc_cutout_free(guess);
    bc_cutout_model_free(model);
  }
  free_photo(image);
}

/* ---- what does not fit ---- */

static void refuse(const plan *p, const char *sentence) {
  bc_cutout_model *model = NULL;
  bc_cutout *guess = NULL;
  bc_image *image = photo();
  bc_status status = open_model(&model, p);
  if (status == BC_OK) status = bc_cutout_from_model(&guess, context, image, model);
  assert_int_equal(status, BC_BAD_DATA);
  assert_null(guess);
  assert_non_null(strstr(bc_context_message(context), sentence));
  assert_non_null(strstr(bc_context_message(context), path));
  bc_cutout_model_free(model);
  free_photo(image);
}

static void says_what_does_not_fit(void **state) {
  (void)state;
  plan p = red_channel;
  p.channels = 1;
  refuse(&p, "does not fit");
  p = red_channel;
  p.maps = 2;
  refuse(&p, "does not fit");
  p = red_channel;
  p.second_input = true;
  refuse(&p, "does not fit");
  p = red_channel;
  p.height = 2049;
  refuse(&p, "does not fit");
  p = red_channel;
  p.type = DOUBLE; /* the weights are floats: the runtime refuses it, or it does not fit */
  refuse(&p, "this model");
  p = red_channel;
  p.weight[0] = NAN;
  refuse(&p, "no probability: nan");
  p = red_channel;
  p.weight[0] = 5;
  refuse(&p, "no probability: ");
  p = red_channel;
  p.weight[0] = 0;
  refuse(&p, "sees no piece");
}

static void says_what_it_does_not_understand(void **state) {
  (void)state;
  static const char *const about[] = {"mean 0.5",
                                      "[1, 2]",
                                      "{\"mean\": [0.5, 0.5]}",
                                      "{\"mean\": 0.5}",
                                      "{\"std\": [1, 0, 1]}",
                                      "{\"side\": 100000}",
                                      "{\"side\": 320.5}",
                                      "{\"multiple\": 0}",
                                      "{\"output\": 1}",
                                      "{\"output\": \"odds\"}",
                                      "{\"means\": [0, 0, 0]}"};
  for (size_t i = 0; i < sizeof about / sizeof *about; i++) {
    plan p = red_channel;
    p.about = about[i];
    refuse(&p, "is not understood");
    assert_non_null(strstr(bc_context_message(context), about[i]));
  }
}

static void damaged_files_are_refused(void **state) {
  (void)state;
  message bytes;
  make(&bytes, &red_channel);
  for (size_t size = 0; size < bytes.size; size += 7) {
    bc_cutout_model *model = NULL;
    write_bytes(bytes.bytes, size);
    const bc_status status = bc_cutout_model_open(&model, context, path);
    unlink(path);
    if (status == BC_OK) /* cut off after the graph, only what follows is missing */
      assert_true(size > bytes.size / 2);
    else
      assert_int_equal(status, BC_BAD_DATA);
    assert_null(strstr(bc_context_message(context), ".."));
    bc_cutout_model_free(model);
  }
}

#endif

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(models_are_told_from_pictures), cmocka_unit_test(missing_files_and_limits),
#ifdef BC_ONNXRUNTIME
      cmocka_unit_test(sees_srgb_from_0_to_1),         cmocka_unit_test(obeys_mean_std_and_logit),
      cmocka_unit_test(lands_in_the_right_places),     cmocka_unit_test(the_search_starts_from_it),
      cmocka_unit_test(says_what_does_not_fit),        cmocka_unit_test(says_what_it_does_not_understand),
      cmocka_unit_test(damaged_files_are_refused),
#endif
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
