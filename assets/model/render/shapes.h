/* SPDX-License-Identifier: MIT */
/* Signed distances to the parts of a scene. The formulas for boxes, capped cones, ellipsoids and Bezier curves are the
 * usual ones of the trade (published by many; common practice), written anew. */
#ifndef RENDER_SHAPES_H
#define RENDER_SHAPES_H

#include "scene.h"

BOTH float flat_length(float x, float y) {
  return sqrtf(x * x + y * y);
}

BOTH float to_ball(vec p, const float *size) {
  const vec q = v3(p.x / size[0], p.y / size[1], p.z / size[2]);
  const float k = size_of(q), g = size_of(v3(q.x / size[0], q.y / size[1], q.z / size[2]));
  if (k < 1e-4f) return -fminf(size[0], fminf(size[1], size[2]));
  return k * (k - 1) / fmaxf(g, 1e-6f);
}

BOTH float to_block(vec p, const float *size) {
  const float narrow = 1 - size[4] * held(0.5f + 0.5f * p.y / size[1], 0, 1);
  const float r = size[3];
  const vec q = v3(fabsf(p.x) - size[0] * narrow + r, fabsf(p.y) - size[1] + r, fabsf(p.z) - size[2] * narrow + r);
  const vec out = v3(fmaxf(q.x, 0), fmaxf(q.y, 0), fmaxf(q.z, 0));
  return (size_of(out) + fminf(fmaxf(q.x, fmaxf(q.y, q.z)), 0) - r) * (1 - 0.35f * size[4]);
}

BOTH float to_drum(vec p, const float *size) {
  const float share = held(0.5f + 0.5f * p.y / size[2], 0, 1), radius = mix(size[0], size[1], share);
  const float slope = (size[1] - size[0]) / (2 * size[2]), r = size[3];
  const float side = (flat_length(p.x, p.z) - radius) / sqrtf(1 + slope * slope) + r, end = fabsf(p.y) - size[2] + r;
  return flat_length(fmaxf(side, 0), fmaxf(end, 0)) + fminf(fmaxf(side, end), 0) - r;
}

BOTH float to_hoop(vec p, const float *size) {
  float distance = flat_length(p.x, p.z) - size[0];
  if (size[3] > 0) { /* the gap is at the front, +z */
    const float angle = fabsf(atan2f(p.x, p.z));
    if (angle < size[3]) {
      const vec end = v3(size[0] * sinf(size[3]), 0, size[0] * cosf(size[3]));
      distance = size_of(minus(v3(fabsf(p.x), 0, p.z), end));
    }
  }
  const float round = 0.8f * fminf(size[1], size[2]);
  const float a = fabsf(distance) - size[2] + round, b = fabsf(p.y) - size[1] + round;
  return flat_length(fmaxf(a, 0), fmaxf(b, 0)) + fminf(fmaxf(a, b), 0) - round;
}

/* Distance to the profile, and in *on how far along it, in segments. */
BOTH float to_profile(float r, float y, const part *s) {
  float best = 1e9f;
  for (int k = 0; k + 1 < s->points; k++) {
    const float ax = s->profile[k][0], ay = s->profile[k][1];
    const float bx = s->profile[k + 1][0] - ax, by = s->profile[k + 1][1] - ay;
    const float t = held(((r - ax) * bx + (y - ay) * by) / fmaxf(bx * bx + by * by, 1e-9f), 0, 1);
    const float dx = r - ax - t * bx, dy = y - ay - t * by;
    best = fminf(best, dx * dx + dy * dy);
  }
  return sqrtf(best);
}

BOTH float to_turned(vec p, const part *s) {
  float r = flat_length(p.x, p.z);
  if (s->size[1] > 0) r -= s->size[2] * cosf(s->size[1] * atan2f(p.x, p.z)) * held(3 * r, 0, 1);
  return to_profile(r, p.y, s) - s->size[0];
}

