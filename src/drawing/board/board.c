/* SPDX-License-Identifier: MIT */
/* The match board: cloths as rows in rank order, pieces as columns, each piece on each cloth in
 * linear light, with the verdict as a shape and a word and the contrast ratio under it. */
#include "board.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PIXELS_PER_MM 8.0    /* PNG */
#define RASTER_PER_MM 11.811 /* PDF, SVG: 300 dots an inch */

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
  for (size_t i = drawing_board_first(b, block); i < drawing_board_end(b, block); i++) {
    bc_status status =
        drawing_sprite_make(&sprites[i], b->context, &b->cuts[i], place_of(b, raster, drawing_board_cell(b, 0, i), i));
    if (status == BC_OK)
      status = drawing_sprite_cast(&sprites[i], b->context, 0.035 * b->cell * raster->pixels_per_mm, 0.5f);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

/* One row of cells is one scene: paper, then a flat piece of cloth and a sprite a cell. */
static bc_status paint_cell(const board *b, drawing_raster *raster, const drawing_sprite *sprite, size_t row,
                            size_t column) {
  const drawing_place cell = drawing_raster_place(raster, drawing_board_cell(b, row, column));
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
  const drawing_place home = drawing_raster_place(raster, drawing_board_cell(b, 0, column));
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
  const drawing_rect first = drawing_board_cell(b, 0, drawing_board_first(b, block)),
                     last = drawing_board_cell(b, b->match->cloth_count - 1, drawing_board_end(b, block) - 1);
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
    for (size_t i = drawing_board_first(b, block); status == BC_OK && i < drawing_board_end(b, block); i++)
      status = paint_cell(b, &raster, &sprites[i], row, i);
  for (size_t i = 0; sprites && i < b->match->piece_count; i++) drawing_sprite_clear(&sprites[i]);
  free(sprites);
  drawing_raster_close(&raster, b->canvas);
  return status;
}

static bc_status draw_block(board *b, size_t block) {
  if (b->sheets && block > 0) drawing_canvas_next_sheet(b->canvas);
  const bc_status status = paint_pictures(b, block);
  if (status != BC_OK) return status;
  if (b->sheets || block == 0) drawing_board_head(b);
  return drawing_board_words(b, block);
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
  drawing_board_lay_out(&b);
  status = make_cuts(&b);
  if (status == BC_OK) status = drawing_textiles_open(&b.textiles, context, match);
  if (status == BC_OK) status = open_and_draw(&b, path);
  for (size_t i = 0; b.cuts && i < match->piece_count; i++) drawing_cut_clear(&b.cuts[i]);
  free(b.cuts);
  drawing_textiles_free(b.textiles, match);
  return status;
}
