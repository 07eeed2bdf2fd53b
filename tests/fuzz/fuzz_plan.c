/* SPDX-License-Identifier: MIT */
/* Whatever a plan file holds: what is accepted keeps the promises of plan.h and survives writing and
 * reading again; what is refused leaves a sentence. */
#include <backcloth/plan.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void promise(bool kept) {
  if (!kept) abort();
}

static void keep_promises(const bc_plan *plan, bc_context *context) {
  promise(plan->title && plan->stand.width > 0 && plan->stand.wall_height > 0 && plan->stand.depth > 0);
  promise(plan->design_factor >= 1 && isfinite(plan->design_factor));
  promise(plan->piece_count <= bc_context_limits(context)->plan_pieces);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    promise(piece->id && piece->title && piece->width > 0 && piece->height > 0 && isfinite(piece->width));
    promise(!piece->placed || (isfinite(piece->at.x) && isfinite(piece->at.y)));
    promise(piece->mount.points >= 1 && piece->weight_g >= 0);
  }
}

static void write_and_read_again(const bc_plan *plan, bc_context *context, const bc_plan_options *options) {
  char *text = NULL;
  bc_plan *again = NULL;
  promise(bc_plan_to_json(&text, context, plan) == BC_OK);
  promise(bc_plan_parse(&again, context, text, strlen(text), "again.json", options) == BC_OK);
  promise(again->missing.count == plan->missing.count && again->units == plan->units);
  promise(again->piece_count == plan->piece_count && strcmp(again->title, plan->title) == 0);
  bc_plan_free(again);
  free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  bc_context *context = NULL;
  promise(bc_context_new(&context) == BC_OK);
  bc_plan *plan = NULL;
  bc_plan_options options = bc_plan_options_default();
  options.keep_in_folder = size % 2 == 0;
  options.allow_missing = size % 3 == 0;
  const bc_status status = bc_plan_parse(&plan, context, (const char *)data, size, "fuzz.json", &options);
  if (status == BC_OK) {
    bc_plan_findings findings = {0};
    keep_promises(plan, context);
    promise(bc_plan_check(&findings, context, plan) == BC_OK);
    bc_plan_findings_clear(&findings);
    write_and_read_again(plan, context, &options);
  } else {
    promise(status == BC_BAD_DATA && !plan && bc_context_message(context)[0] != '\0');
  }
  bc_plan_free(plan);
  bc_context_free(context);
  return 0;
}
