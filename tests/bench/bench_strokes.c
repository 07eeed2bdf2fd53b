/* SPDX-License-Identifier: MIT */
/* What a stroke costs and what it mends: on any folder of NAME.jpg + NAME.mask.png, the middle of the largest wrong
 * place is tapped, again and again; and, apart from that, the place that the cut-out itself asks about. Processor time
 * from the stroke to the new mask; overlap after each stroke. */
#include "bench.h"
#include "pairs.h"

#include <backcloth/cutout.h>
#include <stdlib.h>
#include <time.h>

enum { strokes_each = 4, most_strokes = 4000 };

typedef struct strokes {
  bc_context *context;
  double milliseconds[2][most_strokes]; /* without a box, in a box */
  size_t count[2], photos;
  double overlap[2][2][strokes_each + 1]; /* by who chooses the place; sums over photos */
} strokes;

static double processor_ms(void) {
  return 1000.0 * (double)clock() / CLOCKS_PER_SEC;
}

static int is_piece(const bc_cutout *mask, size_t i) {
  return mask->alpha[i] >= 128;
}

static int smallest(int first, int second, int third) {
  const int least = first < second ? first : second;
  return least < third ? least : third;
}

/* Where a person would tap: the middle of the largest square of wrong pixels (side of the square that ends at each
 * pixel, row by row). Returns 0 when nothing wider than 2 pixels is wrong. */
static int find_worst(size_t *worst, const bc_cutout *found, const bc_cutout *truth) {
  const size_t width = (size_t)truth->width, count = width * (size_t)truth->height;
  int *side = calloc(count, sizeof *side), widest = 2;
  for (size_t i = 0; side && i < count; i++) {
    if (is_piece(found, i) == is_piece(truth, i)) continue;
    const int inside = i >= width && i % width > 0;
    side[i] = 1 + (inside ? smallest(side[i - 1], side[i - width], side[i - width - 1]) : 0);
    if (side[i] <= widest) continue;
    widest = side[i];
    *worst = i - (size_t)(widest / 2) * (width + 1);
  }
  free(side);
  return widest > 2;
}

static bc_status stroke(strokes *s, bc_cutout_session *session, bc_cutout **found, const bc_image *image,
                        const bc_cutout *truth, int in_box, int asked) {
  size_t i = 0;
  const size_t width = (size_t)image->width;
  const bc_cutout_doubts *doubts = &(*found)->doubts;
  if (asked && !doubts->has_tap) return BC_OK;
  if (asked)
    i = (size_t)(doubts->tap.y * (int64_t)image->height / image->full_height) * width +
        (size_t)(doubts->tap.x * (int64_t)image->width / image->full_width);
  else if (!find_worst(&i, *found, truth))
    return BC_OK;
  const bc_point_px point = {(int)(i % width * (size_t)image->full_width / width),
                             (int)(i / width * (size_t)image->full_height / (size_t)image->height)};
  bc_cutout_free(*found);
  *found = NULL;
  const double start = processor_ms();
  bc_status status = bc_cutout_session_add(session, s->context, is_piece(truth, i), &point, 1);
  if (status == BC_OK) status = bc_cutout_session_find(found, session, s->context);
  if (status == BC_OK && !asked && s->count[in_box] < most_strokes)
    s->milliseconds[in_box][s->count[in_box]++] = processor_ms() - start;
  return status;
}

static bc_status run_session(strokes *s, const bc_image *image, const bc_cutout *truth, const bc_box *box, int in_box,
                             int asked) {
  bc_cutout_options options = bc_cutout_options_default();
  options.has_box = in_box;
  options.box = *box;
  bc_cutout_session *session = NULL;
  bc_cutout *found = NULL;
  bc_status status = bc_cutout_session_new(&session, s->context, image, &options);
  if (status == BC_OK) status = bc_cutout_session_find(&found, session, s->context);
  for (size_t turn = 0; status == BC_OK && turn <= strokes_each; turn++) {
    s->overlap[asked][in_box][turn] += bench_overlap(found->alpha, truth);
    if (turn < strokes_each) status = stroke(s, session, &found, image, truth, in_box, asked);
  }
  bc_cutout_free(found);
  bc_cutout_session_free(session);
  return status;
}

static void run_photo(void *data, const bench_pair *pair, const char *path) {
  strokes *s = data;
  bc_status status = BC_OK;
  for (int way = 0; way < 4 && status == BC_OK; way++)
    status = run_session(s, pair->image, pair->truth, &pair->box, way & 1, way >> 1);
  if (status != BC_OK) fprintf(stderr, "%s: %s\n", path, bc_context_message(s->context));
  s->photos += status == BC_OK;
}

static int ascending(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

static void report_overlap(const strokes *s, int in_box, int asked, const char *how) {
  printf("%zu photos %s, mean IoU after 0 to %d strokes:", s->photos, how, strokes_each);
  for (int turn = 0; turn <= strokes_each; turn++) printf(" %.4f", s->overlap[asked][in_box][turn] / (double)s->photos);
  putchar('\n');
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
  static strokes s;
  if (bc_context_new(&s.context) != BC_OK) return 70;
  if (bench_pairs(s.context, argv[1], run_photo, &s) == 0)
    fprintf(stderr, "%s: no NAME.jpg with a NAME.mask.png there.\n", argv[1]);
  bc_context_free(s.context);
  if (s.count[0] + s.count[1] == 0) return 66;
  report(s.milliseconds[0], s.count[0], "without a box");
  report(s.milliseconds[1], s.count[1], "in a box");
  report_overlap(&s, 0, 0, "without a box");
  report_overlap(&s, 1, 0, "in a box");
  report_overlap(&s, 0, 1, "without a box, tapped where the cut-out asks");
  report_overlap(&s, 1, 1, "in a box, tapped where the cut-out asks");
  return 0;
}
