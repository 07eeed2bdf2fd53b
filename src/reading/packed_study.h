/* SPDX-License-Identifier: MIT */
/* A study without its pixels as bytes, every figure exact, and back; the mask beside it, made small. The bytes are for
 * the program that wrote them (base/kept): what has no pointer goes as it lies in memory. */
#ifndef BC_SRC_READING_PACKING_H
#define BC_SRC_READING_PACKING_H

#include "reading_internal.h"

/* Appends `count` studies of one photo. A failure is remembered in the buffer. */
void reading_pack_studies(bc_buffer *out, bc_study *const *studies, size_t count);
/* Fills `*out` with `*count` studies whose images have no planes and whose cut-outs no alpha. False when the bytes hold
 * none, or there is no memory. */
bool reading_unpack_studies(bc_study ***out, size_t *count, bc_context *context, const uint8_t *bytes, size_t size);
/* The mask of study number `part` from the same bytes: width x height, malloc'd; NULL when it isn't there. */
uint8_t *reading_unpack_mask(const uint8_t *bytes, size_t size, size_t part);

#endif
