/* SPDX-License-Identifier: MIT */
/* A straight beam on any number of supports under point and spread loads, with overhangs.
 *
 *        P            w w w w
 *        v            v v v v
 *   =====================================     x from the left end, m; loads N and N/m, down positive
 *      ^          ^               ^           reactions up positive
 *
 * Small deflections, constant section, supports that neither sink nor clamp. */
#ifndef BC_SRC_LOADS_BEAM_H
#define BC_SRC_LOADS_BEAM_H

#include <stdbool.h>
#include <stddef.h>

enum { LOADS_SUPPORTS = 16 };

typedef struct loads_force {
  double x, newton;
} loads_force;
typedef struct loads_spread {
  double from, to, newton_per_m;
} loads_spread;

typedef struct loads_beam {
  double length, stiffness; /* m, E I in N m2 */
  double supports[LOADS_SUPPORTS];
  size_t support_count; /* 2..LOADS_SUPPORTS, ascending, distinct */
  const loads_force *forces;
  size_t force_count;
  const loads_spread *spreads;
  size_t spread_count;
} loads_beam;

typedef struct loads_beam_answer {
  double reactions[LOADS_SUPPORTS];
  double moments[LOADS_SUPPORTS]; /* over the supports, sagging positive */
  double slopes[LOADS_SUPPORTS];  /* over the supports, rad, falling to the right positive */
  double sagging, hogging;        /* greatest moments, both as positive figures */
  double sag;                     /* greatest deflection between supports, either way, m */
  double tip_left, tip_right;     /* m, down positive */
} loads_beam_answer;

/* Three-moment equation (Clapeyron 1857; in any text on strength of materials), exact for these loads.
 * false when the supports are fewer than two, too many, not ascending or off the beam. */
bool loads_beam_solve(loads_beam_answer *answer, const loads_beam *beam);
/* Fills in sagging, hogging, sag and tips of a solved beam: searched by sampling and golden section. */
void loads_beam_extremes(const loads_beam *beam, loads_beam_answer *answer);
/* Bending moment at x, sagging positive. */
double loads_beam_moment(const loads_beam *beam, const loads_beam_answer *answer, double x);
/* Deflection at x, m, down positive. */
double loads_beam_deflection(const loads_beam *beam, const loads_beam_answer *answer, double x);

#endif
