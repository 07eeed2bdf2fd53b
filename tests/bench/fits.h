/* SPDX-License-Identifier: MIT */
/* What fits of weights have in common: photos in folders, which of them is left out for which, how much each weighs. */
#ifndef BC_TESTS_BENCH_FITS_H
#define BC_TESTS_BENCH_FITS_H

#include "pairs.h"

#include "cutout/scene.h"

typedef struct bench_photo {
  char name[256];
  int folder;
  double weight;
} bench_photo;

/* Rows of one size, each of which begins with a bench_photo. */
typedef struct bench_rows {
  void *of;
  size_t size, count, room;
  int folder; /* the one being read; afterwards, how many there were */
} bench_rows;

/* A new row, all zero but for its name and folder; ends the program without memory. */
void *bench_new_row(bench_rows *rows, const char *name);

/* Whether one may be predicted by a fit of the other: they share no folder, and perhaps no piece. "jar" and
 * "jar-in-clutter" may show the same jar; the piece's name is what comes before "-on-", as backcloth-bench scenes names
 * its scenes. */
int bench_photos_apart(const bench_photo *photo, const bench_photo *other);
/* Whether what is left out for photo `i` is what was left out for the one before it. */
int bench_left_out_as_before(const bench_rows *rows, size_t i);

/* The weights of the photos, mean 1: 1 / pow(photos in the folder, power). */
void bench_weigh(bench_rows *rows, double power);
/* The mean of `values`, one per photo, of each folder, and the mean of those. */
void bench_print_folder_means(const char *what, const bench_rows *rows, const double *values);
/* A line to paste: "  [PREFIX_NAME] = 0.123,". */
void bench_print_weight(const char *prefix, const char *name, double weight);

/* Reads the folders that the arguments after the first name; `measure` fills a row with what a photo's coarse scene,
 * without a prior, shows. The truth of its cells is their share of piece. Returns an exit code; 64 with fewer than two
 * folders. */
typedef bc_status bench_measure(void *row, bc_context *context, cutout_scene *scene, const float *truth);
int bench_read_rows(bench_rows *rows, bench_measure *measure, int argc, char **argv);

#endif
