/* SPDX-License-Identifier: MIT */
/* Answers are values: a call returns one. A step on the way returns one, too: status 0 means that there is nothing to
 * refuse and the call goes on. */
#ifndef BC_SRC_WEB_ANSWER_H
#define BC_SRC_WEB_ANSWER_H

#include <backcloth/apart.h>
#include <backcloth/program.h>
#include <jansson.h>

typedef struct web_request web_request;

typedef struct web_answer {
  unsigned status; /* 0: go on */
  char *out;       /* malloc'd */
  size_t out_size;
  const void *fixed; /* instead of out: static bytes */
  const char *type, *cache, *encoding;
  char *cookie, *save_as;
  char *ahead; /* what the browser will ask next, for its Link header */
} web_answer;
void web_answer_clear(web_answer *answer);

#define WEB_GO_ON ((web_answer){0})
web_answer web_json(unsigned status, json_t *json);                              /* takes it over */
web_answer web_text(unsigned status, const char *type, char *text, size_t size); /* takes it over */
/* {"error":{"what","about"}}; the sentence is given in English and said in the request's language. */
web_answer web_refuse(const web_request *r, unsigned status, const char *about, const char *english, ...)
    __attribute__((format(printf, 4, 5)));
web_answer web_refuse_store(const web_request *r); /* the database failed */
web_answer web_refuse_gone(const web_request *r);  /* what the call is about is not there */

/* An order with the request's language. False: no memory. */
bool web_order(const web_request *r, bc_apart_message *in, uint32_t kind, json_t *order);

/* How work is to be done. */
typedef struct web_task {
  bool decoder; /* else a planner */
  bool urgent;
  int deadline_ms;
  const char *about; /* names the photo in a refusal; NULL */
} web_task;
/* Has it done; refuses in plain words when it failed. Clears `in`. Clear `out` in any case. */
web_answer web_have_done(const web_request *r, bc_apart_message *in, bc_apart_message *out, const web_task *task);

#endif
