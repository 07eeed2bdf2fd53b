/* SPDX-License-Identifier: MIT */
/* The weights of src/cutout/prior.c without a box, fitted again on folders of NAME.jpg + NAME.mask.png: how probable
 * each cell's sort is by them as they are, by a fit without the photo's folder and piece, and by the fit of all. */
#include "bench.h"
#include "fits.h"
#include "logistic.h"

#include "cutout/prior.h"
#include <math.h>
#include <stdlib.h>

enum { unknowns = CUTOUT_PRIOR_SIGNS + 1, most_rounds = 12, rounds_left_out = 4 };

typedef struct row {
  bench_photo photo; /* the first member */
  size_t count;      /* cells */
  float (*sign)[CUTOUT_PRIOR_SIGNS];
  float *truth, *told; /* share of piece; what the program says */
} row;

static void *room_for(size_t count, size_t size) {
  void *memory = calloc(count + 1, size);
  if (!memory) exit(70);
  return memory;
}

static bc_status measure(void *to, bc_context *context, cutout_scene *scene, const float *truth) {
  row *r = to;
  const size_t count = scene->grid.count;
  r->count = count;
  r->sign = room_for(count, sizeof *r->sign);
  r->truth = room_for(count, sizeof *r->truth);
  r->told = room_for(count, sizeof *r->told);
  const bc_status status = cutout_prior_signs(r->sign, scene, context);
  memcpy(r->truth, truth, count * sizeof *truth);
  memcpy(r->told, scene->prior, count * sizeof *r->told);
  return status;
}

/* ---- fitting ---- */

static void pick(double *x, const row *r, size_t cell) {
  x[0] = 1;
  for (int k = 0; k < CUTOUT_PRIOR_SIGNS; k++) x[1 + k] = (double)r->sign[cell][k];
}

/* Goes on from `weights` with all photos, or with those apart from `but`. A photo's cells share its weight. */
static void fit(double *weights, const bench_rows *rows, const row *but, int rounds) {
  const row *of = rows->of;
  double x[least_squares_most], moved = 1;
  for (int round = 0; round < rounds && moved > 1e-4; round++) {
    least_squares sums = {.unknowns = unknowns};
    for (size_t i = 0; i < rows->count; i++) {
      const row *r = &of[i];
      if (but && !bench_photos_apart(&r->photo, &but->photo)) continue;
      for (size_t cell = 0; cell < r->count; cell++) {
        pick(x, r, cell);
        logistic_add(&sums, weights, x, (double)r->truth[cell], r->photo.weight / (double)r->count);
      }
    }
    moved = logistic_step(weights, &sums);
  }
}

/* ---- how good ---- */

/* Mean loss of a photo's cells; by the weights, or as the program says. */
static double loss_of(const row *r, const double *weights) {
  double x[least_squares_most], sum = 0;
  for (size_t cell = 0; cell < r->count; cell++) {
    pick(x, r, cell);
    const double p = weights ? logistic_probability(weights, x, unknowns) : (double)r->told[cell];
    sum += logistic_loss(p, (double)r->truth[cell]);
  }
  return sum / fmax(1, (double)r->count);
}

static void predict_left_out(double *loss, const bench_rows *rows, const double *of_all) {
  double weights[least_squares_most];
  const row *of = rows->of;
  for (size_t i = 0; i < rows->count; i++) {
    if (!bench_left_out_as_before(rows, i)) {
      memcpy(weights, of_all, sizeof weights);
      fit(weights, rows, &of[i], rounds_left_out);
    }
    loss[i] = loss_of(&of[i], weights);
  }
}

static void report(const bench_rows *rows) {
  double weights[least_squares_most] = {0}, *loss = room_for(rows->count, sizeof *loss);
  const row *of = rows->of;
  printf("log loss of a cell, nats: mean of each folder's photos, and of the folders\n");
  for (size_t i = 0; i < rows->count; i++) loss[i] = loss_of(&of[i], NULL);
  bench_print_folder_means("as the program says now", rows, loss);
  fit(weights, rows, NULL, most_rounds);
  predict_left_out(loss, rows, weights);
  bench_print_folder_means("fitted without its folder and piece", rows, loss);
  for (size_t i = 0; i < rows->count; i++) loss[i] = loss_of(&of[i], weights);
  bench_print_folder_means("fitted on all", rows, loss);
  printf("static const float weight_automatic[EVIDENCE + 1] = {");
  for (int k = 1; k < unknowns; k++) printf("%.2ff, ", weights[k]);
  printf("%.2ff};\n", weights[0]);
  free(loss);
}

int bench_prior(int argc, char **argv) {
  bench_rows rows = {.size = sizeof(row)};
  const int status = bench_read_rows(&rows, measure, argc, argv);
  row *of = rows.of;
  if (status == 0) {
    bench_weigh(&rows, 1); /* folders weigh the same */
    report(&rows);
  }
  for (size_t i = 0; i < rows.count; i++) {
    free(of[i].sign);
    free(of[i].truth);
    free(of[i].told);
  }
  free(of);
  return status;
}
