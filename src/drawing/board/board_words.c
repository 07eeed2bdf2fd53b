/* SPDX-License-Identifier: MIT */
/* The match board's words: title and key, names, light, each cloth's own words, and what stands under each cell. */
#include "board.h"

#include <backcloth/file.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PHOTO_PREFIX "photo:"
#define SWATCH 7.5 /* mm */

static bool any_doubtful(const board *b) {
  for (size_t i = 0; i < b->match->piece_count; i++)
    if (bc_reading_is_doubtful(b->studies[i]->reading)) return true;
  return false;
}

static bool any_polished(const board *b) {
  for (size_t i = 0; i < b->match->piece_count; i++)
    if (b->match->collection->piece[i].reading->polished > 0) return true;
  return false;
}

static double draw_polish_key(const board *b, double right, double y) {
  const drawing_type type = {.size = 2.8, .ink = drawing_grey};
  const char *const words = _("polished: verdict at the stand");
  right -= drawing_text_measure(&type, words).width;
  drawing_text(b->canvas, &type, right, y, words);
  right -= 2.8;
  drawing_gleam_mark(b->canvas, right, y + 2.15, 1.5);
  return right - 5.5;
}

/* What stands `x` from the edge at which reading begins, `wide` mm of it; words begin at the right in some scripts. */
static double begins(const board *b, double x, double wide) {
  return bc_language_right_to_left() ? b->width - x - wide : x;
}

static drawing_align at_start(void) {
  return bc_language_right_to_left() ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT;
}

/* Words in a column `wide` mm broad that begins `x` from where reading begins. */
static double draw_words(const board *b, drawing_type type, double x, double y, const char *words) {
  const double wide = type.width > 0 ? type.width : b->width - 2 * BOARD_MARGIN;
  type.width = wide;
  type.align = at_start();
  return drawing_text(b->canvas, &type, bc_language_right_to_left() ? b->width - x : x, y, words).height;
}

static double key_width(const board *b, const drawing_type *type) {
  double wide = 0;
  if (b->eyes) wide += drawing_text_measure(type, _("verdict of people who confuse these colours")).width + 8.3;
  if (any_polished(b)) wide += drawing_text_measure(type, _("polished: verdict at the stand")).width + 8.3;
  if (any_doubtful(b)) wide += drawing_text_measure(type, _("outline not sure")).width + 8.3;
  for (int v = BC_GETS_LOST; v <= BC_STANDS_OUT; v++)
    wide += drawing_text_measure(type, bc_verdict_text((bc_verdict)v)).width + 8.1;
  return wide - 4;
}

static void draw_key(const board *b, double right, double y) {
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  const drawing_type type = {.size = 2.8, .ink = drawing_grey};
  if (bc_language_right_to_left()) right = b->width - right + key_width(b, &type);
  if (b->eyes) {
    const char *const words = _("verdict of people who confuse these colours");
    right -= drawing_text_measure(&type, words).width;
    drawing_text(b->canvas, &type, right, y, words);
    right -= 2.8;
    drawing_eye(cairo, right, y + 2.15, 1.6);
    right -= 5.5;
  }
  const bool mirrored = bc_language_right_to_left();
  if (any_polished(b)) right = draw_polish_key(b, right, y);
  if (any_doubtful(b)) {
    const char *const words = _("outline not sure");
    right -= drawing_text_measure(&type, words).width;
    drawing_text(b->canvas, &type, right, y, words);
    right -= 2.8;
    drawing_doubt_mark(b->canvas, right, y + 2.15, 1.5);
    right -= 5.5;
  }
  for (int i = BC_GETS_LOST; i <= BC_STANDS_OUT; i++) { /* the clearest comes first for the reader */
    const bc_verdict v = (bc_verdict)(mirrored ? BC_STANDS_OUT + BC_GETS_LOST - i : i);
    const char *const word = bc_verdict_text(v);
    const double wide = drawing_text_measure(&type, word).width;
    drawing_text(b->canvas, &type, right - wide - (mirrored ? 4.1 : 0), y, word);
    drawing_verdict_mark(cairo, v, right - (mirrored ? 1.5 : wide + 2.6), y + 2.15, 1.5, drawing_black);
    right -= wide + 8.1;
  }
}

