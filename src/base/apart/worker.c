/* SPDX-License-Identifier: MIT */
/* The life of a worker. A decoder reads its order, puts itself behind the filter, and only then looks at
 * the stranger's bytes; it does one photo and ends, so that no photo can touch what comes after it. */
#include "apart.h"
#include "base/base.h"
#include "base/parallel.h"

#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

#define ORDER_MOST ((uint64_t)64 << 20) /* readings of two thousand pieces are about 50 MB */

/* The server itself has 0. A worker may step back further by itself, never forward. At 19 a photo got so little of a
 * machine that was busy with other things that it was given up as one that takes too long. */
#define NICE_AWAITED 1
#define NICE_PATIENT 6

/* gettext reads a catalogue when it is first asked, which must be before no file can be opened. */
static void use_language(const char *code) {
  bc_language_use(code);
  (void)bc_text("ltr");
  (void)bc_text_plural("%d piece", "%d pieces", 1);
}

static void answer_no_sandbox(int socket) {
  bc_apart_message out = {.kind = APART_KIND_NO_SANDBOX};
  (void)apart_wire_send(socket, &out, INT64_MAX);
  _exit(1);
}

static void work_and_answer(int socket, bc_apart_work work, const bc_apart_message *in) {
  bc_apart_message out = {0};
  bc_context *context = NULL;
  bc_status status = bc_context_new(&context);
  bc_memory_forget();
  if (status == BC_OK) status = work(context, in, &out);
  if (status == BC_OK) status = base_memory_check(context); /* a library may have left something out */
  if (status != BC_OK) {
    bc_apart_message_clear(&out);
    bc_apart_message_add_text(&out, bc_copy_text(context ? bc_context_message(context) : ""));
  }
  out.kind = (uint32_t)status;
  if (apart_wire_send(socket, &out, INT64_MAX) != 1) _exit(0);
  bc_apart_message_clear(&out);
  bc_context_free(context);
}

static uint64_t order_most(const bc_apart_options *options) {
  return options->order_most ? options->order_most : ORDER_MOST;
}

static _Noreturn void live_decoder(int socket, const bc_apart_options *options, bool limited) {
  bc_apart_message in;
  if (apart_wire_receive(socket, &in, INT64_MAX, order_most(options)) != 1) _exit(0);
  use_language(in.language);
  if (!options->single) setpriority(PRIO_PROCESS, 0, in.patient ? NICE_PATIENT : NICE_AWAITED);
  if (!limited || !apart_sandbox_strict()) answer_no_sandbox(socket);
  work_and_answer(socket, options->work[BC_APART_DECODER], &in);
  _exit(0);
}

static _Noreturn void live_planner(int socket, const bc_apart_options *options, bool limited) {
  const bool shut = limited && apart_sandbox_planner(options->scratch);
  for (;;) {
    bc_apart_message in;
    if (apart_wire_receive(socket, &in, INT64_MAX, order_most(options)) != 1) _exit(0);
    if (!shut) answer_no_sandbox(socket);
    use_language(in.language);
    work_and_answer(socket, options->work[BC_APART_PLANNER], &in);
    bc_apart_message_clear(&in);
  }
}

_Noreturn void apart_worker_live(bc_apart_kind kind, int socket, const bc_apart_options *options) {
  prctl(PR_SET_NAME, kind == BC_APART_PLANNER ? "backcloth-desk" : "backcloth-photo");
  signal(SIGPIPE, SIG_IGN);
  if (!options->single) setpriority(PRIO_PROCESS, 0, NICE_AWAITED); /* the page answers first */
  bc_widen_heap();
  bc_stay_single(true); /* other workers have the other processors */
  tzset();              /* LittleCMS dates the profiles it makes, and glibc then looks for the time zone */
  json_object_seed(0);  /* else jansson opens /dev/urandom at its first object */
  const bool limited = apart_sandbox_limits(options->memory_bytes, options->cpu_seconds);
  if (kind == BC_APART_PLANNER) live_planner(socket, options, limited);
  live_decoder(socket, options, limited);
}
