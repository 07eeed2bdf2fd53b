/* SPDX-License-Identifier: MIT */
/* A photo once read: its reading as JSON and its cut-out as a small WebP, from which figures and pictures are made
 * without the photo. In: photo or store. Out: reading, study for drawing. */
#include "feedback_internal.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>
#include <webp/encode.h>

#define CUT_SIDE 480  /* pixels: a piece is drawn 31 mm wide at 300 dots an inch */
#define QUALITY 90.0f /* of its colours; its alpha is kept exactly */
#define KIND "piece"

bc_status feedback_photo_key(char out[FEEDBACK_HASH], feedback_cache *cache, bc_context *context, const char *path,
                             const char *mask) {
  char photo[FEEDBACK_HASH], by[FEEDBACK_HASH] = "";
  bc_status status = feedback_file_hash(photo, cache, context, path);
  if (status == BC_OK && mask) status = feedback_file_hash(by, cache, context, mask);
  if (status != BC_OK) return status;
  kept_writer key; /* of a reading a sheet uses figures only */
  const int tga = bc_path_has_suffix(path, "tga");
  kept_key_begin_wordless(&key, context, "piece");
  kept_key_add(&key, &tga, sizeof tga);
  kept_key_add_text(&key, photo);
  kept_key_add_text(&key, by);
  kept_key_end(&key, out);
  return BC_OK;
}

/* PLACE, the reading's text with its NUL, and the cut-out. */
void feedback_entry_store(bc_context *context, const char *key, const feedback_entry *entry) {
  bc_buffer bytes = {0};
  bc_buffer_add_bytes(&bytes, entry->place, sizeof entry->place);
  bc_buffer_add_bytes(&bytes, entry->json, strlen(entry->json) + 1);
  bc_buffer_add_bytes(&bytes, entry->cut, entry->cut_size);
  if (!bytes.failed) (void)kept_put(context, key, KIND, bytes.text, bytes.length);
  bc_buffer_clear(&bytes);
}

bool feedback_entry_is_kept(bc_context *context, const char *key) {
  return kept_has(context, key, KIND);
}

static bool unpack(feedback_entry *out, const kept_block *block) {
  const size_t head = sizeof out->place;
  const uint8_t *end = block->size > head ? memchr(block->bytes + head, 0, block->size - head) : NULL;
  if (!end) return false;
  memcpy(out->place, block->bytes, head);
  out->json = bc_copy_text((const char *)block->bytes + head);
  out->cut_size = block->size - (size_t)(end + 1 - block->bytes);
  out->cut = bc_allocate(out->cut_size, 1);
  if (out->cut) memcpy(out->cut, end + 1, out->cut_size);
  return out->json && out->cut;
}

bool feedback_entry_recall(feedback_entry *out, bc_context *context, const char *key) {
  kept_block block;
  *out = (feedback_entry){0};
  if (!kept_get(&block, context, key, KIND)) return false;
  const bool good = unpack(out, &block);
  kept_block_clear(&block);
  if (!good) feedback_entry_clear(out);
  return good;
}

void feedback_entry_clear(feedback_entry *entry) {
  free(entry->json);
  free(entry->cut);
  *entry = (feedback_entry){0};
}

static bc_status keep_cut(feedback_entry *out, bc_context *context, const bc_study *study) {
  bc_kept_piece piece;
  const bc_status status = bc_drawing_keep_piece(&piece, context, study, CUT_SIDE);
  if (status != BC_OK) return status;
  uint8_t *webp = NULL;
  out->cut_size = WebPEncodeRGBA(piece.rgba, piece.width, piece.height, 4 * piece.width, QUALITY, &webp);
  out->cut = out->cut_size ? bc_allocate(out->cut_size, 1) : NULL;
  if (out->cut) memcpy(out->cut, webp, out->cut_size);
  WebPFree(webp);
  const double place[4] = {piece.left, piece.top, piece.wide, piece.high};
  memcpy(out->place, place, sizeof place);
  bc_drawing_kept_piece_clear(&piece);
  return out->cut ? BC_OK : bc_fail_memory(context);
}

bc_status feedback_entry_keep(feedback_entry *out, bc_context *context, const bc_study *study) {
  *out = (feedback_entry){0};
  bc_status status = bc_reading_to_stored_json(&out->json, context, study->reading);
  if (status == BC_OK) status = keep_cut(out, context, study);
  if (status != BC_OK) feedback_entry_clear(out);
  return status;
}

bc_status feedback_entry_read(feedback_entry *out, bc_context *context, const char *path, const char *mask) {
  *out = (feedback_entry){0};
  bc_study_options options = bc_study_options_default();
  options.mask_path = mask;
  bc_study *study = NULL;
  bc_status status = bc_study_open(&study, context, path, &options);
  if (status == BC_OK) status = feedback_entry_keep(out, context, study);
  bc_study_free(study);
  return status;
}

bc_status feedback_entry_reading(bc_reading **out, bc_context *context, const feedback_entry *entry, const char *path) {
  const bc_status status = bc_reading_from_json(out, context, entry->json, strlen(entry->json), path);
  if (status != BC_OK) return status;
  free((*out)->photo);
  (*out)->photo = bc_copy_text(path);
  if ((*out)->photo) return BC_OK;
  bc_reading_free(*out);
  *out = NULL;
  return bc_fail_memory(context);
}

bc_status feedback_entry_study(bc_study **out, bc_context *context, const feedback_entry *entry, const char *path) {
  bc_study_options options = bc_study_options_default();
  options.image.find_white = false;
  bc_reading *reading = NULL;
  bc_status status = feedback_entry_reading(&reading, context, entry, path);
  if (status == BC_OK) status = bc_study_decode(out, context, entry->cut, entry->cut_size, path, &options);
  if (status != BC_OK || !reading) {
    bc_reading_free(reading);
    return status;
  }
  /* The marks on the picture are those of the figures. */
  for (size_t i = 0; i < reading->rim_count; i++) {
    reading->rim[i].x = (float)((reading->rim[i].x - entry->place[0]) / entry->place[2]);
    reading->rim[i].y = (float)((reading->rim[i].y - entry->place[1]) / entry->place[3]);
  }
  bc_reading_free((*out)->reading);
  (*out)->reading = reading;
  return BC_OK;
}
