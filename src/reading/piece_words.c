/* SPDX-License-Identifier: MIT */
/* A reading in plain words.
 * In: bc_reading. Out: sentences for a person. */
#include "reading_internal.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

/* "dark brown (54 %), pale straw (30 %)": what covers at least a tenth, three at most, one in any case. */
static void add_colours(bc_buffer *text, const bc_reading *reading) {
  for (size_t i = 0; i < reading->colour_count && i < 3; i++) {
    const bc_main_colour *colour = &reading->colours[i];
    if (i && colour->share < 0.1) break;
    /* TRANSLATORS: a colour's name and its share of the piece */
    bc_buffer_add(text, i ? _(", %s (%.0f %%)") : _("%s (%.0f %%)"), colour->name, 100 * colour->share);
  }
}

bc_status bc_reading_to_words(char **out, bc_context *context, const bc_reading *reading) {
  char *title = bc_path_title(reading->photo);
  *out = NULL;
  if (!title) return bc_fail_memory(context);
  bc_buffer text = {0};
  /* TRANSLATORS: a piece's name, then its main colours */
  bc_buffer_add(&text, _("%s: "), title);
  free(title);
  add_colours(&text, reading);
  bc_buffer_add(&text, ". ");
  bc_buffer_add(
      &text,
      _("The piece fills %.0f %% of the photo; its lightness runs from %.0f to %.0f (0 is black, 100 is white)."),
      100 * reading->area_share, reading->lightness_p05, reading->lightness_p95);
  const double spread = bc_colour_spread(reading->mean, reading->uncertainty);
  if (spread > 0)
    bc_buffer_add(&text,
                  _(" Its colour is right to within about %.0f, and nearly always within %.0f (a difference of 2 can "
                    "just be seen side by side; a piece stands out from 20)."),
                  spread, 2 * spread);
  return bc_buffer_finish(&text, out, context);
}
