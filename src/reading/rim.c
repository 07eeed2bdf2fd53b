/* SPDX-License-Identifier: MIT */
/* The rim: evenly spaced places along the outline and the mean colour of the band just inside each.
 * In: image, cut-out, traced outline. Out: bc_reading.rim. Source: docs/method/reading.md. */
#include "reading_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BAND_SHARE 0.02   /* of the piece's smaller side, as the definition of outline_share says */
#define SMALLEST_BAND 4.0 /* pixels: nearer to the outline there is hardly anything but the soft edge */

/* Within two pixels of the outline a photo mixes the piece with its old background (lens, sharpening,
 * chroma subsampling), so such pixels count little; thin parts have no others and then still count. */
static const double depth_weight[3] = {0.02, 0.25, 1.0};

typedef struct band {
  const bc_image *image;
  const bc_cutout *cutout;
  uint8_t *depth; /* 0 outermost pixel of the piece, 1 the next, 2 deeper */
  double radius;
} band;

/* 3 x 3 erosion of a 0/1 plane; beyond the photo's border the piece is taken to go on. */
static void erode(uint8_t *to, const uint8_t *from, uint8_t *row_buffer, int width, int height) {
  const size_t w = (size_t)width;
  for (int y = 0; y < height; y++) {
    const uint8_t *here = from + (size_t)y * w, *above = y > 0 ? here - w : here,
                  *below = y + 1 < height ? here + w : here;
    for (size_t x = 0; x < w; x++) row_buffer[x] = above[x] & here[x] & below[x];
    uint8_t *out = to + (size_t)y * w;
    for (size_t x = 0; x < w; x++) {
      const uint8_t left = row_buffer[x > 0 ? x - 1 : 0], right = row_buffer[x + 1 < w ? x + 1 : x];
      out[x] = left & row_buffer[x] & right;
    }
  }
}

static bc_status measure_depth(band *b, bc_context *context) {
  const int width = b->cutout->width, height = b->cutout->height;
  const size_t pixels = (size_t)width * (size_t)height;
  uint8_t *planes = bc_allocate(pixels, 3), *row = bc_allocate((size_t)width, 1);
  b->depth = bc_allocate(pixels, 1);
  if (!planes || !row || !b->depth) {
    free(planes);
    free(row);
    return bc_fail_memory(context);
  }
  uint8_t *piece = planes, *once = planes + pixels, *twice = planes + 2 * pixels;
  for (size_t i = 0; i < pixels; i++) piece[i] = b->cutout->alpha[i] >= 128;
  erode(once, piece, row, width, height);
  erode(twice, once, row, width, height);
  for (size_t i = 0; i < pixels; i++) b->depth[i] = (uint8_t)(once[i] + twice[i]);
  free(planes);
  free(row);
  return BC_OK;
}

/* Mean of the band near a place: the piece's pixels within one band width of it. False when only the
 * two outermost pixels of the piece were there: the part is thin. */
static bool read_place(const band *b, bc_rim_place *place, double x, double y) {
  const int width = b->image->width, height = b->image->height;
  const int x0 = (int)fmax(0, floor(x - b->radius)), x1 = (int)fmin(width - 1, ceil(x + b->radius));
  const int y0 = (int)fmax(0, floor(y - b->radius)), y1 = (int)fmin(height - 1, ceil(y + b->radius));
  double sum = 0, deep = 0, L = 0, a = 0, bb = 0, Y = 0;
  for (int py = y0; py <= y1; py++)
    for (int px = x0; px <= x1; px++) {
      const double dx = px + 0.5 - x, dy = py + 0.5 - y;
      const size_t i = (size_t)py * (size_t)width + (size_t)px;
      const uint8_t alpha = b->cutout->alpha[i];
      if (alpha < 128 || dx * dx + dy * dy > b->radius * b->radius) continue;
      const double weight = depth_weight[b->depth[i]] * (alpha / 255.0);
      sum += weight;
      if (b->depth[i] == 2) deep += weight;
      L += weight * (double)b->image->L[i];
      a += weight * (double)b->image->a[i];
      bb += weight * (double)b->image->b[i];
      Y += weight * (double)b->image->Y[i];
    }
  if (!(sum > 0)) return false;
  place->L = (float)(L / sum);
  place->a = (float)(a / sum);
  place->b = (float)(bb / sum);
  place->luminance = (float)(Y / sum);
  return deep > 0;
}

