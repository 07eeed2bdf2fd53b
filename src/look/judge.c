/* SPDX-License-Identifier: MIT */
/* The figures of a straightened wall: its own light, its pieces against what is behind them, what is empty, how busy.
 * In: bc_look with the wall straightened. Out: the rest of it. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

/* The light on the bare wall at each pixel, 1 on average: the ground's luminance between cells. */
static bc_status set_shade(bc_look *look, bc_context *context, const look_ground *g) {
  const size_t count = (size_t)look->wall->width * (size_t)look->wall->height,
               cells = (size_t)g->width * (size_t)g->height;
  look->shade = bc_allocate(count, sizeof *look->shade);
  float *light = bc_allocate(cells, sizeof *light);
  if (!look->shade || !light) {
    free(light);
    return bc_fail_memory(context);
  }
  double mean = 0, least = HUGE_VAL, most = 0;
  bc_lab lab = {0, 0, 0};
  for (size_t i = 0; i < cells; i++) {
    light[i] = (float)fmax(0.002, bc_colour_from_lab((bc_lab){fmin(100, (double)g->model[0][i]), 0, 0}).luminance);
    mean += (double)light[i] / (double)cells;
    least = fmin(least, (double)light[i]);
    most = fmax(most, (double)light[i]);
    lab.L += (double)g->model[0][i] / (double)cells;
    lab.a += (double)g->model[1][i] / (double)cells;
    lab.b += (double)g->model[2][i] / (double)cells;
  }
  look->wall_colour = bc_colour_from_lab(lab);
  look->evenness = least / most;
  for (int y = 0; y < look->wall->height; y++)
    for (int x = 0; x < look->wall->width; x++) {
      const long cx = (long)x * g->width / look->wall->width, cy = (long)y * g->height / look->wall->height;
      look->shade[(size_t)y * (size_t)look->wall->width + (size_t)x] =
          light[(size_t)cy * (size_t)g->width + (size_t)cx] / (float)mean;
    }
  free(light);
  return BC_OK;
}

static bc_look_height height_of(const bc_look *look, const bc_look_piece *piece) {
  const double low = piece->y_cm - piece->height_cm / 2;
  if (low < fmax(3, 0.02 * look->height_cm)) return BC_LOOK_FLOOR;
  return piece->y_cm > look->sight_high  ? BC_LOOK_ABOVE
         : piece->y_cm < look->sight_low ? BC_LOOK_BELOW
                                         : BC_LOOK_IN_BAND;
}

static bc_status judge_pieces(bc_look *look, bc_context *context, const uint8_t *cover) {
  for (size_t i = 0; i < look->piece_count; i++) {
    bc_look_piece *const piece = &look->pieces[i];
    const bc_status status = look_behind(&piece->behind, context, look, piece, cover);
    if (status != BC_OK) return status;
    piece->pair = bc_match_pair(piece->study->reading, piece->behind);
    if (look->cloth) piece->on_cloth = bc_match_pair(piece->study->reading, look->cloth);
    piece->height = height_of(look, piece);
    piece->focus_cm = hypot(piece->x_cm - look->focus.x, piece->y_cm - look->focus.y);
  }
  return BC_OK;
}

/* How busy the whole wall is: on the squares at its two ends, which together show all of it. */
static bc_status measure_texture(bc_look *look, bc_context *context) {
  const bc_image *const wall = look->wall;
  const int side = wall->width < wall->height ? wall->width : wall->height;
  double bits = 0;
  for (int end = 0; end < 2; end++) {
    const bc_box box = {end ? wall->width - side : 0, end ? wall->height - side : 0, side, side};
    bc_image *square = NULL;
    bc_status status = look_crop(&square, context, wall, box);
    if (status == BC_OK) status = bc_textile_of(&look->texture, context, square, look->photo);
    bc_image_free(square);
    if (status != BC_OK) return status;
    bits += look->texture.busy_bits / 2;
  }
  look->texture.busy_bits = bits;
  return BC_OK;
}

bc_status look_judge(bc_look *look, bc_context *context, const bc_look_options *options) {
  look_ground ground;
  bc_status status = look_ground_fit(&ground, context, look->wall);
  if (status == BC_OK && !ground.patterned) /* what is hardly unlike a pattern cannot be told from it */
    status = look_ground_add_faint(&ground, context, look->pixels_per_cm * ground.width / look->wall->width);
  if (status == BC_OK) status = set_shade(look, context, &ground);
  if (status == BC_OK) status = look_pieces_find(look, context, &ground, options);
  uint8_t *cover = status == BC_OK ? look_cover(look) : NULL;
  if (status == BC_OK && !cover) status = bc_fail_memory(context);
  if (status == BC_OK) status = judge_pieces(look, context, cover);
  if (status == BC_OK) status = look_gaps_find(look, context, cover);
  if (status == BC_OK) status = measure_texture(look, context);
  free(cover);
  look_ground_clear(&ground);
  return status;
}
