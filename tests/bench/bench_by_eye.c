/* SPDX-License-Identifier: MIT */
/* Judging by eye: `pairs` makes the recipes by chance, `sheets` draws the pairs in an order of chance without any
 * figure, `order` turns answers by place into answers by pair. */
#include "bench.h"
#include "by_eye.h"

#include <backcloth/colour.h>
#include <cairo.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { all_chance = 128, all_near = 64, columns = 8, rows = 4, a_sheet = columns * rows, gap = 10, caption = 18 };

static double chance(uint64_t *seed) {
  *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (double)(*seed >> 11) / 9007199254740992.0;
}

static double between(uint64_t *seed, double least, double most) {
  return least + (most - least) * chance(seed);
}

static bc_lab shown(bc_lab lab) { /* as a screen can show it */
  char css[8];
  bc_lab_to_hex(lab, css);
  double rgb[3];
  for (int i = 0; i < 3; i++) {
    const char two[3] = {css[1 + 2 * i], css[2 + 2 * i], 0};
    rgb[i] = bc_srgb_decode((double)strtol(two, NULL, 16) / 255);
  }
  return bc_colour_from_linear_srgb(rgb).lab;
}

/* --- recipes --- */

static const char *const photos[] = {"amber-bottle", "banner", "basket-handles", "basket-round", "bottle", "bowl",
                                     "brooch",       "cuff",   "earrings",       "glass-bowl",   "jar",    "moon-jar",
                                     "pendant",      "ring",   "scarf-rings",    "scarf-stripe", "vase"};
/* Colours of cloth as they are sold: CIELAB of sheets, felts, linens, canvas and velvets (our choice). */
static const bc_lab cloths[] = {{94, 0, 3},    {87, 1, 13},  {80, 3, 16},  {72, 2, 8},    {55, 2, 6},     {67, -5, 14},
                                {62, 13, 48},  {50, 28, 30}, {34, 38, 24}, {25, -16, 12}, {44, -10, -18}, {22, 6, -24},
                                {17, 16, -10}, {23, 0, -1},  {6, 0, 0},    {60, 0, 0},    {78, 12, 4},    {40, 2, 12},
                                {70, -12, -8}, {30, 6, 10},  {83, -4, 8},  {48, -18, 22}, {58, 24, 6},    {37, -2, -6}};

static bc_lab any_cloth(uint64_t *seed, const bc_reading *reading) {
  if (chance(seed) < 0.45) return cloths[(size_t)(chance(seed) * (sizeof cloths / sizeof *cloths))];
  const bc_lab mean = reading->mean.lab;
  const double L = fmin(95, fmax(5, mean.L + between(seed, -34, 34))), hue = between(seed, 0, 6.2831853),
               chroma = between(seed, 0, 24) * (chance(seed) < 0.5);
  return (bc_lab){L, 0.5 * mean.a + chroma * cos(hue), 0.5 * mean.b + chroma * sin(hue)};
}

/* Near the piece's own colour, where the eye has to search. */
static bc_lab near_cloth(uint64_t *seed, const bc_reading *reading) {
  const size_t chosen = (size_t)(chance(seed) * (double)reading->colour_count);
  const bc_lab own = chance(seed) < 0.5 ? reading->mean.lab : reading->colours[chosen].lab;
  const double hue = between(seed, 0, 6.2831853), chroma = between(seed, 0, 12);
  return (bc_lab){fmin(96, fmax(4, own.L + between(seed, -13, 13))), own.a + chroma * cos(hue),
                  own.b + chroma * sin(hue)};
}

