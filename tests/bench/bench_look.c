/* SPDX-License-Identifier: MIT */
/* How a photographed wall is read, on rendered stands of known geometry: corners, pieces, sizes, what is refused; and
 * how often a photo without a wall is taken for one. */
#include "bench.h"

#include "base/base.h"
#include "logistic.h"
#include "look/corners.h"
#include "support/stands.h"
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST = 4000 };

typedef struct tally {
  int scenes, refused, wrong;
  int pieces, found, told, right;
  double off[MOST], size[MOST];
  int offs;
  double sure[MOST]; /* confidence of each scene, and whether it was right */
  bool was_right[MOST];
} tally;

static double overlap(const stand_piece *p, const bc_look_piece *q) {
  const double w =
      fmin(p->x + p->width / 2, q->x_cm + q->width_cm / 2) - fmax(p->x - p->width / 2, q->x_cm - q->width_cm / 2);
  const double h =
      fmin(p->y + p->height / 2, q->y_cm + q->height_cm / 2) - fmax(p->y - p->height / 2, q->y_cm - q->height_cm / 2);
  if (w <= 0 || h <= 0) return 0;
  return w * h / (p->width * p->height + q->width_cm * q->height_cm - w * h);
}

/* Corners are wrong when one of them is off by more than 5 % of the wall's width in the photo. */
static bool corners_right(double *worst, const stand_scene *s, const bc_look_outline *o) {
  bc_look_point truth[BC_LOOK_CORNERS];
  stand_corners(truth, s);
  const double wide = hypot(truth[1].x - truth[0].x, truth[1].y - truth[0].y);
  *worst = 0;
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    *worst = fmax(*worst, hypot(truth[i].x - o->corner[i].x, truth[i].y - o->corner[i].y));
  return *worst < 0.05 * wide;
}

static void count_pieces(tally *t, const stand_scene *s, const bc_look *look, bool verbose) {
  bool used[1000] = {false};
  t->told += (int)look->piece_count;
  for (int i = 0; i < s->pieces; i++) {
    if (!s->piece[i].counted) continue;
    int best = -1;
    double most = 0.5;
    for (size_t k = 0; k < look->piece_count && k < 1000; k++) {
      const double o = overlap(&s->piece[i], &look->pieces[k]);
      if (!used[k] && o > most) {
        most = o;
        best = (int)k;
      }
    }
    if (best < 0) {
      if (verbose)
        printf("    missed: %.0f x %.0f at %.0f, %.0f\n", s->piece[i].width, s->piece[i].height, s->piece[i].x,
               s->piece[i].y);
      continue;
    }
    const bc_look_piece *const q = &look->pieces[best];
    used[best] = true;
    t->found++;
    t->right++;
    t->off[t->offs] = hypot(q->x_cm - s->piece[i].x, q->y_cm - s->piece[i].y) * 300 / s->width;
    t->size[t->offs++] = fmax(fabs(q->width_cm / s->piece[i].width - 1), fabs(q->height_cm / s->piece[i].height - 1));
  }
  for (size_t k = 0; verbose && k < look->piece_count && k < 1000; k++)
    if (!used[k])
      printf("    no piece: %.0f x %.0f at %.0f, %.0f\n", look->pieces[k].width_cm, look->pieces[k].height_cm,
             look->pieces[k].x_cm, look->pieces[k].y_cm);
}

static int by_value(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return a < b ? -1 : a > b;
}

static double middle(double *list, int count) {
  if (count == 0) return 0;
  qsort(list, (size_t)count, sizeof *list, by_value);
  return list[count / 2];
}