BOTH float to_openwork(vec p, const part *s) {
  const float r = flat_length(p.x, p.z), wall = to_profile(r, p.y, s) - s->size[0];
  if (wall > 0.1f) return wall;
  const float turn = atan2f(p.x, p.z) / 6.2831853f * s->size[1], lean = s->size[4] * p.y / s->size[3];
  const float pitch = 6.2831853f * fmaxf(r, 0.05f) / s->size[1];
  const float one = turn + lean, two = turn - lean, row = p.y / s->size[3];
  float bars = fabsf(one - floorf(one + 0.5f)) * pitch;
  if (s->size[4] > 0)
    bars = fminf(bars, fabsf(two - floorf(two + 0.5f)) * pitch) * 0.75f;
  else
    bars = fminf(bars, fabsf(row - floorf(row + 0.5f)) * s->size[3]);
  const float rim = fabsf(p.y - s->profile[s->points - 1][1]); /* the rim is whole, and so is the foot */
  bars = fminf(bars, fminf(rim, fabsf(p.y - s->profile[1][1])));
  return fmaxf(wall, bars - s->size[2]) * 0.8f;
}

/* The nearest place of a quadratic Bezier curve, as its parameter, after the cubic equation of its derivative. */
BOTH float nearest_on_bend(vec p, const vec *bend) {
  const vec a = minus(bend[1], bend[0]), b = plus(minus(bend[0], times(bend[1], 2)), bend[2]);
  const vec c = times(a, 2), d = minus(bend[0], p);
  const float scale = dot(b, b) < 1e-6f ? 1e6f : 1 / dot(b, b);
  const float kx = scale * dot(a, b), ky = scale * (2 * dot(a, a) + dot(d, b)) / 3, kz = scale * dot(d, a);
  const float m = ky - kx * kx, q = kx * (2 * kx * kx - 3 * ky) + kz, h = q * q + 4 * m * m * m;
  (void)c;
  if (h >= 0) {
    const float root = sqrtf(h), u = 0.5f * (root - q), v = 0.5f * (-root - q);
    return held(cbrtf(u) + cbrtf(v) - kx, 0, 1);
  }
  const float z = sqrtf(-m), angle = acosf(held(q / (m * z * 2), -1, 1)) / 3;
  const float co = cosf(angle), si = sinf(angle) * 1.7320508f;
  const float t1 = held((co + co) * z - kx, 0, 1), t2 = held((-si - co) * z - kx, 0, 1);
  const vec e1 = plus(d, times(plus(c, times(b, t1)), t1)), e2 = plus(d, times(plus(c, times(b, t2)), t2));
  return dot(e1, e1) < dot(e2, e2) ? t1 : t2;
}

/* Links stand on edge and lie flat in turn. */
BOTH float to_link(float forth, float side, float over, float half, float radius, float wire) {
  const float long_half = fmaxf(half - radius + wire, 0), f = fmaxf(fabsf(forth) - long_half, 0);
  const float ring = flat_length(f, side) - radius;
  return flat_length(ring, over) - wire;
}