void drawing_board_head(const board *b) {
  const drawing_type title = {.size = 7, .ink = drawing_black}, below = {.size = 3, .ink = drawing_grey};
  draw_words(b, title, BOARD_MARGIN, BOARD_MARGIN - 2.4, _("Which cloth?"));
  draw_words(b, below, BOARD_MARGIN, BOARD_MARGIN + (bc_language_right_to_left() ? 9.4 : 8.2),
             b->distances
                 ? _("Every piece on every cloth, the best cloth first. Under each piece: the verdict, how much of its "
                     "outline is clear, from how far it can be made out, and the contrast ratio. Cloths that share a "
                     "number can't be told apart by these photos.")
                 : _("Every piece on every cloth, the best cloth first. Under each piece: the verdict, how much of its "
                     "outline is clear, and the contrast ratio. Cloths that share a number can't be told apart by "
                     "these photos."));
  draw_key(b, b->width - BOARD_MARGIN, BOARD_MARGIN + 0.6);
}

static void draw_names(const board *b, size_t block) {
  for (size_t i = drawing_board_first(b, block); i < drawing_board_end(b, block); i++) {
    char *name = bc_collection_title(b->match->collection, i);
    if (!name) continue; /* what lacked memory is told when the picture is written */
    const drawing_rect cell = drawing_board_photo(b, i);
    const drawing_type type = {
        .size = 2.6, .ink = drawing_black, .align = DRAWING_CENTRE, .width = cell.width, .lines = 2};
    const double height = drawing_text_measure(&type, name).height;
    drawing_text(b->canvas, &type, cell.x + cell.width / 2, cell.y - 1.2 - height, name);
    free(name);
  }
}

static void draw_light_words(const board *b, size_t piece) {
  const drawing_rect cell = drawing_board_photo(b, piece);
  const drawing_type type = {
      .size = 2.3, .ink = drawing_grey, .align = DRAWING_CENTRE, .width = cell.width, .lines = 1};
  const bc_reference known = b->studies[piece]->image->reference;
  const double sure = b->studies[piece]->reading->confidence, x = cell.x + cell.width / 2,
               y = cell.y + cell.height + 0.7;
  if (bc_reading_is_doubtful(b->studies[piece]->reading)) {
    drawing_textf(b->canvas, &type, x, y, _("outline only %.0f %% sure"), floor(100 * sure));
    return; /* matters more than the light */
  }
  drawing_text(b->canvas, &type, x, y,
               known == BC_REFERENCE_NONE    ? _("no white sheet")
               : known == BC_REFERENCE_FOUND ? _("white sheet found")
                                             : _("white sheet shown"));
}

/* The photos as they came: whether a cut-out or a white sheet is wrong shows at a glance. */
static bc_status draw_photos(const board *b, size_t block) {
  const double y = drawing_board_photo(b, drawing_board_first(b, block)).y;
  const drawing_type name = {.size = 3.2, .bold = true, .ink = drawing_black, .width = BOARD_SIDE - 5, .lines = 2};
  const drawing_type small = {.size = 2.4, .ink = drawing_grey, .width = BOARD_SIDE - 5, .lines = 6};
  const double below = y + draw_words(b, name, BOARD_MARGIN, y - 0.4, _("As photographed"));
  draw_words(b, small, BOARD_MARGIN, below + 0.4,
             _("The line is the cut-out. A dashed box is the white sheet that the colours were measured by; without "
               "one, the camera's own judgement stands."));
  for (size_t i = drawing_board_first(b, block); i < drawing_board_end(b, block); i++) {
    const bc_status status = drawing_as_photographed(b->canvas, b->context, b->studies[i], drawing_board_photo(b, i));
    if (status != BC_OK) return status;
    draw_light_words(b, i);
  }
  return BC_OK;
}

static size_t count_of(const board *b, const bc_ranked_cloth *ranked, bc_verdict verdict) {
  size_t count = 0;
  for (size_t i = 0; i < b->match->piece_count; i++) count += ranked->pairs[i].verdict == verdict;
  return count;
}

/* The bare cloth, without a piece on it. */
static void draw_swatch(const board *b, const bc_cloth *cloth, double x, double y) {
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  const drawing_v4 linear = drawing_linear_of(cloth->colour);
  cairo_set_source_rgb(cairo, bc_srgb_encode((double)linear[0]), bc_srgb_encode((double)linear[1]),
                       bc_srgb_encode((double)linear[2]));
  cairo_rectangle(cairo, x, y, SWATCH, SWATCH);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.15);
  cairo_stroke(cairo);
}

/* What a cloth is best for. */
static void draw_trade_off(const board *b, size_t row, double x, double y) {
  const bc_match *const m = b->match;
  const drawing_type type = {.size = 2.5, .bold = true, .ink = drawing_black, .width = BOARD_SIDE - 15, .lines = 2};
  if (row == 0) y += draw_words(b, type, x, y, _("best overall"));
  if (row == m->best_for_weakest && m->piece_count > 1) y += draw_words(b, type, x, y, _("best for the weakest piece"));
  if (row == m->best_on_average && m->piece_count > 1) y += draw_words(b, type, x, y, _("best on average"));
  if (row == m->best_for_statement) draw_words(b, type, x, y, _("best for the statement piece"));
}