static void one_scene(tally *t, bc_context *context, int number, bool testing, bool given, const char *path) {
  const stand_scene s = stand_make(number, testing);
  if (!stand_write(&s, -1, path)) return;
  bc_look_options how = bc_look_options_default();
  how.width_cm = s.width;
  how.has_corners = given;
  stand_corners(how.corner, &s);
  for (int i = 0; i < s.pieces; i++) t->pieces += s.piece[i].counted;
  bc_look *look = NULL;
  const int at = t->scenes++;
  double worst = 0;
  const double start = bench_seconds();
  if (bc_look_open(&look, context, path, &how) != BC_OK) {
    t->refused++;
    t->sure[at] = -1;
    printf("  %2d cover %d: refused\n", number, (int)s.cover);
    return;
  }
  const bool right = corners_right(&worst, &s, &look->outline);
  t->wrong += !right;
  t->sure[at] = look->outline.confidence;
  t->was_right[at] = right;
  const int found = t->found, told = t->told, pieces = t->pieces;
  int own = 0;
  for (int i = 0; i < s.pieces; i++) own += s.piece[i].counted;
  (void)pieces;
  count_pieces(t, &s, look, getenv("BENCH_LOOK_SAY") != NULL);
  printf(
      "  %2d cover %d: corners within %.0f px%s (%.2f sure), height %.0f of %.0f, %d of %d pieces, %d told, %.1f s\n",
      number, (int)s.cover, worst, right ? "" : " WRONG", look->outline.confidence, look->height_cm, s.height,
      t->found - found, own, t->told - told, bench_seconds() - start);
  fflush(stdout);
  bc_look_free(look);
}

static void calibration(const tally *t) {
  static const double steps[] = {0, 0.5, 0.7, 0.8, 0.9, 0.95, 1.0001};
  for (size_t i = 0; i + 1 < sizeof steps / sizeof *steps; i++) {
    int all = 0, right = 0;
    double told = 0;
    for (int k = 0; k < t->scenes; k++) {
      if (t->sure[k] < steps[i] || t->sure[k] >= steps[i + 1]) continue;
      all++;
      right += t->was_right[k];
      told += t->sure[k];
    }
    if (all) printf("told %.2f: %d of %d right (%.2f)\n", told / all, right, all, (double)right / all);
  }
}

static void others(bc_context *context, int count, bool testing, const char *path) {
  static const char *const names[STAND_OTHERS] = {"landscapes", "product photos", "rooms", "streets", "banners alone"};
  for (int kind = 0; kind < STAND_OTHERS; kind++) {
    int taken = 0;
    for (int i = 0; i < count; i++) {
      stand_scene s = {.pixels_x = 1280,
                       .pixels_y = 960,
                       .focal = 1000,
                       .noise = 0.006,
                       .seed = (testing ? 900u : 100u) + (uint64_t)i * 31 + (uint64_t)kind};
      if (!stand_write(&s, kind, path)) return;
      bc_look_options how = bc_look_options_default();
      how.width_cm = 300;
      bc_look *look = NULL;
      if (bc_look_open(&look, context, path, &how) == BC_OK) taken++;
      if (look) printf("  %s %d taken for a wall, %.2f sure\n", names[kind], i, look->outline.confidence);
      bc_look_free(look);
    }
    printf("%s: %d of %d refused\n", names[kind], count - taken, count);
  }
}

/* ---- fitting the weights of src/look/corners.c ---- */

static bc_image *image_of(bc_context *context, const char *path) {
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_photo_options photo_options = bc_photo_options_default();
  bc_image_options image_options = bc_image_options_default();
  image_options.find_white = false;
  image_options.side = 2400;
  if (bc_photo_open(&photo, context, path, &photo_options) == BC_OK)
    bc_image_from_photo(&image, context, photo, &image_options);
  bc_photo_free(photo);
  return image;
}

/* A guess's worst corner over the wall's width in the photo. */
static double guess_off(const look_outline_guess *g, const stand_scene *s) {
  bc_look_outline outline = {0};
  double worst;
  memcpy(outline.corner, g->corner, sizeof outline.corner);
  corners_right(&worst, s, &outline);
  bc_look_point truth[BC_LOOK_CORNERS];
  stand_corners(truth, s);
  return worst / hypot(truth[1].x - truth[0].x, truth[1].y - truth[0].y);
}

typedef struct photo_guesses {
  look_outline_guesses guesses;
  stand_scene scene;
  double *off; /* of each guess's worst corner, of the wall's width in the photo */
  bool wall, right;
} photo_guesses;

/* Of one photo's guesses: the chance that each comes first, by its value. */
static double chances(double *chance, const look_outline_guesses *g, const double *weights) {
  double most = -HUGE_VAL, sum = 0;
  for (size_t i = 0; i < g->count; i++) {
    chance[i] = 0;
    for (int k = 0; k < LOOK_SIGNS; k++) chance[i] += weights[k] * g->list[i].sign[k];
    most = fmax(most, chance[i]);
  }
  for (size_t i = 0; i < g->count; i++) sum += chance[i] = exp(chance[i] - most);
  for (size_t i = 0; i < g->count; i++) chance[i] /= sum;
  return most;
}

