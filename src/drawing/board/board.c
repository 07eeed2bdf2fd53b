/* SPDX-License-Identifier: MIT */
/* The match board: cloths as rows in rank order, pieces as columns, each piece on each cloth in
 * linear light, with the verdict as a shape and a word and the contrast ratio under it. */
#include "drawing/paper/paper.h"

#include "base/file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PIXELS_PER_MM 8.0    /* PNG */
#define RASTER_PER_MM 11.811 /* PDF, SVG: 300 dots an inch */
#define MARGIN 13.0
#define HEAD 19.0  /* title and key */
#define NAMES 12.0 /* the pieces' names */
#define SIDE 50.0  /* a cloth's own words */
#define GAP 1.6
#define LINE 3.3           /* of the words under a cell */
#define WIDTH_WANTED 420.0 /* A3 landscape */
#define MOST_COLUMNS 17    /* more pieces go on a next sheet, or below */
#define PHOTO_PREFIX "photo:"

typedef struct board {
  bc_context *context;
  const bc_match *match;
  bc_study *const *studies;
  const bc_cloth *const *cloths;
  drawing_canvas *canvas;
  double cell, caption, width, height; /* mm */
  size_t columns, blocks;              /* pieces side by side, and how many such groups there are */
  bool sheets;                         /* a sheet a group (PDF); otherwise one below the other */
  bool distances;                      /* the true size of a piece is known */
  bool eyes;                           /* some verdict is another to other eyes */
  double photos;                       /* mm: height of the row with the photos as they came */
  drawing_textile *textiles;
  drawing_cut *cuts;
} board;

static double row_height(const board *b) {
  return b->cell + b->caption + GAP + 1.4;
}

static double block_height(const board *b) {
  return NAMES + b->photos + (double)b->match->cloth_count * row_height(b);
}

static bool any_distance(const bc_match *match) {
  const bc_visibility *const seen = match->cloths[0].visibility;
  for (size_t i = 0; seen && i < match->piece_count; i++)
    if (seen[i].known) return true;
  return false;
}

/* Protan and deutan eyes confuse much the same colours, and are told of together: the worse verdict counts.
 * BC_VISION_USUAL: no eyes see it worse. */
static bc_vision worse_to(const bc_ranked_cloth *ranked, size_t piece, bc_verdict *verdict) {
  bc_vision who = BC_VISION_USUAL;
  *verdict = ranked->pairs[piece].verdict;
  for (int v = BC_VISION_PROTAN; v < BC_EYES && ranked->pairs_to_eyes[v]; v++)
    if (ranked->pairs_to_eyes[v][piece].verdict < *verdict) {
      *verdict = ranked->pairs_to_eyes[v][piece].verdict;
      who = (bc_vision)v;
    }
  return who;
}

static bool any_eyes(const bc_match *match) {
  bc_verdict verdict;
  for (size_t row = 0; row < match->cloth_count; row++)
    for (size_t i = 0; i < match->piece_count; i++)
      if (worse_to(&match->cloths[row], i, &verdict) != BC_VISION_USUAL) return true;
  return false;
}

/* Few pieces get large cells, many get as small as can still be read, on several sheets or groups. */
static void lay_out(board *b) {
  const size_t pieces = b->match->piece_count;
  b->blocks = (pieces + MOST_COLUMNS - 1) / MOST_COLUMNS;
  b->columns = (pieces + b->blocks - 1) / b->blocks;
  b->distances = any_distance(b->match);
  b->eyes = any_eyes(b->match);
  b->caption = 1.5 + LINE * (3 + (b->distances ? 1 : 0) + (b->eyes ? 1 : 0));
  const double columns = (double)b->columns, fill = (WIDTH_WANTED - 2 * MARGIN - SIDE) / columns - GAP;
  b->cell = fmin(46, fmax(21, fill));
  b->photos = b->cell + LINE + 4;
  b->width = fmax(210, 2 * MARGIN + SIDE + columns * (b->cell + GAP));
  b->height = 2 * MARGIN + HEAD + (b->sheets ? 1 : (double)b->blocks) * block_height(b);
}

