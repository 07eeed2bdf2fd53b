/* SPDX-License-Identifier: MIT */
/* The photo as it came, with the cut-out's outline and the white sheet that its colours were measured by, so
 * that a person sees at a glance whether either is wrong.
 * In: study. Out: a small picture on a canvas. */
#include "drawing/paper/paper.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

#define PIXELS_PER_MM 8.0

/* Mean colour of the pixels that one pixel of the small picture covers. */
static bc_lab mean_of(const bc_image *image, int x0, int y0, int x1, int y1) {
  double L = 0, a = 0, b = 0, count = 0;
  for (int y = y0; y < y1; y++)
    for (int x = x0; x < x1; x++) {
      const size_t i = (size_t)y * (size_t)image->width + (size_t)x;
      L += (double)image->L[i];
      a += (double)image->a[i];
      b += (double)image->b[i];
      count++;
    }
  return (bc_lab){L / count, a / count, b / count};
}

static uint32_t code_of(bc_lab lab) {
  double rgb[3];
  uint32_t code = 0xff000000u;
  bc_lab_to_linear_srgb(lab, rgb);
  for (int i = 0; i < 3; i++) code |= (uint32_t)lrint(255 * bc_srgb_encode(fmin(1, fmax(0, rgb[i])))) << (16 - 8 * i);
  return code;
}

static void reduce(cairo_surface_t *small, const bc_image *image) {
  const int width = cairo_image_surface_get_width(small), height = cairo_image_surface_get_height(small);
  const int stride = cairo_image_surface_get_stride(small);
  unsigned char *const rows = cairo_image_surface_get_data(small);
  cairo_surface_flush(small);
  for (int y = 0; y < height; y++) {
    uint32_t *const row = (uint32_t *)(void *)(rows + (size_t)y * (size_t)stride);
    const int y0 = (int)((long)y * image->height / height), y1 = (int)((long)(y + 1) * image->height / height);
    for (int x = 0; x < width; x++) {
      const int x0 = (int)((long)x * image->width / width), x1 = (int)((long)(x + 1) * image->width / width);
      row[x] = code_of(mean_of(image, x0, y0, x1 > x0 ? x1 : x0 + 1, y1 > y0 ? y1 : y0 + 1));
    }
  }
  cairo_surface_mark_dirty(small);
}

static void paint_photo(cairo_t *cairo, const bc_image *image, drawing_rect at) {
  const int width = (int)fmin(image->width, ceil(at.width * PIXELS_PER_MM)),
            height = (int)fmin(image->height, ceil(at.height * PIXELS_PER_MM));
  cairo_surface_t *const small =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, width > 0 ? width : 1, height > 0 ? height : 1);
  if (cairo_surface_status(small) == CAIRO_STATUS_SUCCESS) {
    reduce(small, image);
    cairo_save(cairo);
    cairo_translate(cairo, at.x, at.y);
    cairo_scale(cairo, at.width / cairo_image_surface_get_width(small),
                at.height / cairo_image_surface_get_height(small));
    cairo_set_source_surface(cairo, small, 0, 0);
    cairo_pattern_set_extend(cairo_get_source(cairo), CAIRO_EXTEND_PAD);
    cairo_rectangle(cairo, 0, 0, cairo_image_surface_get_width(small), cairo_image_surface_get_height(small));
    cairo_fill(cairo);
    cairo_restore(cairo);
  }
  cairo_surface_destroy(small);
}

/* Dark between two pale lines: it shows on any photo, and in grey print. */
static void stroke_cased(cairo_t *cairo, double width) {
  cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
  drawing_use(cairo, drawing_white);
  cairo_set_line_width(cairo, width * 2.4);
  cairo_stroke_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, width);
  cairo_stroke(cairo);
}

/* One closed outline, places first to last - 1; where it leaves the photo nothing is drawn. */
static void trace_contour(cairo_t *cairo, const bc_rim_place *rim, size_t first, size_t last, drawing_rect at) {
  for (size_t k = 0; k <= last - first; k++) {
    const bc_rim_place *const place = &rim[k == last - first ? first : first + k];
    const double x = at.x + (double)place->x * at.width, y = at.y + (double)place->y * at.height;
    if (k == 0 || place->after_gap)
      cairo_move_to(cairo, x, y);
    else
      cairo_line_to(cairo, x, y);
  }
}

static void trace_outline(cairo_t *cairo, const bc_reading *reading, drawing_rect at) {
  for (size_t first = 0, last; first < reading->rim_count; first = last) {
    for (last = first + 1; last < reading->rim_count && reading->rim[last].contour == reading->rim[first].contour;)
      last++;
    trace_contour(cairo, reading->rim, first, last, at);
  }
  stroke_cased(cairo, 0.2);
}

static void frame_reference(cairo_t *cairo, const bc_image *image, drawing_rect at) {
  const bc_box box = image->reference_box;
  const double sx = at.width / image->full_width, sy = at.height / image->full_height;
  const double dash[2] = {0.9, 0.5};
  cairo_save(cairo);
  cairo_set_dash(cairo, dash, 2, 0);
  cairo_rectangle(cairo, at.x + box.x * sx, at.y + box.y * sy, box.width * sx, box.height * sy);
  stroke_cased(cairo, 0.35);
  cairo_restore(cairo);
}

static void draw(drawing_canvas *canvas, const bc_study *study, drawing_rect cell) {
  const bc_image *const image = study->image;
  const double scale = fmin(cell.width / image->width, cell.height / image->height);
  const double width = image->width * scale, height = image->height * scale;
  const drawing_rect at = {cell.x + (cell.width - width) / 2, cell.y + (cell.height - height) / 2, width, height};
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  cairo_save(cairo);
  paint_photo(cairo, study->photographed ? study->photographed : image, at);
  cairo_rectangle(cairo, at.x, at.y, at.width, at.height);
  cairo_clip(cairo);
  trace_outline(cairo, study->reading, at);
  if (image->reference != BC_REFERENCE_NONE) frame_reference(cairo, image, at);
  cairo_restore(cairo);
}

bc_status drawing_as_photographed(drawing_canvas *canvas, bc_context *context, const bc_study *study,
                                  drawing_rect cell) {
  bc_study *loaded;
  const bc_status status = bc_study_loaded(&loaded, context, study);
  if (status == BC_OK) draw(canvas, loaded ? loaded : study, cell);
  bc_study_free(loaded);
  return status;
}
