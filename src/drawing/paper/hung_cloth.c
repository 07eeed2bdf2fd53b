/* SPDX-License-Identifier: MIT */
/* How a hung cloth looks: folds from its fullness, a trace of weave, a hem. All factors have mean 1
 * in linear light, so that the cloth on the picture has the colour that was judged.
 *
 * Folds: a cloth gathered to 1/fullness of its flat width hangs in waves z = A sin(2 pi u). The arc
 * length of such a wave over its length w is about w (1 + (pi A / w)^2), so A = (w / pi) sqrt(f - 1).
 * It is lit from the upper left by Lambert's law. */
#include "paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FOLD_CM 11.0 /* our choice: a usual hand's breadth between folds */
#define HEM_CM 3.0   /* our choice: a usual hem */
#define WEAVE_SHARE 0.012f

/* A small integer hash (Wang), so that the texture is the same on every machine. */
static uint32_t scatter(uint32_t value) {
  value = (value ^ 61u) ^ (value >> 16);
  value *= 9u;
  value ^= value >> 4;
  value *= 0x27d4eb2du;
  return value ^ (value >> 15);
}

static double random_of(uint32_t value) {
  return scatter(value) / 4294967296.0;
}

static void mean_to_one(float *values, size_t count) {
  double sum = 0;
  for (size_t i = 0; i < count; i++) sum += (double)values[i];
  const float factor = (float)((double)count / sum);
  for (size_t i = 0; i < count; i++) values[i] *= factor;
}

/* Brightness across the cloth for waves of uneven breadth and depth. */
static void folds(float *out, double *along, int count, double pixels_per_cm, double fullness, uint32_t seed) {
  double walked = 0;
  const double slope_most = 2 * sqrt(fmax(0, fullness - 1)); /* 2 pi A / w */
  double start = -random_of(seed) * FOLD_CM * pixels_per_cm;
  uint32_t wave = seed * 977u;
  double breadth = FOLD_CM * pixels_per_cm * (0.6 + 0.8 * random_of(wave));
  double depth = slope_most * (0.55 + 0.6 * random_of(wave + 1));
  for (int x = 0; x < count; x++) {
    while (x >= start + breadth) {
      start += breadth;
      wave += 2;
      breadth = FOLD_CM * pixels_per_cm * (0.6 + 0.8 * random_of(wave));
      depth = slope_most * (0.55 + 0.6 * random_of(wave + 1));
    }
    const double slope = depth * cos(2 * M_PI * (x - start) / breadth);
    /* Light from 40 degrees to the left, and as much again from all round. */
    const double direct = (cos(0.7) - slope * -sin(0.7) * 0.8) / sqrt(1 + slope * slope);
    out[x] = (float)(0.62 + 0.5 * fmax(0, direct));
    if (along) along[x] = walked;
    walked += sqrt(1 + slope * slope);
  }
  if (count > 0) mean_to_one(out, (size_t)count);
  /* Between the folds of a gathered cloth its pattern is foreshortened: as much flat cloth as the plan says. */
  for (int x = 0; along && x < count; x++) along[x] *= fullness * count / walked;
}

/* Threads are finer than a pixel; what is left of them at this scale are faint streaks both ways. */
static void weave(float *out) {
  for (uint32_t y = 0; y < DRAWING_WEAVE; y++)
    for (uint32_t x = 0; x < DRAWING_WEAVE; x++) {
      const double weft = random_of(y * 7919u + (x >> 4) * 31u + 5u),
                   warp = random_of(x * 104729u + (y >> 4) * 37u + 11u);
      const double grain = random_of(y * DRAWING_WEAVE + x + 0x5000000u);
      out[y * DRAWING_WEAVE + x] = 1.0f + WEAVE_SHARE * (float)(weft + warp + 1.4 * grain - 1.7);
    }
  mean_to_one(out, (size_t)DRAWING_WEAVE * DRAWING_WEAVE);
}

/* A stitched line above the lower edge, with the doubled cloth below it a shade darker. */
static void hem(float *out, int count, double pixels_per_cm) {
  const int doubled = (int)lrint(HEM_CM * pixels_per_cm);
  for (int y = 0; y < count; y++) {
    const int up = count - 1 - y;
    out[y] = up < doubled ? 0.97f : 1.0f;
    if (up == doubled) out[y] = 0.86f;
    if (up == doubled + 1) out[y] = 1.03f;
  }
}

bc_status drawing_cloth_field_make(drawing_cloth_field *out, bc_context *context, bc_colour colour,
                                   const drawing_cloth_look *look) {
  const int left = (int)lrint(look->place.left), top = (int)lrint(look->place.top);
  const int right = (int)lrint(look->place.left + look->place.width);
  const int bottom = (int)lrint(look->place.top + look->place.height);
  *out = (drawing_cloth_field){.left = left,
                               .top = top,
                               .width = right > left ? right - left : 0,
                               .height = bottom > top ? bottom - top : 0,
                               .colour = drawing_linear_of(colour)};
  out->fold_top = bc_allocate((size_t)out->width, sizeof(float));
  out->fold_bottom = bc_allocate((size_t)out->width, sizeof(float));
  out->along = bc_allocate((size_t)out->width, sizeof *out->along);
  out->weave = bc_allocate((size_t)DRAWING_WEAVE * DRAWING_WEAVE, sizeof(float));
  out->hem = bc_allocate((size_t)out->height, sizeof(float));
  if (!out->along || !out->fold_top || !out->fold_bottom || !out->weave || !out->hem) {
    drawing_cloth_field_clear(out);
    return bc_fail_memory(context);
  }
  folds(out->fold_top, out->along, out->width, look->pixels_per_cm, look->fullness, 17);
  folds(out->fold_bottom, NULL, out->width, look->pixels_per_cm * 1.25, 1 + 0.8 * (look->fullness - 1), 29);
  for (size_t i = 0; i < (size_t)DRAWING_WEAVE * DRAWING_WEAVE; i++) out->weave[i] = 1.0f;
  if (look->weave) weave(out->weave);
  for (int y = 0; y < out->height; y++) out->hem[y] = 1.0f;
  if (look->hem) hem(out->hem, out->height, look->pixels_per_cm);
  return BC_OK;
}

void drawing_cloth_field_clear(drawing_cloth_field *field) {
  free(field->fold_top);
  free(field->fold_bottom);
  free(field->weave);
  free(field->hem);
  free(field->pattern);
  free(field->along);
  *field = (drawing_cloth_field){0};
}
