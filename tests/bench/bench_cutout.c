/* SPDX-License-Identifier: MIT */
/* Masks measured on any folders of NAME.jpg + NAME.mask.png: automatic, with the mask's bounding box, and
 * beside them the GrabCut of OpenCV with the same box (python3-opencv, a yardstick only, where installed). */
#include "bench.h"
#include "pairs.h"

#include <backcloth/cutout.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

typedef struct result {
  double iou, boundary, milliseconds, confidence;
} result;

typedef struct tally {
  const char *name;
  result *of; /* of all folders */
  size_t count, room;
  int folders;
  result sum; /* of the folders' means */
  double least;
} tally;

/* ---- measures ---- */

/* Marks the pixels of the mask that touch a pixel outside it. */
static void outline(uint8_t *to, const uint8_t *mask, int width, int height) {
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const int i = y * width + x;
      const int inside = mask[i] >= 128;
      const int right = x + 1 < width ? mask[i + 1] >= 128 : inside;
      const int below = y + 1 < height ? mask[i + width] >= 128 : inside;
      to[i] = (uint8_t)(inside != right || inside != below);
    }
}

/* Share of the outline `of` that has the outline `near` within `reach` pixels. */
static double share_near(const uint8_t *of, const uint8_t *near, int width, int height, int reach) {
  size_t all = 0, found = 0;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      if (!of[y * width + x]) continue;
      int hit = 0;
      for (int dy = -reach; dy <= reach && !hit; dy++)
        for (int dx = -reach; dx <= reach && !hit; dx++) {
          const int at_x = x + dx, at_y = y + dy;
          if (dx * dx + dy * dy > reach * reach || at_x < 0 || at_y < 0 || at_x >= width || at_y >= height) continue;
          hit = near[at_y * width + at_x];
        }
      all++;
      found += (size_t)hit;
    }
  return all ? (double)found / (double)all : 0;
}

/* Boundary F-measure with a tolerance of 2 px for every 400 px of the longer side. */
static double boundary_f(const uint8_t *mask, const uint8_t *truth, int width, int height) {
  const int longest = width > height ? width : height;
  const int reach = longest < 400 ? 2 : 2 * longest / 400;
  const size_t count = (size_t)width * (size_t)height;
  uint8_t *first = malloc(count), *second = malloc(count);
  double f = 0;
  if (first && second) {
    outline(first, mask, width, height);
    outline(second, truth, width, height);
    const double precision = share_near(first, second, width, height, reach);
    const double recall = share_near(second, first, width, height, reach);
    f = precision + recall > 0 ? 2 * precision * recall / (precision + recall) : 0;
  }
  free(first);
  free(second);
  return f;
}

static result measure(const uint8_t *mask, const bc_cutout *truth, double seconds) {
  return (result){.iou = bench_overlap(mask, truth),
                  .boundary = boundary_f(mask, truth->alpha, truth->width, truth->height),
                  .milliseconds = 1000 * seconds};
}

/* ---- ours ---- */

static bool without_network; /* for comparison */

static result run_ours(bc_context *context, const bc_image *image, const bc_cutout *truth, const bc_box *box) {
  bc_cutout_options options = bc_cutout_options_default();
  options.has_box = box != NULL;
  options.without_network = without_network;
  if (box) options.box = *box;
  bc_cutout *cutout = NULL;
  const clock_t start = clock();
  const bc_status status = bc_cutout_find(&cutout, context, image, &options);
  const double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
  result got = {.milliseconds = 1000 * seconds};
  if (status == BC_OK) got = measure(cutout->alpha, truth, seconds);
  if (status == BC_OK) got.confidence = cutout->confidence;
  bc_cutout_free(cutout);
  return got;
}

/* ---- the yardstick ---- */

