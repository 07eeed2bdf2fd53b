/* SPDX-License-Identifier: MIT */
/* The weights of src/cutout/trust.c fitted again on folders of NAME.jpg + NAME.mask.png, by least squares on the
 * differences between the answers to one photo: what they choose as they are, fitted without the photo's folder and
 * piece, and what there would have been to choose. Answers are compared with the mask on the coarse grid. */
#include "bench.h"
#include "fits.h"
#include "least_squares.h"
#include "pairs.h"

#include "cutout/cutout_internal.h"
#include <math.h>
#include <stdlib.h>

static const double ridge = 0.001; /* for each row, of signs in their standard deviations */

typedef struct row {
  bench_photo photo; /* the first member */
  double sign[CUTOUT_SUPPOSITIONS][CUTOUT_TRUST_SIGNS];
  double iou[CUTOUT_SUPPOSITIONS];
} row;

typedef struct trust_bench {
  bc_context *context;
  row *of;
  size_t count, room;
  int folder;
  double deviation[CUTOUT_TRUST_SIGNS]; /* of the differences */
} trust_bench;

/* ---- the answers to a photo ---- */

static bc_status answer(row *r, const bench_pair *pair, cutout_scene *scene, bc_context *context) {
  const size_t count = scene->grid.count;
  float *share = calloc(count, sizeof *share);
  uint8_t *truth = calloc(count, 1);
  bc_status status = share && truth ? cutout_prior(scene, context, NULL) : bc_fail_memory(context);
  if (status == BC_OK) bc_cutout_guess_of_mask(pair->truth, pair->image, scene->grid.width, scene->grid.height, share);
  for (size_t i = 0; i < count && status == BC_OK; i++) truth[i] = share[i] > 0.5f;
  for (size_t s = 0; s < CUTOUT_SUPPOSITIONS && status == BC_OK; s++) {
    status = cutout_suppose_one(scene, context, s);
    if (status != BC_OK) break;
    cutout_trust_measure(r->sign[s], scene);
    r->iou[s] = cutout_overlap(scene->piece, truth, count);
  }
  free(share);
  free(truth);
  return status;
}

static void run_pair(void *data, const bench_pair *pair, const char *path) {
  trust_bench *b = data;
  b->of = bench_room_for_one_more(b->of, b->count, &b->room, sizeof *b->of);
  row *r = &b->of[b->count];
  *r = (row){.photo.folder = b->folder};
  snprintf(r->photo.name, sizeof r->photo.name, "%s", pair->name);
  cutout_scene scene;
  bc_status status = cutout_scene_new(&scene, b->context, pair->image, CUTOUT_COARSE_SIDE);
  if (status == BC_OK) status = answer(r, pair, &scene, b->context);
  cutout_scene_clear(&scene);
  if (status == BC_OK)
    b->count++;
  else
    fprintf(stderr, "%s: %s\n", path, bc_context_message(b->context));
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

static void set_deviations(trust_bench *b) {
  double x[least_squares_most], squares[CUTOUT_TRUST_SIGNS] = {0}, weight = 1e-12;
  for (size_t i = 0; i < b->count; i++)
    for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
      differ(x, &b->of[i], s);
      for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) squares[k] += b->of[i].photo.weight * x[1 + k] * x[1 + k];
      weight += b->of[i].photo.weight;
    }
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) b->deviation[k] = fmax(sqrt(squares[k] / weight), 1e-9);
}

/* The fit of all photos, or of those apart from `but`. */
static void fit(double *weights, const trust_bench *b, const row *but) {
  least_squares sums = {.unknowns = 1 + CUTOUT_TRUST_SIGNS};
  double x[least_squares_most], solution[least_squares_most], weight = 0;
  for (size_t i = 0; i < b->count; i++) {
    const row *r = &b->of[i];
    if (but && !bench_photos_apart(&r->photo, &but->photo)) continue;
    for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
      const double better = differ(x, r, s);
      for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) x[1 + k] /= b->deviation[k];
      least_squares_add(&sums, x, better, r->photo.weight);
      weight += r->photo.weight;
    }
  }
  least_squares_solve(solution, &sums, ridge * weight);
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) weights[k] = solution[1 + k] / b->deviation[k];
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

static void print_overlaps(const char *what, const trust_bench *b, const double *iou) {
  bench_print_folder_means(what, b->of, sizeof(row), b->count, iou);
}

static void choose_left_out(double *iou, const trust_bench *b) {
  double weights[CUTOUT_TRUST_SIGNS];
  for (size_t i = 0; i < b->count; i++) {
    const row *r = &b->of[i];
    if (i == 0 || !bench_left_out_alike(&r[-1].photo, &r->photo)) fit(weights, b, r);
    iou[i] = chosen(r, weights);
  }
}

static void print_singles(const trust_bench *b, double *iou) {
  for (int s = 0; s < CUTOUT_SUPPOSITIONS; s++) {
    char what[40];
    snprintf(what, sizeof what, "always supposition %d", s + 1);
    for (size_t i = 0; i < b->count; i++) iou[i] = b->of[i].iou[s];
    print_overlaps(what, b, iou);
  }
}

static void report(const trust_bench *b) {
  double weights[CUTOUT_TRUST_SIGNS], *iou = calloc(b->count + 1, sizeof *iou);
  if (!iou) exit(70);
  printf("IoU on the coarse grid: mean of each folder, and of the folders\n");
  for (size_t i = 0; i < b->count; i++) iou[i] = chosen(&b->of[i], cutout_trust_weight);
  print_overlaps("chosen as the program does now", b, iou);
  choose_left_out(iou, b);
  print_overlaps("fitted without its folder and piece", b, iou);
  fit(weights, b, NULL);
  for (size_t i = 0; i < b->count; i++) iou[i] = chosen(&b->of[i], weights);
  print_overlaps("fitted on all", b, iou);
  for (size_t i = 0; i < b->count; i++) iou[i] = best(&b->of[i]);
  print_overlaps("the best of each photo's", b, iou);
  print_singles(b, iou);
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) bench_print_weight("CUTOUT_TRUST", cutout_trust_name[k], weights[k]);
  free(iou);
}

int bench_trust(int argc, char **argv) {
  static trust_bench b;
  if (bc_context_new(&b.context) != BC_OK) return 70;
  for (int i = 1; i < argc; i++) {
    if (bench_pairs(b.context, argv[i], run_pair, &b) > 0)
      b.folder++;
    else
      fprintf(stderr, "%s: no NAME.jpg with NAME.mask.png there.\n", argv[i]);
  }
  bc_context_free(b.context);
  if (b.folder < 2) {
    fprintf(stderr, "usage: backcloth-bench trust FOLDER FOLDER...   (at least two)\n");
    return 64;
  }
  bench_weigh_photos(b.of, sizeof(row), b.count, 1);
  set_deviations(&b);
  report(&b);
  free(b.of);
  return 0;
}
