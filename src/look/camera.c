/* SPDX-License-Identifier: MIT */
/* From the wall's four corners to the camera: focal length, where it stood, how it was held, and the wall's height.
 * Source: Zhang and He, "Whiteboard scanning and image enhancement", Digital Signal Processing 17(2), 2007. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define FULL_FRAME_DIAGONAL 43.2666 /* mm: 36 x 24, as CIPA DC-008 compares by */
#define USUAL_35_MM 26.0            /* a phone's main camera; common practice, no source */
/* A camera is between a wide fish-eye's and a long lens's: outside, the corners tell nothing of it. */
#define SHORTEST_35_MM 12.0
#define LONGEST_35_MM 200.0
/* Least tilt of both axes, as the share by which an edge's far end is smaller, that makes the focal length tell. */
#define LEAST_CONVERGENCE 0.06

/* The unit square, x right and y down, to pixels from the photo's middle; columns h1, h2, h3. */
static bool project_square(double h[3][3], const bc_look_point corner[BC_LOOK_CORNERS], int width, int height) {
  static const bc_look_point square[BC_LOOK_CORNERS] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
  bc_look_point seen[BC_LOOK_CORNERS];
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    seen[i] = (bc_look_point){corner[i].x - width / 2.0, corner[i].y - height / 2.0};
  bc_homography fit;
  if (!bc_homography_fit(&fit, square, seen, BC_LOOK_CORNERS)) return false;
  for (int column = 0; column < 3; column++)
    for (int row = 0; row < 3; row++) h[column][row] = fit.m[3 * row + column] / fit.m[8];
  for (int i = 0; i < BC_LOOK_CORNERS; i++) /* all corners before the camera */
    if (fit.m[6] * square[i].x + fit.m[7] * square[i].y + fit.m[8] <= 0) return false;
  return true;
}

/* From h1 and h2 being at right angles: Zhang and He, equation 19 with square pixels. 0: they do not tell. */
static double focal_of_angle(const double h[3][3]) {
  if (fabs(h[0][2]) < LEAST_CONVERGENCE || fabs(h[1][2]) < LEAST_CONVERGENCE) return 0;
  const double square = -(h[0][0] * h[1][0] + h[0][1] * h[1][1]) / (h[0][2] * h[1][2]);
  return square > 0 ? sqrt(square) : 0;
}

/* From the known proportions: the lengths of h1 and h2 stand to each other as width to height. */
static double focal_of_proportions(const double h[3][3], double aspect) {
  const double across = h[0][0] * h[0][0] + h[0][1] * h[0][1], down = h[1][0] * h[1][0] + h[1][1] * h[1][1];
  const double lean = h[0][2] * h[0][2] - aspect * aspect * h[1][2] * h[1][2];
  if (fabs(lean) < LEAST_CONVERGENCE * LEAST_CONVERGENCE) return 0;
  const double square = (aspect * aspect * down - across) / lean;
  return square > 0 ? sqrt(square) : 0;
}

static void choose_focal(bc_look_camera *camera, const double h[3][3], double focal_35_mm, double aspect,
                         double diagonal) {
  const double a_mm = diagonal / FULL_FRAME_DIAGONAL;
  camera->focal_source = BC_FOCAL_PHOTO;
  camera->focal_px = focal_35_mm * a_mm;
  if (camera->focal_px > 0) return;
  const double by_angle = focal_of_angle(h), by_proportions = aspect > 0 ? focal_of_proportions(h, aspect) : 0;
  camera->focal_source = BC_FOCAL_WALL;
  camera->focal_px = by_angle > 0 ? by_angle : by_proportions;
  if (camera->focal_px >= SHORTEST_35_MM * a_mm && camera->focal_px <= LONGEST_35_MM * a_mm) return;
  camera->focal_source = BC_FOCAL_ASSUMED;
  camera->focal_px = USUAL_35_MM * a_mm;
}

static double length3(const double v[3]) {
  return sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
}

/* Wall axes x right, y down, z into the wall; camera axes x right, y down, z forward. */
static void set_pose(bc_look_camera *camera, const double b1[3], const double b2[3], const double b3[3], double width,
                     double height) {
  double r1[3], r2[3], r3[3], t[3];
  const double scale = width / length3(b1), down = height / length3(b2);
  for (int i = 0; i < 3; i++) {
    r1[i] = b1[i] * scale / width;
    r2[i] = b2[i] * down / height;
    t[i] = b3[i] * scale;
  }
  look_cross(r3, r1, r2);
  const double size = length3(r3);
  for (int i = 0; i < 3; i++) r3[i] /= size;
  look_cross(r2, r3, r1); /* at right angles for certain */
  const double degrees = 180 / M_PI;
  camera->yaw = atan2(r1[2], r3[2]) * degrees;
  camera->pitch = asin(fmax(-1, fmin(1, -r2[2]))) * degrees;
  camera->roll = atan2(-r2[0], r2[1]) * degrees;
  camera->x_cm = -(r1[0] * t[0] + r1[1] * t[1] + r1[2] * t[2]);
  camera->y_cm = height + (r2[0] * t[0] + r2[1] * t[1] + r2[2] * t[2]);
  camera->distance_cm = r3[0] * t[0] + r3[1] * t[1] + r3[2] * t[2];
}

bc_status bc_look_solve_camera(bc_look_camera *out, double *height_cm, bc_context *context, const bc_look_view *view) {
  const double width_cm = view->width_cm;
  *out = (bc_look_camera){0};
  double h[3][3], b[3][3];
  if (!project_square(h, view->corner, view->full_width, view->full_height))
    return bc_fail(
        context, BC_BAD_DATA,
        _("The four corners are not a view of a rectangle. Give the wall's corners, one in each direction."));
  const double diagonal = hypot(view->full_width, view->full_height);
  choose_focal(out, (const double(*)[3])h, view->focal_35_mm, *height_cm > 0 ? width_cm / *height_cm : 0, diagonal);
  out->focal_35_mm = out->focal_px / diagonal * FULL_FRAME_DIAGONAL;
  for (int i = 0; i < 3; i++) {
    b[i][0] = h[i][0] / out->focal_px;
    b[i][1] = h[i][1] / out->focal_px;
    b[i][2] = h[i][2];
  }
  if (!(*height_cm > 0)) *height_cm = width_cm * length3(b[1]) / length3(b[0]);
  set_pose(out, b[0], b[1], b[2], width_cm, *height_cm);
  if (isfinite(out->distance_cm) && isfinite(*height_cm) && out->distance_cm > 0) return BC_OK;
  return bc_fail(context, BC_BAD_DATA,
                 _("The four corners are not a view of a rectangle. Give the wall's corners, one in each direction."));
}