static int make_recipes(bc_context *context, const char *demo, uint64_t seed, bool near) {
  const int first = near ? all_chance : 0, end = near ? all_chance + all_near : all_chance;
  printf("number\tphoto\tstops\tL\ta\tb\tpattern\tL2\ta2\tb2\tperiod\n");
  for (int i = first; i < end; i++) {
    by_eye_pair p = {.stops = chance(&seed) < 0.5 ? 0 : between(&seed, -1.2, 0.5)};
    snprintf(p.photo, sizeof p.photo, "%s", photos[(size_t)(chance(&seed) * (sizeof photos / sizeof *photos))]);
    bc_study *study = NULL;
    bc_cloth cloth;
    if (!by_eye_make(&study, &cloth, context, &p, demo)) return 70;
    p.ground = p.figure = shown(near ? near_cloth(&seed, study->reading) : any_cloth(&seed, study->reading));
    bc_study_free(study);
    if (chance(&seed) < 0.3) {
      p.pattern = (by_eye_pattern)(1 + (int)(3 * chance(&seed)));
      p.period = (int)between(&seed, 7, 36);
      const double side = p.ground.L > 50 ? -1 : 1, turn = between(&seed, 0, 6.2831853), far = between(&seed, 0, 30);
      p.figure = shown((bc_lab){p.ground.L + side * between(&seed, 4, 42), p.ground.a + far * cos(turn),
                                p.ground.b + far * sin(turn)});
    }
    printf("%d\t%s\t%.2f\t%.2f\t%.2f\t%.2f\t%d\t%.2f\t%.2f\t%.2f\t%d\n", i, p.photo, p.stops, p.ground.L, p.ground.a,
           p.ground.b, (int)p.pattern, p.figure.L, p.figure.a, p.figure.b, p.period);
  }
  return 0;
}

/* --- sheets --- */

static void shuffle(int *order, int count, uint64_t seed) {
  for (int i = 0; i < count; i++) order[i] = i;
  for (int i = count - 1; i > 0; i--) {
    const int j = (int)(chance(&seed) * (i + 1)), held = order[i];
    order[i] = order[j];
    order[j] = held;
  }
}

/* 0 ground, 1 the mean of both, 2 figure. */
static int colour_at(const by_eye_pair *p, int x, int y) {
  const int half = p->period / 2 ? p->period / 2 : 1;
  const int across = (x / half) % 2, down = (y / half) % 2;
  switch (p->pattern) {
  case EYE_STRIPE:
    return across ? 2 : 0;
  case EYE_CHECK:
    return across + down;
  case EYE_DOTS:
    return across && down ? 2 : 0;
  default:
    return 0;
  }
}

typedef struct cell {
  const bc_study *study;
  double linear[3][3]; /* of the cloth's three colours */
  double scale;        /* pixels of the image per pixel of the cell */
  double left, top;    /* in the image, of the cell's corner */
} cell;

/* Mean light of the image over a pixel of the cell, premultiplied, and how much of it is piece. */
static double piece_at(const cell *c, int x, int y, double light[3]) {
  const bc_image *image = c->study->image;
  const double steps = ceil(c->scale);
  double cover = 0;
  light[0] = light[1] = light[2] = 0;
  for (int j = 0; j < (int)steps; j++)
    for (int i = 0; i < (int)steps; i++) {
      const int px = (int)floor(c->left + c->scale * (x + (i + 0.5) / steps)),
                py = (int)floor(c->top + c->scale * (y + (j + 0.5) / steps));
      if (px < 0 || py < 0 || px >= image->width || py >= image->height) continue;
      const size_t at = (size_t)py * (size_t)image->width + (size_t)px;
      const double alpha = c->study->cutout->alpha[at] / 255.0;
      if (!(alpha > 0)) continue;
      double rgb[3];
      bc_lab_to_linear_srgb((bc_lab){(double)image->L[at], (double)image->a[at], (double)image->b[at]}, rgb);
      for (int k = 0; k < 3; k++) light[k] += alpha * fmin(1, fmax(0, rgb[k]));
      cover += alpha;
    }
  for (int k = 0; k < 3; k++) light[k] /= steps * steps;
  return cover / (steps * steps);
}

static uint32_t encoded(const double light[3]) {
  uint32_t pixel = 0xff;
  for (int k = 0; k < 3; k++) pixel = pixel << 8 | (uint32_t)lround(255 * bc_srgb_encode(fmin(1, fmax(0, light[k]))));
  return pixel;
}

static void paint(cairo_surface_t *surface, int x0, int y0, const cell *c, const by_eye_pair *p) {
  unsigned char *bytes = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  for (int y = 0; y < BY_EYE_CELL; y++)
    for (int x = 0; x < BY_EYE_CELL; x++) {
      double light[3];
      const double cover = piece_at(c, x, y, light);
      for (int k = 0; k < 3; k++) light[k] += (1 - cover) * c->linear[colour_at(p, x, y)][k];
      const uint32_t pixel = encoded(light);
      memcpy(bytes + (y0 + y) * stride + 4 * (x0 + x), &pixel, sizeof pixel);
    }
}

