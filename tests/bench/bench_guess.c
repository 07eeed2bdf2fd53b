/* SPDX-License-Identifier: MIT */
/* What the steps after the first guess keep of it and what they lose: on folders of NAME.jpg + NAME.mask.png the truth
 * itself is the guess, once at full size and once of 64 cells. Beside them the answers without a guess and in the
 * mask's box. */
#include "bench.h"
#include "pairs.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { cells = 64, edge_reach = 2 /* pixels */ };
enum { AUTOMATIC, BOXED, TRUTH, TRUTH_64, WAYS };
static const char *const way_name[WAYS] = {"automatic", "box", "truth", "truth of 64"};

typedef struct found {
  double iou, boundary, alpha_error, edge_error, milliseconds;
} found;

typedef struct sums {
  found all;
  size_t count, low;
  double least;
} sums;

typedef struct guess_bench {
  bc_context *context;
  sums of[WAYS]; /* of the folder */
  int first;     /* the first way that is wanted */
} guess_bench;

/* ---- a truth of few cells ---- */

typedef struct coarse {
  int width, height;
  float *share;
} coarse;

/* Each pixel of a map asked for at any size is that of the coarse cell which its middle lies in. */
static bool ask_coarse(void *data, const bc_image *image, int width, int height, float *probability) {
  const coarse *c = data;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const double at_x = fmin(fmax((x + 0.5) * c->width / width - 0.5, 0), c->width - 1);
      const double at_y = fmin(fmax((y + 0.5) * c->height / height - 0.5, 0), c->height - 1);
      const int left = (int)at_x, top = (int)at_y;
      const int right = left + 1 < c->width ? left + 1 : left, below = top + 1 < c->height ? top + 1 : top;
      const float u = (float)(at_x - left), v = (float)(at_y - top);
      const float *row = c->share + top * c->width, *next = c->share + below * c->width;
      probability[y * width + x] =
          (1 - v) * ((1 - u) * row[left] + u * row[right]) + v * ((1 - u) * next[left] + u * next[right]);
    }
  return true;
}

static coarse coarsen(const bc_cutout *truth, const bc_image *image) {
  const int longest = truth->width > truth->height ? truth->width : truth->height;
  coarse c = {.width = (truth->width * cells + longest / 2) / longest,
              .height = (truth->height * cells + longest / 2) / longest};
  if (c.width < 1) c.width = 1;
  if (c.height < 1) c.height = 1;
  c.share = malloc((size_t)c.width * (size_t)c.height * sizeof *c.share);
  if (!c.share) exit(70);
  bc_cutout mask = *truth;
  bc_cutout_guess_of_mask(&mask, image, c.width, c.height, c.share);
  return c;
}

/* ---- measures ---- */

static int inside(const uint8_t *alpha, int i) {
  return alpha[i] >= 128;
}

static int on_outline(const uint8_t *alpha, int width, int height, int x, int y) {
  const int i = y * width + x, here = inside(alpha, i);
  return (x + 1 < width && inside(alpha, i + 1) != here) || (y + 1 < height && inside(alpha, i + width) != here);
}

/* Share of the first outline that lies near the second. */
static double share_near(const uint8_t *first, const uint8_t *second, int width, int height) {
  size_t all = 0, near = 0;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      if (!on_outline(first, width, height, x, y)) continue;
      int hit = 0;
      for (int dy = -edge_reach; dy <= edge_reach && !hit; dy++)
        for (int dx = -edge_reach; dx <= edge_reach && !hit; dx++)
          hit = dx * dx + dy * dy <= edge_reach * edge_reach && x + dx >= 0 && y + dy >= 0 && x + dx < width &&
                y + dy < height && on_outline(second, width, height, x + dx, y + dy);
      all++;
      near += (size_t)hit;
    }
  return all ? (double)near / (double)all : 0;
}

