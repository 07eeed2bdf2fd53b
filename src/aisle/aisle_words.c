/* SPDX-License-Identifier: MIT */
/* What visitors see, in sentences: the pieces seen least, and the one seen best. */
#include "aisle_internal.h"

#include <math.h>
#include <stdlib.h>

#define LEAST 3           /* so many of the pieces seen least are named */
#define WORTH_SAYING 0.75 /* a piece that so many visitors see needs no remark */

static void say_crowd(bc_buffer *out, const bc_aisle *aisle) {
  if (aisle->crowd == 0)
    bc_buffer_add(out, "%s\n", _("With nobody in the stand:"));
  else
    bc_buffer_add(out,
                  bc_text_plural("With %d person standing in the stand:\n", "With %d people standing in the stand:\n",
                                 (unsigned long)aisle->crowd),
                  aisle->crowd);
  if (aisle->crowd < aisle->asked)
    bc_buffer_add(out,
                  bc_text_plural("There is room for only %d person, not for %d.\n",
                                 "There is room for only %d people, not for %d.\n", (unsigned long)aisle->crowd),
                  aisle->crowd, aisle->asked);
}

static void say_piece(bc_buffer *out, const char *title, const bc_aisle_piece *piece) {
  const int tenths = (int)lrint(10 * piece->seen_share);
  const double percent = 100 * piece->visible_share;
  if (tenths == 0)
    bc_buffer_add(out, _("\"%s\" is seen by hardly any visitor: on average %.0f %% of it is in view.\n"), title,
                  percent);
  else if (tenths == 10)
    bc_buffer_add(out, _("\"%s\" is seen by nearly every visitor: on average %.0f %% of it is in view.\n"), title,
                  percent);
  else
    bc_buffer_add(out,
                  bc_text_plural("\"%s\" is seen by %d visitor in 10: on average %.0f %% of it is in view.\n",
                                 "\"%s\" is seen by %d visitors in 10: on average %.0f %% of it is in view.\n",
                                 (unsigned long)tenths),
                  title, tenths, percent);
}

static int by_share(const void *first, const void *second) {
  const bc_aisle_piece *const a = first, *const b = second;
  if (a->visible_share != b->visible_share) return a->visible_share < b->visible_share ? -1 : 1;
  return (a->piece > b->piece) - (a->piece < b->piece);
}

bc_status bc_aisle_to_words(char **out, bc_context *context, const bc_plan *plan, const bc_aisle *aisle) {
  *out = NULL;
  bc_buffer words = {0};
  bc_aisle_piece *const sorted = bc_allocate(aisle->count, sizeof *sorted);
  if (!sorted) return bc_fail_memory(context);
  for (size_t i = 0; i < aisle->count; i++) sorted[i] = aisle->pieces[i];
  qsort(sorted, aisle->count, sizeof *sorted, by_share);
  say_crowd(&words, aisle);
  size_t said = 0;
  for (; said < aisle->count && said < LEAST && sorted[said].seen_share < WORTH_SAYING; said++)
    say_piece(&words, plan->pieces[sorted[said].piece].title, &sorted[said]);
  if (aisle->count > said)
    say_piece(&words, plan->pieces[sorted[aisle->count - 1].piece].title, &sorted[aisle->count - 1]);
  free(sorted);
  return bc_buffer_finish(&words, out, context);
}
