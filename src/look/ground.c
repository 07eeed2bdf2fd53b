/* SPDX-License-Identifier: MIT */
/* What the bare wall looks like everywhere: a smooth surface of lightness and colour, fitted to the commonest colour
 * with robust weights; and which cells differ from it. Source: Tukey's biweight, Holland and Welsch, Communications in
 * Statistics A6(9), 1977; docs/method/look.md. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define LOOK_SPECK 3 /* cells: half the breadth of what is left of a pattern between its colours */
#define CELLS 420    /* on the longer side */
#define TERMS 10     /* of a cubic in x and y */
#define ROUNDS 14
#define TUKEY 4.685 /* 95 % efficient for normal noise */
/* Differences that are told from the wall, beyond 4 noises: our choice, a little above what a phone's noise
 * reduction leaves behind. */
#define LEAST_AB 3.5
#define SHADOW_DEPTH 34.0 /* darker than this by lightness alone is no soft shadow on a wall */
#define SHADOW_TINT 0.25  /* a shadow takes the tint of the other lights: so much a*b* for each L* */
#define DETAIL 5.0        /* steps of lightness within a cell's neighbourhood that a shadow's soft edge doesn't make */

static bool reduce(look_ground *g, const bc_image *wall) {
  const int longer = wall->width > wall->height ? wall->width : wall->height;
  g->cell = fmax(1, (double)longer / CELLS);
  g->width = (int)fmax(1, floor(wall->width / g->cell));
  g->height = (int)fmax(1, floor(wall->height / g->cell));
  const float *const from[3] = {wall->L, wall->a, wall->b};
  const size_t count = (size_t)g->width * (size_t)g->height;
  for (int k = 0; k < 3; k++) {
    g->lab[k] = bc_allocate(count, sizeof(float));
    g->model[k] = bc_allocate(count, sizeof(float));
    if (!g->lab[k] || !g->model[k]) return false;
  }
  g->class = bc_allocate(count, 1);
  if (!g->class) return false;
  for (int y = 0; y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      const int x0 = (int)((long)x * wall->width / g->width), x1 = (int)((long)(x + 1) * wall->width / g->width);
      const int y0 = (int)((long)y * wall->height / g->height), y1 = (int)((long)(y + 1) * wall->height / g->height);
      double sum[3] = {0};
      for (int row = y0; row < y1; row++)
        for (int column = x0; column < x1; column++)
          for (int k = 0; k < 3; k++) sum[k] += (double)from[k][(size_t)row * (size_t)wall->width + (size_t)column];
      for (int k = 0; k < 3; k++)
        g->lab[k][(size_t)y * (size_t)g->width + (size_t)x] = (float)(sum[k] / ((x1 - x0) * (y1 - y0)));
    }
  return true;
}

/* ---- the commonest colour ---- */

enum { BINS_L = 34, BINS_AB = 41 };

static size_t bin(double value, double low, double step, int bins) {
  const int b = (int)floor((value - low) / step);
  return (size_t)(b < 0 ? 0 : b >= bins ? bins - 1 : b);
}

static size_t bin_of(const look_ground *g, size_t i) {
  const size_t l = bin((double)g->lab[0][i], 0, 3, BINS_L), a = bin((double)g->lab[1][i], -82, 4, BINS_AB),
               b = bin((double)g->lab[2][i], -82, 4, BINS_AB);
  return (l * BINS_AB + a) * BINS_AB + b;
}

static double crowd(const uint32_t *count, int l, int a, int b) {
  double sum = 0;
  for (int i = l - 2; i <= l + 2; i++)
    for (int j = a - 1; j <= a + 1; j++)
      for (int k = b - 1; k <= b + 1; k++)
        if (i >= 0 && j >= 0 && k >= 0 && i < BINS_L && j < BINS_AB && k < BINS_AB)
          sum += count[(i * BINS_AB + j) * BINS_AB + k] / (1.0 + abs(i - l));
  return sum;
}

/* Cells near the upper border count double: there hangs least. */
static bool commonest(double colour[3], const look_ground *g) {
  uint32_t *count = bc_allocate((size_t)BINS_L * BINS_AB * BINS_AB, sizeof *count);
  if (!count) return false;
  for (size_t i = 0; i < (size_t)g->width * (size_t)g->height; i++)
    count[bin_of(g, i)] += i < (size_t)g->width * (size_t)(g->height / 8) ? 2 : 1;
  double best = -1;
  for (int l = 0; l < BINS_L; l++)
    for (int a = 0; a < BINS_AB; a++)
      for (int b = 0; b < BINS_AB; b++) {
        if (!count[(l * BINS_AB + a) * BINS_AB + b]) continue;
        const double here = crowd(count, l, a, b);
        if (here <= best) continue;
        best = here;
        colour[0] = 3 * l + 1.5;
        colour[1] = -80 + 4 * a;
        colour[2] = -80 + 4 * b;
      }
  free(count);
  return true;
}

/* ---- the smooth surface ---- */

static int terms_of(int degree) {
  return (degree + 1) * (degree + 2) / 2;
}

static void basis(double t[TERMS], double x, double y) {
  const double all[TERMS] = {1, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y};
  for (int i = 0; i < TERMS; i++) t[i] = all[i];
}

static void basis_at(double t[TERMS], const look_ground *g, int x, int y) {
  basis(t, (2.0 * x + 1) / g->width - 1, (2.0 * y + 1) / g->height - 1);
}

static double weight_at(const look_ground *g, size_t i, const double scale[3]) {
  double square = 0;
  for (int k = 0; k < 3; k++) {
    const double off = ((double)g->lab[k][i] - (double)g->model[k][i]) / (TUKEY * scale[k]);
    square += off * off;
  }
  return square < 1 ? (1 - square) * (1 - square) : 0;
}

