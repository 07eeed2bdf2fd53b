/* SPDX-License-Identifier: MIT */
/* Continuous beams by the three-moment equation: moments over the supports first, then reactions by
 * statics, then slopes and deflections span by span by integrating the moment twice. */
#include "beam.h"

#include <math.h>
#include <string.h>

/* <a>^n of Macaulay: 0 while a is negative. */
static double ramp(double a, int power) {
  if (a <= 0) return 0;
  double result = 1;
  for (int i = 0; i < power; i++) result *= a;
  return result;
}

/* The part of a spread load between two places; false when there is none. */
static bool clip(const loads_spread *spread, double from, double to, double *start, double *end) {
  *start = fmax(spread->from, from);
  *end = fmin(spread->to, to);
  return *end > *start;
}

/* Moment about `x` of all loads left of it (right of it), both as the hogging moment they cause there. */
static double overhang_moment(const loads_beam *beam, double x, bool left) {
  const double from = left ? -HUGE_VAL : x, to = left ? x : HUGE_VAL;
  double moment = 0;
  for (size_t i = 0; i < beam->force_count; i++)
    if (beam->forces[i].x >= from && beam->forces[i].x <= to)
      moment += beam->forces[i].newton * fabs(x - beam->forces[i].x);
  for (size_t i = 0; i < beam->spread_count; i++) {
    double start, end;
    if (clip(&beam->spreads[i], from, to, &start, &end))
      moment += beam->spreads[i].newton_per_m * (end - start) * fabs(x - (start + end) / 2);
  }
  return moment;
}

/* The load terms 6Aa/l of a span: `left` about its left end, `right` about its right end. A force that
 * stands exactly over a support belongs to no span. */
static void load_terms(const loads_beam *beam, double from, double to, double *left, double *right) {
  const double l = to - from;
  *left = *right = 0;
  for (size_t i = 0; i < beam->force_count; i++) {
    const double a = beam->forces[i].x - from, b = l - a, p = beam->forces[i].newton;
    if (a <= 0 || b <= 0) continue;
    *left += p * a * (l * l - a * a) / l;
    *right += p * b * (l * l - b * b) / l;
  }
  for (size_t i = 0; i < beam->spread_count; i++) {
    double start, end;
    if (!clip(&beam->spreads[i], from, to, &start, &end)) continue;
    const double w = beam->spreads[i].newton_per_m / l, c = start - from, d = end - from;
    const double e = l - d, f = l - c;
    *left += w * (l * l * (d * d - c * c) / 2 - (d * d * d * d - c * c * c * c) / 4);
    *right += w * (l * l * (f * f - e * e) / 2 - (f * f * f * f - e * e * e * e) / 4);
  }
}

/* M[i-1] l + 2 M[i] (l + l') + M[i+1] l' = -(6Aa/l of the left span) - (6Ab/l' of the right one),
 * solved by elimination: the matrix is tridiagonal and diagonally dominant. */
static void support_moments(const loads_beam *beam, double *moments) {
  const size_t n = beam->support_count;
  const double *x = beam->supports;
  moments[0] = -overhang_moment(beam, x[0], true);
  moments[n - 1] = -overhang_moment(beam, x[n - 1], false);
  double above[LOADS_SUPPORTS] = {0}, right_side[LOADS_SUPPORTS] = {0};
  right_side[0] = moments[0];
  for (size_t i = 1; i + 1 < n; i++) {
    const double l = x[i] - x[i - 1], next = x[i + 1] - x[i];
    double a, b, unused;
    load_terms(beam, x[i - 1], x[i], &a, &unused);
    load_terms(beam, x[i], x[i + 1], &unused, &b);
    const double pivot = 2 * (l + next) - l * above[i - 1];
    above[i] = next / pivot;
    right_side[i] = (-a - b - l * right_side[i - 1]) / pivot;
  }
  for (size_t i = n - 1; i-- > 1;) moments[i] = right_side[i] - above[i] * moments[i + 1];
}

/* Moment at x of the loads between `from` and x (negative: they hog the part to the left). */
static double load_moment(const loads_beam *beam, double from, double x) {
  double moment = 0;
  for (size_t i = 0; i < beam->force_count; i++)
    if (beam->forces[i].x > from) moment -= beam->forces[i].newton * ramp(x - beam->forces[i].x, 1);
  for (size_t i = 0; i < beam->spread_count; i++) {
    double start, end;
    if (clip(&beam->spreads[i], from, x, &start, &end))
      moment -= beam->spreads[i].newton_per_m * (end - start) * (x - (start + end) / 2);
  }
  return moment;
}

