/* SPDX-License-Identifier: MIT */
/* The main colours of a piece: k-means in CIELAB over a coarse colour histogram, seeded without chance.
 * In: image and cut-out. Out: bc_reading.colours. Source: Lloyd 1982; seeding after Arthur and Vassilvitskii 2007. */
#include "reading_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Cells of 4 x 6 x 6 units: finer than the colours that people name, coarse enough to be quick. */
#define L_STEP 4.0f
#define AB_STEP 6.0f
#define L_CELLS 26
#define AB_CELLS 44
#define CELLS ((size_t)L_CELLS * AB_CELLS * AB_CELLS)
#define ROUNDS 12
/* Two main colours closer than this are one to a person who names colours (our choice). */
#define SAME_COLOUR 8.0
/* A colour on less of the piece than this isn't one of its main colours (our choice). */
#define SMALLEST_SHARE 0.005

typedef struct cell {
  double weight, L, a, b; /* sums while filling, means afterwards */
  int cluster;
} cell;

typedef struct cluster {
  double weight;
  bc_lab lab;
} cluster;

static size_t slot(float value, float step, float offset, size_t count) {
  const float position = value / step + offset;
  if (!(position > 0)) return 0;
  return position >= (float)count ? count - 1 : (size_t)position;
}

static void fill(cell *cells, const bc_image *image, const uint8_t *alpha) {
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  for (size_t i = 0; i < pixels; i++) {
    if (alpha && alpha[i] == 0) continue;
    const size_t l = slot(image->L[i], L_STEP, 0, L_CELLS), a = slot(image->a[i], AB_STEP, AB_CELLS / 2, AB_CELLS),
                 b = slot(image->b[i], AB_STEP, AB_CELLS / 2, AB_CELLS);
    cell *c = &cells[(l * AB_CELLS + a) * AB_CELLS + b];
    const double weight = alpha ? alpha[i] / 255.0 : 1;
    c->weight += weight;
    c->L += weight * (double)image->L[i];
    c->a += weight * (double)image->a[i];
    c->b += weight * (double)image->b[i];
  }
}

/* Moves the cells in use to the front and turns sums into means. */
static size_t compact(cell *cells) {
  size_t used = 0;
  for (size_t i = 0; i < CELLS; i++) {
    if (!(cells[i].weight > 0)) continue;
    const cell c = cells[i];
    cells[used++] = (cell){c.weight, c.L / c.weight, c.a / c.weight, c.b / c.weight, 0};
  }
  return used;
}

static double distance2(const cell *c, const bc_lab *lab) {
  const double dl = c->L - lab->L, da = c->a - lab->a, db = c->b - lab->b;
  return dl * dl + da * da + db * db;
}

static int nearest(const cell *c, const cluster *clusters, int count, double *distance) {
  int best = 0;
  *distance = INFINITY;
  for (int k = 0; k < count; k++) {
    const double d = distance2(c, &clusters[k].lab);
    if (d < *distance) {
      *distance = d;
      best = k;
    }
  }
  return best;
}

/* First the heaviest cell, then always the cell with the largest weight x squared distance. */
static int seed(cluster *clusters, const cell *cells, size_t used) {
  int count = 0;
  while (count < BC_READING_COLOURS) {
    size_t best = 0;
    double most = -1;
    for (size_t i = 0; i < used; i++) {
      double d = 1;
      if (count) nearest(&cells[i], clusters, count, &d);
      if (cells[i].weight * d > most) {
        most = cells[i].weight * d;
        best = i;
      }
    }
    if (count && most <= 0) break;
    clusters[count++].lab = (bc_lab){cells[best].L, cells[best].a, cells[best].b};
  }
  return count;
}

