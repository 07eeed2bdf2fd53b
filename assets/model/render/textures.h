/* SPDX-License-Identifier: MIT */
/* Patterns that pieces and grounds share. */
#ifndef RENDER_TEXTURES_H
#define RENDER_TEXTURES_H

#include "scene.h"

enum {
  PLAIN = 0,
  CLOUDS,
  SPECKLES,
  STRIPES,
  CHECKS,
  GINGHAM,
  WEAVE,
  TWILL,
  WOOD,
  PLANKS,
  TILES,
  BRICKS,
  MARBLE,
  DOTS,
  CHEVRON,
  KNIT,
  BASKET,
  PATCHES,
  PETALS,
  CRACKLE,
  CONCRETE,
  BANDS,
  FUR,
  PAGES,
  PATTERNS
};

/* How much of the second and of the third colour, and a height. */
typedef struct ink {
  float second, third, height;
} ink;

BOTH ink ink_of(float second, float third, float height) {
  ink i;
  i.second = held(second, 0, 1);
  i.third = held(third, 0, 1);
  i.height = height;
  return i;
}
BOTH float part_of_one(float x) {
  return x - floorf(x);
}
BOTH float wave(float x) {
  return 0.5f + 0.5f * sinf(6.2831853f * x);
}

/* Nearest and second nearest of places by chance, one per cell, and a number of the nearest cell's own. */
BOTH void nearest_places(float u, float v, int seed, float *first, float *second, float *number) {
  const int cx = (int)floorf(u), cy = (int)floorf(v);
  *first = *second = 9;
  *number = 0;
  for (int y = cy - 1; y <= cy + 1; y++)
    for (int x = cx - 1; x <= cx + 1; x++) {
      const float dx = (float)x + hash3(x, y, seed) - u, dy = (float)y + hash3(x, y, seed + 7) - v;
      const float d = sqrtf(dx * dx + dy * dy);
      if (d < *first) {
        *second = *first;
        *first = d;
        *number = hash3(x, y, seed + 13);
      } else if (d < *second) {
        *second = d;
      }
    }
}

BOTH ink boards(float u, float v, int seed, float gap) {
  const float row = floorf(v), shift = hash3((int)row, seed, 3) * 5, end = part_of_one(u * 0.22f + shift);
  const float grain = clouds(1.5f * u + 9 * shift, 14 * v, (float)seed, 3);
  const float edge = fminf(fminf(part_of_one(v), 1 - part_of_one(v)), 8 * fminf(end, 1 - end));
  const float dark = 1 - rise(gap, 2 * gap, edge), shade = hash3((int)row, (int)floorf(u * 0.22f + shift), seed);
  return ink_of(0.7f * grain + 0.6f * (shade - 0.5f), dark, -dark);
}

BOTH ink rows_of_tiles(float u, float v, int seed, float joint, float lag) {
  const float row = floorf(v), x = u + lag * row, column = floorf(x);
  const float edge = fminf(fminf(part_of_one(v), 1 - part_of_one(v)), fminf(part_of_one(x), 1 - part_of_one(x)));
  const float dark = 1 - rise(joint, 1.6f * joint, edge);
  return ink_of(0.6f * hash3((int)column, (int)row, seed) + 0.3f * clouds(5 * u, 5 * v, (float)seed, 3), dark, -dark);
}

BOTH ink woven(float u, float v, int seed) {
  const float column = floorf(u), row = floorf(v);
  const int over = ((int)column + (int)row) & 1;
  const float x = part_of_one(u) - 0.5f, y = part_of_one(v) - 0.5f, a = over ? x : y, b = over ? y : x;
  const float round = 1 - 4 * b * b, arch = 1 - 1.6f * a * a;
  const float tone = hash3(over ? (int)row : (int)column, over, seed);
  return ink_of(tone, 1 - rise(0.0f, 0.5f, round), round * arch);
}

