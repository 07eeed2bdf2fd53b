/* SPDX-License-Identifier: MIT */
/* Putting parts and materials into a scene. */
#ifndef RENDER_BUILD_H
#define RENDER_BUILD_H

#include "shapes.h"
#include "textures.h"

#include <string.h>

typedef struct builder {
  scene *s;
  chance *c;
  int main_material, second_material;
} builder;

/* ---- colours and materials ---- */

static vec colour_of_hue(float hue, float chroma, float light) {
  vec c;
  c.x = light * (1 - chroma + chroma * (0.5f + 0.5f * cosf(6.2831853f * hue)));
  c.y = light * (1 - chroma + chroma * (0.5f + 0.5f * cosf(6.2831853f * (hue - 0.333f))));
  c.z = light * (1 - chroma + chroma * (0.5f + 0.5f * cosf(6.2831853f * (hue - 0.667f))));
  return c;
}

/* Linear light. Much of what people make and photograph is white, grey, brown or nearly black. */
static vec colour_by_chance(chance *c) {
  const int kind = below(c, 10);
  if (kind < 2) return colour_of_hue(between(c, 0, 0.2f), between(c, 0, 0.12f), between(c, 0.6f, 0.9f));
  if (kind == 2) return colour_of_hue(chance_unit(c), between(c, 0, 0.15f), between(c, 0.1f, 0.5f));
  if (kind == 3) return colour_of_hue(chance_unit(c), between(c, 0, 0.5f), between(c, 0.008f, 0.06f));
  if (kind < 6) return colour_of_hue(between(c, 0.02f, 0.14f), between(c, 0.3f, 0.85f), between(c, 0.05f, 0.55f));
  return colour_of_hue(chance_unit(c), between(c, 0.3f, 1), between(c, 0.04f, 0.8f));
}

static vec near_colour(chance *c, vec base, float spread) {
  const float light = expf(between(c, -spread, spread));
  return v3(held(base.x * light * expf(between(c, -0.4f, 0.4f) * spread), 0.003f, 0.95f),
            held(base.y * light, 0.003f, 0.95f),
            held(base.z * light * expf(between(c, -0.4f, 0.4f) * spread), 0.003f, 0.95f));
}

static int new_material(builder *b) {
  if (b->s->materials == MOST_MATERIALS) return MOST_MATERIALS - 1;
  return b->s->materials++;
}

static int add_material(builder *b, int pattern, vec base) {
  const int index = new_material(b);
  material *m = &b->s->material_of[index];
  chance *c = b->c;
  memset(m, 0, sizeof *m);
  m->pattern = pattern;
  m->colour[0] = base;
  m->colour[1] = likely(c, 0.6f) ? near_colour(c, base, between(c, 0.1f, 0.9f)) : colour_by_chance(c);
  m->colour[2] = likely(c, 0.5f) ? near_colour(c, base, 1.2f) : colour_by_chance(c);
  if (pattern == PLANKS || pattern == TILES || pattern == BRICKS || pattern == CRACKLE)
    m->colour[1] = near_colour(c, base, 0.4f);
  m->scale = expf(between(c, 0.3f, 2.4f));
  m->stretch = likely(c, 0.7f) ? 1 : between(c, 0.4f, 2.5f);
  m->turn = likely(c, 0.5f) ? 0 : likely(c, 0.5f) ? 1.5707963f : between(c, 0, 3.1f);
  m->rough = between(c, 0.1f, 1);
  m->gloss = likely(c, 0.4f) ? between(c, 0.2f, 1) : 0;
  m->relief = likely(c, 0.4f) ? between(c, 0.05f, 0.8f) : 0;
  m->seed = (int)(chance_next(c) & 0xffff);
  return index;
}

