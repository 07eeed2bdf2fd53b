/* SPDX-License-Identifier: MIT */
/* The feedback sheet on paper: sections that flow over pages, pieces in two columns of cards, each sentence with its
 * figures under it; two languages side by side. In: the sheet. Out: PDF. */
#include "feedback_internal.h"
#include "sheets/setup/setup_sheet.h"

#include <backcloth/file.h>
#include <cairo-pdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MARGIN 14.0
#define POINTS_PER_MM (72.0 / 25.4)
#define PICTURE 32.0
#define GAP 3.0
#define MARK_KEY 6.0
#define PLENTY 400.0 /* mm: text is never made small here */

typedef struct paper {
  sheet_page page, scratch; /* scratch: for measuring */
  const bc_feedback_sheet *sheet[2];
  bc_context *context;
  double y;
} paper;

static double content(const paper *p) {
  return p->page.width - 2 * MARGIN;
}

static double bottom(const paper *p) {
  return p->page.height - MARGIN;
}

static void need_room(paper *p, double height) {
  if (p->y + height <= bottom(p)) return;
  sheet_page_next(&p->page);
  p->y = MARGIN;
}

/* A column by its real left edge, in a language that may run the other way than the page; mm. */
typedef struct words_column {
  double left, y, width;
  bool rtl;
} words_column;

static double put_text(sheet_page *on, words_column at, sheet_type type, const char *tag, const char *text) {
  sheet_page page = *on;
  page.mirrored = at.rtl;
  const double x = at.rtl ? page.width - at.left - at.width : at.left;
  return sheet_text(&page, (sheet_box){x, at.y, at.width, PLENTY}, type, tag, text);
}

static char *figures_text(const bc_feedback_line *line) {
  bc_buffer text = {0};
  for (size_t i = 0; i < line->figure_count; i++) bc_buffer_add(&text, i ? "  ·  %s" : "%s", line->figure[i].shown);
  if (text.failed) return bc_buffer_clear(&text), NULL;
  return text.text;
}

static double put_line(sheet_page *on, const bc_feedback_line *line, bool with_figures, words_column at, bool bold) {
  double high = put_text(on, at, (sheet_type){.size = 3.3, .bold = bold}, NULL, line->text);
  char *figures = with_figures ? figures_text(line) : NULL;
  at.y += high + 0.4;
  if (figures) high += 0.4 + put_text(on, at, (sheet_type){.size = 2.8, .grey = true}, NULL, figures);
  free(figures);
  return high;
}

static const bc_feedback_line *line_of(const paper *p, int side, size_t section, size_t line) {
  const bc_feedback_sheet *sheet = p->sheet[side];
  if (!sheet || section >= sheet->section_count || line >= sheet->sections[section].line_count) return NULL;
  return &sheet->sections[section].lines[line];
}

/* One language, or two in two columns; returns the height. */
static double put_both(paper *p, sheet_page *on, size_t section, size_t line, words_column at) {
  const bool bold = p->sheet[0]->sections[section].part == BC_FEEDBACK_TRY;
  const bool notes = p->sheet[0]->sections[section].part == BC_FEEDBACK_NOTES; /* a maker's own words, once */
  const double wide = p->sheet[1] && !notes ? (at.width - 5) / 2 : at.width;
  double high = 0;
  for (int side = 0; side < (notes ? 1 : 2); side++) {
    const bc_feedback_line *one = line_of(p, side, section, line);
    if (!one || !p->sheet[side]) continue;
    const words_column here = {at.left + side * (wide + 5), at.y, wide, p->sheet[side]->right_to_left};
    const bool with_figures = !feedback_same_figures(&p->sheet[0]->sections[section], line);
    high = fmax(high, put_line(on, one, with_figures, here, bold));
  }
  return high;
}

