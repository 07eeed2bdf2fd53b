/* SPDX-License-Identifier: MIT */
/* The reduced image of a photo, kept for the strokes to come: call_strokes.c. */
#ifndef BC_SRC_WEB_STROKES_H
#define BC_SRC_WEB_STROKES_H

#include "calls.h"

void web_keep_image(const web_request *r, const char *id, const json_t *help, const bc_apart_message *made);

#endif
