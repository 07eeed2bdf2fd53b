/* SPDX-License-Identifier: MIT */
/* The set-up sheet's entry: pages drawn once to count them, then on a PDF or a PNG.
 * front.c has the first page, steps.c and card.c the second, checklist.c its end. */
#include "setup_sheet.h"

#include <backcloth/file.h>
#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define POINTS_PER_MM (72.0 / 25.4)

bc_setup_sheet_options bc_setup_sheet_options_default(void) {
  return (bc_setup_sheet_options){.dots_per_mm = 150 / 25.4};
}

static bc_status sheet_draw_pages(sheet_setup *s) {
  cairo_tag_begin(s->page.cairo, "Document", NULL);
  bc_status status = sheet_draw_front(s);
  if (status == BC_OK) status = sheet_draw_steps(s);
  if (status == BC_OK) sheet_draw_checklist(s);
  sheet_foot(s);
  cairo_tag_end(s->page.cairo, "Document");
  return status;
}

static cairo_status_t stream(void *closure, const unsigned char *bytes, unsigned int size) {
  bc_file_writer_write(closure, bytes, size);
  return CAIRO_STATUS_SUCCESS; /* the writer remembers failures and tells them once */
}

/* How many pages there will be: drawn once where nothing is kept. */
static bc_status count_pages(sheet_setup *s) {
  cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, NULL);
  s->page.cairo = cairo_create(surface);
  s->page.stacked = true;
  s->page.number = 0;
  bc_study *const *studies = s->studies;
  s->studies = NULL; /* photos change no layout */
  const bc_status status = sheet_draw_pages(s);
  s->studies = studies;
  s->page.count = s->page.number + 1;
  cairo_destroy(s->page.cairo);
  cairo_surface_destroy(surface);
  return status;
}

static bc_status draw_on(sheet_setup *s, cairo_surface_t *surface, double scale, bool stacked) {
  s->page.cairo = cairo_create(surface);
  s->page.stacked = stacked;
  s->page.number = 0;
  cairo_scale(s->page.cairo, scale, scale);
  if (stacked) {
    cairo_set_source_rgb(s->page.cairo, 1, 1, 1);
    cairo_paint(s->page.cairo);
  }
  bc_status status = sheet_draw_pages(s);
  if (status == BC_OK && cairo_status(s->page.cairo) != CAIRO_STATUS_SUCCESS) status = bc_fail_memory(s->context);
  cairo_destroy(s->page.cairo);
  return status;
}

static cairo_surface_t *make_surface(const sheet_setup *s, bc_file_writer *writer, bool png) {
  const double d = s->options.dots_per_mm;
  if (png)
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(s->page.width * d),
                                      (int)(s->page.height * s->page.count * d));
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(stream, writer, s->page.width * POINTS_PER_MM,
                                                                 s->page.height * POINTS_PER_MM);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, s->plan->title);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, _("Set-up sheet"));
  sheet_sign_pdf(surface);
  return surface;
}

static bc_status write_sheet(sheet_setup *s, const char *path, bool png) {
  bc_file_writer *writer = NULL;
  bc_status status = bc_file_writer_open(&writer, s->context, path);
  if (status != BC_OK) return status;
  cairo_surface_t *surface = make_surface(s, writer, png);
  if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) status = bc_fail_memory(s->context);
  if (status == BC_OK) status = draw_on(s, surface, png ? s->options.dots_per_mm : POINTS_PER_MM, png);
  if (status == BC_OK && png && cairo_surface_write_to_png_stream(surface, stream, writer) != CAIRO_STATUS_SUCCESS)
    status = bc_fail_memory(s->context);
  cairo_surface_finish(surface);
  if (status == BC_OK && cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) status = bc_fail_memory(s->context);
  cairo_surface_destroy(surface);
  if (status == BC_OK) return bc_file_writer_commit(writer, s->context);
  bc_file_writer_abandon(writer);
  return status;
}

#define WARNED_MOST 12 /* names that the first page has room for; "and 3 more" follows */

bc_status bc_setup_sheet(bc_context *context, const bc_setup_sheet_input *input, const bc_setup_sheet_options *options,
                         const char *path) {
  const bool png = bc_path_has_suffix(path, "png");
  if (!png && !bc_path_has_suffix(path, "pdf"))
    return bc_fail(context, BC_BAD_USAGE, _("%s: the name of a set-up sheet must end in .pdf or .png."), path);
  sheet_setup s = {.context = context,
                   .plan = input->plan,
                   .studies = input->studies,
                   .loads = input->loads,
                   .packing = input->packing,
                   .options = options ? *options : bc_setup_sheet_options_default()};
  const bool letter = s.options.paper == BC_PAPER_LETTER;
  s.page.width = letter ? 215.9 : 210;
  s.page.height = letter ? 279.4 : 297;
  s.page.mirrored = bc_language_right_to_left();
  char *code = NULL, *warning = NULL;
  bc_status status = bc_setup_sheet_code_text(&code, context, s.plan);
  if (status == BC_OK) status = bc_loads_warning(&warning, context, s.loads, s.plan, WARNED_MOST);
  s.code = code;
  s.warning = warning;
  if (status == BC_OK) status = count_pages(&s);
  if (status == BC_OK) status = write_sheet(&s, path, png);
  free(code);
  free(warning);
  return status;
}
