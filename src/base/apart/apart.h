/* SPDX-License-Identifier: MIT */
/* Worker processes in which strangers' photos are opened, of the command line as of the server: what goes to them, what
 * comes back, and how they are kept.
 *
 *   program ──fork before any thread──> keeper ──fork──> nursery ──fork──> decoder (one photo, strict filter, ends)
 *      │                         (starts it again)          └─────fork──> planner (the server: plans, drawings; looser)
 *      └── a socket to each worker; its process is held by a pidfd, so that no other one is ever ended */
#ifndef BC_SRC_BASE_APART_H
#define BC_SRC_BASE_APART_H

#include "base/base.h"
#include <pthread.h>

#define APART_PARTS 8   /* blocks of bytes in a message */
#define APART_FILES 200 /* open files that go with a message; the kernel takes 253 */

typedef struct apart_part {
  uint8_t *bytes; /* malloc'd; followed by a NUL that is not counted */
  size_t size;
} apart_part;

typedef struct apart_message {
  uint32_t kind;    /* which work; in an answer: a bc_status */
  char language[8]; /* of the sentences in the answer */
  bool patient;     /* nobody's finger waits for it: it goes behind what somebody does wait for */
  bool plain;       /* a plain decoder will do */
  apart_part part[APART_PARTS];
  uint32_t parts;
  int file[APART_FILES];
  uint32_t files;
} apart_message;

void apart_message_clear(apart_message *message); /* frees the parts and closes the files */
/* Adds a part, taking the bytes over; NULL bytes count as lack of memory. False without memory or room. */
bool apart_message_add(apart_message *message, void *bytes, size_t size);
bool apart_message_add_text(apart_message *message, char *text);
/* The text of a part, "" when there is none. */
const char *apart_message_text(const apart_message *message, uint32_t part);

/* Sends or receives a whole message until `deadline` (CLOCK_MONOTONIC, ms; INT64_MAX: for ever). 1 done, 0 too late,
 * -1 broken. What is received may come from a worker that a photo has taken over: sizes are bounded by `most`. */
int apart_wire_send(int socket, const apart_message *message, int64_t deadline);
int apart_wire_receive(int socket, apart_message *message, int64_t deadline, uint64_t most);
int64_t apart_now_ms(void);

/* Does the work that `in` names and fills `out`. A failure's sentence is in the context. */
typedef bc_status (*apart_work)(bc_context *context, const apart_message *in, apart_message *out);

/* A plain decoder is for photos whose decoders came with the program: it waits for none that comes late (base/late). */
typedef enum apart_worker_kind { APART_DECODER = 0, APART_PLANNER, APART_PLAIN_DECODER } apart_worker_kind;

typedef struct apart_nursery_options {
  apart_work work[2];    /* of decoders, of planners */
  uint64_t memory_bytes; /* what a worker may take; default 1 GiB */
  uint64_t order_most;   /* bytes of an order; 0: 64 MiB, which readings of two thousand pieces need */
  unsigned cpu_seconds;  /* of a worker's life */
  bool single;           /* a program that waits for each photo: its workers step back for nobody */
  const char *scratch;   /* the only folder in which planners write */
} apart_nursery_options;

typedef struct apart_nursery {
  int socket, pidfd;
  uint8_t last; /* number of the last order */
  pthread_mutex_t lock;
} apart_nursery;

/* Forks the nursery; the caller must have one thread only. False when it cannot. */
bool apart_nursery_start(apart_nursery *nursery, const apart_nursery_options *options);
void apart_nursery_stop(apart_nursery *nursery);

typedef struct apart_worker {
  int socket, pidfd; /* -1: none */
  unsigned done;
} apart_worker;
bool apart_nursery_fork(apart_nursery *nursery, apart_worker_kind kind, apart_worker *out);
bool apart_worker_lives(const apart_worker *worker);
void apart_worker_end(apart_worker *worker); /* at once */

#define APART_WORKERS 8
struct apart_waiter;
typedef struct apart_pool {
  apart_nursery *nursery;
  apart_worker_kind kind;
  unsigned count;
  apart_worker worker[APART_WORKERS];
  bool busy[APART_WORKERS], patient[APART_WORKERS];
  uint64_t who[APART_WORKERS];        /* for whom a worker is at work */
  struct apart_waiter *waiting;       /* in the order in which they came */
  unsigned patient_most, patient_now; /* work that can wait never has all places */
  pthread_mutex_t lock;
  pthread_cond_t freed;
  pthread_t tender; /* replaces workers that died while they waited */
  bool tended, ending;
} apart_pool;

/* `patient_most`: so many places at most for work that is not urgent. */
void apart_pool_start(apart_pool *pool, apart_nursery *nursery, apart_worker_kind kind, unsigned count,
                      unsigned patient_most);
void apart_pool_stop(apart_pool *pool);
/* How many workers there are, at work or ready for it; less than `pool->count` while one is being replaced. */
unsigned apart_pool_alive(apart_pool *pool);

/* How work ended besides a bc_status of its own. */
typedef enum apart_outcome {
  APART_DONE = 0,
  APART_DIED,
  APART_LATE,
  APART_NO_WORKER,
  APART_NO_SANDBOX /* the system does not give one, so the work was not begun */
} apart_outcome;
/* Has a decoder of its own, of the kind that `in` wants, do the work, and ends it. `most`: bytes of the answer. */
apart_outcome apart_do_once(apart_nursery *nursery, const apart_message *in, apart_message *out, int deadline_ms,
                            uint64_t most);
/* Waits for a free worker and has it do the work within `deadline_ms`. Urgent work (a finger on the
 * glass) goes before what is not; among alike, whoever (`who`, any number for each) has the fewest workers goes first,
 * so that one who asks for very much leaves the others their share. APART_DONE: `out` has the answer, its kind the
 * bc_status. */
apart_outcome apart_pool_run(apart_pool *pool, const apart_message *in, apart_message *out, int deadline_ms,
                             bool urgent, uint64_t who);

/* --- inside a worker ------------------------------------------------------------------------------- */

/* An answer's kind in place of a bc_status: the worker could not shut itself off. */
#define APART_KIND_NO_SANDBOX UINT32_C(0x5a11)

/* Memory, processor time, no core file, no new privileges and, run as root, none of its capabilities. */
bool apart_sandbox_limits(uint64_t memory_bytes, unsigned cpu_seconds);
/* Only what is needed to compute on memory: no file, no network, no process. */
bool apart_sandbox_strict(void);
/* Reading files (fonts), writing in `scratch` alone where the kernel can hold it to that; no network, no process. */
bool apart_sandbox_planner(const char *scratch);
_Noreturn void apart_worker_live(apart_worker_kind kind, int socket, const apart_nursery_options *options);

#endif
