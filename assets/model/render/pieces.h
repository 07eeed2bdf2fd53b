/* SPDX-License-Identifier: MIT */
/* Kinds of piece, each by chance. They stand on y = 0 or lie on it; those that hang are built in the plane z = 0. */
#ifndef RENDER_PIECES_H
#define RENDER_PIECES_H

#include "build.h"

enum { STANDS = 1, LIES = 2, HANGS = 4 };

/* ---- vessels ---- */

/* A smooth curve through a foot, belly, shoulder, neck and lip by chance. */
static void profile_by_chance(part *p, chance *c, int family, float tall) {
  float r[5], h[5] = {0, 0.3f, 0.6f, 0.85f, 1};
  static const float least[6][5] = {{0.15f, 0.4f, 0.5f, 0.55f, 0.6f},    {0.2f, 0.3f, 0.35f, 0.12f, 0.12f},
                                    {0.25f, 0.4f, 0.4f, 0.3f, 0.3f},     {0.2f, 0.25f, 0.25f, 0.06f, 0.06f},
                                    {0.25f, 0.28f, 0.28f, 0.28f, 0.28f}, {0.2f, 0.5f, 0.7f, 0.8f, 0.85f}};
  static const float most[6][5] = {{0.4f, 0.7f, 0.8f, 0.85f, 0.95f},  {0.4f, 0.6f, 0.6f, 0.35f, 0.45f},
                                   {0.45f, 0.65f, 0.65f, 0.5f, 0.5f}, {0.4f, 0.45f, 0.4f, 0.14f, 0.16f},
                                   {0.5f, 0.5f, 0.5f, 0.5f, 0.55f},   {0.5f, 0.7f, 0.85f, 0.95f, 1}};
  for (int k = 0; k < 5; k++) r[k] = between(c, least[family][k], most[family][k]);
  for (int k = 1; k < 4; k++) h[k] += between(c, -0.08f, 0.08f);
  p->points = MOST_POINTS;
  p->profile[0][0] = 0;
  p->profile[0][1] = p->size[0];
  for (int k = 1; k < MOST_POINTS; k++) {
    const float at = (float)(k - 1) / (MOST_POINTS - 2) * 4;
    const int j = at >= 4 ? 3 : (int)at;
    const float t = at - (float)j, s = likely(c, 0.5f) ? t : rise(0, 1, t);
    p->profile[k][0] = mix(r[j], r[j + 1], 0.5f * (s + t));
    p->profile[k][1] = p->size[0] + tall * mix(h[j], h[j + 1], t);
  }
}

static part *vessel(builder *b, int family) {
  static const float low[6] = {0.35f, 0.8f, 0.6f, 1.0f, 0.6f, 0.08f}, high[6] = {0.7f, 1.5f, 1.2f, 1.7f, 1.0f, 0.2f};
  part *p = add_sized(b, TURNED, v3(0, 0, 0), between(b->c, 0.015f, 0.05f), 0, 0, 0, 0, 0);
  profile_by_chance(p, b->c, family, between(b->c, low[family], high[family]));
  if (likely(b->c, 0.12f)) {
    p->size[1] = (float)(6 + below(b->c, 14));
    p->size[2] = between(b->c, 0.01f, 0.04f);
  }
  if (likely(b->c, 0.2f)) {
    p->bump = between(b->c, 0.004f, 0.02f);
    p->bump_scale = between(b->c, 4, 14);
  }
  b->s->material_of[b->main_material].wrapped = 1;
  return p;
}

static void side_handle(builder *b, const part *body, float side) {
  const float *lower = body->profile[3], *upper = body->profile[7];
  const float out = fmaxf(lower[0], upper[0]) + between(b->c, 0.15f, 0.45f);
  add_cord(b, v3(side * lower[0], lower[1], 0),
           v3(side * out * 1.3f, mix(lower[1], upper[1], between(b->c, 0.3f, 1.1f)), 0),
           v3(side * upper[0], upper[1], 0), between(b->c, 0.025f, 0.07f),
           likely(b->c, 0.2f) ? CORD_TWISTED : CORD_PLAIN, 9);
}

static void arch_handle(builder *b, const part *body) {
  const float *lip = body->profile[MOST_POINTS - 1];
  const float tall = lip[1] + between(b->c, 0.5f, 1.6f);
  add_cord(b, v3(-lip[0], lip[1], 0), v3(0, tall, 0), v3(lip[0], lip[1], 0), between(b->c, 0.02f, 0.06f),
           below(b->c, 2) ? CORD_TWISTED : CORD_PLAIN, 14);
}

static void lid(builder *b, const part *body) {
  const float *lip = body->profile[MOST_POINTS - 1];
  const float tall = between(b->c, 0.04f, 0.3f);
  add_sized(b, BALL, v3(0, lip[1], 0), lip[0] + 0.03f, tall, lip[0] + 0.03f, 0, 0, 0);
  const float knob = between(b->c, 0.04f, 0.1f);
  add_sized(b, likely(b->c, 0.7f) ? BALL : HOOP, v3(0, lip[1] + tall + 0.6f * knob, 0), knob, knob, knob * 0.8f, 0, 0,
            0);
}

static int make_pot(builder *b) {
  b->main_material = plain_material(b);
  part *body = vessel(b, below(b->c, 6));
  const int extra = below(b->c, 6);
  if (extra == 0) side_handle(b, body, 1);
  if (extra == 1) {
    side_handle(b, body, 1);
    side_handle(b, body, -1);
  }
  if (extra == 2) lid(b, body);
  if (extra == 3) { /* flowers or tools in it */
    const float *lip = body->profile[MOST_POINTS - 1];
    b->main_material = b->second_material;
    for (int k = 3 + below(b->c, 6); k > 0; k--) {
      const vec end = v3(between(b->c, -0.5f, 0.5f), lip[1] + between(b->c, 0.2f, 0.9f), between(b->c, -0.5f, 0.5f));
      add_cord(b, v3(0, 0.3f * lip[1], 0), v3(0.3f * end.x, lip[1], 0.3f * end.z), end, 0.012f, CORD_PLAIN, 1);
      const float r = between(b->c, 0.03f, 0.14f);
      add_sized(b, BALL, end, r, r * between(b->c, 0.4f, 1.2f), r, 0, 0, 0);
    }
  }
  return STANDS;
}

