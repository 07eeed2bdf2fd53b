/* SPDX-License-Identifier: MIT */
/* What the files of the aisle view share. It reuses the elevation's scene: `e.layout.wall` and `e.layout.k`
 * are the wall as it lies in the picture, so that whatever is drawn on the wall is drawn by the same code. */
#ifndef BC_DRAWING_AISLE_INTERNAL_H
#define BC_DRAWING_AISLE_INTERNAL_H

#include "drawing/wall/elevation.h"

#include <backcloth/aisle.h>

typedef struct aisle_scene {
  elevation e;
  bc_aisle_eye eye;
  bc_aisle_person people[BC_AISLE_CROWD_MOST];
  int people_count;
  const bc_aisle *figures; /* or NULL */
  drawing_rect picture;    /* mm */
  double pixels_per_mm;    /* of the pieces' pictures */
} aisle_scene;

/* How much larger than at the wall something at z looks. */
static inline double aisle_enlarged(const aisle_scene *s, double z) {
  return s->eye.z / (s->eye.z - z);
}
/* A point of the stand on the sheet, mm. */
static inline double aisle_px(const aisle_scene *s, double x, double z) {
  return elevation_x(&s->e, s->eye.x + (x - s->eye.x) * aisle_enlarged(s, z));
}
static inline double aisle_py(const aisle_scene *s, double y, double z) {
  return elevation_y(&s->e, s->eye.y + (y - s->eye.y) * aisle_enlarged(s, z));
}

/* A box with upright sides, cm. */
typedef struct aisle_solid {
  double left, right, bottom, top, back, front;
  drawing_ink top_ink, front_ink, side_ink;
} aisle_solid;
void aisle_draw_solid(const aisle_scene *s, const aisle_solid *b);
/* Zones, posts and panels of mesh, which lie behind the pieces; the scene is an aisle_scene. */
void aisle_draw_underlay(void *scene);
void aisle_draw_post_feet(const aisle_scene *s);
/* Wall, cloth and what hangs on it (raster), then floor and side walls, rods, cords. */
bc_status aisle_paint_wall(aisle_scene *s);
/* Shelves, tables and what stands on them or on the floor. */
bc_status aisle_draw_standing(aisle_scene *s);
void aisle_draw_people(aisle_scene *s);
/* Title, sentences, and a bar a piece. */
bc_status aisle_draw_words(aisle_scene *s, drawing_rect title, drawing_rect below, drawing_rect beside);

#endif
