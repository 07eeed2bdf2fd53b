/* SPDX-License-Identifier: MIT */
/* The network's kernel against plain sums in doubles that know nothing of its layouts, a convolution worked out by
 * hand, the answer of PyTorch's own convolutions (assets/model/network.py, AsKernel) for the weights that come with the
 * program, and damaged weights. */
#include "cutout/network.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

static uint32_t state = 1;
static int chance(int least, int most) {
  state = state * 1664525u + 1013904223u;
  return least + (int)((state >> 8) % (uint32_t)(most - least + 1));
}

/* ---- one layer ---- */

typedef struct trial {
  network_layer layer;
  int16_t *plain; /* [output][place][input] */
  network_plane in, out;
} trial;

static network_plane make_plane(int width, int height, int channels) {
  network_plane plane = {width, height, channels, NULL};
  plane.cells = calloc(((size_t)width + 5) * ((size_t)height + 5) * (size_t)channels, sizeof(int16_t));
  assert_non_null(plane.cells);
  return plane;
}

static size_t place_of(const network_layer *l, int output, int place, int input) {
  if (l->each) return (size_t)place * (size_t)l->outputs + (size_t)output;
  const int places = l->size * l->size;
  return (size_t)((((output / 8 * places + place) * (l->inputs / 2) + input / 2) * 8 + output % 8) * 2 + (input & 1));
}

static void make_trial(trial *t, network_layer shape, int width, int height) {
  const int inputs = shape.each ? 1 : shape.inputs, places = shape.size * shape.size;
  t->layer = shape;
  t->layer.weight = calloc((size_t)(shape.outputs * inputs * places), sizeof(int16_t));
  t->layer.scale = calloc((size_t)shape.outputs, sizeof(float));
  t->layer.bias = calloc((size_t)shape.outputs, sizeof(int32_t));
  t->plain = calloc((size_t)(shape.outputs * inputs * places), sizeof(int16_t));
  for (int o = 0; o < shape.outputs; o++) {
    t->layer.scale[o] = (float)chance(1, 1000) * 1e-5f;
    t->layer.bias[o] = chance(-300000, 300000);
    for (int p = 0; p < places; p++)
      for (int i = 0; i < inputs; i++) {
        const int16_t w = (int16_t)chance(-127, 127);
        t->layer.weight[place_of(&shape, o, p, i)] = w;
        t->plain[(o * places + p) * inputs + i] = w;
      }
  }
  t->in = make_plane(width, height, shape.inputs);
  t->out = make_plane(width / shape.stride, height / shape.stride, shape.outputs);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      for (int c = 0; c < shape.inputs; c++) network_cell(&t->in, x, y)[c] = (int16_t)chance(0, NETWORK_MOST);
  for (int y = 0; y < t->out.height; y++)
    for (int x = 0; x < t->out.width; x++)
      for (int c = 0; c < shape.outputs; c++) network_cell(&t->out, x, y)[c] = (int16_t)chance(0, NETWORK_MOST);
}

static void clear_trial(trial *t) {
  free(t->layer.weight);
  free(t->layer.scale);
  free(t->layer.bias);
  free(t->plain);
  free(t->in.cells);
  free(t->out.cells);
}

/* Doubles hold every product and sum here exactly; only the scale is a single float's multiplication. */
static int expected(const trial *t, int o, int x, int y, network_use use, int before) {
  const network_layer *l = &t->layer;
  const int inputs = l->each ? 1 : l->inputs;
  double sum = l->bias[o];
  for (int ky = 0; ky < l->size; ky++)
    for (int kx = 0; kx < l->size; kx++) {
      const int column = x * l->stride + kx - l->size / 2, row = y * l->stride + ky - l->size / 2;
      if (column < 0 || row < 0 || column >= t->in.width || row >= t->in.height) continue;
      for (int i = 0; i < inputs; i++)
        sum += (double)t->plain[(o * l->size * l->size + ky * l->size + kx) * inputs + i] *
               network_cell(&t->in, column, row)[l->each ? o : i];
    }
  const float scaled = (float)sum * l->scale[o];
  double value =
      trunc(fmin(fmax((double)scaled, use == NETWORK_CUT ? 0 : -32000), use == NETWORK_CUT ? NETWORK_MOST : 32000));
  if (use == NETWORK_ADD) value = fmin(fmax(value + before, 0), NETWORK_MOST);
  return (int)value;
}

static void check_layer(network_layer shape, int width, int height, network_use use) {
  for (int way = 0; way < 2; way++) {
    trial t;
    make_trial(&t, shape, width, height);
    network_plane before = make_plane(t.out.width, t.out.height, shape.outputs);
    memcpy(before.cells, t.out.cells,
           ((size_t)before.width + 4) * ((size_t)before.height + 4) * (size_t)shape.outputs * sizeof(int16_t));
    if (way)
      network_convolve_plainly(&t.out, &t.layer, &t.in, use, 0, t.out.height);
    else
      network_convolve(&t.out, &t.layer, &t.in, use, 0, t.out.height);
    for (int y = 0; y < t.out.height; y++)
      for (int x = 0; x < t.out.width; x++)
        for (int o = 0; o < shape.outputs; o++)
          assert_int_equal(network_cell(&t.out, x, y)[o], expected(&t, o, x, y, use, network_cell(&before, x, y)[o]));
    free(before.cells);
    clear_trial(&t);
  }
}

