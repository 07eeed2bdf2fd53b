/* SPDX-License-Identifier: MIT */
/* Plans: shown, checked, arranged, saved, undone. undo_to and redo_to name the revisions whose plan they bring back. */
#include "calls.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

char *web_plan_text(const json_t *plan) {
  return json_dumps(plan, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
}

/* --- the planner's word ----------------------------------------------------------------------------------------- */

web_answer web_ask_planner(const web_request *r, uint32_t kind, json_t *order, const json_t *plan,
                           bc_apart_message *out) {
  static const web_task task = {.urgent = true, .deadline_ms = 60000};
  bc_apart_message in;
  const bool ready = web_order(r, &in, kind, order) & bc_apart_message_add_text(&in, web_plan_text(plan));
  if (ready) return web_have_done(r, &in, out, &task);
  bc_apart_message_clear(&in);
  return web_refuse(r, 503, NULL, N_("There is too much to do just now. Try again in a minute."));
}

static web_answer check(const web_request *r, const json_t *plan, json_t **found) {
  bc_apart_message out = {0};
  const web_answer refusal = web_ask_planner(r, WEB_JOB_PLAN, json_object(), plan, &out);
  *found = refusal.status ? NULL : json_loads(bc_apart_message_text(&out, 0), 0, NULL);
  bc_apart_message_clear(&out);
  return !refusal.status && !*found ? web_refuse_store(r) : refusal;
}

/* Everything that the page needs after a change: the plan, what was found, whether there is something to undo or to do
 * again. Takes `found` over. */
static json_t *plan_json(const web_revision *revision, json_t *found) {
  json_t *all = json_pack("{s:I,s:O,s:b,s:b}", "revision", (json_int_t)revision->number, "plan", revision->plan, "undo",
                          revision->undo_to > 0, "redo", revision->redo_to > 0);
  json_object_update(all, found);
  json_decref(found);
  return all;
}

static web_answer answer_plan(const web_request *r, const web_revision *revision) {
  json_t *found;
  const web_answer refusal = check(r, revision->plan, &found);
  return refusal.status ? refusal : web_json(200, plan_json(revision, found));
}

/* ?since=N: whoever has revision N already is only told that it still stands. */
static bool is_known(const web_request *r, int64_t revision) {
  const char *since = web_argument(r, "since");
  return since && strtoll(since, NULL, 10) == revision;
}

web_answer web_show_plan(web_request *r) {
  web_revision head = {0};
  int64_t number;
  if (web_plan_head_number(r->server->store, r->maker, &number) != WEB_FOUND) return web_refuse_store(r);
  if (is_known(r, number)) return web_json(200, json_pack("{s:I}", "revision", (json_int_t)number));
  web_answer answer = web_newest_plan(r, &head);
  if (!answer.status) answer = answer_plan(r, &head);
  json_decref(head.plan);
  return answer;
}

static web_answer plan_given(const web_request *r, json_t **plan) {
  *plan = json_object_get(r->json, "plan");
  if (json_is_object(*plan)) return WEB_GO_ON;
  return web_refuse(r, 422, "plan", N_("The page sent something that cannot be read. Load the page again."));
}

web_answer web_check_plan(web_request *r) {
  json_t *plan, *found = NULL;
  web_answer answer = plan_given(r, &plan);
  if (!answer.status) answer = check(r, plan, &found);
  return answer.status ? answer : web_json(200, found);
}

web_answer web_arrange_plan(web_request *r) {
  json_t *plan, *seed = json_object_get(r->json, "seed"), *sold = json_object_get(r->json, "sold");
  bc_apart_message out = {0};
  web_answer answer = plan_given(r, &plan);
  if (!answer.status)
    answer = web_ask_planner(r, WEB_JOB_ARRANGE, json_pack("{s:O*,s:O*}", "seed", seed, "sold", sold), plan, &out);
  if (!answer.status)
    answer = web_text(200, "application/json", bc_copy_text(bc_apart_message_text(&out, 0)), out.part[0].size);
  bc_apart_message_clear(&out);
  return answer;
}

/* --- saving -------------------------------------------------------------------------------------------------- */

typedef struct saving {
  json_t *mine;
  int64_t base;
  web_revision head;
  json_t *merged, *overruled, *found;
} saving;

static void forget(saving *s) {
  json_decref(s->head.plan);
  json_decref(s->merged);
  json_decref(s->overruled);
  json_decref(s->found);
  *s = (saving){.mine = s->mine, .base = s->base};
}

/* What is stored now is merged with what came, against the revision that the page started from. */
static web_answer merge(const web_request *r, saving *s) {
  web_revision from = {0};
  s->overruled = json_array();
  if (s->base == s->head.number) {
    s->merged = json_deep_copy(s->mine);
    return s->merged ? WEB_GO_ON : web_refuse_store(r);
  }
  if (s->base > 0 && web_plan_at(r->server->store, r->maker, s->base, &from) == WEB_FAILED) return web_refuse_store(r);
  if (s->base <= 0) from.plan = web_first_plan();
  json_t *merged = web_merge(from.plan, s->mine, s->head.plan, s->overruled);
  s->merged = json_deep_copy(merged);
  json_decref(merged);
  json_decref(from.plan);
  return s->merged ? WEB_GO_ON : web_refuse_store(r);
}

/* WEB_NONE: another save came between. */
static web_found put(const web_request *r, const web_revision *next) {
  int64_t number;
  if (!web_store_begin(r->server->store)) return WEB_FAILED;
  const bool asked = web_plan_head_number(r->server->store, r->maker, &number) == WEB_FOUND;
  const bool settled = asked && number == next->number - 1;
  if (settled && web_plan_add(r->server->store, r->maker, next) && web_store_commit(r->server->store)) return WEB_FOUND;
  web_store_roll_back(r->server->store);
  return asked && !settled ? WEB_NONE : WEB_FAILED;
}

/* The planner's check takes time, so it is done outside the transaction, which then only compares the head: when
 * another save came between, everything is done once more (status 0). */
static web_answer try_save(const web_request *r, saving *s) {
  web_answer refusal = web_newest_plan(r, &s->head);
  if (!refusal.status) refusal = merge(r, s);
  if (!refusal.status) refusal = web_plan_keep_to_own(r, s->merged);
  if (!refusal.status) refusal = check(r, s->merged, &s->found);
  if (refusal.status) return refusal;
  const web_revision next = {.number = s->head.number + 1, .undo_to = s->head.number, .plan = s->merged};
  const web_found done = put(r, &next);
  if (done != WEB_FOUND) return done == WEB_NONE ? WEB_GO_ON : web_refuse_store(r);
  json_t *all = plan_json(&next, json_incref(s->found));
  json_object_set_new(all, "merged", json_boolean(s->base != s->head.number));
  json_object_set(all, "overruled", s->overruled);
  return web_json(200, all);
}

web_answer web_save_plan(web_request *r) {
  saving s = {.base = json_integer_value(json_object_get(r->json, "base"))};
  web_answer answer = plan_given(r, &s.mine);
  if (answer.status) return answer;
  for (int i = 0; i < 20 && !answer.status; i++) {
    answer = try_save(r, &s);
    forget(&s);
  }
  return answer.status ? answer
                       : web_refuse(r, 409, NULL, N_("Somebody else is saving at the same moment. Try again."));
}

/* --- undo and redo --------------------------------------------------------------------------------------------- */

/* The plan of then, without photos that are in the trash by now. */
static web_answer plan_of_then(const web_request *r, int64_t number, web_revision *out) {
  if (web_plan_at(r->server->store, r->maker, number, out) != WEB_FOUND) return web_refuse_store(r);
  return web_plan_keep_to_own(r, out->plan);
}

static web_answer take_step(const web_request *r, const web_revision *head, bool back) {
  web_revision then = {0};
  const int64_t target = back ? head->undo_to : head->redo_to;
  if (target <= 0)
    return web_refuse(r, 409, NULL, back ? N_("There is nothing to undo.") : N_("There is nothing to redo."));
  web_answer answer = plan_of_then(r, target, &then);
  const web_revision next = {.number = head->number + 1,
                             .undo_to = back ? then.undo_to : head->number,
                             .redo_to = back ? head->number : then.redo_to,
                             .plan = then.plan};
  if (!answer.status) answer = put(r, &next) == WEB_FOUND ? answer_plan(r, &next) : web_refuse_store(r);
  json_decref(then.plan);
  return answer;
}

static web_answer step(const web_request *r, bool back) {
  web_revision head = {0};
  const json_t *base = json_object_get(r->json, "base");
  web_answer answer = web_newest_plan(r, &head);
  if (!answer.status && json_is_integer(base) && json_integer_value(base) != head.number)
    answer =
        web_refuse(r, 409, NULL, N_("Somebody else has changed the plan meanwhile. Load the page again, then undo."));
  if (!answer.status) answer = take_step(r, &head, back);
  json_decref(head.plan);
  return answer;
}

web_answer web_undo_plan(web_request *r) {
  return step(r, true);
}

web_answer web_redo_plan(web_request *r) {
  return step(r, false);
}
