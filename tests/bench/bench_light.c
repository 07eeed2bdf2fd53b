/* SPDX-License-Identifier: MIT */
/* How well colours are recovered from photos taken in different light: a chart of known reflectances, with
 * the camera's own judgement, with a white sheet pointed out, and with one found by the program. */
#include "../reference/colour/rendered_chart.h"
#include "bench.h"

typedef enum way { CAMERA_ALONE, SHEET_GIVEN, SHEET_FOUND } way;

static chart_result recover(bc_context *context, const chart *c, const chart_photo *shot, way how,
                            const char **remark) {
  unsigned long size = 0;
  unsigned char *bytes = chart_shoot(c, shot, &size);
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_image_options options = bc_image_options_default();
  options.side = 0;
  options.find_white = how == SHEET_FOUND;
  options.has_white = how == SHEET_GIVEN;
  options.white = (bc_box){SHEET_X + 10, SHEET_Y + 10, SHEET_WIDTH - 20, SHEET_HEIGHT - 20};
  chart_result r = {.mean = -1, .p95 = -1, .measured_mean = -1};
  *remark = "";
  if (bc_photo_decode(&photo, context, bytes, size, "chart.jpg", NULL) ||
      bc_image_from_photo(&image, context, photo, &options))
    *remark = bc_context_message(context);
  else {
    double difference[PATCHES];
    chart_compare(c, image, difference);
    r = chart_summary(difference);
    r.left = chart_left_over(c, image);
    if (how == SHEET_FOUND && image->reference != BC_REFERENCE_FOUND) *remark = "(none found)";
  }
  bc_image_free(image);
  bc_photo_free(photo);
  free(bytes);
  return r;
}

int bench_light(int argc, char **argv) {
  (void)argc;
  (void)argv;
  bc_context *context = NULL;
  if (bc_context_new(&context)) return BC_OUR_FAULT;
  static const char *const ways[] = {"camera alone", "sheet given", "sheet found"};
  static const chart_photo shots[] = {
      {.balance = 1, .stops = -0.1, .sheet = 0.853},
      {.balance = 0.6, .stops = -0.6, .sheet = 0.853},
      {.balance = 0.6, .stops = -0.3, .sheet = 0.853, .shoulder = true},
      {.balance = 0, .stops = -0.6, .sheet = 0.853},
  };
  printf("light     balance stops curve     reference     mean   p95   (14 measured)  CIEDE2000; cast left: mired duv "
         "stops\n");
  for (size_t i = 0; i < CHART_LIGHTS; i++)
    for (size_t s = 0; s < sizeof shots / sizeof shots[0]; s++)
      for (int how = CAMERA_ALONE; how <= SHEET_FOUND; how++) {
        chart c;
        const char *remark;
        if (!chart_load(&c, &chart_lights[i])) {
          fprintf(stderr, "spectra are missing: install Debian's colord-data\n");
          bc_context_free(context);
          return BC_NO_INPUT;
        }
        const chart_result r = recover(context, &c, &shots[s], (way)how, &remark);
        printf("%-9s %4.1f   %5.1f  %-9s %-12s %5.2f  %5.2f  (%5.2f)  %+5.0f %+.4f %+.2f %s\n", chart_lights[i].name,
               shots[s].balance, shots[s].stops, shots[s].shoulder ? "shoulder" : "sRGB", ways[how], r.mean, r.p95,
               r.measured_mean, r.left.mired, r.left.duv, r.left.stops, remark);
      }
  bc_context_free(context);
  return 0;
}