BOTH ink ink_at(int pattern, float u, float v, float w, int seed) {
  float a, b, c;
  const float s = (float)(seed & 255);
  switch (pattern) {
  case CLOUDS:
    return ink_of(1.8f * clouds(u, v, w + s, 5) - 0.4f, 0, clouds(2 * u, 2 * v, w + s, 3));
  case SPECKLES:
    nearest_places(2 * u, 2 * v, seed, &a, &b, &c);
    return ink_of(a < 0.12f + 0.25f * c ? 1.0f : 0.0f, clouds(u, v, w + s, 3) - 0.4f, 0);
  case STRIPES:
    a = part_of_one(u);
    return ink_of(a < 0.2f + 0.4f * part_of_one(s * 0.37f) ? 1.0f : 0.0f,
                  (seed & 1) && a > 0.8f && a < 0.9f ? 1.0f : 0.0f, 0);
  case CHECKS:
    return ink_of((float)(((int)floorf(u) + (int)floorf(v)) & 1), 0, 0);
  case GINGHAM:
    a = part_of_one(u) < 0.5f;
    b = part_of_one(v) < 0.5f;
    c = (seed & 1) && (part_of_one(u) > 0.85f || part_of_one(v) > 0.85f) ? 1.0f : 0.0f;
    return ink_of(0.5f * (a + b), c, 0);
  case WEAVE:
    return ink_of(0.4f * wave(4 * u) + 0.4f * wave(4 * v), 0, wave(4 * u) * wave(4 * v));
  case TWILL:
    return ink_of(wave(3 * u + 3 * v), 0, wave(3 * u + 3 * v));
  case WOOD:
    a = clouds(0.6f * u, 5 * v, w + s, 3);
    return ink_of(wave(4 * a + 0.5f * v), 0.8f * clouds(2 * u, 40 * v, s, 2) - 0.2f, 0);
  case PLANKS:
    return boards(u, v, seed, 0.02f + 0.03f * part_of_one(s * 0.61f));
  case TILES:
    return rows_of_tiles(u, v, seed, 0.02f + 0.03f * part_of_one(s * 0.61f), 0);
  case BRICKS:
    return rows_of_tiles(0.5f * u, v, seed, 0.05f, 0.5f);
  case MARBLE:
    a = wave(0.5f * u + 3 * clouds(u, v, w + s, 5));
    return ink_of(rise(0.7f, 1.0f, a), 0.5f * clouds(3 * u, 3 * v, s, 3), 0);
  case DOTS:
    a = part_of_one(u + 0.5f * (float)((int)floorf(v) & 1)) - 0.5f;
    b = part_of_one(v) - 0.5f;
    return ink_of(a * a + b * b < 0.05f + 0.08f * part_of_one(s * 0.71f) ? 1.0f : 0.0f, 0, 0);
  case CHEVRON:
    a = fabsf(part_of_one(u) - 0.5f);
    b = part_of_one(v + 1.2f * a);
    return ink_of(b < 0.5f ? 1.0f : 0.0f, (seed & 1) && b > 0.85f ? 1.0f : 0.0f, 0);
  case KNIT:
    a = fabsf(part_of_one(2 * u) - 0.5f);
    b = part_of_one(2 * v + a);
    return ink_of(hash3((int)floorf(2 * u), (int)floorf(2 * v + a), seed) > 0.8f ? 0.5f : 0,
                  1 - rise(0, 0.3f, fminf(b, fminf(a, 0.5f - a) * 3)), sqrtf(b * (1 - b)));
  case BASKET:
    return woven(2.5f * u, 2.5f * v, seed);
  case PATCHES:
    a = hash3((int)floorf(u), (int)floorf(v), seed);
    return ink_of(a < 0.4f ? 1.0f : 0.2f * clouds(9 * u, 9 * v, s, 2), a > 0.75f ? 1.0f : 0.0f, 0);
  case PETALS:
    nearest_places(u, v, seed, &a, &b, &c);
    a += 0.12f * sinf(5 * atan2f(part_of_one(u) - 0.5f, part_of_one(v) - 0.5f) + 6 * c);
    return ink_of(a < 0.3f ? 1.0f : 0.0f, a < 0.1f || (a > 0.3f && a < 0.38f && c > 0.5f) ? 1.0f : 0.0f, 0);
  case CRACKLE:
    nearest_places(u, v, seed, &a, &b, &c);
    return ink_of(0.4f * c, 1 - rise(0.02f, 0.07f, b - a), -(1 - rise(0.02f, 0.09f, b - a)));
  case CONCRETE:
    a = clouds(0.7f * u, 0.7f * v, w + s, 5);
    nearest_places(6 * u, 6 * v, seed, &b, &c, &c);
    return ink_of(1.6f * a - 0.3f, b < 0.1f ? 0.6f : 0.0f, a);
  case BANDS:
    a = v + 0.12f * clouds(2 * u, v, w + s, 3);
    b = hash3((int)floorf(a), seed, 1);
    return ink_of(b < 0.4f ? 1.0f : 0.3f * clouds(7 * u, 7 * v, s, 3), b > 0.8f ? 1.0f : 0.0f, 0);
  case FUR:
    a = clouds(7 * u + 2 * clouds(u, v, s, 2), 7 * v, 7 * w + s, 4);
    return ink_of(2.2f * a - 0.7f, 0.7f * clouds(0.8f * u, 0.8f * v, s, 2) - 0.15f, a);
  case PAGES:
    a = part_of_one(0.35f * u);
    b = part_of_one(5 * v);
    c = hash3((int)floorf(14 * u), (int)floorf(5 * v), seed);
    return ink_of(a > 0.08f && a < 0.92f && b < 0.5f && c < 0.75f ? 0.9f : 0.0f, 0, 0);
  default:
    return ink_of(0.15f * clouds(2 * u, 2 * v, w + s, 3), 0, clouds(3 * u, 3 * v, w + s, 3));
  }
}

/* Colour of a material at a place of its own frame; (u, v) are chosen after the way the surface faces. */
BOTH vec paint(const material *m, vec p, vec n, float *height) {
  const float ax = fabsf(n.x), ay = fabsf(n.y), az = fabsf(n.z);
  float u = p.x, v = p.y, w = p.z;
  if (m->wrapped && ay < 0.9f) {
    u = atan2f(p.x, p.z) * 0.9549297f * 0.8f; /* whole repeats go round when scaled by whole numbers: near enough */
    w = 0;
  } else if (ay >= ax && ay >= az) {
    v = p.z;
    w = p.y;
  } else if (ax > az) {
    u = p.z;
    w = p.x;
  }
  const float co = cosf(m->turn), si = sinf(m->turn), k = m->scale;
  const ink i = ink_at(m->pattern, k * (co * u - si * v), k * m->stretch * (si * u + co * v), k * w, m->seed);
  *height = i.height;
  return mix3(mix3(m->colour[0], m->colour[1], i.second), m->colour[2], i.third);
}

#endif
