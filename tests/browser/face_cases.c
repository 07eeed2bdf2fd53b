/* SPDX-License-Identifier: MIT */
/* Prints faces and the library's own figures for them, so that contrast.test.mjs can compare the page's
 * script with the library: JSON lines, first {"face":…}, then its cases. Readings: the photos named on
 * the command line, and made ones (few rim places, none, glass, greys) for the corners. */
#include <backcloth/colour.h>
#include <backcloth/match.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static uint64_t state = 20260801;

/* xorshift64*, so that every machine tries the same cases. */
static double chance(void) {
  state ^= state >> 12;
  state ^= state << 25;
  state ^= state >> 27;
  return (double)((state * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

static bc_lab some_lab(double vivid) {
  const double hue = 2 * M_PI * chance(), chroma = vivid * chance();
  return (bc_lab){100 * chance(), chroma * cos(hue), chroma * sin(hue)};
}

/* A pattern of up to five colours. */
static void add_parts(bc_cloth *cloth) {
  double left = 1;
  const size_t count = 2 + (size_t)(3 * chance());
  for (size_t i = 0; i < count; i++) {
    const double share = i + 1 < count ? left * chance() : left;
    cloth->parts[cloth->part_count++] = (bc_cloth_part){bc_colour_from_lab(some_lab(70)), share};
    left -= share;
  }
}

static void print_cloth(const bc_cloth *cloth) {
  printf("\"lab\":[%.17g,%.17g,%.17g],\"luminance\":%.17g,\"spread_l\":%.17g,\"parts\":[", cloth->colour.lab.L,
         cloth->colour.lab.a, cloth->colour.lab.b, cloth->colour.luminance, cloth->spread_l);
  for (size_t i = 0; i < cloth->part_count; i++) {
    const bc_colour *c = &cloth->parts[i].colour;
    printf("%s{\"lab\":[%.17g,%.17g,%.17g],\"luminance\":%.17g,\"share\":%.17g}", i ? "," : "", c->lab.L, c->lab.a,
           c->lab.b, c->luminance, cloth->parts[i].share);
  }
  printf("]");
}

static bc_cloth some_cloth(const bc_reading *reading) {
  bc_cloth cloth = {.colour = bc_colour_from_lab(some_lab(chance() < 0.2 ? 0 : 70))};
  if (chance() < 0.1) cloth.colour = reading->mean; /* as like as can be */
  if (chance() < 0.1) cloth.colour = bc_colour_from_lab((bc_lab){reading->mean.lab.L, 0, 0});
  if (chance() < 0.25) cloth.spread_l = 15 * chance();
  if (chance() < 0.25) add_parts(&cloth);
  return cloth;
}

static void made_reading(bc_reading *out, bc_rim_place *rim, int number) {
  const bc_lab base = some_lab(number % 4 ? 60 : 0);
  const double rough = number % 3 ? 12 * chance() : 0;
  *out = (bc_reading){.rim = rim, .see_through = number % 5 == 4 ? chance() : 0};
  out->rim_count = number % 7 == 6 ? 0 : 1 + (size_t)(chance() * (BC_READING_RIM - 1));
  out->colour_count = (size_t)(number % (BC_READING_COLOURS + 1));
  for (size_t i = 0; i < out->rim_count; i++) {
    const bc_lab lab = {base.L + rough * (chance() - 0.5), base.a + rough * (chance() - 0.5),
                        base.b + rough * (chance() - 0.5)};
    rim[i] = (bc_rim_place){
        .luminance = (float)bc_colour_from_lab(lab).luminance, .L = (float)lab.L, .a = (float)lab.a, .b = (float)lab.b};
  }
  for (size_t i = 0; i < out->colour_count; i++)
    out->colours[i] = (bc_main_colour){.lab = i ? some_lab(60) : base, .share = 0.05 + chance()};
  out->mean = bc_colour_from_lab(base);
}

static int print_cases(bc_context *context, const bc_reading *reading, int count) {
  char *face = NULL;
  if (bc_match_face_json(&face, context, reading) != BC_OK) return 1;
  printf("{\"face\":%s}\n", face);
  free(face);
  for (int i = 0; i < count; i++) {
    const bc_cloth cloth = some_cloth(reading);
    const bc_pair pair = bc_match_pair(reading, &cloth);
    printf("{");
    print_cloth(&cloth);
    printf(",\"contrast_ratio\":%.17g,\"delta_l\":%.17g,\"delta_e00\":%.17g,\"outline_share\":%.17g,"
           "\"seen_share\":%.17g,\"clarity\":%.17g,\"verdict\":\"%s\"}\n",
           pair.contrast_ratio, pair.delta_l, pair.delta_e00, pair.outline_share, pair.seen_share, pair.clarity,
           bc_verdict_word(pair.verdict));
  }
  return 0;
}

/* The library's score of a collection, with whose faces it was made. */
static int print_score(bc_context *context, const bc_collection *all) {
  const bc_cloth cloth = some_cloth(all->piece[0].reading);
  double score = 0;
  if (bc_match_score(&score, context, all, &cloth) != BC_OK) return 1;
  printf("{\"score\":%.17g,\"of\":%zu,", score, all->count);
  print_cloth(&cloth);
  printf("}\n");
  return 0;
}

static int from_photos(bc_context *context, char **paths, size_t count, int cases) {
  bc_study **study = calloc(count, sizeof *study);
  bc_collection all = bc_collection_start();
  int failed = !study;
  for (size_t i = 0; !failed && i < count; i++) {
    failed = bc_study_open(&study[i], context, paths[i], NULL) != BC_OK;
    if (failed) break;
    failed = bc_collection_lend(&all, context, study[i]->reading) != BC_OK;
    if (!failed) failed = print_cases(context, study[i]->reading, cases);
  }
  for (int i = 0; !failed && i < 200; i++) failed = print_score(context, &all);
  for (size_t i = 0; study && i < count; i++) bc_study_free(study[i]);
  free(study);
  bc_collection_clear(&all);
  return failed;
}

int main(int argc, char **argv) {
  bc_context *context = NULL;
  bc_rim_place *rim = calloc(BC_READING_RIM, sizeof *rim);
  int failed = bc_context_new(&context) != BC_OK || !rim || argc < 2;
  if (!failed) failed = from_photos(context, argv + 1, (size_t)argc - 1, 300);
  for (int i = 0; !failed && i < 210; i++) {
    bc_reading reading;
    made_reading(&reading, rim, i);
    failed = print_cases(context, &reading, 30);
  }
  if (failed) fprintf(stderr, "face_cases: %s\n", context ? bc_context_message(context) : "no memory");
  free(rim);
  bc_context_free(context);
  return failed;
}
