/* SPDX-License-Identifier: MIT */
/* A reading in plain words, and the name by which a piece is called.
 * In: bc_reading. Out: sentences for a person. */
#include "reading_internal.h"

#include "base/file.h"
#include <stdlib.h>
#include <string.h>

char *bc_reading_title(const char *photo) {
  const char *name = bc_path_name(photo);
  char *title = bc_copy_utf8(*name ? name : photo);
  if (!title) return NULL;
  char *number = strrchr(title, '#'); /* of a piece among several in one photo */
  if (number && strspn(number + 1, "0123456789") != strlen(number + 1)) number = NULL;
  if (number) *number = '\0';
  char *dot = strrchr(title, '.');
  if (dot && dot > title) *dot = '\0';
  if (number) {
    const size_t length = strlen(title); /* "#1" becomes " 1" and moves up to where the suffix was */
    *number = ' ';
    memmove(title + length, number, strlen(number) + 1);
  }
  for (char *c = title; *c; c++)
    if (*c == '_' || *c == '-' || *c == '+') *c = ' ';
  return title;
}

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
  char *title = bc_reading_title(reading->photo);
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
  return bc_buffer_finish(&text, out, context);
}
