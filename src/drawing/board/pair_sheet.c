/* SPDX-License-Identifier: MIT */
/* Two cloths side by side, for a jeweller who tests dark against light: every piece on either cloth, its
 * outline marked where it gets lost, what that means in words, and a conclusion on top. */
#include "drawing/paper/paper.h"

#include <backcloth/file.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PIXELS_PER_MM 8.0 /* PNG */
#define MARGIN 14.0
#define HEAD 25.0    /* title and key, without the sentence */
#define GUTTER 12.0  /* between pieces */
#define NAME 9.0     /* the piece's name */
#define CAPTION 27.0 /* the words under a cell */
#define PDF_HEIGHT 297.0

typedef struct compare {
  bc_context *context;
  const bc_match *match;
  bc_study *const *studies;
  const bc_cloth *const *cloths;
  size_t place[2]; /* of the two cloths in rank order */
  drawing_canvas *canvas;
  size_t columns, rows, rows_a_sheet;
  double cell, width, height; /* mm */
  double sentence_height;
  drawing_cut *cuts;
  drawing_textile *textiles;
} compare;

static const bc_ranked_cloth *ranked(const compare *c, int side) {
  return &c->match->cloths[c->place[side]];
}
static const bc_cloth *cloth_of(const compare *c, int side) {
  return c->cloths[ranked(c, side)->cloth];
}

static double head_height(const compare *c) {
  return HEAD + c->sentence_height;
}

static double row_height(const compare *c) {
  return NAME + c->cell + CAPTION;
}

static drawing_type sentence_type(const compare *c) {
  return (drawing_type){.size = 4, .ink = drawing_black, .width = c->width - 2 * MARGIN, .lines = 4};
}

static void lay_out(compare *c, bool sheets, const char *sentence) {
  const size_t pieces = c->match->piece_count;
  c->columns = pieces == 1 ? 1 : pieces <= 4 ? 2 : 3;
  c->cell = pieces == 1 ? 88 : pieces <= 4 ? 60 : 50;
  c->rows = (pieces + c->columns - 1) / c->columns;
  const double columns = (double)c->columns;
  c->width = 2 * MARGIN + columns * (2 * c->cell + 1.5) + (columns - 1) * GUTTER;
  const drawing_type words = sentence_type(c);
  c->sentence_height = drawing_text_measure(&words, sentence).height;
  const double fitting = floor((PDF_HEIGHT - 2 * MARGIN - head_height(c)) / row_height(c));
  c->rows_a_sheet = sheets && fitting >= 1 && (double)c->rows > fitting ? (size_t)fitting : c->rows;
  c->height = 2 * MARGIN + head_height(c) + (double)c->rows_a_sheet * row_height(c);
}

static drawing_rect cell_rect(const compare *c, size_t piece, int side) {
  const size_t row = piece / c->columns % c->rows_a_sheet, column = piece % c->columns;
  return (drawing_rect){MARGIN + (double)column * (2 * c->cell + 1.5 + GUTTER) + side * (c->cell + 1.5),
                        MARGIN + head_height(c) + (double)row * row_height(c) + NAME, c->cell, c->cell};
}

/* ---- words ---- */

static size_t count_of(const compare *c, int side, bc_verdict verdict) {
  size_t count = 0;
  for (size_t i = 0; i < c->match->piece_count; i++) count += ranked(c, side)->pairs[i].verdict == verdict;
  return count;
}

static void say_one(bc_buffer *text, const compare *c, int better) {
  const bc_pair *const here = &ranked(c, better)->pairs[0], *const there = &ranked(c, !better)->pairs[0];
  if (here->verdict == there->verdict)
    bc_buffer_add(text, _("“%s” and “%s” show this piece almost alike; “%s” is a little clearer."),
                  cloth_of(c, 0)->name, cloth_of(c, 1)->name, cloth_of(c, better)->name);
  else if (there->verdict == BC_GETS_LOST)
    bc_buffer_add(text, _("On “%s” this piece gets lost. Choose “%s”."), cloth_of(c, !better)->name,
                  cloth_of(c, better)->name);
  else
    bc_buffer_add(text, _("“%s” shows this piece more clearly than “%s”."), cloth_of(c, better)->name,
                  cloth_of(c, !better)->name);
}

/* In counts that no noun follows: each of four would need its own plural. */
static void say_many(bc_buffer *text, const compare *c, int better) {
  /* TRANSLATORS: the better cloth; on it, how many of all pieces stand out and get lost; the same for the other cloth
   */
  bc_buffer_say(
      text,
      _("“%1$s” shows the collection better. Standing out on “%1$s”: %2$zu of %3$zu, lost: %4$zu. Standing out on "
        "“%5$s”: %6$zu of %3$zu, lost: %7$zu."),
      cloth_of(c, better)->name, count_of(c, better, BC_STANDS_OUT), c->match->piece_count,
      count_of(c, better, BC_GETS_LOST), cloth_of(c, !better)->name, count_of(c, !better, BC_STANDS_OUT),
      count_of(c, !better, BC_GETS_LOST));
}

