/* SPDX-License-Identifier: MIT */
/* Readings and studies as bytes, every figure exact, so that a stored reading gives the figures that the
 * photo gave. Unpacking checks every size: the bytes come from a process that a photo may have taken over. */
#include "jobs.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

#define FORMAT 1u
#define TEXT_MOST 4096u
#define NOTES_MOST 64u
#define SIDE_MOST 4096

typedef struct from {
  const uint8_t *bytes;
  size_t size, at;
  bool broken;
} from;

static void take(from *source, void *into, size_t size) {
  if (source->broken || source->size - source->at < size) {
    source->broken = true;
    memset(into, 0, size);
    return;
  }
  memcpy(into, source->bytes + source->at, size);
  source->at += size;
}

static void put_text(bc_buffer *buffer, const char *text) {
  const uint32_t length = text ? (uint32_t)strnlen(text, TEXT_MOST) : 0;
  bc_buffer_add_bytes(buffer, &length, sizeof length);
  bc_buffer_add_bytes(buffer, text ? text : "", length);
}

static char *take_text(from *source) {
  uint32_t length;
  take(source, &length, sizeof length);
  if (length > TEXT_MOST) source->broken = true;
  char *text = source->broken ? NULL : bc_allocate((size_t)length + 1, 1);
  if (text) take(source, text, length);
  if (!text) source->broken = true;
  return text;
}

static void put_notes(bc_buffer *buffer, const bc_notes *notes) {
  const uint32_t count = notes->count < NOTES_MOST ? (uint32_t)notes->count : NOTES_MOST;
  bc_buffer_add_bytes(buffer, &count, sizeof count);
  for (uint32_t i = 0; i < count; i++) put_text(buffer, notes->text[i]);
}

static void take_notes(from *source, bc_notes *notes, bc_context *context) {
  uint32_t count;
  take(source, &count, sizeof count);
  if (count > NOTES_MOST) source->broken = true;
  for (uint32_t i = 0; !source->broken && i < count; i++) {
    char *text = take_text(source);
    if (text && bc_note(notes, context, "%s", text) != BC_OK) source->broken = true;
    free(text);
  }
}

/* What has no pointer goes as it lies in memory: server and workers are one program. */
static bc_reading without_pointers(const bc_reading *reading) {
  bc_reading plain = *reading;
  plain.photo = plain.profile = NULL;
  plain.rim = NULL;
  plain.notes = (bc_notes){0};
  return plain;
}

static void put_reading(bc_buffer *buffer, const bc_reading *reading) {
  const uint32_t head[2] = {FORMAT, sizeof(bc_reading)};
  const bc_reading plain = without_pointers(reading);
  bc_buffer_add_bytes(buffer, head, sizeof head);
  bc_buffer_add_bytes(buffer, &plain, sizeof plain);
  put_text(buffer, reading->photo);
  put_text(buffer, reading->profile);
  bc_buffer_add_bytes(buffer, reading->rim, reading->rim_count * sizeof *reading->rim);
  put_notes(buffer, &reading->notes);
}

static bc_status finish(bc_apart_part *out, bc_context *context, bc_buffer *buffer) {
  out->size = buffer->length;
  char *text = NULL;
  const bc_status status = bc_buffer_finish(buffer, &text, context);
  out->bytes = (uint8_t *)text;
  return status;
}

bc_status web_reading_pack(bc_apart_part *out, bc_context *context, const bc_reading *reading) {
  bc_buffer buffer = {0};
  put_reading(&buffer, reading);
  return finish(out, context, &buffer);
}

static bool sensible(const bc_reading *reading) {
  bool fine = reading->colour_count <= BC_READING_COLOURS && reading->rim_count <= BC_READING_RIM;
  for (size_t i = 0; fine && i < BC_READING_COLOURS; i++)
    fine = memchr(reading->colours[i].css, 0, sizeof reading->colours[i].css) &&
           memchr(reading->colours[i].name, 0, sizeof reading->colours[i].name);
  return fine;
}

static bc_reading *take_reading(from *source, bc_context *context) {
  uint32_t head[2];
  take(source, head, sizeof head);
  bc_reading *reading = bc_allocate(1, sizeof *reading);
  if (!reading || source->broken || head[0] != FORMAT || head[1] != sizeof *reading) source->broken = true;
  if (!reading) return NULL;
  take(source, reading, sizeof *reading);
  *reading = without_pointers(reading);
  if (!sensible(reading)) {
    source->broken = true;
    reading->rim_count = reading->colour_count = 0;
  }
  reading->photo = take_text(source);
  reading->profile = take_text(source);
  reading->rim = bc_allocate(reading->rim_count, sizeof *reading->rim);
  if (!reading->rim) source->broken = true;
  if (!source->broken) take(source, reading->rim, reading->rim_count * sizeof *reading->rim);
  take_notes(source, &reading->notes, context);
  return reading;
}

bc_status web_reading_unpack(bc_reading **out, bc_context *context, const void *bytes, size_t size, size_t *used) {
  from source = {bytes, size, 0, false};
  *out = take_reading(&source, context);
  if (used) *used = source.at;
  if (*out && !source.broken) return BC_OK;
  bc_reading_free(*out);
  *out = NULL;
  return bc_fail(context, BC_OUR_FAULT, _("A stored reading cannot be used. Correct the photo's cut-out once."));
}

static void put_planes(bc_buffer *buffer, const bc_image *image) {
  const size_t bytes = (size_t)image->width * (size_t)image->height * sizeof(float);
  const float *const planes[] = {image->L, image->a, image->b, image->Y};
  for (size_t i = 0; i < 4; i++) bc_buffer_add_bytes(buffer, planes[i], bytes);
}

