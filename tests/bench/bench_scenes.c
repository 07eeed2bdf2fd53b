/* SPDX-License-Identifier: MIT */
/* Makes photos of which the mask is known: pieces of one folder (NAME.jpg, NAME.mask.png) laid, with a soft shadow,
 * on what lies beside the pieces of another. Always the same for the same folders and SEED. Feeds `cutout`. */
#include "bench.h"
#include "scene_file.h"

#include <backcloth/reading.h>
#include <glob.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { LONG_SIDE = 640, SHORT_SIDE = 480 };

/* ---- what is combined ---- */

typedef struct source {
  bc_image *image;
  bc_cutout *mask; /* NULL: all ground */
} source;

static void source_clear(source *from) {
  bc_cutout_free(from->mask);
  bc_image_free(from->image);
  *from = (source){0};
}

static bc_status source_open(source *out, bc_context *context, const char *path) {
  char mask[4096];
  bc_photo *photo = NULL;
  *out = (source){0};
  bc_status status = bc_photo_open(&photo, context, path, NULL);
  if (status == BC_OK) status = bc_image_from_photo(&out->image, context, photo, NULL);
  bc_photo_free(photo);
  snprintf(mask, sizeof mask, "%.*s.mask.png", (int)strlen(path) - 4, path);
  if (status == BC_OK && access(mask, R_OK) == 0) status = bc_cutout_from_mask(&out->mask, context, out->image, mask);
  if (status != BC_OK) source_clear(out);
  return status;
}

static void colour_at(double rgb[3], const bc_image *image, int x, int y) {
  const size_t i = (size_t)y * (size_t)image->width + (size_t)x;
  bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, rgb);
}

/* Linear light and alpha (0..1) between pixels; outside the picture alpha is 0. */
static double sample(double rgb[3], const source *from, double x, double y) {
  const int left = (int)floor(x), top = (int)floor(y);
  double alpha = 0, sum[3] = {0};
  for (int k = 0; k < 4; k++) {
    const int column = left + (k & 1), row = top + (k >> 1);
    if (column < 0 || row < 0 || column >= from->image->width || row >= from->image->height) continue;
    const double share = (k & 1 ? x - left : 1 - x + left) * (k >> 1 ? y - top : 1 - y + top);
    const size_t at = (size_t)row * (size_t)from->image->width + (size_t)column;
    const double here = share * (from->mask ? from->mask->alpha[at] / 255.0 : 1);
    double colour[3];
    colour_at(colour, from->image, column, row);
    for (int c = 0; c < 3; c++) sum[c] += here * colour[c];
    alpha += here;
  }
  for (int c = 0; c < 3; c++) rgb[c] = alpha > 0 ? sum[c] / alpha : 0;
  return alpha;
}

/* ---- a piece of ground without the piece that stands on it ---- */

static int is_free(const bc_cutout *mask, bc_box box) {
  for (int y = box.y; mask && y < box.y + box.height; y += 2)
    for (int x = box.x; x < box.x + box.width; x += 2)
      if (mask->alpha[(size_t)y * (size_t)mask->width + (size_t)x] > 0) return 0;
  return 1;
}

/* The largest of many windows of the scene's proportions that hold no piece. */
static bc_box find_ground(const source *ground, int width, int height) {
  bc_box best = {0};
  for (int attempt = 0; attempt < 4000; attempt++) {
    const double share = bench_between(0.1, 1), w = share * ground->image->width, h = w * height / width;
    const double x = bench_chance() * (ground->image->width - w), y = bench_chance() * (ground->image->height - h);
    const bc_box box = {(int)x, (int)y, (int)w, (int)h};
    if (box.width <= best.width || box.y < 0 || box.y + box.height > ground->image->height) continue;
    if (is_free(ground->mask, box)) best = box;
  }
  return best;
}

/* ---- the scene ---- */

static void lay_ground(bench_scene *to, const source *ground, bc_box box) {
  const double scale = (double)box.width / to->width;
  const source plain = {.image = ground->image};
  for (int y = 0; y < to->height; y++)
    for (int x = 0; x < to->width; x++)
      sample(to->rgb + 3 * (y * to->width + x), &plain, box.x + x * scale, box.y + y * scale);
}

/* Alpha and colour of the piece at a pixel of the scene, averaged over 3 x 3 places in it. */
static double piece_at(double rgb[3], const source *piece, const double place[3], int x, int y) {
  double alpha = 0, sum[3] = {0};
  for (int k = 0; k < 9; k++) {
    const double at_x = piece->mask->box.x + (x + k % 3 / 3.0 - place[0]) * place[2];
    const double at_y = piece->mask->box.y + (y + (k - k % 3) / 9.0 - place[1]) * place[2];
    double colour[3];
    const double here = sample(colour, piece, at_x, at_y) / 9;
    for (int c = 0; c < 3; c++) sum[c] += here * colour[c];
    alpha += here;
  }
  for (int c = 0; c < 3; c++) rgb[c] = sum[c];
  return alpha;
}

static void blur_shadow(bench_scene *all, int reach) {
  double *from = all->shadow;
  for (int pass = 0; pass < 4; pass++) { /* twice along, twice down */
    const int step = pass & 1 ? all->width : 1, length = pass & 1 ? all->height : all->width;
    const int lines = pass & 1 ? all->width : all->height;
    double line[LONG_SIDE];
    for (int l = 0; l < lines; l++) {
      double *start = from + (pass & 1 ? l : l * all->width), sum = 0;
      for (int i = 0; i < length; i++) line[i] = start[i * step];
      for (int i = -reach; i < length; i++) {
        if (i + reach < length) sum += line[i + reach];
        if (i - reach - 1 >= 0) sum -= line[i - reach - 1];
        if (i >= 0) start[i * step] = sum / (2 * reach + 1);
      }
    }
  }
}

