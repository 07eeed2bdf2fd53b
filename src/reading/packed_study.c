/* SPDX-License-Identifier: MIT */
/* Studies as bytes: COUNT, then of each study how long it is, its facts and its mask.
 * In: bc_study. Out: bytes, and the same study without pixels. Masks are deflated (zlib). */
#include "packed_study.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

#define PARTS_MOST 4096u
#define TEXT_MOST 65536u
#define NOTES_MOST 256u

typedef struct source {
  const uint8_t *bytes;
  size_t size, at;
  bool broken;
} source;

static void take(source *from, void *into, size_t size) {
  if (from->broken || from->size - from->at < size) {
    from->broken = true;
    memset(into, 0, size);
    return;
  }
  memcpy(into, from->bytes + from->at, size);
  from->at += size;
}

static uint32_t take_number(source *from, uint32_t most) {
  uint32_t number;
  take(from, &number, sizeof number);
  if (number > most) from->broken = true;
  return from->broken ? 0 : number;
}

static void put_text(bc_buffer *out, const char *text) {
  const uint32_t length = text ? (uint32_t)strlen(text) : 0;
  if (length > TEXT_MOST) out->failed = true;
  bc_buffer_add_bytes(out, &length, sizeof length);
  bc_buffer_add_bytes(out, text ? text : "", length);
}

static char *take_text(source *from) {
  const uint32_t length = take_number(from, TEXT_MOST);
  char *text = from->broken ? NULL : bc_allocate((size_t)length + 1, 1);
  if (text) take(from, text, length);
  if (!text) from->broken = true;
  return text;
}

static void put_notes(bc_buffer *out, const bc_notes *notes) {
  const uint32_t count = (uint32_t)notes->count;
  if (notes->count > NOTES_MOST) out->failed = true;
  bc_buffer_add_bytes(out, &count, sizeof count);
  for (uint32_t i = 0; !out->failed && i < count; i++) put_text(out, notes->text[i]);
}

static bc_notes take_notes(source *from, bc_context *context) {
  bc_notes notes = {0};
  const uint32_t count = take_number(from, NOTES_MOST);
  for (uint32_t i = 0; !from->broken && i < count; i++) {
    char *text = take_text(from);
    if (!text || bc_note(&notes, context, "%s", text) != BC_OK) from->broken = true;
    free(text);
  }
  return notes;
}

/* --- the three parts of a study --- */

static void put_image(bc_buffer *out, const bc_image *image) {
  bc_image plain = *image;
  plain.L = plain.a = plain.b = plain.Y = NULL;
  plain.alpha = NULL;
  plain.profile = NULL;
  plain.notes = (bc_notes){0};
  bc_buffer_add_bytes(out, &plain, sizeof plain);
  put_text(out, image->profile);
  put_notes(out, &image->notes);
}

static bc_image *take_image(source *from, bc_context *context) {
  bc_image *image = bc_allocate(1, sizeof *image);
  if (!image) return NULL;
  take(from, image, sizeof *image);
  image->profile = take_text(from);
  image->notes = take_notes(from, context);
  if (image->width < 1 || image->height < 1 || image->L || image->alpha) from->broken = true;
  return image;
}

static void put_reading(bc_buffer *out, const bc_reading *reading) {
  bc_reading plain = *reading;
  plain.photo = plain.profile = NULL;
  plain.rim = NULL;
  plain.notes = (bc_notes){0};
  bc_buffer_add_bytes(out, &plain, sizeof plain);
  put_text(out, reading->profile);
  bc_buffer_add_bytes(out, reading->rim, reading->rim_count * sizeof *reading->rim);
  put_notes(out, &reading->notes);
}

static bc_reading *take_reading(source *from, bc_context *context) {
  bc_reading *reading = bc_allocate(1, sizeof *reading);
  if (!reading) return NULL;
  take(from, reading, sizeof *reading);
  if (reading->rim || reading->rim_count > BC_READING_RIM || reading->colour_count > BC_READING_COLOURS) {
    from->broken = true;
    *reading = (bc_reading){0};
  }
  reading->profile = take_text(from);
  reading->rim = bc_allocate(reading->rim_count, sizeof *reading->rim);
  if (!reading->rim) from->broken = true;
  if (reading->rim) take(from, reading->rim, reading->rim_count * sizeof *reading->rim);
  reading->notes = take_notes(from, context);
  return reading;
}

static void put_cutout(bc_buffer *out, const bc_cutout *cutout) {
  bc_cutout plain = *cutout;
  plain.alpha = NULL;
  plain.notes = (bc_notes){0};
  bc_buffer_add_bytes(out, &plain, sizeof plain);
  put_notes(out, &cutout->notes);
}

