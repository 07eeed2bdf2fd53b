/* SPDX-License-Identifier: MIT */
/* A made photo of a glass pane whose own light and transmission are known. To be included after cmocka. */
#ifndef BC_TESTS_PANE_H
#define BC_TESTS_PANE_H

#include <backcloth/reading.h>
#include <stdlib.h>
#include <string.h>

enum { PANE_SIDE = 120, PANE_FROM = 30, PANE_TO = 90 };

static inline bc_study *made_pane(bc_context *context, const double own[3], const double behind[3], double through) {
  bc_study *study = calloc(1, sizeof *study);
  bc_image *image = calloc(1, sizeof *image);
  bc_cutout *cutout = calloc(1, sizeof *cutout);
  const size_t pixels = (size_t)PANE_SIDE * PANE_SIDE;
  image->width = image->height = image->full_width = image->full_height = PANE_SIDE;
  image->L = malloc(4 * pixels * sizeof(float)); /* one block, as the library makes it */
  image->a = image->L + pixels;
  image->b = image->L + 2 * pixels;
  image->Y = image->L + 3 * pixels;
  image->profile = strdup("made");
  cutout->width = cutout->height = PANE_SIDE;
  cutout->alpha = calloc(pixels, 1);
  cutout->box = (bc_box){PANE_FROM, PANE_FROM, PANE_TO - PANE_FROM, PANE_TO - PANE_FROM};
  cutout->confidence = 1;
  for (int y = 0; y < PANE_SIDE; y++)
    for (int x = 0; x < PANE_SIDE; x++) {
      const size_t i = (size_t)y * PANE_SIDE + (size_t)x;
      const bool pane = x >= PANE_FROM && x < PANE_TO && y >= PANE_FROM && y < PANE_TO;
      double rgb[3];
      for (int c = 0; c < 3; c++) rgb[c] = pane ? (1 - through) * own[c] + through * behind[c] : behind[c];
      const bc_colour colour = bc_colour_from_linear_srgb(rgb);
      image->L[i] = (float)colour.lab.L;
      image->a[i] = (float)colour.lab.a;
      image->b[i] = (float)colour.lab.b;
      image->Y[i] = (float)colour.luminance;
      cutout->alpha[i] = pane ? 255 : 0;
    }
  *study = (bc_study){.image = image, .cutout = cutout};
  assert_int_equal(bc_reading_of(&study->reading, context, image, cutout, "pane.jpg"), BC_OK);
  return study;
}

#endif
