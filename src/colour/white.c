/* SPDX-License-Identifier: MIT */
/* The light of the photo from a white or grey reference that a person points out: exposure and cast are
 * corrected in linear light so that the reference takes the colour it really has. */
#include "base/base.h"
#include "colour_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The reference is judged in so many cells a side, which average out noise and weave. */
#define CELLS 12

/* Our choices, each generous to real sheets: */
#define CLIPPED_MOST 0.03    /* share of samples at the top of their scale */
#define DARKEST 0.08         /* light seen / light expected: 3.6 stops under */
#define UNEVEN_MOST 0.30     /* (95th - 5th percentile) / median over the cells: a soft shadow is about 0.2 */
#define OFF_LOCUS_MOST 0.035 /* duv: beyond any lamp with a camera's own balance on top; a pale pink mug is 0.04 */

/* --- measuring ---------------------------------------------------------------------------------------- */
typedef struct cells {
  double xyz[CELLS * CELLS][3];
  int width;
  const colour_matrix3 *to_xyz;
} cells;

static void store_cells(void *cargo, int y, const float *const plane[4]) {
  cells *c = cargo;
  for (int x = 0; x < c->width; x++) {
    const double light[3] = {(double)plane[0][x], (double)plane[1][x], (double)plane[2][x]};
    colour_matrix3_apply(c->to_xyz, light, c->xyz[y * c->width + x]);
  }
}

static double clipped_share(const bc_raster *part) {
  const size_t samples = (size_t)part->width * (size_t)part->model;
  const bool inks = part->model == BC_PHOTO_CMYK; /* no ink is the brightest */
  size_t clipped = 0;
  for (int y = 0; y < part->height; y++) {
    const uint8_t *row = (const uint8_t *)part->samples + (size_t)y * part->row_bytes;
    for (size_t i = 0; i < samples; i += inks ? 4 : 1) {
      if (inks)
        clipped += part->bits == 8 && row[i] + row[i + 1] + row[i + 2] + row[i + 3] == 0;
      else
        clipped += part->bits == 16 ? ((const uint16_t *)(const void *)row)[i] >= 65408 : row[i] == 255;
    }
  }
  /* One channel clipped is enough to falsify the cast, so the worst case of three is assumed. */
  const double pixels = (double)part->width * part->height;
  return fmin(1, (double)clipped / pixels);
}

static int compare_doubles(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

static double unevenness(const cells *c, int count) {
  double Y[CELLS * CELLS];
  for (int i = 0; i < count; i++) Y[i] = c->xyz[i][1];
  qsort(Y, (size_t)count, sizeof Y[0], compare_doubles);
  const double median = Y[count / 2];
  return median > 0 ? (Y[(count - 1) * 95 / 100] - Y[(count - 1) * 5 / 100]) / median : 0;
}

/* --- judging -------------------------------------------------------------------------------------------- */
typedef enum fault { SOUND, CLIPPED, DARK, UNEVEN, COLOURED } fault;

static fault judge(const double seen[3], const double expected[3], double clipped, double uneven) {
  if (clipped > CLIPPED_MOST) return CLIPPED;
  if (!(seen[1] > DARKEST * expected[1])) return DARK;
  if (uneven > UNEVEN_MOST) return UNEVEN;
  double light[3], uv[2], mired, duv;
  for (int i = 0; i < 3; i++) light[i] = seen[i] / expected[i] * colour_white_d50[i];
  colour_uv_of_xyz(light, uv);
  colour_locus_nearest(uv, &mired, &duv);
  return fabs(duv) > OFF_LOCUS_MOST ? COLOURED : SOUND;
}

static bc_status explain(bc_context *context, fault found, const char *name) {
  switch (found) {
  case CLIPPED:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the white reference is overexposed, so its true colour is lost. Take the photo a little "
                     "darker, or point to a grey part."),
                   name);
  case DARK:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the white reference is too dark to judge the light by. Take the photo brighter, or check the "
                     "box."),
                   name);
  case UNEVEN:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the white reference is not evenly lit: a shadow or an edge falls across the box. Choose a "
                     "smaller, even part of it."),
                   name);
  case COLOURED:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the box for the white reference shows something coloured. Check the box, or say what colour "
                     "the reference has."),
                   name);
  case SOUND:
    break;
  }
  return BC_OK;
}

/* --- measuring and correcting ------------------------------------------------------------------------ */
/* The part of the raster under a box of the full photo; false when the box leaves the photo or is empty. */
static bool cut(const bc_raster *raster, bc_box box, int full_width, int full_height, bc_raster *part) {
  if (box.width < 1 || box.height < 1 || box.x < 0 || box.y < 0 || box.x > full_width - box.width ||
      box.y > full_height - box.height)
    return false;
  const double sx = (double)raster->width / full_width, sy = (double)raster->height / full_height;
  int x0 = (int)ceil(box.x * sx), x1 = (int)floor((box.x + box.width) * sx);
  int y0 = (int)ceil(box.y * sy), y1 = (int)floor((box.y + box.height) * sy);
  if (x1 <= x0) x0 = (int)((box.x + 0.5 * box.width) * sx), x1 = x0 + 1; /* less than a pixel: the one below */
  if (y1 <= y0) y0 = (int)((box.y + 0.5 * box.height) * sy), y1 = y0 + 1;
  *part = *raster;
  part->width = x1 - x0;
  part->height = y1 - y0;
  part->alpha = NULL;
  part->samples = (const uint8_t *)raster->samples + (size_t)y0 * raster->row_bytes +
                  (size_t)x0 * (size_t)raster->model * (size_t)(raster->bits / 8);
  return true;
}

bc_status colour_white_measure(colour_white_measurement *out, bc_context *context, const bc_raster *raster,
                               const colour_linear *linear, const colour_white_request *request) {
  bc_raster part;
  *out = (colour_white_measurement){0};
  if (!cut(raster, request->box, request->full_width, request->full_height, &part))
    return bc_fail(
        context, BC_BAD_DATA,
        _("%s: the box for the white reference does not lie inside the photo, which is %d pixels wide and %d "
          "high."),
        request->name, request->full_width, request->full_height);
  cells c = {.width = part.width < CELLS ? part.width : CELLS, .to_xyz = &linear->to_xyz};
  const int height = part.height < CELLS ? part.height : CELLS;
  const bc_status status = colour_reduce(context, &part, linear, &(colour_reduction){c.width, height, store_cells, &c});
  if (status) return status;
  const int count = c.width * height;
  double expected[3];
  for (int i = 0; i < count; i++)
    for (int k = 0; k < 3; k++) out->seen[k] += c.xyz[i][k] / count;
  colour_lab_to_xyz(request->white_is.lab, expected);
  if (request->cast_only) /* an unknown grey: its colour is known, its lightness is left as seen */
    for (int k = 0; k < 3; k++) expected[k] = out->seen[1] * colour_white_d50[k];
  memcpy(out->expected, expected, sizeof expected);
  const fault found = judge(out->seen, expected, clipped_share(&part), unevenness(&c, count));
  if (found) return explain(context, found, request->name);
  if (!colour_adaptation(&out->correction, out->seen, expected)) return explain(context, COLOURED, request->name);
  return BC_OK;
}
