/* SPDX-License-Identifier: MIT */
/**
 * @file store.h
 * What was read from photos is kept from run to run: readings, and cut-outs ready to be drawn. Below all stages; a
 * context that has a store is served from it, and one that has none computes.
 *
 * - An answer from the store is the one that computing gives, byte for byte: what is kept is found by the content of
 *   the photo, all options, the language, and the very program and libraries that made it, and is checked by a hash
 *   whenever it is read. What is damaged is made anew.
 * - It is a folder of files that belongs to one person (mode 0700), of bounded size: what was not used for longest goes
 *   first. Any number of processes may use it at once. It may be deleted at any time, also while it is in use.
 * - A store that cannot be written costs time only: bc_store_trouble says why.
 */
#ifndef BACKCLOTH_STORE_H
#define BACKCLOTH_STORE_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/** An open store. Opaque; threads may use one at the same time, and forked processes each their copy. */
typedef struct bc_store bc_store;

/** What a store holds at most, in bytes, when nothing else is asked for: readings of ten thousand photos, or the
 *  cut-outs of some hundreds. */
#define BC_STORE_BYTES ((uint64_t)1 << 30)

/** Opens a folder as a store; makes it if it is not there. `folder` NULL: `backcloth` in the user's cache folder
 *  ($XDG_CACHE_HOME, else $HOME/.cache; XDG Base Directory Specification 0.8). `most_bytes` 0: BC_STORE_BYTES.
 *  Errors: BC_CANNOT_WRITE (no such folder can be made, or others may open it), BC_OUR_FAULT. */
BC_API bc_status bc_store_open(bc_store **out, bc_context *context, const char *folder, uint64_t most_bytes);
/** A store in a new folder of its own inside `parent`, that goes when it is closed. Errors: BC_CANNOT_WRITE. */
BC_API bc_status bc_store_open_for_now(bc_store **out, bc_context *context, const char *parent);
/** Brings the store back to its size, and closes it. NULL is fine. No context may use it any more. */
BC_API void bc_store_close(bc_store *store);
/** Why something could not be kept, as a sentence; "" when nothing went wrong. Borrowed; ask from one thread. */
BC_API const char *bc_store_trouble(bc_store *store);

/** From here on what is done with this context is served from the store, which stays the caller's; NULL: from none. */
BC_API void bc_context_use_store(bc_context *context, bc_store *store);
/** The store of this context, or NULL. Borrowed. */
BC_API bc_store *bc_context_store(const bc_context *context);

#ifdef __cplusplus
}
#endif
#endif
