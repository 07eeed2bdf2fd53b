/* SPDX-License-Identifier: MIT */
/* Prints beams with round figures and what the program says of them, for beams.py to solve by another library.
 * One JSON object a line; lengths m, loads N and N/m, stiffness N m2. */
#include "loads/beam.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

static uint64_t state = 20240607;

static int between(int low, int high) {
  state = state * 6364136223846793005u + 1442695040888963407u;
  return low + (int)((state >> 33) % (uint64_t)(high - low + 1));
}

enum { FORCES = 2, AT = 5 };

int main(int argc, char **argv) {
  const int cases = argc > 1 ? atoi(argv[1]) : 6;
  for (int c = 0; c < cases; c++) {
    const size_t supports = 2 + (size_t)c % 3;
    const int overhang = between(1, 5);
    loads_beam beam = {.stiffness = between(5, 50) * 1000, .support_count = supports};
    int tenths = overhang;
    for (size_t i = 0; i < supports; i++, tenths += between(6, 14)) beam.supports[i] = tenths / 10.0;
    const int length = (int)(beam.supports[supports - 1] * 10 + 0.5) + between(1, 5);
    beam.length = length / 10.0;
    loads_force forces[FORCES];
    for (int i = 0; i < FORCES; i++) forces[i] = (loads_force){between(1, length - 1) / 10.0, between(10, 200)};
    const loads_spread spread = {between(0, 4) / 10.0, between(length / 2, length) / 10.0, between(5, 60)};
    beam.forces = forces;
    beam.force_count = FORCES;
    beam.spreads = &spread;
    beam.spread_count = 1;
    loads_beam_answer answer;
    if (!loads_beam_solve(&answer, &beam)) return 1;
    printf("{\"length\":%.1f,\"stiffness\":%.0f,\"supports\":[", beam.length, beam.stiffness);
    for (size_t i = 0; i < supports; i++) printf("%s%.1f", i ? "," : "", beam.supports[i]);
    printf("],\"forces\":[");
    for (int i = 0; i < FORCES; i++) printf("%s[%.1f,%.0f]", i ? "," : "", forces[i].x, forces[i].newton);
    printf("],\"spread\":[%.1f,%.1f,%.0f],\"reactions\":[", spread.from, spread.to, spread.newton_per_m);
    for (size_t i = 0; i < supports; i++) printf("%s%.15g", i ? "," : "", answer.reactions[i]);
    printf("],\"at\":[");
    for (int i = 0; i < AT; i++) {
      const double x = length / 10.0 * (i + 0.5) / AT;
      printf("%s[%.15g,%.15g,%.15g]", i ? "," : "", x, loads_beam_moment(&beam, &answer, x),
             loads_beam_deflection(&beam, &answer, x));
    }
    printf("]}\n");
  }
  return 0;
}
