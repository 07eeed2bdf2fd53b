/* SPDX-License-Identifier: MIT */
/* A wall of 3 m with 40 pieces to a PNG of about A3 at 300 dots an inch, as a ratio to Cairo alone painting
 * and writing the same number of finished images of the same size. Interleaved, best of three. */
#include "bench.h"

#include <backcloth/drawing.h>

#include <cairo.h>
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PIECES = 40, ROUNDS = 3, COLUMNS = 10 };
#define ACROSS (420 / 25.4 * 300) /* pixels: A3 at 300 dots an inch */

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
static double cairo_alone(int width, int height, double pixels_per_cm, const char *path) {
  const int w = (int)(24 * pixels_per_cm), h = (int)(30 * pixels_per_cm);
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

/* With their exact masks: to find cut-outs is another bench's subject. */
static size_t open_studies(bc_context *context, bc_study **studies, const char *folder) {
  char pattern[1024], photo[1200];
  glob_t found;
  snprintf(pattern, sizeof pattern, "%s/truth/*.mask.png", folder);
  if (glob(pattern, 0, NULL, &found) != 0) return 0;
  size_t count = 0;
  for (size_t i = 0; i < found.gl_pathc && count < PIECES; i++) {
    const char *const name = strrchr(found.gl_pathv[i], '/') + 1;
    bc_study_options how = bc_study_options_default();
    how.mask_path = found.gl_pathv[i];
    snprintf(photo, sizeof photo, "%s/photos/%.*s.jpg", folder, (int)strcspn(name, "."), name);
    if (bc_study_open(&studies[count], context, photo, &how) == BC_OK) count++;
  }
  globfree(&found);
  return count;
}

static int draw(bc_context *context, bc_plan *plan, bc_study **studies, const bc_elevation_options *how, int size[2]) {
  if (bc_drawing_elevation(context, plan, studies, NULL, how, "/tmp/backcloth-bench.png") != BC_OK) {
    fprintf(stderr, "%s\n", bc_context_message(context));
    return 1;
  }
  FILE *const png = fopen("/tmp/backcloth-bench.png", "rb"); /* IHDR: PNG specification, 11.2.1 */
  unsigned char head[24] = {0};
  if (png) {
    if (fread(head, 1, sizeof head, png) < sizeof head) head[16] = 0;
    fclose(png);
  }
  for (int i = 0; i < 2; i++) size[i] = head[18 + 4 * i] << 8 | head[19 + 4 * i];
  return size[0] > 0 ? 0 : 1;
}

static int run(bc_context *context, bc_plan *plan, bc_study **studies) {
  bc_elevation_options how = bc_elevation_options_default();
  double ours = 1e9, theirs = 1e9;
  int size[2];
  how.sheet = BC_SHEET_A3;
  how.pixels_per_cm = 2;
  if (draw(context, plan, studies, &how, size) != 0) return 1;
  how.pixels_per_cm *= ACROSS / size[0]; /* whatever the scale turned out to be */
  for (int round = 0; round < ROUNDS; round++) {
    const double start = bench_seconds();
    if (draw(context, plan, studies, &how, size) != 0) return 1;
    const double taken = bench_seconds() - start;
    if (taken < ours) ours = taken;
    const double reference = cairo_alone(size[0], size[1], how.pixels_per_cm, "/tmp/backcloth-bench-cairo.png");
    if (reference < theirs) theirs = reference;
  }
  unlink("/tmp/backcloth-bench.png");
  unlink("/tmp/backcloth-bench-cairo.png");
  printf("elevation of %d pieces, %d x %d pixels: %.0f ms; Cairo painting and writing as much: %.0f ms; ratio %.2f\n",
         PIECES, size[0], size[1], 1000 * ours, 1000 * theirs, ours / theirs);
  return 0;
}

int bench_elevation(int argc, char **argv) {
  const char *folder = argc > 1 ? argv[1] : "assets/demo";
  bc_context *context = NULL;
  bc_plan *plan = NULL;
  bc_study *opened[PIECES] = {0}, *studies[PIECES];
  if (bc_context_new(&context) != BC_OK) return 70;
  const size_t count = open_studies(context, opened, folder);
  char *text = make_plan();
  int code = 66;
  if (count == 0)
    fprintf(stderr, "no photos with masks in %s\n", folder);
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
