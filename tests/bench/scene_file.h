/* SPDX-License-Identifier: MIT */
/* A made photo with its true alpha: in memory, and as NAME.jpg with NAME.mask.png. And chance that is the same
 * everywhere. */
#ifndef BC_TESTS_BENCH_SCENE_FILE_H
#define BC_TESTS_BENCH_SCENE_FILE_H

#include <backcloth/cutout.h>
#include <stdint.h>

extern uint32_t bench_chance_state;
double bench_chance(void); /* 0 <= value < 1, the same on every machine */
double bench_between(double least, double most);

enum { bench_scene_widest = 1024 };
typedef struct bench_scene {
  int width, height;
  double *rgb;            /* linear light */
  double *alpha, *shadow; /* 0..1 */
} bench_scene;
/* 0 without memory. */
int bench_scene_new(bench_scene *out, int width, int height);
void bench_scene_clear(bench_scene *all);
/* sRGB with a little grain, quality 88. 0 when it is written. */
int bench_scene_write_jpeg(const bench_scene *all, const char *path);
bc_status bench_scene_write_mask(const bench_scene *all, bc_context *context, const char *path);

#endif
