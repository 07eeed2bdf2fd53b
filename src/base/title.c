/* SPDX-License-Identifier: MIT */
/* The name by which a piece is called, made from its photo's path. In: a path. Out: a title for people. */
#include "base.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

char *bc_path_title(const char *photo) {
  if (strcmp(photo, "-") == 0) return bc_copy_text(_("standard input"));
  const char *name = bc_path_name(photo);
  char *title = bc_copy_printable(*name ? name : photo);
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
