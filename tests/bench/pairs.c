/* SPDX-License-Identifier: MIT */
/* Photos and their true masks, one pair after the other. */
#include "pairs.h"

#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static bc_status load(bc_image **out, bc_context *context, const char *path) {
  bc_photo_options options = bc_photo_options_default();
  options.wanted_side = BC_READING_SIDE;
  bc_photo *photo = NULL;
  bc_status status = bc_photo_open(&photo, context, path, &options);
  if (status == BC_OK) status = bc_image_from_photo(out, context, photo, NULL);
  bc_photo_free(photo);
  return status;
}

static bc_box full_box(const bc_cutout *truth, const bc_image *image) {
  const double across = (double)image->full_width / image->width, down = (double)image->full_height / image->height;
  const int left = (int)floor(truth->box.x * across), top = (int)floor(truth->box.y * down);
  int right = (int)ceil((truth->box.x + truth->box.width) * across);
  int bottom = (int)ceil((truth->box.y + truth->box.height) * down);
  if (right > image->full_width) right = image->full_width;
  if (bottom > image->full_height) bottom = image->full_height;
  return (bc_box){left, top, right - left, bottom - top};
}

static bc_status open_pair(bench_pair *pair, bc_context *context, const char *photo, const char *mask) {
  const char *name = strrchr(photo, '/') ? strrchr(photo, '/') + 1 : photo;
  snprintf(pair->name, sizeof pair->name, "%.*s", (int)strlen(name) - 4, name);
  bc_status status = load(&pair->image, context, photo);
  if (status == BC_OK) status = bc_cutout_from_mask(&pair->truth, context, pair->image, mask);
  if (status == BC_OK) pair->box = full_box(pair->truth, pair->image);
  return status;
}

size_t bench_pairs(bc_context *context, const char *folder,
                   void (*each)(void *data, const bench_pair *pair, const char *path), void *data) {
  char pattern[4096], mask[4096];
  size_t count = 0;
  glob_t photos;
  snprintf(pattern, sizeof pattern, "%s/*.jpg", folder);
  if (glob(pattern, 0, NULL, &photos) != 0) return 0;
  for (size_t i = 0; i < photos.gl_pathc; i++) {
    const char *photo = photos.gl_pathv[i];
    snprintf(mask, sizeof mask, "%.*s.mask.png", (int)strlen(photo) - 4, photo);
    if (access(mask, R_OK) != 0) continue;
    bench_pair pair = {0};
    if (open_pair(&pair, context, photo, mask) == BC_OK) {
      each(data, &pair, photo);
      count++;
    } else {
      fprintf(stderr, "%s\n", bc_context_message(context));
    }
    bc_cutout_free(pair.truth);
    bc_image_free(pair.image);
  }
  globfree(&photos);
  return count;
}

double bench_overlap(const uint8_t *mask, const bc_cutout *truth) {
  const size_t count = (size_t)truth->width * (size_t)truth->height;
  size_t both = 0, either = 0;
  for (size_t i = 0; i < count; i++) {
    const int first = mask[i] >= 128, second = truth->alpha[i] >= 128;
    both += (size_t)(first & second);
    either += (size_t)(first | second);
  }
  return either ? (double)both / (double)either : 1;
}

static const double band_from[] = {0, 0.6, 0.7, 0.8, 0.9, 1};

void bench_bands_add(bench_bands *bands, double expected, double iou) {
  int band = 0;
  while (band + 1 < bench_band_count && expected >= band_from[band + 1]) band++;
  bands->sum[band] += iou;
  bands->count[band]++;
  bands->low[band] += iou < 0.8;
}

void bench_bands_print(const bench_bands *bands, const char *what) {
  for (int band = 0; band < bench_band_count; band++)
    if (bands->count[band] > 0)
      printf("%-12s sure %.1f to %.1f: %3zu photos, mean IoU %.3f, under 0.8: %zu\n", what, band_from[band],
             band_from[band + 1], bands->count[band], bands->sum[band] / (double)bands->count[band], bands->low[band]);
}
