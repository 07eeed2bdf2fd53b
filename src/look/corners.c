/* SPDX-License-Identifier: MIT */
/* The wall's outline in a photo. */
#include "look_internal.h"

bc_status bc_look_find_outline(bc_look_outline *out, bc_context *context, const bc_image *image, const char *name) {
  *out = (bc_look_outline){0};
  (void)image;
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: the wall's corners are not seen for certain. Give them: --corners X,Y,X,Y,X,Y,X,Y, in pixels of "
        "the upright photo from its top left corner."),
      name);
}
