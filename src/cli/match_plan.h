/* SPDX-License-Identifier: MIT */
/* The pieces that `backcloth match` judges, from a plan and from photos named on the command line. */
#ifndef BC_SRC_CLI_MATCH_PLAN_H
#define BC_SRC_CLI_MATCH_PLAN_H

#include <backcloth/backcloth.h>

typedef struct cli_subjects {
  const char **photo; /* borrowed: first the plan's, in its order, then those of the command line */
  const char **title; /* borrowed from the plan; NULL: the photo's name serves */
  double *width_cm;   /* 0: not known */
  bc_standing *standing;
  bool *polished;
  size_t count, planned; /* all, and those of the plan */
  size_t statement;      /* index, or SIZE_MAX */
} cli_subjects;

/* `plan` may be NULL. `stored` pieces more follow the files; they have no photo. False when memory is lacking; clear it
 * in any case. */
bool cli_match_subjects(cli_subjects *out, const bc_plan *plan, const char *const *files, size_t file_count,
                        size_t stored);
void cli_match_subjects_clear(cli_subjects *subjects);

#endif