static bool draw_pair(cairo_surface_t *surface, int place, bc_context *context, const by_eye_pair *p,
                      const char *demo) {
  bc_study *study = NULL;
  bc_cloth cloth;
  if (!by_eye_make(&study, &cloth, context, p, demo)) return false;
  const bc_lab g = p->ground, f = p->figure, three[3] = {g, {(g.L + f.L) / 2, (g.a + f.a) / 2, (g.b + f.b) / 2}, f};
  const bc_box box = study->cutout->box;
  cell c = {.study = study};
  for (int i = 0; i < 3; i++) bc_lab_to_linear_srgb(three[i], c.linear[i]);
  c.scale = fmax(box.width, box.height) / (0.74 * BY_EYE_CELL);
  c.left = box.x + 0.5 * box.width - 0.5 * c.scale * BY_EYE_CELL;
  c.top = box.y + 0.5 * box.height - 0.5 * c.scale * BY_EYE_CELL;
  paint(surface, gap + place % columns * (BY_EYE_CELL + gap), gap + place / columns * (BY_EYE_CELL + gap + caption), &c,
        p);
  bc_study_free(study);
  return true;
}

static void write_number(cairo_t *cairo, int place, int number) {
  char text[20];
  snprintf(text, sizeof text, "%d", number);
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_set_font_size(cairo, 15);
  cairo_move_to(cairo, gap + place % columns * (BY_EYE_CELL + gap),
                gap + place / columns * (BY_EYE_CELL + gap + caption) + BY_EYE_CELL + 15);
  cairo_show_text(cairo, text);
}

static int draw_sheets(bc_context *context, const char *folder, const char *demo, const char *out, uint64_t seed) {
  static by_eye_pair pairs[by_eye_most];
  int order[by_eye_most];
  const int count = by_eye_read(pairs, folder);
  shuffle(order, count, seed);
  for (int first = 0; first < count; first += a_sheet) {
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, gap + columns * (BY_EYE_CELL + gap),
                                                          gap + rows * (BY_EYE_CELL + gap + caption));
    cairo_t *cairo = cairo_create(surface);
    cairo_set_source_rgb(cairo, 0.467, 0.467, 0.467); /* a middle grey, L* 50 */
    cairo_paint(cairo);
    cairo_surface_flush(surface);
    for (int i = first; i < first + a_sheet && i < count; i++)
      if (!draw_pair(surface, i - first, context, &pairs[order[i]], demo)) return 70;
    cairo_surface_mark_dirty(surface);
    for (int i = first; i < first + a_sheet && i < count; i++) write_number(cairo, i - first, i);
    char path[1024];
    snprintf(path, sizeof path, "%s/sheet-%d.png", out, first / a_sheet + 1);
    cairo_surface_write_to_png(surface, path);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
  }
  return 0;
}

/* A string of one digit a place, as it was written down, and the seed of that order. */
static int put_in_order(const char *text, uint64_t seed, int first) {
  int order[by_eye_most];
  char answer[by_eye_most];
  const int count = (int)strlen(text);
  if (count > by_eye_most) return 65;
  shuffle(order, count, seed);
  for (int i = 0; i < count; i++) answer[order[i]] = text[i];
  for (int i = 0; i < count; i++) printf("%d\t%c\n", first + i, answer[i]);
  return 0;
}

int bench_by_eye(int argc, char **argv) {
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  int code = 64;
  if (argc >= 4 && strcmp(argv[1], "pairs") == 0)
    code = make_recipes(context, argv[2], strtoull(argv[3], NULL, 10), argc == 5);
  else if (argc == 6 && strcmp(argv[1], "sheets") == 0)
    code = draw_sheets(context, argv[2], argv[3], argv[4], strtoull(argv[5], NULL, 10));
  else if (argc == 5 && strcmp(argv[1], "order") == 0)
    code = put_in_order(argv[2], strtoull(argv[3], NULL, 10), atoi(argv[4]));
  else
    fprintf(stderr, "usage: by-eye pairs DEMO SEED [near] | sheets FOLDER DEMO OUT SEED | order ANSWERS SEED FIRST\n");
  bc_context_free(context);
  return code;
}
