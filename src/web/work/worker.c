/* SPDX-License-Identifier: MIT */
/* The life of a worker. A decoder reads its order, puts itself behind the filter, and only then looks at
 * the stranger's bytes; it does one photo and ends, so that no photo can touch what comes after it. */
#include "base/base.h"
#include "base/parallel.h"
#include "work.h"

#include <jansson.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

#define ORDER_MOST ((uint64_t)64 << 20) /* readings of two thousand pieces are about 50 MB */

/* The server itself has 0. A worker may step back further by itself, never forward. */
#define NICE_AWAITED 4
#define NICE_PATIENT 19

/* gettext reads a catalogue when it is first asked, which must be before no file can be opened. */
static void use_language(const char *code) {
  bc_language_use(code);
  (void)bc_text("ltr");
  (void)bc_text_plural("%d piece", "%d pieces", 1);
}

static void work_and_answer(int socket, web_work work, const web_message *in) {
  web_message out = {0};
  bc_context *context = NULL;
  bc_status status = bc_context_new(&context);
  if (status == BC_OK) status = work(context, in, &out);
  if (status != BC_OK) {
    web_message_clear(&out);
    web_message_add_text(&out, bc_copy_text(context ? bc_context_message(context) : ""));
  }
  out.kind = (uint32_t)status;
  if (web_wire_send(socket, &out, INT64_MAX) != 1) _exit(0);
  web_message_clear(&out);
  bc_context_free(context);
}

static _Noreturn void live_decoder(int socket, const web_nursery_options *options) {
  web_message in;
  if (web_wire_receive(socket, &in, INT64_MAX, ORDER_MOST) != 1) _exit(0);
  use_language(in.language);
  setpriority(PRIO_PROCESS, 0, in.patient ? NICE_PATIENT : NICE_AWAITED);
  if (!web_sandbox_strict()) _exit(1);
  work_and_answer(socket, options->work[WEB_DECODER], &in);
  _exit(0);
}

static _Noreturn void live_desk(int socket, const web_nursery_options *options) {
  if (!web_sandbox_desk(options->scratch)) _exit(1);
  for (;;) {
    web_message in;
    if (web_wire_receive(socket, &in, INT64_MAX, ORDER_MOST) != 1) _exit(0);
    use_language(in.language);
    work_and_answer(socket, options->work[WEB_DESK], &in);
    web_message_clear(&in);
  }
}

_Noreturn void web_worker_live(web_worker_kind kind, int socket, const web_nursery_options *options) {
  prctl(PR_SET_NAME, kind == WEB_DESK ? "backcloth-desk" : "backcloth-photo");
  signal(SIGPIPE, SIG_IGN);
  setpriority(PRIO_PROCESS, 0, NICE_AWAITED); /* the page answers first */
  bc_widen_heap();
  bc_stay_single(true); /* other workers have the other processors */
  tzset();              /* LittleCMS dates the profiles it makes, and glibc then looks for the time zone */
  json_object_seed(0);  /* else jansson opens /dev/urandom at its first object */
  if (!web_sandbox_limits(options->memory_bytes, options->cpu_seconds)) _exit(1);
  if (kind == WEB_DESK) live_desk(socket, options);
  live_decoder(socket, options);
}