static void say_exceptions(bc_buffer *text, const compare *c, int better) {
  bc_buffer names = {0};
  size_t found = 0;
  for (size_t i = 0; i < c->match->piece_count; i++) {
    if (ranked(c, !better)->pairs[i].verdict <= ranked(c, better)->pairs[i].verdict) continue;
    char *title = bc_collection_title(c->match->collection, i);
    if (found++ < 4) bc_buffer_add(&names, found > 1 ? _(", %s") : "%s", title ? title : "");
    free(title);
  }
  if (found && !names.failed)
    bc_buffer_add(text,
                  found > 4 ? _(" Clearer on “%s”, among others: %s.")
                            : bc_text_plural(" Clearer on “%s”: %s.", " Clearer on “%s”: %s.", found),
                  cloth_of(c, !better)->name, names.text);
  bc_buffer_clear(&names);
}

static bc_status conclusion(char **out, const compare *c) {
  const int better = ranked(c, 1)->score > ranked(c, 0)->score;
  bc_buffer text = {0};
  if (c->match->piece_count == 1)
    say_one(&text, c, better);
  else if (ranked(c, 0)->rank == ranked(c, 1)->rank)
    bc_buffer_add(&text, _("“%s” and “%s” serve this collection equally well, as far as the photos can tell."),
                  cloth_of(c, 0)->name, cloth_of(c, 1)->name);
  else
    say_many(&text, c, better);
  if (c->match->piece_count > 1) say_exceptions(&text, c, better);
  return bc_buffer_finish(&text, out, c->context);
}

static void draw_head(const compare *c, const char *sentence) {
  const drawing_type title = {.size = 7, .ink = drawing_black};
  const drawing_type words = sentence_type(c);
  const drawing_type small = {.size = 2.8, .ink = drawing_grey};
  drawing_text(c->canvas, &title, MARGIN, MARGIN - 2.4, _("One cloth or the other?"));
  drawing_text(c->canvas, &words, MARGIN, MARGIN + 8.5, sentence);
  const double y = MARGIN + head_height(c) - 11;
  drawing_lost_sample(c->canvas, MARGIN, y + 2.6, 13);
  drawing_text(c->canvas, &small, MARGIN + 15.5, y, _("here the outline gets lost in the cloth"));
}

static double draw_distance(const compare *c, const bc_visibility *seen, const drawing_type *type, double x, double y) {
  if (!seen || !seen->known) return 0;
  if (seen->outline_m <= 0) return drawing_text(c->canvas, type, x, y, _("less than half of it made out")).height;
  if (seen->outline_m >= BC_FAR_M)
    return drawing_text(c->canvas, type, x, y, _("made out from anywhere in the aisle")).height;
  return drawing_textf(c->canvas, type, x, y, _("made out up to %.1f m (%.0f ft)"), seen->outline_m,
                       seen->outline_m / 0.3048)
      .height;
}

static void draw_caption(const compare *c, size_t piece, int side) {
  const bc_pair *const pair = &ranked(c, side)->pairs[piece];
  const drawing_rect cell = cell_rect(c, piece, side);
  const bc_reading *const reading = c->match->collection->piece[piece].reading;
  const bool mirrored = bc_language_right_to_left(); /* marks and words begin at the right then */
  const double start = mirrored ? cell.x + cell.width : cell.x, x = mirrored ? start - 4.6 : start + 4.6;
  const drawing_align align = mirrored ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT;
  const drawing_type word = {
      .size = 3.3, .bold = true, .ink = drawing_black, .width = cell.width - 5, .lines = 1, .align = align};
  const drawing_type line = {.size = 2.65, .ink = drawing_black, .width = cell.width - 5, .lines = 1, .align = align};
  double y = cell.y + cell.height + 1;
  drawing_verdict_mark(drawing_canvas_cairo(c->canvas), pair->verdict, start + (mirrored ? -1.6 : 1.6), y + 2.5, 1.5,
                       drawing_black);
  y += drawing_text(c->canvas, &word, x, y, bc_verdict_text(pair->verdict)).height + 0.2;
  y += drawing_textf(c->canvas, &line, x, y, _("%.0f %% of the outline is clear"), 100 * pair->seen_share).height;
  const bc_lost_stretch lost = bc_match_lost(reading, cloth_of(c, side), NULL);
  if (lost.lost_share >= 0.02)
    y += drawing_textf(c->canvas, &line, x, y, _("%.0f %% gets lost: %s"), 100 * lost.lost_share,
                       bc_match_where(reading, &lost))
             .height;
  if (reading->polished > 0)
    y += drawing_textf(c->canvas, &line, x, y, _("polished; at the stand: %s"),
                       bc_verdict_text(bc_verdict_of(pair->clarity_at_stand)))
             .height;
  const bc_visibility *const seen = ranked(c, side)->visibility;
  y += draw_distance(c, seen ? &seen[piece] : NULL, &line, x, y);
  const drawing_type grey = {.size = 2.65, .ink = drawing_grey, .width = cell.width - 5, .lines = 1, .align = align};
  y += drawing_textf(c->canvas, &grey, x, y, _("contrast %.1f : 1"), pair->contrast_ratio).height;
  if (bc_reading_is_doubtful(reading))
    drawing_textf(c->canvas, &grey, x, y, _("outline only %.0f %% sure"), floor(100 * reading->confidence));
}