static bool shares_rank(const board *b, size_t row) {
  const bc_ranked_cloth *const c = b->match->cloths;
  return (row > 0 && c[row - 1].rank == c[row].rank) ||
         (row + 1 < b->match->cloth_count && c[row + 1].rank == c[row].rank);
}

/* How many pieces have each verdict, the clearest first. */
static void draw_counts(const board *b, const bc_ranked_cloth *ranked, double x, double y) {
  const bool mirrored = bc_language_right_to_left();
  const drawing_type count = {.size = 2.8, .ink = drawing_black, .align = mirrored ? DRAWING_RIGHT : DRAWING_LEFT};
  for (int v = BC_STANDS_OUT; v >= BC_GETS_LOST; v--) {
    drawing_verdict_mark(drawing_canvas_cairo(b->canvas), (bc_verdict)v, begins(b, x + 1.4, 0), y + 2.1, 1.4,
                         drawing_black);
    x += 7.3 +
         drawing_textf(b->canvas, &count, begins(b, x + 3.6, 0), y, "%zu", count_of(b, ranked, (bc_verdict)v)).width;
  }
}

static void draw_cloth_words(const board *b, size_t row, size_t block) {
  const bc_ranked_cloth *const ranked = &b->match->cloths[row];
  const bc_cloth *const cloth = b->cloths[ranked->cloth];
  const double y = drawing_board_cell(b, row, drawing_board_first(b, block)).y;
  const bool mirrored = bc_language_right_to_left();
  const drawing_align plain = mirrored ? DRAWING_RIGHT : DRAWING_LEFT;
  const drawing_type rank = {.size = 8, .ink = row == 0 ? drawing_accent : drawing_black, .align = plain};
  const drawing_type name = {.size = 3.6, .bold = true, .ink = drawing_black, .width = BOARD_SIDE - 15, .lines = 2};
  const drawing_type small = {.size = 2.6, .ink = drawing_grey, .width = BOARD_SIDE - 15, .lines = 1};
  char words[DRAWING_WORDS];
  drawing_textf(b->canvas, &rank, begins(b, BOARD_MARGIN, 0), y - 2.6, "%d", ranked->rank);
  draw_swatch(b, cloth, begins(b, BOARD_MARGIN, SWATCH), y + 9.5);
  if (shares_rank(b, row)) {
    const drawing_type shared = {.size = 2.4, .ink = drawing_grey, .align = plain};
    drawing_text(b->canvas, &shared, begins(b, BOARD_MARGIN, 0), y + 17.6, _("shared"));
  }
  double at = y - 0.4;
  at += draw_words(b, name, BOARD_MARGIN + 11, at, cloth->name) + 0.3;
  const bool photo = strncmp(cloth->spec, PHOTO_PREFIX, strlen(PHOTO_PREFIX)) == 0;
  snprintf(words, sizeof words, mirrored ? "\u2066%.200s\u2069" : "%.200s", cloth->spec); /* "#" stays in front */
  if (photo || strcmp(cloth->name, cloth->spec) != 0)
    at += draw_words(b, small, BOARD_MARGIN + 11, at, photo ? _("from a photograph") : words);
  bc_say(words, sizeof words, _("score %.0f of 100"), ranked->score);
  at += draw_words(b, small, BOARD_MARGIN + 11, at, words) + 0.8;
  draw_counts(b, ranked, BOARD_MARGIN + 11, at);
  draw_trade_off(b, row, BOARD_MARGIN + 11, at + 4.4);
}

/* A thin frame keeps pale cloth apart from the paper; where a piece gets lost the frame is broken. */
static void draw_frame(const board *b, drawing_rect cell, bc_verdict verdict) {
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  cairo_save(cairo);
  drawing_use(cairo, verdict == BC_GETS_LOST ? drawing_black : drawing_pale);
  cairo_set_line_width(cairo, verdict == BC_GETS_LOST ? 0.4 : 0.15);
  const double dash[2] = {1.6, 1.1};
  if (verdict == BC_GETS_LOST) cairo_set_dash(cairo, dash, 2, 0);
  cairo_rectangle(cairo, cell.x, cell.y, cell.width, cell.height);
  cairo_stroke(cairo);
  cairo_restore(cairo);
}

