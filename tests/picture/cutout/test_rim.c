/* SPDX-License-Identifier: MIT */
/* No halo on real shapes: pieces of the demo, whose alpha is exact, are laid on a pale and on a dark cloth; that
 * picture is cut out, cleaned and laid on black and on white. The rim must look as it does when the true piece is laid
 * there. */
#include <backcloth/cutout.h>

#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

/* ---- the true piece ---- */

typedef struct piece {
  bc_image *image;
  bc_cutout *truth;
  double *rgb; /* linear light; beyond the solid part the colour of the nearest solid pixel goes on */
  size_t count;
} piece;

static void load(piece *out, const char *name) {
  char photo_path[512], mask_path[512];
  snprintf(photo_path, sizeof photo_path, "%s/demo/photos/%s.jpg", BC_ASSETS, name);
  snprintf(mask_path, sizeof mask_path, "%s/demo/truth/%s.mask.png", BC_ASSETS, name);
  bc_photo *photo = NULL;
  assert_int_equal(bc_photo_open(&photo, context, photo_path, NULL), BC_OK);
  assert_int_equal(bc_image_from_photo(&out->image, context, photo, NULL), BC_OK);
  bc_photo_free(photo);
  assert_int_equal(bc_cutout_from_mask(&out->truth, context, out->image, mask_path), BC_OK);
  out->count = (size_t)out->image->width * (size_t)out->image->height;
  out->rgb = calloc(3 * out->count, sizeof *out->rgb);
  assert_non_null(out->rgb);
}

/* Solid colours spread outwards ring by ring (breadth first). */
static void spread_colours(piece *p) {
  const int width = p->image->width, height = p->image->height;
  int *queue = malloc(p->count * sizeof *queue);
  uint8_t *known = calloc(p->count, 1);
  size_t first = 0, last = 0;
  assert_true(queue && known);
  for (size_t i = 0; i < p->count; i++) {
    if (p->truth->alpha[i] < 255) continue;
    const bc_lab lab = {(double)p->image->L[i], (double)p->image->a[i], (double)p->image->b[i]};
    bc_lab_to_linear_srgb(lab, p->rgb + 3 * i);
    known[i] = 1;
    queue[last++] = (int)i;
  }
  while (first < last) {
    const int at = queue[first++], x = at % width, y = at / width;
    static const int step[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    for (int d = 0; d < 4; d++) {
      const int to_x = x + step[d][0], to_y = y + step[d][1], to = to_y * width + to_x;
      if (to_x < 0 || to_y < 0 || to_x >= width || to_y >= height || known[to]) continue;
      memcpy(p->rgb + 3 * to, p->rgb + 3 * at, 3 * sizeof(double));
      known[to] = 1;
      queue[last++] = to;
    }
  }
  free(queue);
  free(known);
}

static void unload(piece *p) {
  bc_cutout_free(p->truth);
  bc_image_free(p->image);
  free(p->rgb);
}

/* ---- the photo of it on a cloth ---- */

static void set_pixel(bc_image *image, size_t i, const double rgb[3]) {
  const bc_colour colour = bc_colour_from_linear_srgb(rgb);
  image->L[i] = (float)colour.lab.L;
  image->a[i] = (float)colour.lab.a;
  image->b[i] = (float)colour.lab.b;
  image->Y[i] = (float)colour.luminance;
}

/* A cloth of grey light `cloth` with a weave, unevenly lit. */
static void photograph(const piece *p, double cloth) {
  for (int y = 0; y < p->image->height; y++)
    for (int x = 0; x < p->image->width; x++) {
      const size_t i = (size_t)y * (size_t)p->image->width + (size_t)x;
      const double share = p->truth->alpha[i] / 255.0, weave = (x / 3 + y / 3) & 1 ? 1.06 : 0.94;
      const double light = cloth * weave * (0.9 + 0.2 * x / p->image->width);
      double rgb[3];
      for (int c = 0; c < 3; c++) rgb[c] = share * p->rgb[3 * i + (size_t)c] + (1 - share) * light * (1 - 0.06 * c);
      set_pixel(p->image, i, rgb);
    }
}

/* ---- errors at the rim ---- */

typedef struct errors {
  double mean, p99, judged;
} errors;

static int ascending(const void *first, const void *second) {
  const float a = *(const float *)first, b = *(const float *)second;
  return (a > b) - (a < b);
}

static int is_soft(const bc_cutout *mask, int x, int y) {
  if (x < 0 || y < 0 || x >= mask->width || y >= mask->height) return 0;
  const uint8_t alpha = mask->alpha[(size_t)y * (size_t)mask->width + (size_t)x];
  return alpha > 0 && alpha < 255;
}

/* Within two pixels of a soft one of the true edge. */
static int is_rim(const bc_cutout *truth, int x, int y) {
  for (int dy = -2; dy <= 2; dy++)
    for (int dx = -2; dx <= 2; dx++)
      if (is_soft(truth, x + dx, y + dy)) return 1;
  return 0;
}

/* What the eye gets of a rim one pixel wide: light averaged over 3 x 3 pixels. */
static bc_lab seen(const double *rgb, int width, int height, int x, int y) {
  double sum[3] = {0};
  int n = 0;
  for (int row = y - 1; row <= y + 1; row++)
    for (int column = x - 1; column <= x + 1; column++) {
      if (row < 0 || column < 0 || row >= height || column >= width) continue;
      for (int c = 0; c < 3; c++) sum[c] += rgb[3 * (row * width + column) + c];
      n++;
    }
  for (int c = 0; c < 3; c++) sum[c] /= n;
  return bc_colour_from_linear_srgb(sum).lab;
}

static void lay(double *to, const double *rgb, const bc_image *image, const uint8_t *alpha, size_t count,
                double ground) {
  for (size_t i = 0; i < count; i++) {
    double colour[3];
    if (image)
      bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, colour);
    else
      memcpy(colour, rgb + 3 * i, sizeof colour);
    for (size_t c = 0; c < 3; c++) to[3 * i + c] = ground + alpha[i] / 255.0 * (colour[c] - ground);
  }
}