static int plain_material(builder *b) {
  static const int pattern_of[] = {PLAIN,   PLAIN, CLOUDS,  SPECKLES, BANDS,   MARBLE,
                                   CRACKLE, DOTS,  STRIPES, PETALS,   CHEVRON, PATCHES};
  return add_material(b, pattern_of[below(b->c, 12)], colour_by_chance(b->c));
}
static int cloth_material(builder *b) {
  static const int pattern_of[] = {PLAIN, WEAVE,   TWILL, STRIPES, CHECKS, GINGHAM,
                                   DOTS,  CHEVRON, KNIT,  PATCHES, PETALS, CLOUDS};
  const int index = add_material(b, pattern_of[below(b->c, 12)], colour_by_chance(b->c));
  b->s->material_of[index].gloss = 0;
  return index;
}
static int straw_material(builder *b) {
  const vec straw = colour_of_hue(between(b->c, 0.05f, 0.13f), between(b->c, 0.3f, 0.75f), between(b->c, 0.12f, 0.6f));
  const int index =
      add_material(b, likely(b->c, 0.75f) ? BASKET : KNIT, likely(b->c, 0.8f) ? straw : colour_by_chance(b->c));
  material *m = &b->s->material_of[index];
  m->scale = (float)(3 + below(b->c, 6));
  m->turn = 0;
  m->relief = between(b->c, 0.3f, 1);
  m->wrapped = 1;
  return index;
}
static int metal_material(builder *b) {
  static const float tints[5][3] = {
      {0.92f, 0.91f, 0.88f}, {0.9f, 0.66f, 0.28f}, {0.88f, 0.55f, 0.42f}, {0.55f, 0.55f, 0.56f}, {0.72f, 0.6f, 0.38f}};
  const float *t = tints[likely(b->c, 0.5f) ? 0 : below(b->c, 5)];
  const int index = add_material(b, likely(b->c, 0.7f) ? PLAIN : CLOUDS, v3(t[0], t[1], t[2]));
  material *m = &b->s->material_of[index];
  m->colour[1] = times(m->colour[0], between(b->c, 0.3f, 0.9f));
  m->kind = METAL;
  m->rough = likely(b->c, 0.5f) ? between(b->c, 0, 0.3f) : between(b->c, 0.3f, 1);
  m->gloss = between(b->c, 0.3f, 1);
  m->relief = likely(b->c, 0.5f) ? between(b->c, 0, 0.6f) : 0;
  return index;
}
static int glass_material(builder *b) {
  vec tint = v3(between(b->c, 0.93f, 1), between(b->c, 0.95f, 1), between(b->c, 0.93f, 1));
  if (likely(b->c, 0.55f))
    tint = mix3(v3(1, 1, 1), colour_of_hue(chance_unit(b->c), 0.9f, 1), between(b->c, 0.1f, 0.9f));
  const int index = add_material(b, PLAIN, v3(fmaxf(tint.x, 0.04f), fmaxf(tint.y, 0.04f), fmaxf(tint.z, 0.04f)));
  b->s->material_of[index].kind = GLASS;
  b->s->material_of[index].relief = 0;
  return index;
}

/* ---- parts ---- */

static void lay_frame(part *p, vec right, vec up) {
  p->row[0] = unit(right);
  p->row[2] = unit(cross(p->row[0], up));
  p->row[1] = cross(p->row[2], p->row[0]);
}

static part *add_part(builder *b, int shape, vec at) {
  static part spare;
  part *p = b->s->parts < MOST_PARTS ? &b->s->part_of[b->s->parts++] : &spare;
  memset(p, 0, sizeof *p);
  p->shape = shape;
  p->material = b->main_material;
  p->at = at;
  lay_frame(p, v3(1, 0, 0), v3(0, 1, 0));
  return p;
}

static part *add_sized(builder *b, int shape, vec at, float s0, float s1, float s2, float s3, float s4, float s5) {
  part *p = add_part(b, shape, at);
  const float size[6] = {s0, s1, s2, s3, s4, s5};
  memcpy(p->size, size, sizeof size);
  return p;
}

static part *add_cord(builder *b, vec from, vec middle, vec to, float radius, int kind, float turns) {
  part *p = add_sized(b, CORD, v3(0, 0, 0), radius, (float)kind, turns, 0, 0, 0);
  p->bend[0] = from;
  p->bend[1] = middle;
  p->bend[2] = to;
  return p;
}