/* From how far the outline can be made out. */
static void draw_distance(const board *b, size_t row, size_t column, const drawing_type *type, double x, double y) {
  const bc_visibility *const seen = b->match->cloths[row].visibility;
  if (!seen || !seen[column].known) return;
  const double metres = seen[column].outline_m, feet = metres / 0.3048;
  if (metres <= 0)
    drawing_text(b->canvas, type, x, y, _("under half made out"));
  else if (metres >= BC_FAR_M)
    drawing_textf(b->canvas, type, x, y, _("over %.0f m, %.0f ft"), metres, feet);
  else
    drawing_textf(b->canvas, type, x, y, metres < 9.95 ? _("to %.1f m, %.0f ft") : _("to %.0f m, %.0f ft"), metres,
                  feet);
}

static void draw_eyes(const board *b, size_t row, size_t column, double x, double y) {
  bc_verdict verdict;
  const bc_vision who = drawing_board_worse_to(&b->match->cloths[row], column, &verdict);
  if (who == BC_VISION_USUAL) return;
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  const bool mirrored = bc_language_right_to_left();
  const double out = mirrored ? -1 : 1;
  const drawing_type type = {.size = 2.45, .ink = drawing_black, .align = mirrored ? DRAWING_RIGHT : DRAWING_LEFT};
  drawing_eye(cairo, x + out * 1.3, y + 1.95, 1.3);
  drawing_verdict_mark(cairo, verdict, x + out * 4.6, y + 1.95, 1.2, drawing_black);
  drawing_text(b->canvas, &type, x + out * 6.7, y, who == BC_VISION_TRITAN ? _("blue–yellow") : _("red–green"));
}

/* How a polished piece will be at the stand, beside a gleam: it isn't what was photographed. */
static void draw_polished(const board *b, size_t column, const bc_pair *pair, drawing_rect cell) {
  if (!(b->match->collection->piece[column].reading->polished > 0)) return;
  const double x = cell.x + 2.2, y = cell.y + 2.2;
  const bc_verdict verdict = bc_verdict_of(pair->clarity_at_stand);
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  drawing_use(cairo, drawing_white);
  cairo_arc(cairo, x + 3.4, y, 1.5, 0, 2 * M_PI);
  cairo_fill(cairo);
  drawing_verdict_mark(cairo, verdict, x + 3.4, y, 1.1, drawing_black);
  drawing_gleam_mark(b->canvas, x, y, 1.5);
}

static void draw_caption(const board *b, size_t row, size_t column) {
  const bc_pair *const pair = &b->match->cloths[row].pairs[column];
  const drawing_rect cell = drawing_board_cell(b, row, column);
  const double y = cell.y + cell.height + 0.8;
  const bool mirrored = bc_language_right_to_left(); /* marks and words begin at the right then */
  const double start = mirrored ? cell.x + cell.width : cell.x, x = mirrored ? start - 3.4 : start + 3.4;
  const drawing_type word = {.size = 2.45,
                             .bold = pair->verdict == BC_GETS_LOST,
                             .ink = drawing_black,
                             .width = cell.width - 3.6,
                             .lines = 1,
                             .align = mirrored ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT};
  const drawing_type figure = {.size = 2.45, .ink = drawing_grey, .align = mirrored ? DRAWING_RIGHT : DRAWING_LEFT};
  draw_frame(b, cell, pair->verdict);
  if (bc_reading_is_doubtful(b->studies[column]->reading))
    drawing_doubt_mark(b->canvas, cell.x + cell.width - 2.2, cell.y + 2.2, 1.5);
  draw_polished(b, column, pair, cell);
  drawing_verdict_mark(drawing_canvas_cairo(b->canvas), pair->verdict, start + (mirrored ? -1.3 : 1.3), y + 1.95, 1.2,
                       drawing_black);
  drawing_text(b->canvas, &word, x, y, bc_verdict_text(pair->verdict));
  drawing_textf(b->canvas, &figure, x, y + BOARD_LINE, _("%.0f %% clear"), 100 * pair->seen_share);
  if (b->distances) draw_distance(b, row, column, &figure, x, y + 2 * BOARD_LINE);
  drawing_textf(b->canvas, &figure, x, y + (b->distances ? 3 : 2) * BOARD_LINE, "%.1f : 1", pair->contrast_ratio);
  draw_eyes(b, row, column, start, y + (b->distances ? 4 : 3) * BOARD_LINE);
}

bc_status drawing_board_words(const board *b, size_t block) {
  draw_names(b, block);
  const bc_status status = draw_photos(b, block);
  for (size_t row = 0; row < b->match->cloth_count; row++) {
    draw_cloth_words(b, row, block);
    for (size_t i = drawing_board_first(b, block); i < drawing_board_end(b, block); i++) draw_caption(b, row, i);
  }
  return status;
}
