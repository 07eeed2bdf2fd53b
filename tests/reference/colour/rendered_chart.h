/* SPDX-License-Identifier: MIT */
/* A chart photographed by a camera of our own making, so that the true colours are known: measured
 * reflectances (CIE 13.3 test colour samples) and lamps (CIE A, D65, FL11) from Debian's colord-data, a
 * warm LED and the camera from formulas. The file is a JPEG as a phone might write it. */
#ifndef BC_TESTS_RENDERED_CHART_H
#define BC_TESTS_RENDERED_CHART_H

#include "colour/colour_internal.h"

#include <jpeglib.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define BANDS 81 /* 380 to 780 nm by 5 */
#define CHART_COLUMNS 6
#define CHART_ROWS 4
#define PATCHES (CHART_COLUMNS * CHART_ROWS)
#define MEASURED 14 /* the first patches are measured spectra; the rest are formulas */
#define CELL 72
#define MARGIN 48
#define SHEET_WIDTH 150
#define CHART_WIDTH (2 * MARGIN + CHART_COLUMNS * CELL + MARGIN + SHEET_WIDTH + MARGIN)
#define CHART_HEIGHT (2 * MARGIN + CHART_ROWS * CELL)
#define SHEET_X (2 * MARGIN + CHART_COLUMNS * CELL)
#define SHEET_Y (MARGIN + 30)
#define SHEET_HEIGHT (CHART_ROWS * CELL - 60)

typedef struct spectrum {
  double at[BANDS];
} spectrum;

typedef struct chart_light {
  const char *name;
  const char *file; /* NULL: the warm LED */
} chart_light;
static const chart_light chart_lights[] = {
    {"D65", "/usr/share/colord/illuminant/CIE-D65.sp"},
    {"A", "/usr/share/colord/illuminant/CIE-A.sp"},
    {"FL11", "/usr/share/colord/illuminant/CIE-F11.sp"},
    {"warm LED", NULL},
};
#define CHART_LIGHTS (sizeof chart_lights / sizeof chart_lights[0])

typedef struct chart {
  spectrum patch[PATCHES], cmf[3], light, d50, d65, incandescent;
  bc_lab truth[PATCHES];
  bool other_camera; /* channels of other widths and places; false after chart_load */
} chart;

/* --- spectra --------------------------------------------------------------------------------------------- */
/* Reads up to `most` spectra of a CGATS table, resampled to our bands; returns how many. */
static inline int chart_read_spectra(const char *path, spectrum *out, int most) {
  static char line[65536];
  FILE *file = fopen(path, "r");
  double start = 0, end = 0;
  int bands = 0, count = 0, data = 0;
  if (!file) return 0;
  while (fgets(line, sizeof line, file) && count < most) {
    if (strncmp(line, "SPECTRAL_START_NM", 17) == 0) start = atof(line + 17 + strspn(line + 17, " \t\""));
    if (strncmp(line, "SPECTRAL_END_NM", 15) == 0) end = atof(line + 15 + strspn(line + 15, " \t\""));
    if (strncmp(line, "SPECTRAL_BANDS", 14) == 0) bands = atoi(line + 14 + strspn(line + 14, " \t\""));
    if (strncmp(line, "END_DATA", 8) == 0) data = 0;
    if (data && bands > 1 && strspn(line, " \t\r\n") < strlen(line)) {
      double value[1024];
      int n = 0;
      for (char *word = strtok(line, " \t\r\n"); word && n < 1024; word = strtok(NULL, " \t\r\n"))
        value[n++] = atof(word);
      const double *v = value + (n - bands); /* a sample's name may come first */
      for (int i = 0; n >= bands && i < BANDS; i++) {
        const double at = fmin(bands - 1.001, fmax(0, (380 + 5 * i - start) / (end - start) * (bands - 1)));
        const int k = (int)at;
        out[count].at[i] = v[k] + (at - k) * (v[k + 1] - v[k]);
      }
      count += n >= bands;
    }
    if (strncmp(line, "BEGIN_DATA", 10) == 0 && strncmp(line, "BEGIN_DATA_FORMAT", 17) != 0) data = 1;
  }
  fclose(file);
  return count;
}

