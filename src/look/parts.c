/* SPDX-License-Identifier: MIT */
/* Connected parts of a straightened wall that differ from the bare wall. In: the ground's classes. Out: parts with
 * their boxes, in cells. */
#include "pieces_internal.h"

#include <math.h>
#include <stdlib.h>

#define LEAST_CM 1.5 /* smaller things are nails and sockets */
#define LEAST_CELLS 9
#define MOST_SHARE 0.4    /* of the wall: larger parts are cloths or walls themselves */
#define SHADED_SHARE 0.25 /* a part with less that is surely no shade is hardly anything but shade */
#define SURE_RIM 0.3      /* or of the way round it: a white piece differs from a white wall by its edge alone */
#define SURE_SHARE 0.06   /* of a part that must differ by more than shade */

/* One cell of closing, so that a striped or open piece stays in one. */
static uint8_t *closed_mask(const look_ground *g) {
  const size_t count = (size_t)g->width * (size_t)g->height;
  uint8_t *wide = bc_allocate(count, 1), *mask = bc_allocate(count, 1);
  for (int pass = 0; wide && mask && pass < 2; pass++)
    for (int y = 0; y < g->height; y++)
      for (int x = 0; x < g->width; x++) {
        bool any = false, all = true;
        for (int dy = -1; dy <= 1; dy++)
          for (int dx = -1; dx <= 1; dx++) {
            const int to_x = x + dx, to_y = y + dy;
            const bool inside = to_x >= 0 && to_y >= 0 && to_x < g->width && to_y < g->height;
            const size_t at = inside ? (size_t)to_y * (size_t)g->width + (size_t)to_x : 0;
            const bool set = inside && (pass ? wide[at] : g->class[at] != LOOK_GROUND && g->class[at] != LOOK_THING);
            any = any || set;
            all = all && (set || !inside);
          }
        const bool border =
            x < LOOK_BORDER || y < LOOK_BORDER || x >= g->width - LOOK_BORDER || y >= g->height - LOOK_BORDER;
        const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
        if (pass)
          mask[i] = all && !border && g->class[i] != LOOK_THING;
        else
          wide[i] = any;
      }
  free(wide);
  return mask;
}

static void flood(look_search *s, const uint8_t *mask, size_t start) {
  const look_ground *const g = s->ground;
  const int32_t number = (int32_t)s->count;
  look_part p = {g->width, g->height, 0, 0, 0, 0};
  size_t first = 0, last = 0;
  s->queue[last++] = (int32_t)start;
  s->label[start] = number;
  while (first < last) {
    const int at = s->queue[first++], x = at % g->width, y = at / g->width;
    p.left = x < p.left ? x : p.left;
    p.right = x > p.right ? x : p.right;
    p.top = y < p.top ? y : p.top;
    p.bottom = y > p.bottom ? y : p.bottom;
    p.area++;
    p.sure += g->class[at] == LOOK_PIECE;
    for (int d = 0; d < 4; d++) {
      const int to_x = x + (d == 0) - (d == 1), to_y = y + (d == 2) - (d == 3);
      if (to_x < 0 || to_y < 0 || to_x >= g->width || to_y >= g->height) continue;
      const size_t to = (size_t)to_y * (size_t)g->width + (size_t)to_x;
      if (!mask[to] || s->label[to] >= 0) continue;
      s->label[to] = number;
      s->queue[last++] = (int32_t)to;
    }
  }
  s->parts[s->count++] = p;
}

/* A part whose edge is sharp most of the way round, and which is hardly anything but shade, is a white piece: its shade
 * is its own. Elsewhere what is shade and touches a piece is the piece's shadow. */
static void take_in_shade(const look_search *s) {
  look_ground *const g = s->ground;
  for (int i = 0; i < g->width * g->height; i++) {
    const look_part *const p = s->label[i] < 0 ? NULL : &s->parts[s->label[i]];
    if (p && g->class[i] == LOOK_PERHAPS && p->sure < SHADED_SHARE * p->area && look_part_is_piece(s, p))
      g->class[i] = LOOK_FAINT;
  }
}

bool look_parts_find(look_search *s) {
  const size_t count = (size_t)s->ground->width * (size_t)s->ground->height;
  uint8_t *mask = closed_mask(s->ground);
  if (!s->label) {
    s->label = bc_allocate(count, sizeof *s->label);
    s->queue = bc_allocate(2 * count, sizeof *s->queue);
    s->parts = bc_allocate(count / 2 + 1, sizeof *s->parts);
  }
  s->count = 0;
  const bool room = mask && s->label && s->queue && s->parts;
  for (size_t i = 0; room && i < count; i++) s->label[i] = -1;
  for (size_t i = 0; room && i < count; i++)
    if (mask[i] && s->label[i] < 0) flood(s, mask, i);
  if (room) take_in_shade(s);
  free(mask);
  return room;
}

bool look_part_is_piece(const look_search *s, const look_part *p) {
  const double cm = s->ground->cell / s->look->pixels_per_cm;
  const int width = p->right - p->left + 1, height = p->bottom - p->top + 1;
  if (fmin(width, height) * cm < LEAST_CM || p->area < LEAST_CELLS) return false;
  if (p->sure < SURE_SHARE * p->area && p->sure < SURE_RIM * 2 * (width + height)) return false; /* a shadow */
  if (p->area > MOST_SHARE * s->ground->width * s->ground->height) return false;
  return width < s->ground->width - 2 * LOOK_BORDER || height < s->ground->height - 2 * LOOK_BORDER;
}
