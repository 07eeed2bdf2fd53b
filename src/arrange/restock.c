/* SPDX-License-Identifier: MIT */
/* What was sold so far, kept in the plan: the list to restock from, and a change as JSON. */
#include "change.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static bc_sale *find_sale(const bc_plan *plan, const char *id) {
  for (size_t i = 0; i < plan->sale_count; i++)
    if (strcmp(plan->sales[i].id, id) == 0) return &plan->sales[i];
  return NULL;
}

bc_status arr_count_sale(bc_context *context, bc_plan *plan, const bc_piece *piece) {
  bc_sale *sale = find_sale(plan, piece->id);
  if (sale) {
    sale->count++;
    return BC_OK;
  }
  bc_sale *grown = bc_reallocate(plan->sales, plan->sale_count + 1, sizeof *grown);
  if (!grown) return bc_fail_memory(context);
  plan->sales = grown;
  sale = &plan->sales[plan->sale_count];
  *sale = (bc_sale){bc_copy_text(piece->id), bc_copy_text(piece->title), 1};
  if (sale->id && sale->title) {
    plan->sale_count++;
    return BC_OK;
  }
  free(sale->id);
  free(sale->title);
  return bc_fail_memory(context);
}

static int left_of(const bc_plan *plan, const bc_sale *sale) {
  const int index = arr_find_piece(plan, sale->id);
  return index < 0 ? 0 : plan->pieces[index].count;
}

static bc_status restock_one(bc_notes *list, bc_context *context, const bc_sale *sale, int left) {
  if (left == 0) return bc_note(list, context, _("\"%s\": %d sold, none left."), sale->title, sale->count);
  if (left == 1)
    return bc_note(list, context, _("\"%s\": %d sold; the last one is on show."), sale->title, sale->count);
  return bc_note(list, context, _("\"%s\": %d sold, %d left."), sale->title, sale->count, left);
}

bc_status arr_restock(bc_change *change, bc_context *context, const bc_plan *plan) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->sale_count; i++)
    status = restock_one(&change->restock, context, &plan->sales[i], left_of(plan, &plan->sales[i]));
  return status;
}

/* --- JSON ------------------------------------------------------------------------------------------------- */

static json_t *moves_json(const bc_plan *plan, const bc_change *change) {
  json_t *list = json_array();
  for (size_t i = 0; i < change->move_count; i++) {
    const bc_change_move *move = &change->moves[i];
    json_array_append_new(list,
                          json_pack("{s:s,s:[f,f],s:[f,f],s:s}", "piece", plan->pieces[move->piece].id, "from",
                                    move->from.x, move->from.y, "to", move->to.x, move->to.y, "text", move->text));
  }
  return list;
}

static json_t *sold_json(const bc_plan *plan) {
  json_t *list = json_array();
  for (size_t i = 0; i < plan->sale_count; i++) {
    const bc_sale *sale = &plan->sales[i];
    json_array_append_new(list, json_pack("{s:s,s:s,s:i,s:i}", "piece", sale->id, "title", sale->title, "sold",
                                          sale->count, "left", left_of(plan, sale)));
  }
  return list;
}

bc_status bc_change_to_json(char **out, bc_context *context, const bc_plan *plan, const bc_change *change) {
  json_t *object = json_pack("{s:o,s:o,s:o,s:o,s:f,s:f}", "moves", moves_json(plan, change), "steps",
                             bc_json_texts(change->steps.text, change->steps.count), "sold", sold_json(plan), "restock",
                             bc_json_texts(change->restock.text, change->restock.count), "score_before",
                             change->score_before, "score_after", change->score_after);
  *out = object ? json_dumps(object, JSON_COMPACT | JSON_REAL_PRECISION(12)) : NULL;
  json_decref(object);
  return *out ? BC_OK : bc_fail_memory(context);
}

void bc_change_free(bc_change *change) {
  if (!change) return;
  for (size_t i = 0; i < change->move_count; i++) free(change->moves[i].text);
  free(change->moves);
  bc_notes_clear(&change->steps);
  bc_notes_clear(&change->restock);
  free(change);
}