bc_status web_study_pack(bc_apart_part *out, bc_context *context, const bc_study *study) {
  const bc_image *image = study->image;
  const bc_cutout *cutout = study->cutout;
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  const int32_t sides[4] = {image->width, image->height, image->full_width, image->full_height};
  bc_buffer buffer = {0};
  put_reading(&buffer, study->reading);
  bc_buffer_add_bytes(&buffer, sides, sizeof sides);
  put_planes(&buffer, image);
  bc_buffer_add_bytes(&buffer, cutout->alpha, pixels);
  bc_buffer_add_bytes(&buffer, &cutout->box, sizeof cutout->box);
  bc_buffer_add_bytes(&buffer, &cutout->confidence, sizeof cutout->confidence);
  bc_buffer_add_bytes(&buffer, &cutout->source, sizeof cutout->source);
  return finish(out, context, &buffer);
}

/* One block headed by L*, as bc_image_free takes it. */
static void take_planes(from *source, bc_image *image) {
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  float *block = image->L = bc_reallocate(NULL, pixels, 4 * sizeof *block); /* filled at once: not zeroed first */
  if (!block) {
    source->broken = true;
    return;
  }
  image->a = block + pixels;
  image->b = block + 2 * pixels;
  image->Y = block + 3 * pixels;
  take(source, block, 4 * pixels * sizeof *block);
}

static bool box_inside(const bc_box *box, const bc_image *image) {
  return box->x >= 0 && box->y >= 0 && box->width >= 0 && box->height >= 0 && box->width <= image->width - box->x &&
         box->height <= image->height - box->y;
}

static void take_pixels(from *source, bc_study *study) {
  int32_t sides[4];
  take(source, sides, sizeof sides);
  bc_image *image = study->image = bc_allocate(1, sizeof *image);
  bc_cutout *cutout = study->cutout = bc_allocate(1, sizeof *cutout);
  for (int i = 0; i < 2; i++) source->broken |= sides[i] < 1 || sides[i] > SIDE_MOST;
  if (!image || !cutout || source->broken) {
    source->broken = true;
    return;
  }
  *image = (bc_image){.width = sides[0], .height = sides[1], .full_width = sides[2], .full_height = sides[3]};
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  take_planes(source, image);
  *cutout = (bc_cutout){.width = image->width, .height = image->height, .alpha = bc_allocate(pixels, 1)};
  if (!cutout->alpha) source->broken = true;
  if (!source->broken) take(source, cutout->alpha, pixels);
  take(source, &cutout->box, sizeof cutout->box);
  take(source, &cutout->confidence, sizeof cutout->confidence);
  take(source, &cutout->source, sizeof cutout->source);
  if (!box_inside(&cutout->box, image) || (unsigned)cutout->source > BC_CUTOUT_MASK) source->broken = true;
}

bc_status web_study_unpack(bc_study **out, bc_context *context, const void *bytes, size_t size) {
  from source = {bytes, size, 0, false};
  bc_study *study = *out = bc_allocate(1, sizeof *study);
  if (!study) return bc_fail_memory(context);
  study->reading = take_reading(&source, context);
  if (!source.broken) take_pixels(&source, study);
  if (!source.broken) return BC_OK;
  bc_study_free(study);
  *out = NULL;
  return bc_fail(context, BC_OUR_FAULT, _("A photo could not be prepared for the drawing. Try again."));
}

/* ---- the reduced image, for further strokes ---- */

static bc_image bare(const bc_image *image) {
  bc_image plain = *image;
  plain.L = plain.a = plain.b = plain.Y = NULL;
  plain.alpha = NULL;
  plain.profile = NULL;
  plain.notes = (bc_notes){0};
  return plain;
}

bc_status web_image_pack(bc_apart_part *out, bc_context *context, const bc_image *image) {
  const uint32_t head[3] = {FORMAT, sizeof(bc_image), image->alpha != NULL};
  const bc_image plain = bare(image);
  bc_buffer buffer = {0};
  bc_buffer_add_bytes(&buffer, head, sizeof head);
  bc_buffer_add_bytes(&buffer, &plain, sizeof plain);
  put_text(&buffer, image->profile);
  put_notes(&buffer, &image->notes);
  put_planes(&buffer, image);
  if (image->alpha) bc_buffer_add_bytes(&buffer, image->alpha, (size_t)image->width * (size_t)image->height);
  return finish(out, context, &buffer);
}

static bool sensible_sides(const bc_image *image) {
  return image->width >= 1 && image->width <= SIDE_MOST && image->height >= 1 && image->height <= SIDE_MOST &&
         image->full_width >= 1 && image->full_height >= 1;
}

static void take_image(from *source, bc_context *context, bc_image *image) {
  uint32_t head[3];
  take(source, head, sizeof head);
  if (source->broken || head[0] != FORMAT || head[1] != sizeof *image) {
    source->broken = true;
    return;
  }
  take(source, image, sizeof *image);
  *image = bare(image);
  if (source->broken || !sensible_sides(image)) {
    source->broken = true;
    return;
  }
  image->profile = take_text(source);
  take_notes(source, &image->notes, context);
  if (!source->broken) take_planes(source, image);
  if (source->broken || !head[2]) return;
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  image->alpha = bc_allocate(pixels, 1);
  if (image->alpha) take(source, image->alpha, pixels);
  source->broken |= !image->alpha;
}

bc_status web_image_unpack(bc_image **out, bc_context *context, const void *bytes, size_t size) {
  from source = {bytes, size, 0, false};
  bc_image *image = *out = bc_allocate(1, sizeof *image);
  if (!image) return bc_fail_memory(context);
  take_image(&source, context, image);
  if (!source.broken) return BC_OK;
  bc_image_free(image);
  *out = NULL;
  return bc_fail(context, BC_OUR_FAULT, _("Something went wrong here. Try again; nothing was lost."));
}