static int make_teapot(builder *b) {
  b->main_material = plain_material(b);
  const float tall = between(b->c, 0.3f, 0.5f), wide = between(b->c, 0.4f, 0.6f);
  add_sized(b, BALL, v3(0, tall, 0), wide, tall, wide, 0, 0, 0);
  part *spout = add_cord(b, v3(0.8f * wide, 0.7f * tall, 0), v3(1.5f * wide, 0.8f * tall, 0),
                         v3(1.6f * wide, 1.9f * tall, 0), between(b->c, 0.05f, 0.1f), CORD_PLAIN, 1);
  spout->join = JOIN_SOFTLY;
  spout->blend = 0.12f;
  if (likely(b->c, 0.6f))
    add_cord(b, v3(-0.85f * wide, 0.5f * tall, 0), v3(-2.2f * wide, 1.2f * tall, 0), v3(-0.7f * wide, 1.7f * tall, 0),
             0.045f, CORD_PLAIN, 1);
  else
    add_cord(b, v3(-0.7f * wide, 1.6f * tall, 0), v3(0, 4.4f * tall, 0), v3(0.7f * wide, 1.6f * tall, 0), 0.035f,
             CORD_TWISTED, 12);
  add_sized(b, BALL, v3(0, 2.1f * tall, 0), 0.07f, 0.07f, 0.07f, 0, 0, 0);
  return STANDS;
}

static int make_glass(builder *b) {
  b->main_material = glass_material(b);
  part *body = vessel(b, below(b->c, 6));
  body->bump = 0;
  body->size[0] = between(b->c, 0.015f, 0.035f);
  if (likely(b->c, 0.35f)) { /* solid glass figure, or a stem */
    b->s->parts = 0;
    const float stem = between(b->c, 0.3f, 0.6f);
    body = vessel(b, 0);
    body->size[0] = 0.018f;
    body->at.y = stem;
    add_sized(b, DRUM, v3(0, 0.5f * stem, 0), 0.03f, 0.03f, 0.5f * stem, 0.01f, 0, 0);
    add_sized(b, DRUM, v3(0, 0.02f, 0), between(b->c, 0.2f, 0.4f), 0.05f, 0.02f, 0.01f, 0, 0);
  } else if (likely(b->c, 0.25f)) {
    side_handle(b, body, 1);
  } else if (likely(b->c, 0.25f)) {
    b->main_material = plain_material(b);
    const float *lip = body->profile[MOST_POINTS - 1];
    add_sized(b, DRUM, v3(0, lip[1] + 0.05f, 0), lip[0] + 0.01f, lip[0] + 0.02f, 0.07f, 0.02f, 0, 0);
  }
  return STANDS;
}

static int make_basket(builder *b) {
  b->main_material = straw_material(b);
  part *body = vessel(b, likely(b->c, 0.6f) ? 0 : 2 * below(b->c, 3));
  body->size[0] = between(b->c, 0.025f, 0.06f);
  body->size[2] = 0;
  body->size[1] = 0;
  body->bump = between(b->c, 0.004f, 0.018f);
  body->bump_scale = between(b->c, 8, 20);
  const int handles = below(b->c, 4);
  if (handles == 0) arch_handle(b, body);
  if (handles == 1) {
    const float *lip = body->profile[MOST_POINTS - 1];
    for (int k = -1; k < 2; k += 2)
      add_cord(b, v3((float)k * lip[0], lip[1], -0.18f),
               v3((float)k * (lip[0] + 0.1f), lip[1] + between(b->c, 0.3f, 0.9f), 0),
               v3((float)k * lip[0], lip[1], 0.18f), between(b->c, 0.02f, 0.045f), CORD_TWISTED, 10);
  }
  if (handles == 2 && likely(b->c, 0.5f)) lid(b, body);
  return STANDS;
}

static int make_openwork(builder *b) {
  b->main_material = likely(b->c, 0.5f)   ? metal_material(b)
                     : likely(b->c, 0.5f) ? straw_material(b)
                                          : plain_material(b);
  part *body = vessel(b, below(b->c, 3));
  body->shape = OPENWORK;
  body->bump = 0;
  body->size[0] = between(b->c, 0.012f, 0.03f);
  body->size[1] = (float)(10 + 2 * below(b->c, 10));
  body->size[2] = between(b->c, 0.012f, 0.035f);
  body->size[3] = between(b->c, 0.1f, 0.28f);
  body->size[4] = likely(b->c, 0.5f) ? between(b->c, 0.3f, 1) : 0;
  if (likely(b->c, 0.4f)) arch_handle(b, body);
  return STANDS;
}

/* ---- bags ---- */

static void strap(builder *b, float x0, float x1, float y, float z, float rises, float flat) {
  part *p = add_cord(b, v3(x0, y, z),
                     v3(0.5f * (x0 + x1) + between(b->c, -0.2f, 0.2f), y + 2 * rises, z + between(b->c, -0.15f, 0.15f)),
                     v3(x1, y, z), between(b->c, 0.015f, 0.035f), CORD_PLAIN, 8);
  if (flat > 0)
    p->size[3] = flat;
  else if (likely(b->c, 0.3f))
    p->size[1] = CORD_TWISTED;
  else if (likely(b->c, 0.2f))
    p->size[1] = CORD_LINKS, p->size[2] = 26;
}