static void test_layers_are_plain_sums(void **fixture) {
  (void)fixture;
  check_layer((network_layer){.outputs = 24, .inputs = 12, .size = 3, .stride = 1}, 9, 7, NETWORK_CUT);
  check_layer((network_layer){.outputs = 8, .inputs = 24, .size = 3, .stride = 1}, 8, 6, NETWORK_AS_IS);
  check_layer((network_layer){.outputs = 40, .inputs = 24, .size = 3, .stride = 2}, 12, 10, NETWORK_CUT);
  check_layer((network_layer){.outputs = 48, .inputs = 96, .size = 1, .stride = 1}, 6, 5, NETWORK_ADD);
  check_layer((network_layer){.outputs = 32, .inputs = 32, .size = 5, .stride = 1, .each = true}, 7, 9, NETWORK_CUT);
  check_layer((network_layer){.outputs = 16, .inputs = 16, .size = 1, .stride = 1}, 1, 1, NETWORK_AS_IS);
}

/* One output of three by three over two inputs of 1 and 2, weights 1 and 3: inside nine times 7, in a corner four
 * times. */
static void test_by_hand(void **fixture) {
  (void)fixture;
  trial t;
  make_trial(&t, (network_layer){.outputs = 8, .inputs = 2, .size = 3, .stride = 1}, 4, 4);
  for (int p = 0; p < 9; p++)
    for (int i = 0; i < 2; i++) t.layer.weight[place_of(&t.layer, 5, p, i)] = i ? 3 : 1;
  for (int y = 0; y < 4; y++)
    for (int x = 0; x < 4; x++)
      for (int i = 0; i < 2; i++) network_cell(&t.in, x, y)[i] = (int16_t)(i + 1);
  t.layer.scale[5] = 0.5f;
  t.layer.bias[5] = 10;
  network_convolve(&t.out, &t.layer, &t.in, NETWORK_CUT, 0, 4);
  assert_int_equal(network_cell(&t.out, 1, 1)[5], 36); /* (63 + 10) / 2 */
  assert_int_equal(network_cell(&t.out, 0, 0)[5], 19); /* (28 + 10) / 2 */
  assert_int_equal(network_cell(&t.out, 3, 1)[5], 26); /* (42 + 10) / 2 */
  clear_trial(&t);
}

/* ---- the whole, and its weights ---- */

static uint8_t *weights(size_t *size) {
  FILE *in = fopen(BC_ASSETS "/model/guess.bin", "rb");
  assert_non_null(in);
  fseek(in, 0, SEEK_END);
  *size = (size_t)ftell(in);
  rewind(in);
  uint8_t *bytes = malloc(*size);
  assert_non_null(bytes);
  assert_int_equal(fread(bytes, 1, *size, in), *size);
  fclose(in);
  return bytes;
}

static void test_weights_are_small(void **fixture) {
  (void)fixture;
  size_t size;
  free(weights(&size));
  assert_true(size <= 2000000);
}

/* Log odds of a made picture of 64 x 64, by PyTorch's convolutions over the same whole numbers. */
static void test_same_as_reference(void **fixture) {
  (void)fixture;
  const network *net;
  enum { side = 64 };
  uint8_t *picture = malloc(3 * side * side);
  float *odds = malloc(sizeof(float) * side * side);
  assert_true(picture && odds);
  for (int i = 0; i < side * side; i++) {
    const int x = i % side, y = i / side, inside = (x - 30) * (x - 30) + (y - 36) * (y - 36) < 300;
    picture[3 * i] = (uint8_t)(inside ? 70 + (x * 7 + y * 3) % 23 : 190 + (x * 5 + y * 11) % 17);
    picture[3 * i + 1] = (uint8_t)(inside ? 150 : 127);
    picture[3 * i + 2] = (uint8_t)(inside ? 110 + y % 5 : 133);
  }
  assert_int_equal(network_ours(&net, context), BC_OK);
  assert_int_equal(network_run(odds, context, net, picture, side), BC_OK);
  static const struct {
    int x, y;
    float odds;
  } wanted[] = {{0, 0, -4.076171875f},   {63, 0, -4.812500000f},  {30, 36, -4.462890625f}, {20, 30, -3.958984375f},
                {13, 36, -3.761718750f}, {47, 36, -3.621093750f}, {30, 53, -2.419921875f}, {31, 18, -3.923828125f},
                {5, 60, -5.125000000f},  {63, 63, -4.542968750f}};
  for (size_t k = 0; k < sizeof wanted / sizeof wanted[0]; k++)
    assert_true(odds[wanted[k].y * side + wanted[k].x] == wanted[k].odds);
  free(picture);
  free(odds);
}

static void refuse(const uint8_t *bytes, size_t size) {
  network *net = NULL;
  assert_int_equal(network_read(&net, context, bytes, size), BC_BAD_DATA);
  assert_null(net);
  assert_non_null(strstr(bc_context_message(context), "damaged"));
}

static void test_damage_is_told(void **fixture) {
  (void)fixture;
  size_t size;
  uint8_t *bytes = weights(&size);
  network *net = NULL;
  assert_int_equal(network_read(&net, context, bytes, size), BC_OK);
  network_free(net);
  refuse(bytes, size - 1);
  refuse(bytes, 0);
  refuse(bytes, 11);
  bytes[size / 2] ^= 1;
  refuse(bytes, size);
  bytes[size / 2] ^= 1;
  bytes[8] ^= 8; /* another width */
  refuse(bytes, size);
  free(bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_layers_are_plain_sums), cmocka_unit_test(test_by_hand),
      cmocka_unit_test(test_weights_are_small),     cmocka_unit_test(test_same_as_reference),
      cmocka_unit_test(test_damage_is_told),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