static inline double chart_bell(double nm, double centre, double sd) {
  return exp(-0.5 * (nm - centre) * (nm - centre) / (sd * sd));
}

/* A blue pump and a phosphor: about 2900 K. */
static inline void chart_warm_led(spectrum *out) {
  for (int i = 0; i < BANDS; i++)
    out->at[i] = 0.33 * chart_bell(380 + 5 * i, 452, 10) + chart_bell(380 + 5 * i, 605, 58);
}

static inline double chart_sum(const spectrum *light, const spectrum *reflectance, const spectrum *response) {
  double sum = 0;
  for (int i = 0; i < BANDS; i++) sum += light->at[i] * (reflectance ? reflectance->at[i] : 1) * response->at[i];
  return sum;
}

/* --- the camera: three bell-shaped channels, balanced, then a matrix trained as makers do ------------------- */
static inline void chart_sensor(spectrum out[3], bool other) {
  for (int i = 0; i < BANDS; i++) {
    const double nm = 380 + 5 * i;
    if (other) {
      out[0].at[i] = chart_bell(nm, 592, 42) + 0.03 * chart_bell(nm, 520, 40);
      out[1].at[i] = chart_bell(nm, 529, 36) + 0.04 * chart_bell(nm, 640, 30);
      out[2].at[i] = chart_bell(nm, 455, 25) + 0.08 * chart_bell(nm, 530, 35);
      continue;
    }
    out[0].at[i] = chart_bell(nm, 602, 34) + 0.06 * chart_bell(nm, 445, 30);
    out[1].at[i] = chart_bell(nm, 538, 42);
    out[2].at[i] = chart_bell(nm, 462, 30);
  }
}

/* Training reflectances: smooth edges and bands that have nothing to do with the chart. */
static inline void chart_training(int k, spectrum *out) {
  const double centre = 420 + 20 * (k % 16), slope = k % 2 ? 18 : 40;
  for (int i = 0; i < BANDS; i++) {
    const double nm = 380 + 5 * i, edge = 1 / (1 + exp((centre - nm) / slope));
    const double band = chart_bell(nm, centre, slope + 15);
    out->at[i] = 0.05 + 0.7 * (k < 16 ? edge : k < 32 ? 1 - edge : k < 48 ? band : 1 - band);
  }
}
#define TRAINING 64

static inline void chart_balanced(const spectrum *light, const spectrum *r, const spectrum sensor[3], double rgb[3]) {
  for (int c = 0; c < 3; c++) rgb[c] = chart_sum(light, r, &sensor[c]) / chart_sum(light, NULL, &sensor[c]);
}

static inline void chart_xyz(const chart *c, const spectrum *light, const spectrum *r, double xyz[3]) {
  for (int i = 0; i < 3; i++) xyz[i] = chart_sum(light, r, &c->cmf[i]) / chart_sum(light, NULL, &c->cmf[1]);
}

/* Least squares from balanced camera channels under a light to linear sRGB of the same samples in D65. */
static inline colour_matrix3 chart_train(const chart *c, const spectrum *light, const spectrum sensor[3]) {
  colour_matrix3 aa = {{{0}}}, ab = {{{0}}}, inverse, solution, out;
  double white[3];
  colour_matrix3 adapt;
  chart_xyz(c, &c->d65, NULL, white);
  (void)colour_adaptation(&adapt, white, colour_white_d50);
  for (int k = 0; k < TRAINING; k++) {
    spectrum r;
    double in[3], xyz[3], want[3];
    chart_training(k, &r);
    chart_balanced(light, &r, sensor, in);
    chart_xyz(c, &c->d65, &r, xyz);
    colour_matrix3_apply(&adapt, xyz, xyz);
    colour_matrix3_apply(&colour_srgb_from_xyz, xyz, want);
    for (int i = 0; i < 3; i++)
      for (int j = 0; j < 3; j++) aa.at[i][j] += in[i] * in[j], ab.at[i][j] += in[i] * want[j];
  }
  (void)colour_matrix3_invert(&aa, &inverse);
  colour_matrix3_multiply(&inverse, &ab, &solution);
  for (int i = 0; i < 3; i++) { /* rows that keep white white, as makers want */
    double sum = 0;
    for (int j = 0; j < 3; j++) sum += solution.at[j][i];
    for (int j = 0; j < 3; j++) out.at[i][j] = solution.at[j][i] / sum;
  }
  return out;
}

