/* SPDX-License-Identifier: MIT */
/* A sheet of paper in millimetres that becomes PNG, PDF or SVG. Layers draw on it without knowing
 * which. PDF and SVG go through Cairo's stream surfaces into the writer that never leaves half a file. */
#include "base/document.h"
#include "paper.h"

#include <backcloth/file.h>
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define POINTS_PER_MM (72.0 / 25.4)
/* Cairo's own coordinates end at 2^23; 32767 is the largest image it makes. */
#define PIXELS_MOST 32767
#define PAPER_QUALITY 92 /* of JPEG: no block shows at reading distance at 300 dots an inch */

struct drawing_canvas {
  drawing_format format;
  char *path, *title;
  double width, height, pixels_per_mm;
  cairo_surface_t *surface;
  cairo_t *cairo;
  bc_file_writer *writer; /* PDF, SVG */
  bc_buffer svg;          /* the SVG as Cairo writes it: finished only when the words are put into it */
  bc_buffer words;        /* SVG: every line of type once more, as text */
  int unknown_letters;    /* that no font here can show */
};

bc_status drawing_format_of(drawing_format *out, bc_context *context, const char *path) {
  *out = DRAWING_PNG;
  if (bc_path_has_suffix(path, "png")) return BC_OK;
  *out = DRAWING_PDF;
  if (bc_path_has_suffix(path, "pdf")) return BC_OK;
  *out = DRAWING_SVG;
  if (bc_path_has_suffix(path, "svg")) return BC_OK;
  return bc_fail(context, BC_BAD_USAGE, _("%s: the name of a picture must end in .png, .pdf or .svg."), path);
}

bc_status bc_drawing_check_name(bc_context *context, const char *path) {
  drawing_format format;
  return drawing_format_of(&format, context, path);
}

static cairo_status_t stream(void *closure, const unsigned char *bytes, unsigned int size) {
  bc_file_writer_write(closure, bytes, size);
  return CAIRO_STATUS_SUCCESS; /* the writer remembers failures and tells them once */
}

static cairo_status_t stream_svg(void *closure, const unsigned char *bytes, unsigned int size) {
  bc_buffer_add_bytes(closure, bytes, size);
  return CAIRO_STATUS_SUCCESS; /* so does the buffer */
}

/* Cairo leaves the date out when it is empty. */
static void date_pdf(cairo_surface_t *pdf) {
  char date[BC_DOCUMENT_DATE_ROOM];
  base_document_date(date);
  cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATE_DATE, date);
}

static bc_status check_pixels(bc_context *context, const drawing_canvas *canvas) {
  const double width = canvas->width * canvas->pixels_per_mm, height = canvas->height * canvas->pixels_per_mm;
  const bc_limits *const limits = bc_context_limits(context);
  if (width <= PIXELS_MOST && height <= PIXELS_MOST && width * height <= (double)limits->photo_pixels &&
      width * height * 4 <= (double)limits->decode_bytes)
    return BC_OK;
  return bc_fail(context, BC_BAD_USAGE,
                 _("%s: the picture would be %.0f x %.0f pixels, which is too large. Ask for fewer pixels per cm."),
                 canvas->path, width, height);
}

static cairo_surface_t *open_surface(drawing_canvas *canvas) {
  if (canvas->format == DRAWING_PNG)
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lrint(canvas->width * canvas->pixels_per_mm),
                                      (int)lrint(canvas->height * canvas->pixels_per_mm));
  if (canvas->format == DRAWING_PDF) {
    cairo_surface_t *const pdf = cairo_pdf_surface_create_for_stream(
        stream, canvas->writer, canvas->width * POINTS_PER_MM, canvas->height * POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_TITLE, canvas->title);
    cairo_pdf_surface_set_metadata(pdf, CAIRO_PDF_METADATA_CREATOR, "backcloth");
    date_pdf(pdf);
    return pdf;
  }
  cairo_surface_t *const svg =
      cairo_svg_surface_create_for_stream(stream_svg, &canvas->svg, canvas->width, canvas->height);
  cairo_svg_surface_set_document_unit(svg, CAIRO_SVG_UNIT_MM);
  return svg;
}

