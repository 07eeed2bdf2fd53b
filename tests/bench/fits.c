/* SPDX-License-Identifier: MIT */
/* What fits of weights have in common. */
#include "fits.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- rows ---- */

static bench_photo *row_at(const bench_rows *rows, size_t i) {
  return (bench_photo *)((char *)rows->of + i * rows->size);
}

void *bench_new_row(bench_rows *rows, const char *name) {
  if (rows->count == rows->room) {
    rows->room = rows->room ? 2 * rows->room : 64;
    rows->of = realloc(rows->of, rows->room * rows->size);
    if (!rows->of) exit(70);
  }
  bench_photo *row = row_at(rows, rows->count++);
  memset(row, 0, rows->size);
  snprintf(row->name, sizeof row->name, "%s", name);
  row->folder = rows->folder;
  return row;
}

/* ---- what is left out ---- */

static size_t piece_length(const char *name) {
  const char *on = strstr(name, "-on-");
  return on ? (size_t)(on - name) : strlen(name);
}

static int same_piece(const char *first, const char *second) {
  const size_t a = piece_length(first), b = piece_length(second), least = a < b ? a : b;
  if (strncmp(first, second, least) != 0) return 0;
  return a == b || (a < b ? second : first)[least] == '-';
}

int bench_photos_apart(const bench_photo *photo, const bench_photo *other) {
  return photo->folder != other->folder && !same_piece(photo->name, other->name);
}

int bench_left_out_as_before(const bench_rows *rows, size_t i) {
  if (i == 0) return 0;
  const bench_photo *before = row_at(rows, i - 1), *photo = row_at(rows, i);
  const size_t length = piece_length(photo->name);
  return photo->folder == before->folder && piece_length(before->name) == length &&
         strncmp(photo->name, before->name, length) == 0;
}

/* ---- folders ---- */

/* The sum of the values of a folder's photos; NULL: 1 each. */
static double folder_sum(const bench_rows *rows, int folder, const double *values) {
  double sum = 0;
  for (size_t i = 0; i < rows->count; i++)
    if (row_at(rows, i)->folder == folder) sum += values ? values[i] : 1;
  return sum;
}

void bench_weigh(bench_rows *rows, double power) {
  double sum = 0;
  for (size_t i = 0; i < rows->count; i++) {
    bench_photo *photo = row_at(rows, i);
    photo->weight = pow(folder_sum(rows, photo->folder, NULL), -power);
    sum += photo->weight;
  }
  for (size_t i = 0; i < rows->count; i++) row_at(rows, i)->weight *= (double)rows->count / sum;
}

void bench_print_folder_means(const char *what, const bench_rows *rows, const double *values) {
  double all = 0;
  printf("%-36s", what);
  for (int folder = 0; folder < rows->folder; folder++) {
    const double photos = folder_sum(rows, folder, NULL);
    const double mean = photos > 0 ? folder_sum(rows, folder, values) / photos : 0;
    printf(" %.4f", mean);
    all += mean;
  }
  printf("  mean %.4f\n", rows->folder ? all / rows->folder : 0);
}

void bench_print_weight(const char *prefix, const char *name, double weight) {
  printf("  [%s_", prefix);
  for (const char *letter = name; *letter; letter++) putchar(toupper((unsigned char)*letter));
  printf("] = %.3f,\n", weight);
}

/* ---- reading ---- */

typedef struct reader {
  bc_context *context;
  bench_rows *rows;
  bench_measure *measure;
} reader;

static bc_status measure_pair(reader *r, const bench_pair *pair, void *row, cutout_scene *scene) {
  float *truth = calloc(scene->grid.count, sizeof *truth);
  if (!truth) exit(70);
  bc_cutout_guess_of_mask(pair->truth, pair->image, scene->grid.width, scene->grid.height, truth);
  const bc_status status = r->measure(row, r->context, scene, truth);
  free(truth);
  return status;
}

static void read_pair(void *data, const bench_pair *pair, const char *path) {
  reader *r = data;
  cutout_scene scene;
  void *row = bench_new_row(r->rows, pair->name);
  bc_status status = cutout_scene_new(&scene, r->context, pair->image, CUTOUT_COARSE_SIDE);
  if (status == BC_OK) status = measure_pair(r, pair, row, &scene);
  cutout_scene_clear(&scene);
  if (status == BC_OK) return;
  r->rows->count--;
  fprintf(stderr, "%s: %s\n", path, bc_context_message(r->context));
}

int bench_read_rows(bench_rows *rows, bench_measure *measure, int argc, char **argv) {
  reader r = {.rows = rows, .measure = measure};
  if (bc_context_new(&r.context) != BC_OK) return 70;
  for (int i = 1; i < argc; i++) {
    if (bench_pairs(r.context, argv[i], read_pair, &r) > 0)
      rows->folder++;
    else
      fprintf(stderr, "%s: no NAME.jpg with NAME.mask.png there.\n", argv[i]);
  }
  bc_context_free(r.context);
  if (rows->folder >= 2) return 0;
  fprintf(stderr, "usage: backcloth-bench %s FOLDER FOLDER...   (at least two)\n", argv[0]);
  return 64;
}