typedef struct chart_photo {
  double balance; /* 1: the camera judges the light rightly; 0: it takes everything for D65 */
  double stops;   /* exposure error */
  bool shoulder;  /* highlights are compressed, as cameras do; false: the sRGB curve alone */
  double sheet;   /* reflectance of the sheet beside the chart; 0: none */
  double tilt;    /* of the sheet: how much more it reflects at 760 nm than at 560, as a share: + is cream */
} chart_photo;

/* Compresses from 0.6 upward so that 1.3 just reaches white; below, light is in proportion. */
static inline double chart_tone(double v, bool shoulder) {
  if (!shoulder || v < 0.6) return fmin(1, v);
  return fmin(1, 0.6 + 0.4 * (1 - exp(-(v - 0.6) / 0.4)) / (1 - exp(-0.7 / 0.4)) * 1.0);
}

static inline void chart_expose(const chart *c, const spectrum *r, const chart_photo *photo, double rgb[3]) {
  spectrum sensor[3];
  double true_white[3], d65_white[3];
  chart_sensor(sensor, c->other_camera);
  const colour_matrix3 cool = chart_train(c, &c->d65, sensor), warm = chart_train(c, &c->incandescent, sensor);
  for (int i = 0; i < 3; i++) {
    true_white[i] = chart_sum(&c->light, NULL, &sensor[i]);
    d65_white[i] = chart_sum(&c->d65, NULL, &sensor[i]);
  }
  /* The judged white lies between D65 and the true one, on a logarithmic scale; only ratios to green count. */
  double raw[3], judged[3];
  for (int i = 0; i < 3; i++) {
    const double t = true_white[i] / true_white[1], d = d65_white[i] / d65_white[1];
    judged[i] = exp(photo->balance * log(t) + (1 - photo->balance) * log(d)) * true_white[1];
    raw[i] = chart_sum(&c->light, r, &sensor[i]) / judged[i];
  }
  /* How warm the light is judged to be decides between the two trained matrices, as in a camera. */
  const double a_ratio =
      log(chart_sum(&c->incandescent, NULL, &sensor[0]) / chart_sum(&c->incandescent, NULL, &sensor[2]));
  const double d_ratio = log(d65_white[0] / d65_white[2]), j_ratio = log(judged[0] / judged[2]);
  const double share = fmin(1, fmax(0, (j_ratio - d_ratio) / (a_ratio - d_ratio)));
  double first[3], second[3];
  colour_matrix3_apply(&cool, raw, first);
  colour_matrix3_apply(&warm, raw, second);
  for (int i = 0; i < 3; i++)
    rgb[i] = chart_tone(exp2(photo->stops) * ((1 - share) * first[i] + share * second[i]), photo->shoulder);
}

/* --- the chart ------------------------------------------------------------------------------------------------ */
static inline void chart_fill_formulas(chart *c) {
  static const double grey[6] = {0.90, 0.59, 0.36, 0.19, 0.09, 0.035};
  for (int i = 0; i < BANDS; i++) {
    for (int k = 0; k < 6; k++) c->patch[MEASURED + k].at[i] = grey[k];
    /* one dye over another: dark cloths */
    c->patch[20].at[i] = c->patch[8].at[i] * c->patch[11].at[i] + 0.01;
    c->patch[21].at[i] = c->patch[10].at[i] * c->patch[3].at[i] + 0.01;
    c->patch[22].at[i] = c->patch[11].at[i] * c->patch[6].at[i] + 0.01;
    c->patch[23].at[i] = c->patch[9].at[i] * c->patch[0].at[i] + 0.01;
  }
}

