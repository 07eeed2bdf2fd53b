/* SPDX-License-Identifier: MIT */
/* Turns a raster upright. The eight orientations are a transposition (5 to 8) followed by mirroring
 * rows and columns. Source: Exif 2.32 (CIPA DC-008), tag 274 Orientation. */
#include "photo_internal.h"

#include <stdlib.h>
#include <string.h>

/* What to do, in this order: transpose, then mirror left-right, then mirror top-bottom. */
typedef struct turn {
  bool transpose, mirror_x, mirror_y;
} turn;

static const turn turns[9] = {
    [2] = {.mirror_x = true},
    [3] = {.mirror_x = true, .mirror_y = true},
    [4] = {.mirror_y = true},
    [5] = {.transpose = true},
    [6] = {.transpose = true, .mirror_x = true},
    [7] = {.transpose = true, .mirror_x = true, .mirror_y = true},
    [8] = {.transpose = true, .mirror_y = true},
};

/* One plane of pixels of `size` bytes. */
typedef struct plane {
  uint8_t *bytes;
  int width, height;
  size_t row_bytes, size;
} plane;

/* Squares of 32 x 32 pixels stay in the first-level cache on both sides. Inlined once per pixel size,
 * so that the copies become plain moves. */
static inline __attribute__((always_inline)) void turn_square(const plane *from, const plane *to, turn how, int x0,
                                                              int y0, size_t size) {
  const int x1 = x0 + 32 < from->width ? x0 + 32 : from->width;
  const int y1 = y0 + 32 < from->height ? y0 + 32 : from->height;
  const ptrdiff_t step = how.mirror_x ? -(ptrdiff_t)size : (ptrdiff_t)size;
  for (int x = x0; x < x1; x++) {
    const int row = how.mirror_y ? to->height - 1 - x : x;
    const int column = how.mirror_x ? to->width - 1 - y0 : y0;
    const uint8_t *in = from->bytes + (size_t)y0 * from->row_bytes + (size_t)x * size;
    uint8_t *out = to->bytes + (size_t)row * to->row_bytes + (size_t)column * size;
    for (int y = y0; y < y1; y++, in += from->row_bytes, out += step) memcpy(out, in, size);
  }
}

static void transpose(const plane *from, const plane *to, turn how) {
  for (int y = 0; y < from->height; y += 32)
    for (int x = 0; x < from->width; x += 32) switch (from->size) {
      case 1:
        turn_square(from, to, how, x, y, 1);
        break;
      case 3:
        turn_square(from, to, how, x, y, 3);
        break;
      case 4:
        turn_square(from, to, how, x, y, 4);
        break;
      default:
        turn_square(from, to, how, x, y, from->size);
      }
}

static void mirror_row(uint8_t *row, int width, size_t size) {
  uint8_t pixel[8];
  uint8_t *left = row, *right = row + (size_t)(width - 1) * size;
  for (; left < right; left += size, right -= size) {
    memcpy(pixel, left, size);
    memcpy(left, right, size);
    memcpy(right, pixel, size);
  }
}

static void swap_bytes(uint8_t *first, uint8_t *second, size_t count) {
  uint8_t aside[1024];
  for (size_t done = 0; done < count;) {
    const size_t part = count - done < sizeof aside ? count - done : sizeof aside;
    memcpy(aside, first + done, part);
    memcpy(first + done, second + done, part);
    memcpy(second + done, aside, part);
    done += part;
  }
}

static void mirror(const plane *raster, turn how) {
  if (how.mirror_x)
    for (int y = 0; y < raster->height; y++)
      mirror_row(raster->bytes + (size_t)y * raster->row_bytes, raster->width, raster->size);
  if (how.mirror_y)
    for (int top = 0, bottom = raster->height - 1; top < bottom; top++, bottom--)
      swap_bytes(raster->bytes + (size_t)top * raster->row_bytes, raster->bytes + (size_t)bottom * raster->row_bytes,
                 (size_t)raster->width * raster->size);
}

/* Turns a plane; the bytes may move to a new block, the old one is freed then. */
static bc_status turn_plane(plane *raster, bc_context *context, turn how) {
  if (!how.transpose) {
    mirror(raster, how);
    return BC_OK;
  }
  const plane upright = {
      .bytes = bc_allocate((size_t)raster->width * raster->size, (size_t)raster->height),
      .width = raster->height,
      .height = raster->width,
      .row_bytes = (size_t)raster->height * raster->size,
      .size = raster->size,
  };
  if (!upright.bytes) return bc_fail_memory(context);
  transpose(raster, &upright, how);
  free(raster->bytes);
  *raster = upright;
  return BC_OK;
}

bc_status photo_orient(bc_photo *photo, bc_context *context) {
  if (photo->orientation < 2 || photo->orientation > 8) return BC_OK;
  const turn how = turns[photo->orientation];
  bc_raster *const raster = &photo->raster;
  plane colour = {.bytes = photo->samples,
                  .width = raster->width,
                  .height = raster->height,
                  .row_bytes = raster->row_bytes,
                  .size = (size_t)raster->model * (size_t)raster->bits / 8};
  plane alpha = {.bytes = photo->alpha,
                 .width = raster->width,
                 .height = raster->height,
                 .row_bytes = (size_t)raster->width,
                 .size = 1};
  bc_status status = turn_plane(&colour, context, how);
  photo->samples = colour.bytes;
  if (status == BC_OK && photo->alpha) status = turn_plane(&alpha, context, how);
  photo->alpha = alpha.bytes;
  raster->samples = photo->samples;
  raster->alpha = photo->alpha;
  raster->width = colour.width;
  raster->height = colour.height;
  raster->row_bytes = colour.row_bytes;
  if (how.transpose) {
    const int width = photo->full_width;
    photo->full_width = photo->full_height;
    photo->full_height = width;
  }
  return status;
}
