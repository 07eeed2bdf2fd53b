/* SPDX-License-Identifier: MIT */
/* Rays, light and the colour of a picture's pixel. */
#ifndef RENDER_TRACE_H
#define RENDER_TRACE_H

#include "shapes.h"
#include "textures.h"

enum { NOTHING = 0, ON_PIECE, ON_CLUTTER, ON_FLOOR, ON_WALL, ON_BEYOND };

typedef struct meeting {
  int what, part;
  float far;
  vec at, normal;
} meeting;

/* Where a ray enters and leaves a ball; 0 when it passes by. */
BOTH int crosses(vec from, vec d, vec middle, float radius, float *enter, float *leave) {
  const vec o = minus(from, middle);
  const float b = dot(o, d), c = dot(o, o) - radius * radius, h = b * b - c;
  if (h < 0) return 0;
  *enter = fmaxf(-b - sqrtf(h), 0);
  *leave = -b + sqrtf(h);
  return *leave > 0;
}

/* Along a ray to one of the two groups; < 0 when it is not met. */
BOTH float march(const scene *s, vec from, vec d, int group, float start, int *which) {
  const int first = group ? s->piece_parts : 0, end = group ? s->parts : s->piece_parts;
  float t, leave;
  if (first >= end || !crosses(from, d, s->ball[group], s->radius[group], &t, &leave)) return -1;
  t = fmaxf(t, start);
  for (int k = 0; k < 110 && t < leave; k++) {
    const float apart = to_parts(s, along(from, d, t), first, end, which);
    if (apart < 0.0006f * (1 + 0.3f * t)) return t;
    t += fmaxf(apart * 0.95f, 0.0008f);
  }
  return -1;
}

/* ---- light that comes from around ---- */
BOTH vec around_at(const surroundings *a, vec d) {
  const float tall = d.y;
  vec c = tall > 0 ? mix3(a->middle, a->high, rise(0, 0.8f, tall)) : mix3(a->middle, a->low, rise(0, 0.35f, -tall));
  if (a->kind != 1) {
    const float n = clouds(3 * d.x + (float)a->seed, 4 * d.y, 3 * d.z, 4);
    c = times(c, a->kind == 0 ? 0.35f + 1.3f * n : 0.7f + 0.6f * n);
  }
  for (int k = 0; k < 3; k++) {
    if (a->box_light[k] <= 0) continue;
    const vec to = a->box[k], side = unit(cross(to, v3(0, 1, 0.01f))), over = cross(side, to);
    const float ahead = dot(d, to);
    if (ahead <= 0) continue;
    const float x = fabsf(dot(d, side) / ahead), y = fabsf(dot(d, over) / ahead), r = a->box_size[k];
    const float inside = (1 - rise(0.9f * r, r, x)) * (1 - rise(1.2f * r, 1.35f * r, y));
    const float bars = a->kind == 0 && (x < 0.04f * r || y < 0.04f * r) ? 0.2f : 1.0f;
    c = along(c, v3(1, 1, 1), inside * bars * a->box_light[k]);
  }
  return c;
}

/* ---- ground ---- */
BOTH void ground_met(const ground *g, vec from, vec d, meeting *m) {
  if (g->has_floor && d.y < -1e-4f) {
    const float t = -from.y / d.y, z = from.z + t * d.z;
    const int on_table = z < g->edge && z > g->far_edge;
    if (t > 1e-3f && (m->what == NOTHING || t < m->far) && on_table) {
      m->what = ON_FLOOR;
      m->far = t;
      m->normal = v3(0, 1, 0);
    }
    if (from.y > 0 && z >= g->edge && g->edge < 50) { /* the front of the table, then what is below */
      const float tf = (g->edge - from.z) / d.z, y = from.y + tf * d.y;
      if (tf > 1e-3f && y <= 0 && y > -0.12f && d.z < 0 && (m->what == NOTHING || tf < m->far)) {
        m->what = ON_FLOOR;
        m->far = tf;
        m->normal = v3(0, 0, 1);
      }
    }
  }
  if (g->has_wall && d.z < -1e-4f) {
    const float t = (g->wall - from.z) / d.z;
    if (t > 1e-3f && (m->what == NOTHING || t < m->far)) {
      m->what = ON_WALL;
      m->far = t;
      m->normal = v3(0, 0, 1);
    }
  }
  if (m->what == NOTHING && g->has_floor && d.y < -1e-4f) { /* beside the table: the floor below */
    const float t = (-g->drop - from.y) / d.y;
    if (t > 1e-3f && t < 60) {
      m->what = ON_BEYOND;
      m->far = t;
      m->normal = v3(0, 1, 0);
    }
  }
}