static inline void chart_find_truth(chart *c) {
  double white[3];
  chart_xyz(c, &c->d50, NULL, white);
  for (int k = 0; k < PATCHES; k++) {
    double xyz[3];
    chart_xyz(c, &c->d50, &c->patch[k], xyz);
    for (int i = 0; i < 3; i++) xyz[i] *= colour_white_d50[i] / white[i]; /* 5 nm sums against the ICC's white */
    c->truth[k] = colour_lab_from_xyz(xyz);
  }
}

/* false when a file is missing. */
static inline bool chart_load(chart *c, const chart_light *light) {
  const char *const folder = "/usr/share/colord/illuminant/";
  char path[128];
  spectrum samples[16];
  if (chart_read_spectra("/usr/share/colord/cmf/CIE1931-2deg-XYZ.cmf", c->cmf, 3) != 3) return false;
  if (chart_read_spectra("/usr/share/colord/ref/CIE-TCS.sp", samples, 16) < MEASURED) return false;
  memcpy(c->patch, samples, MEASURED * sizeof samples[0]);
  snprintf(path, sizeof path, "%sCIE-D50.sp", folder);
  if (chart_read_spectra(path, &c->d50, 1) != 1) return false;
  snprintf(path, sizeof path, "%sCIE-D65.sp", folder);
  if (chart_read_spectra(path, &c->d65, 1) != 1) return false;
  snprintf(path, sizeof path, "%sCIE-A.sp", folder);
  if (chart_read_spectra(path, &c->incandescent, 1) != 1) return false;
  if (!light->file)
    chart_warm_led(&c->light);
  else if (chart_read_spectra(light->file, &c->light, 1) != 1)
    return false;
  chart_fill_formulas(c);
  chart_find_truth(c);
  c->other_camera = false;
  return true;
}

static inline void chart_paint(uint8_t *rgb, int x0, int y0, int width, int height, const double linear[3]) {
  static uint32_t state = 7;
  for (int y = y0; y < y0 + height; y++)
    for (int x = x0; x < x0 + width; x++)
      for (int c = 0; c < 3; c++) {
        double noise = -2; /* four uniforms: near enough to a sensor's noise, 1.2 codes */
        for (int k = 0; k < 4; k++) noise += (state = state * 1664525u + 1013904223u) / 4294967296.0;
        const double v = 255 * bc_srgb_encode(fmin(1, fmax(0, linear[c]))) + 2 * noise;
        rgb[3 * (y * CHART_WIDTH + x) + c] = (uint8_t)fmin(255, fmax(0, v + 0.5));
      }
}

