/* SPDX-License-Identifier: MIT */
/* Where a piece stands, what lies about, the light and the camera, by chance. */
#ifndef RENDER_SETTING_H
#define RENDER_SETTING_H

#include "pieces.h"
#include "trace.h"

/* ---- ground ---- */

static int ground_material(builder *b, vec piece, float near_share) {
  static const int pattern_of[] = {PLAIN,  PLAIN,  PLAIN,    CLOUDS,  WEAVE,   WOOD,    PLANKS, PLANKS,  TILES,
                                   BRICKS, MARBLE, CONCRETE, STRIPES, CHECKS,  GINGHAM, TWILL,  PETALS,  SPECKLES,
                                   FUR,    PAGES,  KNIT,     CRACKLE, PATCHES, BASKET,  CLOUDS, CONCRETE};
  const int near = likely(b->c, near_share);
  const int index =
      add_material(b, pattern_of[below(b->c, 26)], near ? near_colour(b->c, piece, 0.3f) : colour_by_chance(b->c));
  material *m = &b->s->material_of[index];
  if (near) {
    m->colour[1] = near_colour(b->c, m->colour[0], 0.25f);
    m->colour[2] = near_colour(b->c, m->colour[0], 0.4f);
  }
  m->wrapped = 0;
  m->scale = expf(between(b->c, -0.7f, 2.2f));
  if (m->pattern == WEAVE || m->pattern == TWILL || m->pattern == FUR) m->scale = expf(between(b->c, 1, 3));
  if (m->pattern == PLANKS || m->pattern == WOOD) m->scale = expf(between(b->c, -0.3f, 1.4f));
  return index;
}

static void choose_ground(builder *b, int setting, vec piece, float radius) {
  ground *g = &b->s->floor;
  chance *c = b->c;
  const float near_share = 0.2f;
  memset(g, 0, sizeof *g);
  g->edge = 99;
  g->far_edge = -99;
  g->floor_material = ground_material(b, piece, near_share);
  g->wall_material = ground_material(b, piece, near_share);
  g->beyond_material = ground_material(b, piece, 0);
  g->drop = between(c, 0.6f, 3);
  if (setting == HANGS) {
    g->has_wall = 1;
    g->has_floor = likely(c, 0.2f); /* a floor or shelf below */
    return;
  }
  g->has_floor = 1;
  g->mirror = likely(c, 0.18f) ? between(c, 0.02f, 0.3f) : 0;
  if (setting == LIES) {
    g->has_wall = likely(c, 0.1f);
    g->wall = -radius * between(c, 2, 4);
    if (likely(c, 0.12f)) g->edge = radius * between(c, 1.05f, 2);
    if (likely(c, 0.12f)) g->far_edge = -radius * between(c, 1.1f, 2.5f);
    return;
  }
  const int kind = below(c, 10);
  g->has_wall = kind < 8;
  g->wall = -radius * between(c, 1.05f, likely(c, 0.5f) ? 2 : 6);
  if (kind < 3) { /* a sheet that sweeps up */
    g->sweeps = 1;
    g->wall_material = g->floor_material;
    b->s->material_of[g->floor_material].pattern = likely(c, 0.7f) ? PLAIN : CLOUDS;
  }
  if (kind > 4) g->far_edge = fmaxf(g->wall, -radius * between(c, 1.05f, 3));
  if (kind == 6) g->skirting = between(c, 0.1f, 0.4f);
  if (likely(c, 0.25f)) g->edge = radius * between(c, 1.02f, 2.2f);
}

/* ---- light ---- */

static vec white_by_chance(chance *c, float light) {
  return v3(light * between(c, 0.85f, 1.2f), light, light * between(c, 0.7f, 1.2f));
}

static void choose_light(builder *b, int setting) {
  scene *s = b->s;
  chance *c = b->c;
  const float turn = between(c, 0, 6.28f), tall = setting == HANGS ? between(c, -0.1f, 1.2f) : between(c, 0.35f, 1.35f);
  const vec above = v3(cosf(tall) * sinf(turn), sinf(tall), cosf(tall) * cosf(turn));
  const vec front = v3(cosf(tall) * sinf(0.4f * turn - 1.2f), sinf(tall), 0.4f + cosf(tall));
  const int kind = below(c, 10);
  s->lamps = 1;
  s->lamp_of[0].towards = unit(setting == HANGS ? front : above);
  s->lamp_of[0].hardness = kind < 4 ? between(c, 20, 120) : between(c, 2.5f, 12);
  s->lamp_of[0].colour = white_by_chance(c, between(c, 0.6f, 2.5f));
  s->ambient = white_by_chance(c, kind < 4 ? between(c, 0.15f, 0.6f) : between(c, 0.4f, 1.2f));
  if (kind == 8) s->lamp_of[0].colour = times(s->lamp_of[0].colour, 0.1f); /* only what comes from everywhere */
  if (likely(c, 0.4f)) {
    lamp *l = &s->lamp_of[s->lamps++];
    l->towards = unit(v3(between(c, -1, 1), between(c, 0.1f, 1), between(c, -0.3f, 1)));
    l->hardness = between(c, 2.5f, 25);
    l->colour = white_by_chance(c, between(c, 0.2f, 1.2f));
  }
  if (likely(c, 0.1f)) { /* the camera's flash */
    lamp *l = &s->lamp_of[s->lamps++];
    l->towards = unit(plus(times(s->forward, -1), v3(between(c, -0.1f, 0.1f), between(c, 0, 0.15f), 0)));
    l->hardness = 60;
    l->colour = white_by_chance(c, between(c, 1, 2.5f));
  }
}

