/* SPDX-License-Identifier: MIT */
/* Folders of photos with their true masks: NAME.jpg and NAME.mask.png. */
#ifndef BC_TESTS_BENCH_PAIRS_H
#define BC_TESTS_BENCH_PAIRS_H

#include <backcloth/cutout.h>

/* A photo at reading size, its true mask, and the mask's box in pixels of the full photo, outwards. */
typedef struct bench_pair {
  char name[256];
  bc_image *image;
  bc_cutout *truth;
  bc_box box;
} bench_pair;

/* Calls `each` for every photo of the folder that has a mask; what cannot be opened is said on stderr. Returns how many
 * there were. */
size_t bench_pairs(bc_context *context, const char *folder,
                   void (*each)(void *data, const bench_pair *pair, const char *path), void *data);
/* Intersection over union of what is at least half piece; 1 when both are empty. */
double bench_overlap(const uint8_t *mask, const bc_cutout *truth);

/* Is confidence, the overlap to be expected, met by the overlap found? */
enum { bench_band_count = 5 };
typedef struct bench_bands {
  double sum[bench_band_count]; /* of the overlaps found */
  size_t count[bench_band_count], low[bench_band_count];
} bench_bands;
void bench_bands_add(bench_bands *bands, double expected, double iou);
void bench_bands_print(const bench_bands *bands, const char *what);

#endif