/* Shear just right of the left support of a span, from the moments at its ends. */
static double end_shear(const loads_beam *beam, const loads_beam_answer *answer, size_t span) {
  const double from = beam->supports[span], to = beam->supports[span + 1];
  return (answer->moments[span + 1] - answer->moments[span] - load_moment(beam, from, to)) / (to - from);
}

static double load_between(const loads_beam *beam, double from, double to, bool with_from) {
  double load = 0;
  for (size_t i = 0; i < beam->force_count; i++) {
    const double x = beam->forces[i].x;
    if ((x > from || (with_from && x >= from)) && x <= to) load += beam->forces[i].newton;
  }
  for (size_t i = 0; i < beam->spread_count; i++) {
    double start, end;
    if (clip(&beam->spreads[i], from, to, &start, &end)) load += beam->spreads[i].newton_per_m * (end - start);
  }
  return load;
}

/* Up to each support the reactions so far carry the loads so far, less the shear that goes on. */
static void find_reactions(const loads_beam *beam, loads_beam_answer *answer) {
  const size_t n = beam->support_count;
  double carried = 0;
  for (size_t i = 0; i < n; i++) {
    const double load = i + 1 < n ? load_between(beam, -HUGE_VAL, beam->supports[i], true)
                                  : load_between(beam, -HUGE_VAL, HUGE_VAL, true);
    const double shear = i + 1 < n ? end_shear(beam, answer, i) : 0;
    answer->reactions[i] = load + shear - carried;
    carried += answer->reactions[i];
  }
}

/* E I times the deflection at `u` from a place of known slope, moment and shear; down positive. */
static double integrate(const loads_beam *beam, double from, double slope, double moment, double shear, double u) {
  double y = slope * u * beam->stiffness - moment * u * u / 2 - shear * u * u * u / 6;
  for (size_t i = 0; i < beam->force_count; i++)
    if (beam->forces[i].x > from) y += beam->forces[i].newton * ramp(from + u - beam->forces[i].x, 3) / 6;
  for (size_t i = 0; i < beam->spread_count; i++) {
    const double start = fmax(beam->spreads[i].from, from), end = beam->spreads[i].to;
    if (end <= start) continue;
    y += beam->spreads[i].newton_per_m * (ramp(from + u - start, 4) - ramp(from + u - end, 4)) / 24;
  }
  return y;
}

/* Slope at the right end of a span that starts with slope, moment and shear. */
static double end_slope(const loads_beam *beam, double from, double slope, double moment, double shear, double u) {
  double y = slope * beam->stiffness - moment * u - shear * u * u / 2;
  for (size_t i = 0; i < beam->force_count; i++)
    if (beam->forces[i].x > from) y += beam->forces[i].newton * ramp(from + u - beam->forces[i].x, 2) / 2;
  for (size_t i = 0; i < beam->spread_count; i++) {
    const double start = fmax(beam->spreads[i].from, from), end = beam->spreads[i].to;
    if (end > start) y += beam->spreads[i].newton_per_m * (ramp(from + u - start, 3) - ramp(from + u - end, 3)) / 6;
  }
  return y / beam->stiffness;
}

/* The deflection is nothing at both ends of a span: that gives the slope at its left end. */
static void find_slopes(const loads_beam *beam, loads_beam_answer *answer) {
  const size_t n = beam->support_count;
  for (size_t i = 0; i + 1 < n; i++) {
    const double from = beam->supports[i], l = beam->supports[i + 1] - from;
    const double shear = end_shear(beam, answer, i);
    answer->slopes[i] = -integrate(beam, from, 0, answer->moments[i], shear, l) / (l * beam->stiffness);
    answer->slopes[i + 1] = end_slope(beam, from, answer->slopes[i], answer->moments[i], shear, l);
  }
}

double loads_beam_moment(const loads_beam *beam, const loads_beam_answer *answer, double x) {
  double moment = load_moment(beam, -HUGE_VAL, x);
  for (size_t i = 0; i < beam->support_count; i++) moment += answer->reactions[i] * ramp(x - beam->supports[i], 1);
  return moment;
}

