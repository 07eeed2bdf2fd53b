/* SPDX-License-Identifier: MIT */
/* What a check of a plan found, for programs. In: bc_plan_findings. Out: one JSON object. */
#include "base/base.h"
#include <backcloth/program.h>
#include <jansson.h>

#include <backcloth/plan.h>

bc_status bc_plan_findings_to_json(char **out, bc_context *context, const bc_plan_findings *findings) {
  json_t *list = json_array();
  int serious = 0;
  for (size_t i = 0; list && i < findings->count; i++) {
    const bc_plan_finding *one = &findings->finding[i];
    serious += one->serious;
    json_t *entry = json_pack("{s:b,s:o,s:o}", "serious", one->serious, "piece",
                              one->piece ? bc_json_text(one->piece) : json_null(), "text", bc_json_text(one->text));
    if (json_array_append_new(list, entry) == 0) continue;
    json_decref(list);
    list = NULL;
  }
  json_t *all = json_pack("{s:o,s:i}", "findings", list, "serious", serious);
  *out = all ? json_dumps(all, JSON_COMPACT | JSON_PRESERVE_ORDER) : NULL;
  json_decref(all);
  return *out ? BC_OK : bc_fail_memory(context);
}
