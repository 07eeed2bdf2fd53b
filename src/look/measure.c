/* SPDX-License-Identifier: MIT */
/* A piece's size, place and tilt on the wall, from its cut-out. In: alpha, rim. Out: cm, degrees. */
#include "pieces_internal.h"

#include <math.h>

static int greatest(const bc_cutout *cut, int i, bool column) {
  const int m = column ? cut->height : cut->width;
  int most = 0;
  for (int k = 0; k < m; k++) {
    const size_t at = column ? (size_t)k * (size_t)cut->width + (size_t)i : (size_t)i * (size_t)cut->width + (size_t)k;
    most = cut->alpha[at] > most ? cut->alpha[at] : most;
  }
  return most;
}

/* First and last place where the greatest alpha of columns (or rows) crosses one half, between pixels' middles. */
static void extent(double *low, double *high, const bc_cutout *cut, bool columns) {
  const int n = columns ? cut->width : cut->height;
  int before = 0;
  *low = n;
  *high = 0;
  for (int i = 0; i <= n; i++) {
    const int here = i < n ? greatest(cut, i, columns) : 0;
    const double crossing = i - 0.5 + (127.5 - before) / (here - before + (here == before));
    if (before < 128 && here >= 128) *low = fmin(*low, crossing);
    if (before >= 128 && here < 128) *high = crossing;
    before = here;
  }
}

/* The angle, within 45 degrees, of the smallest rectangle round the outline, and its area in square pixels. */
static double smallest_rectangle(double *angle, const bc_study *study) {
  const bc_reading *const reading = study->reading;
  double best = HUGE_VAL;
  for (int step = -450; step < 450; step += 2) {
    const double radians = step * M_PI / 1800, c = cos(radians), s = sin(radians);
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < reading->rim_count; i++) {
      const double x = (double)reading->rim[i].x * study->image->width,
                   y = (double)reading->rim[i].y * study->image->height;
      const double along = c * x + s * y, down = c * y - s * x;
      low[0] = fmin(low[0], along);
      high[0] = fmax(high[0], along);
      low[1] = fmin(low[1], down);
      high[1] = fmax(high[1], down);
    }
    const double area = (high[0] - low[0]) * (high[1] - low[1]);
    if (area >= best) continue;
    best = area;
    *angle = step / 10.0;
  }
  return best;
}

void look_piece_measure(bc_look_piece *piece, const bc_look *look) {
  const bc_cutout *const cut = piece->study->cutout;
  double left, right, top, bottom, area = 0, angle = 0;
  extent(&left, &right, cut, true);
  extent(&top, &bottom, cut, false);
  for (size_t i = 0; i < (size_t)cut->width * (size_t)cut->height; i++) area += cut->alpha[i] / 255.0;
  const double s = look->pixels_per_cm;
  piece->width_cm = (right - left) / s;
  piece->height_cm = (bottom - top) / s;
  piece->x_cm = (piece->left + (left + right) / 2) / s;
  piece->y_cm = look->height_cm - (piece->top + (top + bottom) / 2) / s;
  piece->area_cm2 = area / (s * s);
  const double round = smallest_rectangle(&angle, piece->study);
  /* An ellipse fills 0.785 of its rectangle; only straight sides tell how a piece hangs. */
  piece->has_tilt = area / round > 0.9 && fabs(angle) <= 20 && fmin(right - left, bottom - top) >= 40;
  piece->tilt = piece->has_tilt ? angle : 0;
}
