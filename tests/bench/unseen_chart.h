/* SPDX-License-Identifier: MIT */
/* Charts that no constant was chosen by: lamps, reflectances and a camera other than those of rendered_chart.h.
 * Measured lamps are from Debian's argyll-ref, two of the CIE's from colord-data; the LEDs are sums of bells. */
#ifndef BC_TESTS_UNSEEN_CHART_H
#define BC_TESTS_UNSEEN_CHART_H

#include "../reference/colour/rendered_chart.h"

typedef struct unseen_bell {
  double height, nm, sd;
} unseen_bell;

static const struct {
  const char *file;    /* NULL: the bells */
  unseen_bell bell[4]; /* height 0: none */
} unseen_lamps[] = {
    {.file = "/usr/share/color/argyll/ref/3dap5k.sp"},     /* a viewing booth */
    {.file = "/usr/share/color/argyll/ref/TruluxPlus.sp"}, /* another */
    {.file = "/usr/share/color/argyll/ref/example121.sp"}, /* a fluorescent lamp */
    {.file = "/usr/share/colord/illuminant/CIE-D93.sp"},
    {.file = "/usr/share/colord/illuminant/CIE-B.sp"},
    {.bell = {{0.62, 447, 10}, {1, 562, 56}}},                               /* blue pump, neutral */
    {.bell = {{1, 443, 9}, {0.85, 548, 60}}},                                /* blue pump, cool */
    {.bell = {{0.5, 414, 8}, {0.6, 468, 32}, {0.6, 540, 38}, {1, 625, 48}}}, /* violet pump */
    {.bell = {{0.75, 464, 11}, {0.85, 525, 17}, {1, 634, 9}}},               /* red, green and blue LEDs */
};
enum { UNSEEN_LAMPS = sizeof unseen_lamps / sizeof unseen_lamps[0] };

static inline double unseen_drawn(uint64_t *seed, double from, double to) {
  *seed = *seed * UINT64_C(2862933555777941757) + UINT64_C(3037000493);
  return from + (to - from) * ((double)(*seed >> 11) / 9007199254740992.0);
}

/* A logistic curve of a sum of five bells: dyes absorb in bands, nothing reflects less than none or more than all. */
static inline void unseen_reflectance(spectrum *out, uint64_t *seed) {
  unseen_bell bell[5];
  const double base = unseen_drawn(seed, -2.2, 1.2), vivid = unseen_drawn(seed, 0.3, 3.2);
  for (int k = 0; k < 5; k++)
    bell[k] =
        (unseen_bell){vivid * unseen_drawn(seed, -1, 1), unseen_drawn(seed, 390, 720), unseen_drawn(seed, 25, 80)};
  for (int i = 0; i < BANDS; i++) {
    double sum = base;
    for (int k = 0; k < 5; k++) sum += bell[k].height * chart_bell(380 + 5 * i, bell[k].nm, bell[k].sd);
    out->at[i] = 0.025 + 0.9 / (1 + exp(-sum));
  }
}

static inline bool unseen_chart_load(chart *c, size_t lamp) {
  uint64_t seed = 77003 + 31 * lamp;
  if (!chart_load(c, &(chart_light){"", unseen_lamps[lamp].file})) return false;
  for (int i = 0; !unseen_lamps[lamp].file && i < BANDS; i++) {
    c->light.at[i] = 1e-4;
    for (int k = 0; k < 4; k++)
      if (unseen_lamps[lamp].bell[k].height > 0)
        c->light.at[i] += unseen_lamps[lamp].bell[k].height *
                          chart_bell(380 + 5 * i, unseen_lamps[lamp].bell[k].nm, unseen_lamps[lamp].bell[k].sd);
  }
  for (int k = 0; k < PATCHES; k++) unseen_reflectance(&c->patch[k], &seed);
  c->other_camera = true;
  chart_find_truth(c);
  return true;
}

#endif
