/* SPDX-License-Identifier: MIT */
/* Answers, and work given to the workers on the way to them. */
#include "web/server.h"

#include <stdlib.h>
#include <string.h>

const char *web_argument(const web_request *r, const char *name) {
  return MHD_lookup_connection_value(r->connection, MHD_GET_ARGUMENT_KIND, name);
}

const char *web_header(const web_request *r, const char *name) {
  return MHD_lookup_connection_value(r->connection, MHD_HEADER_KIND, name);
}

void web_answer_text(web_request *r, unsigned status, const char *type, char *text, size_t size) {
  if (r->status || !text) {
    free(text);
    return;
  }
  r->status = status;
  r->type = type;
  r->out = text;
  r->out_size = size;
}

void web_answer_json(web_request *r, unsigned status, json_t *json) {
  char *text = json ? json_dumps(json, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15)) : NULL;
  json_decref(json);
  web_answer_text(r, status, "application/json", text, text ? strlen(text) : 0);
}

void web_refuse_said(web_request *r, unsigned status, const char *about, const char *sentence) {
  web_answer_json(r, status, json_pack("{s:{s:s,s:s*}}", "error", "what", sentence, "about", about));
}

void web_refuse(web_request *r, unsigned status, const char *about, const char *english, ...) {
  char *sentence = NULL;
  va_list values;
  va_start(values, english);
  const int length = vasprintf(&sentence, web_words_in(r->language, english), values);
  va_end(values);
  if (length < 0) return;
  web_refuse_said(r, status, about, sentence);
  free(sentence);
}

void web_refuse_store(web_request *r) {
  web_refuse(r, 507, NULL, N_("This could not be saved. Check that the disk is not full, then try again."));
}

bool web_order(web_request *r, web_message *in, uint32_t kind, json_t *order) {
  *in = (web_message){.kind = kind};
  strncpy(in->language, r->language, sizeof in->language - 1);
  char *text = order ? json_dumps(order, JSON_COMPACT | JSON_REAL_PRECISION(17)) : NULL;
  json_decref(order);
  return web_message_add_text(in, text);
}

static void refuse_outcome(web_request *r, web_outcome outcome, bool decoder, const char *about) {
  if (outcome == WEB_NO_WORKER)
    web_refuse(r, 503, about, N_("There is too much to do just now. Try again in a minute."));
  else if (decoder && outcome == WEB_LATE)
    web_refuse(
        r, 422, about,
        N_("%s: this photo takes too long to open, so it was given up. Save it again as a JPEG, or choose another."),
        about);
  else if (decoder)
    web_refuse(
        r, 422, about,
        N_("%s: this photo cannot be opened; it is damaged or not what it claims to be. Save it again as a JPEG."),
        about);
  else if (outcome == WEB_LATE)
    web_refuse(r, 503, about, N_("This took too long and was given up. Try again with less at once."));
  else
    web_refuse(r, 500, about, N_("Something went wrong here. Try again; nothing was lost."));
}

bool web_have_done(web_request *r, bool decoder, web_message *in, web_message *out, int deadline_ms, bool urgent,
                   const char *about) {
  in->patient = !urgent;
  const web_outcome outcome =
      web_pool_run(decoder ? &r->server->decoders : &r->server->desks, in, out, deadline_ms, urgent);
  web_message_clear(in);
  if (outcome != WEB_DONE) {
    refuse_outcome(r, outcome, decoder, about);
    return false;
  }
  if (out->kind == BC_OK) return true;
  const char *sentence = web_message_text(out, 0);
  web_refuse_said(r, out->kind == BC_OUR_FAULT ? 500 : 422, about,
                  *sentence ? sentence
                            : web_words_in(r->language, N_("Something went wrong here. Try again; nothing was lost.")));
  return false;
}