static int make_tote(builder *b) {
  b->main_material = likely(b->c, 0.7f)   ? cloth_material(b)
                     : likely(b->c, 0.5f) ? straw_material(b)
                                          : plain_material(b);
  b->s->material_of[b->main_material].wrapped = 0;
  const float wide = between(b->c, 0.4f, 0.75f), tall = between(b->c, 0.35f, 0.7f), deep = between(b->c, 0.06f, 0.3f);
  part *body = add_sized(b, BLOCK, v3(0, tall, 0), wide, tall, deep, between(b->c, 0.03f, fminf(0.2f, deep)),
                         between(b->c, -0.3f, 0.5f), 0);
  body->bump = between(b->c, 0, 0.03f);
  body->bump_scale = between(b->c, 2, 6);
  if (likely(b->c, 0.5f)) b->main_material = b->second_material;
  const float x = wide * between(b->c, 0.3f, 0.7f), rises = between(b->c, 0.15f, 0.8f),
              flat = likely(b->c, 0.6f) ? between(b->c, 0.02f, 0.05f) : 0;
  strap(b, -x, x, 2 * tall - 0.05f, 0.6f * deep, rises, flat);
  if (likely(b->c, 0.6f)) strap(b, -x, x, 2 * tall - 0.05f, -0.6f * deep, rises * between(b->c, 0.7f, 1.1f), flat);
  return likely(b->c, 0.75f) ? STANDS : HANGS;
}

static int make_satchel(builder *b) {
  b->main_material = likely(b->c, 0.5f) ? cloth_material(b) : plain_material(b);
  const float wide = between(b->c, 0.4f, 0.65f), tall = between(b->c, 0.25f, 0.5f), deep = between(b->c, 0.08f, 0.25f);
  add_sized(b, BLOCK, v3(0, tall, 0), wide, tall, deep, between(b->c, 0.03f, fminf(0.12f, deep)),
            between(b->c, -0.1f, 0.3f), 0);
  if (likely(b->c, 0.4f)) b->main_material = b->second_material;
  part *flap =
      add_sized(b, BLOCK, v3(0, 2 * tall - 0.35f * tall, deep), 0.96f * wide, 0.36f * tall, 0.03f, 0.02f, -0.1f, 0);
  (void)flap;
  b->main_material = metal_material(b);
  add_sized(b, BLOCK, v3(0, 1.3f * tall, deep + 0.03f), 0.05f, 0.06f, 0.02f, 0.01f, 0, 0);
  b->main_material = b->second_material;
  strap(b, -0.9f * wide, 0.9f * wide, 1.85f * tall, 0, between(b->c, 0.2f, 0.9f), likely(b->c, 0.6f) ? 0.04f : 0);
  return STANDS;
}

static int make_backpack(builder *b) {
  b->main_material = cloth_material(b);
  const float wide = between(b->c, 0.35f, 0.5f), tall = between(b->c, 0.45f, 0.7f), deep = between(b->c, 0.18f, 0.3f);
  part *body =
      add_sized(b, BLOCK, v3(0, tall, 0), wide, tall, deep, between(b->c, 0.1f, 0.17f), between(b->c, 0, 0.35f), 0);
  body->bump = 0.015f;
  body->bump_scale = 3;
  if (likely(b->c, 0.6f)) b->main_material = b->second_material;
  part *pocket = add_sized(b, BLOCK, v3(0, 0.6f * tall, 0.9f * deep), 0.75f * wide, 0.45f * tall, 0.14f, 0.08f, 0, 0);
  pocket->join = JOIN_SOFTLY;
  pocket->blend = 0.03f;
  for (int k = -1; k < 2; k += 2) {
    part *p = add_cord(b, v3(0.5f * (float)k * wide, 1.9f * tall, -0.5f * deep),
                       v3(1.9f * (float)k * wide, 1.4f * tall, -deep),
                       v3(0.8f * (float)k * wide, 0.15f * tall, -0.8f * deep), 0.025f, CORD_PLAIN, 1);
    p->size[3] = 0.05f;
  }
  add_cord(b, v3(-0.12f, 1.97f * tall, 0), v3(0, 2.4f * tall, 0), v3(0.12f, 1.97f * tall, 0), 0.025f, CORD_PLAIN, 1);
  return STANDS;
}

/* ---- soft and carved figures ---- */

static part *lump(builder *b, vec at, float x, float y, float z, float blend) {
  part *p = add_sized(b, BALL, at, x, y, z, 0, 0, 0);
  p->join = JOIN_SOFTLY;
  p->blend = blend;
  return p;
}

static int make_plush(builder *b) {
  const int furry = likely(b->c, 0.65f);
  b->main_material = furry ? add_material(b, FUR, colour_by_chance(b->c)) : cloth_material(b);
  b->s->material_of[b->main_material].gloss = 0;
  const float body = between(b->c, 0.3f, 0.45f), head = between(b->c, 0.22f, 0.4f), soft = between(b->c, 0.03f, 0.1f);
  const float neck = 1.6f * body + 0.75f * head;
  lump(b, v3(0, body, 0), body, body * between(b->c, 0.9f, 1.2f), body * 0.9f, soft);
  lump(b, v3(0, neck, 0.05f), head, head * between(b->c, 0.8f, 1), head * 0.9f, soft);
  const float ear = between(b->c, 0.08f, 0.2f), ear_tall = ear * between(b->c, 0.7f, 2.6f),
              limb = between(b->c, 0.1f, 0.16f);
  for (int k = -1; k < 2; k += 2) {
    const float side = (float)k;
    lump(b, v3(side * 0.75f * head, neck + 0.8f * head, 0), ear, ear_tall, 0.5f * ear, soft);
    part *arm = lump(b, v3(side * 1.05f * body, 1.25f * body, 0.15f), limb, limb * between(b->c, 1.6f, 3), limb, soft);
    spin_part(arm, v3(0, 0, 1), side * between(b->c, 0.2f, 1.2f));
    lump(b, v3(side * 0.75f * body, 0.9f * limb, 0.7f * body), limb * 1.1f, limb, limb * between(b->c, 1.5f, 2.6f),
         soft);
  }
  const int fur = b->main_material;
  b->main_material = likely(b->c, 0.5f) ? b->second_material : fur;
  lump(b, v3(0, neck - 0.2f * head, 0.85f * head), 0.45f * head, 0.35f * head, 0.4f * head, soft);
  if (likely(b->c, 0.4f)) lump(b, v3(0, body, 0.4f * body), 0.7f * body, 0.75f * body, 0.6f * body, 0.02f);
  b->main_material = add_material(b, PLAIN, v3(0.01f, 0.01f, 0.012f));
  for (int k = -1; k < 2; k += 2)
    add_sized(b, BALL, v3(0.4f * (float)k * head, neck + 0.15f * head, 0.85f * head), 0.045f, 0.045f, 0.045f, 0, 0, 0);
  add_sized(b, BALL, v3(0, neck - 0.1f * head, 1.22f * head), 0.06f, 0.045f, 0.04f, 0, 0, 0);
  for (int i = 0; furry && i < b->s->parts; i++) {
    b->s->part_of[i].bump = 0.012f;
    b->s->part_of[i].bump_scale = 26;
  }
  return likely(b->c, 0.85f) ? STANDS : LIES;
}

