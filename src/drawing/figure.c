/* SPDX-License-Identifier: MIT */
/* The standing figure that gives a wall its scale: our own silhouette, seen from behind. */
#include "elevation_internal.h"

#include <math.h>

typedef struct spot {
  double x, y; /* x from the middle, y up, in heights of the figure */
} spot;

/* The right side of a person in a long jacket, from the crown down to the floor and up the inner leg. */
static const spot right_side[] = {
    {0.000, 1.000}, {0.020, 0.997}, {0.036, 0.982}, {0.043, 0.956}, {0.040, 0.922}, {0.030, 0.896}, {0.026, 0.878},
    {0.030, 0.862}, {0.056, 0.849}, {0.092, 0.836}, {0.113, 0.815}, {0.122, 0.778}, {0.126, 0.715}, {0.130, 0.655},
    {0.131, 0.600}, {0.128, 0.545}, {0.124, 0.495}, {0.123, 0.455}, {0.117, 0.425}, {0.107, 0.432}, {0.104, 0.470},
    {0.104, 0.530}, {0.102, 0.600}, {0.096, 0.680}, {0.091, 0.715}, {0.086, 0.680}, {0.082, 0.625}, {0.086, 0.560},
    {0.094, 0.490}, {0.099, 0.420}, {0.102, 0.352}, {0.098, 0.340}, {0.070, 0.336}, {0.066, 0.290}, {0.064, 0.225},
    {0.056, 0.140}, {0.048, 0.070}, {0.048, 0.036}, {0.060, 0.012}, {0.062, 0.002}, {0.050, 0.000}, {0.022, 0.000},
    {0.017, 0.012}, {0.019, 0.060}, {0.020, 0.140}, {0.016, 0.240}, {0.008, 0.332},
};
#define SPOTS ((int)(sizeof right_side / sizeof right_side[0]))

static spot spot_at(int i) {
  const int n = 2 * SPOTS - 1;
  i = ((i % n) + n) % n;
  return i < SPOTS ? right_side[i] : (spot){-right_side[2 * SPOTS - 1 - i].x, right_side[2 * SPOTS - 1 - i].y};
}

/* A closed Catmull-Rom curve through the spots, as cubic Béziers. */
void drawing_figure(cairo_t *cairo, double x, double y, double height) {
  cairo_new_path(cairo);
  const int n = 2 * SPOTS - 1;
  cairo_move_to(cairo, x + spot_at(0).x * height, y - spot_at(0).y * height);
  for (int i = 0; i < n; i++) {
    const spot p0 = spot_at(i - 1), p1 = spot_at(i), p2 = spot_at(i + 1), p3 = spot_at(i + 2);
    const spot c1 = {p1.x + (p2.x - p0.x) / 6, p1.y + (p2.y - p0.y) / 6};
    const spot c2 = {p2.x - (p3.x - p1.x) / 6, p2.y - (p3.y - p1.y) / 6};
    cairo_curve_to(cairo, x + c1.x * height, y - c1.y * height, x + c2.x * height, y - c2.y * height, x + p2.x * height,
                   y - p2.y * height);
  }
  cairo_close_path(cairo);
}