/* The left overhang is the right overhang of the mirrored beam. */
static double left_overhang(const loads_beam *beam, const loads_beam_answer *answer, double x) {
  const double root = beam->supports[0], u = root - x;
  double y = -answer->slopes[0] * u * beam->stiffness - answer->moments[0] * u * u / 2;
  double shear = 0;
  for (size_t i = 0; i < beam->force_count; i++) {
    if (beam->forces[i].x >= root) continue;
    shear += beam->forces[i].newton;
    y += beam->forces[i].newton * ramp(beam->forces[i].x - x, 3) / 6;
  }
  for (size_t i = 0; i < beam->spread_count; i++) {
    double start, end;
    if (!clip(&beam->spreads[i], -HUGE_VAL, root, &start, &end)) continue;
    shear += beam->spreads[i].newton_per_m * (end - start);
    y += beam->spreads[i].newton_per_m * (ramp(end - x, 4) - ramp(start - x, 4)) / 24;
  }
  return (y - shear * u * u * u / 6) / beam->stiffness;
}

double loads_beam_deflection(const loads_beam *beam, const loads_beam_answer *answer, double x) {
  const size_t n = beam->support_count;
  if (x < beam->supports[0]) return left_overhang(beam, answer, x);
  size_t i = 0;
  while (i + 2 < n && x > beam->supports[i + 1]) i++;
  const bool right = x > beam->supports[n - 1];
  const double from = right ? beam->supports[n - 1] : beam->supports[i];
  const double shear = right ? load_between(beam, from, HUGE_VAL, false) : end_shear(beam, answer, i);
  const size_t at = right ? n - 1 : i;
  return integrate(beam, from, answer->slopes[at], answer->moments[at], shear, x - from) / beam->stiffness;
}

typedef double measure(const loads_beam *beam, const loads_beam_answer *answer, double x);

/* Greatest value of sign x measure on [from, to]: sampled, then narrowed by golden section. The curve
 * is a chain of smooth arcs, and loads are few, so 200 samples bracket each hump that matters. */
static double greatest(const loads_beam *beam, const loads_beam_answer *answer, measure *of, double sign, double from,
                       double to) {
  enum { SAMPLES = 200, STEPS = 60 };
  double best = sign * of(beam, answer, from), place = from;
  for (int i = 1; i <= SAMPLES; i++) {
    const double x = from + (to - from) * i / SAMPLES, value = sign * of(beam, answer, x);
    if (value > best) best = value, place = x;
  }
  const double golden = (sqrt(5) - 1) / 2, step = (to - from) / SAMPLES;
  double a = fmax(from, place - step), b = fmin(to, place + step);
  for (int i = 0; i < STEPS; i++) {
    const double c = b - golden * (b - a), d = a + golden * (b - a);
    if (sign * of(beam, answer, c) > sign * of(beam, answer, d))
      b = d;
    else
      a = c;
  }
  return fmax(best, sign * of(beam, answer, (a + b) / 2));
}

void loads_beam_extremes(const loads_beam *beam, loads_beam_answer *answer) {
  const size_t n = beam->support_count;
  const double end = beam->length;
  answer->sagging = fmax(0, greatest(beam, answer, loads_beam_moment, 1, 0, end));
  answer->hogging = fmax(0, greatest(beam, answer, loads_beam_moment, -1, 0, end));
  /* Moments peak under forces and over supports, where the curve has a corner. */
  for (size_t i = 0; i < beam->force_count + n; i++) {
    const double x = i < n ? beam->supports[i] : beam->forces[i - n].x;
    const double moment = loads_beam_moment(beam, answer, x);
    answer->sagging = fmax(answer->sagging, moment);
    answer->hogging = fmax(answer->hogging, -moment);
  }
  for (size_t i = 0; i + 1 < n; i++)
    for (int sign = -1; sign <= 1; sign += 2)
      answer->sag = fmax(answer->sag,
                         greatest(beam, answer, loads_beam_deflection, sign, beam->supports[i], beam->supports[i + 1]));
  answer->tip_left = beam->supports[0] > 0 ? loads_beam_deflection(beam, answer, 0) : 0;
  answer->tip_right = beam->supports[n - 1] < end ? loads_beam_deflection(beam, answer, end) : 0;
}

bool loads_beam_solve(loads_beam_answer *answer, const loads_beam *beam) {
  memset(answer, 0, sizeof *answer);
  const size_t n = beam->support_count;
  if (n < 2 || n > LOADS_SUPPORTS || !(beam->stiffness > 0) || !(beam->length > 0)) return false;
  for (size_t i = 0; i < n; i++)
    if (beam->supports[i] < 0 || beam->supports[i] > beam->length ||
        (i > 0 && !(beam->supports[i] > beam->supports[i - 1])))
      return false;
  support_moments(beam, answer->moments);
  find_reactions(beam, answer);
  find_slopes(beam, answer);
  return true;
}
