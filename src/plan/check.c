/* SPDX-License-Identifier: MIT */
/* Checks the geometry of a plan that was read: what does not fit becomes a finding, worst first. */
#include "check_internal.h"

#include <stdlib.h>

/* Serious ones first, otherwise in the order found. */
static void sort_findings(bc_plan_findings *findings, bc_plan_finding *aside) {
  size_t count = 0;
  for (int serious = 1; serious >= 0; serious--)
    for (size_t i = 0; i < findings->count; i++)
      if (findings->finding[i].serious == (bool)serious) aside[count++] = findings->finding[i];
  for (size_t i = 0; i < count; i++) findings->finding[i] = aside[i];
}

/* Sizes still marked "?" are told first; nothing is judged by a size that is not there. */
static void check_missing(checker *check) {
  for (size_t i = 0; i < check->plan->missing.count; i++)
    check_add(check, true, NULL, "%s", check->plan->missing.text[i]);
}

/* Pieces of a form that nobody measured; a file's are in check_missing. */
static void check_unmeasured(checker *check) {
  size_t waiting = 0;
  for (size_t i = 0; check->plan->missing.count == 0 && i < check->plan->piece_count; i++) {
    const bc_piece *piece = &check->plan->pieces[i];
    if (piece->unmeasured && piece->placed)
      check_add(check, true, piece->id,
                _("\"%s\" has a place, but its size is missing: nobody can tell whether it fits. Measure it."),
                piece->title);
    waiting += piece->unmeasured && !piece->placed;
  }
  if (waiting > 0)
    check_add(check, false, NULL,
              bc_text_plural("%zu piece has no size yet, so it has no place. Measure it.",
                             "%zu pieces have no size yet, so they have no place. Measure them.", waiting),
              waiting);
}

bc_status bc_plan_check(bc_plan_findings *out, bc_context *context, const bc_plan *plan) {
  *out = (bc_plan_findings){0};
  check_words_in(plan->units);
  checker check = {.context = context, .plan = plan, .out = out, .status = BC_OK};
  check_missing(&check);
  check_unmeasured(&check);
  if (!plan->stand.unmeasured) {
    check_wall(&check);
    check_stands(&check);
    check_pairs(&check);
    check_hangs(&check);
    check_fixings(&check);
    check_fittings(&check);
    check_sight(&check);
  }
  bc_plan_finding *aside = bc_allocate(out->count, sizeof *aside);
  if (check.status == BC_OK && !aside) check.status = bc_fail_memory(context);
  if (check.status == BC_OK)
    sort_findings(out, aside);
  else
    bc_plan_findings_clear(out);
  free(aside);
  return check.status;
}

void bc_plan_findings_clear(bc_plan_findings *findings) {
  for (size_t i = 0; i < findings->count; i++) {
    free(findings->finding[i].piece);
    free(findings->finding[i].text);
  }
  free(findings->finding);
  *findings = (bc_plan_findings){0};
}