/* The paper: white where it is printed, a trace warmer on a screen. */
static void prepare_sheet(drawing_canvas *canvas) {
  cairo_t *const cairo = canvas->cairo;
  const double scale = canvas->format == DRAWING_PNG   ? canvas->pixels_per_mm
                       : canvas->format == DRAWING_PDF ? POINTS_PER_MM
                                                       : 1;
  cairo_identity_matrix(cairo);
  cairo_scale(cairo, scale, scale);
  drawing_use(cairo, drawing_paper_of(canvas));
  cairo_paint(cairo);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_BUTT);
  cairo_set_line_join(cairo, CAIRO_LINE_JOIN_MITER);
}

bc_status drawing_canvas_open(drawing_canvas **out, bc_context *context, const char *path, drawing_sheet_size sheet) {
  *out = NULL;
  drawing_canvas *const canvas = bc_allocate(1, sizeof *canvas);
  if (!canvas) return bc_fail_memory(context);
  canvas->path = bc_copy_text(path);
  canvas->title = bc_copy_text(sheet.title ? sheet.title : "");
  canvas->width = sheet.width;
  canvas->height = sheet.height;
  canvas->pixels_per_mm = sheet.pixels_per_mm;
  bc_status status = canvas->path && canvas->title ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = drawing_format_of(&canvas->format, context, path);
  if (status == BC_OK && canvas->format == DRAWING_PNG) status = check_pixels(context, canvas);
  if (status == BC_OK && canvas->format != DRAWING_PNG) status = bc_file_writer_open(&canvas->writer, context, path);
  if (status == BC_OK) {
    canvas->surface = open_surface(canvas);
    canvas->cairo = cairo_create(canvas->surface);
    if (cairo_status(canvas->cairo) != CAIRO_STATUS_SUCCESS) status = bc_fail_memory(context);
  }
  if (status != BC_OK) {
    drawing_canvas_abandon(canvas);
    return status;
  }
  prepare_sheet(canvas);
  *out = canvas;
  return BC_OK;
}

