/* SPDX-License-Identifier: MIT */
/* The piece alone, as the page shows it on cloths and on the wall: WebP with its transparency, at most 800 px, since
 * a dozen of these are what a phone loads first. Figures never come from it. */
#include "jobs.h"

#include <stdlib.h>
#include <string.h>
#include <webp/encode.h>

#define MOST_PX 800
#define QUALITY 86

static void fill(uint8_t *samples, const bc_image *image, const bc_cutout *cutout) {
  const bc_box box = cutout->box;
  for (int y = 0; y < box.height; y++)
    for (int x = 0; x < box.width; x++) {
      const size_t from = (size_t)(y + box.y) * (size_t)image->width + (size_t)(x + box.x);
      uint8_t *to = samples + 4 * ((size_t)y * (size_t)box.width + (size_t)x);
      to[3] = cutout->alpha[from];
      if (to[3]) web_srgb_of(to, image, from);
    }
}

static bool fit(WebPPicture *picture) {
  const int longer = picture->width > picture->height ? picture->width : picture->height;
  if (longer <= MOST_PX) return true;
  const bool wide = picture->width == longer; /* 0: follows from the other */
  return WebPPictureRescale(picture, wide ? MOST_PX : 0, wide ? 0 : MOST_PX);
}

static bool encode(WebPMemoryWriter *writer, const uint8_t *samples, bc_box box) {
  WebPConfig config;
  WebPPicture picture;
  if (!WebPConfigPreset(&config, WEBP_PRESET_PHOTO, QUALITY) || !WebPPictureInit(&picture)) return false;
  config.method = 1; /* whoever drew a stroke is waiting */
  picture.use_argb = 1;
  picture.width = box.width;
  picture.height = box.height;
  picture.writer = WebPMemoryWrite;
  picture.custom_ptr = writer;
  const bool done =
      WebPPictureImportRGBA(&picture, samples, 4 * box.width) && fit(&picture) && WebPEncode(&config, &picture);
  WebPPictureFree(&picture);
  return done;
}

bc_status web_cutout_webp(bc_apart_part *out, bc_context *context, bc_image *image, const bc_cutout *cutout) {
  const bc_box box = cutout->box;
  WebPMemoryWriter writer;
  uint8_t *samples = bc_allocate((size_t)box.width * (size_t)box.height, 4);
  if (!samples) return bc_fail_memory(context);
  const bc_status status = bc_cutout_clean_edge(cutout, context, image);
  if (status == BC_OK) fill(samples, image, cutout);
  WebPMemoryWriterInit(&writer);
  const bool done = status == BC_OK && encode(&writer, samples, box);
  free(samples);
  if (done) {
    *out = (bc_apart_part){writer.mem, writer.size}; /* from malloc, as ours */
    return BC_OK;
  }
  WebPMemoryWriterClear(&writer);
  return status != BC_OK ? status : bc_fail_memory(context);
}
