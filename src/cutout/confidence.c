/* SPDX-License-Identifier: MIT */
/* How far an answer can be trusted: signs that are noted while it is found, and the overlap with the truth that they
 * let expect. Follows band.c; suppose.c ranks answers by what is measured here. */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>

const char *const cutout_sign_name[CUTOUT_SIGNS] = {
    [CUTOUT_ONE] = "one",
    [CUTOUT_AGREEMENT] = "agreement",
    [CUTOUT_UNANIMITY] = "unanimity",
    [CUTOUT_SUPPORT] = "support",
    [CUTOUT_THIN] = "thin",
    [CUTOUT_CONTACT] = "contact",
    [CUTOUT_SIZE] = "size",
    [CUTOUT_TIGHTNESS] = "tightness",
    [CUTOUT_FILLED] = "filled",
    [CUTOUT_MARGIN] = "margin",
    [CUTOUT_DETAIL] = "detail",
    [CUTOUT_GIVEN] = "given",
    [CUTOUT_GROWTH] = "growth",
    [CUTOUT_STARTS] = "starts",
    [CUTOUT_PIXELS] = "pixels",
    [CUTOUT_FINAL_AGREEMENT] = "final_agreement",
    [CUTOUT_FINAL_SUPPORT] = "final_support",
    [CUTOUT_FINAL_THIN] = "final_thin",
    [CUTOUT_FINAL_CONTACT] = "final_contact",
    [CUTOUT_FINAL_SIZE] = "final_size",
    [CUTOUT_FINAL_TIGHTNESS] = "final_tightness",
    [CUTOUT_DOUBT] = "doubt",
    [CUTOUT_CONTRAST] = "contrast",
};

/* Fitted on finished answers for photos and composites of which the truth is known, automatic and boxed apart;
 * docs/method/cutout.md says how, and what was found on folders left out. */
const double cutout_sign_weight[2][CUTOUT_SIGNS] = {
    {[CUTOUT_ONE] = 0.058,
     [CUTOUT_AGREEMENT] = 0.290,
     [CUTOUT_UNANIMITY] = 0.132,
     [CUTOUT_SUPPORT] = 0.374,
     [CUTOUT_THIN] = -0.318,
     [CUTOUT_CONTACT] = -0.434,
     [CUTOUT_SIZE] = 0.585},
    {[CUTOUT_ONE] = 0.259,
     [CUTOUT_AGREEMENT] = 0.096,
     [CUTOUT_UNANIMITY] = 0.100,
     [CUTOUT_SUPPORT] = 0.064,
     [CUTOUT_THIN] = -0.084,
     [CUTOUT_TIGHTNESS] = 0.329,
     [CUTOUT_FILLED] = 0.184},
};

static const double tight = 0.93; /* share of the box that counts as filled */

double cutout_overlap(const uint8_t *first, const uint8_t *second, size_t count) {
  size_t both = 0, either = 0;
  for (size_t i = 0; i < count; i++) {
    both += first[i] && second[i];
    either += first[i] || second[i];
  }
  return either ? (double)both / (double)either : 1;
}

/* ---- of an answer on the grid ---- */

typedef struct measures {
  double margin;    /* mean of 2 P - 1, P = probability that models and prior give to the answer */
  double agreement; /* overlap of the answer with prior > 1/2 */
  double contact;   /* share of the border that the answer touches */
  double area;      /* share of the picture */
  double support;   /* share of the outline's cost that is saved because colours jump there */
  double length;    /* of the outline, in units of the square root of the area */
} measures;

static measures measure(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double margin = 0, both = 0, either = 0, contact = 0, area = 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool piece = scene->piece[i], likely = scene->prior[i] > 0.5f;
      margin += tanh(0.5 * (double)(piece ? scene->pull[i] : -scene->pull[i]));
      both += piece && likely;
      either += piece || likely;
      area += piece;
      contact += piece && (x == 0 || y == 0 || x == grid->width - 1 || y == grid->height - 1);
    }
  return (measures){.margin = margin / (double)grid->count,
                    .agreement = either > 0 ? both / either : 0,
                    .contact = contact / (2.0 * (grid->width + grid->height)),
                    .area = area / (double)grid->count};
}

static void measure_outline(measures *m, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double saved = 0, full = 1e-6;
  for (int k = 0; k < 4; k++) {
    const int dx = cutout_step_x[2 * k], dy = cutout_step_y[2 * k];
    const double most = (double)cutout_full_edge(k);
    for (int y = 0; y < grid->height; y++)
      for (int x = 0; x < grid->width; x++) {
        if (x + dx < 0 || y + dy < 0 || x + dx >= grid->width || y + dy >= grid->height) continue;
        const int i = y * grid->width + x;
        if (scene->piece[i] == scene->piece[i + dy * grid->width + dx]) continue;
        full += most;
        saved += most - (double)scene->edge[k][i];
      }
  }
  m->support = saved / full;
  m->length = full / (double)cutout_full_edge(0) / sqrt(1e-6 + m->area * (double)grid->count);
}

