/* SPDX-License-Identifier: MIT */
/* Readings and cloths made from figures, for tests of the match. Includes nothing of cmocka's own needs. */
#ifndef BC_TESTS_MATCH_MADE_H
#define BC_TESTS_MATCH_MADE_H

#include <backcloth/match.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* cmocka's own check is in single precision. */
#define assert_near(actual, expected, tolerance)                                                                       \
  do {                                                                                                                 \
    const double got_ = (double)(actual), want_ = (double)(expected);                                                  \
    if (!(fabs(got_ - want_) <= (tolerance))) fail_msg("%s is %.9g, not %.9g", #actual, got_, want_);                  \
  } while (0)

static inline double made_random(uint64_t *seed) {
  *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (double)(*seed >> 11) / 9007199254740992.0;
}

static inline bc_lab made_lab(uint64_t *seed) {
  const double L = 100 * made_random(seed), chroma = 50 * made_random(seed), hue = 6.283185307 * made_random(seed);
  return (bc_lab){L, chroma * cos(hue), chroma * sin(hue)};
}

/* A piece of two colours; `share` of its body and of its outline have the second. */
static inline bc_reading *made_reading(const char *photo, bc_lab first, bc_lab second, double share) {
  enum { PLACES = 200 };
  bc_reading *r = calloc(1, sizeof *r);
  r->photo = strdup(photo);
  r->profile = strdup("made");
  r->area_share = 0.4;
  r->box_share = 0.8;
  r->box = (bc_box){10, 10, 80, 80};
  r->full_width = r->full_height = 100;
  const bc_colour one = bc_colour_from_lab(first), two = bc_colour_from_lab(second);
  r->mean.lab = (bc_lab){first.L + share * (second.L - first.L), first.a + share * (second.a - first.a),
                         first.b + share * (second.b - first.b)};
  r->mean.luminance = one.luminance + share * (two.luminance - one.luminance);
  r->mixed = r->mean.lab;
  r->colours[0] = (bc_main_colour){.lab = first, .share = 1 - share};
  r->colours[1] = (bc_main_colour){.lab = second, .share = share};
  r->colour_count = share > 0 ? 2 : 1;
  r->rim = calloc(PLACES, sizeof *r->rim);
  r->rim_count = PLACES;
  for (int i = 0; i < PLACES; i++) {
    const bc_colour *c = i < lround(share * PLACES) ? &two : &one;
    const double angle = 6.283185307 * i / PLACES;
    r->rim[i] = (bc_rim_place){.x = (float)(0.5 + 0.4 * cos(angle)),
                               .y = (float)(0.5 + 0.4 * sin(angle)),
                               .luminance = (float)c->luminance,
                               .L = (float)c->lab.L,
                               .a = (float)c->lab.a,
                               .b = (float)c->lab.b};
  }
  r->outline_length = 3.54;
  r->confidence = 1;
  return r;
}

static inline void made_free(const bc_reading *reading) {
  bc_reading_free((bc_reading *)(uintptr_t)reading);
}

static inline bc_cloth made_cloth(bc_lab lab) {
  static char spec[] = "made", name[] = "made";
  return (bc_cloth){.spec = spec, .name = name, .colour = bc_colour_from_lab(lab)};
}

/* The readings are lent, the cloths are copied. End it with bc_collection_clear. */
static inline bc_collection made_collection(const bc_reading *const *r, size_t pieces, const bc_cloth *const *cloths,
                                            size_t count) {
  bc_context *context = NULL;
  bc_collection all = bc_collection_start();
  if (bc_context_new(&context) != BC_OK) return all;
  for (size_t i = 0; i < pieces; i++)
    if (bc_collection_lend(&all, context, r[i]) != BC_OK) abort();
  for (size_t i = 0; i < count; i++)
    if (bc_cloths_add_copy(&all.cloths, context, cloths[i]) != BC_OK) abort();
  bc_context_free(context);
  return all;
}

/* Ranks, and frees the context: a match doesn't depend on it. */
static inline bc_match *made_match(const bc_collection *collection) {
  bc_context *context = NULL;
  bc_match *match = NULL;
  if (bc_context_new(&context) == BC_OK) bc_match_rank(&match, context, collection, NULL);
  bc_context_free(context);
  return match;
}

#endif