static const char script[] = "import sys, time, cv2, numpy as np\n"
                             "photo, out = sys.argv[1], sys.argv[2]\n"
                             "w, h, x, y, bw, bh = map(int, sys.argv[3:9])\n"
                             "im = cv2.imread(photo)\n"
                             "im = cv2.resize(im, (w, h), interpolation=cv2.INTER_AREA)\n"
                             "m = np.zeros((h, w), np.uint8)\n"
                             "t = time.perf_counter()\n"
                             "cv2.setRNGSeed(0)\n"
                             "cv2.grabCut(im, m, (x, y, bw, bh), np.zeros((1, 65)), np.zeros((1, 65)), 5, "
                             "cv2.GC_INIT_WITH_RECT)\n"
                             "t = time.perf_counter() - t\n"
                             "(((m & 1) * 255).astype(np.uint8)).tofile(out)\n"
                             "print(t)\n";

static int have_yardstick(void) {
  return system("/usr/bin/python3 -c 'import cv2' >/dev/null 2>&1") == 0;
}

/* A path in single quotes for the shell. */
static void quote(char *to, size_t size, const char *path) {
  size_t n = 0;
  to[n++] = '\'';
  for (; *path && n + 6 < size; path++) {
    if (*path == '\'') {
      memcpy(to + n, "'\\''", 4);
      n += 4;
    } else {
      to[n++] = *path;
    }
  }
  to[n++] = '\'';
  to[n] = 0;
}

static int read_mask(uint8_t *mask, size_t count, const char *path) {
  FILE *stream = fopen(path, "rb");
  const int whole = stream && fread(mask, 1, count, stream) == count;
  if (stream) fclose(stream);
  return whole;
}

static result run_yardstick(const char *photo, const bc_cutout *truth, const char *folder) {
  char command[6000], quoted[4200], out[300], program[300];
  snprintf(out, sizeof out, "%s/mask", folder);
  snprintf(program, sizeof program, "%s/grabcut.py", folder);
  quote(quoted, sizeof quoted, photo);
  snprintf(command, sizeof command, "/usr/bin/python3 %s %s %s %d %d %d %d %d %d", program, quoted, out, truth->width,
           truth->height, truth->box.x, truth->box.y, truth->box.width, truth->box.height);
  FILE *pipe = popen(command, "r");
  double seconds = 0;
  if (!pipe || fscanf(pipe, "%lf", &seconds) != 1) seconds = -1;
  if (pipe) pclose(pipe);
  const size_t count = (size_t)truth->width * (size_t)truth->height;
  uint8_t *mask = malloc(count);
  result got = {0};
  if (mask && seconds >= 0 && read_mask(mask, count, out)) got = measure(mask, truth, seconds);
  free(mask);
  unlink(out);
  return got;
}

/* ---- the report ---- */

