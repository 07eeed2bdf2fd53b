/* SPDX-License-Identifier: MIT */
/* Pictures of the feedback sheet, drawn once and used by page and paper alike. In: studies. Out: JPEG in memory. */
#include "feedback_internal.h"

#include <cairo.h>
#include <math.h>
#include <stdlib.h>

#define PIECE_MM 32.0
#define WALL_MM 182.0
#define PIECE_DOTS_PER_MM 11.811 /* 300 dots an inch */
#define WALL_DOTS_PER_MM 7.0
#define QUALITY 84
#define SMALL_WIDE 480 /* pixels, for the index page: about 20 kB per maker */
#define SMALL_QUALITY 72

static bc_status keep(bc_feedback_picture *out, bc_context *context, cairo_surface_t *surface, int quality) {
  *out = (bc_feedback_picture){.width = cairo_image_surface_get_width(surface),
                               .height = cairo_image_surface_get_height(surface)};
  return bc_drawing_jpeg(&out->jpeg, &out->size, context, surface, quality);
}

static bc_status keep_small(bc_feedback_picture *small, bc_context *context, cairo_surface_t *surface) {
  const int wide = cairo_image_surface_get_width(surface), high = cairo_image_surface_get_height(surface);
  const double scale = fmin(1, (double)SMALL_WIDE / wide);
  cairo_surface_t *reduced =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lrint(wide * scale), (int)lrint(fmax(1, high * scale)));
  cairo_t *cairo = cairo_create(reduced);
  cairo_scale(cairo, scale, scale);
  cairo_set_source_surface(cairo, surface, 0, 0);
  cairo_pattern_set_filter(cairo_get_source(cairo), CAIRO_FILTER_BEST);
  cairo_pattern_set_extend(cairo_get_source(cairo), CAIRO_EXTEND_PAD);
  cairo_paint(cairo);
  cairo_destroy(cairo);
  const bc_status status = keep(small, context, reduced, SMALL_QUALITY);
  cairo_surface_destroy(reduced);
  return status;
}

static bc_status finish(bc_feedback_picture *out, bc_feedback_picture *small, bc_context *context,
                        cairo_surface_t *surface) {
  cairo_surface_flush(surface);
  const bc_status status = small ? keep_small(small, context, surface) : BC_OK;
  return status == BC_OK ? keep(out, context, surface, QUALITY) : status;
}

void feedback_picture_clear(bc_feedback_picture *picture) {
  free(picture->jpeg);
  free(picture->words);
  *picture = (bc_feedback_picture){0};
}

static cairo_t *open_picture(double width_mm, double height_mm, double dots) {
  cairo_surface_t *surface =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lrint(width_mm * dots), (int)lrint(height_mm * dots));
  cairo_t *cairo = cairo_create(surface);
  cairo_surface_destroy(surface);
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_paint(cairo);
  cairo_scale(cairo, dots, dots);
  return cairo;
}

bc_status feedback_piece_picture(bc_feedback_picture *out, bc_feedback_picture *small, bc_context *context,
                                 const bc_study *study, const bc_cloth *cloth) {
  cairo_t *cairo = open_picture(PIECE_MM, PIECE_MM, PIECE_DOTS_PER_MM);
  bc_status status = bc_drawing_specimen(context, study, cloth, cairo, (bc_sheet_rect){0, 0, PIECE_MM, PIECE_MM});
  if (status == BC_OK) status = finish(out, small, context, cairo_get_target(cairo));
  cairo_destroy(cairo);
  return status;
}

bc_status feedback_wall_picture(bc_feedback_picture *out, bc_feedback_picture *small, bc_context *context,
                                const bc_plan *plan, bc_study *const *studies) {
  const double border = 3, width = WALL_MM - 2 * border;
  const double k = fmin(width / plan->stand.width, 150 / plan->stand.wall_height);
  const double wide = plan->stand.width * k, high = plan->stand.wall_height * k;
  cairo_t *cairo = open_picture(wide + 2 * border, high + 2 * border, WALL_DOTS_PER_MM);
  const bc_wall_place place = {.x = border, .y = border, .mm_per_cm = k, .type = 1.25};
  bc_status status = bc_drawing_wall(context, plan, studies, cairo, &place);
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.4);
  cairo_rectangle(cairo, border, border, wide, high);
  cairo_stroke(cairo);
  if (status == BC_OK) status = finish(out, small, context, cairo_get_target(cairo));
  cairo_destroy(cairo);
  return status;
}
