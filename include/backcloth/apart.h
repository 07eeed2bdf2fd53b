/* SPDX-License-Identifier: MIT */
/**
 * @file apart.h
 * Work on what strangers send, done in processes that can do nothing but compute (Linux: seccomp, resource limits): for
 * servers and programs built on the library that open other people's photos, as its own do.
 *
 * A nursery is started while the process has one thread; it forks workers, which get messages and answer with messages.
 * A pool keeps workers in waiting. What a worker answers may be a stranger's: believe no size in it.
 */
#ifndef BACKCLOTH_APART_H
#define BACKCLOTH_APART_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

#define BC_APART_PARTS 8   /**< blocks of bytes in a message */
#define BC_APART_FILES 200 /**< open files that go with a message; the kernel takes 253 */
#define BC_APART_WORKERS 8 /**< workers of a pool, at most */

/** A block of bytes of a message. */
typedef struct bc_apart_part {
  uint8_t *bytes; /**< malloc'd; a received one is followed by a NUL that is not counted */
  size_t size;
} bc_apart_part;

/** An order to a worker, or its answer. Begins as all zeros. */
typedef struct bc_apart_message {
  uint32_t kind;    /**< which work, any number of the program's; in an answer: a bc_status */
  char language[8]; /**< of the sentences in the answer */
  bool patient;     /**< nobody waits for it: its worker steps back behind those that somebody does wait for */
  bc_apart_part part[BC_APART_PARTS];
  uint32_t parts;
  int file[BC_APART_FILES]; /**< open files, which the message closes */
  uint32_t files;
} bc_apart_message;

/** Frees the parts and closes the files. */
BC_API void bc_apart_message_clear(bc_apart_message *message);
/** Adds a part, taking the bytes over; NULL bytes count as lack of memory. False, and the bytes are freed, without
 *  memory or room. */
BC_API bool bc_apart_message_add(bc_apart_message *message, void *bytes, size_t size);
BC_API bool bc_apart_message_add_text(bc_apart_message *message, char *text);
/** The text of a part, borrowed; "" when there is none. */
BC_API const char *bc_apart_message_text(const bc_apart_message *message, uint32_t part);

/** Does the work that `in` names and fills `out`, in a worker. A failure's sentence is in the context; it becomes the
 *  only part of the answer. */
typedef bc_status (*bc_apart_work)(bc_context *context, const bc_apart_message *in, bc_apart_message *out);

/** What a worker is for. A decoder does one order, behind the strictest filter, and ends. A planner does many; it may
 *  read files, and writes in one folder. */
typedef enum bc_apart_kind { BC_APART_DECODER = 0, BC_APART_PLANNER } bc_apart_kind;

typedef struct bc_apart_options {
  bc_apart_work work[2]; /**< by bc_apart_kind */
  uint64_t memory_bytes; /**< what a worker may take; required */
  uint64_t order_most;   /**< bytes of an order; 0: 64 MiB, which readings of two thousand pieces need */
  unsigned cpu_seconds;  /**< of a worker's life; required */
  bool single;           /**< a program that waits for each photo: its workers step back for nobody */
  const char *scratch;   /**< the only folder in which planners write; NULL: none */
} bc_apart_options;

/** Forks workers for a process that has threads. */
typedef struct bc_apart_nursery bc_apart_nursery;
/** Starts one; the caller must have one thread only, and the options' folder must outlive it. False, and *out is NULL,
 *  when the system gives none (errno tells). */
BC_API bool bc_apart_nursery_start(bc_apart_nursery **out, const bc_apart_options *options);
/** Ends it, after its pools; NULL is fine. */
BC_API void bc_apart_nursery_stop(bc_apart_nursery *nursery);

/** Workers of one kind in waiting, replaced when they die. */
typedef struct bc_apart_pool bc_apart_pool;
/** Starts `count` of them (at most BC_APART_WORKERS); work that can wait never has more than `patient_most` of the
 *  places. False, and *out is NULL, without memory. */
BC_API bool bc_apart_pool_start(bc_apart_pool **out, bc_apart_nursery *nursery, bc_apart_kind kind, unsigned count,
                                unsigned patient_most);
/** Ends it; no call may be under way. NULL is fine. */
BC_API void bc_apart_pool_stop(bc_apart_pool *pool);
/** How many workers there should be, and how many there are, at work or ready for it. */
BC_API unsigned bc_apart_pool_wanted(const bc_apart_pool *pool);
BC_API unsigned bc_apart_pool_alive(bc_apart_pool *pool);

/** How work ended besides a bc_status of its own. */
typedef enum bc_apart_outcome {
  BC_APART_DONE = 0,
  BC_APART_DIED,
  BC_APART_LATE,
  BC_APART_NO_WORKER,
  BC_APART_NO_SANDBOX /**< the system does not give one, so the work was not begun */
} bc_apart_outcome;
/** Waits for a free worker and has it do the work within `deadline_ms`; from any thread. Urgent work (a finger on the
 *  glass) goes before what is not; among alike, whoever (`who`, any number for each) has the fewest workers goes first,
 *  so that one who asks for very much leaves the others their share. BC_APART_DONE: `out` has the answer, its kind the
 *  bc_status. Clear `out` in any case. */
BC_API bc_apart_outcome bc_apart_pool_run(bc_apart_pool *pool, const bc_apart_message *in, bc_apart_message *out,
                                          int deadline_ms, bool urgent, uint64_t who);

#ifdef __cplusplus
}
#endif
#endif
