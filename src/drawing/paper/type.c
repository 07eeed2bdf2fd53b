/* SPDX-License-Identifier: MIT */
/* Setting type with Pango, in millimetres, the same at every resolution: no hinting, no rounding of
 * positions. Andika (made for legibility) first, Noto behind it for other scripts. */
#include "paper.h"

#include <math.h>
#include <pango/pangocairo.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#define FAMILIES                                                                                                       \
  "Andika, Noto Sans, Noto Sans Arabic, Noto Sans Devanagari, Noto Sans Ethiopic, Noto Sans CJK SC, sans-serif"

PangoContext *bc_drawing_type_context(void) {
  PangoContext *const pango = pango_font_map_create_context(pango_cairo_font_map_get_default());
  cairo_font_options_t *const options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(pango, options);
  pango_cairo_context_set_resolution(pango, 72);
  pango_context_set_round_glyph_positions(pango, FALSE);
  cairo_font_options_destroy(options);
  return pango;
}

/* Pango counts in 1/1024 of its unit; a unit here is 1/UNITS mm, so that small type keeps its metrics. */
#define UNITS 16.0

/* Pango mirrors left and right for a paragraph that runs from the right; a side of the paper must not be. So these
 * run as the language does, whatever their letters are. */
static void align(PangoLayout *layout, drawing_align side) {
  const PangoAlignment usual[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT};
  if (side < DRAWING_AT_LEFT) {
    pango_layout_set_alignment(layout, usual[side]);
    return;
  }
  const bool mirrored = bc_language_right_to_left();
  pango_context_set_base_dir(pango_layout_get_context(layout), mirrored ? PANGO_DIRECTION_RTL : PANGO_DIRECTION_LTR);
  pango_layout_set_auto_dir(layout, FALSE);
  pango_layout_set_alignment(layout, side == DRAWING_AT_LEFT ? PANGO_ALIGN_LEFT : PANGO_ALIGN_RIGHT);
}

static PangoLayout *layout_new(const drawing_type *type, const char *text) {
  PangoContext *const pango = bc_drawing_type_context();
  PangoLayout *const layout = pango_layout_new(pango);
  g_object_unref(pango);
  PangoFontDescription *const font = pango_font_description_from_string(FAMILIES);
  pango_font_description_set_absolute_size(font, type->size * UNITS * PANGO_SCALE);
  if (type->bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
  if (type->italic) pango_font_description_set_style(font, PANGO_STYLE_ITALIC);
  pango_layout_set_font_description(layout, font);
  pango_font_description_free(font);
  pango_layout_set_text(layout, text, -1);
  pango_layout_set_line_spacing(layout, 0.86f); /* Andika's own leading is generous */
  if (type->width > 0) {
    pango_layout_set_width(layout, (int)(type->width * UNITS * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    if (type->lines > 0) {
      pango_layout_set_height(layout, -type->lines);
      pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    }
    align(layout, type->align);
  }
  return layout;
}

static drawing_extent extent_of(PangoLayout *layout) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, NULL, &logical);
  const double unit = UNITS * PANGO_SCALE;
  return (drawing_extent){logical.width / unit, logical.height / unit, pango_layout_get_baseline(layout) / unit};
}

drawing_extent drawing_text_measure(const drawing_type *type, const char *text) {
  PangoLayout *const layout = layout_new(type, text);
  const drawing_extent extent = extent_of(layout);
  g_object_unref(layout);
  return extent;
}

int drawing_text_unknown(const char *text) {
  const drawing_type type = {.size = 3};
  PangoLayout *const layout = layout_new(&type, text);
  const int count = pango_layout_get_unknown_glyphs_count(layout);
  g_object_unref(layout);
  return count;
}

/* Tells the canvas each line, for formats whose letters are drawn as outlines. */
static void tell_lines(drawing_canvas *canvas, const drawing_type *type, PangoLayout *layout, const char *text) {
  PangoLayoutIter *const iter = pango_layout_get_iter(layout);
  const double unit = PANGO_SCALE;
  do {
    const PangoLayoutLine *const line = pango_layout_iter_get_line_readonly(iter);
    PangoRectangle logical;
    pango_layout_iter_get_line_extents(iter, NULL, &logical);
    drawing_canvas_add_words(canvas, &(drawing_words){.text = text + line->start_index,
                                                      .length = (size_t)line->length,
                                                      .size = type->size * UNITS,
                                                      .x = logical.x / unit,
                                                      .baseline = pango_layout_iter_get_baseline(iter) / unit,
                                                      .width = logical.width / unit,
                                                      .right_to_left = line->resolved_dir == PANGO_DIRECTION_RTL});
  } while (pango_layout_iter_next_line(iter));
  pango_layout_iter_free(iter);
}

drawing_extent drawing_text_fitted(drawing_canvas *canvas, drawing_type type, drawing_rect box, double smallest,
                                   const char *text) {
  const double largest = type.size;
  type.lines = 0;
  type.width = 0;
  drawing_extent extent = drawing_text_measure(&type, text);
  if (extent.width > box.width) { /* one line, a little smaller, reads better than two */
    type.size = fmax(largest * 0.75, smallest);
    extent = drawing_text_measure(&type, text);
  }
  if (extent.width > box.width) {
    type.width = box.width;
    for (type.size = largest;; type.size *= 0.94) {
      extent = drawing_text_measure(&type, text);
      if (extent.height <= box.height || type.size * 0.94 < smallest) break;
    }
  }
  if (extent.height > box.height || extent.width > box.width) return (drawing_extent){0, 0, 0};
  const double x = type.align == DRAWING_CENTRE  ? box.x + box.width / 2
                   : type.align == DRAWING_RIGHT ? box.x + box.width
                                                 : box.x;
  return drawing_text(canvas, &type, x, box.y + (box.height - extent.height) / 2, text);
}

drawing_extent drawing_text(drawing_canvas *canvas, const drawing_type *type, double x, double y, const char *text) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  PangoLayout *const layout = layout_new(type, text);
  const drawing_extent extent = extent_of(layout);
  const double breadth = type->width > 0 ? type->width : extent.width;
  const double shift = type->align == DRAWING_CENTRE                                       ? breadth / 2
                       : (type->align == DRAWING_RIGHT || type->align == DRAWING_AT_RIGHT) ? breadth
                                                                                           : 0;
  cairo_save(cairo);
  cairo_translate(cairo, x, y);
  cairo_rotate(cairo, type->angle);
  cairo_translate(cairo, -shift, 0);
  cairo_scale(cairo, 1 / UNITS, 1 / UNITS);
  drawing_use(cairo, type->ink);
  cairo_move_to(cairo, 0, 0);
  pango_cairo_update_layout(cairo, layout);
  pango_cairo_show_layout(cairo, layout);
  tell_lines(canvas, type, layout, text);
  drawing_canvas_count_unknown(canvas, pango_layout_get_unknown_glyphs_count(layout));
  cairo_restore(cairo);
  cairo_new_path(cairo);
  g_object_unref(layout);
  return extent;
}

drawing_extent drawing_textf(drawing_canvas *canvas, const drawing_type *type, double x, double y, const char *format,
                             ...) {
  va_list arguments;
  va_start(arguments, format);
  char *const text = bc_vsentence(format, arguments);
  va_end(arguments);
  if (!text) return (drawing_extent){0, 0, 0};
  const drawing_extent extent = drawing_text(canvas, type, x, y, text);
  free(text);
  return extent;
}
