/* SPDX-License-Identifier: MIT */
/* A PNG with an embedded wide-gamut profile, read from its bytes on, against LittleCMS's command-line
 * converter transicc (Debian liblcms2-utils): relative colorimetric to CIELAB D50. */
#include <backcloth/colour.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <png.h>
#include <unistd.h>

#include <cmocka.h>

#define COUNT 500
#define TOLERANCE 0.05

typedef struct bytes {
  uint8_t *at;
  size_t size;
} bytes;

static void append(png_structp png, png_bytep data, size_t size) {
  bytes *out = png_get_io_ptr(png);
  out->at = realloc(out->at, out->size + size);
  memcpy(out->at + out->size, data, size);
  out->size += size;
}

static void nothing(png_structp png) {
  (void)png;
}

static bytes png_of(const uint8_t *rgb, const uint8_t *profile, size_t profile_size) {
  bytes out = {0};
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
  png_infop info = png_create_info_struct(png);
  png_set_write_fn(png, &out, append, nothing);
  png_set_IHDR(png, info, COUNT, 1, 8, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
               PNG_FILTER_TYPE_DEFAULT);
  png_set_iCCP(png, info, "wide", PNG_COMPRESSION_TYPE_BASE, profile, (png_uint_32)profile_size);
  png_write_info(png, info);
  png_write_row(png, rgb);
  png_write_end(png, info);
  png_destroy_write_struct(&png, &info);
  return out;
}

static void ask_transicc(const char *profile_path, const uint8_t *rgb, bc_lab *lab) {
  char input[] = "/tmp/backcloth-transicc-XXXXXX", command[512];
  const int descriptor = mkstemp(input);
  assert_true(descriptor >= 0);
  FILE *file = fdopen(descriptor, "w");
  for (int i = 0; i < COUNT; i++) fprintf(file, "%d %d %d\n", rgb[3 * i], rgb[3 * i + 1], rgb[3 * i + 2]);
  fclose(file);
  snprintf(command, sizeof command, "LC_ALL=C transicc -n -t1 -i '%s' -o '*Lab4' <%s 2>/dev/null", profile_path, input);
  FILE *answer = popen(command, "r");
  assert_non_null(answer);
  for (int i = 0; i < COUNT; i++)
    if (fscanf(answer, "%lf %lf %lf", &lab[i].L, &lab[i].a, &lab[i].b) != 3)
      fail_msg("transicc gave no answer: `sh tests/run` installs liblcms2-utils, colord-data and argyll-ref");
  pclose(answer);
  unlink(input);
}

static void agree(const char *path) {
  uint8_t rgb[3 * COUNT], profile[65536];
  bc_lab theirs[COUNT];
  uint32_t state = 5;
  for (int i = 0; i < 3 * COUNT; i++) rgb[i] = (uint8_t)((state = state * 1664525u + 1013904223u) >> 24);
  FILE *file = fopen(path, "rb");
  if (!file) fail_msg("%s is missing: `sh tests/run` installs its package", path);
  const size_t size = fread(profile, 1, sizeof profile, file);
  fclose(file);
  ask_transicc(path, rgb, theirs);

  bytes png = png_of(rgb, profile, size);
  bc_context *context = NULL;
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_image_options options = bc_image_options_default();
  options.side = 0;
  options.find_white = false;
  if (bc_photo_decode(&photo, context, png.at, png.size, "wide.png", NULL) ||
      bc_image_from_photo(&image, context, photo, &options))
    fail_msg("%s", bc_context_message(context));
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_EMBEDDED);
  double worst = 0;
  for (int i = 0; i < COUNT; i++) {
    const bc_lab ours = {(double)image->L[i], (double)image->a[i], (double)image->b[i]};
    worst = fmax(worst, bc_delta_e00(ours, theirs[i]));
  }
  print_message("%s: worst CIEDE2000 %.4f (transicc prints four decimals)\n", path, worst);
  assert_true(worst <= TOLERANCE);
  bc_image_free(image);
  bc_photo_free(photo);
  bc_context_free(context);
  free(png.at);
}

static void wide_gamut(void **state) {
  (void)state;
  agree("/usr/share/color/icc/colord/WideGamutRGB.icc");
  agree("/usr/share/color/icc/colord/ProPhotoRGB.icc");
  agree("/usr/share/color/argyll/ref/DisplayP3.icm");
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(wide_gamut)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
