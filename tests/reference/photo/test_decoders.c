/* SPDX-License-Identifier: MIT */
/* Our rasters against other decoders of the same files: djpeg (libjpeg-turbo-progs), dwebp and cwebp
 * (webp), heif-enc and heif-convert (libheif-examples), convert (imagemagick), and stb_image's own JPEG
 * and PNG decoders, which share no code with libjpeg-turbo and libpng. */
#include "../../unit/photo/pictures.h"

#include <sys/stat.h>
#include <unistd.h>

#define STBI_ONLY_JPEG
#define STBI_ONLY_PNG
#define STBI_NO_STDIO
#define STB_IMAGE_STATIC
#define STB_IMAGE_IMPLEMENTATION
#pragma GCC diagnostic ignored "-Wunused-function"
#include <stb/stb_image.h>

static bc_context *context;
static char folder[] = "/tmp/backcloth-decoders-XXXXXX";

static int set_up(void **state) {
  (void)state;
  return mkdtemp(folder) && bc_context_new(&context) == BC_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_context_free(context);
  char command[256];
  snprintf(command, sizeof command, "rm -r '%s'", folder);
  return system(command);
}

/* ---- tools ---- */

/* Runs a command in the test's folder; a missing program is a failure, for tests/run installs them. */
static void run(const char *command) {
  char line[1024];
  snprintf(line, sizeof line, "cd '%s' && %s >/dev/null 2>&1", folder, command);
  if (system(line) != 0) fail_msg("failed: %s", command);
}

static void put(const char *name, file_bytes file) {
  char path[256];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  FILE *stream = fopen(path, "wb");
  assert_non_null(stream);
  assert_int_equal(fwrite(file.bytes, 1, file.size, stream), file.size);
  fclose(stream);
}

static bc_photo *open_photo(const char *name, int wanted_side) {
  char path[256];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  const bc_photo_options options = {.wanted_side = wanted_side};
  bc_photo *photo = NULL;
  if (bc_photo_open(&photo, context, path, &options) != BC_OK) fail_msg("%s", bc_context_message(context));
  return photo;
}

/* Compares our raster with a PGM, PPM or PNG written by another program. Returns the greatest difference
 * of a sample in steps of 255. */
static int greatest_difference(const char *name, int wanted_side, const char *other_name) {
  bc_photo *ours = open_photo(name, wanted_side), *other = open_photo(other_name, 0);
  const bc_raster a = bc_photo_raster(ours), b = bc_photo_raster(other);
  assert_int_equal(a.width, b.width);
  assert_int_equal(a.height, b.height);
  assert_int_equal(a.model, b.model);
  int greatest = 0;
  for (int y = 0; y < a.height; y++)
    for (int x = 0; x < a.width * (int)a.model; x++) {
      const uint8_t *row_a = (const uint8_t *)a.samples + (size_t)y * a.row_bytes;
      const uint8_t *row_b = (const uint8_t *)b.samples + (size_t)y * b.row_bytes;
      const int one = a.bits == 16 ? ((const uint16_t *)(const void *)row_a)[x] / 257 : row_a[x];
      const int two = b.bits == 16 ? ((const uint16_t *)(const void *)row_b)[x] / 257 : row_b[x];
      if (abs(one - two) > greatest) greatest = abs(one - two);
    }
  bc_photo_free(ours);
  bc_photo_free(other);
  return greatest;
}

/* ---- JPEG ---- */

static void jpeg_as_djpeg(void **state) {
  (void)state;
  for (int i = 0; i < 4; i++) {
    const file_bytes file = make_jpeg((jpeg_wish){
        .width = 643, .height = 481, .components = i == 3 ? 1 : 3, .progressive = i == 1, .quality = i == 2 ? 30 : 92});
    put("a.jpg", file);
    run("djpeg -pnm -outfile a.ppm a.jpg");
    assert_int_equal(greatest_difference("a.jpg", 0, "a.ppm"), 0);
    run("djpeg -pnm -scale 1/4 -outfile quarter.ppm a.jpg");
    assert_int_equal(greatest_difference("a.jpg", 161, "quarter.ppm"), 0);
    free(file.bytes);
  }
}

/* Another author's decoder: its inverse transform and its chroma interpolation round otherwise, by a few
 * steps in textured places. */
static void jpeg_as_stb_image(void **state) {
  (void)state;
  for (int progressive = 0; progressive < 2; progressive++) {
    const file_bytes file =
        make_jpeg((jpeg_wish){.width = 300, .height = 200, .components = 3, .progressive = progressive == 1});
    int width = 0, height = 0, channels = 0;
    stbi_uc *other = stbi_load_from_memory(file.bytes, (int)file.size, &width, &height, &channels, 3);
    assert_non_null(other);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    const bc_raster raster = bc_photo_raster(photo);
    double sum = 0;
    int greatest = 0;
    for (int y = 0; y < 200; y++)
      for (int x = 0; x < 900; x++) {
        const int difference =
            abs(((const uint8_t *)raster.samples)[(size_t)y * raster.row_bytes + (size_t)x] - other[y * 900 + x]);
        sum += difference;
        if (difference > greatest) greatest = difference;
      }
    assert_true(greatest <= 4);
    assert_true(sum / (200 * 900) < 0.5);
    stbi_image_free(other);
    bc_photo_free(photo);
    free(file.bytes);
  }
}

/* ---- PNG ---- */

