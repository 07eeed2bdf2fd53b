/* SPDX-License-Identifier: MIT */
/* Velvet and other pile: darker and deeper than the chip of its colour, since light that enters between the hairs meets
 * several of them before it leaves. In: the chip's colour. Out: the pile's. Source: Sumpner 1892, "The diffusion of
 * light", Philosophical Magazine 35, for a hollow whose opening is a share f of its walls: r f / (1 - r (1 - f)). */
#include "match_internal.h"

#include <math.h>

/* The opening is a third of the hairs' own surface (our choice; no measurement of cloth at hand). */
#define OPENING (1.0 / 3)

static double of_pile(double reflectance) {
  const double r = fmin(1, fmax(0, reflectance));
  return r * OPENING / (1 - r * (1 - OPENING));
}

static bc_colour pile_colour(bc_colour chip) {
  double rgb[3];
  bc_lab_to_linear_srgb(chip.lab, rgb);
  for (int c = 0; c < 3; c++) rgb[c] = of_pile(rgb[c]);
  return bc_colour_from_linear_srgb(rgb);
}

void bc_cloth_make_pile(bc_cloth *cloth) {
  if (cloth->pile) return;
  cloth->pile = true;
  if (!cloth->part_count) cloth->colour = pile_colour(cloth->colour);
}
