/* SPDX-License-Identifier: MIT */
/* What is doubtful about a mask, as a text in its PNG: "read --mask-out" doubts, and so does "match --masks" that reads
 * it. The text holds a sum of all bytes before it: a mask that was painted over has another, and counts as a person's
 * word. Source of the chunks: Portable Network Graphics (W3C, Third Edition), 5.3 and 11.3.3. */
#include "mask_doubt.h"
#include "base/base.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define KEYWORD "Backcloth-Doubt"
#define MOST_TEXT 16384 /* eight stretches with 24 dots are 2,500 characters */
#define HEAD 8          /* bytes of length and type before a chunk's data; the check sum behind it has four */

uint64_t cutout_sum(uint64_t sum, const void *bytes, size_t size) {
  const uint8_t *byte = bytes;
  for (size_t i = 0; i < size; i++) sum = (sum ^ byte[i]) * UINT64_C(1099511628211);
  return sum;
}

/* ---- writing ---- */

static void add_stretch(bc_buffer *text, const bc_cutout_stretch *stretch) {
  bc_buffer_add(text, " %d %d %d %d %ld %d", stretch->box.x, stretch->box.y, stretch->box.width, stretch->box.height,
                (long)(1e6 * stretch->share), stretch->dot_count);
  for (int i = 0; i < stretch->dot_count; i++) bc_buffer_add(text, " %d %d", stretch->dots[i].x, stretch->dots[i].y);
}

/* Whole numbers only, shares in millionths, so that no locale changes them. */
bc_status cutout_doubt_text(char **out, size_t *size, bc_context *context, const bc_cutout *cutout, uint64_t sum) {
  const bc_cutout_doubts *doubts = &cutout->doubts;
  bc_buffer text = {0};
  bc_buffer_add_bytes(&text, KEYWORD, sizeof KEYWORD); /* with its NUL */
  bc_buffer_add(&text, "1 %08lx%08lx %ld %d %d %d %d %ld %d", (unsigned long)(sum >> 32),
                (unsigned long)(sum & 0xffffffffu), (long)(1e6 * cutout->confidence), doubts->has_tap, doubts->tap.x,
                doubts->tap.y, doubts->tap_is_piece, (long)(1e6 * doubts->tap_share), doubts->stretch_count);
  for (int i = 0; i < doubts->stretch_count; i++) add_stretch(&text, &doubts->stretch[i]);
  *size = text.length;
  return bc_buffer_finish(&text, out, context);
}

/* ---- reading ---- */

typedef struct numbers {
  const char *at;
  bool broken;
} numbers;

static long next(numbers *from, long least, long most) {
  char *end = NULL;
  const long value = strtol(from->at, &end, 10);
  if (end == from->at || value < least || value > most) from->broken = true;
  from->at = end;
  return from->broken ? least : value;
}

enum { FAR = 1 << 30 };

static bc_cutout_stretch next_stretch(numbers *from) {
  bc_cutout_stretch s = {0};
  s.box = (bc_box){(int)next(from, 0, FAR), (int)next(from, 0, FAR), (int)next(from, 0, FAR), (int)next(from, 0, FAR)};
  s.share = (double)next(from, 0, 1000000) / 1e6;
  s.dot_count = (int)next(from, 0, BC_CUTOUT_DOTS);
  for (int i = 0; i < s.dot_count; i++) s.dots[i] = (bc_point_px){(int)next(from, 0, FAR), (int)next(from, 0, FAR)};
  return s;
}

static void take_text(bc_cutout *cutout, const char *text, uint64_t sum) {
  unsigned long high = 0, low = 0;
  int used = 0;
  if (sscanf(text, "1 %8lx%8lx%n", &high, &low, &used) != 2 || ((uint64_t)high << 32 | (uint64_t)low) != sum) return;
  numbers from = {text + used, false};
  bc_cutout_doubts doubts = {0};
  const double confidence = (double)next(&from, 0, 1000000) / 1e6;
  doubts.has_tap = next(&from, 0, 1) == 1;
  doubts.tap = (bc_point_px){(int)next(&from, 0, FAR), (int)next(&from, 0, FAR)};
  doubts.tap_is_piece = next(&from, 0, 1) == 1;
  doubts.tap_share = (double)next(&from, 0, FAR) / 1e6;
  doubts.stretch_count = (int)next(&from, 0, BC_CUTOUT_STRETCHES);
  for (int i = 0; i < doubts.stretch_count; i++) doubts.stretch[i] = next_stretch(&from);
  if (from.broken) return;
  cutout->confidence = confidence;
  cutout->doubts = doubts;
}

/* Adds `size` bytes of the file to the sum; false at its end. */
static bool sum_bytes(uint64_t *sum, FILE *file, uint64_t size) {
  uint8_t block[16384];
  while (size > 0) {
    const size_t part = size < sizeof block ? (size_t)size : sizeof block, got = fread(block, 1, part, file);
    if (!got) return false;
    *sum = cutout_sum(*sum, block, got);
    size -= got;
  }
  return true;
}

static void take_chunk(bc_cutout *cutout, FILE *file, size_t size, uint64_t sum) {
  char *data = bc_allocate(size + 1, 1);
  if (data && fread(data, 1, size, file) == size && size > sizeof KEYWORD && memcmp(data, KEYWORD, sizeof KEYWORD) == 0)
    take_text(cutout, data + sizeof KEYWORD, sum);
  free(data);
}

/* Chunk by chunk to the text; anything that isn't as we write it has none of ours. */
static void scan(bc_cutout *cutout, FILE *file) {
  uint64_t sum = CUTOUT_SUM_START;
  uint8_t head[HEAD];
  if (!sum_bytes(&sum, file, 8)) return; /* the signature */
  while (fread(head, 1, HEAD, file) == HEAD) {
    const uint64_t size = (uint64_t)head[0] << 24 | (uint64_t)head[1] << 16 | (uint64_t)head[2] << 8 | head[3];
    if (memcmp(head + 4, "tEXt", 4) == 0) {
      if (size <= MOST_TEXT) take_chunk(cutout, file, (size_t)size, sum);
      return;
    }
    sum = cutout_sum(sum, head, HEAD);
    if (!sum_bytes(&sum, file, size + 4)) return;
  }
}

void cutout_doubt_read(bc_cutout *cutout, const char *path) {
  FILE *file = fopen(path, "rbe");
  if (!file) return; /* standard input, or gone: its pixels have been read */
  scan(cutout, file);
  (void)fclose(file);
}
