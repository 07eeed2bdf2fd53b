/* SPDX-License-Identifier: MIT */
/* Is the confidence of the cut-out met by what is found? On folders of NAME.jpg + NAME.mask.png, automatic and with the
 * mask's box: the weights of src/cutout/confidence.c fitted again by weighted least squares, and what they are worth on
 * photos left out. */
#include "bench.h"
#include "fits.h"
#include "least_squares.h"
#include "pairs.h"

#include "cutout/confidence.h"
#include "cutout/session.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double ridge = 0.0005; /* for each row: keeps signs that go together from weighing against each other */

typedef struct row {
  bench_photo photo; /* the first member */
  double iou, told, expected;
  double sign[CUTOUT_SIGNS];
} row;

/* The same rows, by their type. */
typedef struct table {
  row *of;
  size_t count;
  const bench_rows *rows;
} table;

typedef struct confidence_bench {
  bc_context *context;
  bench_rows rows[2]; /* without and with a box */
} confidence_bench;

/* ---- what is found ---- */

static void run_pair(void *data, const bench_pair *pair, const char *path) {
  (void)path;
  confidence_bench *b = data;
  for (int in_box = 0; in_box < 2; in_box++) {
    const bc_cutout_options options = {.has_box = in_box, .box = pair->box};
    bc_cutout_session *session = NULL;
    bc_cutout *found = NULL;
    bc_status status = bc_cutout_session_new(&session, b->context, pair->image, &options);
    if (status == BC_OK) {
      row *r = bench_new_row(&b->rows[in_box], pair->name);
      memcpy(r->sign, cutout_session_signs(session), sizeof r->sign);
      if (bc_cutout_session_find(&found, session, b->context) == BC_OK) {
        r->told = found->confidence;
        r->iou = bench_overlap(found->alpha, pair->truth);
      }
    }
    bc_cutout_free(found);
    bc_cutout_session_free(session);
  }
}

/* ---- fitting ---- */

typedef struct choice {
  int of[CUTOUT_SIGNS], count;
} choice;

static void pick(double *x, const row *r, const choice *c) {
  for (int k = 0; k < c->count; k++) x[k] = r->sign[c->of[k]];
}

/* The fit of all rows, or of those that share neither folder nor piece with `but`. */
static void fit(double *solution, const table *t, const choice *c, const row *but) {
  least_squares sums = {.unknowns = c->count};
  double x[least_squares_most], weight = 0;
  for (size_t i = 0; i < t->count; i++) {
    const row *r = &t->of[i];
    if (but && !bench_photos_apart(&r->photo, &but->photo)) continue;
    pick(x, r, c);
    least_squares_add(&sums, x, r->iou, r->photo.weight);
    weight += r->photo.weight;
  }
  least_squares_solve(solution, &sums, ridge * weight);
}

static double expect(const double *solution, const row *r, const choice *c) {
  double x[least_squares_most], sum = 0;
  pick(x, r, c);
  for (int k = 0; k < c->count; k++) sum += solution[k] * x[k];
  return fmin(fmax(sum, 0), 1);
}

static void predict_left_out(table *t, const choice *c) {
  double solution[least_squares_most];
  for (size_t i = 0; i < t->count; i++) {
    const row *r = &t->of[i];
    if (!bench_left_out_as_before(t->rows, i)) fit(solution, t, c, r);
    t->of[i].expected = expect(solution, r, c);
  }
}

/* ---- how good a prediction is ---- */

static double error_of(const table *t) {
  double sum = 0, weight = 0;
  for (size_t i = 0; i < t->count; i++) {
    sum += t->of[i].photo.weight * pow(t->of[i].expected - t->of[i].iou, 2);
    weight += t->of[i].photo.weight;
  }
  return sqrt(sum / weight);
}

static double correlation(const double *x, const double *y, size_t count) {
  double mean_x = 0, mean_y = 0, xx = 1e-12, yy = 1e-12, xy = 0;
  for (size_t i = 0; i < count; i++) {
    mean_x += x[i] / (double)count;
    mean_y += y[i] / (double)count;
  }
  for (size_t i = 0; i < count; i++) {
    xx += (x[i] - mean_x) * (x[i] - mean_x);
    yy += (y[i] - mean_y) * (y[i] - mean_y);
    xy += (x[i] - mean_x) * (y[i] - mean_y);
  }
  return xy / sqrt(xx * yy);
}

/* Ranks from 0, equal values share their mean rank. */
static void ranks(double *to, const double *x, size_t count) {
  for (size_t i = 0; i < count; i++) {
    double below = 0, equal = 0;
    for (size_t k = 0; k < count; k++) {
      below += x[k] < x[i];
      equal += x[k] == x[i];
    }
    to[i] = below + (equal - 1) / 2;
  }
}

static void correlate(double *plain, double *of_ranks, const table *t) {
  double *x = calloc(4 * t->count + 1, sizeof *x), *y = x + t->count, *rank_x = y + t->count,
         *rank_y = rank_x + t->count;
  if (!x) exit(70);
  for (size_t i = 0; i < t->count; i++) {
    x[i] = t->of[i].expected;
    y[i] = t->of[i].iou;
  }
  ranks(rank_x, x, t->count);
  ranks(rank_y, y, t->count);
  *plain = correlation(x, y, t->count);
  *of_ranks = correlation(rank_x, rank_y, t->count);
  free(x);
}

