/* SPDX-License-Identifier: MIT */
/* Keys: all that an answer depends on, hashed. Each part goes in with its length, so that no two lists of parts are the
 * same bytes. */
#include "kept.h"

#include "base/language.h"
#include <string.h>

void kept_key_add(kept_writer *writer, const void *bytes, size_t size) {
  const uint64_t length = size;
  crypto_generichash_update(&writer->state, (const unsigned char *)&length, sizeof length);
  crypto_generichash_update(&writer->state, bytes, size);
}

void kept_key_add_text(kept_writer *writer, const char *text) {
  kept_key_add(writer, text ? text : "", text ? strlen(text) + 1 : 0);
}

void kept_key_begin_wordless(kept_writer *writer, bc_context *context, const char *what) {
  const bc_store *store = bc_context_store(context);
  const bc_limits *limits = bc_context_limits(context);
  const uint64_t bounds[] = {limits->file_bytes,    limits->photo_pixels, limits->photo_side,
                             limits->profile_bytes, limits->decode_bytes, limits->model_bytes};
  crypto_generichash_init(&writer->state, NULL, 0, KEPT_HASH);
  kept_key_add_text(writer, what);
  kept_key_add_text(writer, bc_version());
  if (store) kept_key_add(writer, store->identity, sizeof store->identity);
  kept_key_add(writer, bounds, sizeof bounds);
}

void kept_key_begin(kept_writer *writer, bc_context *context, const char *what) {
  char catalogue[BC_CATALOGUE_MARK];
  kept_key_begin_wordless(writer, context, what);
  base_catalogue_mark(catalogue);
  kept_key_add_text(writer, catalogue);
}

void kept_key_end(kept_writer *writer, char out[KEPT_KEY]) {
  unsigned char bytes[KEPT_HASH];
  crypto_generichash_final(&writer->state, bytes, sizeof bytes);
  sodium_bin2hex(out, KEPT_KEY, bytes, sizeof bytes);
}

void kept_hash(char out[KEPT_KEY], const void *bytes, size_t size) {
  unsigned char hash[KEPT_HASH];
  crypto_generichash(hash, sizeof hash, bytes, size, NULL, 0);
  sodium_bin2hex(out, KEPT_KEY, hash, sizeof hash);
}
