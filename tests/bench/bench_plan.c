/* SPDX-License-Identifier: MIT */
/* plan check of 250 and of 2,000 pieces that all overlap, and of 2,000 that do not: seconds, best of three, and how
 * many times as long eight times as many pieces take. */
#include "bench.h"

#include <backcloth/plan.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROUNDS = 3 };

static char *make_plan(int count, int apart) {
  char *text = malloc(200 + 120 * (size_t)count);
  int used =
      sprintf(text, "{\"backcloth\":1,\"title\":\"B\",\"stand\":{\"width\":9000,\"wall_height\":9000},\"pieces\":[");
  for (int i = 0; i < count; i++)
    used += sprintf(text + used, "%s{\"id\":\"p%d\",\"width\":%d,\"height\":30,\"weight_g\":100,\"at\":[%d,%d]}",
                    i ? "," : "", i, 40 + i % 7, 100 + (apart ? 60 * (i % 50) : i % 10),
                    120 + (apart ? 50 * (i / 50) : i % 9));
  sprintf(text + used, "]}");
  return text;
}

static double seconds_of(int count, int apart) {
  double best = 1e9;
  char *text = make_plan(count, apart);
  for (int i = 0; i < ROUNDS; i++) {
    bc_context *context = NULL;
    bc_plan *plan = NULL;
    bc_plan_findings findings = {0};
    if (bc_context_new(&context) != BC_OK) return -1;
    const double start = bench_seconds();
    const bool fine = bc_plan_parse(&plan, context, text, strlen(text), "plan.json", NULL) == BC_OK &&
                      bc_plan_check(&findings, context, plan) == BC_OK;
    const double took = bench_seconds() - start;
    if (!fine) puts(bc_context_message(context));
    if (took < best) best = took;
    bc_plan_findings_clear(&findings);
    bc_plan_free(plan);
    bc_context_free(context);
  }
  free(text);
  return best;
}

int bench_plan(int argc, char **argv) {
  (void)argc;
  (void)argv;
  const double few = seconds_of(250, 0), many = seconds_of(2000, 0), apart = seconds_of(2000, 1);
  printf("250 overlapping:    %.4f s\n2,000 overlapping:  %.4f s, %.1f times\n2,000 apart:        %.4f s\n", few, many,
         many / few, apart);
  return 0;
}
