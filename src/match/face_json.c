/* SPDX-License-Identifier: MIT */
/* A reading cut down to what the figures on a plain cloth need, for a page that judges cloths by itself.
 * In: bc_reading. Out: JSON that assets/page/contrast.js decodes; docs/method/match.md describes it. */
#include "match_internal.h"

#include "base/base64.h"
#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

/* Little-endian whatever the machine, so that figures travel without being rounded. */
static void put(unsigned char *to, uint64_t bits, size_t bytes) {
  for (size_t i = 0; i < bytes; i++) to[i] = (unsigned char)(bits >> (8 * i));
}

#define HEAD 7  /* see_through, number of body and of rim patches, mean L a b Y */
#define PATCH 5 /* L a b Y share */
#define FIGURES (HEAD + PATCH * (BC_READING_COLOURS + MATCH_RIM_PATCHES))

static size_t put_patches(double *to, const match_patch *patches, size_t count) {
  for (size_t i = 0; i < count; i++, to += PATCH) {
    const bc_colour *c = &patches[i].colour;
    const double row[PATCH] = {c->lab.L, c->lab.a, c->lab.b, c->luminance, patches[i].share};
    memcpy(to, row, sizeof row);
  }
  return PATCH * count;
}

static json_t *figures(const match_prepared *piece) {
  const bc_colour *mean = &piece->mean;
  double all[FIGURES] = {piece->see_through,
                         (double)piece->body_patches,
                         (double)piece->rim_patches,
                         mean->lab.L,
                         mean->lab.a,
                         mean->lab.b,
                         mean->luminance};
  size_t count = HEAD;
  count += put_patches(all + count, piece->body, piece->body_patches);
  count += put_patches(all + count, piece->rim, piece->rim_patches);
  unsigned char bytes[8 * FIGURES];
  char text[(sizeof bytes + 2) / 3 * 4 + 1];
  for (size_t i = 0; i < count; i++) {
    uint64_t bits;
    memcpy(&bits, &all[i], sizeof bits);
    put(bytes + 8 * i, bits, 8);
  }
  base_base64(text, bytes, 8 * count);
  return json_string(text);
}

/* The rim's luminances are floats in the reading, so nothing is lost by writing them so. */
static json_t *rim(const match_prepared *piece) {
  unsigned char bytes[4 * BC_READING_RIM];
  char text[(sizeof bytes + 2) / 3 * 4 + 1];
  for (size_t i = 0; i < piece->rim_count; i++) {
    const float luminance = (float)piece->rim_luminance[i];
    uint32_t bits;
    memcpy(&bits, &luminance, sizeof bits);
    put(bytes + 4 * i, bits, 4);
  }
  base_base64(text, bytes, 4 * piece->rim_count);
  return json_string(text);
}

bc_status bc_match_face_json(char **out, bc_context *context, const bc_reading *reading) {
  match_prepared *piece = malloc(sizeof *piece);
  *out = NULL;
  if (!piece) return bc_fail_memory(context);
  match_prepare(piece, reading);
  json_t *face = json_pack("{s:o,s:o}", "figures", figures(piece), "rim", rim(piece));
  free(piece);
  *out = face ? json_dumps(face, JSON_COMPACT) : NULL;
  json_decref(face);
  return *out ? BC_OK : bc_fail_memory(context);
}