typedef struct walker {
  bc_reading *reading;
  const band *band;
  double spacing;
  size_t room, thin;
} walker;

static void put_place(walker *w, double x, double y, int contour, bool after_gap) {
  if (w->reading->rim_count == w->room) return;
  bc_rim_place *place = &w->reading->rim[w->reading->rim_count++];
  const bc_lab mean = w->reading->mean.lab;
  *place = (bc_rim_place){.x = (float)(x / w->band->image->width),
                          .y = (float)(y / w->band->image->height),
                          .luminance = (float)w->reading->mean.luminance,
                          .L = (float)mean.L,
                          .a = (float)mean.a,
                          .b = (float)mean.b,
                          .contour = contour,
                          .after_gap = after_gap};
  if (!read_place(w->band, place, x, y)) w->thin++;
}

/* Puts places every `spacing` along the piece's own outline, the first half a spacing after the start. */
static void walk(walker *w, const reading_vertex *vertex, size_t count, int contour) {
  double to_next = w->spacing / 2;
  bool gap = false;
  for (size_t i = 0; i < count; i++) {
    const reading_vertex *here = &vertex[i], *after = &vertex[(i + 1) % count];
    if (here->photo_edge && after->photo_edge) {
      gap = true;
      continue;
    }
    const double dx = (double)(after->x - here->x), dy = (double)(after->y - here->y), length = hypot(dx, dy);
    double done = 0;
    while (length - done >= to_next) {
      done += to_next;
      put_place(w, (double)here->x + dx * done / length, (double)here->y + dy * done / length, contour, gap);
      to_next = w->spacing;
      gap = false;
    }
    to_next -= length - done;
  }
}

/* Glass in a finished cut-out: the alpha well inside the piece isn't full. A mask found in a photo says
 * how sure the edge is, not how clear the piece is, so only the photo's own alpha counts. */
static double see_through(const band *b) {
  if (b->cutout->source != BC_CUTOUT_ALPHA) return 0;
  const size_t pixels = (size_t)b->image->width * (size_t)b->image->height;
  double sum = 0, count = 0;
  for (size_t i = 0; i < pixels; i++) {
    if (b->depth[i] != 2) continue;
    sum += b->cutout->alpha[i] / 255.0;
    count++;
  }
  const double through = count > 0 ? 1 - sum / count : 0;
  return through > 0.03 ? through : 0; /* less is compression noise */
}

static bc_status note_thin(bc_reading *reading, bc_context *context, size_t thin) {
  if (4 * thin < reading->rim_count || !reading->rim_count) return BC_OK;
  return bc_note(&reading->notes, context,
                 _("Much of the piece is only a few pixels wide in this photo, so its edge colours are mixed with the "
                   "photo's own background. A photo taken from nearer would say more."));
}

bc_status reading_rim(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                      const reading_outline *outline) {
  const size_t room = outline->length < BC_READING_RIM ? (size_t)outline->length : BC_READING_RIM;
  reading->rim = bc_allocate(room, sizeof *reading->rim);
  if (!reading->rim) return bc_fail_memory(context);
  if (!room) return BC_OK;
  const int side = cutout->box.width < cutout->box.height ? cutout->box.width : cutout->box.height;
  band b = {.image = image, .cutout = cutout, .radius = fmax(SMALLEST_BAND, BAND_SHARE * side)};
  bc_status status = measure_depth(&b, context);
  if (status == BC_OK) {
    walker w = {.reading = reading, .band = &b, .spacing = outline->length / (double)room, .room = room};
    for (size_t i = 0; i < outline->contour_count; i++)
      walk(&w, outline->vertex + outline->contour[i].first, outline->contour[i].count, (int)i);
    status = note_thin(reading, context, w.thin);
    reading->see_through = see_through(&b);
  }
  free(b.depth);
  return status;
}