/* A halo is old background that stays on; where solid piece was cut away, the overlap (unit tests, bench) judges. */
static int is_cut_away(const bc_cutout *mask, const bc_cutout *truth, int x, int y) {
  for (int dy = -1; dy <= 1; dy++)
    for (int dx = -1; dx <= 1; dx++) {
      const int column = x + dx, row = y + dy;
      if (column < 0 || row < 0 || column >= mask->width || row >= mask->height) continue;
      const size_t i = (size_t)row * (size_t)mask->width + (size_t)column;
      if (mask->alpha[i] + 128 < truth->alpha[i]) return 1;
    }
  return 0;
}

static errors compare(const piece *p, const bc_cutout *mask, const double *got, const double *want) {
  const int width = p->image->width, height = p->image->height;
  float *found = malloc(p->count * sizeof *found);
  size_t count = 0, rim = 0;
  double sum = 0;
  assert_non_null(found);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      if (!is_rim(p->truth, x, y)) continue;
      rim++;
      if (is_cut_away(mask, p->truth, x, y)) continue;
      const double e = bc_delta_e00(seen(got, width, height, x, y), seen(want, width, height, x, y));
      sum += e;
      found[count++] = (float)e;
    }
  assert_true(count > 500);
  const double judged = (double)count / (double)rim;
  assert_true(judged > 0.8); /* a mask that has lost its edge cannot pass */
  qsort(found, count, sizeof *found, ascending);
  const errors result = {sum / (double)count, (double)found[count * 99 / 100], judged};
  free(found);
  return result;
}

/* ---- a picture to look at ---- */

static uint8_t encoded(double linear) {
  const double v = fmin(fmax(linear, 0), 1);
  return (uint8_t)(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1 / 2.4) - 0.055) + 0.5);
}

/* True piece and ours, side by side. */
static void write_pair(const char *name, const double *want, const double *got, int width, int height) {
  char path[512];
  snprintf(path, sizeof path, "%s/rim-%s.png", BC_PICTURES, name);
  png_image picture = {.version = PNG_IMAGE_VERSION,
                       .width = (png_uint_32)(2 * width),
                       .height = (png_uint_32)height,
                       .format = PNG_FORMAT_RGB};
  uint8_t *samples = malloc((size_t)width * (size_t)height * 6);
  assert_non_null(samples);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < 2 * width; x++)
      for (int c = 0; c < 3; c++)
        samples[3 * (2 * y * width + x) + c] = encoded((x < width ? want : got)[3 * (y * width + x % width) + c]);
  assert_true(png_image_write_to_file(&picture, path, 0, samples, 0, NULL));
  free(samples);
}