static int make_animal(builder *b) {
  b->main_material = likely(b->c, 0.25f)  ? metal_material(b)
                     : likely(b->c, 0.6f) ? plain_material(b)
                                          : add_material(b, likely(b->c, 0.5f) ? FUR : WOOD, colour_by_chance(b->c));
  const float leg = between(b->c, 0.15f, 0.5f), length = between(b->c, 0.35f, 0.65f),
              thick = between(b->c, 0.14f, 0.28f), soft = 0.06f;
  const float back = leg + thick;
  lump(b, v3(0, back, 0), length, thick, thick * 0.9f, soft);
  for (int k = 0; k < 4; k++) {
    const vec hip = v3((k & 1 ? 0.7f : -0.7f) * length, back, (k & 2 ? 0.6f : -0.6f) * thick);
    part *p =
        add_cord(b, hip, v3(hip.x + between(b->c, -0.1f, 0.1f), 0.5f * back, hip.z),
                 v3(hip.x + between(b->c, -0.1f, 0.1f), 0.06f, hip.z), between(b->c, 0.05f, 0.09f), CORD_PLAIN, 1);
    p->join = JOIN_SOFTLY;
    p->blend = soft;
  }
  const vec head = v3(length * between(b->c, 0.95f, 1.4f), back + between(b->c, 0.1f, 0.7f), 0);
  part *neck = add_cord(b, v3(0.8f * length, back, 0), v3(length, 0.5f * (head.y + back), 0), head, 0.55f * thick,
                        CORD_PLAIN, 1);
  neck->join = JOIN_SOFTLY;
  neck->blend = soft;
  const float skull = between(b->c, 0.12f, 0.22f);
  lump(b, head, skull * 1.3f, skull, skull * 0.9f, soft);
  for (int k = -1; k < 2; k += 2)
    lump(b, v3(head.x - 0.3f * skull, head.y + skull, 0.6f * (float)k * skull), 0.05f, between(b->c, 0.06f, 0.25f),
         0.03f, 0.03f);
  add_cord(b, v3(-length, back, 0), v3(-length - 0.3f, back + between(b->c, -0.5f, 0.5f), 0),
           v3(-length - between(b->c, 0, 0.3f), back + between(b->c, -0.4f, 0.8f), 0), between(b->c, 0.02f, 0.06f),
           CORD_PLAIN, 1);
  return STANDS;
}

static int make_sculpture(builder *b) {
  b->main_material = likely(b->c, 0.25f)   ? metal_material(b)
                     : likely(b->c, 0.12f) ? glass_material(b)
                                           : plain_material(b);
  float y = 0;
  const float soft = between(b->c, 0.02f, 0.15f);
  for (int k = 2 + below(b->c, 6); k > 0; k--) {
    const float x = between(b->c, 0.12f, 0.45f), h = between(b->c, 0.1f, 0.4f), z = between(b->c, 0.12f, 0.4f);
    part *p = lump(b, v3(between(b->c, -0.2f, 0.2f), y + 0.9f * h, between(b->c, -0.15f, 0.15f)), x, h, z, soft);
    spin_part(p, unit(v3(between(b->c, -1, 1), between(b->c, -1, 1), between(b->c, -1, 1))),
              between(b->c, -0.5f, 0.5f));
    y += between(b->c, 0.4f, 1.5f) * h;
  }
  if (likely(b->c, 0.4f)) {
    part *hole = add_sized(b, DRUM, v3(between(b->c, -0.1f, 0.1f), 0.5f * y, 0), 0.12f, between(b->c, 0.08f, 0.2f), 2,
                           0.01f, 0, 0);
    spin_part(hole, v3(1, 0, 0), 1.5707963f);
    hole->join = CUT_AWAY;
  }
  if (likely(b->c, 0.3f)) {
    b->main_material = b->second_material;
    add_sized(b, BLOCK, v3(0, 0.05f, 0), 0.4f, 0.06f, 0.35f, 0.01f, 0, 0);
  }
  return STANDS;
}

/* ---- jewellery ---- */

static int stone(builder *b) {
  return likely(b->c, 0.4f) ? glass_material(b) : plain_material(b);
}