static void choose_surroundings(builder *b) {
  surroundings *a = &b->s->around;
  chance *c = b->c;
  a->kind = below(c, 3);
  a->seed = below(c, 1000);
  const float light = between(c, 0.3f, 1.2f);
  a->high = times(white_by_chance(c, 1), light);
  a->middle = times(colour_by_chance(c), light);
  a->low = times(colour_by_chance(c), light);
  if (a->kind == 2) {
    a->high = times(v3(0.35f, 0.55f, 1), between(c, 0.6f, 1.5f));
    a->middle = times(likely(c, 0.5f) ? v3(0.9f, 0.95f, 1) : v3(0.2f, 0.35f, 0.12f), between(c, 0.5f, 1.3f));
    a->low = times(v3(0.25f, 0.28f, 0.15f), between(c, 0.3f, 1));
  }
  if (a->kind == 1) a->middle = a->low = times(v3(1, 1, 1), light * between(c, 0.02f, 0.8f));
  for (int k = 0; k < 3; k++) {
    a->box[k] = unit(v3(between(c, -1, 1), between(c, 0.05f, 1), between(c, -0.5f, 1)));
    a->box_size[k] = between(c, 0.15f, 0.7f);
    a->box_light[k] = likely(c, 0.6f) ? between(c, 1, 6) : 0;
  }
}

/* ---- where it stands ---- */

static void set_balls(scene *s) {
  for (int i = 0; i < s->parts; i++) set_ball(&s->part_of[i]);
  set_group_ball(s, 0);
  set_group_ball(s, 1);
}

/* The lowest place of the piece along `axis`, found with rays from below. */
static float lowest(const scene *s, vec axis, vec right, vec ahead) {
  const vec base = along(s->ball[0], axis, -s->radius[0] - 0.2f);
  float best = 1e9f;
  for (int i = 0; i < 18 * 18; i++) {
    const float x = ((float)(i % 18) / 8.5f - 1) * s->radius[0], y = ((float)(i / 18) / 8.5f - 1) * s->radius[0];
    const vec from = along(along(base, right, x), ahead, y);
    float t = 0;
    int which = 0;
    for (int k = 0; k < 40 && t < best; k++) {
      const float apart = to_parts(s, along(from, axis, t), 0, s->piece_parts, &which);
      if (apart < 0.003f) {
        best = t;
        break;
      }
      t += apart;
      if (t > 2 * s->radius[0] + 0.4f) break;
    }
  }
  return best > 1e8f ? dot(s->ball[0], axis) - s->radius[0] : dot(base, axis) + best;
}

static void move_piece(scene *s, vec by) {
  for (int i = 0; i < s->piece_parts; i++) s->part_of[i].at = plus(s->part_of[i].at, by);
  set_balls(s);
}

static void stand(builder *b, int setting, int may) {
  scene *s = b->s;
  chance *c = b->c;
  const int flat = may & LIES;
  const float spin = setting == STANDS ? between(c, 0, 6.28f)
                     : setting == LIES ? between(c, 0, 6.28f)
                                       : between(c, -0.3f, 0.3f);
  const float little = setting == STANDS && likely(c, 0.6f) ? between(c, -0.6f, 0.6f) : spin;
  for (int i = 0; i < s->parts; i++) {
    part *p = &s->part_of[i];
    if (setting == HANGS && flat) turn_part(p, v3(1, 0, 0), 1.5707963f);
    if (setting == HANGS)
      turn_part(p, v3(0, 0, 1), 0.15f * spin);
    else
      turn_part(p, v3(0, 1, 0), little);
  }
  set_balls(s);
  if (setting == HANGS) {
    move_piece(s, v3(-s->ball[0].x, likely(c, 0.5f) ? 0 : between(c, 0, 1),
                     -lowest(s, v3(0, 0, 1), v3(1, 0, 0), v3(0, 1, 0))));
    s->floor.wall = likely(c, 0.7f) ? -0.004f : -between(c, 0.02f, 0.5f);
    if (s->floor.has_floor) move_piece(s, v3(0, s->radius[0] - s->ball[0].y + between(c, 0.1f, 0.5f), 0));
  } else {
    move_piece(s, v3(-s->ball[0].x, -lowest(s, v3(0, 1, 0), v3(1, 0, 0), v3(0, 0, 1)) + 0.001f, -s->ball[0].z));
  }
}

