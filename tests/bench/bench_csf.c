/* SPDX-License-Identifier: MIT */
/* Predicted against published detection thresholds: a row per data set, last `all N RMS` in dB
 * (20 log10 of the sensitivity ratio). Reads any tab-separated table with the columns it needs.
 * With --others, Barten's model of 1999, which was fitted to none of these, is given for comparison. */
#include "bench.h"

#include <backcloth/match.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { DATASET, STIMULUS, LUMINANCE, FREQUENCY, AREA, L0, M0, S0, DL, DM, DS, COLUMNS };
static const char *const names[COLUMNS] = {"dataset", "stimulus", "luminance", "s_frequency", "area",   "L",
                                           "M",       "S",        "L_delta",   "M_delta",     "S_delta"};

typedef struct row_sum {
  char name[64];
  size_t count;
  double sum, squares;
} row_sum;

static void add(row_sum *sum, double error) {
  sum->count++;
  sum->sum += error;
  sum->squares += error * error;
}

static void print(const row_sum *sum) {
  const double n = (double)sum->count;
  if (sum->count) printf("%s\t%zu\t%.2f\tmean %+.2f\n", sum->name, sum->count, sqrt(sum->squares / n), sum->sum / n);
}

static int split(char *line, char **field, int most) {
  int count = 0;
  line[strcspn(line, "\r\n")] = '\0';
  for (char *at = line; at && count < most; count++) {
    field[count] = at;
    at = strchr(at, '\t');
    if (at) *at++ = '\0';
  }
  return count;
}

static bool find_columns(char **field, int count, int *column) {
  for (int c = 0; c < COLUMNS; c++) {
    column[c] = -1;
    for (int i = 0; i < count; i++)
      if (strcmp(field[i], names[c]) == 0) column[c] = i;
    if (column[c] < 0) {
      fprintf(stderr, "csf: the table has no column “%s”.\n", names[c]);
      return false;
    }
  }
  return true;
}

static bc_target target_of(char **field, const int *column) {
  const char *kind = field[column[STIMULUS]];
  bc_target t = {.kind = strncmp(kind, "dis", 3) == 0   ? BC_TARGET_DISK
                         : strcmp(kind, "grating") == 0 ? BC_TARGET_GRATING
                                                        : BC_TARGET_GABOR,
                 .luminance_cd_m2 = strtod(field[column[LUMINANCE]], NULL),
                 .frequency_cpd = strtod(field[column[FREQUENCY]], NULL),
                 .area_deg2 = strtod(field[column[AREA]], NULL)};
  for (int i = 0; i < 3; i++) {
    t.background[i] = strtod(field[column[L0 + i]], NULL);
    t.delta[i] = strtod(field[column[DL + i]], NULL);
  }
  return t;
}

/* Barten, Contrast Sensitivity of the Human Eye, SPIE 1999, equation 3.26 with its typical constants,
 * binocular, light contrast only. */
static double barten_response(const bc_target *t) {
  const double u = t->frequency_cpd, x2 = t->area_deg2, l = t->luminance_cd_m2;
  const double d = 5 - 3 * tanh(0.4 * log10(l * x2 / 1600));
  const double e = M_PI * d * d / 4 * l * (1 - pow(d / 9.7, 2) + pow(d / 12.4, 4));
  const double sigma = hypot(0.5, 0.08 * d) / 60, mtf = exp(-2 * M_PI * M_PI * sigma * sigma * u * u);
  const double noise = 1 / (0.03 * 1.2274e6 * e) + 3e-8 / (1 - exp(-pow(u / 7, 2)));
  const double s = mtf / 3 / sqrt(2 / 0.1 * (1 / x2 + 1 / 144.0 + u * u / 225) * noise);
  return s * fabs(t->delta[0] + t->delta[1]) / (t->background[0] + t->background[1]);
}

static bool is_light(const bc_target *t) {
  const double l = t->delta[0] / t->background[0], m = t->delta[1] / t->background[1];
  return t->kind != BC_TARGET_DISK && fabs(l - m) < 0.05 * fabs(l + m);
}

int bench_csf(int argc, char **argv) {
  const char *path = argc > 1 ? argv[1] : NULL;
  const bool others = argc > 2 && strcmp(argv[2], "--others") == 0;
  FILE *file = path ? fopen(path, "r") : NULL;
  if (!file) {
    fprintf(stderr, path ? "csf: %s cannot be opened.\n" : "usage: backcloth-bench csf FILE.tsv [--others]\n", path);
    return path ? 66 : 64;
  }
  static row_sum sums[256];
  row_sum all = {.name = "all"}, barten = {.name = "Barten 1999, light only"}, light = {.name = "ours, same rows"};
  size_t used = 0, length = 0;
  char *line = NULL, *field[64];
  int column[COLUMNS], fields = 0;
  while (getline(&line, &length, file) > 0) {
    if (line[0] == '#' || line[0] == '\n') continue;
    const int count = split(line, field, 64);
    if (!fields) {
      if (!find_columns(field, count, column)) return 65;
      fields = count;
      continue;
    }
    if (count < fields) continue;
    const bc_target target = target_of(field, column);
    const double error = 20 * log10(bc_csf_response(&target));
    if (!isfinite(error)) continue; /* a row without figures */
    size_t i = 0;
    while (i < used && strcmp(sums[i].name, field[column[DATASET]]) != 0) i++;
    if (i == sizeof sums / sizeof *sums) break;
    if (i == used) snprintf(sums[used++].name, sizeof sums->name, "%s", field[column[DATASET]]);
    add(&sums[i], error);
    add(&all, error);
    if (is_light(&target)) {
      add(&barten, 20 * log10(barten_response(&target)));
      add(&light, error);
    }
  }
  free(line);
  fclose(file);
  for (size_t i = 0; i < used; i++) print(&sums[i]);
  if (others) {
    print(&barten);
    print(&light);
  }
  printf("all %zu %.2f\n", all.count, all.count ? sqrt(all.squares / (double)all.count) : 0.0);
  return all.count ? 0 : 65;
}
