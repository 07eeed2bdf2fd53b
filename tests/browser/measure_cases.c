/* SPDX-License-Identifier: MIT */
/* Prints lengths and masses as the library words them, so that measures.test.mjs can compare the page's script with it:
 * JSON lines {"cm","metric","imperial"} and {"grams","metric","imperial"}. Small, large, negative, and all that lies in
 * the middle between two figures. */
#include <backcloth/base.h>

#include <stdint.h>
#include <stdio.h>

#define CASES 6000
#define ROOM 192

static uint64_t state = 20261202;

/* xorshift64*, so that every machine tries the same cases. */
static double chance(void) {
  state ^= state >> 12;
  state ^= state << 25;
  state ^= state >> 27;
  return (double)((state * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

static void print_length(double cm) {
  char metric[ROOM], imperial[ROOM];
  bc_length_words(metric, sizeof metric, cm, BC_UNITS_METRIC);
  bc_length_words(imperial, sizeof imperial, cm, BC_UNITS_IMPERIAL);
  printf("{\"cm\":%.17g,\"metric\":\"%s\",\"imperial\":\"%s\"}\n", cm, metric, imperial);
}

static void print_mass(double grams) {
  char metric[ROOM], imperial[ROOM];
  bc_mass_words(metric, sizeof metric, grams, BC_UNITS_METRIC);
  bc_mass_words(imperial, sizeof imperial, grams, BC_UNITS_IMPERIAL);
  printf("{\"grams\":%.17g,\"metric\":\"%s\",\"imperial\":\"%s\"}\n", grams, metric, imperial);
}

int main(void) {
  for (int i = 0; i < CASES; i++) {
    const double size = chance();
    print_length(i % 5 ? 400 * size * size : -40 * size);
    print_mass(i % 3 ? 6000 * size : 200000 * size * size);
  }
  for (int i = 0; i <= 800; i++) {
    print_length(i / 4.0);       /* quarters: the middle between two millimetres */
    print_length(i * 2.54 / 16); /* the middle between two eighths of an inch */
    print_mass(i * 12.5);
    print_mass(i / 2.0);
    print_mass(i * 28.349523125 / 2);
  }
  return 0;
}
