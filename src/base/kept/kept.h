/* SPDX-License-Identifier: MIT */
/* The store as the library's own rooms use it: blocks of bytes under a key. An entry is one file,
 *
 *   KEY.KIND   "backcloth kept 1" | BLAKE2b of all that follows, KEY and KIND | bytes
 *
 * written beside and renamed, so that it is there whole or not at all; what a crash or a failing disk makes of it is
 * seen by the hash. Hashes are BLAKE2b (RFC 7693) of 32 bytes by libsodium. */
#ifndef BC_SRC_BASE_KEPT_H
#define BC_SRC_BASE_KEPT_H

#include "base/base.h"
#include <backcloth/store.h>
#include <sodium.h>
#include <stdatomic.h>

#define KEPT_KEY 65 /* hexadecimal digits of 32 bytes, and NUL */

/* --- keys: what an answer depends on, one thing after the other --- */

typedef struct kept_writer {
  crypto_generichash_state state;
} kept_writer;

/* Begins with all that any answer depends on: program, libraries and processor, limits, language, and `what` it is. */
void kept_key_begin(kept_writer *writer, bc_context *context, const char *what);
/* The same for an answer of which no word is used: it serves in every language. */
void kept_key_begin_wordless(kept_writer *writer, bc_context *context, const char *what);
void kept_key_add(kept_writer *writer, const void *bytes, size_t size);
void kept_key_add_text(kept_writer *writer, const char *text); /* NULL is another than "" */
void kept_key_end(kept_writer *writer, char out[KEPT_KEY]);
/* Of some bytes alone. */
void kept_hash(char out[KEPT_KEY], const void *bytes, size_t size);

/* --- blocks --- */

typedef struct kept_block {
  uint8_t *whole; /* malloc'd: the file */
  const uint8_t *bytes;
  size_t size;
} kept_block;
void kept_block_clear(kept_block *block);

/* False when the context has no store, or none such is there, whole and ours. `kind`: a word of small letters. */
bool kept_get(kept_block *out, bc_context *context, const char *key, const char *kind);
bool kept_has(bc_context *context, const char *key, const char *kind);
/* True when it was kept. A failure is remembered for bc_store_trouble; after one no more is tried. */
bool kept_put(bc_context *context, const char *key, const char *kind, const void *bytes, size_t size);

/* Forked processes have written: the store is looked through when it is closed. */
void kept_note_others(bc_context *context);

/* --- between the files of this room --- */

#define KEPT_MAGIC "backcloth kept 1" /* 16 bytes, without the NUL */
#define KEPT_HASH 32
#define KEPT_HEAD (16 + KEPT_HASH)
#define KEPT_PART ".backcloth-" /* a file that is being written */

struct bc_store {
  char *path;
  int folder;
  uint64_t most;
  bool for_now; /* goes when it is closed */
  unsigned char identity[KEPT_HASH];
  _Atomic uint64_t since; /* bytes written since the last look at the size */
  atomic_int error;       /* errno of the first failure to write; 0: none */
  char *trouble;
};

/* Sets what computes: the build ids of the program and of each library, and what the processor can do. False without
 * memory. */
bool kept_identify(bc_store *store);
/* kept_get and kept_put of a store that no context has yet. */
bool kept_get_from(kept_block *out, const bc_store *store, const char *key, const char *kind);
bool kept_put_into(bc_store *store, const char *key, const char *kind, const void *bytes, size_t size);
/* True when the file begins as ours do. Never follows a link. */
bool kept_is_ours(int folder, const char *name);
/* KEY.KIND of 64 digits and a word: a name that this room gives. */
bool kept_is_name(const char *name);
/* Removes what was not used for longest until `most` bytes are left, and what was left half-written an hour ago.
 * Touches nothing that is not ours. */
void kept_sweep(int folder, uint64_t most);

#endif
