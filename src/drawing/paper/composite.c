/* SPDX-License-Identifier: MIT */
/* The compositor: wall, cloth, shadows and sprites in linear light, a band of rows at a time so that
 * the pixels being worked on stay in the processor's cache. Over-operator: Porter and Duff, 1984. */
#include "base/maths.h"
#include "paper.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef uint16_t v4_u16 __attribute__((vector_size(8)));

static drawing_v4 mix(drawing_v4 first, drawing_v4 second, float share) {
  return first + (second - first) * share;
}

/* How much of the unit that starts at `pixel` lies between low and high. */
static float cover(int pixel, double low, double high) {
  const double from = fmax(low, pixel), to = fmin(high, pixel + 1.0);
  return to > from ? (float)(to - from) : 0.0f;
}

static void fill_wall(drawing_v4 *row, const drawing_scene *scene, int y) {
  const float down = cover(y, scene->wall.top, scene->wall.top + scene->wall.height);
  if (down <= 0.0f) return;
  const double right = scene->wall.left + scene->wall.width;
  const int first = base_bounded_int((int)floor(scene->wall.left), 0, scene->width);
  const int last = base_bounded_int((int)ceil(right), 0, scene->width);
  for (int x = first; x < last; x++) row[x] = mix(row[x], scene->wall_colour, down * cover(x, scene->wall.left, right));
}

/* Soft shadow of a large flat rectangle: product of two smooth edges. */
static float edge(double distance, double softness) {
  const double t = distance / softness + 0.5;
  return t <= 0 ? 0.0f : t >= 1 ? 1.0f : (float)(t * t * (3 - 2 * t));
}

static void shade_cloth_edge(drawing_v4 *row, const drawing_scene *scene, int y) {
  const drawing_cloth_field *const cloth = scene->cloth;
  const double lift = scene->cloth_lift, soft = fmax(1, 1.6 * lift);
  const double left = cloth->left + 0.4 * lift, right = cloth->left + cloth->width + 0.4 * lift;
  const double top = cloth->top + 0.7 * lift, bottom = cloth->top + cloth->height + 0.7 * lift;
  const float down = edge(y + 0.5 - top, soft) * edge(bottom - y - 0.5, soft);
  if (down <= 0.0f) return;
  const int wall_first = base_bounded_int((int)ceil(scene->wall.left), 0, scene->width);
  const int wall_last = base_bounded_int((int)floor(scene->wall.left + scene->wall.width), 0, scene->width);
  if (y < scene->wall.top || y + 1 > scene->wall.top + scene->wall.height) return;
  for (int x = base_bounded_int((int)(left - soft), wall_first, wall_last); x < wall_last && x < right + soft; x++)
    row[x] = row[x] * (1.0f - 0.35f * down * edge(x + 0.5 - left, soft) * edge(right - x - 0.5, soft));
}

static void fill_cloth(drawing_v4 *row, const drawing_scene *scene, int y) {
  const drawing_cloth_field *const cloth = scene->cloth;
  const int line = y - cloth->top;
  if (line < 0 || line >= cloth->height) return;
  const float t = (float)line / (float)cloth->height, share = t * t * (3 - 2 * t), hem = cloth->hem[line];
  const float *const weave = cloth->weave + (size_t)(line % DRAWING_WEAVE) * DRAWING_WEAVE;
  const drawing_v4 *const pattern =
      cloth->pattern ? cloth->pattern + (size_t)(line % cloth->pattern_height) * (size_t)cloth->pattern_width : NULL;
  const int first = base_bounded_int(-cloth->left, 0, cloth->width);
  const int last = base_bounded_int(scene->width - cloth->left, 0, cloth->width);
  for (int x = first; x < last; x++) {
    const float fold = cloth->fold_top[x] + (cloth->fold_bottom[x] - cloth->fold_top[x]) * share;
    const drawing_v4 base = pattern ? pattern[(int)cloth->along[x] % cloth->pattern_width] : cloth->colour;
    row[cloth->left + x] = base * (fold * weave[x % DRAWING_WEAVE] * hem);
  }
}

