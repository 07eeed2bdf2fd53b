/* SPDX-License-Identifier: MIT */
/* Translation: gettext with the library's own domain, so that a host program's is left alone. */
#include "base.h"

#include <libintl.h>

#define DOMAIN "backcloth"

const char *bc_text(const char *english) {
  return dgettext(DOMAIN, english);
}

const char *bc_text_plural(const char *one, const char *many, unsigned long count) {
  return dngettext(DOMAIN, one, many, count);
}

const char *bc_version(void) {
  return BC_VERSION;
}
