/* SPDX-License-Identifier: MIT */
/* The work that workers do: numbers and names of parts, for both sides. */
#ifndef BC_SRC_WEB_JOBS_H
#define BC_SRC_WEB_JOBS_H

#include <backcloth/apart.h>
#include <backcloth/arrange.h>
#include <backcloth/match.h>
#include <backcloth/program.h>

enum { WEB_JOB_PIECE = 1, WEB_JOB_CLOTH, WEB_JOB_STUDY };                                /* decoders */
enum { WEB_JOB_MATCH = 1, WEB_JOB_PLAN, WEB_JOB_ARRANGE, WEB_JOB_FILE, WEB_JOB_COLOUR }; /* planners */

/* Parts of the answer to WEB_JOB_PIECE. With "previewed" in the order the preview is empty, as it did not change.
 * With "keep_image" the reduced image comes along, packed; given back as the file of a later order with "image", it
 * stands for the photo, so that a further stroke need not decode it again. */
enum { WEB_PIECE_FACTS = 0, WEB_PIECE_READING, WEB_PIECE_PREVIEW, WEB_PIECE_CUTOUT, WEB_PIECE_MASK, WEB_PIECE_IMAGE };

bc_status web_decoder_work(bc_context *context, const bc_apart_message *in, bc_apart_message *out);
bc_status web_order_work(bc_context *context, const bc_apart_message *in, bc_apart_message *out);

/* Pictures in memory, malloc'd. */
void web_srgb_of(uint8_t rgb[3], const bc_image *image, size_t i); /* colours that sRGB lacks are clipped */
bc_status web_preview_jpeg(bc_apart_part *out, bc_context *context, const bc_image *image);
bc_status web_mask_png(bc_apart_part *out, bc_context *context, const bc_cutout *cutout);
/* The piece alone, its edge cleaned; `box` is where it lies in pixels of the image. Changes the image. */
bc_status web_cutout_webp(bc_apart_part *out, bc_context *context, bc_image *image, const bc_cutout *cutout);

/* A whole reading, or study, as bytes and back, every figure exact. Unpacking trusts no size. */
bc_status web_reading_pack(bc_apart_part *out, bc_context *context, const bc_reading *reading);
bc_status web_reading_unpack(bc_reading **out, bc_context *context, const void *bytes, size_t size, size_t *used);
bc_status web_image_pack(bc_apart_part *out, bc_context *context, const bc_image *image);
bc_status web_image_unpack(bc_image **out, bc_context *context, const void *bytes, size_t size);
bc_status web_study_pack(bc_apart_part *out, bc_context *context, const bc_study *study);
bc_status web_study_unpack(bc_study **out, bc_context *context, const void *bytes, size_t size);

#endif
