/* SPDX-License-Identifier: MIT */
/* The wall that a photo shows: the best of the quadrilaterals, how sure it is, and its sides placed exactly.
 * In: image. Out: four corners and a confidence. docs/method/look.md. */
#include "corners.h"

#include <math.h>
#include <string.h>

/* Found by backcloth-bench look learn 30 outlines, on the scenes for learning. */
static const double sure_weights[LOOK_SURE_SIGNS] = {-1.44, 0.81, -0.84, 0.01, 1.05, -1.15, -0.66, 0.07};
#define SURE 0.4       /* below this the guess is only shown */
#define GUESSED 0.05   /* and below this not even that */
#define PLACED_OFF 8.0 /* pixels that sides are moved at most when they are placed exactly */

/* Two guesses are one wall when no corner is off by more than a fiftieth of the longer diagonal. */
static bool same_wall(const look_outline_guess *a, const look_outline_guess *b) {
  const double size = hypot(a->corner[2].x - a->corner[0].x, a->corner[2].y - a->corner[0].y);
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    if (hypot(a->corner[i].x - b->corner[i].x, a->corner[i].y - b->corner[i].y) > 0.03 * size) return false;
  return true;
}

void look_outline_sure_signs(double sign[LOOK_SURE_SIGNS], const look_outline_guesses *guesses) {
  double other = guesses->list[0].value - 6;
  for (size_t i = guesses->count; i-- > 1;)
    if (!same_wall(&guesses->list[0], &guesses->list[i])) other = fmax(other, guesses->list[i].value);
  sign[0] = 1;
  sign[1] = guesses->list[0].value;
  sign[2] = fmin(6, guesses->list[0].value - other);
  static const int own[] = {1, 3, 4, 6, 10};
  for (int k = 0; k < LOOK_SURE_SIGNS - 3; k++) sign[3 + k] = guesses->list[0].sign[own[k]];
}

static double sure_of(const look_outline_guesses *guesses) {
  double sign[LOOK_SURE_SIGNS], sum = 0;
  look_outline_sure_signs(sign, guesses);
  for (int k = 0; k < LOOK_SURE_SIGNS; k++) sum += sure_weights[k] * sign[k];
  return 1 / (1 + exp(-sum));
}

bc_status bc_look_find_outline(bc_look_outline *out, bc_context *context, const bc_image *image, const char *name) {
  *out = (bc_look_outline){.found = true};
  look_outline_guesses guesses;
  const bc_status status = look_outline_guesses_find(&guesses, context, image);
  if (status != BC_OK) return status;
  out->bend = guesses.bend;
  if (guesses.count > 0) {
    memcpy(out->corner, guesses.list[0].corner, sizeof out->corner);
    out->confidence = sure_of(&guesses);
    look_place_sides(out->corner, image, PLACED_OFF);
    for (int i = 0; i < BC_LOOK_CORNERS; i++) {
      out->corner[i].x *= (double)image->full_width / image->width;
      out->corner[i].y *= (double)image->full_height / image->height;
    }
  }
  look_outline_guesses_clear(&guesses);
  if (out->confidence >= SURE) return BC_OK;
  const bc_look_point *const c = out->corner;
  if (out->confidence < GUESSED)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: no wall is seen in this photo. If it shows one, give its corners: --corners X,Y,X,Y,X,Y,X,Y, "
                     "in pixels of "
                     "the upright photo from its top left corner."),
                   name);
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: the wall's corners are not seen for certain (%.0f %% sure). If these are they, repeat the command "
        "with --corners %.0f,%.0f,%.0f,%.0f,%.0f,%.0f,%.0f,%.0f; otherwise put the right ones there, in pixels "
        "of the upright photo from its top left corner."),
      name, 100 * out->confidence, c[0].x, c[0].y, c[1].x, c[1].y, c[2].x, c[2].y, c[3].x, c[3].y);
}