static int ascending(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

static void add(tally *t, result r) {
  if (t->count == t->room) {
    t->room = t->room ? 2 * t->room : 64;
    t->of = realloc(t->of, t->room * sizeof *t->of);
    if (!t->of) exit(70);
  }
  t->of[t->count++] = r;
}

/* Prints the line of the folder whose photos begin at `from`, and adds its means to those over folders. */
static void summarise(tally *t, size_t from) {
  const size_t count = t->count - from;
  double *iou = malloc((count + 1) * sizeof *iou);
  if (!iou || count == 0) {
    free(iou);
    return;
  }
  double mean = 0, boundary = 0, milliseconds = 0;
  size_t low = 0;
  for (size_t i = 0; i < count; i++) {
    const result *r = &t->of[from + i];
    iou[i] = r->iou;
    mean += r->iou / (double)count;
    boundary += r->boundary / (double)count;
    milliseconds += r->milliseconds / (double)count;
    low += r->iou < 0.5;
  }
  qsort(iou, count, sizeof *iou, ascending);
  const double median = count & 1 ? iou[count / 2] : (iou[count / 2] + iou[count / 2 - 1]) / 2;
  printf("%-12s mean IoU %.4f  median %.4f  least %.4f  boundary F %.4f  under 0.5: %4.1f %%  %7.1f ms a photo\n",
         t->name, mean, median, iou[0], boundary, 100 * (double)low / (double)count, milliseconds);
  t->folders++;
  t->sum.iou += mean;
  t->sum.boundary += boundary;
  t->least = t->folders == 1 ? iou[0] : fmin(t->least, iou[0]);
  free(iou);
}

static void summarise_folders(const tally *t) {
  if (t->folders > 0)
    printf("%-12s mean of folders: IoU %.4f  boundary F %.4f   least of all photos %.4f\n", t->name,
           t->sum.iou / t->folders, t->sum.boundary / t->folders, t->least);
}

static void summarise_bands(const tally *t) {
  bench_bands bands = {{0}, {0}, {0}};
  for (size_t i = 0; i < t->count; i++) bench_bands_add(&bands, t->of[i].confidence, t->of[i].iou);
  bench_bands_print(&bands, t->name);
}

typedef struct bench {
  bc_context *context;
  tally automatic, boxed, yardstick;
  const char *scratch; /* folder of the yardstick; NULL: no yardstick */
} bench;

static void run_pair(void *data, const bench_pair *pair, const char *photo) {
  bench *b = data;
  const result first = run_ours(b->context, pair->image, pair->truth, NULL);
  const result second = run_ours(b->context, pair->image, pair->truth, &pair->box);
  add(&b->automatic, first);
  add(&b->boxed, second);
  printf("%-28s automatic %.3f F %.3f (sure %.2f)   box %.3f F %.3f (sure %.2f)", pair->name, first.iou, first.boundary,
         first.confidence, second.iou, second.boundary, second.confidence);
  if (b->scratch) {
    const result third = run_yardstick(photo, pair->truth, b->scratch);
    add(&b->yardstick, third);
    printf("   GrabCut %.3f F %.3f", third.iou, third.boundary);
  }
  printf("\n");
}

static void run_folder(bench *b, const char *folder) {
  tally *const all[] = {&b->automatic, &b->boxed, &b->yardstick};
  const size_t from = b->automatic.count;
  if (bench_pairs(b->context, folder, run_pair, b) == 0)
    fprintf(stderr, "%s: no NAME.jpg with NAME.mask.png there.\n", folder);
  else
    printf("%s: %zu photos\n", folder, b->automatic.count - from);
  for (int i = 0; i < 3; i++) summarise(all[i], all[i] == &b->yardstick && !b->scratch ? all[i]->count : from);
}

static int run_all(bench *b, char **folders, int count) {
  b->automatic.name = "automatic";
  b->boxed.name = "box";
  b->yardstick.name = "GrabCut+box";
  for (int i = 0; i < count; i++) run_folder(b, folders[i]);
  tally *const all[] = {&b->automatic, &b->boxed, &b->yardstick};
  for (int i = 0; i < 3 && b->automatic.folders > 1; i++) summarise_folders(all[i]);
  summarise_bands(&b->automatic);
  summarise_bands(&b->boxed);
  for (int i = 0; i < 3; i++) free(all[i]->of);
  return b->automatic.count > 0 ? 0 : 66;
}

/* Runs with a scratch folder for the yardstick, if it is installed. */
static int run_beside_yardstick(bench *b, char **folders, int count) {
  char scratch[] = "/tmp/backcloth-bench-XXXXXX", program[300];
  if (!have_yardstick() || !mkdtemp(scratch)) return run_all(b, folders, count);
  snprintf(program, sizeof program, "%s/grabcut.py", scratch);
  FILE *stream = fopen(program, "w");
  if (stream) {
    fputs(script, stream);
    if (fclose(stream) == 0) b->scratch = scratch;
  }
  const int code = run_all(b, folders, count);
  unlink(program);
  rmdir(scratch);
  return code;
}

int bench_cutout(int argc, char **argv) {
  without_network = argc > 1 && strcmp(argv[argc - 1], "classical") == 0;
  const int alone =
      without_network || (argc > 1 && strcmp(argv[argc - 1], "alone") == 0); /* the yardstick takes long */
  const int count = argc - 1 - alone;
  bench b = {0};
  if (count < 1) {
    fprintf(stderr, "usage: backcloth-bench cutout FOLDER... [alone | classical]   (NAME.jpg and NAME.mask.png)\n");
    return 64;
  }
  if (bc_context_new(&b.context) != BC_OK) return 70;
  const int code = alone ? run_all(&b, argv + 1, count) : run_beside_yardstick(&b, argv + 1, count);
  bc_context_free(b.context);
  return code;
}
