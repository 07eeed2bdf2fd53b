/* SPDX-License-Identifier: MIT */
/* Pages of the set-up sheet and type that stays in its box: it wraps, then shrinks, and what still does not
 * fit ends in an ellipsis. */
#include "setup_sheet.h"

#include "base/document.h"
#include <cairo-pdf.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <stdlib.h>

#define FAMILIES "Andika, Noto Sans, Noto Sans Arabic, Noto Sans Devanagari, sans-serif"
#define UNITS 16.0 /* Pango's units a mm: small type keeps its metrics */

void sheet_sign_pdf(cairo_surface_t *pdf) {
  char date[BC_DOCUMENT_DATE_ROOM];
  base_document_date(date);
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATOR, "backcloth");
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATE_DATE, date); /* left out when empty */
}

void sheet_page_next(sheet_page *page) {
  page->number++;
  if (page->stacked)
    cairo_translate(page->cairo, 0, page->height);
  else
    cairo_show_page(page->cairo);
}

double sheet_left(const sheet_page *page, double x, double width) {
  return page->mirrored ? page->width - x - width : x;
}

static PangoLayout *layout_of(const sheet_page *page, const sheet_type *type, double size, double width,
                              const char *text) {
  PangoContext *const pango = bc_drawing_type_context();
  const bool backwards = page->mirrored && !type->figures;
  pango_context_set_base_dir(pango, backwards ? PANGO_DIRECTION_RTL : PANGO_DIRECTION_LTR);
  PangoLayout *const layout = pango_layout_new(pango);
  g_object_unref(pango);
  PangoFontDescription *const font = pango_font_description_from_string(FAMILIES);
  pango_font_description_set_absolute_size(font, size * UNITS * PANGO_SCALE);
  if (type->bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
  pango_layout_set_font_description(layout, font);
  pango_font_description_free(font);
  pango_layout_set_auto_dir(layout, FALSE); /* the page decides, so that columns line up */
  pango_layout_set_line_spacing(layout, 0.86f);
  pango_layout_set_width(layout, (int)(width * UNITS * PANGO_SCALE));
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  const bool right = (type->align == SHEET_END) != page->mirrored;
  pango_layout_set_alignment(layout, type->align == SHEET_CENTRE ? PANGO_ALIGN_CENTER
                                     : right                     ? PANGO_ALIGN_RIGHT
                                                                 : PANGO_ALIGN_LEFT);
  pango_layout_set_text(layout, text, -1);
  return layout;
}

static double height_of(PangoLayout *layout) {
  PangoRectangle logical;
  pango_layout_get_extents(layout, NULL, &logical);
  return logical.height / (UNITS * PANGO_SCALE);
}

double sheet_text(sheet_page *page, sheet_box box, sheet_type type, const char *tag, const char *text) {
  double size = type.size;
  PangoLayout *layout = layout_of(page, &type, size, box.width, text);
  while (height_of(layout) > box.height + 0.05 && size > SHEET_SMALLEST_MM) {
    g_object_unref(layout);
    size = fmax(SHEET_SMALLEST_MM, size * 0.94);
    layout = layout_of(page, &type, size, box.width, text);
  }
  const bool cut = height_of(layout) > box.height + 0.05;
  if (cut) {
    page->cut++;
    pango_layout_set_ellipsize(layout, type.keep_end ? PANGO_ELLIPSIZE_MIDDLE : PANGO_ELLIPSIZE_END);
    pango_layout_set_height(layout, (int)(box.height * UNITS * PANGO_SCALE));
  }
  const double height = height_of(layout);
  cairo_t *const cairo = page->cairo;
  cairo_tag_begin(cairo, tag ? tag : "P", NULL);
  cairo_save(cairo);
  cairo_translate(cairo, sheet_left(page, box.x, box.width), box.y + (type.middle ? (box.height - height) / 2 : 0));
  cairo_scale(cairo, 1 / UNITS, 1 / UNITS);
  const double ink = type.white ? 1 : type.grey ? 0.36 : 0.1;
  cairo_set_source_rgb(cairo, ink, ink, ink);
  pango_cairo_update_layout(cairo, layout);
  cairo_move_to(cairo, 0, 0);
  pango_cairo_show_layout(cairo, layout);
  cairo_restore(cairo);
  cairo_new_path(cairo);
  cairo_tag_end(cairo, tag ? tag : "P");
  g_object_unref(layout);
  return height;
}