static void round_of_means(cluster *clusters, int count, cell *cells, size_t used) {
  cluster sum[BC_READING_COLOURS] = {0};
  for (size_t i = 0; i < used; i++) {
    double d;
    const int k = cells[i].cluster = nearest(&cells[i], clusters, count, &d);
    sum[k].weight += cells[i].weight;
    sum[k].lab.L += cells[i].weight * cells[i].L;
    sum[k].lab.a += cells[i].weight * cells[i].a;
    sum[k].lab.b += cells[i].weight * cells[i].b;
  }
  for (int k = 0; k < count; k++) {
    const double weight = sum[k].weight;
    clusters[k].weight = weight;
    if (weight > 0) clusters[k].lab = (bc_lab){sum[k].lab.L / weight, sum[k].lab.a / weight, sum[k].lab.b / weight};
  }
}

static void join(cluster *into, const cluster *other) {
  const double weight = into->weight + other->weight;
  if (!(weight > 0)) return;
  const double part = other->weight / weight;
  into->lab.L += part * (other->lab.L - into->lab.L);
  into->lab.a += part * (other->lab.a - into->lab.a);
  into->lab.b += part * (other->lab.b - into->lab.b);
  into->weight = weight;
}

/* Joins clusters that a person would call the same colour, nearest pair first. */
static int merge(cluster *clusters, int count) {
  for (;;) {
    double least = SAME_COLOUR;
    int first = -1, second = -1;
    for (int i = 0; i < count; i++)
      for (int j = i + 1; j < count; j++) {
        const double d = bc_delta_e00(clusters[i].lab, clusters[j].lab);
        if (d < least) {
          least = d;
          first = i;
          second = j;
        }
      }
    if (first < 0) return count;
    join(&clusters[first], &clusters[second]);
    clusters[second] = clusters[--count];
  }
}

static int heaviest_first(const void *first, const void *second) {
  const cluster *a = first, *b = second;
  if (a->weight != b->weight) return a->weight < b->weight ? 1 : -1;
  return a->lab.L < b->lab.L ? -1 : a->lab.L > b->lab.L;
}

/* A name that is too long, as in scripts of several bytes a letter, ends after a whole letter: half of one would be no
 * UTF-8, which JSON refuses. */
static void set_name(bc_main_colour *colour, const char *name) {
  size_t length = strlen(name);
  if (length >= sizeof colour->name) {
    length = sizeof colour->name - 1;
    while (length && ((unsigned char)name[length] & 0xC0) == 0x80) length--;
  }
  memcpy(colour->name, name, length);
  colour->name[length] = '\0';
}

static void keep(bc_main_colour *colours, size_t *kept, const cluster *clusters, int count) {
  double total = 0;
  *kept = 0;
  for (int k = 0; k < count; k++) total += clusters[k].weight;
  for (int k = 0; k < count; k++) {
    const double share = clusters[k].weight / total;
    if (k && share < SMALLEST_SHARE) break;
    bc_main_colour *main_colour = &colours[(*kept)++];
    main_colour->lab = clusters[k].lab;
    main_colour->share = share;
    bc_lab_to_hex(clusters[k].lab, main_colour->css);
    set_name(main_colour, bc_colour_name(clusters[k].lab));
  }
}

bc_status reading_main_colours(bc_main_colour colours[BC_READING_COLOURS], size_t *count, bc_context *context,
                               const bc_image *image, const uint8_t *alpha) {
  cell *cells = bc_allocate(CELLS, sizeof *cells);
  if (!cells) return bc_fail_memory(context);
  fill(cells, image, alpha);
  const size_t used = compact(cells);
  cluster clusters[BC_READING_COLOURS] = {0};
  int found = seed(clusters, cells, used);
  for (int i = 0; i < ROUNDS; i++) round_of_means(clusters, found, cells, used);
  free(cells);
  found = merge(clusters, found);
  qsort(clusters, (size_t)found, sizeof *clusters, heaviest_first);
  keep(colours, count, clusters, found);
  return BC_OK;
}

bc_status reading_colours(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout) {
  return reading_main_colours(reading->colours, &reading->colour_count, context, image, cutout->alpha);
}