/* ---- clutter: at the frame's edge, behind, or a mat below ---- */

static void clutter_thing(builder *b, int setting, float reach) {
  chance *c = b->c;
  const float r = reach * between(c, 0.12f, 0.5f), side = likely(c, 0.5f) ? 1.0f : -1.0f;
  vec at = v3(side * reach * between(c, 1.1f, 2.2f), 0, reach * between(c, -1.5f, 0.6f));
  if (setting == STANDS && likely(c, 0.4f))
    at = v3(reach * between(c, -1.5f, 1.5f), 0, -reach * between(c, 1.3f, 2.5f));
  if (setting == LIES) {
    const float angle = between(c, 0, 6.28f), far = reach * between(c, 1.25f, 2);
    at = v3(far * sinf(angle), 0, far * cosf(angle));
  }
  if (flat_length(at.x, at.z) < reach + r && setting != HANGS)
    at = times(at, (reach + 1.1f * r) / fmaxf(flat_length(at.x, at.z), 0.1f));
  if (setting == HANGS)
    at = v3(at.x, b->s->ball[0].y + reach * between(c, -1.2f, 1.2f), b->s->floor.wall);
  else if (at.z - r < b->s->floor.wall && b->s->floor.has_wall)
    at.z = b->s->floor.wall + r;
  b->main_material = plain_material(b);
  const float tall = r * between(c, 0.3f, 2);
  switch (below(c, 5)) {
  case 0:
    add_sized(b, BALL, plus(at, v3(0, tall, 0)), r, tall, r, 0, 0, 0);
    break;
  case 1:
    add_sized(b, DRUM, plus(at, v3(0, tall, 0)), r * between(c, 0.4f, 1), r, tall, 0.02f * r, 0, 0);
    break;
  case 2: {
    part *p = add_sized(b, BLOCK, plus(at, v3(0, tall, 0)), r, tall, r * between(c, 0.1f, 1), 0.05f * r, 0, 0);
    spin_part(p, v3(0, 1, 0), between(c, 0, 3.1f));
    break;
  }
  case 3:
    add_cord(b, plus(at, v3(0, 0.03f, 0)), plus(at, v3(r * between(c, -2, 2), 0.03f, r)),
             plus(at, v3(side * 2 * r, 0.03f, r * between(c, -2, 2))), 0.05f * r + 0.01f, CORD_PLAIN, 1);
    break;
  default: {
    part *p = add_sized(b, TURNED, at, 0.04f * r, 0, 0, 0, 0, 0);
    profile_by_chance(p, c, below(c, 6), 1.5f * tall);
    for (int k = 0; k < p->points; k++) p->profile[k][0] *= 1.4f * r;
  }
  }
}

static void add_mat(builder *b, float reach) {
  chance *c = b->c;
  const float h = likely(c, 0.6f) ? 0.01f : between(c, 0.03f, 0.25f), r = reach * between(c, 0.5f, 1.3f);
  b->main_material = likely(c, 0.5f) ? cloth_material(b) : plain_material(b);
  part *p = likely(c, 0.5f)
                ? add_sized(b, BLOCK, v3(0, h, 0), r, h, r * between(c, 0.6f, 1), fminf(0.02f, 0.9f * h), 0, 0)
                : add_sized(b, DRUM, v3(0, h, 0), r, r, h, fminf(0.02f, 0.9f * h), 0, 0);
  spin_part(p, v3(0, 1, 0), between(c, -0.5f, 0.5f));
  move_piece(b->s, v3(0, 2 * h, 0));
}

static void add_clutter(builder *b, int setting) {
  const float reach = b->s->radius[0];
  if (setting != HANGS && likely(b->c, 0.12f)) add_mat(b, reach);
  if (likely(b->c, 0.4f))
    for (int k = 1 + below(b->c, 5); k > 0 && b->s->parts < MOST_PARTS; k--) clutter_thing(b, setting, reach);
  set_balls(b->s);
}

/* ---- camera ---- */

/* The piece's own box in the picture so far: left, right, top, bottom, -1.4 .. 1.4; 0 when no ray meets it. */
static int box_in_picture(const scene *s, float box[4]) {
  enum { across = 28 };
  int met = 0;
  box[0] = box[2] = 9;
  box[1] = box[3] = -9;
  for (int i = 0; i < across * across; i++) {
    const float x = ((float)(i % across) + 0.5f) * 2.8f / across - 1.4f,
                y = ((float)(i / across) + 0.5f) * 2.8f / across - 1.4f;
    int which = 0;
    if (march(s, s->eye, ray_of(s, x, y), 0, 0, &which) < 0) continue;
    met = 1;
    box[0] = fminf(box[0], x);
    box[1] = fmaxf(box[1], x);
    box[2] = fminf(box[2], y);
    box[3] = fmaxf(box[3], y);
  }
  return met;
}