static void lay_piece(bench_scene *to, const source *piece, const double place[3]) {
  const double light = bench_between(0.8, 1.15), depth = bench_between(0.2, 0.6);
  const int aside = (int)bench_between(-14, 14), down = (int)bench_between(2, 16);
  double *colours = calloc(3 * (size_t)(to->width * to->height), sizeof *colours);
  if (!colours) return;
  for (int y = 0; y < to->height; y++)
    for (int x = 0; x < to->width; x++) {
      const int i = y * to->width + x, under = (y + down) * to->width + x + aside;
      to->alpha[i] = piece_at(colours + 3 * i, piece, place, x, y);
      if (x + aside >= 0 && x + aside < to->width && y + down < to->height) to->shadow[under] = to->alpha[i];
    }
  blur_shadow(to, 8);
  for (int i = 0; i < to->width * to->height; i++)
    for (int c = 0; c < 3; c++) {
      const double ground = to->rgb[3 * i + c] * (1 - depth * to->shadow[i]);
      to->rgb[3 * i + c] = light * colours[3 * i + c] + (1 - to->alpha[i]) * ground;
    }
  free(colours);
}

/* ---- writing ---- */

static bc_status make_scene(bc_context *context, const source *piece, const source *ground, const char *name) {
  const int upright = piece->mask->box.height > piece->mask->box.width;
  bench_scene all;
  bc_status status = BC_OUR_FAULT;
  if (bench_scene_new(&all, upright ? SHORT_SIDE : LONG_SIDE, upright ? LONG_SIDE : SHORT_SIDE)) {
    const bc_box box = find_ground(ground, all.width, all.height);
    const double share = bench_between(0.4, 0.8), across = piece->mask->box.width, down = piece->mask->box.height;
    const double scale = fmax(across / (share * all.width), down / (share * all.height)); /* piece pixels per pixel */
    const double place[3] = {bench_between(0.1, 0.9) * (all.width - across / scale),
                             bench_between(0.1, 0.9) * (all.height - down / scale), scale};
    char path[4200];
    lay_ground(&all, ground, box);
    lay_piece(&all, piece, place);
    snprintf(path, sizeof path, "%s.jpg", name);
    const int failed = box.width == 0 || bench_scene_write_jpeg(&all, path);
    snprintf(path, sizeof path, "%s.mask.png", name);
    status = failed ? BC_CANNOT_WRITE : bench_scene_write_mask(&all, context, path);
  }
  bench_scene_clear(&all);
  return status;
}

/* ---- all of them ---- */

static const char *short_name(const char *path) {
  const char *slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

static int touches_border(const bc_cutout *mask) {
  const bc_box b = mask->box;
  return b.x == 0 || b.y == 0 || b.x + b.width == mask->width || b.y + b.height == mask->height;
}

static int lay_on_grounds(bc_context *context, const char *piece_path, const glob_t *grounds, const char *out,
                          int each) {
  source piece, ground;
  int made = 0;
  if (source_open(&piece, context, piece_path) != BC_OK) return 0;
  if (piece.mask && !touches_border(piece.mask) && bc_cutout_clean_edge(piece.mask, context, piece.image) == BC_OK) {
    for (int k = 0; k < each; k++) {
      const char *path = grounds->gl_pathv[(size_t)(bench_chance() * (double)grounds->gl_pathc)];
      if (strcmp(short_name(path), short_name(piece_path)) == 0) continue; /* its own ground would be no test */
      if (source_open(&ground, context, path) != BC_OK) continue;
      char name[4096];
      snprintf(name, sizeof name, "%s/%.*s-on-%.*s", out, (int)strlen(short_name(piece_path)) - 4,
               short_name(piece_path), (int)strlen(short_name(path)) - 4, short_name(path));
      made += make_scene(context, &piece, &ground, name) == BC_OK;
      source_clear(&ground);
    }
  }
  source_clear(&piece);
  return made;
}

int bench_scenes(int argc, char **argv) {
  bc_context *context = NULL;
  glob_t pieces, grounds;
  char pattern[4096];
  if (argc < 4 || argc > 6) {
    fprintf(stderr, "usage: backcloth-bench scenes PIECES GROUNDS OUT [EACH [SEED]]\n");
    return 64;
  }
  const int each = argc > 4 ? atoi(argv[4]) : 4;
  snprintf(pattern, sizeof pattern, "%s/*.jpg", argv[1]);
  if (glob(pattern, 0, NULL, &pieces) != 0) return fprintf(stderr, "%s: no NAME.jpg there.\n", argv[1]), 66;
  snprintf(pattern, sizeof pattern, "%s/*.jpg", argv[2]);
  if (glob(pattern, 0, NULL, &grounds) != 0) return fprintf(stderr, "%s: no NAME.jpg there.\n", argv[2]), 66;
  if (bc_context_new(&context) != BC_OK) return 70;
  int made = 0;
  bench_chance_state = argc > 5 ? (uint32_t)strtoul(argv[5], NULL, 10) : 20260612u;
  for (size_t i = 0; i < pieces.gl_pathc; i++)
    made += lay_on_grounds(context, pieces.gl_pathv[i], &grounds, argv[3], each);
  printf("%d scenes in %s\n", made, argv[3]);
  globfree(&pieces);
  globfree(&grounds);
  bc_context_free(context);
  return made > 0 ? 0 : 66;
}
