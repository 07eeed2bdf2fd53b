/* SPDX-License-Identifier: MIT */
/* A drawn surface as JPEG: papers that hold photographs stay small enough to be sent to a phone. */
#include "paper.h"

#include <backcloth/jpeg.h>

static const uint8_t *row_of(void *data, int y) {
  cairo_surface_t *surface = data;
  const size_t stride = (size_t)cairo_image_surface_get_stride(surface);
  return cairo_image_surface_get_data(surface) + (size_t)y * stride;
}

/* Colour is kept at full resolution: thin coloured edges matter here. */
bool drawing_jpeg(unsigned char **out, size_t *size, cairo_surface_t *surface, int quality) {
  const bc_jpeg_picture picture = {.width = cairo_image_surface_get_width(surface),
                                   .height = cairo_image_surface_get_height(surface),
                                   .order = BC_JPEG_BGRX,
                                   .row = row_of,
                                   .data = surface,
                                   .quality = quality,
                                   .full_colour = true};
  cairo_surface_flush(surface);
  return bc_jpeg_write(out, size, &picture);
}

bc_status bc_drawing_jpeg(unsigned char **out, size_t *size, bc_context *context, cairo_surface_t *surface,
                          int quality) {
  return drawing_jpeg(out, size, surface, quality) ? BC_OK : bc_fail_memory(context);
}
