/* SPDX-License-Identifier: MIT */
/* Reads plans, one a line, and says of each whether the program takes it: "yes", or "no" with its sentences, as a JSON
 * list. schema.py compares this with what the schema says. */
#include <backcloth/plan.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void say_no(const bc_context *context) {
  json_t *no = json_pack("[ss]", "no", bc_context_message(context));
  char *text = json_dumps(no, JSON_COMPACT);
  puts(text ? text : "[]");
  free(text);
  json_decref(no);
}

int main(void) {
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  bc_plan_options how = bc_plan_options_default();
  how.allow_missing = true; /* as plan check reads it */
  char *line = NULL;
  size_t room = 0;
  ssize_t length;
  while ((length = getline(&line, &room, stdin)) > 0) {
    bc_plan *plan = NULL;
    const bc_status status = bc_plan_parse(&plan, context, line, (size_t)length, "plan.json", &how);
    if (status == BC_OK)
      puts("[\"yes\"]");
    else
      say_no(context);
    bc_plan_free(plan);
    if (status != BC_OK && status != BC_BAD_DATA) return (int)status;
    fflush(stdout);
  }
  free(line);
  bc_context_free(context);
  return 0;
}
