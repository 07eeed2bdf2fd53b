/* SPDX-License-Identifier: MIT */
/* What the user marks: strokes fix the cells they cross, and speak for what is like them round about,
 * by geodesic distance. Source: Criminisi, Sharp and Blake, "GeoS: geodesic image segmentation",
 * ECCV 2008 (distance by raster scans, after Toivanen 1996). */
#include "base/base.h"
#include "strokes.h"

#include <math.h>
#include <stdlib.h>

/* Our choices, measured: eight units across the picture, and one for every seven of colour difference. A stroke speaks
 * for what is nearer than a unit with thirty nats, more than any colour says against it, and hardly beyond. */
static const float picture_cost = 8, colour_cost = 0.15f, stroke_word = 30.0f;

bc_status cutout_strokes_begin(cutout_scene *scene, bc_context *context) {
  if (!scene->marked) scene->marked = bc_allocate(scene->grid.count, 1);
  if (!scene->said) scene->said = bc_allocate(scene->grid.count, sizeof *scene->said);
  return scene->marked && scene->said ? BC_OK : bc_fail_memory(context);
}

static void dab(cutout_scene *scene, double x, double y, double radius, bool keep) {
  const cutout_grid *grid = &scene->grid;
  const int left = (int)fmax(0, floor(x - radius)), right = (int)fmin(grid->width - 1, floor(x + radius));
  const int top = (int)fmax(0, floor(y - radius)), bottom = (int)fmin(grid->height - 1, floor(y + radius));
  for (int row = top; row <= bottom; row++)
    for (int column = left; column <= right; column++) {
      const bool own = row == (int)floor(y) && column == (int)floor(x);
      if (!own && hypot(column + 0.5 - x, row + 0.5 - y) > radius) continue;
      scene->marked[row * grid->width + column] = 1;
      scene->fixed[row * grid->width + column] = keep ? CUTOUT_IS_PIECE : CUTOUT_IS_BACKGROUND;
    }
}

/* A place far outside is as good as one not so far: nobody waits for a stroke on its way there. */
static double near_by(double at, int size) {
  return fmin(fmax(at, -4.0 * size), 5.0 * size);
}

void cutout_stroke(cutout_scene *scene, const bc_image *image, bc_point_px from, bc_point_px to, int brush, bool keep) {
  const double across = (double)scene->grid.width / image->full_width;
  const double down = (double)scene->grid.height / image->full_height;
  const int width = scene->grid.width, height = scene->grid.height;
  const double x0 = near_by((from.x + 0.5) * across, width), y0 = near_by((from.y + 0.5) * down, height);
  const double x1 = near_by((to.x + 0.5) * across, width), y1 = near_by((to.y + 0.5) * down, height);
  const int steps = (int)ceil(2 * fmax(fabs(x1 - x0), fabs(y1 - y0)));
  for (int i = 0; i <= steps; i++) {
    const double part = steps ? (double)i / steps : 0;
    dab(scene, x0 + part * (x1 - x0), y0 + part * (y1 - y0), brush * across, keep);
  }
}

/* ---- how far a stroke reaches ---- */

static float step_cost(const cutout_grid *grid) {
  return picture_cost / (float)(grid->width > grid->height ? grid->width : grid->height);
}

static void relax(float *distance, const cutout_grid *grid, float step, int x, int y, int direction) {
  const int from_x = x + cutout_step_x[direction], from_y = y + cutout_step_y[direction];
  if (from_x < 0 || from_y < 0 || from_x >= grid->width || from_y >= grid->height) return;
  const int i = y * grid->width + x, from = from_y * grid->width + from_x;
  float difference = 0;
  for (int c = 0; c < 3; c++) difference += fabsf(grid->lab[c][i] - grid->lab[c][from]);
  const float length = direction < 4 ? 1.0f : 1.41421356f;
  const float along = distance[from] + step * length + colour_cost * difference;
  if (along < distance[i]) distance[i] = along;
}

static void scan(float *distance, const cutout_grid *grid) {
  const float step = step_cost(grid);
  static const int before[4] = {1, 3, 5, 6}, after[4] = {0, 2, 4, 7}; /* neighbours already visited */
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      for (int k = 0; k < 4; k++) relax(distance, grid, step, x, y, before[k]);
  for (int y = grid->height - 1; y >= 0; y--)
    for (int x = grid->width - 1; x >= 0; x--)
      for (int k = 0; k < 4; k++) relax(distance, grid, step, x, y, after[k]);
}

static void add_word(cutout_scene *scene, bool keep) {
  float *distance = scene->weight;
  const uint8_t wanted = keep ? CUTOUT_IS_PIECE : CUTOUT_IS_BACKGROUND;
  bool any = false;
  for (size_t i = 0; i < scene->grid.count; i++) {
    const bool from_here = scene->marked[i] && scene->fixed[i] == wanted;
    distance[i] = from_here ? 0 : 1e3f;
    any = any || from_here;
  }
  if (!any) return;
  scan(distance, &scene->grid);
  for (size_t i = 0; i < scene->grid.count; i++)
    scene->said[i] += (keep ? stroke_word : -stroke_word) * expf(-distance[i] * distance[i] * distance[i]);
}

void cutout_strokes_weigh(cutout_scene *scene) {
  for (size_t i = 0; i < scene->grid.count; i++) scene->said[i] = 0;
  add_word(scene, true);
  add_word(scene, false);
}