/* A JPEG goes into the PDF as it is. It carries no tag: Cairo 1.16 loses count of tags round images on some pages. */
static void put_picture(paper *p, const bc_feedback_picture *picture, double left, double y, double width) {
  cairo_t *cairo = p->page.cairo;
  const double scale = width / picture->width;
  cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture->width, picture->height);
  unsigned char *copy = bc_allocate(picture->size, 1);
  if (copy) {
    memcpy(copy, picture->jpeg, picture->size);
    if (cairo_surface_set_mime_data(image, CAIRO_MIME_TYPE_JPEG, copy, picture->size, free, copy) !=
        CAIRO_STATUS_SUCCESS)
      free(copy);
  }
  cairo_save(cairo);
  cairo_translate(cairo, left, y);
  cairo_scale(cairo, scale, scale);
  cairo_set_source_surface(cairo, image, 0, 0);
  cairo_paint(cairo);
  cairo_restore(cairo);
  cairo_surface_destroy(image);
}

static const bc_feedback_picture *picture_of(const paper *p, size_t section, size_t line) {
  const int index = p->sheet[0]->sections[section].lines[line].picture;
  return index < 0 ? NULL : &p->sheet[0]->pictures[index];
}

static void put_number(paper *p, size_t number, double left, double y) {
  char text[24];
  snprintf(text, sizeof text, "%zu", number);
  cairo_t *cairo = p->page.cairo;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.45);
  cairo_new_path(cairo);
  cairo_arc(cairo, left + 3, y + 3, 3, 0, 2 * M_PI);
  cairo_stroke(cairo);
  put_text(&p->page, (words_column){left, y + 0.8, 6, false},
           (sheet_type){.size = 3.6, .bold = true, .figures = true, .align = SHEET_CENTRE}, "Lbl", text);
}

static double plain_height(paper *p, size_t section, size_t line, size_t number) {
  return fmax(number ? 7 : 0, put_both(p, &p->scratch, section, line,
                                       (words_column){.left = MARGIN, .y = 0, .width = content(p) - (number ? 9 : 0)}));
}

static void put_plain(paper *p, size_t section, size_t line, size_t number) {
  const double inset = number ? 9 : 0;
  const bool rtl = p->sheet[0]->right_to_left;
  const double left = MARGIN + (rtl && !p->sheet[1] ? 0 : inset), width = content(p) - inset;
  const double high = plain_height(p, section, line, number);
  need_room(p, high);
  if (number) put_number(p, number, rtl && !p->sheet[1] ? MARGIN + content(p) - 6 : MARGIN, p->y);
  put_both(p, &p->page, section, line, (words_column){.left = left, .y = p->y, .width = width});
  p->y += high + 2.2;
}

#define WIDE_HIGH 105.0

static double wide_height(paper *p, size_t section, size_t line, const bc_feedback_picture *picture) {
  const double text =
      put_both(p, &p->scratch, section, line, (words_column){.left = MARGIN, .y = 0, .width = content(p)});
  return text + 1.5 + fmin(WIDE_HIGH, content(p) * picture->height / picture->width);
}

static void put_wide(paper *p, size_t section, size_t line, const bc_feedback_picture *picture) {
  const double text =
      put_both(p, &p->scratch, section, line, (words_column){.left = MARGIN, .y = 0, .width = content(p)});
  const double width = fmin(content(p), WIDE_HIGH * picture->width / picture->height);
  const double high = width * picture->height / picture->width;
  need_room(p, text + 1.5 + high);
  put_both(p, &p->page, section, line, (words_column){.left = MARGIN, .y = p->y, .width = content(p)});
  put_picture(p, picture, MARGIN + (content(p) - width) / 2, p->y + text + 1.5, width);
  p->y += text + high + 5;
}

static size_t cards_across(const paper *p) {
  return p->sheet[1] ? 1 : 2;
}

static double card_width(const paper *p) {
  const size_t across = cards_across(p);
  return (content(p) - (double)(across - 1) * 6) / (double)across;
}

