/* SPDX-License-Identifier: MIT */
/* Answers, and work given to the workers on the way to them. */
#include "request.h"

#include <backcloth/sentences.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

const char *web_argument(const web_request *r, const char *name) {
  return MHD_lookup_connection_value(r->connection, MHD_GET_ARGUMENT_KIND, name);
}

const char *web_header(const web_request *r, const char *name) {
  return MHD_lookup_connection_value(r->connection, MHD_HEADER_KIND, name);
}

const char *web_cookie(const web_request *r, const char *name) {
  return MHD_lookup_connection_value(r->connection, MHD_COOKIE_KIND, name);
}

void web_answer_clear(web_answer *answer) {
  free(answer->out);
  free(answer->cookie);
  free(answer->save_as);
  free(answer->ahead);
  *answer = (web_answer){0};
}

web_answer web_text(unsigned status, const char *type, char *text, size_t size) {
  return text ? (web_answer){.status = status, .type = type, .out = text, .out_size = size} : WEB_GO_ON;
}

web_answer web_json(unsigned status, json_t *json) {
  char *text = json ? json_dumps(json, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15)) : NULL;
  json_decref(json);
  return web_text(status, "application/json", text, text ? strlen(text) : 0);
}

static web_answer web_refuse_said(unsigned status, const char *about, const char *sentence) {
  web_answer answer = web_json(status, json_pack("{s:{s:s,s:s*}}", "error", "what", sentence, "about", about));
  if (!answer.status)
    answer = (web_answer){.status = 503, .fixed = "{}", .out_size = 2}; /* without memory, too, it is refused */
  return answer;
}

web_answer web_refuse(const web_request *r, unsigned status, const char *about, const char *english, ...) {
  char *sentence = NULL;
  va_list values;
  va_start(values, english);
  const int length = vasprintf(&sentence, web_words_in(r->language, english), values);
  va_end(values);
  const web_answer answer = web_refuse_said(status, about, length < 0 ? english : sentence);
  if (length >= 0) free(sentence);
  return answer;
}

web_answer web_refuse_store(const web_request *r) {
  if (web_store_is_damaged())
    return web_refuse(r, 500, NULL,
                      N_("The database on the disk is damaged. End the program, and start it with --recover, or bring "
                         "back a backup."));
  return web_refuse(r, 507, NULL, N_("This could not be saved. Check that the disk is not full, then try again."));
}

web_answer web_refuse_gone(const web_request *r) {
  return web_refuse(r, 404, NULL, N_("This is not here any more. Load the page again."));
}

bool web_order(const web_request *r, bc_apart_message *in, uint32_t kind, json_t *order) {
  *in = (bc_apart_message){.kind = kind};
  strncpy(in->language, r->language, sizeof in->language - 1);
  char *text = order ? json_dumps(order, JSON_COMPACT | JSON_REAL_PRECISION(17)) : NULL;
  json_decref(order);
  return bc_apart_message_add_text(in, text);
}

static web_answer refuse_outcome(const web_request *r, bc_apart_outcome outcome, const web_task *task) {
  const char *about = task->about;
  if (outcome == BC_APART_NO_WORKER)
    return web_refuse(r, 503, about, N_("There is too much to do just now. Try again in a minute."));
  if (outcome == BC_APART_NO_SANDBOX)
    return web_refuse(r, 503, about,
                      N_("This computer does not let photos be opened in a process that is shut off from everything "
                         "else, so none is opened. Ask whoever runs it to allow seccomp."));
  if (task->decoder && outcome == BC_APART_LATE)
    return web_refuse(
        r, 422, about,
        N_("%s: this photo takes too long to open, so it was given up. Save it again as a JPEG, or choose another."),
        about);
  if (task->decoder)
    return web_refuse(
        r, 422, about,
        N_("%s: this photo cannot be opened; it is damaged or not what it claims to be. Save it again as a JPEG."),
        about);
  if (outcome == BC_APART_LATE)
    return web_refuse(r, 503, about, N_("This took too long and was given up. Try again with less at once."));
  return web_refuse(r, 500, about, N_("Something went wrong here. Try again; nothing was lost."));
}

web_answer web_have_done(const web_request *r, bc_apart_message *in, bc_apart_message *out, const web_task *task) {
  in->patient = !task->urgent;
  const bc_apart_outcome outcome = bc_apart_pool_run(task->decoder ? r->server->decoders : r->server->planners, in, out,
                                                     task->deadline_ms, task->urgent, r->who);
  bc_apart_message_clear(in);
  if (outcome != BC_APART_DONE) return refuse_outcome(r, outcome, task);
  if (out->kind == BC_OK) return WEB_GO_ON;
  const char *sentence = bc_apart_message_text(out, 0);
  return web_refuse_said(
      out->kind == BC_OUR_FAULT ? 500 : 422, task->about,
      *sentence ? sentence : web_words_in(r->language, N_("Something went wrong here. Try again; nothing was lost.")));
}
