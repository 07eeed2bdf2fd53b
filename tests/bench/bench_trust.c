/* SPDX-License-Identifier: MIT */
/* The weights of src/cutout/trust.c fitted again on folders of NAME.jpg + NAME.mask.png, by least squares on the
 * differences between the answers to one photo: what they choose as they are, fitted without the photo's folder and
 * piece, and what there would have been to choose. Answers are compared with the mask on the coarse grid. */
#include "bench.h"
#include "fits.h"
#include "least_squares.h"

#include "base/base.h"
#include "cutout/grid_answer.h"
#include "cutout/prior.h"
#include "cutout/suppose.h"
#include <math.h>
#include <stdlib.h>

static const double ridge = 0.001; /* for each row, of signs in their standard deviations */

typedef struct row {
  bench_photo photo; /* the first member */
  double sign[CUTOUT_SUPPOSITIONS][CUTOUT_TRUST_SIGNS];
  double iou[CUTOUT_SUPPOSITIONS];
} row;

static bc_status measure(void *to, bc_context *context, cutout_scene *scene, const float *truth) {
  row *r = to;
  const size_t count = scene->grid.count;
  uint8_t *piece = calloc(count, 1);
  bc_status status = piece ? cutout_prior(scene, context, NULL) : bc_fail_memory(context);
  for (size_t i = 0; i < count && status == BC_OK; i++) piece[i] = truth[i] > 0.5f;
  for (size_t s = 0; s < CUTOUT_SUPPOSITIONS && status == BC_OK; s++) {
    status = cutout_suppose_one(scene, context, s);
    if (status != BC_OK) break;
    cutout_trust_measure(r->sign[s], scene);
    r->iou[s] = cutout_overlap(scene->piece, piece, count);
  }
  free(piece);
  return status;
}

/* ---- fitting ---- */

/* An answer's difference from the mean of the answers to its photo. x[0] stays 0: differences have no constant. */
static double differ(double *x, const row *r, int s) {
  double mean_iou = 0;
  x[0] = 0;
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) x[1 + k] = r->sign[s][k];
  for (int other = 0; other < CUTOUT_SUPPOSITIONS; other++) {
    mean_iou += r->iou[other] / CUTOUT_SUPPOSITIONS;
    for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) x[1 + k] -= r->sign[other][k] / CUTOUT_SUPPOSITIONS;
  }
  return r->iou[s] - mean_iou;
}

/* The standard deviation of each sign's differences. */
static void set_deviations(double *deviation, const bench_rows *rows) {
  const row *of = rows->of;
  double x[least_squares_most], squares[CUTOUT_TRUST_SIGNS] = {0}, weight = 1e-12;
  for (size_t i = 0; i < rows->count; i++)
    for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
      differ(x, &of[i], s);
      for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) squares[k] += of[i].photo.weight * x[1 + k] * x[1 + k];
      weight += of[i].photo.weight;
    }
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) deviation[k] = fmax(sqrt(squares[k] / weight), 1e-9);
}

/* The fit of all photos, or of those apart from `but`. */
static void fit(double *weights, const bench_rows *rows, const double *deviation, const row *but) {
  const row *of = rows->of;
  least_squares sums = {.unknowns = 1 + CUTOUT_TRUST_SIGNS};
  double x[least_squares_most], solution[least_squares_most], weight = 0;
  for (size_t i = 0; i < rows->count; i++) {
    const row *r = &of[i];
    if (but && !bench_photos_apart(&r->photo, &but->photo)) continue;
    for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
      const double better = differ(x, r, s);
      for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) x[1 + k] /= deviation[k];
      least_squares_add(&sums, x, better, r->photo.weight);
      weight += r->photo.weight;
    }
  }
  least_squares_solve(solution, &sums, ridge * weight);
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) weights[k] = solution[1 + k] / deviation[k];
}

/* ---- what is chosen ---- */

static double chosen(const row *r, const double *weights) {
  double most = -INFINITY, iou = 0;
  for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
    double trust = 0;
    for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) trust += weights[k] * r->sign[s][k];
    if (trust <= most) continue;
    most = trust;
    iou = r->iou[s];
  }
  return iou;
}

static double best(const row *r) {
  double most = 0;
  for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) most = fmax(most, r->iou[s]);
  return most;
}

static void choose_left_out(double *iou, const bench_rows *rows, const double *deviation) {
  double weights[CUTOUT_TRUST_SIGNS];
  const row *of = rows->of;
  for (size_t i = 0; i < rows->count; i++) {
    if (!bench_left_out_as_before(rows, i)) fit(weights, rows, deviation, &of[i]);
    iou[i] = chosen(&of[i], weights);
  }
}

static void print_chosen(const char *what, const bench_rows *rows, const double *weights, double *iou) {
  const row *of = rows->of;
  for (size_t i = 0; i < rows->count; i++) iou[i] = chosen(&of[i], weights);
  bench_print_folder_means(what, rows, iou);
}

static void print_choices(const bench_rows *rows, double *iou) {
  const row *of = rows->of;
  for (size_t i = 0; i < rows->count; i++) iou[i] = best(&of[i]);
  bench_print_folder_means("the best of each photo's", rows, iou);
  for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
    char what[40];
    snprintf(what, sizeof what, "always supposition %d", s + 1);
    for (size_t i = 0; i < rows->count; i++) iou[i] = of[i].iou[s];
    bench_print_folder_means(what, rows, iou);
  }
}

static void report(const bench_rows *rows) {
  double weights[CUTOUT_TRUST_SIGNS], deviation[CUTOUT_TRUST_SIGNS], *iou = calloc(rows->count + 1, sizeof *iou);
  if (!iou) exit(70);
  set_deviations(deviation, rows);
  printf("IoU on the coarse grid: mean of each folder's photos, and of the folders\n");
  print_chosen("chosen as the program does now", rows, cutout_trust_weight, iou);
  choose_left_out(iou, rows, deviation);
  bench_print_folder_means("fitted without its folder and piece", rows, iou);
  fit(weights, rows, deviation, NULL);
  print_chosen("fitted on all", rows, weights, iou);
  print_choices(rows, iou);
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) bench_print_weight("CUTOUT_TRUST", cutout_trust_name[k], weights[k]);
  free(iou);
}

int bench_trust(int argc, char **argv) {
  bench_rows rows = {.size = sizeof(row)};
  const int status = bench_read_rows(&rows, measure, argc, argv);
  if (status == 0) {
    bench_weigh(&rows, 1); /* folders weigh the same */
    report(&rows);
  }
  free(rows.of);
  return status;
}
