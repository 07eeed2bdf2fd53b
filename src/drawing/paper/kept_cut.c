/* SPDX-License-Identifier: MIT */
/* Cut-outs in the store, ready to be drawn: six numbers, then of each row where it begins and ends, and the pixels
 * between, every figure exact. In: study, the context's store. Out: drawing_cut. */
#include "paper.h"

#include "base/kept/kept.h"
#include <stdlib.h>
#include <string.h>

#define KIND "cut"
#define SIDE_MOST 65536

typedef struct head {
  int32_t width, height, x, y, wide, high;
} head;

typedef struct span {
  int32_t first, end;
} span;

/* To the bit: what is left out comes back as zero. */
static bool is_empty(const drawing_v4 *pixel) {
  uint32_t bits[4];
  memcpy(bits, pixel, sizeof bits);
  return (bits[0] | bits[1] | bits[2] | bits[3]) == 0;
}

static span span_of(const drawing_cut *cut, int y) {
  const drawing_v4 *row = cut->pixels + (size_t)y * (size_t)cut->width;
  span s = {0, cut->width};
  while (s.end > 0 && is_empty(&row[s.end - 1])) s.end--;
  while (s.first < s.end && is_empty(&row[s.first])) s.first++;
  return s;
}

static void pack(bc_buffer *out, const drawing_cut *cut) {
  const head facts = {cut->width, cut->height, cut->box.x, cut->box.y, cut->box.width, cut->box.height};
  bc_buffer_add_bytes(out, &facts, sizeof facts);
  for (int y = 0; y < cut->height; y++) {
    const span s = span_of(cut, y);
    bc_buffer_add_bytes(out, &s, sizeof s);
    bc_buffer_add_bytes(out, cut->pixels + (size_t)y * (size_t)cut->width + s.first,
                        (size_t)(s.end - s.first) * sizeof *cut->pixels);
  }
}

static bool take(void *into, size_t size, const kept_block *from, size_t *at) {
  if (from->size - *at < size) return false;
  memcpy(into, from->bytes + *at, size);
  *at += size;
  return true;
}

static bool unpack(drawing_cut *out, const kept_block *from) {
  head facts;
  size_t at = 0;
  if (!take(&facts, sizeof facts, from, &at) || facts.width < 1 || facts.height < 1 || facts.width > SIDE_MOST ||
      facts.height > SIDE_MOST)
    return false;
  *out = (drawing_cut){facts.width, facts.height, NULL, {facts.x, facts.y, facts.wide, facts.high}, 0};
  out->pixels = bc_allocate((size_t)facts.width * (size_t)facts.height, sizeof *out->pixels);
  bool good = out->pixels != NULL;
  for (int y = 0; good && y < facts.height; y++) {
    span s;
    good = take(&s, sizeof s, from, &at) && s.first >= 0 && s.first <= s.end && s.end <= facts.width &&
           take(out->pixels + (size_t)y * (size_t)facts.width + s.first,
                (size_t)(s.end - s.first) * sizeof *out->pixels, from, &at);
  }
  if (!good) drawing_cut_clear(out);
  return good;
}

static bool recall(drawing_cut *out, bc_context *context, const bc_study *study) {
  kept_block block;
  const char *key = bc_study_cut_key(study);
  if (!key || !kept_get(&block, context, key, KIND)) return false;
  const bool good = unpack(out, &block);
  if (good) out->see_through = (float)study->see_through;
  kept_block_clear(&block);
  return good;
}

bc_status drawing_cut_make(drawing_cut *out, bc_context *context, const bc_study *study) {
  *out = (drawing_cut){0};
  if (recall(out, context, study)) return BC_OK;
  bc_study *loaded;
  bc_status status = bc_study_loaded(&loaded, context, study);
  if (status == BC_OK) status = drawing_cut_of_pixels(out, context, loaded ? loaded : study);
  bc_study_free(loaded);
  return status;
}

bc_status bc_drawing_keep_cut(bc_context *context, const bc_study *study) {
  drawing_cut cut;
  bc_buffer bytes = {0};
  const char *key = bc_study_cut_key(study);
  if (!key || !bc_context_store(context) || kept_has(context, key, KIND)) return BC_OK;
  const bc_status status = drawing_cut_make(&cut, context, study);
  if (status != BC_OK) return status;
  pack(&bytes, &cut);
  if (!bytes.failed) (void)kept_put(context, key, KIND, bytes.text, bytes.length);
  bc_buffer_clear(&bytes);
  drawing_cut_clear(&cut);
  return BC_OK;
}
