/* SPDX-License-Identifier: MIT */
/* What lies behind the public apart.h: how workers are forked, spoken with, shut in and kept.
 *
 *   program ──fork before any thread──> keeper ──fork──> nursery ──fork──> decoder (one photo, strict filter, ends)
 *      │                         (starts it again)          └─────fork──> planner (the server: plans, drawings; looser)
 *      └── a socket to each worker; its process is held by a pidfd, so that no other one is ever ended */
#ifndef BC_SRC_BASE_APART_H
#define BC_SRC_BASE_APART_H

#include "base/base.h"
#include <backcloth/apart.h>
#include <pthread.h>

/* Sends or receives a whole message until `deadline` (bc_now_ms; INT64_MAX: for ever). 1 done, 0 too late, -1 broken.
 * What is received may come from a worker that a photo has taken over: sizes are bounded by `most`. */
int apart_wire_send(int socket, const bc_apart_message *message, int64_t deadline);
int apart_wire_receive(int socket, bc_apart_message *message, int64_t deadline, uint64_t most);

struct bc_apart_nursery {
  int socket, pidfd;
  uint8_t last; /* number of the last order */
  pthread_mutex_t lock;
};
/* bc_apart_nursery_start for one whose place is the caller's and that lives as long as the process. */
bool apart_nursery_open(bc_apart_nursery *nursery, const bc_apart_options *options);

typedef struct apart_worker {
  int socket, pidfd; /* -1: none */
  unsigned done;
} apart_worker;
/* A decoder for photos whose decoders came with the program: it waits for none that comes late (base/late). */
#define APART_PLAIN_DECODER ((bc_apart_kind)2)
bool apart_nursery_fork(bc_apart_nursery *nursery, bc_apart_kind kind, apart_worker *out);
bool apart_worker_lives(const apart_worker *worker);
void apart_worker_end(apart_worker *worker); /* at once */

struct apart_waiter;
struct bc_apart_pool {
  bc_apart_nursery *nursery;
  bc_apart_kind kind;
  unsigned count;
  apart_worker worker[BC_APART_WORKERS];
  bool busy[BC_APART_WORKERS], patient[BC_APART_WORKERS];
  uint64_t who[BC_APART_WORKERS];     /* for whom a worker is at work */
  struct apart_waiter *waiting;       /* in the order in which they came */
  unsigned patient_most, patient_now; /* work that can wait never has all places */
  pthread_mutex_t lock;
  pthread_cond_t freed;
  pthread_t tender; /* replaces workers that died while they waited */
  bool tended, ending;
};

/* Has a decoder of its own, of this kind, do the work, and ends it. `most`: bytes of the answer. */
bc_apart_outcome apart_do_once(bc_apart_nursery *nursery, bc_apart_kind kind, const bc_apart_message *in,
                               bc_apart_message *out, int deadline_ms, uint64_t most);

/* --- inside a worker ------------------------------------------------------------------------------- */

/* An answer's kind in place of a bc_status: the worker could not shut itself off. */
#define APART_KIND_NO_SANDBOX UINT32_C(0x5a11)

/* Memory, processor time, no core file, no new privileges and, run as root, none of its capabilities. */
bool apart_sandbox_limits(uint64_t memory_bytes, unsigned cpu_seconds);
/* Only what is needed to compute on memory: no file, no network, no process. */
bool apart_sandbox_strict(void);
/* Reading files (fonts), writing in `scratch` alone where the kernel can hold it to that; no network, no process. */
bool apart_sandbox_planner(const char *scratch);
_Noreturn void apart_worker_live(bc_apart_kind kind, int socket, const bc_apart_options *options);

#endif
