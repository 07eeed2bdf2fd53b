/* SPDX-License-Identifier: MIT */
/* The context: the last sentence, the limits, and the colour engine's own context. */
#include "base.h"

#include <backcloth/store.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct bc_context {
  bc_limits limits;
  char *message;      /* malloc'd, or NULL when `preset` is the sentence */
  const char *preset; /* "" or the out-of-memory sentence, which must not need memory */
  void *engine;
  void (*free_engine)(void *);
  bc_store *store; /* borrowed, or NULL */
};

#define MEBI ((uint64_t)1 << 20)

static const bc_limits default_limits = {
    .file_bytes = 256 * MEBI,
    .photo_pixels = UINT64_C(250) * 1000 * 1000,
    .photo_side = 30000,
    .profile_bytes = 8 * MEBI,
    .decode_bytes = 1024 * MEBI,
    .model_bytes = 512 * MEBI,
    .plan_bytes = 4 * MEBI,
    .plan_pieces = 2000,
};

bc_status bc_context_new(bc_context **out) {
  bc_context *context = calloc(1, sizeof *context);
  *out = context;
  if (!context) return BC_OUR_FAULT;
  context->limits = default_limits;
  context->preset = "";
  return BC_OK;
}

void bc_context_free(bc_context *context) {
  if (!context) return;
  if (context->free_engine) context->free_engine(context->engine);
  free(context->message);
  free(context);
}

const char *bc_context_message(const bc_context *context) {
  return context->message ? context->message : context->preset;
}

bc_limits *bc_context_limits(bc_context *context) {
  return &context->limits;
}

bc_status bc_fail_memory(bc_context *context) {
  bc_memory_forget(); /* it is being told */
  free(context->message);
  context->message = NULL;
  context->preset = _("There is not enough memory for this. Close other programs, or use smaller photos.");
  return BC_OUR_FAULT;
}

bc_status base_memory_check(bc_context *context) {
  return bc_memory_lacked() ? bc_fail_memory(context) : BC_OK;
}

/* A file may be called anything: what it is called must neither steer a terminal nor look like another sentence. */
static char *without_controls(char *sentence) {
  const char *at = sentence;
  while (*at && !bc_is_control(at)) at++;
  if (!*at) return sentence;
  char *shown = bc_copy_printable(sentence);
  free(sentence);
  return shown;
}

bc_status bc_fail(bc_context *context, bc_status status, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  char *sentence = bc_vsentence(format, arguments);
  va_end(arguments);
  if (!sentence || bc_memory_lacked()) { /* what a library then says of the input isn't so */
    free(sentence);
    return bc_fail_memory(context);
  }
  if (strcmp(format, "%s") != 0) sentence = without_controls(sentence); /* else it is made of sentences, a line each */
  if (!sentence) return bc_fail_memory(context);
  free(context->message); /* only now: the arguments may quote the old message */
  context->message = sentence;
  return status;
}

void bc_context_use_store(bc_context *context, bc_store *store) {
  context->store = store;
}

bc_store *bc_context_store(const bc_context *context) {
  return context->store;
}

void *base_context_engine(const bc_context *context) {
  return context->engine;
}

void base_context_set_engine(bc_context *context, void *engine, void (*free_engine)(void *)) {
  context->engine = engine;
  context->free_engine = free_engine;
}