static drawing_rect cell_rect(const board *b, size_t row, size_t piece) {
  const double down = b->sheets ? 0 : (double)(piece / b->columns) * block_height(b);
  return (drawing_rect){MARGIN + SIDE + (double)(piece % b->columns) * (b->cell + GAP),
                        MARGIN + HEAD + down + NAMES + b->photos + (double)row * row_height(b), b->cell, b->cell};
}

static drawing_rect photo_rect(const board *b, size_t piece) {
  drawing_rect cell = cell_rect(b, 0, piece);
  cell.y -= b->photos;
  return cell;
}

static size_t first_of(const board *b, size_t block) {
  return block * b->columns;
}
static size_t end_of(const board *b, size_t block) {
  const size_t end = (block + 1) * b->columns;
  return end < b->match->piece_count ? end : b->match->piece_count;
}

/* ---- pictures ---- */

/* The same size in every row: the piece's box fills four fifths of its cell. */
static drawing_place place_of(const board *b, const drawing_raster *raster, drawing_rect cell, size_t piece) {
  const bc_box box = b->cuts[piece].box;
  const double scale = 0.80 * b->cell / (box.width > box.height ? box.width : box.height);
  const double width = box.width * scale, height = box.height * scale;
  return drawing_raster_place(
      raster, (drawing_rect){cell.x + (cell.width - width) / 2, cell.y + (cell.height - height) / 2, width, height});
}

