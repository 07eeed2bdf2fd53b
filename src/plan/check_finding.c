/* SPDX-License-Identifier: MIT */
/* What every check needs: a finding that is added, and lengths in words. */
#include "check_internal.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

/* Of the plan that is being checked; each thread checks one at a time. */
static _Thread_local bc_units check_units = BC_UNITS_METRIC;

void check_words_in(bc_units units) {
  check_units = units;
}

const char *check_cm(double cm) {
  static _Thread_local char buffer[8][64];
  static _Thread_local unsigned turn;
  char *here = buffer[turn++ % 8];
  bc_length_words(here, sizeof buffer[0], cm, check_units);
  return here;
}

span check_span(const bc_piece *piece) {
  return (span){piece->at.x - piece->width / 2, piece->at.x + piece->width / 2, piece->at.y - piece->height / 2,
                piece->at.y + piece->height / 2};
}

void check_add(checker *check, bool serious, const char *piece, const char *format, ...) {
  if (check->status != BC_OK || check->out->count >= FINDINGS_MOST) return;
  const bool last = check->out->count == FINDINGS_MOST - 1;
  char *text = NULL;
  va_list arguments;
  va_start(arguments, format);
  if (vasprintf(&text, format, arguments) < 0) text = NULL;
  va_end(arguments);
  if (last) {
    free(text);
    text = bc_copy_text(_("There are more mistakes than are listed here. Correct these first, then look again."));
    serious = true;
    piece = NULL;
  }
  char *id = bc_copy_text(piece);
  bc_plan_finding *grown = bc_reallocate(check->out->finding, check->out->count + 1, sizeof *grown);
  if (grown) check->out->finding = grown;
  if (!grown || !text || (piece && !id)) {
    free(text);
    free(id);
    check->status = bc_fail_memory(check->context);
    return;
  }
  grown[check->out->count++] = (bc_plan_finding){.serious = serious, .piece = id, .text = text};
}
