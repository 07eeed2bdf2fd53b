/* SPDX-License-Identifier: MIT */
/* Proposed groups for people and for programs. */
#include "problem.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>

const char *bc_group_by_word(bc_group_by by) {
  static const char *const words[] = {"colour", "size", "mount", "function", "material", "technique"};
  return words[by];
}

static void add_members(bc_buffer *text, const bc_plan *plan, const bc_grouping *g, int group) {
  bool first = true;
  for (size_t i = 0; i < plan->piece_count; i++) {
    if (g->group[i] != group) continue;
    bc_buffer_add(text, "%s\"%s\"", first ? "" : _(", "), plan->pieces[i].title);
    first = false;
  }
}

bc_status bc_groupings_to_words(char **out, bc_context *context, const bc_plan *plan,
                                const bc_grouping groupings[BC_GROUPINGS]) {
  bc_buffer text = {0};
  for (int by = 0; by < BC_GROUPINGS; by++) {
    const bc_grouping *g = &groupings[by];
    bc_buffer_add(&text, "%s\n", g->text);
    for (size_t k = 0; k < g->group_count; k++) {
      bc_buffer_add(&text, "  %s: ", g->name[k]);
      add_members(&text, plan, g, (int)k);
      bc_buffer_add(&text, "\n");
    }
  }
  return bc_buffer_finish(&text, out, context);
}

static json_t *grouping_json(const bc_plan *plan, const bc_grouping *g) {
  json_t *groups = json_array();
  for (size_t k = 0; k < g->group_count; k++) {
    json_t *pieces = json_array();
    for (size_t i = 0; i < plan->piece_count; i++)
      if (g->group[i] == (int)k) json_array_append_new(pieces, bc_json_text(plan->pieces[i].id));
    json_array_append_new(groups, json_pack("{sosO}", "name", bc_json_text(g->name[k]), "pieces", pieces));
    json_decref(pieces);
  }
  return json_pack("{sssoso}", "by", bc_group_by_word(g->by), "text", bc_json_text(g->text), "groups", groups);
}

bc_status bc_groupings_to_json(char **out, bc_context *context, const bc_plan *plan,
                               const bc_grouping groupings[BC_GROUPINGS]) {
  json_t *list = json_array();
  for (int by = 0; by < BC_GROUPINGS; by++) json_array_append_new(list, grouping_json(plan, &groupings[by]));
  const bool whole = json_array_size(list) == BC_GROUPINGS;
  json_t *object = json_pack("{so}", "groupings", list);
  *out = object && whole ? json_dumps(object, JSON_COMPACT) : NULL;
  json_decref(object);
  return *out ? BC_OK : bc_fail_memory(context);
}
