/* SPDX-License-Identifier: MIT */
/* Drawings: true scale in PDF and SVG, tagged PNG of the right size, labels that keep clear of each other. */
#include "drawing/wall/elevation.h"

#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static bc_context *context;
static char folder[] = "/tmp/backcloth-drawing-XXXXXX";

static int set_up(void **state) {
  (void)state;
  return bc_context_new(&context) == BC_OK && mkdtemp(folder) ? 0 : -1;
}
static int tear_down(void **state) {
  (void)state;
  char command[128];
  snprintf(command, sizeof command, "rm -rf %s", folder);
  bc_context_free(context);
  return system(command);
}

static const char *const simple = "{\"backcloth\":1,\"title\":\"Scale\",\"stand\":{\"width\":300,\"wall_height\":240,"
                                  "\"wall_colour\":\"#ffffff\"},\"pieces\":[{\"id\":\"a\",\"width\":100,\"height\":50,"
                                  "\"weight_g\":500,\"at\":[150,150]}]}";

static void draw(const char *name, double scale, char *path, size_t size) {
  bc_plan *plan = NULL;
  bc_study *none[1] = {NULL};
  bc_elevation_options how = bc_elevation_options_default();
  how.scale = scale;
  snprintf(path, size, "%s/%s", folder, name);
  assert_int_equal(bc_plan_parse(&plan, context, simple, strlen(simple), "plan.json", NULL), BC_OK);
  const bc_status status = bc_drawing_elevation(context, plan, none, NULL, &how, path);
  if (status != BC_OK) print_message("%s\n", bc_context_message(context));
  assert_int_equal(status, BC_OK);
  bc_plan_free(plan);
}

/* The wall's outline, 300 x 240 cm, measured in the printed page: its dark vertical edges at 300 dots an
 * inch by pdftoppm (poppler-utils). At 1:20 they are 150 mm apart. */
static void pdf_is_to_scale(void **state) {
  (void)state;
  char path[256], command[600];
  draw("wall.pdf", 20, path, sizeof path);
  snprintf(command, sizeof command, "pdftoppm -r 300 -gray -singlefile %s %s/page", path, folder);
  assert_int_equal(system(command), 0);
  snprintf(path, sizeof path, "%s/page.pgm", folder);
  FILE *stream = fopen(path, "rb");
  assert_non_null(stream);
  int width = 0, height = 0, most = 0;
  assert_int_equal(fscanf(stream, "P5 %d %d %d", &width, &height, &most), 3);
  fgetc(stream);
  uint8_t *pixels = malloc((size_t)width * (size_t)height);
  assert_int_equal(fread(pixels, 1, (size_t)width * (size_t)height, stream), (size_t)width * (size_t)height);
  fclose(stream);
  /* Columns where a dark line runs for more than 100 mm: the wall's two sides among few others. */
  const double per_mm = 300 / 25.4;
  bool found = false;
  double columns[64];
  int count = 0;
  for (int x = 0; x < width && count < 64; x++) {
    int run = 0, longest = 0;
    for (int y = 0; y < height; y++) {
      run = pixels[(size_t)y * (size_t)width + (size_t)x] < 150 ? run + 1 : 0;
      if (run > longest) longest = run;
    }
    if (longest > 100 * per_mm) columns[count++] = x / per_mm;
  }
  for (int i = 0; i < count; i++)
    for (int k = i + 1; k < count; k++)
      if (fabs(columns[k] - columns[i] - 150) <= 0.2) found = true;
  free(pixels);
  assert_true(found);
}

static void svg_is_a_sheet_of_its_size(void **state) {
  (void)state;
  char path[256];
  draw("wall.svg", 20, path, sizeof path);
  FILE *stream = fopen(path, "rb");
  assert_non_null(stream);
  char head[4096] = "";
  assert_true(fread(head, 1, sizeof head - 1, stream) > 500);
  fclose(stream);
  /* Cairo writes the size in points or millimetres; either way an ISO 216 sheet. */
  double wide = 0;
  const char *width = strstr(head, "width=\"");
  assert_non_null(width);
  wide = strtod(width + 7, NULL);
  const bool mm = strstr(head, "mm\"") != NULL;
  const double sheet_mm = mm ? wide : wide * 25.4 / 72;
  assert_true(fabs(sheet_mm - 297) < 0.2 || fabs(sheet_mm - 420) < 0.2 || fabs(sheet_mm - 210) < 0.2);
}

static void png_is_tagged(void **state) {
  (void)state;
  char path[256];
  draw("wall.png", 0, path, sizeof path);
  FILE *stream = fopen(path, "rb");
  assert_non_null(stream);
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
  png_infop info = png_create_info_struct(png);
  png_init_io(png, stream);
  png_read_info(png, info);
  assert_true(png_get_valid(png, info, PNG_INFO_sRGB) != 0);
  png_uint_32 x = 0, y = 0;
  int unit = 0;
  assert_true(png_get_pHYs(png, info, &x, &y, &unit) != 0);
  assert_int_equal(unit, PNG_RESOLUTION_METER);
  assert_true(x == y && x > 1000);
  /* pixels-per-cm 4 of a wall 300 cm wide: 1200 pixels, and margins */
  assert_true(png_get_image_width(png, info) > 1200);
  png_destroy_read_struct(&png, &info, NULL);
  fclose(stream);
}

static void same_plan_same_bytes(void **state) {
  (void)state;
  char one[256], two[256], command[600];
  draw("one.png", 0, one, sizeof one);
  draw("two.png", 0, two, sizeof two);
  snprintf(command, sizeof command, "cmp -s %s %s", one, two);
  assert_int_equal(system(command), 0);
}

static void labels_keep_clear(void **state) {
  (void)state;
  srand(3);
  for (int trial = 0; trial < 300; trial++) {
    drawing_label labels[40];
    const size_t count = 1 + (size_t)(rand() % 40);
    const drawing_rect bounds = {0, 0, 300, 240};
    for (size_t i = 0; i < count; i++)
      labels[i] = (drawing_label){.anchor = {rand() % 250, rand() % 200, 5 + rand() % 40, 5 + rand() % 40},
                                  .width = 6 + rand() % 12,
                                  .height = 6};
    drawing_labels_place(labels, count, (drawing_rects){NULL, 0}, (drawing_rects){NULL, 0}, bounds);
    for (size_t i = 0; i < count; i++)
      for (size_t k = i + 1; k < count; k++)
        if (labels[i].placed.width > 0 && labels[k].placed.width > 0)
          assert_false(drawing_rects_meet(labels[i].placed, labels[k].placed));
  }
}

static void wrong_suffix_writes_nothing(void **state) {
  (void)state;
  bc_plan *plan = NULL;
  bc_study *none[1] = {NULL};
  char path[256];
  snprintf(path, sizeof path, "%s/wall.docx", folder);
  assert_int_equal(bc_plan_parse(&plan, context, simple, strlen(simple), "plan.json", NULL), BC_OK);
  assert_int_equal(bc_drawing_elevation(context, plan, none, NULL, NULL, path), BC_BAD_USAGE);
  assert_int_not_equal(access(path, F_OK), 0);
  bc_plan_free(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(pdf_is_to_scale),   cmocka_unit_test(svg_is_a_sheet_of_its_size),
      cmocka_unit_test(png_is_tagged),     cmocka_unit_test(same_plan_same_bytes),
      cmocka_unit_test(labels_keep_clear), cmocka_unit_test(wrong_suffix_writes_nothing),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