/* The row of cards that begins with `line`: how many, and its height. */
static size_t card_row(paper *p, size_t section, size_t line, double *row) {
  const bc_feedback_section *s = &p->sheet[0]->sections[section];
  const size_t across = cards_across(p);
  const double words = card_width(p) - PICTURE - GAP;
  size_t count = 0;
  double high = PICTURE;
  while (count < across && line + count < s->line_count && picture_of(p, section, line + count) &&
         !picture_of(p, section, line + count)->wide) {
    high = fmax(
        high, put_both(p, &p->scratch, section, line + count, (words_column){.left = MARGIN, .y = 0, .width = words}));
    count++;
  }
  *row = high;
  return count;
}

/* Returns how many were put in this row. */
static size_t put_cards(paper *p, size_t section, size_t line) {
  const size_t across = cards_across(p);
  const double width = card_width(p), words = width - PICTURE - GAP;
  double high;
  const size_t count = card_row(p, section, line, &high);
  need_room(p, high);
  for (size_t i = 0; i < count; i++) {
    const size_t column = p->sheet[0]->right_to_left ? across - 1 - i : i;
    const double left = MARGIN + (double)column * (width + 6);
    const bool rtl = p->sheet[0]->right_to_left && !p->sheet[1];
    put_picture(p, picture_of(p, section, line + i), rtl ? left + words + GAP : left, p->y, PICTURE);
    put_both(p, &p->page, section, line + i,
             (words_column){.left = rtl ? left : left + PICTURE + GAP, .y = p->y, .width = words});
  }
  p->y += high + 3.5;
  return count;
}

/* What has to stay together with a heading: the first line, and if that only introduces pictures, the first of them. */
static double first_height(paper *p, size_t section) {
  const bc_feedback_section *s = &p->sheet[0]->sections[section];
  double high = s->part == BC_FEEDBACK_NOW ? MARK_KEY : 0;
  for (size_t i = 0; i < s->line_count && i < 2; i++) {
    const bc_feedback_picture *picture = picture_of(p, section, i);
    double row = 0;
    if (picture && picture->wide) return high + wide_height(p, section, i, picture);
    if (picture) return card_row(p, section, i, &row), high + row;
    if (i == 0) high += plain_height(p, section, i, s->part == BC_FEEDBACK_TRY) + 2.2;
  }
  return high;
}

static void put_heading(paper *p, size_t section) {
  const bc_feedback_section *s = &p->sheet[0]->sections[section];
  const double column = p->sheet[1] ? (content(p) - 5) / 2 : content(p), inset = s->css[0] ? 7 : 0;
  cairo_t *cairo = p->page.cairo;
  need_room(p, 13 + first_height(p, section));
  if (p->y > MARGIN) p->y += 3;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.35);
  cairo_move_to(cairo, MARGIN, p->y);
  cairo_line_to(cairo, MARGIN + content(p), p->y);
  cairo_stroke(cairo);
  p->y += 2;
  const bool rtl = p->sheet[0]->right_to_left;
  unsigned red, green, blue;
  if (s->css[0] && sscanf(s->css, "#%2x%2x%2x", &red, &green, &blue) == 3) {
    cairo_rectangle(cairo, rtl ? MARGIN + column - 5 : MARGIN, p->y + 0.6, 5, 5);
    cairo_set_source_rgb(cairo, red / 255.0, green / 255.0, blue / 255.0);
    cairo_fill_preserve(cairo);
    cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
    cairo_stroke(cairo);
  }
  double high = put_text(&p->page, (words_column){rtl ? MARGIN : MARGIN + inset, p->y, column - inset, rtl},
                         (sheet_type){.size = 4.4, .bold = true}, "H2", s->heading);
  if (p->sheet[1] && section < p->sheet[1]->section_count)
    high = fmax(high, put_text(&p->page, (words_column){MARGIN + column + 5, p->y, column, p->sheet[1]->right_to_left},
                               (sheet_type){.size = 4.4, .bold = true}, "H2", p->sheet[1]->sections[section].heading));
  p->y += high + 2;
}

