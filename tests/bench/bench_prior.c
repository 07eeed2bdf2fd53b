/* SPDX-License-Identifier: MIT */
/* The weights of src/cutout/prior.c without a box, fitted again on folders of NAME.jpg + NAME.mask.png: how probable
 * each cell's sort is by them as they are, by a fit without the photo's folder and piece, and by the fit of all. */
#include "bench.h"
#include "fits.h"
#include "logistic.h"
#include "pairs.h"

#include "cutout/cutout_internal.h"
#include <math.h>
#include <stdlib.h>

enum { unknowns = CUTOUT_PRIOR_SIGNS + 1, most_rounds = 12, rounds_left_out = 4 };

typedef struct row {
  bench_photo photo; /* the first member */
  size_t count;      /* cells */
  float (*sign)[CUTOUT_PRIOR_SIGNS];
  float *truth, *told; /* share of piece; what the program says */
} row;

typedef struct prior_bench {
  bc_context *context;
  row *of;
  size_t count, room;
  int folder;
} prior_bench;

/* ---- the cells of a photo ---- */

static void *room_for(size_t count, size_t size) {
  void *memory = calloc(count, size);
  if (!memory) exit(70);
  return memory;
}

static bc_status keep_cells(row *r, const bench_pair *pair, cutout_scene *scene, bc_context *context) {
  const size_t count = scene->grid.count;
  r->sign = room_for(count, sizeof *r->sign);
  r->truth = room_for(count, sizeof *r->truth);
  r->told = room_for(count, sizeof *r->told);
  const bc_status status = cutout_prior_signs(r->sign, scene, context);
  bc_cutout_guess_of_mask(pair->truth, pair->image, scene->grid.width, scene->grid.height, r->truth);
  memcpy(r->told, scene->prior, count * sizeof *r->told);
  r->count = count;
  return status;
}

static void run_pair(void *data, const bench_pair *pair, const char *path) {
  prior_bench *b = data;
  b->of = bench_room_for_one_more(b->of, b->count, &b->room, sizeof *b->of);
  row *r = &b->of[b->count];
  *r = (row){.photo.folder = b->folder};
  snprintf(r->photo.name, sizeof r->photo.name, "%s", pair->name);
  cutout_scene scene;
  bc_status status = cutout_scene_new(&scene, b->context, pair->image, CUTOUT_COARSE_SIDE);
  if (status == BC_OK) status = keep_cells(r, pair, &scene, b->context);
  cutout_scene_clear(&scene);
  if (status == BC_OK)
    b->count++;
  else
    fprintf(stderr, "%s: %s\n", path, bc_context_message(b->context));
}

/* ---- fitting ---- */

static void pick(double *x, const row *r, size_t cell) {
  x[0] = 1;
  for (int k = 0; k < CUTOUT_PRIOR_SIGNS; k++) x[1 + k] = (double)r->sign[cell][k];
}

/* Goes on from `weights` with all photos, or with those apart from `but`. A photo's cells share its weight. */
static void fit(double *weights, const prior_bench *b, const row *but, int rounds) {
  double x[least_squares_most], moved = 1;
  for (int round = 0; round < rounds && moved > 1e-4; round++) {
    least_squares sums = {.unknowns = unknowns};
    for (size_t i = 0; i < b->count; i++) {
      const row *r = &b->of[i];
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

static void print_losses(const char *what, const prior_bench *b, const double *loss) {
  bench_print_folder_means(what, b->of, sizeof(row), b->count, loss);
}

static void predict_left_out(double *loss, const prior_bench *b, const double *of_all) {
  double weights[least_squares_most];
  for (size_t i = 0; i < b->count; i++) {
    const row *r = &b->of[i];
    if (i == 0 || !bench_left_out_alike(&r[-1].photo, &r->photo)) {
      memcpy(weights, of_all, sizeof weights);
      fit(weights, b, r, rounds_left_out);
    }
    loss[i] = loss_of(r, weights);
  }
}

static void report(const prior_bench *b) {
  double weights[least_squares_most] = {0}, *loss = room_for(b->count, sizeof *loss);
  printf("log loss of a cell, nats: mean of each folder's photos, and of the folders\n");
  for (size_t i = 0; i < b->count; i++) loss[i] = loss_of(&b->of[i], NULL);
  print_losses("as the program says now", b, loss);
  fit(weights, b, NULL, most_rounds);
  predict_left_out(loss, b, weights);
  print_losses("fitted without its folder and piece", b, loss);
  for (size_t i = 0; i < b->count; i++) loss[i] = loss_of(&b->of[i], weights);
  print_losses("fitted on all", b, loss);
  printf("static const float weight_automatic[EVIDENCE + 1] = {");
  for (int k = 1; k < unknowns; k++) printf("%.2ff, ", weights[k]);
  printf("%.2ff};\n", weights[0]);
  free(loss);
}

int bench_prior(int argc, char **argv) {
  static prior_bench b;
  if (bc_context_new(&b.context) != BC_OK) return 70;
  for (int i = 1; i < argc; i++) {
    if (bench_pairs(b.context, argv[i], run_pair, &b) > 0)
      b.folder++;
    else
      fprintf(stderr, "%s: no NAME.jpg with NAME.mask.png there.\n", argv[i]);
  }
  bc_context_free(b.context);
  if (b.folder < 2) {
    fprintf(stderr, "usage: backcloth-bench prior FOLDER FOLDER...   (at least two)\n");
    return 64;
  }
  bench_weigh_photos(b.of, sizeof(row), b.count, 1);
  report(&b);
  for (size_t i = 0; i < b.count; i++) {
    free(b.of[i].sign);
    free(b.of[i].truth);
    free(b.of[i].told);
  }
  free(b.of);
  return 0;
}
