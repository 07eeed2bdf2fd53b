/* SPDX-License-Identifier: MIT */
/* Boxes seen from the aisle, and the posts and panels of mesh that stand before the wall. */
#include "aisle_scene.h"

static void quad(const aisle_scene *s, const double c[4][3], drawing_ink ink) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  for (int i = 0; i < 4; i++) {
    const double x = aisle_px(s, c[i][0], c[i][2]), y = aisle_py(s, c[i][1], c[i][2]);
    if (i == 0)
      cairo_move_to(cairo, x, y);
    else
      cairo_line_to(cairo, x, y);
  }
  cairo_close_path(cairo);
  drawing_use(cairo, ink);
  cairo_fill_preserve(cairo);
  cairo_set_line_width(cairo, 0.1); /* closes the seam between neighbouring faces */
  cairo_stroke(cairo);
}

/* Only the faces that are turned towards the eye. */
void aisle_draw_solid(const aisle_scene *s, const aisle_solid *b) {
  const double x = b->right < s->eye.x ? b->right : b->left;
  if (b->right < s->eye.x || b->left > s->eye.x)
    quad(s,
         (const double[4][3]){
             {x, b->bottom, b->back}, {x, b->top, b->back}, {x, b->top, b->front}, {x, b->bottom, b->front}},
         b->side_ink);
  const double y = b->top < s->eye.y ? b->top : b->bottom;
  if (b->top < s->eye.y || b->bottom > s->eye.y)
    quad(s,
         (const double[4][3]){
             {b->left, y, b->back}, {b->right, y, b->back}, {b->right, y, b->front}, {b->left, y, b->front}},
         b->top < s->eye.y ? b->top_ink : b->side_ink);
  quad(s,
       (const double[4][3]){{b->left, b->bottom, b->front},
                            {b->right, b->bottom, b->front},
                            {b->right, b->top, b->front},
                            {b->left, b->top, b->front}},
       b->front_ink);
}

static const drawing_ink post_top = {0.84, 0.83, 0.81, 1}, post_front = {0.91, 0.90, 0.88, 1},
                         post_side = {0.72, 0.70, 0.67, 1};

static void draw_posts(const aisle_scene *s) {
  for (size_t i = 0; i < s->e.plan->post_count; i++) {
    const bc_post *const p = &s->e.plan->posts[i];
    aisle_draw_solid(
        s, &(aisle_solid){p->x, p->x + p->width, p->y, p->y + p->height, 0, p->depth, post_top, post_front, post_side});
  }
}

/* Upright and parallel to the wall, so it only grows about the point straight ahead of the eye. */
static void draw_panel(const aisle_scene *s, const bc_grid *grid) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const double x = elevation_x(&s->e, s->eye.x), y = elevation_y(&s->e, s->eye.y);
  const double enlarged = aisle_enlarged(s, ELEVATION_GRID_Z);
  cairo_save(cairo);
  cairo_translate(cairo, x, y);
  cairo_scale(cairo, enlarged, enlarged);
  cairo_translate(cairo, -x, -y);
  elevation_draw_grid(&s->e, grid);
  cairo_restore(cairo);
}

void aisle_draw_underlay(void *scene) {
  const aisle_scene *const s = scene;
  const bc_plan *const plan = s->e.plan;
  for (size_t i = 0; i < plan->zone_count; i++) elevation_draw_zone(&s->e, &plan->zones[i]);
  draw_posts(s);
  for (size_t i = 0; i < plan->grid_count; i++) draw_panel(s, &plan->grids[i]);
}

/* What of the posts the floor would cover: they stand before the wall's foot. */
void aisle_draw_post_feet(const aisle_scene *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const drawing_rect w = s->e.layout.wall, p = s->picture;
  cairo_save(cairo);
  cairo_rectangle(cairo, p.x, w.y + w.height, p.width, p.height);
  cairo_clip(cairo);
  draw_posts(s);
  cairo_restore(cairo);
}