BOTH meeting meet(const scene *s, vec from, vec d, float start, int with_piece) {
  meeting m;
  m.what = NOTHING;
  m.far = 1e9f;
  m.part = 0;
  m.normal = v3(0, 1, 0);
  ground_met(&s->floor, from, d, &m);
  for (int group = with_piece ? 0 : 1; group < 2; group++) {
    int which = 0;
    const float t = march(s, from, d, group, start, &which);
    if (t < 0 || (m.what != NOTHING && t >= m.far)) continue;
    m.what = group ? ON_CLUTTER : ON_PIECE;
    m.part = which;
    m.far = t;
  }
  m.at = along(from, d, m.far);
  if (m.what == ON_PIECE || m.what == ON_CLUTTER)
    m.normal = slope_of(s, m.at, m.what == ON_PIECE ? 0 : s->piece_parts,
                        m.what == ON_PIECE ? s->piece_parts : s->parts, 0.0015f * (1 + 0.2f * m.far));
  return m;
}

/* How much of a lamp's light comes through, after the usual estimate for distance fields. */
BOTH float lit(const scene *s, vec at, vec towards, float hardness) {
  float share = 1;
  for (int group = 0; group < 2; group++) {
    const int first = group ? s->piece_parts : 0, end = group ? s->parts : s->piece_parts;
    float t, leave;
    const float wider = s->radius[group] * (1 + 2 / hardness);
    if (first >= end || !crosses(at, towards, s->ball[group], wider, &t, &leave)) continue;
    t = fmaxf(t, 0.01f);
    for (int k = 0; k < 60 && t < leave; k++) {
      int which = 0;
      const float apart = to_parts_within(s, along(at, towards, t), first, end, 1e9f, &which);
      share = fminf(share, hardness * apart / t);
      if (share < 0.01f) break;
      t += held(apart, 0.006f, 0.25f);
    }
    if (share < 0.01f) return 0;
  }
  share = held(share, 0, 1);
  return share * share * (3 - 2 * share);
}

BOTH float open_sky(const scene *s, vec at, vec n) {
  float shut = 0, share = 0.6f;
  for (int k = 1; k <= 4; k++) {
    const float step = 0.05f * (float)(k * k);
    int which = 0;
    const vec p = along(at, n, step);
    float apart = fminf(to_parts_within(s, p, 0, s->piece_parts, 1e9f, &which),
                        to_parts_within(s, p, s->piece_parts, s->parts, 1e9f, &which));
    if (s->floor.has_floor && p.z < s->floor.edge) apart = fminf(apart, fmaxf(p.y, 0));
    if (s->floor.has_wall) apart = fminf(apart, fmaxf(p.z - s->floor.wall, 0));
    shut += share * fmaxf(step - apart, 0) / step;
    share *= 0.62f;
  }
  return held(1 - shut, 0.1f, 1);
}

BOTH const material *material_met(const scene *s, const meeting *m, vec *place, vec *facing) {
  *place = m->at;
  *facing = m->normal;
  if (m->what == ON_FLOOR) return &s->material_of[s->floor.floor_material];
  if (m->what == ON_WALL) {
    if (s->floor.skirting > 0 && m->at.y < s->floor.skirting) return &s->material_of[s->floor.beyond_material];
    return &s->material_of[s->floor.wall_material];
  }
  if (m->what == ON_BEYOND) return &s->material_of[s->floor.beyond_material];
  const part *p = &s->part_of[m->part];
  *place = own_frame(p, m->at);
  *facing = v3(dot(p->row[0], m->normal), dot(p->row[1], m->normal), dot(p->row[2], m->normal));
  return &s->material_of[p->material];
}