/* Zooms and shifts until the piece fills the share of the picture that chance says, here and there cut by its edge. */
static void frame_piece(scene *s, chance *c) {
  float box[4];
  s->shift_x = s->shift_y = 0;
  if (!box_in_picture(s, box)) return;
  const float half_x = fmaxf(0.5f * (box[1] - box[0]) + 0.05f, 0.04f),
              half_y = fmaxf(0.5f * (box[3] - box[2]) + 0.05f, 0.04f);
  const float fills = likely(c, 0.2f)    ? between(c, 0.15f, 0.45f)
                      : likely(c, 0.06f) ? between(c, 1, 1.4f)
                                         : between(c, 0.45f, 0.97f);
  const float zoom = fmaxf(half_x, half_y) / fills;
  const float room_x = fabsf(1 - half_x / zoom), room_y = fabsf(1 - half_y / zoom),
              loose = likely(c, 0.9f) ? 0.8f : 1.2f;
  const float middle = between(c, 0, 1); /* most people put it near the middle */
  s->across *= zoom;
  s->down *= zoom;
  s->shift_x = 0.5f * (box[0] + box[1]) / zoom + between(c, -loose, loose) * room_x * middle;
  s->shift_y = -0.5f * (box[2] + box[3]) / zoom + between(c, -loose, loose) * room_y * middle;
}

static void choose_camera(builder *b, int setting) {
  scene *s = b->s;
  chance *c = b->c;
  const float half = between(c, 0.18f, 0.5f); /* tangent of half the angle of view */
  const float far = s->radius[0] / half + 0.3f * s->radius[0];
  const float azimuth = between(c, -0.6f, 0.6f) * (setting == LIES ? 5 : 1);
  float tilt = setting == STANDS ? between(c, 0.04f, 0.75f)
               : setting == LIES ? between(c, 0.75f, 1.55f)
                                 : between(c, -0.15f, 0.3f);
  if (setting == LIES && likely(c, 0.25f)) tilt = between(c, 0.35f, 0.8f);
  const vec back = v3(cosf(tilt) * sinf(azimuth), sinf(tilt), cosf(tilt) * cosf(azimuth));
  s->eye = along(s->ball[0], back, far);
  s->forward = times(back, -1);
  const float roll = between(c, -0.08f, 0.08f);
  const vec right =
      unit(cross(s->forward, setting == LIES ? v3(sinf(azimuth) * -1, 0.02f, -cosf(azimuth)) : v3(0, 1, 0)));
  const vec up = cross(right, s->forward);
  s->right = plus(times(right, cosf(roll)), times(up, sinf(roll)));
  s->up = cross(s->right, s->forward);
  const float stretch = expf(between(c, -0.3f, 0.3f)); /* pictures of all proportions are brought to a square */
  s->across = half * stretch;
  s->down = half / stretch;
  frame_piece(s, c);
}

/* The scene of a number: the same on every machine with the same mathematics library. Every sixth has no piece. */
static void make_scene(scene *s, uint64_t number) {
  chance c;
  builder b;
  memset(s, 0, sizeof *s);
  c.state = number * 0x2545f4914f6cdd1dull + 77;
  chance_next(&c);
  s->seed = chance_next(&c) & 0xffffff;
  b.s = s;
  b.c = &c;
  b.main_material = b.second_material = plain_material(&b);
  const int may = makers[below(&c, MAKERS)](&b);
  s->piece_parts = s->parts;
  int setting = may & STANDS ? STANDS : may == LIES ? LIES : may == HANGS ? HANGS : likely(&c, 0.7f) ? LIES : HANGS;
  if (setting == STANDS && likely(&c, 0.1f)) setting = LIES;
  set_balls(s);
  const vec main_colour = s->material_of[s->part_of[0].material].colour[0];
  choose_ground(&b, setting, main_colour, s->radius[0]);
  stand(&b, setting, may);
  choose_camera(&b, setting);
  add_clutter(&b, setting);
  choose_light(&b, setting);
  choose_surroundings(&b);
  if (number % 6 == 5) { /* bare */
    s->bare = 1;
    const int extra = likely(&c, 0.25f) ? s->parts - s->piece_parts : 0;
    memmove(s->part_of, s->part_of + s->piece_parts, (size_t)extra * sizeof(part));
    s->parts = extra;
    s->piece_parts = 0;
    set_balls(s);
  }
}

#endif
