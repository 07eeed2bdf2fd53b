/* SPDX-License-Identifier: MIT */
/* What a planner does: match, plan checks, arranging, colours. In: orders as JSON with stored readings.
 * Out: the library's own JSON, so that figures are those of the command line. */
#include "jobs.h"

#include "orders.h"
#include <backcloth/loads.h>
#include <backcloth/packing.h>
#include <backcloth/plan.h>
#include <backcloth/program.h>
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bc_status do_match(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out) {
  bc_collection all = bc_collection_start();
  bc_match *match = NULL;
  char *text = NULL;
  bc_status status = in->parts > 1 ? web_collection_take(&all, context, order, &in->part[1]) : BC_OUR_FAULT;
  if (status == BC_OK) status = web_collection_rank(&match, &all, context, order);
  const json_int_t wanted = json_integer_value(json_object_get(order, "suggest"));
  if (status == BC_OK && wanted > 0) status = bc_match_suggest(match, context, (size_t)(wanted < 24 ? wanted : 24));
  if (status == BC_OK) status = bc_match_to_json(&text, context, match);
  if (status == BC_OK && !bc_apart_message_add_text(out, text)) status = bc_fail_memory(context);
  bc_match_free(match);
  bc_collection_clear(&all);
  return status;
}

/* --- colours ------------------------------------------------------------------------------------------ */

static bc_status do_colour(bc_context *context, const json_t *order, bc_apart_message *out) {
  bc_cloth *cloth = NULL;
  const bc_status status = web_cloth_take(&cloth, context, order);
  if (status != BC_OK) return status;
  json_t *facts =
      json_pack("{s:o,s:[f,f,f],s:f,s:f}", "name", bc_json_text(cloth->name), "lab", cloth->colour.lab.L,
                cloth->colour.lab.a, cloth->colour.lab.b, "luminance", cloth->colour.luminance, "spread_l", 0.0);
  const bool added = bc_apart_message_add_text(out, json_dumps(facts, JSON_COMPACT));
  json_decref(facts);
  bc_cloth_free(cloth);
  return added ? BC_OK : bc_fail_memory(context);
}

/* --- plans -------------------------------------------------------------------------------------------- */

static json_t *findings_json(const bc_plan_findings *findings) {
  json_t *list = json_array();
  for (size_t i = 0; i < findings->count; i++) {
    const bc_plan_finding *one = &findings->finding[i];
    json_array_append_new(list, json_pack("{s:b,s:s?,s:o}", "serious", (int)one->serious, "piece", one->piece, "text",
                                          bc_json_text(one->text)));
  }
  return list;
}

static bc_status check_text(char **out, bc_context *context, const bc_plan *plan) {
  bc_plan_findings findings = {0};
  bc_loads *loads = NULL;
  char *load_text = NULL;
  bc_status status = bc_plan_check(&findings, context, plan);
  if (status == BC_OK) status = bc_loads_of(&loads, context, plan);
  if (status == BC_OK) status = bc_loads_to_json(&load_text, context, loads);
  if (status == BC_OK) {
    json_t *list = findings_json(&findings);
    char *list_text = json_dumps(list, JSON_COMPACT);
    *out = list_text ? bc_format("{\"findings\":%s,\"loads\":%s}", list_text, load_text) : NULL;
    free(list_text);
    json_decref(list);
    if (!*out) status = bc_fail_memory(context);
  }
  free(load_text);
  bc_loads_free(loads);
  bc_plan_findings_clear(&findings);
  return status;
}

static bc_status listing(char **out, bc_context *context, const bc_plan *plan, const char *what) {
  bc_loads *loads = NULL;
  bc_packing *packing = NULL;
  const bool of_loads = strncmp(what, "loads", 5) == 0, csv = strstr(what, ".csv") != NULL;
  bc_status status = of_loads ? bc_loads_of(&loads, context, plan) : bc_packing_of(&packing, context, plan);
  if (status == BC_OK && of_loads)
    status = csv ? bc_loads_to_csv(out, context, loads) : bc_loads_to_json(out, context, loads);
  if (status == BC_OK && !of_loads)
    status = csv ? bc_packing_to_csv(out, context, packing) : bc_packing_to_json(out, context, packing);
  bc_loads_free(loads);
  bc_packing_free(packing);
  return status;
}

static bc_status do_plan(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out) {
  const char *what = json_string_value(json_object_get(order, "what"));
  bc_plan *plan = NULL;
  char *text = NULL;
  bc_status status = web_plan_take(&plan, context, in, 1);
  if (status == BC_OK) status = what ? listing(&text, context, plan, what) : check_text(&text, context, plan);
  if (status == BC_OK && !bc_apart_message_add_text(out, text)) status = bc_fail_memory(context);
  bc_plan_free(plan);
  return status;
}

