/* SPDX-License-Identifier: MIT */
/* What the samples mean: embedded profiles are taken over, declarations become primaries and curves. */
#include "photo_internal.h"

#include <stdlib.h>
#include <string.h>

bc_status bc_photo_fail_profile_size(bc_context *context, const bc_source *source) {
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: its colour profile is larger than the %.1f MB that are accepted. Save the picture with a common "
        "profile such as sRGB."),
      source->name, (double)bc_context_limits(context)->profile_bytes / 1048576.0);
}

bc_status bc_photo_take_profile(bc_photo *photo, bc_context *context, const bc_source *source, const void *bytes,
                                size_t size) {
  if (size == 0) return BC_OK;
  if (size > bc_context_limits(context)->profile_bytes) return bc_photo_fail_profile_size(context, source);
  uint8_t *copy = bc_allocate(size, 1);
  if (!copy) return bc_fail_memory(context);
  memcpy(copy, bytes, size);
  free(photo->profile);
  photo->profile = copy;
  photo->profile_size = size;
  photo->profile_source = BC_PROFILE_EMBEDDED;
  return BC_OK;
}