/* Conditional logistic regression: one guess of each photo comes first, and it should be the wall. Source: McFadden,
 * "Conditional logit analysis of qualitative choice behavior", 1974 (from memory). Steepest ascent with a ridge. */
static void fit_weights(double *weights, const photo_guesses *photo, int count) {
  enum { GUESSES = 400 };
  for (int round = 0; round < 4000; round++) {
    double slope[LOOK_SIGNS] = {0};
    for (int p = 0; p < count; p++) {
      const look_outline_guesses *const g = &photo[p].guesses;
      double chance[GUESSES], right = 0;
      if (!photo[p].wall || g->count == 0 || g->count > GUESSES) continue;
      chances(chance, g, weights);
      for (size_t i = 0; i < g->count; i++)
        if (photo[p].off[i] < 0.02) right += chance[i];
      if (!(right > 0)) continue;
      for (size_t i = 0; i < g->count; i++)
        for (int k = 0; k < LOOK_SIGNS; k++)
          slope[k] += g->list[i].sign[k] * ((photo[p].off[i] < 0.02 ? chance[i] / right : 0) - chance[i]);
    }
    for (int k = 1; k < LOOK_SIGNS; k++) weights[k] += 0.05 * (slope[k] - 0.05 * weights[k]);
  }
}

static void print_weights(const char *name, const double *weights, int count) {
  printf("%s = {", name);
  for (int k = 0; k < count; k++) printf("%s%.2f", k ? ", " : "", weights[k]);
  printf("};\n");
}

static void weigh_again(look_outline_guesses *g, const double *weights) {
  size_t best = 0;
  for (size_t i = 0; i < g->count; i++) {
    g->list[i].value = 0;
    for (int k = 0; k < LOOK_SIGNS; k++) g->list[i].value += weights[k] * g->list[i].sign[k];
    if (g->list[i].value > g->list[best].value) best = i;
  }
  if (g->count == 0) return;
  const look_outline_guess first = g->list[best];
  g->list[best] = g->list[0];
  g->list[0] = first;
}

static void fit_sure(double *weights, photo_guesses *photo, int count) {
  for (int round = 0; round < 40; round++) {
    least_squares sums = {.unknowns = LOOK_SURE_SIGNS};
    for (int i = 0; i < count; i++) {
      double sign[LOOK_SURE_SIGNS];
      if (photo[i].guesses.count == 0) continue;
      look_outline_sure_signs(sign, &photo[i].guesses);
      logistic_add(&sums, weights, sign, photo[i].right, 1);
    }
    for (int k = 1; k < LOOK_SURE_SIGNS; k++) {
      sums.square[k][k] += 0.3;
      sums.right[k] -= 0.3 * weights[k];
    }
    if (logistic_step(weights, &sums) < 1e-6) break;
  }
}

/* How many walls were among the guesses, and how many came first. */
static void tell_guesses(photo_guesses *photo, int count, const double *sure, bool verbose) {
  int walls = 0, among = 0, first = 0, taken = 0, others = 0;
  double bends[MOST];
  for (int i = 0; i < count; i++) {
    const look_outline_guesses *const g = &photo[i].guesses;
    double sign[LOOK_SURE_SIGNS] = {0}, told = 0, best = HUGE_VAL;
    if (g->count) {
      look_outline_sure_signs(sign, g);
      told = logistic_probability(sure, sign, LOOK_SURE_SIGNS);
    }
    others += !photo[i].wall;
    taken += !photo[i].wall && told >= 0.5;
    if (!photo[i].wall) continue;
    for (size_t k = 0; k < g->count; k++) best = fmin(best, guess_off(&g->list[k], &photo[i].scene));
    if (verbose)
      printf("  %2d cover %d bend %.3f of %.3f, guesses %zu, best %.3f, first %.3f, %.2f sure\n", walls,
             (int)photo[i].scene.cover, g->bend, photo[i].scene.bend, g->count, best,
             g->count ? guess_off(&g->list[0], &photo[i].scene) : 1, told);
    bends[walls++] = fabs(g->bend - photo[i].scene.bend);
    among += best < 0.04;
    first += photo[i].right;
  }
  printf("walls %d: among the guesses %d, first %d; median error of the bend %.3f; others taken for a wall %d of %d\n",
         walls, among, first, middle(bends, walls), taken, others);
}