static int make_ring(builder *b) {
  b->main_material = metal_material(b);
  const float radius = between(b->c, 0.4f, 0.55f), band = between(b->c, 0.03f, 0.18f),
              thick = between(b->c, 0.02f, 0.06f);
  part *p = add_sized(b, HOOP, v3(0, radius + thick, 0), radius, band, thick, 0, 0, 0);
  spin_part(p, v3(1, 0, 0), 1.5707963f);
  if (likely(b->c, 0.7f)) {
    const float r = between(b->c, 0.08f, 0.28f), y = 2 * radius + 2 * thick;
    add_sized(b, DRUM, v3(0, y, 0), 0.6f * r, r, 0.08f, 0.02f, 0, 0);
    b->main_material = stone(b);
    add_sized(b, likely(b->c, 0.6f) ? BALL : BLOCK, v3(0, y + 0.07f, 0), r * 0.9f, r * between(b->c, 0.5f, 0.9f),
              r * 0.9f, 0.03f, 0.4f, 0);
  }
  if (likely(b->c, 0.5f)) {
    for (int i = 0; i < b->s->parts; i++)
      turn_part(&b->s->part_of[i], v3(1, 0, 0), -1.5707963f + between(b->c, 0, 0.02f));
    return LIES;
  }
  return STANDS;
}

static int make_cuff(builder *b) {
  b->main_material = likely(b->c, 0.7f) ? metal_material(b) : plain_material(b);
  const float radius = between(b->c, 0.5f, 0.7f), band = between(b->c, 0.05f, 0.35f);
  const int rings = likely(b->c, 0.25f) ? 2 + below(b->c, 4) : 1;
  for (int k = 0; k < rings; k++) {
    part *p = add_sized(
        b, HOOP,
        v3(between(b->c, -0.05f, 0.05f) * (float)(rings > 1), (rings > 1 ? 0.07f : band) * (float)(2 * k + 1), 0),
        radius, rings > 1 ? between(b->c, 0.03f, 0.06f) : band, between(b->c, 0.015f, 0.05f),
        rings == 1 && likely(b->c, 0.6f) ? between(b->c, 0.3f, 0.8f) : 0, 0, 0);
    spin_part(p, v3(0, 1, 0), between(b->c, 0, 6.28f));
    p->bump = likely(b->c, 0.3f) ? between(b->c, 0.004f, 0.015f) : 0;
    p->bump_scale = between(b->c, 8, 20);
  }
  if (rings == 1 && likely(b->c, 0.3f)) {
    for (int i = 0; i < b->s->parts; i++) turn_part(&b->s->part_of[i], v3(1, 0, 0), 1.5707963f);
    return STANDS;
  }
  return likely(b->c, 0.5f) ? STANDS : LIES;
}

/* What hangs from chains and ears: built round the origin in the plane y = 0, its top towards -z. */
static void trinket(builder *b, vec at, float size) {
  const int kind = below(b->c, 6);
  const int metal = b->main_material;
  const float thick = size * between(b->c, 0.06f, 0.2f);
  part *p;
  if (kind < 2) {
    p = add_sized(b, MEDAL, at, size, thick, (float)(2 + below(b->c, 7)),
                  likely(b->c, 0.5f) ? between(b->c, 0.05f, 0.3f) : 0, 0.4f * thick,
                  likely(b->c, 0.3f) ? size * between(b->c, 0.2f, 0.6f) : 0);
    p->bump = likely(b->c, 0.3f) ? 0.1f * size : 0;
    p->bump_scale = 6 / size;
    b->main_material = stone(b);
    if (p->size[5] == 0 && likely(b->c, 0.6f))
      add_sized(b, BALL, plus(at, v3(0, 0.8f * thick, 0)), 0.5f * size, thick, 0.5f * size, 0, 0, 0);
  } else if (kind == 2) {
    b->main_material = stone(b);
    add_sized(b, BALL, at, size * between(b->c, 0.4f, 1), size * between(b->c, 0.4f, 0.8f), size, 0, 0, 0);
  } else if (kind == 3) {
    add_sized(b, HOOP, at, size * 0.9f, thick, thick, 0, 0, 0);
    if (likely(b->c, 0.5f)) add_sized(b, HOOP, plus(at, v3(0, 0, 0.25f * size)), size * 0.5f, thick, thick, 0, 0, 0);
  } else if (kind == 4) {
    p = add_sized(b, BLOCK, at, size * between(b->c, 0.3f, 0.9f), thick, size, 0.4f * thick, 0, 0);
    if (likely(b->c, 0.4f)) spin_part(p, v3(0, 1, 0), 0.785f);
  } else {
    for (int k = 0; k < 5; k++) {
      const float angle = 1.2566f * (float)k;
      add_sized(b, BALL, plus(at, v3(0.55f * size * sinf(angle), 0, 0.55f * size * cosf(angle))), 0.42f * size, thick,
                0.42f * size, 0, 0, 0);
    }
    b->main_material = stone(b);
    add_sized(b, BALL, plus(at, v3(0, thick, 0)), 0.3f * size, thick, 0.3f * size, 0, 0, 0);
  }
  b->main_material = metal;
}

static int cord_kind(chance *c) {
  return likely(c, 0.55f) ? CORD_LINKS : likely(c, 0.4f) ? CORD_BEADS : likely(c, 0.5f) ? CORD_TWISTED : CORD_PLAIN;
}

static int make_necklace(builder *b) {
  b->main_material = likely(b->c, 0.75f) ? metal_material(b) : plain_material(b);
  const float wide = between(b->c, 0.45f, 0.9f), tall = between(b->c, 0.5f, 1), radius = between(b->c, 0.015f, 0.07f);
  const int kind = cord_kind(b->c);
  const float turns = floorf(0.75f * (wide + tall) / (radius * (kind == CORD_BEADS ? 2.0f : 1.5f)));
  const float y = radius + 0.002f;
  const vec corner[4] = {v3(0, y, tall), v3(wide, y, between(b->c, -0.2f, 0.2f)),
                         v3(between(b->c, -0.1f, 0.1f), y, -tall * 0.8f), v3(-wide, y, between(b->c, -0.2f, 0.2f))};
  for (int k = 0; k < 4; k++) {
    const vec from = corner[k], to = corner[(k + 1) & 3];
    vec knee = v3(k & 1 ? to.x : from.x, y, k & 1 ? from.z : to.z);
    knee = v3((k == 0 || k == 1 ? wide : -wide) * between(b->c, 0.75f, 1.1f), y,
              (k == 0 || k == 3 ? tall : -0.8f * tall) * between(b->c, 0.4f, 1));
    add_cord(b, from, knee, to, radius, kind, fmaxf(turns, 6));
  }
  if (likely(b->c, 0.75f)) {
    const float size = between(b->c, 0.1f, 0.35f);
    trinket(b, v3(0, fmaxf(0.1f * size, 0.03f), tall + size), size);
    add_sized(b, HOOP, v3(0, 0.03f, tall), 0.05f, 0.015f, 0.015f, 0, 0, 0);
  }
  return LIES | HANGS;
}