BOTH float to_cord(vec p, const part *s) {
  const vec a = minus(s->bend[1], s->bend[0]), b = plus(minus(s->bend[0], times(s->bend[1], 2)), s->bend[2]);
  const float scale_t = dot(b, b);
  float t;
  if (scale_t < 1e-5f)
    t = held(dot(minus(p, s->bend[0]), a) / fmaxf(2 * dot(a, a), 1e-9f), 0, 1);
  else
    t = nearest_on_bend(p, s->bend);
  const vec on = plus(s->bend[0], times(plus(times(a, 2), times(b, t)), t)), off = minus(p, on);
  const float distance = size_of(off), radius = s->size[0];
  if ((int)s->size[1] == CORD_PLAIN && s->size[3] == 0) return distance - radius;
  if (distance > 3 * radius) return distance - 1.5f * radius;
  const vec speed = plus(times(a, 2), times(b, 2 * t)), forth = unit(speed);
  const vec across = unit(cross(forth, fabsf(cross(a, b).x) + fabsf(cross(a, b).y) + fabsf(cross(a, b).z) > 1e-5f
                                           ? cross(a, b)
                                           : v3(0.1f, 1, 0.3f)));
  const vec over = cross(forth, across);
  const float side = dot(off, across), rises = dot(off, over), turns = s->size[2] * t;
  if (s->size[3] > 0) { /* a strap, flat */
    const float u = fmaxf(fabsf(rises) - s->size[3], 0);
    return flat_length(flat_length(u, side), dot(off, forth)) - radius;
  }
  if ((int)s->size[1] == CORD_TWISTED) {
    const float angle = atan2f(side, rises) + 6.2831853f * turns;
    return (distance - radius * (0.85f + 0.15f * fabsf(sinf(angle)))) * 0.7f;
  }
  const float pitch = size_of(speed) / s->size[2];
  if ((int)s->size[1] == CORD_BEADS) {
    const float within = (turns - floorf(turns) - 0.5f) * pitch + dot(off, forth), half = 0.5f * pitch;
    const float bead = size_of(v3(within, side, rises)) - fminf(radius, 1.02f * half);
    return fminf(bead, distance - 0.25f * radius) * 0.9f;
  }
  float best = 1e9f;
  for (int k = 0; k < 2; k++) {
    const float place = turns * 0.5f + 0.5f * (float)k, within = (place - floorf(place) - 0.5f) * 2 * pitch;
    const float forward = within + dot(off, forth), wire = 0.28f * radius;
    best = fminf(best, to_link(forward, k ? rises : side, k ? side : rises, 0.62f * pitch, 0.72f * radius, wire));
  }
  return best * 0.8f;
}

BOTH float fold_of(const part *s, float x, float y) {
  const float folds = s->size[4], phase = 1.7f * s->bend[0].x, drift = 1 + 0.25f * sinf(1.3f * y + phase);
  return s->size[3] * (sinf(folds * x * drift + phase) + 0.4f * sinf(2.3f * folds * x + 1.1f * y + 2 * phase));
}

BOTH float to_sheet(vec p, const part *s) {
  const float steep = 1 / sqrtf(1 + 2.0f * s->size[3] * s->size[3] * s->size[4] * s->size[4]);
  const vec q = v3(p.x - 0.02f * sinf(5 * p.y + s->bend[0].y), p.y, p.z - fold_of(s, p.x, p.y));
  const float size[5] = {s->size[0], s->size[1], s->size[2], 0.8f * s->size[2], 0};
  float best = to_block(q, size);
  if (s->size[5] > 0) {
    const float pitch = 2.6f * s->size[2] + 0.012f,
                column = held(floorf(q.x / pitch + 0.5f), -floorf(size[0] / pitch), floorf(size[0] / pitch));
    const float length = s->size[5] * (0.7f + 0.3f * hash3((int)column, 3, 5));
    const float lean = (hash3((int)column, 1, 2) - 0.5f) * 0.5f;
    const float below_hem = -size[1] - q.y, reach = held(below_hem, 0, length);
    const vec off = v3(q.x - column * pitch - lean * reach, below_hem - reach, q.z);
    best = fminf(best, (size_of(off) - 0.4f * pitch) * 0.85f);
  }
  return best * steep;
}

BOTH float to_medal(vec p, const float *size) {
  const float r = flat_length(p.x, p.z), angle = atan2f(p.x, p.z);
  const float outline = size[0] * (1 + size[3] * cosf(size[2] * angle) - size[3]);
  const float steep = 1 / sqrtf(1 + size[3] * size[3] * size[2] * size[2]);
  float side = (r - outline) * steep;
  if (size[5] > 0) side = fmaxf(side, size[5] - r);
  const float round = size[4], a = side + round, b = fabsf(p.y) - size[1] + round;
  return flat_length(fmaxf(a, 0), fmaxf(b, 0)) + fminf(fmaxf(a, b), 0) - round;
}