/* The photo as JPEG bytes; the caller frees them. */
static inline unsigned char *chart_shoot(const chart *c, const chart_photo *photo, unsigned long *size) {
  uint8_t *rgb = malloc((size_t)3 * CHART_WIDTH * CHART_HEIGHT);
  double linear[3];
  spectrum board;
  for (int i = 0; i < BANDS; i++) board.at[i] = 0.12 + 0.0001 * i; /* a brownish table */
  chart_expose(c, &board, photo, linear);
  chart_paint(rgb, 0, 0, CHART_WIDTH, CHART_HEIGHT, linear);
  for (int k = 0; k < PATCHES; k++) {
    chart_expose(c, &c->patch[k], photo, linear);
    chart_paint(rgb, MARGIN + k % CHART_COLUMNS * CELL, MARGIN + k / CHART_COLUMNS * CELL, CELL - 8, CELL - 8, linear);
  }
  if (photo->sheet > 0) {
    for (int i = 0; i < BANDS; i++) board.at[i] = photo->sheet * (1 + photo->tilt * (380 + 5 * i - 560) / 200);
    chart_expose(c, &board, photo, linear);
    chart_paint(rgb, SHEET_X, SHEET_Y, SHEET_WIDTH, SHEET_HEIGHT, linear);
  }
  struct jpeg_compress_struct jpeg;
  struct jpeg_error_mgr errors;
  unsigned char *bytes = NULL;
  jpeg.err = jpeg_std_error(&errors);
  jpeg_create_compress(&jpeg);
  jpeg_mem_dest(&jpeg, &bytes, size);
  jpeg.image_width = CHART_WIDTH;
  jpeg.image_height = CHART_HEIGHT;
  jpeg.input_components = 3;
  jpeg.in_color_space = JCS_RGB;
  jpeg_set_defaults(&jpeg);
  jpeg_set_quality(&jpeg, 92, TRUE);
  jpeg_start_compress(&jpeg, TRUE);
  while (jpeg.next_scanline < CHART_HEIGHT) {
    JSAMPROW row = rgb + (size_t)3 * CHART_WIDTH * jpeg.next_scanline;
    jpeg_write_scanlines(&jpeg, &row, 1);
  }
  jpeg_finish_compress(&jpeg);
  jpeg_destroy_compress(&jpeg);
  free(rgb);
  return bytes;
}

static inline bc_lab chart_patch_mean(const bc_image *image, int k) {
  bc_lab mean = {0};
  int count = 0;
  for (int y = 12; y < CELL - 20; y++)
    for (int x = 12; x < CELL - 20; x++, count++) {
      const int at = (MARGIN + k / CHART_COLUMNS * CELL + y) * image->width + MARGIN + k % CHART_COLUMNS * CELL + x;
      mean.L += (double)image->L[at];
      mean.a += (double)image->a[at];
      mean.b += (double)image->b[at];
    }
  return (bc_lab){mean.L / count, mean.a / count, mean.b / count};
}

/* CIEDE2000 of every patch between the image's mean and the truth. */
static inline void chart_compare(const chart *c, const bc_image *image, double difference[PATCHES]) {
  for (int k = 0; k < PATCHES; k++) difference[k] = bc_delta_e00(chart_patch_mean(image, k), c->truth[k]);
}

/* What cast and exposure error is left, by the grey patches of 59, 36 and 19 %. */
static inline bc_cast chart_left_over(const chart *c, const bc_image *image) {
  bc_cast left = {0, 0, 0};
  double home[2], home_mired, home_duv;
  colour_uv_of_xyz(colour_white_d50, home);
  colour_locus_nearest(home, &home_mired, &home_duv);
  for (int k = MEASURED + 1; k < MEASURED + 4; k++) {
    double seen[3], truth[3], light[3], uv[2], mired, duv;
    colour_lab_to_xyz(chart_patch_mean(image, k), seen);
    colour_lab_to_xyz(c->truth[k], truth);
    for (int i = 0; i < 3; i++) light[i] = seen[i] / truth[i] * colour_white_d50[i];
    colour_uv_of_xyz(light, uv);
    colour_locus_nearest(uv, &mired, &duv);
    left.mired += (mired - home_mired) / 3;
    left.duv += (duv - home_duv) / 3;
    left.stops += log2(seen[1] / truth[1]) / 3;
  }
  return left;
}

typedef struct chart_result {
  double mean, p95;
  double measured_mean; /* of the measured spectra alone */
  bc_cast left;         /* filled by who asks for it */
} chart_result;

static inline int chart_order(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

static inline chart_result chart_summary(double difference[PATCHES]) {
  chart_result r = {0};
  for (int k = 0; k < PATCHES; k++) {
    r.mean += difference[k] / PATCHES;
    if (k < MEASURED) r.measured_mean += difference[k] / MEASURED;
  }
  qsort(difference, PATCHES, sizeof difference[0], chart_order);
  r.p95 = difference[(PATCHES - 1) * 95 / 100];
  return r;
}

#endif
