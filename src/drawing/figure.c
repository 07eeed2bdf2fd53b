/* SPDX-License-Identifier: MIT */
/* The standing figure that gives a wall its scale: our own silhouette, seen from behind. */
#include "elevation_internal.h"

#include <math.h>

typedef struct spot {
  double x, y; /* x from the middle, y up, in heights of the figure */
} spot;

/* The right side of a person in a long jacket, from the crown down to the floor and up the inner leg. */
static const spot right_side[] = {
    {0.000, 1.000}, {0.022, 0.996}, {0.039, 0.978}, {0.045, 0.950}, {0.042, 0.918}, {0.031, 0.892}, {0.026, 0.872},
    {0.034, 0.856}, {0.066, 0.842}, {0.101, 0.828}, {0.121, 0.803}, {0.129, 0.760}, {0.136, 0.690}, {0.142, 0.620},
    {0.143, 0.555}, {0.139, 0.495}, {0.137, 0.455}, {0.130, 0.425}, {0.119, 0.428}, {0.114, 0.462}, {0.114, 0.520},
    {0.110, 0.590}, {0.101, 0.668}, {0.094, 0.700}, {0.089, 0.668}, {0.086, 0.610}, {0.092, 0.540}, {0.101, 0.470},
    {0.105, 0.415}, {0.104, 0.388}, {0.092, 0.380}, {0.088, 0.330}, {0.080, 0.255}, {0.074, 0.180}, {0.064, 0.100},
    {0.060, 0.050}, {0.068, 0.022}, {0.074, 0.006}, {0.064, 0.000}, {0.034, 0.000}, {0.028, 0.010}, {0.029, 0.050},
    {0.026, 0.140}, {0.019, 0.250}, {0.007, 0.372},
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
