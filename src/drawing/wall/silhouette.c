/* SPDX-License-Identifier: MIT */
/* The people who give a wall its scale: our own silhouettes, seen from behind. */
#include "elevation.h"

#include <math.h>

typedef struct spot {
  double x, y; /* x from the middle, y up, in heights of the figure */
} spot;

/* The right side of a person in a long jacket, from the crown down to the floor and up the inner leg. */
static const spot right_side[] = {
    {0.000, 1.000}, {0.020, 0.997}, {0.036, 0.982}, {0.043, 0.956}, {0.041, 0.924}, {0.035, 0.898}, {0.033, 0.880},
    {0.037, 0.862}, {0.056, 0.849}, {0.092, 0.836}, {0.113, 0.815}, {0.122, 0.778}, {0.126, 0.715}, {0.130, 0.655},
    {0.131, 0.600}, {0.128, 0.545}, {0.124, 0.495}, {0.123, 0.455}, {0.117, 0.425}, {0.107, 0.432}, {0.104, 0.470},
    {0.104, 0.530}, {0.102, 0.600}, {0.096, 0.680}, {0.091, 0.715}, {0.086, 0.680}, {0.082, 0.625}, {0.086, 0.560},
    {0.094, 0.490}, {0.099, 0.420}, {0.102, 0.352}, {0.098, 0.340}, {0.070, 0.336}, {0.066, 0.290}, {0.064, 0.225},
    {0.056, 0.140}, {0.048, 0.070}, {0.048, 0.036}, {0.060, 0.012}, {0.062, 0.002}, {0.050, 0.000}, {0.022, 0.000},
    {0.017, 0.012}, {0.019, 0.060}, {0.020, 0.140}, {0.016, 0.240}, {0.008, 0.332},
};
#define SPOTS ((int)(sizeof right_side / sizeof right_side[0]))

/* The upper body of somebody whose hands rest on the wheels: head, shoulders, upper arms, lower arms, waist. */
static const spot seated_side[] = {
    {0.000, 1.000}, {0.028, 0.996}, {0.048, 0.977}, {0.057, 0.944}, {0.053, 0.902}, {0.046, 0.872}, {0.044, 0.850},
    {0.050, 0.828}, {0.080, 0.811}, {0.126, 0.795}, {0.152, 0.768}, {0.166, 0.716}, {0.178, 0.650}, {0.194, 0.585},
    {0.212, 0.520}, {0.218, 0.484}, {0.206, 0.466}, {0.190, 0.472}, {0.178, 0.510}, {0.160, 0.560}, {0.144, 0.600},
    {0.134, 0.570}, {0.132, 0.480}, {0.140, 0.395}, {0.120, 0.372}, {0.060, 0.368},
};
#define SEATED_SPOTS ((int)(sizeof seated_side / sizeof seated_side[0]))

static spot spot_at(const spot *side, int count, int i) {
  const int n = 2 * count - 1;
  i = ((i % n) + n) % n;
  return i < count ? side[i] : (spot){-side[2 * count - 1 - i].x, side[2 * count - 1 - i].y};
}

/* A closed Catmull-Rom curve through the spots of both sides, as cubic Béziers. */
static void outline(cairo_t *cairo, const spot *side, int count, double x, double y, double height) {
  cairo_new_path(cairo);
  const int n = 2 * count - 1;
  cairo_move_to(cairo, x + side[0].x * height, y - side[0].y * height);
  for (int i = 0; i < n; i++) {
    const spot p0 = spot_at(side, count, i - 1), p1 = spot_at(side, count, i), p2 = spot_at(side, count, i + 1),
               p3 = spot_at(side, count, i + 2);
    const spot c1 = {p1.x + (p2.x - p0.x) / 6, p1.y + (p2.y - p0.y) / 6};
    const spot c2 = {p2.x - (p3.x - p1.x) / 6, p2.y - (p3.y - p1.y) / 6};
    cairo_curve_to(cairo, x + c1.x * height, y - c1.y * height, x + c2.x * height, y - c2.y * height, x + p2.x * height,
                   y - p2.y * height);
  }
  cairo_close_path(cairo);
}

void drawing_figure(cairo_t *cairo, double x, double y, double height) {
  outline(cairo, right_side, SPOTS, x, y, height);
}

/* ---- the wheelchair, in heights of the sitting figure (131 cm): wheels of 60 cm, seat at 48 cm ---- */

/* A bar with round corners; in heights of the figure: left, bottom, right, top. */
static void bar(cairo_t *cairo, double x, double y, double height, const double box[4]) {
  const double left = x + box[0] * height, right = x + box[2] * height, top = y - box[3] * height,
               bottom = y - box[1] * height, radius = fmin(0.028 * height, fmin(right - left, bottom - top) / 2);
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, right - radius, top + radius, radius, -M_PI / 2, 0);
  cairo_arc(cairo, right - radius, bottom - radius, radius, 0, M_PI / 2);
  cairo_arc(cairo, left + radius, bottom - radius, radius, M_PI / 2, M_PI);
  cairo_arc(cairo, left + radius, top + radius, radius, M_PI, 3 * M_PI / 2);
  cairo_close_path(cairo);
}

static void finish(cairo_t *cairo, drawing_ink fill, drawing_ink edge) {
  drawing_use(cairo, fill);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, edge);
  cairo_stroke(cairo);
}

void drawing_figure_seated(cairo_t *cairo, double x, double y, double height, drawing_ink fill, drawing_ink edge) {
  static const double legs[][4] = {{-0.150, 0.02, -0.050, 0.36}, {0.050, 0.02, 0.150, 0.36}};
  static const double chair[][4] = {
      {-0.215, 0.225, 0.215, 0.245},  {-0.215, 0.335, 0.215, 0.372}, /* axle, seat */
      {-0.160, 0.360, 0.160, 0.672},                                 /* back */
      {-0.205, 0.655, -0.150, 0.690}, {0.150, 0.655, 0.205, 0.690},  /* handles */
      {-0.250, 0.000, -0.212, 0.458}, {0.212, 0.000, 0.250, 0.458},  /* wheels */
  };
  const drawing_ink dark = {(fill.red + edge.red) / 2, (fill.green + edge.green) / 2, (fill.blue + edge.blue) / 2, 1};
  cairo_new_path(cairo);
  for (int i = 0; i < 2; i++) {
    bar(cairo, x, y, height, legs[i]);
    finish(cairo, fill, edge);
  }
  outline(cairo, seated_side, SEATED_SPOTS, x, y, height);
  finish(cairo, fill, edge);
  for (int i = 0; i < 7; i++) {
    bar(cairo, x, y, height, chair[i]);
    finish(cairo, dark, edge);
  }
}