static bc_status make_sprites(const board *b, const drawing_raster *raster, drawing_sprite *sprites, size_t block) {
  for (size_t i = first_of(b, block); i < end_of(b, block); i++) {
    bc_status status =
        drawing_sprite_make(&sprites[i], b->context, &b->cuts[i], place_of(b, raster, cell_rect(b, 0, i), i));
    if (status == BC_OK)
      status = drawing_sprite_cast(&sprites[i], b->context, 0.035 * b->cell * raster->pixels_per_mm, 0.5f);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

/* One row of cells is one scene: paper, then a flat piece of cloth and a sprite a cell. */
static bc_status paint_cell(const board *b, drawing_raster *raster, const drawing_sprite *sprite, size_t row,
                            size_t column) {
  const drawing_place cell = drawing_raster_place(raster, cell_rect(b, row, column));
  const bc_ranked_cloth *const ranked = &b->match->cloths[row];
  const bc_colour *const colour = &b->cloths[ranked->cloth]->colour;
  const drawing_textile *const textile = &b->textiles[ranked->cloth];
  const bool printed = textile->pixels != NULL;
  const drawing_cloth_look look = {
      .place = {0, 0, cell.width, cell.height}, .pixels_per_cm = 10, .fullness = 1, .weave = !printed};
  drawing_cloth_field cloth;
  bc_status status = drawing_cloth_field_make(&cloth, b->context, *colour, &look);
  if (status == BC_OK && printed) status = drawing_cloth_field_print(&cloth, b->context, textile, cell.width);
  if (status != BC_OK) return drawing_cloth_field_clear(&cloth), status;
  const drawing_place home = drawing_raster_place(raster, cell_rect(b, 0, column));
  const int x = (int)lrint(cell.left), y = (int)lrint(cell.top);
  drawing_sprite here = *sprite;
  here.left -= (int)lrint(home.left);
  here.shadow_left -= (int)lrint(home.left);
  here.top -= (int)lrint(home.top);
  here.shadow_top -= (int)lrint(home.top);
  const drawing_scene scene = {
      .width = cloth.width, .height = cloth.height, .cloth = &cloth, .sprites = &here, .sprite_count = 1};
  status = drawing_compose(&scene, b->context, raster->pixels + (size_t)y * raster->stride + (size_t)x, raster->stride);
  drawing_cloth_field_clear(&cloth);
  return status;
}

static void fill_paper(const board *b, drawing_raster *raster) {
  const drawing_ink paper = drawing_paper_of(b->canvas);
  const uint32_t code = 0xff000000u | (uint32_t)lrint(paper.red * 255) << 16 | (uint32_t)lrint(paper.green * 255) << 8 |
                        (uint32_t)lrint(paper.blue * 255);
  for (int y = 0; y < raster->height; y++)
    for (int x = 0; x < raster->width; x++) raster->pixels[(size_t)y * raster->stride + (size_t)x] = code;
}

static bc_status paint_pictures(board *b, size_t block) {
  const drawing_rect first = cell_rect(b, 0, first_of(b, block)),
                     last = cell_rect(b, b->match->cloth_count - 1, end_of(b, block) - 1);
  const drawing_rect area = {first.x - 0.5, first.y - 0.5, last.x + last.width - first.x + 1,
                             last.y + last.height - first.y + 1};
  drawing_raster raster;
  bc_status status = drawing_raster_open(&raster, b->context, b->canvas, area, RASTER_PER_MM);
  if (status != BC_OK) return status;
  drawing_sprite *const sprites = bc_allocate(b->match->piece_count, sizeof *sprites);
  if (!sprites) status = bc_fail_memory(b->context);
  fill_paper(b, &raster);
  if (status == BC_OK) status = make_sprites(b, &raster, sprites, block);
  for (size_t row = 0; status == BC_OK && row < b->match->cloth_count; row++)
    for (size_t i = first_of(b, block); status == BC_OK && i < end_of(b, block); i++)
      status = paint_cell(b, &raster, &sprites[i], row, i);
  for (size_t i = 0; sprites && i < b->match->piece_count; i++) drawing_sprite_clear(&sprites[i]);
  free(sprites);
  drawing_raster_close(&raster, b->canvas);
  return status;
}

/* ---- words ---- */

static bool any_doubtful(const board *b) {
  for (size_t i = 0; i < b->match->piece_count; i++)
    if (bc_reading_is_doubtful(b->studies[i]->reading)) return true;
  return false;
}

static void draw_key(const board *b, double right, double y) {
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  const drawing_type type = {.size = 2.8, .ink = drawing_grey};
  if (b->eyes) {
    const char *const words = _("verdict of people who confuse these colours");
    right -= drawing_text_measure(&type, words).width;
    drawing_text(b->canvas, &type, right, y, words);
    right -= 2.8;
    drawing_eye(cairo, right, y + 2.15, 1.6);
    right -= 5.5;
  }
  const bool mirrored = bc_language_right_to_left();
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

static void draw_head(const board *b) {
  const drawing_type title = {.size = 7, .ink = drawing_black},
                     below = {.size = 3, .ink = drawing_grey, .width = b->width - 2 * MARGIN};
  drawing_text(b->canvas, &title, MARGIN, MARGIN - 2.4, _("Which cloth?"));
  drawing_text(
      b->canvas, &below, MARGIN, MARGIN + 8.2,
      b->distances
          ? _("Every piece on every cloth, the best cloth first. Under each piece: the verdict, how much of its "
              "outline "
              "is clear, from how far it can be made out, and the contrast ratio. Cloths that share a number can't be "
              "told apart by these photos.")
          : _("Every piece on every cloth, the best cloth first. Under each piece: the verdict, how much of its "
              "outline "
              "is clear, and the contrast ratio. Cloths that share a number can't be told apart by these photos."));
  draw_key(b, b->width - MARGIN, MARGIN + 0.6);
}

/* A photo's own name without folder and suffix is what its maker calls the piece. */
static void short_name(char out[DRAWING_WORDS], const char *photo) {
  snprintf(out, DRAWING_WORDS, "%s", bc_path_name(photo));
  char *const dot = strrchr(out, '.');
  if (dot && dot > out) *dot = 0;
  for (char *c = out; *c; c++)
    if (*c == '_' || *c == '-') *c = ' ';
}

static void draw_names(const board *b, size_t block) {
  for (size_t i = first_of(b, block); i < end_of(b, block); i++) {
    char name[DRAWING_WORDS];
    short_name(name, b->studies[i]->reading->photo);
    const drawing_rect cell = photo_rect(b, i);
    const drawing_type type = {
        .size = 2.6, .ink = drawing_black, .align = DRAWING_CENTRE, .width = cell.width, .lines = 2};
    const double height = drawing_text_measure(&type, name).height;
    drawing_text(b->canvas, &type, cell.x + cell.width / 2, cell.y - 1.2 - height, name);
  }
}

static void draw_light_words(const board *b, size_t piece) {
  const drawing_rect cell = photo_rect(b, piece);
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
  const double y = photo_rect(b, first_of(b, block)).y;
  const drawing_type name = {.size = 3.2, .bold = true, .ink = drawing_black, .width = SIDE - 5, .lines = 2};
  const drawing_type small = {.size = 2.4, .ink = drawing_grey, .width = SIDE - 5, .lines = 6};
  const double below = y + drawing_text(b->canvas, &name, MARGIN, y - 0.4, _("As photographed")).height;
  drawing_text(b->canvas, &small, MARGIN, below + 0.4,
               _("The line is the cut-out. A dashed box is the white sheet that the colours were measured by; without "
                 "one, the camera's own judgement stands."));
  for (size_t i = first_of(b, block); i < end_of(b, block); i++) {
    const bc_status status = drawing_as_photographed(b->canvas, b->context, b->studies[i], photo_rect(b, i));
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
  cairo_rectangle(cairo, x, y, 7.5, 7.5);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.15);
  cairo_stroke(cairo);
}

/* What a cloth is best for. */
static void draw_trade_off(const board *b, size_t row, double x, double y) {
  const bc_match *const m = b->match;
  const drawing_type type = {.size = 2.5, .bold = true, .ink = drawing_black, .width = SIDE - 15, .lines = 2};
  if (row == 0) y += drawing_text(b->canvas, &type, x, y, _("best overall")).height;
  if (row == m->best_for_weakest && m->piece_count > 1)
    y += drawing_text(b->canvas, &type, x, y, _("best for the weakest piece")).height;
  if (row == m->best_on_average && m->piece_count > 1)
    y += drawing_text(b->canvas, &type, x, y, _("best on average")).height;
  if (row == m->best_for_statement) drawing_text(b->canvas, &type, x, y, _("best for the statement piece"));
}

static bool shares_rank(const board *b, size_t row) {
  const bc_ranked_cloth *const c = b->match->cloths;
  return (row > 0 && c[row - 1].rank == c[row].rank) ||
         (row + 1 < b->match->cloth_count && c[row + 1].rank == c[row].rank);
}

static void draw_cloth_words(const board *b, size_t row, size_t block) {
  const bc_ranked_cloth *const ranked = &b->match->cloths[row];
  const bc_cloth *const cloth = b->cloths[ranked->cloth];
  const double y = cell_rect(b, row, first_of(b, block)).y;
  const drawing_type rank = {.size = 8, .ink = row == 0 ? drawing_accent : drawing_black};
  const drawing_type name = {
      .size = 3.6, .bold = true, .ink = drawing_black, .width = SIDE - 15, .lines = 2, .align = DRAWING_AT_LEFT};
  const drawing_type small = {
      .size = 2.6, .ink = drawing_grey, .width = SIDE - 15, .lines = 1, .align = DRAWING_AT_LEFT};
  drawing_textf(b->canvas, &rank, MARGIN, y - 2.6, "%d", ranked->rank);
  draw_swatch(b, cloth, MARGIN, y + 9.5);
  if (shares_rank(b, row)) {
    const drawing_type shared = {.size = 2.4, .ink = drawing_grey};
    drawing_text(b->canvas, &shared, MARGIN, y + 17.6, _("shared"));
  }
  double at = y - 0.4;
  at += drawing_text(b->canvas, &name, MARGIN + 11, at, cloth->name).height + 0.3;
  const bool photo = strncmp(cloth->spec, PHOTO_PREFIX, strlen(PHOTO_PREFIX)) == 0;
  if (photo || strcmp(cloth->name, cloth->spec) != 0)
    at += drawing_text(b->canvas, &small, MARGIN + 11, at, photo ? _("from a photograph") : cloth->spec).height;
  at += drawing_textf(b->canvas, &small, MARGIN + 11, at, _("score %.0f of 100"), ranked->score).height + 0.8;
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  const drawing_type count = {.size = 2.8, .ink = drawing_black};
  double x = MARGIN + 12.4;
  for (int v = BC_STANDS_OUT; v >= BC_GETS_LOST; v--) {
    drawing_verdict_mark(cairo, (bc_verdict)v, x, at + 2.1, 1.4, drawing_black);
    x += 2.3 + drawing_textf(b->canvas, &count, x + 2.2, at, "%zu", count_of(b, ranked, (bc_verdict)v)).width + 3.6;
  }
  draw_trade_off(b, row, MARGIN + 11, at + 4.4);
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
  const bc_vision who = worse_to(&b->match->cloths[row], column, &verdict);
  if (who == BC_VISION_USUAL) return;
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  const bool mirrored = bc_language_right_to_left();
  const double out = mirrored ? -1 : 1;
  const drawing_type type = {.size = 2.45, .ink = drawing_black, .align = mirrored ? DRAWING_RIGHT : DRAWING_LEFT};
  drawing_eye(cairo, x + out * 1.3, y + 1.95, 1.3);
  drawing_verdict_mark(cairo, verdict, x + out * 4.6, y + 1.95, 1.2, drawing_black);
  drawing_text(b->canvas, &type, x + out * 6.7, y, who == BC_VISION_TRITAN ? _("blue–yellow") : _("red–green"));
}

static void draw_caption(const board *b, size_t row, size_t column) {
  const bc_pair *const pair = &b->match->cloths[row].pairs[column];
  const drawing_rect cell = cell_rect(b, row, column);
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
  drawing_verdict_mark(drawing_canvas_cairo(b->canvas), pair->verdict, start + (mirrored ? -1.3 : 1.3), y + 1.95, 1.2,
                       drawing_black);
  drawing_text(b->canvas, &word, x, y, bc_verdict_text(pair->verdict));
  drawing_textf(b->canvas, &figure, x, y + LINE, _("%.0f %% clear"), 100 * pair->seen_share);
  if (b->distances) draw_distance(b, row, column, &figure, x, y + 2 * LINE);
  drawing_textf(b->canvas, &figure, x, y + (b->distances ? 3 : 2) * LINE, "%.1f : 1", pair->contrast_ratio);
  draw_eyes(b, row, column, start, y + (b->distances ? 4 : 3) * LINE);
}

static bc_status draw_words(const board *b, size_t block) {
  draw_names(b, block);
  const bc_status status = draw_photos(b, block);
  for (size_t row = 0; row < b->match->cloth_count; row++) {
    draw_cloth_words(b, row, block);
    for (size_t i = first_of(b, block); i < end_of(b, block); i++) draw_caption(b, row, i);
  }
  return status;
}

static bc_status draw_block(board *b, size_t block) {
  if (b->sheets && block > 0) drawing_canvas_next_sheet(b->canvas);
  const bc_status status = paint_pictures(b, block);
  if (status != BC_OK) return status;
  if (b->sheets || block == 0) draw_head(b);
  return draw_words(b, block);
}

/* ---- all ---- */

static bc_status make_cuts(board *b) {
  b->cuts = bc_allocate(b->match->piece_count, sizeof *b->cuts);
  if (!b->cuts) return bc_fail_memory(b->context);
  for (size_t i = 0; i < b->match->piece_count; i++) {
    const bc_status status = drawing_cut_make(&b->cuts[i], b->context, b->studies[i]);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status open_and_draw(board *b, const char *path) {
  bc_status status = drawing_canvas_open(&b->canvas, b->context, path,
                                         (drawing_sheet_size){b->width, b->height, PIXELS_PER_MM, _("Which cloth?")});
  if (status != BC_OK) return status;
  for (size_t block = 0; status == BC_OK && block < b->blocks; block++) status = draw_block(b, block);
  if (status != BC_OK) {
    drawing_canvas_abandon(b->canvas);
    return status;
  }
  return drawing_canvas_finish(b->canvas, b->context);
}

bc_status bc_drawing_board(bc_context *context, const bc_match *match, bc_study *const *studies, const char *path) {
  drawing_format format;
  bc_status status = drawing_format_of(&format, context, path);
  if (status != BC_OK) return status;
  if (match->cloth_count == 0 || match->piece_count == 0)
    return bc_fail(context, BC_BAD_USAGE, _("%s: a board needs at least one piece and one cloth."), path);
  board b = {.context = context,
             .match = match,
             .studies = studies,
             .cloths = drawing_cloths_of(match),
             .sheets = format == DRAWING_PDF};
  lay_out(&b);
  status = make_cuts(&b);
  if (status == BC_OK) status = drawing_textiles_open(&b.textiles, context, match);
  if (status == BC_OK) status = open_and_draw(&b, path);
  for (size_t i = 0; b.cuts && i < match->piece_count; i++) drawing_cut_clear(&b.cuts[i]);
  free(b.cuts);
  drawing_textiles_free(b.textiles, match);
  return status;
}
