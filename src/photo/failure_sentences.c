/* SPDX-License-Identifier: MIT */
/* The sentences that several decoders need, so that the same fault reads the same in every format. */
#include "photo_internal.h"

bc_status photo_fail_cut_off(bc_context *context, const photo_source *source) {
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: the file is cut off: its end is missing. Copy it again from the camera or phone."),
                 source->name);
}

bc_status photo_fail_damaged(bc_context *context, const photo_source *source) {
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: the picture in this file is damaged. Copy it again from the camera or phone, or open it in "
                   "another program and save it anew."),
                 source->name);
}

bc_status photo_fail_kind(bc_context *context, const photo_source *source) {
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: this rare kind of picture file is not read here. Open it in another program and save it as an "
                   "ordinary JPEG or PNG."),
                 source->name);
}
