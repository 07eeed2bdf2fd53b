/* SPDX-License-Identifier: MIT */
/* File to reading of a 12-megapixel JPEG, interleaved with djpeg's full decode of the same file (package
 * libjpeg-turbo-progs) in the same run: best of many, milliseconds and ratio. */
#include "bench.h"

#include <backcloth/reading.h>
#include <fcntl.h>
#include <math.h>
#include <spawn.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include <jpeglib.h>

#define WIDTH 4000
#define HEIGHT 3000
#define ROUNDS 15

extern char **environ;

/* ---- the photo: a striped bowl on a pale, uneven backdrop, with a sensor's grain ---- */

static uint32_t noise_state = 1;

static int grain(int strength) {
  noise_state = noise_state * 1664525u + 1013904223u;
  return (int)(noise_state >> 16) % (2 * strength + 1) - strength;
}

static void put_pixel(uint8_t *to, double x, double y) {
  const double dx = (x - 0.5) / 0.28, dy = (y - 0.52) / 0.33;
  const double radius = dx * dx + dy * dy;
  const double shade = 210 - 60 * x - 25 * y;
  double rgb[3] = {shade, shade - 6, shade - 14};
  if (radius < 1) {
    const double light = 0.35 + 0.65 * sqrt(1 - radius), stripe = sin(60 * y + 2 * dx) > 0 ? 1 : 0.6;
    rgb[0] = 60 + 120 * light * stripe, rgb[1] = 50 + 70 * light * stripe, rgb[2] = 45 + 110 * light;
  }
  const int here = grain(3);
  for (int c = 0; c < 3; c++) {
    const double value = rgb[c] + here + grain(2);
    to[c] = (uint8_t)(value < 0 ? 0 : value > 255 ? 255 : value);
  }
}

static int write_photo(const char *path) {
  FILE *stream = fopen(path, "wb");
  if (!stream) return -1;
  struct jpeg_compress_struct info;
  struct jpeg_error_mgr errors;
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  jpeg_stdio_dest(&info, stream);
  info.image_width = WIDTH;
  info.image_height = HEIGHT;
  info.input_components = 3;
  info.in_color_space = JCS_RGB;
  jpeg_set_defaults(&info);
  jpeg_set_quality(&info, 92, TRUE); /* about what phones use; 4:2:0 by default, as they do */
  jpeg_start_compress(&info, TRUE);
  static uint8_t row[WIDTH * 3];
  for (int y = 0; y < HEIGHT; y++) {
    for (int x = 0; x < WIDTH; x++) put_pixel(row + 3 * x, (double)x / WIDTH, (double)y / HEIGHT);
    JSAMPROW rows[1] = {row};
    (void)jpeg_write_scanlines(&info, rows, 1);
  }
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  return fclose(stream);
}

/* ---- measuring ---- */

/* Seconds of one djpeg run, negative on failure. */
static double run_djpeg(const char *path) {
  char program[] = "djpeg", option[] = "-outfile", nothing[] = "/dev/null";
  char *copy = strdup(path);
  char *const arguments[] = {program, option, nothing, copy, NULL};
  pid_t child;
  int status = -1;
  const double start = bench_seconds();
  const int failed = posix_spawnp(&child, program, NULL, NULL, arguments, environ);
  if (!failed) waitpid(child, &status, 0);
  const double taken = bench_seconds() - start;
  free(copy);
  return failed || status != 0 ? -1 : taken;
}

typedef struct times {
  double study, photo, image, cutout, djpeg;
} times;

static double lesser(double first, double second) {
  return first < second ? first : second;
}

/* The first two stages on their own, to see where the time goes. */
static bc_status measure_stages(bc_context *context, const char *path, times *best) {
  const bc_photo_options options = {.wanted_side = BC_READING_SIDE - BC_READING_SIDE / 16}; /* as bc_study_open asks */
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  double start = bench_seconds();
  bc_status status = bc_photo_open(&photo, context, path, &options);
  best->photo = lesser(best->photo, bench_seconds() - start);
  start = bench_seconds();
  if (status == BC_OK) status = bc_image_from_photo(&image, context, photo, NULL);
  best->image = lesser(best->image, bench_seconds() - start);
  bc_cutout *cutout = NULL;
  start = bench_seconds();
  if (status == BC_OK) status = bc_cutout_find(&cutout, context, image, NULL);
  best->cutout = lesser(best->cutout, bench_seconds() - start);
  bc_cutout_free(cutout);
  bc_image_free(image);
  bc_photo_free(photo);
  return status;
}

static bc_status measure_study(bc_context *context, const char *path, times *best) {
  bc_study *study = NULL;
  const double start = bench_seconds();
  const bc_status status = bc_study_open(&study, context, path, NULL);
  best->study = lesser(best->study, bench_seconds() - start);
  bc_study_free(study);
  return status;
}

static int measure(bc_context *context, const char *path) {
  times best = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
  for (int round = 0; round < ROUNDS; round++) {
    const double djpeg = run_djpeg(path);
    if (djpeg < 0) return fprintf(stderr, "djpeg could not be run (package libjpeg-turbo-progs)\n"), 70;
    best.djpeg = lesser(best.djpeg, djpeg);
    bc_status status = measure_study(context, path, &best);
    if (status == BC_OK) status = measure_stages(context, path, &best);
    if (status != BC_OK) return fprintf(stderr, "%s\n", bc_context_message(context)), (int)status;
  }
  printf("%s, best of %d\n", path, ROUNDS);
  printf("  djpeg, full decode   %8.1f ms\n", 1e3 * best.djpeg);
  printf("  file to reading      %8.1f ms   ratio %.2f\n", 1e3 * best.study, best.study / best.djpeg);
  printf("    file to raster     %8.1f ms   ratio %.2f\n", 1e3 * best.photo, best.photo / best.djpeg);
  printf("    raster to CIELAB   %8.1f ms   ratio %.2f\n", 1e3 * best.image, best.image / best.djpeg);
  printf("    CIELAB to mask     %8.1f ms   ratio %.2f\n", 1e3 * best.cutout, best.cutout / best.djpeg);
  const double mask = best.photo + best.image + best.cutout;
  printf("  file to mask         %8.1f ms   ratio %.2f\n", 1e3 * mask, mask / best.djpeg);
  return 0;
}

int bench_read(int argc, char **argv) {
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  char made[] = "/tmp/backcloth-bench-XXXXXX";
  int code = 73;
  if (argc > 1) {
    code = measure(context, argv[1]);
  } else {
    const int descriptor = mkstemp(made);
    if (descriptor >= 0) close(descriptor);
    if (descriptor >= 0 && write_photo(made) == 0) code = measure(context, made);
    if (descriptor >= 0) unlink(made);
  }
  bc_context_free(context);
  return code;
}