static bc_cutout *take_cutout(source *from, bc_context *context) {
  bc_cutout *cutout = bc_allocate(1, sizeof *cutout);
  if (!cutout) return NULL;
  take(from, cutout, sizeof *cutout);
  cutout->notes = take_notes(from, context);
  if (cutout->width < 1 || cutout->height < 1 || cutout->alpha) from->broken = true;
  return cutout;
}

static void put_mask(bc_buffer *out, const bc_cutout *cutout) {
  if (!cutout->alpha) return;
  const uLong pixels = (uLong)cutout->width * (uLong)cutout->height;
  uLongf size = compressBound(pixels);
  Bytef *small = bc_reallocate(NULL, size, 1);
  if (small && compress2(small, &size, cutout->alpha, pixels, 1) == Z_OK)
    bc_buffer_add_bytes(out, small, size);
  else
    out->failed = true;
  free(small);
}

/* --- studies --- */

/* LENGTH of all that follows, LENGTH of the facts, facts, mask. */
static void put_study(bc_buffer *out, const bc_study *study) {
  bc_buffer facts = {0}, mask = {0};
  put_image(&facts, study->image);
  put_reading(&facts, study->reading);
  put_cutout(&facts, study->cutout);
  put_mask(&mask, study->cutout);
  const uint64_t lengths[2] = {sizeof(uint64_t) + facts.length + mask.length, facts.length};
  const bool same_size = study->image->width == study->cutout->width && study->image->height == study->cutout->height;
  if (facts.failed || mask.failed || !same_size) out->failed = true;
  bc_buffer_add_bytes(out, lengths, sizeof lengths);
  bc_buffer_add_bytes(out, facts.text, facts.length);
  bc_buffer_add_bytes(out, mask.text, mask.length);
  bc_buffer_clear(&facts);
  bc_buffer_clear(&mask);
}

void reading_pack_studies(bc_buffer *out, bc_study *const *studies, size_t count) {
  const uint32_t number = (uint32_t)count;
  if (count < 1 || count > PARTS_MOST) out->failed = true;
  bc_buffer_add_bytes(out, &number, sizeof number);
  for (size_t i = 0; !out->failed && i < count; i++) put_study(out, studies[i]);
}

/* The next study's bytes, with the length of its facts before them. */
static source next_study(source *from) {
  uint64_t length = 0;
  take(from, &length, sizeof length);
  if (from->broken || length < sizeof(uint64_t) || length > from->size - from->at) from->broken = true;
  const source study = {from->bytes + from->at, from->broken ? 0 : (size_t)length, 0, from->broken};
  if (!from->broken) from->at += (size_t)length;
  return study;
}

static bc_study *take_study(source *from, bc_context *context) {
  bc_study *study = bc_allocate(1, sizeof *study);
  uint64_t facts;
  if (!study) return NULL;
  take(from, &facts, sizeof facts);
  if (!from->broken) study->image = take_image(from, context);
  if (!from->broken) study->reading = take_reading(from, context);
  if (!from->broken) study->cutout = take_cutout(from, context);
  if (!from->broken && study->image && study->reading && study->cutout) return study;
  bc_study_free(study);
  return NULL;
}

bool reading_unpack_studies(bc_study ***out, size_t *count, bc_context *context, const uint8_t *bytes, size_t size) {
  source from = {bytes, size, 0, false};
  const uint32_t number = take_number(&from, PARTS_MOST);
  bc_study **list = bc_allocate(number, sizeof *list);
  bool good = list && number > 0;
  for (uint32_t i = 0; good && i < number; i++) {
    source study = next_study(&from);
    list[i] = study.broken ? NULL : take_study(&study, context);
    good = list[i] != NULL;
  }
  if (good) {
    *out = list;
    *count = number;
    return true;
  }
  for (uint32_t i = 0; list && i < number; i++) bc_study_free(list[i]);
  free(list);
  return false;
}

uint8_t *reading_unpack_mask(const uint8_t *bytes, size_t size, size_t part) {
  source from = {bytes, size, 0, false};
  const uint32_t number = take_number(&from, PARTS_MOST);
  source study = {.broken = true};
  for (size_t i = 0; i <= part && part < number && !from.broken; i++) study = next_study(&from);
  uint64_t facts = 0;
  bc_image image;
  take(&study, &facts, sizeof facts);
  const size_t start = study.at;
  take(&study, &image, sizeof image);
  if (study.broken || facts > study.size - start || image.width < 1 || image.height < 1) return NULL;
  uLongf pixels = (uLongf)image.width * (uLongf)image.height;
  const uLongf wanted = pixels;
  uint8_t *mask = bc_reallocate(NULL, pixels, 1);
  const size_t at = start + (size_t)facts;
  if (mask && uncompress(mask, &pixels, study.bytes + at, study.size - at) == Z_OK && pixels == wanted) return mask;
  free(mask);
  return NULL;
}