/* One weighted fit of the three planes; LOOK_MOST bounds the equations, so a cubic leaves out y cubed. */
static bool fit_once(look_ground *g, int degree, const double scale[3]) {
  const int terms = terms_of(degree) < LOOK_MOST ? terms_of(degree) : LOOK_MOST;
  double a[LOOK_MOST * LOOK_MOST] = {0}, b[3][LOOK_MOST] = {{0}};
  for (int y = 0; y < g->height; y += 2)
    for (int x = 0; x < g->width; x += 2) {
      const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
      const double w = weight_at(g, i, scale);
      if (!(w > 0)) continue;
      double t[TERMS];
      basis_at(t, g, x, y);
      for (int r = 0; r < terms; r++) {
        for (int c = 0; c < terms; c++) a[r * terms + c] += w * t[r] * t[c];
        for (int k = 0; k < 3; k++) b[k][r] += w * t[r] * (double)g->lab[k][i];
      }
    }
  for (int r = 0; r < terms; r++)
    a[r * terms + r] += 1e-3 * (a[0] + 1) * (r > 2); /* no wild bends where nothing is seen */
  for (int k = 0; k < 3; k++) {
    double copy[LOOK_MOST * LOOK_MOST];
    for (int i = 0; i < terms * terms; i++) copy[i] = a[i];
    if (!look_solve(copy, b[k], terms)) return false;
  }
  for (int y = 0; y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      double t[TERMS];
      basis_at(t, g, x, y);
      for (int k = 0; k < 3; k++) {
        double sum = 0;
        for (int r = 0; r < terms; r++) sum += b[k][r] * t[r];
        g->model[k][(size_t)y * (size_t)g->width + (size_t)x] = (float)sum;
      }
    }
  return true;
}

/* Spread of the bare wall, from the weighted squares. */
static void measure_noise(look_ground *g, const double scale[3]) {
  double sum[3] = {0}, weight = 0;
  for (size_t i = 0; i < (size_t)g->width * (size_t)g->height; i++) {
    const double w = weight_at(g, i, scale);
    weight += w;
    for (int k = 0; k < 3; k++) {
      const double off = (double)g->lab[k][i] - (double)g->model[k][i];
      sum[k] += w * off * off;
    }
  }
  for (int k = 0; k < 3; k++) g->noise[k] = weight > 0 ? sqrt(sum[k] / weight) : 0;
}

static bool fit(look_ground *g) {
  double colour[3] = {90, 0, 0}, scale[3] = {5, 2.5, 2.5};
  if (!commonest(colour, g)) return false;
  for (size_t i = 0; i < (size_t)g->width * (size_t)g->height; i++)
    for (int k = 0; k < 3; k++) g->model[k][i] = (float)colour[k];
  for (int round = 0; round < ROUNDS; round++) {
    if (!fit_once(g, round < 3 ? 1 : round < 7 ? 2 : 3, scale)) return true; /* the last fit stands */
    measure_noise(g, scale);
    for (int k = 0; k < 3; k++) scale[k] = fmax(k ? 0.5 : 0.8, fmin(scale[k], 1.25 * g->noise[k]));
  }
  return true;
}

/* ---- what differs ---- */

static double steps_near(const look_ground *g, int x, int y) {
  const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
  if (x < 1 || y < 1 || x + 1 >= g->width || y + 1 >= g->height) return 0;
  const float *const L = g->lab[0];
  const double dx = (double)L[i + 1] - (double)L[i - 1];
  const double dy = (double)L[i + (size_t)g->width] - (double)L[i - (size_t)g->width];
  return hypot(dx, dy);
}

static void classify(look_ground *g) {
  const double step_l = fmax(LOOK_LEAST_L, 4 * g->noise[0]);
  const double step_ab = fmax(LEAST_AB, 4 * fmax(g->noise[1], g->noise[2]));
  size_t bare = 0;
  for (int y = 0; y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
      const double dl = (double)g->lab[0][i] - (double)g->model[0][i];
      /* In shade a coloured wall is less colourful in proportion. */
      const double shade = fmax(0.2, fmin(1, ((double)g->lab[0][i] + 16) / ((double)g->model[0][i] + 16)));
      const double ab = hypot((double)g->lab[1][i] - shade * (double)g->model[1][i],
                              (double)g->lab[2][i] - shade * (double)g->model[2][i]);
      if (ab > step_ab + SHADOW_TINT * fmax(0, -dl) || dl > step_l || dl < -SHADOW_DEPTH)
        g->class[i] = LOOK_PIECE;
      else if (dl < -step_l)
        g->class[i] = steps_near(g, x, y) > fmax(DETAIL, 6 * g->noise[0]) ? LOOK_PIECE : LOOK_PERHAPS;
      bare += g->class[i] == LOOK_GROUND;
    }
  g->share = (double)bare / ((double)g->width * g->height);
}

bc_status look_ground_fit(look_ground *out, bc_context *context, const bc_image *wall) {
  *out = (look_ground){0};
  if (!reduce(out, wall) || !fit(out) || !look_fold_in(out)) {
    look_ground_clear(out);
    return bc_fail_memory(context);
  }
  classify(out);
  if (!look_discount_pattern(out) || (out->patterned && !look_drop_specks(out, LOOK_SPECK))) {
    look_ground_clear(out);
    return bc_fail_memory(context);
  }
  return BC_OK;
}

void look_ground_clear(look_ground *ground) {
  for (int k = 0; k < 3; k++) {
    free(ground->lab[k]);
    free(ground->model[k]);
  }
  free(ground->class);
  *ground = (look_ground){0};
}