BOTH float to_net(vec p, const part *s) {
  const float share = held(0.5f - 0.5f * p.y / s->size[1], 0, 1), half = s->size[0] * (1 - s->size[4] * share);
  const float outside = fmaxf(fabsf(p.x) - half, fabsf(p.y) - s->size[1]);
  const float deep = fabsf(p.z) - 2 * s->size[2];
  if (outside > 0.15f || deep > 0.15f) return fmaxf(outside, deep) * 0.8f;
  const float mesh = s->size[3], one = (p.x + p.y) / mesh, two = (p.x - p.y) / mesh;
  const float u = fabsf(one - floorf(one + 0.5f)) * mesh * 0.7071f,
              v = fabsf(two - floorf(two + 0.5f)) * mesh * 0.7071f;
  const float bulge = 0.4f * s->size[2] * cosf(6.2831853f * (one + two));
  float cords = fminf(flat_length(u, p.z - bulge), flat_length(v, p.z + bulge)) - s->size[2];
  const float knot = flat_length(flat_length(u, v), 0.7f * p.z) - 2.1f * s->size[2];
  cords = fminf(cords, knot);
  return fmaxf(cords, outside) * 0.85f;
}

BOTH vec own_frame(const part *s, vec p) {
  const vec q = minus(p, s->at);
  return v3(dot(s->row[0], q), dot(s->row[1], q), dot(s->row[2], q));
}

BOTH float to_part(const part *s, vec p) {
  const vec q = own_frame(s, p);
  float d = 1e9f;
  switch (s->shape) {
  case BALL:
    d = to_ball(q, s->size);
    break;
  case BLOCK:
    d = to_block(q, s->size);
    break;
  case DRUM:
    d = to_drum(q, s->size);
    break;
  case HOOP:
    d = to_hoop(q, s->size);
    break;
  case TURNED:
    d = to_turned(q, s);
    break;
  case OPENWORK:
    d = to_openwork(q, s);
    break;
  case CORD:
    d = to_cord(q, s);
    break;
  case SHEET:
    d = to_sheet(q, s);
    break;
  case MEDAL:
    d = to_medal(q, s->size);
    break;
  default:
    d = to_net(q, s);
    break;
  }
  if (s->bump > 0 && d < 4 * s->bump) {
    const float k = s->bump_scale;
    d = 0.8f * (d - s->bump * (2 * noise(k * q.x, k * q.y, k * q.z) - 1));
  }
  return d;
}

/* Distance to the parts from `first` on; *which receives the nearest. What is further than `far` may be told as less.
 */
BOTH float to_parts_within(const scene *all, vec p, int first, int end, float far, int *which) {
  float best = 1e9f;
  for (int i = first; i < end; i++) {
    const part *s = &all->part_of[i];
    const float apart = size_of(minus(p, s->ball)) - s->radius;
    const float margin = s->join == JOIN_SOFTLY ? s->blend : 0;
    if (s->join == CUT_AWAY) {
      if (-apart > best) {
        const float away = -to_part(s, p);
        if (away > best) best = away;
      }
      continue;
    }
    if (apart > best + margin) continue;
    if (apart > far && margin == 0) { /* far: the ball will do */
      if (apart < best) {
        best = apart;
        *which = i;
      }
      continue;
    }
    const float d = to_part(s, p);
    if (margin > 0) {
      const float h = held(0.5f + 0.5f * (best - d) / margin, 0, 1);
      if (d < best) *which = i;
      best = best > 1e8f ? d : mix(best, d, h) - margin * h * (1 - h);
    } else if (d < best) {
      best = d;
      *which = i;
    }
  }
  return best;
}

BOTH float to_parts(const scene *all, vec p, int first, int end, int *which) {
  return to_parts_within(all, p, first, end, 0.15f, which);
}

BOTH vec slope_of(const scene *all, vec p, int first, int end, float step) {
  int which = 0;
  vec sum = v3(0, 0, 0);
  for (int k = 0; k < 4; k++) { /* the corners of a tetrahedron */
    const vec corner =
        v3(k == 0 || k == 3 ? 1.0f : -1.0f, k == 2 || k == 3 ? 1.0f : -1.0f, k == 1 || k == 3 ? 1.0f : -1.0f);
    sum = along(sum, corner, to_parts(all, along(p, corner, step), first, end, &which));
  }
  return unit(sum);
}

#endif
