/* SPDX-License-Identifier: MIT */
/* A photo once read: its reading as JSON and its cut-out as a small WebP, from which figures and pictures are made
 * without the photo. In: photo or cache. Out: reading, study for drawing. */
#include "feedback_internal.h"

#include <stdlib.h>
#include <string.h>
#include <webp/encode.h>

#define CUT_SIDE 480  /* pixels: a piece is drawn 31 mm wide at 300 dots an inch */
#define QUALITY 90.0f /* of its colours; its alpha is kept exactly */
#define FORMAT 1      /* of what is kept; to be raised when a reading's figures change within a version */

bc_status feedback_photo_key(char out[FEEDBACK_HASH], feedback_cache *cache, bc_context *context, const char *path,
                             const char *mask) {
  char photo[FEEDBACK_HASH], by[FEEDBACK_HASH] = "";
  bc_status status = feedback_file_hash(photo, cache, context, path);
  if (status == BC_OK && mask) status = feedback_file_hash(by, cache, context, mask);
  if (status != BC_OK) return status;
  char *text = bc_format("reading %d %s %s %s", FORMAT, bc_version(), photo, by);
  if (!text) return bc_fail_memory(context);
  feedback_text_hash(out, text, strlen(text));
  free(text);
  return BC_OK;
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
  if (status != BC_OK) {
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