/* The reduced shadow, read between its cells. */
static void shade_sprite(drawing_v4 *row, int width, const drawing_sprite *sprite, int y) {
  const double at = (y + 0.5 - sprite->shadow_top) / sprite->shadow_step - 0.5;
  const int above = (int)floor(at);
  if (!sprite->shadow || above < 0 || above + 1 >= sprite->shadow_height) return;
  const float share = (float)(at - above), step = 1.0f / (float)sprite->shadow_step;
  const uint8_t *const high = sprite->shadow + (size_t)above * (size_t)sprite->shadow_width;
  const uint8_t *const low = high + sprite->shadow_width;
  const int first = base_bounded_int(sprite->shadow_left + sprite->shadow_step, 0, width);
  const int last = base_bounded_int(sprite->shadow_left + (sprite->shadow_width - 2) * sprite->shadow_step, 0, width);
  const float strength = sprite->shadow_strength / 255.0f;
  for (int x = first; x < last; x++) {
    const float place = ((float)(x - sprite->shadow_left) + 0.5f) * step - 0.5f;
    const int cell = (int)place;
    const float across = place - (float)cell;
    const float upper = (float)high[cell] + (float)(high[cell + 1] - high[cell]) * across;
    const float lower = (float)low[cell] + (float)(low[cell + 1] - low[cell]) * across;
    row[x] = row[x] * (1.0f - strength * (upper + (lower - upper) * share));
  }
}

/* `lit` (or NULL) is the row without the sprite's own shadow: what shows through glass isn't darkened by it, so that a
 * picture is the mixture that the figures are of. */
static void lay_sprite(drawing_v4 *row, const drawing_v4 *lit, int width, const drawing_sprite *sprite, int y) {
  const int line = y - sprite->top;
  if (line < 0 || line >= sprite->height) return;
  const int first = base_bounded_int(-sprite->left, 0, sprite->width),
            last = base_bounded_int(width - sprite->left, 0, sprite->width);
  const uint16_t *const source = sprite->pixels + 4 * (size_t)line * (size_t)sprite->width;
  for (int x = first; x < last; x++) {
    v4_u16 codes;
    memcpy(&codes, source + 4 * (size_t)x, sizeof codes);
    if (codes[3] == 0) continue;
    const drawing_v4 pixel = __builtin_convertvector(codes, drawing_v4) * (1.0f / 65535.0f);
    const float piece = lit ? fminf(1, pixel[3] / (1.0f - sprite->see_through)) : 0;
    const drawing_v4 shaded = row[sprite->left + x];
    const drawing_v4 behind = lit ? mix(shaded, lit[sprite->left + x], piece) : shaded;
    row[sprite->left + x] = pixel + behind * (1.0f - pixel[3]);
  }
}

/* Cairo's pixels are encoded and premultiplied; they are mixed in linear light like all else. */
static void lay_underlay(drawing_v4 *row, const drawing_scene *scene, int y) {
  const uint32_t *const from = scene->underlay + (size_t)y * scene->underlay_stride;
  for (int x = 0; x < scene->width; x++) {
    const uint32_t alpha = from[x] >> 24;
    if (alpha == 0) continue;
    drawing_v4 pixel = {0, 0, 0, 1};
    for (int c = 0; c < 3; c++) {
      const uint32_t code = (from[x] >> (16 - 8 * c)) & 255u;
      pixel[c] = (float)bc_srgb_decode(fmin(1, (double)code / alpha));
    }
    row[x] = mix(row[x], pixel, (float)alpha / 255.0f);
  }
}

static void compose_sprite(drawing_v4 *row, drawing_v4 *lit, int width, const drawing_sprite *sprite, int y) {
  const bool is_glass = sprite->see_through > 0 && sprite->see_through < 1;
  if (is_glass) memcpy(lit, row, (size_t)width * sizeof *lit);
  shade_sprite(row, width, sprite, y);
  lay_sprite(row, is_glass ? lit : NULL, width, sprite, y);
}

static void compose_row(drawing_v4 *row, drawing_v4 *lit, const drawing_scene *scene, int y) {
  for (int x = 0; x < scene->width; x++) row[x] = scene->paper;
  if (scene->has_wall) fill_wall(row, scene, y);
  if (scene->cloth) {
    if (scene->cloth_lift > 0 && scene->has_wall) shade_cloth_edge(row, scene, y);
    fill_cloth(row, scene, y);
  }
  if (scene->underlay) lay_underlay(row, scene, y);
  for (size_t i = 0; i < scene->sprite_count; i++) compose_sprite(row, lit, scene->width, &scene->sprites[i], y);
  for (int x = 0; x < scene->width; x++) row[x][3] = 1.0f;
}

bc_status drawing_compose(const drawing_scene *scene, bc_context *context, uint32_t *pixels, size_t stride) {
  drawing_v4 *const row = bc_allocate((size_t)scene->width, 2 * sizeof *row); /* and one to keep what is behind glass */
  if (!row) return bc_fail_memory(context);
  for (int y = 0; y < scene->height; y++) {
    compose_row(row, row + scene->width, scene, y);
    drawing_encode_row(pixels + (size_t)y * stride, row, (size_t)scene->width);
  }
  free(row);
  return BC_OK;
}
