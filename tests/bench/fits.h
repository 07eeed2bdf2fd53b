/* SPDX-License-Identifier: MIT */
/* What fits of weights have in common: photos in folders, which of them is left out for which, how much each weighs. */
#ifndef BC_TESTS_BENCH_FITS_H
#define BC_TESTS_BENCH_FITS_H

#include <stddef.h>

typedef struct bench_photo {
  char name[256];
  int folder;
  double weight;
} bench_photo;

/* Whether one may be predicted by a fit of the other: they share no folder, and perhaps no piece. "jar" and
 * "jar-in-clutter" may show the same jar; the piece's name is what comes before "-on-", as backcloth-bench scenes names
 * its scenes. */
int bench_photos_apart(const bench_photo *photo, const bench_photo *other);
/* Whether the same photos are left out for both. */
int bench_left_out_alike(const bench_photo *photo, const bench_photo *other);
/* Rows with room for another after `count`; ends the program without memory. */
void *bench_room_for_one_more(void *rows, size_t count, size_t *room, size_t size);
/* The mean of `values`, one a photo, of each folder, and the mean of those. The photos as in bench_weigh_photos(). */
void bench_print_folder_means(const char *what, void *first, size_t stride, size_t count, const double *values);
/* The weight, mean 1, of `count` photos that are `stride` bytes apart: 1 / pow(photos in the folder, power). */
void bench_weigh_photos(void *first, size_t stride, size_t count, double power);
/* A line to paste: "  [PREFIX_NAME] = 0.123,". */
void bench_print_weight(const char *prefix, const char *name, double weight);

#endif
