/* SPDX-License-Identifier: MIT */
/* What a stroke costs: on any folder of NAME.jpg + NAME.mask.png, points where the cut-out is wrong, or else points of
 * the piece and of the ground in turn, are marked one after the other. Processor time from the stroke to the new mask.
 */
#include "bench.h"

#include <backcloth/cutout.h>
#include <glob.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { strokes_each = 8, most_strokes = 4000 };

typedef struct strokes {
  bc_context *context;
  double milliseconds[2][most_strokes]; /* without a box, in a box */
  size_t count[2];
} strokes;

static double processor_ms(void) {
  return 1000.0 * (double)clock() / CLOCKS_PER_SEC;
}

static int is_piece(const bc_cutout *mask, size_t i) {
  return mask->alpha[i] >= 128;
}

/* A pixel where the masks differ, from a place that moves with `turn`; else any pixel of the wanted side. */
static size_t next_point(const bc_cutout *found, const bc_cutout *truth, size_t turn) {
  const size_t count = (size_t)truth->width * (size_t)truth->height, start = turn * 7919 * 97 % count;
  for (size_t k = 0; k < count; k++) {
    const size_t i = (start + k) % count;
    if (is_piece(found, i) != is_piece(truth, i)) return i;
  }
  for (size_t k = 0; k < count; k++) {
    const size_t i = (start + k) % count;
    if (is_piece(truth, i) == (int)(turn & 1)) return i;
  }
  return start;
}

static bc_status stroke(strokes *s, bc_cutout_session *session, bc_cutout **found, const bc_image *image,
                        const bc_cutout *truth, size_t turn, int in_box) {
  const size_t i = next_point(*found, truth, turn);
  const size_t width = (size_t)image->width;
  const bc_point_px point = {(int)(i % width * (size_t)image->full_width / width),
                             (int)(i / width * (size_t)image->full_height / (size_t)image->height)};
  bc_cutout_free(*found);
  *found = NULL;
  const double start = processor_ms();
  bc_status status = bc_cutout_session_add(session, s->context, is_piece(truth, i), &point, 1);
  if (status == BC_OK) status = bc_cutout_session_find(found, session, s->context);
  if (status == BC_OK && s->count[in_box] < most_strokes)
    s->milliseconds[in_box][s->count[in_box]++] = processor_ms() - start;
  return status;
}

static bc_status run_session(strokes *s, const bc_image *image, const bc_cutout *truth, int in_box) {
  bc_cutout_options options = bc_cutout_options_default();
  const double across = (double)image->full_width / image->width, down = (double)image->full_height / image->height;
  options.has_box = in_box;
  options.box = (bc_box){(int)(truth->box.x * across), (int)(truth->box.y * down), (int)(truth->box.width * across),
                         (int)(truth->box.height * down)};
  bc_cutout_session *session = NULL;
  bc_cutout *found = NULL;
  bc_status status = bc_cutout_session_new(&session, s->context, image, &options);
  if (status == BC_OK) status = bc_cutout_session_find(&found, session, s->context);
  for (size_t turn = 0; status == BC_OK && turn < strokes_each; turn++)
    status = stroke(s, session, &found, image, truth, turn, in_box);
  bc_cutout_free(found);
  bc_cutout_session_free(session);
  return status;
}

static void run_photo(strokes *s, const char *photo_path) {
  char mask[4096];
  snprintf(mask, sizeof mask, "%.*s.mask.png", (int)strlen(photo_path) - 4, photo_path);
  if (access(mask, R_OK) != 0) return;
  bc_photo_options options = bc_photo_options_default();
  options.wanted_side = BC_READING_SIDE;
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_cutout *truth = NULL;
  bc_status status = bc_photo_open(&photo, s->context, photo_path, &options);
  if (status == BC_OK) status = bc_image_from_photo(&image, s->context, photo, NULL);
  if (status == BC_OK) status = bc_cutout_from_mask(&truth, s->context, image, mask);
  if (status == BC_OK) status = run_session(s, image, truth, 0);
  if (status == BC_OK) status = run_session(s, image, truth, 1);
  if (status != BC_OK) fprintf(stderr, "%s\n", bc_context_message(s->context));
  bc_cutout_free(truth);
  bc_image_free(image);
  bc_photo_free(photo);
}

static int ascending(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

static void report(double *milliseconds, size_t count, const char *how) {
  size_t slow = 0;
  if (count == 0) return;
  qsort(milliseconds, count, sizeof *milliseconds, ascending);
  for (size_t i = 0; i < count; i++) slow += milliseconds[i] > 50;
  printf("%zu strokes %s, processor time: median %.1f ms, worst %.1f ms, over 50 ms: %.1f %%\n", count, how,
         milliseconds[count / 2], milliseconds[count - 1], 100 * (double)slow / (double)count);
}

int bench_strokes(int argc, char **argv) {
  if (argc != 2) {
    fprintf(stderr, "usage: backcloth-bench strokes FOLDER   (NAME.jpg and NAME.mask.png)\n");
    return 64;
  }
  char pattern[4096];
  snprintf(pattern, sizeof pattern, "%s/*.jpg", argv[1]);
  glob_t photos;
  static strokes s;
  if (glob(pattern, 0, NULL, &photos) != 0 || bc_context_new(&s.context) != BC_OK) {
    fprintf(stderr, "%s: no NAME.jpg there.\n", argv[1]);
    return 66;
  }
  for (size_t i = 0; i < photos.gl_pathc; i++) run_photo(&s, photos.gl_pathv[i]);
  globfree(&photos);
  bc_context_free(s.context);
  if (s.count[0] + s.count[1] == 0) return 66;
  report(s.milliseconds[0], s.count[0], "without a box");
  report(s.milliseconds[1], s.count[1], "in a box");
  return 0;
}