bc_status drawing_canvas_borrow(drawing_canvas **out, bc_context *context, cairo_t *cairo) {
  *out = bc_allocate(1, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  (*out)->format = DRAWING_PDF;
  (*out)->cairo = cairo_reference(cairo);
  return BC_OK;
}

cairo_t *drawing_canvas_cairo(drawing_canvas *canvas) {
  return canvas->cairo;
}

drawing_ink drawing_paper_of(const drawing_canvas *canvas) {
  return canvas->format == DRAWING_PDF ? drawing_white : drawing_paper;
}

/* ---- words that can be selected and searched ---- */

static void add_escaped(bc_buffer *out, const char *text, size_t length) {
  for (size_t i = 0; i < length; i++) switch (text[i]) {
    case '&':
      bc_buffer_add(out, "&amp;");
      break;
    case '<':
      bc_buffer_add(out, "&lt;");
      break;
    case '>':
      bc_buffer_add(out, "&gt;");
      break;
    default:
      if ((unsigned char)text[i] >= 0x20) bc_buffer_add_bytes(out, &text[i], 1);
    }
}

/* Numbers of an SVG never follow the locale. */
static void add_number(bc_buffer *out, const char *before, double value) {
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  bc_buffer_add(out, "%s%s", before, g_ascii_formatd(digits, sizeof digits, "%.4f", value));
}

void drawing_canvas_add_words(drawing_canvas *canvas, const drawing_words *words) {
  if (canvas->format != DRAWING_SVG || words->length == 0) return;
  cairo_matrix_t matrix;
  cairo_get_matrix(canvas->cairo, &matrix);
  bc_buffer *const out = &canvas->words;
  bc_buffer_add(out, "<text%s", words->right_to_left ? " direction=\"rtl\"" : "");
  add_number(out, " transform=\"matrix(", matrix.xx);
  add_number(out, " ", matrix.yx);
  add_number(out, " ", matrix.xy);
  add_number(out, " ", matrix.yy);
  add_number(out, " ", matrix.x0);
  add_number(out, " ", matrix.y0);
  add_number(out, ")\" x=\"", words->right_to_left ? words->x + words->width : words->x);
  add_number(out, "\" y=\"", words->baseline);
  add_number(out, "\" font-size=\"", words->size);
  add_number(out, "\" textLength=\"", words->width);
  bc_buffer_add(out, "\" lengthAdjust=\"spacingAndGlyphs\">");
  add_escaped(out, words->text, words->length);
  bc_buffer_add(out, "</text>\n");
}

void drawing_canvas_count_unknown(drawing_canvas *canvas, int letters) {
  canvas->unknown_letters += letters;
}
int drawing_canvas_unknown(const drawing_canvas *canvas) {
  return canvas->unknown_letters;
}

/* Cairo draws type as outlines, the same in every viewer. The words lie over them unseen, each line in
 * its own place and length, so that they can be selected, searched and read aloud. */
static void put_words(drawing_canvas *canvas) {
  static const char end[] = "</svg>";
  size_t at = canvas->svg.length;
  while (at > 0 && strncmp(canvas->svg.text + at, end, sizeof end - 1) != 0) at--;
  bc_file_writer_write(canvas->writer, canvas->svg.text, at);
  static const char open[] = "<g fill-opacity=\"0\" pointer-events=\"all\" "
                             "font-family=\"Andika, Noto Sans, sans-serif\" xml:space=\"preserve\">\n";
  bc_file_writer_write(canvas->writer, open, sizeof open - 1);
  if (canvas->words.length) bc_file_writer_write(canvas->writer, canvas->words.text, canvas->words.length);
  bc_file_writer_write(canvas->writer, "</g>\n</svg>\n", 12);
}

void drawing_canvas_next_sheet(drawing_canvas *canvas) {
  cairo_show_page(canvas->cairo);
  prepare_sheet(canvas);
}

static void canvas_free(drawing_canvas *canvas) {
  if (canvas->cairo) cairo_destroy(canvas->cairo);
  if (canvas->surface) cairo_surface_destroy(canvas->surface);
  bc_buffer_clear(&canvas->svg);
  bc_buffer_clear(&canvas->words);
  free(canvas->path);
  free(canvas->title);
  free(canvas);
}

static bc_status finish_png(drawing_canvas *canvas, bc_context *context) {
  cairo_surface_flush(canvas->surface);
  const drawing_png picture = {.pixels = (const uint32_t *)(void *)cairo_image_surface_get_data(canvas->surface),
                               .width = cairo_image_surface_get_width(canvas->surface),
                               .height = cairo_image_surface_get_height(canvas->surface),
                               .stride = (size_t)cairo_image_surface_get_stride(canvas->surface) / 4,
                               .pixels_per_mm = canvas->pixels_per_mm,
                               .title = canvas->title};
  return drawing_png_write(context, canvas->path, &picture);
}

bc_status drawing_canvas_finish(drawing_canvas *canvas, bc_context *context) {
  bc_status status = BC_OK;
  const bool drawn = cairo_status(canvas->cairo) == CAIRO_STATUS_SUCCESS;
  if (drawn && canvas->format == DRAWING_PNG) {
    status = finish_png(canvas, context);
  } else {
    cairo_show_page(canvas->cairo);
    cairo_surface_finish(canvas->surface);
    const bool whole = !canvas->svg.failed && !canvas->words.failed;
    if (!drawn || !whole || cairo_surface_status(canvas->surface) != CAIRO_STATUS_SUCCESS) {
      bc_file_writer_abandon(canvas->writer);
      status = bc_fail_memory(context);
    } else {
      if (canvas->format == DRAWING_SVG) put_words(canvas);
      status = bc_file_writer_commit(canvas->writer, context);
    }
  }
  canvas_free(canvas);
  return status;
}

void drawing_canvas_abandon(drawing_canvas *canvas) {
  if (!canvas) return;
  if (canvas->surface) cairo_surface_finish(canvas->surface); /* it still writes: before the writer goes */
  bc_file_writer_abandon(canvas->writer);
  canvas_free(canvas);
}

/* ---- the raster layer ---- */

bc_status drawing_raster_open(drawing_raster *out, bc_context *context, drawing_canvas *canvas, drawing_rect area,
                              double pixels_per_mm) {
  const bool png = canvas->format == DRAWING_PNG;
  const double scale = png ? canvas->pixels_per_mm : pixels_per_mm;
  const int left = (int)floor(area.x * scale), top = (int)floor(area.y * scale);
  const int right = (int)ceil((area.x + area.width) * scale), bottom = (int)ceil((area.y + area.height) * scale);
  *out = (drawing_raster){.width = right - left,
                          .height = bottom - top,
                          .left_mm = left / scale,
                          .top_mm = top / scale,
                          .pixels_per_mm = scale};
  if (out->width > PIXELS_MOST || out->height > PIXELS_MOST) return bc_fail_memory(context);
  cairo_surface_t *surface = canvas->surface;
  if (!png) surface = out->surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, out->width, out->height);
  if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) return bc_fail_memory(context);
  cairo_surface_flush(surface);
  out->stride = (size_t)cairo_image_surface_get_stride(surface) / 4;
  out->pixels = (uint32_t *)(void *)cairo_image_surface_get_data(surface);
  if (png) {
    /* What lies off the sheet is not drawn. */
    const int sheet_width = cairo_image_surface_get_width(surface);
    const int sheet_height = cairo_image_surface_get_height(surface);
    if (left < 0 || top < 0 || right > sheet_width || bottom > sheet_height)
      return bc_fail(context, BC_OUR_FAULT, _("The wall does not fit on its sheet."));
    out->pixels += (size_t)top * out->stride + (size_t)left;
  }
  return BC_OK;
}