static json_t *way_json(bc_context *context, const bc_apart_message *in, const bc_plan *plan,
                        const bc_arrangement *way) {
  bc_plan *copy = NULL;
  char *text = NULL;
  json_t *left_off = json_array(), *result = NULL;
  for (size_t i = 0; i < way->place_count; i++)
    if (way->places[i].state == BC_PLACE_LEFT_OFF)
      json_array_append_new(left_off, json_pack("{s:s,s:s?}", "piece", plan->pieces[i].id, "why", way->places[i].why));
  if (web_plan_take(&copy, context, in, 1) == BC_OK && bc_arrange_apply(copy, context, way) == BC_OK &&
      bc_plan_to_json(&text, context, copy) == BC_OK)
    result = json_pack("{s:s,s:s,s:f,s:o,s:o,s:o,s:o}", "style", bc_arrange_style_word(way->style), "name",
                       bc_arrange_style_text(way->style), "score", way->score, "plan", json_loads(text, 0, NULL),
                       "reasons", bc_json_texts(way->reasons.text, way->reasons.count), "cautions",
                       bc_json_texts(way->cautions.text, way->cautions.count), "left_off", left_off);
  else
    json_decref(left_off);
  free(text);
  bc_plan_free(copy);
  return result;
}

static bc_status do_arrange(bc_context *context, const bc_apart_message *in, const json_t *order,
                            bc_apart_message *out) {
  bc_plan *plan = NULL;
  bc_arrangements *found = NULL;
  bc_arrange_options options = bc_arrange_options_default();
  const json_int_t seed = json_integer_value(json_object_get(order, "seed"));
  if (seed > 0) options.seed = (uint64_t)seed;
  bc_status status = web_plan_take(&plan, context, in, 1);
  if (status == BC_OK) status = bc_arrange(&found, context, plan, &options);
  json_t *ways = json_array();
  for (size_t i = 0; status == BC_OK && i < found->count; i++)
    if (json_array_append_new(ways, way_json(context, in, plan, found->arrangement[i]))) status = BC_OUR_FAULT;
  json_t *all = json_pack("{s:o}", "ways", ways);
  if (status == BC_OK) json_object_set_new(all, "notes", bc_json_texts(found->notes.text, found->notes.count));
  if (status == BC_OK && !bc_apart_message_add_text(out, json_dumps(all, JSON_COMPACT)))
    status = bc_fail_memory(context);
  json_decref(all);
  bc_arrangements_free(found);
  bc_plan_free(plan);
  return status;
}

/* One piece was sold: the plan without it, and the fewest moves that make the wall look right again. */
static bc_status do_sold(bc_context *context, const bc_apart_message *in, const char *id, bc_apart_message *out) {
  bc_plan *plan = NULL;
  bc_change *change = NULL;
  char *text = NULL, *moves = NULL;
  const bc_arrange_options options = bc_arrange_options_default();
  bc_status status = web_plan_take(&plan, context, in, 1);
  if (status == BC_OK) status = bc_arrange_sold(&change, context, plan, id, &options);
  if (status == BC_OK) status = bc_change_to_json(&moves, context, plan, change);
  if (status == BC_OK) status = bc_plan_to_json(&text, context, plan);
  json_t *all = status == BC_OK
                    ? json_pack("{s:o,s:o}", "change", json_loads(moves, 0, NULL), "plan", json_loads(text, 0, NULL))
                    : NULL;
  if (status == BC_OK && !bc_apart_message_add_text(out, json_dumps(all, JSON_COMPACT)))
    status = bc_fail_memory(context);
  json_decref(all);
  free(moves);
  free(text);
  bc_change_free(change);
  bc_plan_free(plan);
  return status;
}

static bc_status do_arrange_or_mend(bc_context *context, const bc_apart_message *in, const json_t *order,
                                    bc_apart_message *out) {
  const char *sold = json_string_value(json_object_get(order, "sold"));
  return sold ? do_sold(context, in, sold, out) : do_arrange(context, in, order, out);
}

bc_status web_order_work(bc_context *context, const bc_apart_message *in, bc_apart_message *out) {
  json_t *order = json_loads(bc_apart_message_text(in, 0), 0, NULL);
  bc_status status = BC_OUR_FAULT;
  if (order && in->kind == WEB_JOB_MATCH) status = do_match(context, in, order, out);
  if (order && in->kind == WEB_JOB_COLOUR) status = do_colour(context, order, out);
  if (order && in->kind == WEB_JOB_PLAN) status = do_plan(context, in, order, out);
  if (order && in->kind == WEB_JOB_ARRANGE) status = do_arrange_or_mend(context, in, order, out);
  if (order && in->kind == WEB_JOB_FILE) status = web_order_draw(context, in, order, out);
  json_decref(order);
  return status;
}
