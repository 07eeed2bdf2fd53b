/* SPDX-License-Identifier: MIT */
/* The network from the bytes that its training wrote. */
#include "network.h"

#include "base/base.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

static const char magic[] = "BCGUESS1";

typedef struct reader {
  const uint8_t *at, *end;
} reader;

static uint32_t word_at(const uint8_t *at) {
  return (uint32_t)at[0] | (uint32_t)at[1] << 8 | (uint32_t)at[2] << 16 | (uint32_t)at[3] << 24;
}

static bool take_word(reader *from, uint32_t *word) {
  if (from->end - from->at < 4) return false;
  *word = word_at(from->at);
  from->at += 4;
  return true;
}

/* ---- the shape ---- */

typedef struct shaping {
  network *net;
  int count;
} shaping;

static void shape(shaping *s, int inputs, int outputs, int size, int stride, bool each) {
  s->net->layer[s->count++] =
      (network_layer){.outputs = outputs, .inputs = inputs, .size = size, .stride = stride, .each = each};
}

static void shape_block(shaping *s, int wide) {
  shape(s, wide, 2 * wide, 1, 1, false);
  shape(s, 2 * wide, 2 * wide, 5, 1, true);
  shape(s, 2 * wide, wide, 1, 1, false);
}

/* In the order of network_run(). */
static void shape_all(network *net) {
  const int *w = net->widths;
  shaping s = {.net = net};
  shape(&s, 12, w[0], 3, 1, false);
  shape(&s, w[0], w[0], 3, 1, false);
  shape(&s, w[0], w[1], 3, 2, false);
  shape(&s, w[1], w[1], 3, 1, false);
  shape(&s, w[1], w[2], 3, 2, false);
  for (int k = 0; k < 2; k++) shape_block(&s, w[2]);
  shape(&s, w[2], w[3], 3, 2, false);
  for (int k = 0; k < 2; k++) shape_block(&s, w[3]);
  shape(&s, w[3], w[3], 1, 1, false);
  shape_block(&s, w[3]);
  shape(&s, w[3], w[4], 3, 2, false);
  shape_block(&s, w[4]);
  shape(&s, w[4], w[4], 1, 1, false);
  shape_block(&s, w[4]);
  shape(&s, w[4], w[3], 1, 1, false);
  shape(&s, w[3], w[3], 1, 1, false);
  shape_block(&s, w[3]);
  shape(&s, w[3], w[2], 1, 1, false);
  shape_block(&s, w[2]);
  for (int k = 1; k >= 0; k--) {
    shape(&s, w[k + 1], w[k], 1, 1, false);
    shape(&s, w[k], w[k], 3, 1, false);
  }
  shape(&s, w[0], 4, 3, 1, false);
}

/* ---- a layer ---- */

static bool is_as_shaped(reader *from, const network_layer *layer) {
  const uint32_t wanted[5] = {(uint32_t)layer->outputs, layer->each ? 1 : (uint32_t)layer->inputs,
                              (uint32_t)layer->size, (uint32_t)layer->stride, layer->each};
  for (int k = 0; k < 5; k++) {
    uint32_t word;
    if (!take_word(from, &word) || word != wanted[k]) return false;
  }
  return true;
}

/* Where a weight of the file, by output, place and input, is wanted by the kernel. */
static size_t place_of(const network_layer *layer, int output, int place, int input) {
  if (layer->each) return (size_t)place * (size_t)layer->outputs + (size_t)output;
  const size_t octet = (size_t)(output / NETWORK_TOGETHER), places = (size_t)layer->size * (size_t)layer->size;
  const size_t pair = (octet * places + (size_t)place) * (size_t)(layer->inputs / 2) + (size_t)(input / 2);
  return (pair * NETWORK_TOGETHER + (size_t)(output % NETWORK_TOGETHER)) * 2 + (size_t)(input & 1);
}

