/* SPDX-License-Identifier: MIT */
/* Pictures made of a photo: preview, cut-out, mask. Made again when a crash or a clean-up took them away. */
#include "calls.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

static web_answer read_made(const char *path, const char *type) {
  bc_context *context = NULL;
  uint8_t *bytes = NULL;
  size_t size = 0;
  if (!path || bc_context_new(&context) != BC_OK) return WEB_GO_ON;
  const bool found = bc_file_read(&bytes, &size, context, path, (uint64_t)64 << 20) == BC_OK;
  bc_context_free(context);
  if (!found) return WEB_GO_ON;
  web_answer answer = web_text(200, type, (char *)bytes, size);
  answer.cache = "private, max-age=31536000, immutable";
  return answer;
}

static web_answer make_again(const web_request *r, const web_photo *photo, const char *path, const char *type) {
  bc_apart_message made = {0};
  web_answer answer = web_decode_stored(r, photo->id, WEB_JOB_PIECE, NULL, &made);
  if (!answer.status && web_write_made(&r->server->folder, photo->id, photo->version, &made))
    answer = read_made(path, type);
  bc_apart_message_clear(&made);
  return answer.status ? answer : web_refuse_store(r);
}

static web_answer send_picture(const web_request *r, const char *what, const char *type) {
  web_photo photo;
  const web_found found = web_photo_get(r->server->store, r->argument[0], &photo);
  web_answer answer = found == WEB_FAILED ? web_refuse_store(r) : found == WEB_NONE ? web_refuse_gone(r) : WEB_GO_ON;
  char *path = answer.status ? NULL : web_made_path(&r->server->folder, photo.id, photo.version, what);
  if (!answer.status) answer = read_made(path, type);
  if (!answer.status) answer = make_again(r, &photo, path, type);
  web_photo_clear(&photo);
  free(path);
  return answer;
}

web_answer web_send_preview(web_request *r) {
  return send_picture(r, "preview", "image/jpeg");
}

web_answer web_send_cutout(web_request *r) {
  return send_picture(r, WEB_CUTOUT, "image/webp");
}

web_answer web_send_mask(web_request *r) {
  return send_picture(r, "mask", "image/png");
}