/* What is photographed goes into the paper as JPEG: a sheet of half a megabyte can be sent to a phone, one of four
 * cannot. Without the memory for it the pixels themselves go in. */
static void attach_jpeg(cairo_surface_t *surface) {
  unsigned char *bytes;
  size_t size;
  if (!drawing_jpeg(&bytes, &size, surface, PAPER_QUALITY)) return;
  if (cairo_surface_set_mime_data(surface, CAIRO_MIME_TYPE_JPEG, bytes, size, free, bytes) != CAIRO_STATUS_SUCCESS)
    free(bytes);
}

void drawing_raster_close(drawing_raster *raster, drawing_canvas *canvas) {
  if (!raster->surface) {
    cairo_surface_mark_dirty(canvas->surface);
    return;
  }
  cairo_surface_mark_dirty(raster->surface);
  attach_jpeg(raster->surface);
  cairo_t *const cairo = canvas->cairo;
  cairo_save(cairo);
  cairo_translate(cairo, raster->left_mm, raster->top_mm);
  cairo_scale(cairo, 1 / raster->pixels_per_mm, 1 / raster->pixels_per_mm);
  cairo_set_source_surface(cairo, raster->surface, 0, 0);
  cairo_paint(cairo);
  cairo_restore(cairo);
  cairo_surface_destroy(raster->surface);
  *raster = (drawing_raster){0};
}

drawing_place drawing_raster_place(const drawing_raster *raster, drawing_rect area) {
  const double scale = raster->pixels_per_mm;
  return (drawing_place){(area.x - raster->left_mm) * scale, (area.y - raster->top_mm) * scale, area.width * scale,
                         area.height * scale};
}