/* Matt light, and the lamps' highlights, without what is mirrored. */
BOTH vec lit_colour(const scene *s, meeting *m, vec d, const material **of) {
  vec place, facing;
  const material *mat = material_met(s, m, &place, &facing);
  float height;
  const vec colour = paint(mat, place, facing, &height);
  *of = mat;
  if (mat->relief > 0) {
    const float e = 0.03f / mat->scale;
    float hx, hy, hz;
    paint(mat, along(place, v3(1, 0, 0), e), facing, &hx);
    paint(mat, along(place, v3(0, 1, 0), e), facing, &hy);
    paint(mat, along(place, v3(0, 0, 1), e), facing, &hz);
    m->normal = unit(along(m->normal, v3(height - hx, height - hy, height - hz), mat->relief));
  }
  const float sky = open_sky(s, m->at, m->normal);
  vec sum = product(colour, times(s->ambient, sky * (0.7f + 0.3f * m->normal.y)));
  for (int k = 0; k < s->lamps; k++) {
    const lamp *l = &s->lamp_of[k];
    const float faces = dot(m->normal, l->towards);
    if (faces <= 0) continue;
    const float comes = lit(s, along(m->at, m->normal, 0.006f), l->towards, l->hardness);
    if (comes <= 0) continue;
    const vec half = unit(minus(l->towards, d));
    const float sharp = 4 + 400 * (1 - mat->rough) * (1 - mat->rough);
    const float glint = mat->gloss * powf(fmaxf(dot(half, m->normal), 0), sharp) * (0.1f + 0.02f * sharp);
    sum = plus(sum, product(l->colour, plus(times(colour, faces * comes), times(v3(1, 1, 1), comes * glint))));
  }
  return sum;
}

BOTH vec mirrored(vec d, vec n) {
  return along(d, n, -2 * dot(d, n));
}
BOTH float fresnel(float facing, float least) {
  const float k = 1 - held(facing, 0, 1), k2 = k * k;
  return least + (1 - least) * k2 * k2 * k;
}

/* What a ray sees that is not followed further. */
BOTH vec glance(const scene *s, vec from, vec d, int with_piece) {
  meeting m = meet(s, from, d, 0.01f, with_piece);
  const material *of;
  if (m.what == NOTHING) return around_at(&s->around, d);
  return lit_colour(s, &m, d, &of);
}

BOTH int bent(vec d, vec n, float ratio, vec *out) {
  const float c = -dot(d, n), k = 1 - ratio * ratio * (1 - c * c);
  if (k < 0) return 0;
  *out = unit(plus(times(d, ratio), times(n, ratio * c - sqrtf(k))));
  return 1;
}

/* Through glass: in, and out again where the ray leaves the piece, at most twice. */
BOTH vec through(const scene *s, vec at, vec d, vec n, const material *glass) {
  vec tint = v3(1, 1, 1), way = d;
  vec place = at;
  int which = 0;
  for (int wall = 0; wall < 2; wall++) {
    if (!bent(way, n, 1 / 1.5f, &way)) way = mirrored(way, n);
    float t = 0.02f;
    for (int k = 0; k < 60; k++) {
      const float apart = -to_parts(s, along(place, way, t), 0, s->piece_parts, &which);
      if (apart < 0.001f && t > 0.02f) break;
      t += fmaxf(apart, 0.004f);
      if (t > 3) break;
    }
    const float deep = fminf(4 * t, 3);
    tint = product(tint,
                   v3(powf(glass->colour[0].x, deep), powf(glass->colour[0].y, deep), powf(glass->colour[0].z, deep)));
    place = along(place, way, t);
    const vec out = times(slope_of(s, place, 0, s->piece_parts, 0.003f), -1);
    if (!bent(way, out, 1.5f, &way)) way = mirrored(way, out);
    const float again = march(s, place, way, 0, 0.03f, &which);
    if (again < 0) break;
    if (wall == 1) return product(tint, glance(s, place, way, 0));
    place = along(place, way, again);
    n = slope_of(s, place, 0, s->piece_parts, 0.003f);
  }
  return product(tint, glance(s, place, way, 0));
}

