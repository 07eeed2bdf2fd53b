/* SPDX-License-Identifier: MIT */
/* Masks measured on any folder of NAME.jpg + NAME.mask.png: automatic, with the mask's bounding box, and
 * beside them the GrabCut of OpenCV with the same box (python3-opencv, a yardstick only, where installed). */
#include "bench.h"

#include <backcloth/cutout.h>
#include <glob.h>
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
  result *of;
  size_t count;
} tally;

/* ---- measures ---- */

static double overlap(const uint8_t *mask, const uint8_t *truth, size_t count) {
  size_t both = 0, either = 0;
  for (size_t i = 0; i < count; i++) {
    const int first = mask[i] >= 128, second = truth[i] >= 128;
    both += (size_t)(first & second);
    either += (size_t)(first | second);
  }
  return either ? (double)both / (double)either : 1;
}

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
  const size_t count = (size_t)truth->width * (size_t)truth->height;
  return (result){.iou = overlap(mask, truth->alpha, count),
                  .boundary = boundary_f(mask, truth->alpha, truth->width, truth->height),
                  .milliseconds = 1000 * seconds};
}

/* ---- ours ---- */

static bc_status load(bc_image **out, bc_context *context, const char *path) {
  bc_photo_options options = bc_photo_options_default();
  options.wanted_side = BC_READING_SIDE;
  bc_photo *photo = NULL;
  bc_status status = bc_photo_open(&photo, context, path, &options);
  if (status == BC_OK) status = bc_image_from_photo(out, context, photo, NULL);
  bc_photo_free(photo);
  return status;
}

/* The truth's box in pixels of the full photo, outwards. */
static bc_box full_box(const bc_cutout *truth, const bc_image *image) {
  const double across = (double)image->full_width / image->width, down = (double)image->full_height / image->height;
  const int left = (int)floor(truth->box.x * across), top = (int)floor(truth->box.y * down);
  int right = (int)ceil((truth->box.x + truth->box.width) * across);
  int bottom = (int)ceil((truth->box.y + truth->box.height) * down);
  if (right > image->full_width) right = image->full_width;
  if (bottom > image->full_height) bottom = image->full_height;
  return (bc_box){left, top, right - left, bottom - top};
}