/* Mean difference of alpha over the picture, and where the truth is soft or the answer is. */
static void measure_alpha(found *f, const uint8_t *alpha, const bc_cutout *truth) {
  double sum = 0, edge = 0, edge_count = 1e-9;
  const int count = truth->width * truth->height;
  for (int i = 0; i < count; i++) {
    const double off = abs(alpha[i] - truth->alpha[i]) / 255.0;
    const int soft = (truth->alpha[i] > 2 && truth->alpha[i] < 253) || (alpha[i] > 2 && alpha[i] < 253);
    sum += off;
    edge += soft ? off : 0;
    edge_count += soft;
  }
  f->alpha_error = sum / count;
  f->edge_error = edge / edge_count;
}

static found measure(const uint8_t *alpha, const bc_cutout *truth) {
  found f = {.iou = bench_overlap(alpha, truth)};
  const double precision = share_near(alpha, truth->alpha, truth->width, truth->height);
  const double recall = share_near(truth->alpha, alpha, truth->width, truth->height);
  f.boundary = precision + recall > 0 ? 2 * precision * recall / (precision + recall) : 0;
  measure_alpha(&f, alpha, truth);
  return f;
}

/* ---- the report ---- */

static void add(sums *to, found f) {
  to->all.iou += f.iou;
  to->all.boundary += f.boundary;
  to->all.alpha_error += f.alpha_error;
  to->all.edge_error += f.edge_error;
  to->all.milliseconds += f.milliseconds;
  if (to->count == 0 || f.iou < to->least) to->least = f.iou;
  to->count++;
  to->low += f.iou < 0.8;
}

static void print(const sums *s, int way, const char *folder) {
  const double n = (double)s->count;
  if (s->count == 0) return;
  printf(
      "%-12s mean IoU %.4f  least %.3f  under 0.8: %4.1f %%  F at 2 px %.3f  alpha off %.4f, at edges %.3f  %5.1f ms  "
      "%s\n",
      way_name[way], s->all.iou / n, s->least, 100 * (double)s->low / n, s->all.boundary / n, s->all.alpha_error / n,
      s->all.edge_error / n, s->all.milliseconds / n, folder);
}

static void run_pair(void *data, const bench_pair *pair, const char *path) {
  (void)path;
  guess_bench *b = data;
  coarse c = coarsen(pair->truth, pair->image);
  printf("%-26s", pair->name);
  for (int way = b->first; way < WAYS; way++) {
    bc_cutout_options options = bc_cutout_options_default();
    options.has_box = way == BOXED;
    options.box = pair->box;
    if (way == TRUTH) options.first_guess = bc_cutout_guess_of_mask;
    if (way == TRUTH_64) options.first_guess = ask_coarse;
    options.first_guess_data = way == TRUTH ? (void *)pair->truth : (void *)&c;
    bc_cutout *cutout = NULL;
    found f = {.alpha_error = 1};
    const clock_t start = clock();
    if (bc_cutout_find(&cutout, b->context, pair->image, &options) == BC_OK) {
      const double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
      f = measure(cutout->alpha, pair->truth);
      f.milliseconds = 1000 * seconds;
      printf("  %s %.3f F %.2f edges off %.3f (sure %.2f)", way_name[way], f.iou, f.boundary, f.edge_error,
             cutout->confidence);
    }
    bc_cutout_free(cutout);
    add(&b->of[way], f);
  }
  printf("\n");
  free(c.share);
}

int bench_guess(int argc, char **argv) {
  static guess_bench b;
  int from = 1;
  if (argc > 1 && strcmp(argv[1], "only") == 0) { /* the guesses only */
    b.first = TRUTH;
    from = 2;
  }
  if (argc <= from) {
    fprintf(stderr, "usage: backcloth-bench guess [only] FOLDER...   (NAME.jpg and NAME.mask.png)\n");
    return 64;
  }
  if (bc_context_new(&b.context) != BC_OK) return 70;
  for (int i = from; i < argc; i++) {
    memset(b.of, 0, sizeof b.of);
    if (bench_pairs(b.context, argv[i], run_pair, &b) == 0) {
      fprintf(stderr, "%s: no NAME.jpg with NAME.mask.png there.\n", argv[i]);
      continue;
    }
    for (int way = b.first; way < WAYS; way++) print(&b.of[way], way, argv[i]);
  }
  bc_context_free(b.context);
  return 0;
}