static int make_pendant(builder *b) {
  b->main_material = metal_material(b);
  const float size = between(b->c, 0.25f, 0.55f), high = between(b->c, 0.9f, 2.2f), wide = between(b->c, 0.2f, 1),
              radius = between(b->c, 0.012f, 0.05f);
  trinket(b, v3(0, 0.05f, 0), size);
  add_sized(b, HOOP, v3(0, 0.04f, -size - 0.06f), 0.07f, 0.02f, 0.018f, 0, 0, 0);
  const int kind = cord_kind(b->c);
  const float turns = fmaxf(floorf(high / (radius * (kind == CORD_BEADS ? 2.0f : 1.5f))), 6);
  for (int k = -1; k < 2; k += 2)
    add_cord(b, v3(0, 0.04f, -size - 0.1f), v3((float)k * wide * between(b->c, 0.1f, 0.7f), 0.04f, -size - 0.6f * high),
             v3((float)k * wide, 0.04f, -size - high), radius, kind, turns);
  return LIES | HANGS;
}

static int make_earrings(builder *b) {
  b->main_material = metal_material(b);
  const float size = between(b->c, 0.14f, 0.35f), apart = size * between(b->c, 1.2f, 2.2f),
              wire = between(b->c, 0.01f, 0.022f);
  const int pairs = likely(b->c, 0.8f) ? 2 : 1;
  const chance same = *b->c;
  const int materials = b->s->materials;
  for (int k = 0; k < pairs; k++) {
    const float x = pairs == 1 ? 0 : k ? apart : -apart;
    const int first = b->s->parts;
    *b->c = same;
    b->s->materials = materials;
    const int drops = 1 + below(b->c, 2);
    for (int j = 0; j < drops; j++) trinket(b, v3(x, 0.05f, (float)j * 1.9f * size), size * (j ? 0.8f : 1));
    const float top = -size;
    if (likely(b->c, 0.8f)) { /* a hook for the ear, or a stud without one */
      const float tall = between(b->c, 0.25f, 0.55f), bow = between(b->c, 0.12f, 0.3f);
      add_cord(b, v3(x, 0.04f, top), v3(x, 0.04f, top - 0.6f * tall), v3(x + 0.5f * bow, 0.04f, top - tall), wire,
               CORD_PLAIN, 1);
      add_cord(b, v3(x + 0.5f * bow, 0.04f, top - tall), v3(x + 1.2f * bow, 0.04f, top - 1.25f * tall),
               v3(x + bow, 0.04f, top + 0.1f), wire, CORD_PLAIN, 1);
      add_sized(b, HOOP, v3(x, 0.04f, top + 0.01f), 0.05f, wire, wire, 0, 0, 0);
    }
    const float lean = pairs == 2 ? (k ? -0.15f : 0.2f) : 0;
    for (int i = first; i < b->s->parts; i++) {
      part *p = &b->s->part_of[i];
      if (p->shape != CORD) p->at.x -= x;
      for (int e = 0; p->shape == CORD && e < 3; e++) p->bend[e].x -= x;
      turn_part(p, v3(0, 1, 0), lean);
      p->at.x += x;
    }
  }
  return LIES | HANGS;
}

static int make_brooch(builder *b) {
  b->main_material = likely(b->c, 0.6f) ? metal_material(b) : plain_material(b);
  const float size = between(b->c, 0.5f, 0.7f);
  trinket(b, v3(0, 0.1f, 0), size);
  for (int k = 1 + below(b->c, 5); k > 0; k--) {
    const float angle = between(b->c, 0, 6.28f), far = size * between(b->c, 0.5f, 1.2f), r = between(b->c, 0.05f, 0.2f);
    if (likely(b->c, 0.5f)) b->main_material = stone(b);
    add_sized(b, BALL, v3(far * sinf(angle), 0.1f, far * cosf(angle)), r, 0.6f * r, r * between(b->c, 0.6f, 1.6f), 0, 0,
              0);
  }
  return LIES | HANGS;
}

/* ---- textiles ---- */

static int make_scarf(builder *b) {
  b->main_material = cloth_material(b);
  const float wide = between(b->c, 0.25f, 0.7f), tall = between(b->c, 0.5f, 0.9f);
  part *p = add_sized(b, SHEET, v3(0, tall + 0.3f, 0), wide, tall, 0.015f, between(b->c, 0, 0.07f),
                      between(b->c, 3, 14), likely(b->c, 0.5f) ? between(b->c, 0.06f, 0.25f) : 0);
  p->bend[0] = v3(between(b->c, 0, 6), between(b->c, 0, 6), 0);
  if (likely(b->c, 0.4f)) {
    for (int i = 0; i < b->s->parts; i++) turn_part(&b->s->part_of[i], v3(1, 0, 0), -1.5707963f);
    p->at.y = 0.04f + p->size[3];
    p->at.z = 0;
    return LIES;
  }
  if (likely(b->c, 0.6f)) {
    b->main_material = b->second_material;
    part *rod =
        add_sized(b, DRUM, v3(0, 2 * tall + 0.3f, 0.02f), 0.03f, 0.03f, wide * between(b->c, 1, 1.3f), 0.01f, 0, 0);
    spin_part(rod, v3(0, 0, 1), 1.5707963f);
    if (likely(b->c, 0.6f))
      add_cord(b, v3(-wide, 2 * tall + 0.3f, 0), v3(0, 2 * tall + between(b->c, 0.6f, 1.3f), 0),
               v3(wide, 2 * tall + 0.3f, 0), 0.012f, CORD_TWISTED, 20);
  }
  return HANGS;
}

