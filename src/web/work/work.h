/* SPDX-License-Identifier: MIT */
/* Worker processes: what goes to them, what comes back, and how they are kept.
 *
 *   server ──fork before any thread──> nursery ──fork──> decoder (one photo, strict filter, ends)
 *      │                                  └─────fork──> desk    (plans, matches, drawings; looser filter)
 *      └── a socket to each worker; its process is held by a pidfd, so that no other one is ever ended */
#ifndef BC_SRC_WEB_WORK_H
#define BC_SRC_WEB_WORK_H

#include "base/base.h"
#include <pthread.h>

#define WEB_PARTS 8   /* blocks of bytes in a message */
#define WEB_FILES 200 /* open files that go with a message; the kernel takes 253 */

typedef struct web_part {
  uint8_t *bytes; /* malloc'd; followed by a NUL that is not counted */
  size_t size;
} web_part;

typedef struct web_message {
  uint32_t kind;    /* which work; in an answer: a bc_status */
  char language[8]; /* of the sentences in the answer */
  bool patient;     /* nobody's finger waits for it: it goes behind what somebody does wait for */
  web_part part[WEB_PARTS];
  uint32_t parts;
  int file[WEB_FILES];
  uint32_t files;
} web_message;

void web_message_clear(web_message *message); /* frees the parts and closes the files */
/* Adds a part, taking the bytes over; NULL bytes count as lack of memory. False without memory or room. */
bool web_message_add(web_message *message, void *bytes, size_t size);
bool web_message_add_text(web_message *message, char *text);
/* The text of a part, "" when there is none. */
const char *web_message_text(const web_message *message, uint32_t part);

/* Sends or receives a whole message until `deadline` (CLOCK_MONOTONIC, ms; INT64_MAX: for ever). 1 done, 0 too late,
 * -1 broken. What is received may come from a worker that a photo has taken over: sizes are bounded by `most`. */
int web_wire_send(int socket, const web_message *message, int64_t deadline);
int web_wire_receive(int socket, web_message *message, int64_t deadline, uint64_t most);
int64_t web_now_ms(void);

/* Does the work that `in` names and fills `out`. A failure's sentence is in the context. */
typedef bc_status (*web_work)(bc_context *context, const web_message *in, web_message *out);

typedef enum web_worker_kind { WEB_DECODER = 0, WEB_DESK } web_worker_kind;

typedef struct web_nursery_options {
  web_work work[2];      /* by web_worker_kind */
  uint64_t memory_bytes; /* what a worker may take; default 1 GiB */
  unsigned cpu_seconds;  /* of a worker's life */
  const char *scratch;   /* the only folder in which desks write */
} web_nursery_options;

typedef struct web_nursery {
  int socket, pidfd;
  pthread_mutex_t lock;
} web_nursery;

/* Forks the nursery; the caller must have one thread only. False when it cannot. */
bool web_nursery_start(web_nursery *nursery, const web_nursery_options *options);
void web_nursery_stop(web_nursery *nursery);

typedef struct web_worker {
  int socket, pidfd; /* -1: none */
  unsigned done;
} web_worker;
bool web_nursery_fork(web_nursery *nursery, web_worker_kind kind, web_worker *out);
bool web_worker_lives(const web_worker *worker);
void web_worker_end(web_worker *worker); /* at once */

#define WEB_WORKERS 8
typedef struct web_pool {
  web_nursery *nursery;
  web_worker_kind kind;
  unsigned count;
  web_worker worker[WEB_WORKERS];
  bool busy[WEB_WORKERS], patient[WEB_WORKERS];
  unsigned patient_most, patient_now; /* work that can wait never has all places */
  unsigned urgent_waiting;
  pthread_mutex_t lock;
  pthread_cond_t freed;
} web_pool;

/* `patient_most`: so many places at most for work that is not urgent. */
void web_pool_start(web_pool *pool, web_nursery *nursery, web_worker_kind kind, unsigned count, unsigned patient_most);
void web_pool_stop(web_pool *pool);

/* How work ended besides a bc_status of its own. */
typedef enum web_outcome { WEB_DONE = 0, WEB_DIED, WEB_LATE, WEB_NO_WORKER } web_outcome;
/* Waits for a free worker and has it do the work within `deadline_ms`. Urgent work (a finger on the
 * glass) goes before what is not. WEB_DONE: `out` has the answer, its kind the bc_status. */
web_outcome web_pool_run(web_pool *pool, const web_message *in, web_message *out, int deadline_ms, bool urgent);

/* --- inside a worker ------------------------------------------------------------------------------- */

/* Memory, processor time, no core file, no new privileges, ends with its parent. */
bool web_sandbox_limits(uint64_t memory_bytes, unsigned cpu_seconds);
/* Only what is needed to compute on memory: no file, no network, no process. */
bool web_sandbox_strict(void);
/* Reading files (fonts), writing in `scratch` alone where the kernel can hold it to that; no network, no process. */
bool web_sandbox_desk(const char *scratch);
_Noreturn void web_worker_live(web_worker_kind kind, int socket, const web_nursery_options *options);

#endif
