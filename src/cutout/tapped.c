/* SPDX-License-Identifier: MIT */
/* A drop on a part that lies apart from the largest means the whole part: another thing that was taken along. In the
 * largest it means a place. Our own rule. Goes before the strokes' own effect (stroke.c). */
#include "base/base.h"
#include "grid_answer.h"
#include "strokes.h"

#include <stdlib.h>

typedef struct tapped {
  cutout_regions parts;
  uint8_t *goes; /* of each part */
} tapped;

static int32_t part_at(const tapped *t, const cutout_grid *grid, const bc_image *image, bc_point_px at) {
  const int64_t x = (int64_t)at.x * grid->width / image->full_width;
  const int64_t y = (int64_t)at.y * grid->height / image->full_height;
  return t->parts.label[y * grid->width + x];
}

static void choose(const tapped *t, const cutout_scene *scene, const bc_image *image, const bc_point_px *points,
                   size_t count) {
  int largest = 0;
  for (size_t p = 0; p < t->parts.count; p++)
    if (t->parts.part[p].piece && t->parts.part[p].area > largest) largest = t->parts.part[p].area;
  for (size_t i = 0; i < count; i++) {
    const int32_t label = part_at(t, &scene->grid, image, points[i]);
    const cutout_part *part = &t->parts.part[label];
    if (part->piece && part->area < largest) t->goes[label] = 1;
  }
  for (size_t i = 0; i < scene->grid.count; i++)
    if (scene->fixed[i] == CUTOUT_IS_PIECE) t->goes[t->parts.label[i]] = 0; /* the user keeps some of it */
}

/* With the cells next to it, which may hold pixels of it, unless they are another part's. */
static void mark(const tapped *t, cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      if (!t->goes[t->parts.label[y * grid->width + x]]) continue;
      for (int row = y > 0 ? y - 1 : 0; row <= y + 1 && row < grid->height; row++)
        for (int column = x > 0 ? x - 1 : 0; column <= x + 1 && column < grid->width; column++) {
          const int i = row * grid->width + column;
          if (scene->fixed[i] == CUTOUT_IS_PIECE || (scene->piece[i] && !t->goes[t->parts.label[i]])) continue;
          scene->marked[i] = 1;
          scene->fixed[i] = CUTOUT_IS_BACKGROUND;
        }
    }
}

bc_status cutout_tapped_drop(cutout_scene *scene, bc_context *context, const bc_image *image, const bc_point_px *points,
                             size_t count) {
  tapped t = {.goes = NULL};
  bc_status status = cutout_regions_new(&t.parts, context, scene->piece, scene->grid.width, scene->grid.height);
  if (status != BC_OK) return status;
  t.goes = bc_allocate(t.parts.count + 1, 1);
  if (t.goes) {
    choose(&t, scene, image, points, count);
    mark(&t, scene);
  } else {
    status = bc_fail_memory(context);
  }
  free(t.goes);
  cutout_regions_clear(&t.parts);
  return status;
}