BOTH vec seen(const scene *s, vec from, vec d, int *what) {
  meeting m = meet(s, from, d, 0.01f, 1);
  *what = m.what;
  if (m.what == NOTHING) return around_at(&s->around, d);
  const material *mat;
  const vec smooth = m.normal;
  vec colour = lit_colour(s, &m, d, &mat);
  const float facing = -dot(d, m.normal);
  const vec start = along(m.at, smooth, 0.012f), back = mirrored(d, m.normal);
  if (mat->kind == METAL) {
    const vec tint = mix3(mat->colour[0], v3(1, 1, 1), fresnel(facing, 0));
    const vec own = times(colour, 0.25f + 0.5f * mat->rough);
    return plus(own, product(tint, times(glance(s, start, back, 1), 1 - 0.5f * mat->rough)));
  }
  if (mat->kind == GLASS && m.what == ON_PIECE) {
    const float share = fresnel(facing, 0.04f);
    const vec behind = through(s, m.at, d, smooth, mat);
    vec glint = v3(0, 0, 0);
    for (int k = 0; k < s->lamps; k++) {
      const float h = fmaxf(dot(unit(minus(s->lamp_of[k].towards, d)), m.normal), 0);
      glint = plus(glint, times(s->lamp_of[k].colour, 6 * powf(h, 500)));
    }
    return plus(plus(times(behind, 1 - share), times(around_at(&s->around, back), share)), glint);
  }
  if (m.what == ON_FLOOR && s->floor.mirror > 0)
    return along(colour, glance(s, start, back, 1), fresnel(facing, s->floor.mirror));
  if (mat->gloss > 0.25f) return along(colour, around_at(&s->around, back), fresnel(facing, 0.04f) * (1 - mat->rough));
  return colour;
}

/* ---- pixels ---- */
BOTH vec ray_of(const scene *s, float x, float y) { /* -1 .. 1, y downwards */
  const float u = (x + s->shift_x) * s->across, v = (-y + s->shift_y) * s->down;
  return unit(plus(s->forward, plus(times(s->right, u), times(s->up, v))));
}

/* Light as its square root (4 is the most), and alpha, a byte each. Four samples, and eight more where they disagree on
 * what is met: there alpha must be fine. */
BOTH void picture_pixel(const scene *s, int side, int x, int y, uint8_t *rgba) {
  vec sum = v3(0, 0, 0);
  float hits = 0, taken = 0;
  int least = 99, most = 0;
  for (int k = 0; k < 12; k++) {
    if (k == 4 && least == most) break;
    const float jx = hash3(x * 12 + k, y, (int)s->seed), jy = hash3(x * 12 + k, y, (int)s->seed + 1);
    const float px = k < 4 ? ((float)(k & 1) + jx) * 0.5f : jx, py = k < 4 ? ((float)(k >> 1) + jy) * 0.5f : jy;
    int what;
    const vec light =
        seen(s, s->eye, ray_of(s, 2 * ((float)x + px) / (float)side - 1, 2 * ((float)y + py) / (float)side - 1), &what);
    sum = plus(sum, v3(held(light.x, 0, 8), held(light.y, 0, 8), held(light.z, 0, 8)));
    hits += what == ON_PIECE ? 1.0f : 0.0f;
    taken += 1;
    least = what < least ? what : least;
    most = what > most ? what : most;
  }
  const float channel[3] = {sum.x, sum.y, sum.z}, dither = hash3(x, y, (int)s->seed + 2);
  for (int c = 0; c < 3; c++) rgba[c] = (uint8_t)held(255 * sqrtf(held(channel[c] / taken, 0, 4) / 4) + dither, 0, 255);
  rgba[3] = (uint8_t)(255 * hits / taken + 0.5f);
}

#endif