static void fit_outlines(bc_context *context, int count, bool testing, const char *path) {
  photo_guesses *photo = bc_allocate((size_t)count * 2, sizeof *photo);
  int photos = 0;
  double weights[LOOK_SIGNS] = {0}, sure[LOOK_SURE_SIGNS] = {0};
  for (int i = 0; photo && i < 2 * count; i++) {
    photo_guesses *const p = &photo[photos++];
    p->wall = i < count;
    const int kind = p->wall ? -1 : i % STAND_OTHERS;
    p->scene = p->wall ? stand_make(i, testing)
                       : (stand_scene){.pixels_x = 1280,
                                       .pixels_y = 960,
                                       .focal = 1000,
                                       .noise = 0.006,
                                       .seed = (testing ? 900u : 100u) + (uint64_t)i * 31};
    bc_image *image = stand_write(&p->scene, kind, path) ? image_of(context, path) : NULL;
    if (image) look_outline_guesses_find(&p->guesses, context, image);
    bc_image_free(image);
    p->off = bc_allocate(p->guesses.count + 1, sizeof *p->off);
    for (size_t k = 0; p->off && k < p->guesses.count; k++)
      p->off[k] = p->wall ? guess_off(&p->guesses.list[k], &p->scene) : 1;
  }
  if (photo) {
    fit_weights(weights, photo, photos);
    for (int i = 0; i < photos; i++) {
      if (!testing) weigh_again(&photo[i].guesses, weights);
      photo[i].right =
          photo[i].wall && photo[i].guesses.count && guess_off(&photo[i].guesses.list[0], &photo[i].scene) < 0.05;
    }
    fit_sure(sure, photo, photos);
    tell_guesses(photo, photos, sure, true);
    print_weights("weights", weights, LOOK_SIGNS);
    print_weights("sure_weights", sure, LOOK_SURE_SIGNS);
  }
  for (int i = 0; photo && i < photos; i++) {
    look_outline_guesses_clear(&photo[i].guesses);
    free(photo[i].off);
  }
  free(photo);
}

int bench_look(int argc, char **argv) {
  const bool testing = argc > 1 && strcmp(argv[1], "test") == 0, given = argc > 3 && strcmp(argv[3], "corners") == 0;
  const int count = argc > 2 ? atoi(argv[2]) : 28, first = argc > 4 ? atoi(argv[4]) : 0;
  char folder[] = "/tmp/bench-look-XXXXXX";
  bc_context *context = NULL;
  if (count < 1 || count > MOST / STAND_PIECES || !mkdtemp(folder) || bc_context_new(&context) != BC_OK) return 70;
  char *const path = bc_format("%s/wall.ppm", folder);
  tally *t = bc_allocate(1, sizeof *t);
  if (path && argc > 3 && strcmp(argv[3], "outlines") == 0) {
    fit_outlines(context, count, testing, path);
    unlink(path);
    rmdir(folder);
    free(t);
    free(path);
    bc_context_free(context);
    return 0;
  }
  for (int i = first; t && path && i < first + count; i++) one_scene(t, context, i, testing, given, path);
  if (t && path) {
    printf("%s scenes: %d, refused %d, wrong corners %d\n", testing ? "testing" : "learning", t->scenes, t->refused,
           t->wrong);
    printf("recall %.2f (%d of %d), precision %.2f (%d told)\n", (double)t->found / fmax(1, t->pieces), t->found,
           t->pieces, (double)t->right / fmax(1, t->told), t->told);
    printf("median position error %.1f cm on 3 m, size error %.1f %%\n", middle(t->off, t->offs),
           100 * middle(t->size, t->offs));
    calibration(t);
    if (!given && argc < 4) others(context, (count + 3) / 4, testing, path);
    unlink(path);
  }
  rmdir(folder);
  free(t);
  free(path);
  bc_context_free(context);
  return 0;
}