/* ---- the test ---- */

typedef struct limits {
  double mean, p99;
} limits;

/* With the true alpha only colour estimation can err. CIEDE2000 2.3 is about a just noticeable difference side by side
 * (Mahy, Van Eycken and Oosterlinck 1994 give it for CIELAB; from memory), for large patches; a rim is narrower. The
 * one in a hundred is where a pattern ends at the edge and its next colour cannot be known. */
static const limits known_alpha = {1.0, 8.0};
/* With our own alpha, the outline may also be off. A third of a pixel over a rim of five is a fifteenth of the light;
 * between black or white and a piece of middle lightness (50 units of L*) that is 3 to 4 units of CIEDE2000 in the
 * mean, the most that is asked for here. One pixel in a hundred may be off by a whole pixel where rope ends on the
 * ground: 50 units of L* there, averaged over 3 x 3 pixels with two of three rows right, are 17, and twice that in a
 * notch. */
static const limits own_alpha = {4.0, 34.0};

static double worst_p99;

static void check(const piece *p, const char *what, const bc_cutout *mask, const limits *most, int cleaned) {
  double *got = malloc(3 * p->count * sizeof *got), *want = malloc(3 * p->count * sizeof *want);
  assert_true(got && want);
  for (int white = 0; white <= 1; white++) {
    lay(want, p->rgb, NULL, p->truth->alpha, p->count, white);
    lay(got, NULL, p->image, mask->alpha, p->count, white);
    const errors e = compare(p, mask, got, want);
    print_message("%-34s on %s: mean %.2f, 99 of 100 under %.2f (%.0f %% of the rim)\n", what,
                  white ? "white" : "black", e.mean, e.p99, 100 * e.judged);
    if (cleaned && e.p99 > worst_p99 && mask != p->truth) {
      worst_p99 = e.p99;
      write_pair("worst", want, got, p->image->width, p->image->height);
    }
    if (most && (e.mean > most->mean || e.p99 > most->p99)) fail_msg("%s: %.2f, %.2f", what, e.mean, e.p99);
  }
  free(got);
  free(want);
}

static void check_piece(const char *name, double cloth) {
  char what[100];
  piece p;
  bc_cutout *found = NULL;
  load(&p, name);
  spread_colours(&p);
  photograph(&p, cloth);
  bc_cutout_options options = bc_cutout_options_default();
  const double scale = (double)p.image->full_width / p.image->width;
  const bc_box box = p.truth->box;
  options.has_box = true;
  options.box =
      (bc_box){(int)(box.x * scale), (int)(box.y * scale), (int)(box.width * scale), (int)(box.height * scale)};
  assert_int_equal(bc_cutout_find(&found, context, p.image, &options), BC_OK);
  snprintf(what, sizeof what, "%s from %.2f, not cleaned", name, cloth);
  check(&p, what, p.truth, NULL, 0);
  bc_image *image = p.image;
  assert_int_equal(bc_cutout_clean_edge(p.truth, context, image), BC_OK);
  snprintf(what, sizeof what, "%s from %.2f, alpha known", name, cloth);
  check(&p, what, p.truth, &known_alpha, 1);
  photograph(&p, cloth);
  assert_int_equal(bc_cutout_clean_edge(found, context, image), BC_OK);
  snprintf(what, sizeof what, "%s from %.2f, alpha found", name, cloth);
  check(&p, what, found, &own_alpha, 1);
  bc_cutout_free(found);
  unload(&p);
}

static void no_halo_from_a_pale_cloth(void **state) {
  (void)state;
  /* Not the bottle and the bowl: highlights as pale as this cloth are cut away from them, which is no matter of
   * the rim; docs/method/cutout.md names it. */
  const char *names[] = {"jar", "scarf-rings", "basket-handles"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) check_piece(names[i], 0.8);
}

static void no_halo_from_a_dark_cloth(void **state) {
  (void)state;
  const char *names[] = {"bowl", "moon-jar", "basket-round", "basket-handles"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) check_piece(names[i], 0.01);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(no_halo_from_a_pale_cloth),
      cmocka_unit_test(no_halo_from_a_dark_cloth),
  };
  return cmocka_run_group_tests_name("rim", tests, set_up, tear_down);
}