static int make_folded(builder *b) {
  float y = 0;
  const float wide = between(b->c, 0.45f, 0.75f), deep = between(b->c, 0.35f, 0.6f);
  for (int k = 1 + below(b->c, 4); k > 0; k--) {
    if (b->s->materials < 6) b->main_material = cloth_material(b);
    const float h = between(b->c, 0.04f, 0.12f);
    part *p = add_sized(b, BLOCK, v3(between(b->c, -0.04f, 0.04f), y + h, between(b->c, -0.04f, 0.04f)), wide, h, deep,
                        0.9f * h, 0, 0);
    p->bump = 0.015f;
    p->bump_scale = 3;
    y += 1.9f * h;
  }
  return STANDS;
}

static int make_net(builder *b) {
  b->main_material =
      likely(b->c, 0.7f)
          ? add_material(b, WEAVE, colour_of_hue(0.1f, between(b->c, 0.05f, 0.3f), between(b->c, 0.5f, 0.85f)))
          : cloth_material(b);
  const float wide = between(b->c, 0.35f, 0.7f), tall = between(b->c, 0.35f, 0.8f), cord = between(b->c, 0.012f, 0.03f),
              mesh = cord * between(b->c, 6, 12);
  const float taper = likely(b->c, 0.5f) ? between(b->c, 0.3f, 0.9f) : 0, top = 2 * tall + 0.6f;
  add_sized(b, NET, v3(0, tall + 0.6f, 0), wide, tall, cord, mesh, taper, 0);
  if (likely(b->c, 0.6f)) {
    part *p = add_sized(b, SHEET, v3(0, 0.6f, 0), wide * (1 - taper), 0.03f, cord, 0, 3, between(b->c, 0.15f, 0.5f));
    p->bend[0] = v3(0, 0, 0);
  }
  b->main_material = likely(b->c, 0.7f) ? add_material(b, WOOD, colour_of_hue(0.08f, 0.6f, between(b->c, 0.1f, 0.5f)))
                                        : b->second_material;
  part *rod = add_sized(b, DRUM, v3(0, top, 0), 0.035f, 0.035f, wide * between(b->c, 1.02f, 1.3f), 0.01f, 0, 0);
  spin_part(rod, v3(0, 0, 1), 1.5707963f);
  if (likely(b->c, 0.7f))
    add_cord(b, v3(-wide, top, 0), v3(0, top + between(b->c, 0.4f, 1.2f), 0), v3(wide, top, 0), 0.015f, CORD_TWISTED,
             20);
  return HANGS;
}

static int make_wreath(builder *b) {
  b->main_material = likely(b->c, 0.6f) ? straw_material(b) : plain_material(b);
  const float radius = between(b->c, 0.5f, 0.75f), thick = between(b->c, 0.06f, 0.16f);
  part *p = add_sized(b, HOOP, v3(0, thick, 0), radius, thick, thick, 0, 0, 0);
  p->bump = between(b->c, 0.01f, 0.05f);
  p->bump_scale = between(b->c, 6, 16);
  const int leaves = 6 + below(b->c, 20);
  for (int k = 0; k < leaves; k++) {
    const float angle = between(b->c, 0, 6.28f), r = radius + between(b->c, -0.1f, 0.15f);
    if ((k & 3) == 0 && b->s->materials < 7) b->main_material = plain_material(b);
    part *leaf = add_sized(b, BALL, v3(r * sinf(angle), 1.6f * thick, r * cosf(angle)), between(b->c, 0.03f, 0.08f),
                           0.03f, between(b->c, 0.06f, 0.2f), 0, 0, 0);
    spin_part(leaf, v3(0, 1, 0), between(b->c, 0, 3.1f));
  }
  return LIES | HANGS;
}

/* ---- other things ---- */

static int make_wooden(builder *b) {
  b->main_material = likely(b->c, 0.7f)
                         ? add_material(b, WOOD,
                                        colour_of_hue(between(b->c, 0.04f, 0.11f), between(b->c, 0.3f, 0.8f),
                                                      between(b->c, 0.05f, 0.6f)))
                         : plain_material(b);
  const int kind = below(b->c, 4);
  if (kind == 0) { /* spoon */
    const float length = between(b->c, 0.7f, 1), bowl = between(b->c, 0.15f, 0.3f);
    add_cord(b, v3(-length, 0.05f, 0), v3(0, 0.1f, between(b->c, -0.2f, 0.2f)), v3(0.4f, 0.06f, 0),
             between(b->c, 0.03f, 0.06f), CORD_PLAIN, 1);
    lump(b, v3(0.4f + bowl, 0.08f, 0), 1.4f * bowl, 0.08f, bowl, 0.04f);
    part *hollow = add_sized(b, BALL, v3(0.4f + bowl, 0.18f, 0), 1.15f * bowl, 0.12f, 0.8f * bowl, 0, 0, 0);
    hollow->join = CUT_AWAY;
    return LIES;
  }
  if (kind == 1) { /* toy on wheels */
    add_sized(b, BLOCK, v3(0, 0.3f, 0), 0.6f, 0.16f, 0.25f, 0.05f, 0, 0);
    add_sized(b, BLOCK, v3(between(b->c, -0.3f, 0.2f), 0.55f, 0), between(b->c, 0.2f, 0.4f), 0.16f, 0.22f, 0.06f, 0.2f,
              0);
    b->main_material = b->second_material;
    for (int k = 0; k < 4; k++) {
      part *p = add_sized(b, DRUM, v3(k & 1 ? 0.38f : -0.38f, 0.16f, k & 2 ? 0.28f : -0.28f), 0.16f, 0.16f, 0.05f,
                          0.02f, 0, 0);
      spin_part(p, v3(1, 0, 0), 1.5707963f);
    }
    return STANDS;
  }
  if (kind == 2) { /* board */
    part *p = add_sized(b, BLOCK, v3(0, 0.04f, 0), between(b->c, 0.5f, 0.8f), 0.04f, between(b->c, 0.25f, 0.45f), 0.03f,
                        0, 0);
    part *grip = add_sized(b, BLOCK, v3(p->size[0] + 0.15f, 0.04f, 0), 0.2f, 0.035f, 0.09f, 0.03f, 0, 0);
    part *hole = add_sized(b, DRUM, v3(grip->at.x + 0.08f, 0.04f, 0), 0.04f, 0.04f, 0.3f, 0.01f, 0, 0);
    hole->join = CUT_AWAY;
    return LIES | HANGS;
  }
  add_sized(b, BLOCK, v3(0, 0.25f, 0), between(b->c, 0.3f, 0.6f), 0.25f, between(b->c, 0.25f, 0.5f), 0.02f, 0, 0);
  if (likely(b->c, 0.6f))
    add_sized(b, BLOCK, v3(0, 0.53f, 0), b->s->part_of[0].size[0] + 0.02f, 0.05f, b->s->part_of[0].size[2] + 0.02f,
              0.02f, 0, 0);
  return STANDS;
}