static void draw_names(const compare *c, size_t piece) {
  char *title = bc_collection_title(c->match->collection, piece);
  const drawing_rect left = cell_rect(c, piece, 0), right = cell_rect(c, piece, 1);
  const drawing_type name = {.size = 3.4, .bold = true, .ink = drawing_black, .width = c->cell * 0.62, .lines = 1};
  const drawing_type small = {.size = 2.6, .ink = drawing_grey, .width = c->cell, .lines = 1};
  if (title) drawing_text(c->canvas, &name, left.x, left.y - NAME + 0.2, title);
  free(title);
  drawing_text(c->canvas, &small, left.x, left.y - 4.4, cloth_of(c, 0)->name);
  drawing_text(c->canvas, &small, right.x, right.y - 4.4, cloth_of(c, 1)->name);
}

static void draw_frame(const compare *c, drawing_rect cell) {
  cairo_t *const cairo = drawing_canvas_cairo(c->canvas);
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.15);
  cairo_rectangle(cairo, cell.x, cell.y, cell.width, cell.height);
  cairo_stroke(cairo);
}

static bc_status draw_piece(const compare *c, size_t piece) {
  for (int side = 0; side < 2; side++) {
    const drawing_rect cell = cell_rect(c, piece, side);
    const drawing_rect place = drawing_specimen_place(&c->cuts[piece], cell, 0.78);
    const bc_status status = drawing_specimen(
        c->canvas, c->context, &c->cuts[piece],
        (drawing_backing){cloth_of(c, side)->colour, &c->textiles[ranked(c, side)->cloth]}, cell, place);
    if (status != BC_OK) return status;
    cairo_t *const cairo = drawing_canvas_cairo(c->canvas);
    cairo_save(cairo);
    cairo_rectangle(cairo, cell.x, cell.y, cell.width, cell.height);
    cairo_clip(cairo);
    drawing_lost_rim(c->canvas, c->studies[piece]->cutout, c->match->collection->piece[piece].reading,
                     cloth_of(c, side), place);
    cairo_restore(cairo);
    draw_frame(c, cell);
    if (bc_reading_is_doubtful(c->studies[piece]->reading))
      drawing_doubt_mark(c->canvas, cell.x + cell.width - 3, cell.y + 3, 2);
    draw_caption(c, piece, side);
  }
  draw_names(c, piece);
  return BC_OK;
}

static bc_status draw_all(const compare *c, const char *sentence) {
  const size_t a_sheet = c->columns * c->rows_a_sheet;
  for (size_t piece = 0; piece < c->match->piece_count; piece++) {
    if (piece > 0 && piece % a_sheet == 0) drawing_canvas_next_sheet(c->canvas);
    if (piece % a_sheet == 0) draw_head(c, sentence);
    const bc_status status = draw_piece(c, piece);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status open_and_draw(compare *c, const char *path, bool sheets) {
  char *sentence = NULL;
  bc_status status = conclusion(&sentence, c);
  if (status != BC_OK) return status;
  lay_out(c, sheets, sentence);
  status = drawing_canvas_open(&c->canvas, c->context, path,
                               (drawing_sheet_size){c->width, c->height, PIXELS_PER_MM, _("One cloth or the other?")});
  if (status == BC_OK) {
    status = draw_all(c, sentence);
    if (status == BC_OK)
      status = drawing_canvas_finish(c->canvas, c->context);
    else
      drawing_canvas_abandon(c->canvas);
  }
  free(sentence);
  return status;
}

bc_status bc_drawing_compare(bc_context *context, const bc_match *match, bc_study *const *studies, size_t first,
                             size_t second, const char *path) {
  drawing_format format;
  bc_status status = drawing_format_of(&format, context, path);
  if (status != BC_OK) return status;
  if (first >= match->cloth_count || second >= match->cloth_count || first == second || !match->piece_count)
    return bc_fail(context, BC_BAD_USAGE, _("%s: comparing needs at least one piece and two cloths."), path);
  compare c = {.context = context,
               .match = match,
               .studies = studies,
               .cloths = drawing_cloths_of(match),
               .place = {first, second}};
  c.cuts = bc_allocate(match->piece_count, sizeof *c.cuts);
  if (!c.cuts) return bc_fail_memory(context);
  for (size_t i = 0; status == BC_OK && i < match->piece_count; i++)
    status = drawing_cut_make(&c.cuts[i], context, studies[i]);
  if (status == BC_OK) status = drawing_textiles_open(&c.textiles, context, match);
  if (status == BC_OK) status = open_and_draw(&c, path, format == DRAWING_PDF);
  drawing_textiles_free(c.textiles, match);
  for (size_t i = 0; i < match->piece_count; i++) drawing_cut_clear(&c.cuts[i]);
  free(c.cuts);
  return status;
}