static result run_ours(bc_context *context, const bc_image *image, const bc_cutout *truth, const bc_box *box) {
  bc_cutout_options options = bc_cutout_options_default();
  options.has_box = box != NULL;
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

static void summarise(const tally *t) {
  double *iou = malloc((t->count + 1) * sizeof *iou);
  if (!iou || t->count == 0) {
    free(iou);
    return;
  }
  double mean = 0, boundary = 0, milliseconds = 0;
  size_t low = 0;
  for (size_t i = 0; i < t->count; i++) {
    iou[i] = t->of[i].iou;
    mean += iou[i];
    boundary += t->of[i].boundary;
    milliseconds += t->of[i].milliseconds;
    low += iou[i] < 0.5;
  }
  qsort(iou, t->count, sizeof *iou, ascending);
  const double n = (double)t->count;
  const double median = t->count & 1 ? iou[t->count / 2] : (iou[t->count / 2] + iou[t->count / 2 - 1]) / 2;
  printf("%-12s mean IoU %.4f  median %.4f  least %.4f  boundary F %.4f  under 0.5: %4.1f %%  %7.1f ms a photo\n",
         t->name, mean / n, median, iou[0], boundary / n, 100 * (double)low / n, milliseconds / n);
  free(iou);
}

/* Is confidence, the overlap to be expected, met by the overlap found? */
static void summarise_bands(const tally *t) {
  static const double from[] = {0, 0.6, 0.7, 0.8, 0.9, 1.01};
  for (size_t band = 0; band + 1 < sizeof from / sizeof from[0]; band++) {
    double sum = 0;
    size_t count = 0, low = 0;
    for (size_t i = 0; i < t->count; i++) {
      if (t->of[i].confidence < from[band] || t->of[i].confidence >= from[band + 1]) continue;
      sum += t->of[i].iou;
      low += t->of[i].iou < 0.8;
      count++;
    }
    if (count > 0)
      printf("%-12s sure %.1f to %.1f: %3zu photos, mean IoU %.3f, under 0.8: %zu\n", t->name, from[band],
             fmin(from[band + 1], 1), count, sum / (double)count, low);
  }
}

typedef struct bench {
  bc_context *context;
  tally automatic, boxed, yardstick;
  const char *folder; /* NULL: no yardstick */
} bench;

static void run_photo(bench *b, const char *photo) {
  char mask[4096];
  snprintf(mask, sizeof mask, "%.*s.mask.png", (int)strlen(photo) - 4, photo);
  if (access(mask, R_OK) != 0) return;
  bc_image *image = NULL;
  bc_cutout *truth = NULL;
  bc_status status = load(&image, b->context, photo);
  if (status == BC_OK) status = bc_cutout_from_mask(&truth, b->context, image, mask);
  if (status == BC_OK) {
    const bc_box box = full_box(truth, image);
    const result first = b->automatic.of[b->automatic.count++] = run_ours(b->context, image, truth, NULL);
    const result second = b->boxed.of[b->boxed.count++] = run_ours(b->context, image, truth, &box);
    const char *name = strrchr(photo, '/') ? strrchr(photo, '/') + 1 : photo;
    printf("%-28.*s automatic %.3f F %.3f (sure %.2f)   box %.3f F %.3f (sure %.2f)", (int)strlen(name) - 4, name,
           first.iou, first.boundary, first.confidence, second.iou, second.boundary, second.confidence);
    if (b->folder) {
      const result third = b->yardstick.of[b->yardstick.count++] = run_yardstick(photo, truth, b->folder);
      printf("   GrabCut %.3f F %.3f", third.iou, third.boundary);
    }
    printf("\n");
  } else {
    fprintf(stderr, "%s\n", bc_context_message(b->context));
  }
  bc_cutout_free(truth);
  bc_image_free(image);
}

static int run_all(bench *b, const glob_t *photos) {
  b->automatic = (tally){.name = "automatic", .of = calloc(photos->gl_pathc + 1, sizeof(result))};
  b->boxed = (tally){.name = "box", .of = calloc(photos->gl_pathc + 1, sizeof(result))};
  b->yardstick = (tally){.name = "GrabCut+box", .of = calloc(photos->gl_pathc + 1, sizeof(result))};
  const int ready = b->automatic.of && b->boxed.of && b->yardstick.of;
  for (size_t i = 0; ready && i < photos->gl_pathc; i++) run_photo(b, photos->gl_pathv[i]);
  if (ready) {
    printf("%zu photos\n", b->automatic.count);
    summarise(&b->automatic);
    summarise(&b->boxed);
    summarise(&b->yardstick);
    summarise_bands(&b->automatic);
    summarise_bands(&b->boxed);
  }
  const int any = ready && b->automatic.count > 0;
  free(b->automatic.of);
  free(b->boxed.of);
  free(b->yardstick.of);
  return any ? 0 : 66;
}

int bench_cutout(int argc, char **argv) {
  const int alone = argc == 3 && strcmp(argv[2], "alone") == 0; /* without the yardstick, which takes long */
  if (argc != 2 && !alone) {
    fprintf(stderr, "usage: backcloth-bench cutout FOLDER [alone]   (NAME.jpg and NAME.mask.png)\n");
    return 64;
  }
  char pattern[4096], folder[] = "/tmp/backcloth-bench-XXXXXX", program[300];
  snprintf(pattern, sizeof pattern, "%s/*.jpg", argv[1]);
  glob_t photos;
  bench b = {0};
  if (glob(pattern, 0, NULL, &photos) != 0 || bc_context_new(&b.context) != BC_OK) {
    fprintf(stderr, "%s: no NAME.jpg there.\n", argv[1]);
    return 66;
  }
  const int scratch = mkdtemp(folder) != NULL;
  snprintf(program, sizeof program, "%s/grabcut.py", folder);
  FILE *stream = scratch && !alone && have_yardstick() ? fopen(program, "w") : NULL;
  if (stream) {
    fputs(script, stream);
    if (fclose(stream) == 0) b.folder = folder;
  }
  const int code = run_all(&b, &photos);
  unlink(program);
  if (scratch) rmdir(folder);
  globfree(&photos);
  bc_context_free(b.context);
  return code;
}
