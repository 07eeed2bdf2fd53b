/* SPDX-License-Identifier: MIT */
/* A wall of 3 m with 40 pieces to a PNG of about A3 at 300 dots an inch, as a ratio to Cairo alone painting
 * and writing the same number of finished images of the same size. Interleaved, best of five. */
#include "bench.h"

#include <backcloth/drawing.h>

#include <cairo.h>
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PIECES = 40, ROUNDS = 5, COLUMNS = 10 };
#define PIXELS_PER_CM 8.0 /* 3360 x 2 pixels: A3 at about 300 dots an inch with the sheet's margins */

static char *make_plan(void) {
  char *text = malloc(64 * 1024);
  int used = sprintf(text, "{\"backcloth\":1,\"title\":\"Bench\",\"stand\":{\"width\":300,\"wall_height\":240},"
                           "\"cloth\":{\"colour\":\"#22432f\",\"fullness\":1.5,\"grams_per_m2\":250},\"pieces\":[");
  for (int i = 0; i < PIECES; i++)
    used += sprintf(text + used, "%s{\"id\":\"p%d\",\"width\":24,\"height\":30,\"weight_g\":500,\"at\":[%d,%d]}",
                    i ? "," : "", i, 18 + 29 * (i % COLUMNS), 70 + 42 * (i / COLUMNS));
  sprintf(text + used, "]}");
  return text;
}

/* Finished images at their final size, painted one by one on a sheet of the same size, then written. */
static double cairo_alone(int width, int height, const char *path) {
  const int w = (int)(24 * PIXELS_PER_CM), h = (int)(30 * PIXELS_PER_CM);
  cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, w, h);
  unsigned char *data = cairo_image_surface_get_data(image);
  for (int i = 0; i < w * h * 4; i++) data[i] = (unsigned char)((i * 7919) >> 8);
  cairo_surface_mark_dirty(image);
  const double start = bench_seconds();
  cairo_surface_t *sheet = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  cairo_t *cairo = cairo_create(sheet);
  cairo_set_source_rgb(cairo, 0.13, 0.26, 0.18);
  cairo_paint(cairo);
  for (int i = 0; i < PIECES; i++) {
    cairo_set_source_surface(cairo, image, (i % COLUMNS) * (w + 8), (i / COLUMNS) * (h + 8));
    cairo_paint(cairo);
  }
  cairo_surface_write_to_png(sheet, path);
  const double taken = bench_seconds() - start;
  cairo_destroy(cairo);
  cairo_surface_destroy(sheet);
  cairo_surface_destroy(image);
  return taken;
}

static size_t open_studies(bc_context *context, bc_study **studies, const char *folder) {
  char pattern[1024];
  glob_t found;
  snprintf(pattern, sizeof pattern, "%s/*.jpg", folder);
  if (glob(pattern, 0, NULL, &found) != 0) return 0;
  size_t count = 0;
  for (size_t i = 0; i < found.gl_pathc && count < PIECES; i++)
    if (bc_study_open(&studies[count], context, found.gl_pathv[i], NULL) == BC_OK) count++;
  globfree(&found);
  return count;
}

static int run(bc_context *context, bc_plan *plan, bc_study **studies) {
  bc_elevation_options how = bc_elevation_options_default();
  how.pixels_per_cm = PIXELS_PER_CM;
  double ours = 1e9, theirs = 1e9;
  int width = 3360 * 2, height = 2376 * 2;
  for (int round = 0; round < ROUNDS; round++) {
    const double start = bench_seconds();
    if (bc_drawing_elevation(context, plan, studies, NULL, &how, "/tmp/backcloth-bench.png") != BC_OK) {
      fprintf(stderr, "%s\n", bc_context_message(context));
      return 1;
    }
    const double taken = bench_seconds() - start;
    if (taken < ours) ours = taken;
    cairo_surface_t *sheet = cairo_image_surface_create_from_png("/tmp/backcloth-bench.png");
    width = cairo_image_surface_get_width(sheet);
    height = cairo_image_surface_get_height(sheet);
    cairo_surface_destroy(sheet);
    const double reference = cairo_alone(width, height, "/tmp/backcloth-bench-cairo.png");
    if (reference < theirs) theirs = reference;
  }
  unlink("/tmp/backcloth-bench.png");
  unlink("/tmp/backcloth-bench-cairo.png");
  printf("elevation of %d pieces, %d x %d pixels: %.0f ms; Cairo painting and writing as much: %.0f ms; ratio %.2f\n",
         PIECES, width, height, 1000 * ours, 1000 * theirs, ours / theirs);
  return 0;
}

int bench_elevation(int argc, char **argv) {
  const char *folder = argc > 1 ? argv[1] : "assets/demo/photos";
  bc_context *context = NULL;
  bc_plan *plan = NULL;
  bc_study *opened[PIECES] = {0}, *studies[PIECES];
  if (bc_context_new(&context) != BC_OK) return 70;
  const size_t count = open_studies(context, opened, folder);
  char *text = make_plan();
  int code = 66;
  if (count == 0)
    fprintf(stderr, "no photos in %s\n", folder);
  else if (bc_plan_parse(&plan, context, text, strlen(text), "bench.json", NULL) != BC_OK)
    fprintf(stderr, "%s\n", bc_context_message(context));
  else {
    for (size_t i = 0; i < PIECES; i++) studies[i] = opened[i % count];
    code = run(context, plan, studies);
  }
  free(text);
  bc_plan_free(plan);
  for (size_t i = 0; i < count; i++) bc_study_free(opened[i]);
  bc_context_free(context);
  return code;
}