/* Linear weights, fitted on composites of which the truth is known; docs/method/cutout.md says how. */
double cutout_trust(const cutout_scene *scene) {
  const measures m = measure(scene);
  return -0.652 + 0.926 * m.margin + 0.646 * m.agreement - 0.893 * m.contact + 0.732 * m.area - 1.085 * m.area * m.area;
}

void cutout_signs_of_grid(cutout_scene *scene) {
  measures m = measure(scene);
  measure_outline(&m, scene);
  double *const sign = scene->sign;
  sign[CUTOUT_ONE] = 1;
  sign[CUTOUT_AGREEMENT] = m.agreement;
  sign[CUTOUT_UNANIMITY] = scene->unanimity;
  sign[CUTOUT_SUPPORT] = m.support;
  sign[CUTOUT_THIN] = fmin(m.length, 30) / 30;
  sign[CUTOUT_CONTACT] = m.contact;
  sign[CUTOUT_SIZE] = sqrt(m.area);
  sign[CUTOUT_TIGHTNESS] = cutout_tightness(scene);
  sign[CUTOUT_FILLED] = fmin(sign[CUTOUT_TIGHTNESS] / tight, 1) * scene->unanimity;
  sign[CUTOUT_MARGIN] = m.margin;
}

/* ---- of the finished answer ---- */

/* The pixel in the middle of each cell. */
static void sample(uint8_t *cells, const cutout_grid *grid, const bc_image *image, const uint8_t *pixels) {
  for (int y = 0; y < grid->height; y++) {
    const int64_t at_y = (2 * y + 1) * (int64_t)image->height / (2 * grid->height);
    for (int x = 0; x < grid->width; x++)
      cells[y * grid->width + x] =
          pixels[at_y * image->width + (2 * x + 1) * (int64_t)image->width / (2 * grid->width)];
  }
}

static void doubt(cutout_scene *scene, const cutout_mixture of[2], float *cost[2]) {
  const cutout_grid *g = &scene->grid;
  if (of[0].count == 0 || of[1].count == 0) return;
  for (int k = 0; k < 2; k++) cutout_mixture_costs(&of[k], g->lab[0], g->lab[1], g->lab[2], g->count, cost[k]);
  double against = 0, area = 0;
  for (size_t i = 0; i < g->count; i++) {
    area += scene->piece[i];
    against += scene->fixed[i] == CUTOUT_OPEN && (cost[0][i] > cost[1][i]) != scene->piece[i];
  }
  scene->sign[CUTOUT_DOUBT] = area > 0 ? fmin(against / area, 1) : 1;
}

static void contrast(cutout_scene *scene, const bc_image *image, const uint8_t *pixels) {
  double sum = 0, n = 0;
  for (int y = 3; y < image->height - 3; y += 2)
    for (int x = 3; x < image->width - 3; x++) {
      const ptrdiff_t i = (ptrdiff_t)y * image->width + x;
      for (int k = 0; k < 2; k++) {
        const ptrdiff_t step = k ? image->width : 1;
        if (pixels[i] == pixels[i + step]) continue;
        const float *lab[3] = {image->L, image->a, image->b};
        double d = 0;
        for (int c = 0; c < 3; c++) d += pow((double)lab[c][i - 2 * step] - (double)lab[c][i + 3 * step], 2);
        sum += fmin(sqrt(d) / 20, 1);
        n++;
      }
    }
  scene->sign[CUTOUT_CONTRAST] = n > 0 ? sum / n : 0;
}

bc_status cutout_signs_of_pixels(cutout_scene *scene, bc_context *context, const bc_image *image, const uint8_t *pixels,
                                 const cutout_mixture of_pixels[2]) {
  const size_t count = scene->grid.count;
  uint8_t *cells = bc_allocate(count, 1), *const own = scene->piece;
  float *cost[2] = {bc_allocate(count, sizeof(float)), bc_allocate(count, sizeof(float))};
  const bool ready = cells && cost[0] && cost[1];
  if (ready) {
    sample(cells, &scene->grid, image, pixels);
    scene->sign[CUTOUT_PIXELS] = cutout_overlap(cells, own, count);
    scene->piece = cells;
    measures m = measure(scene);
    measure_outline(&m, scene);
    double *const sign = scene->sign;
    sign[CUTOUT_FINAL_AGREEMENT] = m.agreement;
    sign[CUTOUT_FINAL_SUPPORT] = m.support;
    sign[CUTOUT_FINAL_THIN] = fmin(m.length, 30) / 30;
    sign[CUTOUT_FINAL_CONTACT] = m.contact;
    sign[CUTOUT_FINAL_SIZE] = sqrt(m.area);
    sign[CUTOUT_FINAL_TIGHTNESS] = cutout_tightness(scene);
    doubt(scene, of_pixels, cost);
    contrast(scene, image, pixels);
    scene->piece = own;
  }
  free(cells);
  free(cost[0]);
  free(cost[1]);
  return ready ? BC_OK : bc_fail_memory(context);
}

double cutout_confidence(const cutout_scene *scene, bool in_box) {
  double expected = 0;
  for (int k = 0; k < CUTOUT_SIGNS; k++) expected += cutout_sign_weight[in_box][k] * scene->sign[k];
  return fmin(fmax(expected, 0), 1);
}
