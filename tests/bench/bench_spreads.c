/* SPDX-License-Identifier: MIT */
/* Whether the spread that is told of a colour covers its error: charts of known reflectances under many lamps, with
 * random balance, exposure, tone curve and paper. `spreads fit` takes every second lamp, `spreads test` the others:
 * both were looked at while the constants were chosen. `spreads unseen` has lamps, reflectances and a camera of its
 * own, made up after that, and nothing is ever fitted to it. */
#include "../reference/colour/rendered_chart.h"
#include "bench.h"
#include "unseen_chart.h"

enum { SHOTS = 10 };

/* In pairs of a kind: daylights, fluorescent lamps of three bands and of many, and what is warm, of which NULL is an
 * LED. Those of two bands (F1 to F6) are hardly made any more. */
static const char *const lamps[] = {"CIE-D65", "CIE-D50", "CIE-C",   "CIE-D55", "CIE-F11", "CIE-F12",
                                    "CIE-F8",  "CIE-F9",  "CIE-F10", "CIE-F7",  NULL,      "CIE-A"};

typedef struct tally {
  double error2, told2;
  int count, covered;
} tally;

static double drawn(uint64_t *seed, double from, double to) {
  *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return from + (to - from) * ((double)(*seed >> 11) / 9007199254740992.0);
}

static bc_status open_shot(bc_image **out, bc_context *context, const chart *c, const chart_photo *shot, int how) {
  unsigned long size = 0;
  unsigned char *bytes = chart_shoot(c, shot, &size);
  bc_photo *photo = NULL;
  bc_image_options options = bc_image_options_default();
  options.side = 0;
  options.find_white = how == 2;
  options.has_white = how == 1;
  options.white = (bc_box){SHEET_X + 10, SHEET_Y + 10, SHEET_WIDTH - 20, SHEET_HEIGHT - 20};
  bc_status status = bc_photo_decode(&photo, context, bytes, size, "chart.jpg", NULL);
  if (status == BC_OK) status = bc_image_from_photo(out, context, photo, &options);
  bc_photo_free(photo);
  free(bytes);
  return status;
}

static void count_patches(tally *to, const chart *c, const bc_image *image) {
  for (int k = 0; k < PATCHES; k++) {
    const bc_lab seen = chart_patch_mean(image, k);
    const double error = bc_delta_e00(seen, c->truth[k]),
                 told = bc_colour_spread(bc_colour_from_lab(seen), image->uncertainty);
    to->error2 += error * error;
    to->told2 += told * told;
    to->covered += error <= 2 * told;
    to->count++;
  }
}

/* Balance from half right to right; exposed for a sheet that isn't to be clipped, where one is in view. */
static void shoot_all(tally to[3], bc_context *context, const chart *c, uint64_t *seed) {
  for (int s = 0; s < SHOTS; s++) {
    const chart_photo shot = {.balance = drawn(seed, 0.5, 1),
                              .stops = drawn(seed, -0.8, 0.05),
                              .shoulder = drawn(seed, 0, 1) < 0.5,
                              .sheet = drawn(seed, 0.80, 0.89),
                              .tilt = drawn(seed, -0.05, 0.05)};
    for (int how = 0; how < 3; how++) {
      bc_image *image = NULL;
      if (open_shot(&image, context, c, &shot, how) == BC_OK && (how < 2 || image->reference == BC_REFERENCE_FOUND))
        count_patches(&to[how], c, image);
      bc_image_free(image);
    }
  }
}

static bool load_known(chart *c, size_t i) {
  char path[128];
  snprintf(path, sizeof path, "/usr/share/colord/illuminant/%s.sp", lamps[i] ? lamps[i] : "");
  return chart_load(c, &(chart_light){lamps[i], lamps[i] ? path : NULL});
}

int bench_spreads(int argc, char **argv) {
  const bool unseen = argc > 1 && strcmp(argv[1], "unseen") == 0;
  const size_t half = argc > 1 && strcmp(argv[1], "test") == 0, step = unseen ? 1 : 2;
  const size_t count = unseen ? UNSEEN_LAMPS : sizeof lamps / sizeof lamps[0];
  static const char *const ways[] = {"camera alone", "sheet given", "sheet found"};
  bc_context *context = NULL;
  tally all[3] = {{0}};
  uint64_t seed = unseen ? 20011 : 11 + half;
  if (bc_context_new(&context)) return BC_OUR_FAULT;
  for (size_t i = half; i < count; i += step) {
    chart c;
    if (!(unseen ? unseen_chart_load(&c, i) : load_known(&c, i))) {
      fprintf(stderr, "spectra are missing: install Debian's colord-data and argyll-ref\n");
      bc_context_free(context);
      return BC_NO_INPUT;
    }
    shoot_all(all, context, &c, &seed);
  }
  printf("reference      r.m.s. error  told  ratio  within twice  colours\n");
  for (int how = 0; how < 3; how++)
    printf("%-13s  %12.2f  %4.2f  %5.2f  %10.1f %%  %7d\n", ways[how], sqrt(all[how].error2 / all[how].count),
           sqrt(all[how].told2 / all[how].count), sqrt(all[how].error2 / all[how].told2),
           100.0 * all[how].covered / all[how].count, all[how].count);
  bc_context_free(context);
  return 0;
}
