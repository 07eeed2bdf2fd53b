/* SPDX-License-Identifier: MIT */
/* Remarks pinned to a photo or the wall. Whoever may add to a maker may answer; each says who wrote it. */
#include "calls.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

static json_t *author_json(const web_remark *remark) {
  return remark->by_owner ? json_string("mentor") : remark->by_maker ? json_string("maker") : json_null();
}

static json_t *answers_json(const web_remarks *all, const char *id) {
  json_t *list = json_array();
  for (size_t i = 0; i < all->count; i++) {
    const web_remark *one = &all->item[i];
    if (strcmp(one->answers, id) == 0)
      json_array_append_new(list, json_pack("{s:s,s:s,s:o,s:I}", "id", one->id, "text", one->text, "author",
                                            author_json(one), "added", (json_int_t)one->added));
  }
  return list;
}

json_t *web_remarks_json(const web_request *r) {
  web_remarks all;
  if (!web_remarks_of(r->server->store, r->maker, &all)) return NULL;
  json_t *list = json_array();
  for (size_t i = 0; i < all.count; i++) {
    const web_remark *one = &all.item[i];
    if (*one->answers) continue;
    json_array_append_new(list, json_pack("{s:s,s:s,s:o,s:I,s:b,s:o,s:o}", "id", one->id, "text", one->text, "on",
                                          json_loads(one->place, 0, NULL), "added", (json_int_t)one->added, "done",
                                          (int)one->done, "author", author_json(one), "answers",
                                          answers_json(&all, one->id)));
  }
  web_remarks_clear(&all);
  return list;
}

static web_answer answer_remarks(const web_request *r, bool done, unsigned status) {
  json_t *list = done ? web_remarks_json(r) : NULL;
  return list ? web_json(status, list) : web_refuse_store(r);
}

web_answer web_list_remarks(web_request *r) {
  return answer_remarks(r, true, 200);
}

static web_answer text_given(const web_request *r, const char **text) {
  *text = web_given(r, "text");
  if (*text && **text && web_is_text(*text, WEB_REMARK_MOST, true)) return WEB_GO_ON;
  return web_refuse(r, 422, "text", N_("Write a comment of at most 4000 characters."));
}

/* There is room for one more, and an answer is to a remark of the same maker, not to an answer. */
static web_answer check_others(const web_request *r, const char *answered) {
  web_remarks all;
  if (!web_remarks_of(r->server->store, r->maker, &all)) return web_refuse_store(r);
  bool there = !answered;
  const size_t count = all.count;
  for (size_t i = 0; answered && i < count; i++)
    there |= strcmp(all.item[i].id, answered) == 0 && !*all.item[i].answers;
  web_remarks_clear(&all);
  if (count >= WEB_REMARKS_MOST)
    return web_refuse(r, 413, NULL, N_("There are %d comments already, which is as many as fit. Delete some first."),
                      WEB_REMARKS_MOST);
  return there ? WEB_GO_ON : web_refuse_gone(r);
}

web_answer web_add_remark(web_request *r) {
  const char *text, *answered = web_given(r, "answers");
  const json_t *on = json_object_get(r->json, "on");
  web_answer answer = text_given(r, &text);
  if (!answer.status) answer = check_others(r, answered);
  if (answer.status) return answer;
  web_remark remark = {.text = (char *)(uintptr_t)text,
                       .place = on ? json_dumps(on, JSON_COMPACT) : bc_copy_text("{}"),
                       .by_owner = r->role == WEB_OWNER,
                       .by_maker = r->role == WEB_MAKER};
  web_new_id(remark.id);
  if (answered) strncpy(remark.answers, answered, WEB_ID);
  if (!remark.place || strlen(remark.place) > 400)
    answer = web_refuse(r, 422, "on", N_("The page sent something that cannot be read. Load the page again."));
  else
    answer = answer_remarks(r, web_remark_add(r->server->store, r->maker, &remark), 201);
  free(remark.place);
  return answer;
}

web_answer web_change_remark(web_request *r) {
  const json_t *done = json_object_get(r->json, "done");
  const bool anew = web_given(r, "text") != NULL && r->role == WEB_OWNER;
  const char *text = NULL, *id = r->argument[0];
  const web_answer refusal = anew ? text_given(r, &text) : WEB_GO_ON;
  if (refusal.status) return refusal;
  const bool saved = (!done || web_remark_set_done(r->server->store, id, json_is_true(done))) &&
                     (!anew || web_remark_set_text(r->server->store, id, text));
  return answer_remarks(r, saved, 200);
}

web_answer web_delete_remark(web_request *r) {
  return answer_remarks(r, web_remark_delete(r->server->store, r->argument[0], true), 200);
}

web_answer web_restore_remark(web_request *r) {
  return answer_remarks(r, web_remark_delete(r->server->store, r->argument[0], false), 200);
}