/* Turned about an axis of the world: what it was built as, afterwards stands otherwise. */
static vec turned(vec v, vec axis, float angle) {
  const float c = cosf(angle), s = sinf(angle);
  return plus(plus(times(v, c), times(cross(axis, v), s)), times(axis, dot(axis, v) * (1 - c)));
}
static void turn_part(part *p, vec axis, float angle) {
  p->at = turned(p->at, axis, angle);
  for (int k = 0; k < 3; k++) p->row[k] = turned(p->row[k], axis, angle);
}
static void spin_part(part *p, vec axis, float angle) { /* where it stands */
  for (int k = 0; k < 3; k++) p->row[k] = turned(p->row[k], axis, angle);
}

/* ---- the balls that parts lie in ---- */

static void ball_of_profile(const part *p, vec *middle, float *radius) {
  float low = 1e9f, high = -1e9f, wide = 0;
  for (int k = 0; k < p->points; k++) {
    low = fminf(low, p->profile[k][1]);
    high = fmaxf(high, p->profile[k][1]);
  }
  *middle = v3(0, 0.5f * (low + high), 0);
  for (int k = 0; k < p->points; k++) wide = fmaxf(wide, flat_length(p->profile[k][0], p->profile[k][1] - middle->y));
  *radius = wide + p->size[0] + p->size[2] * (p->shape == TURNED);
}

static void ball_of_bend(const part *p, vec *middle, float *radius) {
  vec on[9];
  *middle = v3(0, 0, 0);
  for (int k = 0; k < 9; k++) {
    const float t = (float)k / 8, u = 1 - t;
    on[k] = plus(plus(times(p->bend[0], u * u), times(p->bend[1], 2 * t * u)), times(p->bend[2], t * t));
    *middle = along(*middle, on[k], 1.0f / 9);
  }
  *radius = 0;
  for (int k = 0; k < 9; k++) *radius = fmaxf(*radius, size_of(minus(on[k], *middle)));
  *radius = 1.05f * *radius + 1.6f * p->size[0] + p->size[3];
}

static void set_ball(part *p) {
  const float *s = p->size;
  vec middle = v3(0, 0, 0);
  float radius = 0;
  switch (p->shape) {
  case BALL:
    radius = fmaxf(s[0], fmaxf(s[1], s[2]));
    break;
  case BLOCK:
    radius = size_of(v3(s[0], s[1], s[2]));
    break;
  case DRUM:
    radius = flat_length(fmaxf(s[0], s[1]), s[2]);
    break;
  case HOOP:
    radius = flat_length(s[0] + s[2], s[1]);
    break;
  case TURNED:
  case OPENWORK:
    ball_of_profile(p, &middle, &radius);
    break;
  case CORD:
    ball_of_bend(p, &middle, &radius);
    break;
  case SHEET:
    radius = size_of(v3(s[0] + 0.03f, s[1] + 0.5f * s[5], s[2] + 1.4f * s[3]));
    middle.y = -0.5f * s[5];
    break;
  case MEDAL:
    radius = flat_length(s[0] * (1 + s[3]), s[1]);
    break;
  default:
    radius = flat_length(s[0], s[1]) + 2 * s[2];
    break;
  }
  p->ball = plus(p->at, plus(plus(times(p->row[0], middle.x), times(p->row[1], middle.y)), times(p->row[2], middle.z)));
  p->radius = radius + p->bump + 1e-3f;
}

static void set_group_ball(scene *s, int group) {
  const int first = group ? s->piece_parts : 0, end = group ? s->parts : s->piece_parts;
  vec low = v3(1e9f, 1e9f, 1e9f), high = v3(-1e9f, -1e9f, -1e9f);
  for (int i = first; i < end; i++) {
    const part *p = &s->part_of[i];
    if (p->join == CUT_AWAY) continue;
    low = v3(fminf(low.x, p->ball.x - p->radius), fminf(low.y, p->ball.y - p->radius),
             fminf(low.z, p->ball.z - p->radius));
    high = v3(fmaxf(high.x, p->ball.x + p->radius), fmaxf(high.y, p->ball.y + p->radius),
              fmaxf(high.z, p->ball.z + p->radius));
  }
  s->ball[group] = times(plus(low, high), 0.5f);
  s->radius[group] = 0;
  for (int i = first; i < end; i++) {
    const part *p = &s->part_of[i];
    if (p->join == CUT_AWAY) continue;
    s->radius[group] = fmaxf(s->radius[group], size_of(minus(p->ball, s->ball[group])) + p->radius);
  }
}

#endif