static int make_candle(builder *b) {
  b->main_material = plain_material(b);
  float x = 0;
  const int count = likely(b->c, 0.6f) ? 1 : 2 + below(b->c, 3);
  for (int k = 0; k < count; k++) {
    const float r = between(b->c, 0.1f, 0.35f), h = between(b->c, 0.15f, 0.6f);
    x += r;
    const vec at = v3(x, h, between(b->c, -0.15f, 0.15f));
    add_sized(b, likely(b->c, 0.7f) ? DRUM : BLOCK, at, r, likely(b->c, 0.6f) ? r : h,
              likely(b->c, 0.5f) ? h : fmaxf(h, 0.05f), 0.03f, 0, 0);
    b->s->part_of[b->s->parts - 1].size[1] =
        b->s->part_of[b->s->parts - 1].shape == DRUM ? r * between(b->c, 0.8f, 1.05f) : h;
    b->s->part_of[b->s->parts - 1].size[2] = b->s->part_of[b->s->parts - 1].shape == DRUM ? h : r;
    if (likely(b->c, 0.5f))
      add_cord(b, v3(x, 2 * h, at.z), v3(x, 2 * h + 0.08f, at.z), v3(x + 0.02f, 2 * h + 0.12f, at.z), 0.012f,
               CORD_PLAIN, 1);
    x += r + between(b->c, -0.02f, 0.12f);
    if (likely(b->c, 0.4f)) b->main_material = plain_material(b);
  }
  for (int i = 0; i < b->s->parts; i++) {
    b->s->part_of[i].at.x -= 0.5f * x;
  }
  return STANDS;
}

static int make_shoes(builder *b) {
  b->main_material = likely(b->c, 0.5f) ? cloth_material(b) : plain_material(b);
  const float length = between(b->c, 0.45f, 0.65f), apart = between(b->c, 0.22f, 0.4f);
  for (int k = -1; k < 2; k += 2) {
    const float z = (float)k * apart;
    lump(b, v3(0, 0.14f, z), length, 0.15f, 0.19f, 0.08f);
    lump(b, v3(-0.55f * length, 0.24f, z), 0.22f, between(b->c, 0.2f, 0.4f), 0.16f, 0.1f);
    part *opening = add_sized(b, BALL, v3(-0.5f * length, 0.55f, z), 0.2f, 0.38f, 0.12f, 0, 0, 0);
    opening->join = CUT_AWAY;
  }
  return STANDS;
}

static int make_hat(builder *b) {
  b->main_material = likely(b->c, 0.6f) ? straw_material(b) : cloth_material(b);
  part *p = add_sized(b, TURNED, v3(0, 0, 0), 0.02f, 0, 0, 0, 0, 0);
  const float brim = between(b->c, 0.55f, 0.95f), crown = between(b->c, 0.3f, 0.42f), tall = between(b->c, 0.25f, 0.5f);
  const float profile[6][2] = {
      {brim, 0.03f + between(b->c, 0, 0.12f)}, {crown + 0.03f, 0.05f}, {crown, 0.12f},
      {0.92f * crown, 0.85f * tall},           {0.7f * crown, tall},   {0, tall * between(b->c, 0.85f, 1.05f)}};
  p->points = 6;
  memcpy(p->profile, profile, sizeof profile);
  p->bump = 0.008f;
  p->bump_scale = 12;
  b->main_material = b->second_material;
  add_sized(b, HOOP, v3(0, 0.15f, 0), crown + 0.02f, 0.05f, 0.012f, 0, 0, 0);
  return likely(b->c, 0.6f) ? STANDS : LIES;
}

typedef int (*piece_maker)(builder *b);
static const piece_maker makers[] = {
    make_pot,     make_pot,      make_pot,       make_teapot, make_glass,   make_glass,    make_basket,
    make_basket,  make_openwork, make_tote,      make_tote,   make_satchel, make_backpack, make_plush,
    make_plush,   make_animal,   make_sculpture, make_ring,   make_cuff,    make_necklace, make_pendant,
    make_pendant, make_earrings, make_earrings,  make_brooch, make_scarf,   make_folded,   make_net,
    make_wreath,  make_wooden,   make_candle,    make_shoes,  make_hat};
enum { MAKERS = (int)(sizeof makers / sizeof makers[0]) };

#endif