/* Lossless, so every decoder must give the same samples. */
static void png_as_stb_image(void **state) {
  (void)state;
  const struct {
    int colour_type, bits;
  } kinds[] = {{PNG_COLOR_TYPE_GRAY, 1},    {PNG_COLOR_TYPE_GRAY, 4},  {PNG_COLOR_TYPE_GRAY, 8},
               {PNG_COLOR_TYPE_RGB, 8},     {PNG_COLOR_TYPE_RGB, 16},  {PNG_COLOR_TYPE_PALETTE, 4},
               {PNG_COLOR_TYPE_PALETTE, 8}, {PNG_COLOR_TYPE_GRAY, 16}, {PNG_COLOR_TYPE_RGB_ALPHA, 8}};
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
    for (int interlaced = 0; interlaced < 2; interlaced++) {
      const file_bytes file = make_png((png_wish){.width = 83,
                                                  .height = 51,
                                                  .colour_type = kinds[i].colour_type,
                                                  .bits = kinds[i].bits,
                                                  .interlaced = interlaced == 1});
      bc_photo *photo = NULL;
      assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
      const bc_raster raster = bc_photo_raster(photo);
      const int model = (int)raster.model, channels = model + (raster.alpha ? 1 : 0);
      int width = 0, height = 0, own = 0;
      stbi_us *other = stbi_load_16_from_memory(file.bytes, (int)file.size, &width, &height, &own, channels);
      assert_non_null(other);
      for (int y = 0; y < 51; y++)
        for (int x = 0; x < 83; x++)
          for (int c = 0; c < model; c++) {
            const uint8_t *row = (const uint8_t *)raster.samples + (size_t)y * raster.row_bytes;
            const int ours =
                raster.bits == 16 ? ((const uint16_t *)(const void *)row)[x * model + c] : row[x * model + c] * 257;
            assert_int_equal(ours, other[(y * 83 + x) * channels + c]);
          }
      stbi_image_free(other);
      bc_photo_free(photo);
      free(file.bytes);
    }
}

/* ---- WebP, HEIC, AVIF ---- */

static void make_source_png(void) {
  const file_bytes file =
      make_png((png_wish){.width = 320, .height = 200, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8});
  put("s.png", file);
  free(file.bytes);
}

static void webp_as_dwebp(void **state) {
  (void)state;
  make_source_png();
  run("cwebp -q 80 s.png -o lossy.webp && dwebp lossy.webp -ppm -o lossy.ppm");
  assert_int_equal(greatest_difference("lossy.webp", 0, "lossy.ppm"), 0);
  run("cwebp -lossless s.png -o exact.webp");
  assert_int_equal(greatest_difference("exact.webp", 0, "s.png"), 0);
}

static void heif_as_heif_convert(void **state) {
  (void)state;
  make_source_png();
  run("heif-enc -q 80 s.png -o a.heic && heif-convert a.heic heic.png");
  assert_int_equal(greatest_difference("a.heic", 0, "heic.png"), 0);
  run("heif-enc -A -q 80 s.png -o a.avif && heif-convert a.avif avif.png");
  assert_int_equal(greatest_difference("a.avif", 0, "avif.png"), 0);
}

/* ---- TIFF and the rest ---- */

/* TGA is not among them: convert writes the top row first under a header that says bottom first. */
static void lossless_formats_as_convert(void **state) {
  (void)state;
  make_source_png();
  const char *const ways[][2] = {
      {"convert s.png -compress lzw a.tif", "a.tif"},
      {"convert s.png -define tiff:tile-geometry=64x64 -compress zip a.tif", "a.tif"},
      {"convert s.png -interlace plane -endian msb a.tif", "a.tif"},
      {"convert s.png a.bmp", "a.bmp"},
      {"convert s.png a.psd", "a.psd"},
      {"convert s.png a.ppm", "a.ppm"},
  };
  for (size_t i = 0; i < sizeof ways / sizeof ways[0]; i++) {
    run(ways[i][0]);
    const int difference = greatest_difference(ways[i][1], 0, "s.png");
    if (difference != 0) fail_msg("%s: differs by %d", ways[i][0], difference);
  }
  run("convert s.png -colors 64 a.gif && convert a.gif PNG24:gif.png");
  assert_int_equal(greatest_difference("a.gif", 0, "gif.png"), 0);
  run("convert s.png -colors 16 -type palette pal.tif && convert pal.tif PNG24:pal.png");
  /* a TIFF palette has 16 bits, which one program cuts and the other rounds */
  assert_true(greatest_difference("pal.tif", 0, "pal.png") <= 1);
}

/* Ink of a CMYK JPEG with Adobe's marker against the same file through another program's TIFF, which
 * stores 0 for no ink. The JPEG decoder is the same library, the inversion is not. */
static void cmyk_as_convert(void **state) {
  (void)state;
  make_source_png();
  run("convert s.png -colorspace CMYK -quality 95 a.jpg && convert a.jpg -compress none cmyk.tif");
  assert_true(greatest_difference("a.jpg", 0, "cmyk.tif") <= 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(jpeg_as_djpeg),        cmocka_unit_test(jpeg_as_stb_image),
      cmocka_unit_test(png_as_stb_image),     cmocka_unit_test(webp_as_dwebp),
      cmocka_unit_test(heif_as_heif_convert), cmocka_unit_test(lossless_formats_as_convert),
      cmocka_unit_test(cmyk_as_convert),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
