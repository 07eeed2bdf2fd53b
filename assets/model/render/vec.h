/* SPDX-License-Identifier: MIT */
/* Three numbers, and chance. All of the renderer is one translation unit in the common part of C17 and CUDA C++, so
 * that the same lines are built by gcc for processors and by nvcc for a GPU. */
#ifndef RENDER_VEC_H
#define RENDER_VEC_H

#include <math.h>
#include <stdint.h>

#ifdef __CUDACC__
#define BOTH __host__ __device__ static inline
#else
#define BOTH static inline
#endif

typedef struct vec {
  float x, y, z;
} vec;

BOTH vec v3(float x, float y, float z) {
  vec v;
  v.x = x;
  v.y = y;
  v.z = z;
  return v;
}
BOTH vec plus(vec a, vec b) {
  return v3(a.x + b.x, a.y + b.y, a.z + b.z);
}
BOTH vec minus(vec a, vec b) {
  return v3(a.x - b.x, a.y - b.y, a.z - b.z);
}
BOTH vec times(vec a, float s) {
  return v3(a.x * s, a.y * s, a.z * s);
}
BOTH vec product(vec a, vec b) {
  return v3(a.x * b.x, a.y * b.y, a.z * b.z);
}
BOTH vec along(vec a, vec d, float t) {
  return v3(a.x + d.x * t, a.y + d.y * t, a.z + d.z * t);
}
BOTH float dot(vec a, vec b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
BOTH vec cross(vec a, vec b) {
  return v3(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x);
}
BOTH float size_of(vec a) {
  return sqrtf(dot(a, a));
}
BOTH vec unit(vec a) {
  return times(a, 1.0f / fmaxf(size_of(a), 1e-9f));
}
BOTH float held(float value, float least, float most) {
  return fminf(fmaxf(value, least), most);
}
BOTH float mix(float a, float b, float t) {
  return a + (b - a) * t;
}
BOTH vec mix3(vec a, vec b, float t) {
  return along(a, minus(b, a), t);
}
BOTH float rise(float from, float to, float x) {
  const float t = held((x - from) / (to - from), 0, 1);
  return t * t * (3 - 2 * t);
}

/* ---- noise that is the same for the same place ---- */
BOTH uint32_t scramble(uint32_t x) {
  x ^= x >> 16;
  x *= 0x7feb352du;
  x ^= x >> 15;
  x *= 0x846ca68bu;
  return x ^ (x >> 16);
}
BOTH float hash3(int x, int y, int z) {
  const uint32_t h = scramble((uint32_t)x * 0x9e3779b1u ^ scramble((uint32_t)y * 0x85ebca77u ^ scramble((uint32_t)z)));
  return (float)(h >> 8) / 16777216.0f;
}
BOTH float noise(float x, float y, float z) {
  const float fx = floorf(x), fy = floorf(y), fz = floorf(z);
  const int ix = (int)fx, iy = (int)fy, iz = (int)fz;
  const float u = rise(0, 1, x - fx), v = rise(0, 1, y - fy), w = rise(0, 1, z - fz);
  float level[2];
  for (int k = 0; k < 2; k++) {
    const float low = mix(hash3(ix, iy, iz + k), hash3(ix + 1, iy, iz + k), u);
    const float high = mix(hash3(ix, iy + 1, iz + k), hash3(ix + 1, iy + 1, iz + k), u);
    level[k] = mix(low, high, v);
  }
  return mix(level[0], level[1], w);
}
BOTH float clouds(float x, float y, float z, int octaves) {
  float sum = 0, share = 0.5f;
  for (int k = 0; k < octaves; k++) {
    sum += share * noise(x, y, z);
    x = 2.03f * x + 17.1f;
    y = 2.03f * y + 3.7f;
    z = 2.03f * z + 9.2f;
    share *= 0.5f;
  }
  return sum;
}

/* ---- chance, on the processor only ---- */
typedef struct chance {
  uint64_t state;
} chance;
static inline uint32_t chance_next(chance *c) { /* splitmix64 */
  uint64_t z = (c->state += 0x9e3779b97f4a7c15ull);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ull;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebull;
  return (uint32_t)((z ^ (z >> 31)) >> 32);
}
static inline float chance_unit(chance *c) {
  return (float)(chance_next(c) >> 8) / 16777216.0f;
}
static inline float between(chance *c, float least, float most) {
  return least + (most - least) * chance_unit(c);
}
static inline int below(chance *c, int n) {
  return (int)(chance_next(c) % (uint32_t)n);
}
static inline int likely(chance *c, float share) {
  return chance_unit(c) < share;
}

#endif