/* ---- the report ---- */

static void print_quality(const char *what, const table *t) {
  double plain, of_ranks;
  correlate(&plain, &of_ranks, t);
  printf("%-34s RMS error %.4f  correlation %.2f  of ranks %.2f\n", what, error_of(t), plain, of_ranks);
}

static void print_bands(const table *t) {
  bench_bands bands = {{0}, {0}, {0}};
  for (size_t i = 0; i < t->count; i++) bench_bands_add(&bands, t->of[i].expected, t->of[i].iou);
  bench_bands_print(&bands, "");
}

/* What each sign is worth on photos left out: the error without it, or with it if it is not in use. */
static void print_worth(table *t, const choice *c) {
  for (int k = 1; k < CUTOUT_SIGNS; k++) {
    choice other = {{0}, 0};
    for (int i = 0; i < c->count; i++)
      if (c->of[i] != k) other.of[other.count++] = c->of[i];
    const int used = other.count < c->count;
    if (!used) other.of[other.count++] = k;
    char what[80];
    snprintf(what, sizeof what, "  %s %s", used ? "without" : "with", cutout_sign_name[k]);
    predict_left_out(t, &other);
    print_quality(what, t);
  }
}

static void print_weights(const table *t, const choice *c) {
  double solution[least_squares_most];
  fit(solution, t, c, NULL);
  for (int k = 0; k < c->count; k++) bench_print_weight("CUTOUT", cutout_sign_name[c->of[k]], solution[k]);
}

static void report(table *t, const choice *c, const char *how) {
  printf("\n%s: %zu photos\n", how, t->count);
  for (size_t i = 0; i < t->count; i++) t->of[i].expected = t->of[i].told;
  print_quality("as the program says now", t);
  print_bands(t);
  predict_left_out(t, c);
  print_quality("fitted without its folder and piece", t);
  print_bands(t);
  printf("each sign in turn, likewise:\n");
  print_worth(t, c);
  printf("weights fitted on all:\n");
  print_weights(t, c);
}

static void print_rows(const table *t, const char *how) {
  for (size_t i = 0; i < t->count; i++) {
    printf("row\t%s\t%d\t%s\t%.4f\t%.4f", how, t->of[i].photo.folder, t->of[i].photo.name, t->of[i].iou, t->of[i].told);
    for (int k = 0; k < CUTOUT_SIGNS; k++) printf("\t%.5f", t->of[i].sign[k]);
    printf("\n");
  }
}

/* ---- arguments ---- */

/* The signs with a weight, but for words "+NAME" and "-NAME". Returns 0 for a word that names no sign. */
static int choose(choice *c, int in_box, int argc, char **argv) {
  int used[CUTOUT_SIGNS];
  for (int k = 0; k < CUTOUT_SIGNS; k++) used[k] = k == CUTOUT_ONE || cutout_sign_weight[in_box][k] != 0;
  for (int i = 1; i < argc; i++) {
    if (argv[i][0] != '+' && argv[i][0] != '-') continue;
    int k = 1;
    while (k < CUTOUT_SIGNS && strcmp(cutout_sign_name[k], argv[i] + 1) != 0) k++;
    if (k == CUTOUT_SIGNS) {
      fprintf(stderr, "%s names no sign\n", argv[i]);
      return 0;
    }
    used[k] = argv[i][0] == '+';
  }
  *c = (choice){{0}, 0};
  for (int k = 0; k < CUTOUT_SIGNS; k++)
    if (used[k]) c->of[c->count++] = k;
  return 1;
}

int bench_confidence(int argc, char **argv) {
  static confidence_bench b = {.rows = {{.size = sizeof(row)}, {.size = sizeof(row)}}};
  choice chosen[2];
  int rows = 0;
  if (!choose(&chosen[0], 0, argc, argv) || !choose(&chosen[1], 1, argc, argv)) return 64;
  if (bc_context_new(&b.context) != BC_OK) return 70;
  for (int i = 1; i < argc; i++) {
    if (strcmp(argv[i], "rows") == 0) rows = 1;
    if (strcmp(argv[i], "rows") == 0 || argv[i][0] == '+' || argv[i][0] == '-') continue;
    if (bench_pairs(b.context, argv[i], run_pair, &b) > 0)
      b.rows[1].folder = ++b.rows[0].folder;
    else
      fprintf(stderr, "%s: no NAME.jpg with NAME.mask.png there.\n", argv[i]);
  }
  bc_context_free(b.context);
  if (b.rows[0].folder < 2) {
    fprintf(stderr, "usage: backcloth-bench confidence FOLDER FOLDER... [+SIGN] [-SIGN] [rows]   (at least two)\n");
    return 64;
  }
  for (int in_box = 0; in_box < 2; in_box++) {
    table t = {b.rows[in_box].of, b.rows[in_box].count, &b.rows[in_box]};
    bench_weigh(&b.rows[in_box], 0.5); /* a folder of four times as many photos weighs twice as much */
    if (rows) print_rows(&t, in_box ? "box" : "automatic");
    report(&t, &chosen[in_box], in_box ? "with the mask's box" : "automatic");
    free(t.of);
  }
  return 0;
}