static void put_mark_key(paper *p) {
  const double column = p->sheet[1] ? (content(p) - 5) / 2 : content(p);
  double high = 0;
  for (int side = 0; side < 2 && p->sheet[side]; side++) {
    char *words = feedback_mark_key(p->sheet, side);
    if (words)
      high =
          fmax(high, put_text(&p->page,
                              (words_column){MARGIN + side * (column + 5), p->y, column, p->sheet[side]->right_to_left},
                              (sheet_type){.size = 2.8, .grey = true}, NULL, words));
    free(words);
  }
  p->y += high + 1.6;
}

static void put_section(paper *p, size_t section) {
  const bc_feedback_section *s = &p->sheet[0]->sections[section];
  put_heading(p, section);
  if (s->part == BC_FEEDBACK_NOW && s->line_count && picture_of(p, section, 0)) put_mark_key(p);
  for (size_t i = 0; i < s->line_count;) {
    const bc_feedback_picture *picture = picture_of(p, section, i);
    if (picture && !picture->wide) {
      i += put_cards(p, section, i);
      continue;
    }
    if (picture)
      put_wide(p, section, i, picture);
    else
      put_plain(p, section, i, s->part == BC_FEEDBACK_TRY ? i + 1 : 0);
    i++;
  }
}

static void draw(paper *p) {
  const bc_feedback_sheet *sheet = p->sheet[0];
  p->y = MARGIN;
  p->y += put_text(&p->page, (words_column){MARGIN, p->y, content(p), sheet->right_to_left},
                   (sheet_type){.size = 8, .bold = true}, "H1", sheet->summary.name) +
          4;
  for (size_t i = 0; i < sheet->section_count; i++) put_section(p, i);
}

static cairo_status_t stream(void *writer, const unsigned char *bytes, unsigned int size) {
  bc_file_writer_write(writer, bytes, size);
  return CAIRO_STATUS_SUCCESS; /* the writer remembers failures and tells them once */
}

static cairo_t *open_pages(cairo_surface_t *surface) {
  cairo_t *cairo = cairo_create(surface);
  cairo_surface_destroy(surface);
  cairo_scale(cairo, POINTS_PER_MM, POINTS_PER_MM);
  return cairo;
}

bc_status feedback_pdf(bc_context *context, const bc_feedback_sheet *sheet, const bc_feedback_sheet *second,
                       bc_paper size, const char *path) {
  bc_file_writer *writer = NULL;
  bc_status status = bc_file_writer_open(&writer, context, path);
  if (status != BC_OK) return status;
  const double width = size == BC_PAPER_LETTER ? 215.9 : 210, height = size == BC_PAPER_LETTER ? 279.4 : 297;
  cairo_surface_t *surface =
      cairo_pdf_surface_create_for_stream(stream, writer, width * POINTS_PER_MM, height * POINTS_PER_MM);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, sheet->summary.name);
  sheet_sign_pdf(surface);
  paper p = {.context = context, .sheet = {sheet, second}};
  p.page = (sheet_page){.cairo = open_pages(surface), .width = width, .height = height};
  p.scratch = p.page;
  p.scratch.cairo = open_pages(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, NULL));
  cairo_tag_begin(p.page.cairo, "Document", NULL);
  draw(&p);
  cairo_tag_end(p.page.cairo, "Document");
  cairo_show_page(p.page.cairo);
  cairo_surface_t *target = cairo_surface_reference(cairo_get_target(p.page.cairo));
  const bool drawn = cairo_status(p.page.cairo) == CAIRO_STATUS_SUCCESS;
  cairo_destroy(p.page.cairo);
  cairo_destroy(p.scratch.cairo);
  cairo_surface_finish(target);
  const bool finished = cairo_surface_status(target) == CAIRO_STATUS_SUCCESS;
  cairo_surface_destroy(target);
  if (drawn && finished) return bc_file_writer_commit(writer, context);
  bc_file_writer_abandon(writer);
  return bc_fail_memory(context);
}