static bool allocate(network_layer *layer, size_t filled_up) {
  const size_t of_each = (size_t)(layer->size * layer->size) * (layer->each ? 1 : (size_t)layer->inputs);
  layer->weight = bc_allocate(filled_up * of_each, sizeof *layer->weight);
  layer->scale = bc_allocate(filled_up, sizeof *layer->scale);
  layer->bias = bc_allocate(filled_up, sizeof *layer->bias);
  return layer->weight && layer->scale && layer->bias;
}

/* 1: read; 0: other than it should be; -1: no memory. */
static int read_layer(reader *from, network_layer *layer) {
  if (!is_as_shaped(from, layer)) return 0;
  const int outputs = layer->outputs, inputs = layer->each ? 1 : layer->inputs, places = layer->size * layer->size;
  const size_t left = (size_t)(from->end - from->at), weights = (size_t)outputs * (size_t)inputs * (size_t)places;
  if (left < weights + 8 * (size_t)outputs) return 0;
  layer->outputs = (outputs + NETWORK_TOGETHER - 1) / NETWORK_TOGETHER * NETWORK_TOGETHER;
  if (!allocate(layer, (size_t)layer->outputs)) return -1;
  for (int o = 0; o < outputs; o++) {
    const uint32_t scale = word_at(from->at + (ptrdiff_t)(4 * o)),
                   bias = word_at(from->at + (ptrdiff_t)(4 * (outputs + o)));
    memcpy(&layer->scale[o], &scale, sizeof scale);
    memcpy(&layer->bias[o], &bias, sizeof bias);
    if (!(layer->scale[o] > 0 && layer->scale[o] < 1e3f) || bias == 0x80000000u) return 0;
    if (layer->bias[o] > 1 << 30 || layer->bias[o] < -(1 << 30)) return 0;
  }
  from->at += (ptrdiff_t)(8 * outputs);
  for (int o = 0; o < outputs; o++)
    for (int place = 0; place < places; place++)
      for (int i = 0; i < inputs; i++) // NOLINTNEXTLINE(bugprone-signed-char-misuse): an octet of the file has a sign
        layer->weight[place_of(layer, o, place, i)] = (int8_t)*from->at++;
  return 1;
}

/* ---- the whole ---- */

static bool take_widths(reader *from, network *net) {
  uint32_t word;
  for (int k = 0; k < NETWORK_STAGES; k++) {
    if (!take_word(from, &word) || word < NETWORK_TOGETHER || word > 512 || word % NETWORK_TOGETHER) return false;
    net->widths[k] = (int)word;
  }
  return take_word(from, &word) && word == NETWORK_LAYERS;
}

static int read_all(reader *from, network *net) {
  if (!take_widths(from, net)) return 0;
  shape_all(net);
  for (int k = 0; k < NETWORK_LAYERS; k++) {
    const int done = read_layer(from, &net->layer[k]);
    if (done != 1) return done;
  }
  return from->at == from->end;
}

bc_status network_read(network **out, bc_context *context, const uint8_t *bytes, size_t size) {
  const size_t title = sizeof magic - 1;
  *out = NULL;
  const bool whole = size > title + 4 && memcmp(bytes, magic, title) == 0 &&
                     crc32(crc32(0, NULL, 0), bytes, (uInt)(size - 4)) == word_at(bytes + size - 4);
  network *net = bc_allocate(1, sizeof *net);
  if (!net) return bc_fail_memory(context);
  reader from = {bytes + (whole ? title : 0), bytes + (whole ? size - 4 : 0)};
  const int done = whole ? read_all(&from, net) : 0;
  if (done == 1) {
    *out = net;
    return BC_OK;
  }
  network_free(net);
  if (done < 0) return bc_fail_memory(context);
  return bc_fail(
      context, BC_BAD_DATA,
      _("The weights of the network that finds pieces are damaged or from another version. Install backcloth "
        "again, or build it again."));
}

void network_free(network *net) {
  if (!net) return;
  for (int k = 0; k < NETWORK_LAYERS; k++) {
    free(net->layer[k].weight);
    free(net->layer[k].scale);
    free(net->layer[k].bias);
  }
  free(net);
}
