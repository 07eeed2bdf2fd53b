/* SPDX-License-Identifier: MIT */
/* The shapes of hard pieces. All are made up. */
#include "hard_shapes.h"

#include <math.h>

static double to_segment(double x, double y, const double from[2], const double to[2]) {
  const double dx = to[0] - from[0], dy = to[1] - from[1];
  const double along = fmin(fmax(((x - from[0]) * dx + (y - from[1]) * dy) / (dx * dx + dy * dy), 0), 1);
  return hypot(x - from[0] - along * dx, y - from[1] - along * dy);
}

static int in_wire(double distance, double thickness, double *across) {
  if (fabs(distance) >= thickness / 2) return 0;
  *across = 2 * distance / thickness;
  return 1;
}

static int in_disc(double dx, double dy, double rx, double ry, double *across) {
  const double u = dx / rx, v = dy / ry;
  if (u * u + v * v >= 1) return 0;
  *across = (u + v) / 1.5;
  return 1;
}

/* ---- chains ---- */

/* A link seen from its face, with its hole, or from its side. */
static int in_link(double along, double off, double width, int face, double *across) {
  const double half = 1.3 * width, wire = fmax(0.34 * width, 1);
  *across = 2 * off / width;
  if (!face) return fabs(along) < half - wire / 2 && fabs(off) < wire / 2 + 0.2;
  const double outer = along * along / (half * half) + 4 * off * off / (width * width);
  const double a = half - wire, b = width / 2 - wire;
  return outer < 1 && (b <= 0.2 || along * along / (a * a) + off * off / (b * b) > 1);
}

/* Links along a line, `s` from its beginning, `off` beside it. */
static int in_links(double s, double off, double width, double *across) {
  const double step = 3.7 * width; /* from one face to the next */
  if (fabs(off) > width / 2) return 0;
  const double first = s - step * floor(s / step) - step / 2, second = s - step * floor(s / step + 0.5);
  return in_link(first, off, width, 1, across) || in_link(second, off, width, 0, across);
}

/* Hangs from two nails, a pendant at the bottom. */
static int chain(const hard_piece *p, double x, double y, double *across) {
  const double half = p->size * (0.7 + 0.5 * p->lean), drop = 1.5 * p->size, u = (x - p->x) / half;
  const double radius = fmax(0.14 * p->size, 2.5 * p->thickness), bottom = p->y - p->size + drop;
  if (in_disc(x - p->x, y - bottom - radius, radius, 1.2 * radius, across)) return 1;
  if (fabs(u) > 1) return 0;
  const double slope = 2 * drop * u / half, stretch = sqrt(1 + slope * slope);
  const double line = bottom - drop * u * u, k = 2 * drop / half; /* length of a parabola from its bottom */
  const double length = 0.5 * half * (u * stretch + asinh(k * u) / k);
  return in_links(length, (y - line) / stretch, p->thickness, across);
}

/* ---- rings, pendants, ear hooks ---- */

static int ring(const hard_piece *p, double x, double y, double *across) {
  const double flat = 0.55 + 0.45 * p->lean, dx = x - p->x, dy = (y - p->y) / flat;
  const double stone = 0.13 * p->size;
  if (in_disc(dx, y - p->y + p->size * flat + stone / 2, stone, stone, across)) return 1;
  return in_wire(hypot(dx, dy) - p->size, p->thickness * (1.4 - 0.5 * dy / p->size), across);
}

static int pendant(const hard_piece *p, double x, double y, double *across) {
  const double loop = 0.12 * p->size, radius = 0.72 * p->size;
  if (in_disc(x - p->x, y - p->y - 0.2 * p->size, radius * (0.6 + 0.4 * p->lean), radius, across)) return 1;
  return in_wire(hypot(x - p->x, y - p->y + 0.2 * p->size + radius / 4 + 0.5 * p->size - 0.1 * loop) - loop,
                 p->thickness, across);
}

static int one_hook(const hard_piece *p, double dx, double dy, double *across) {
  const double bend = 0.2 * p->size, thick = p->thickness;
  if (in_disc(dx, dy - 0.45 * p->size, 0.22 * p->size, 0.5 * p->size, across)) return 1;
  const double to_bend = hypot(dx - bend, dy + 0.6 * p->size);
  if (dy < -0.6 * p->size && in_wire(to_bend - bend, thick, across)) return 1;
  if (dy >= -0.6 * p->size && dy < 0 && in_wire(dx, thick, across)) return 1;
  return dy >= -0.6 * p->size && dy < -0.25 * p->size && in_wire(dx - 2 * bend, thick, across);
}

static int ear_hooks(const hard_piece *p, double x, double y, double *across) {
  const double apart = (0.45 + 0.3 * p->lean) * p->size;
  return one_hook(p, x - p->x + apart, y - p->y, across) || one_hook(p, x - p->x - apart, y - p->y, across);
}

/* ---- openwork ---- */

/* Distance to the nearest of lines `period` apart. */
static double to_lines(double value, double period) {
  return fabs(value - period * floor(value / period + 0.5));
}

static int macrame(const hard_piece *p, double x, double y, double *across) {
  const double dx = x - p->x, dy = y - p->y + p->size, period = (0.2 + 0.1 * p->lean) * p->size;
  const double half = 0.8 * p->size * fmin(1, fmax(0.15, (2 * p->size - dy) / (0.8 * p->size)));
  if (fabs(dx) < 0.95 * p->size && in_wire(dy, 10, across)) return 1; /* its rod */
  if (dy < 0 || dy > 2 * p->size || fabs(dx) > half) return 0;
  if (dy > 1.5 * p->size) return in_wire(to_lines(dx, period / 2), 0.6 * p->thickness, across); /* fringe */
  const double one = to_lines(dx + dy, period) / sqrt(2), other = to_lines(dx - dy, period) / sqrt(2);
  if (hypot(one, other) < 0.75 * p->thickness) return in_wire(one, 1.5 * p->thickness, across); /* knots */
  return in_wire(fmin(one, other), p->thickness, across);
}

static int wire_basket(const hard_piece *p, double x, double y, double *across) {
  const double dx = x - p->x, dy = y - p->y, top = -0.35 * p->size, bottom = 0.8 * p->size, t = p->thickness;
  for (int k = 0; k < 3; k++) {
    const double part = k / 2.0, radius = p->size * (0.95 - 0.3 * part);
    const double v = (dy - top - part * (bottom - top)) / 0.22;
    if (in_wire((hypot(dx, v) - radius) * 0.5, t * (k == 0 ? 1.2 : 0.8), across)) return 1;
  }
  for (int k = 0; k < 14; k++) {
    const double angle = 2 * 3.14159265 * (k + p->lean) / 14, c = cos(angle), s = 0.22 * sin(angle);
    const double from[2] = {0.95 * p->size * c, top + 0.95 * p->size * s};
    const double to[2] = {0.65 * p->size * c, bottom + 0.65 * p->size * s};
    if (in_wire(to_segment(dx, dy, from, to), t * 0.8, across)) return 1;
  }
  return dy < top && in_wire(hypot(dx, (dy - top) * 1.3) - 0.8 * p->size, t, across);
}

/* ---- vessels ---- */

/* Half the breadth of a pot at a height, 0 at its foot and 1 at its lip. */
static int vessel(const hard_piece *p, double x, double y, double *across, double neck) {
  const double height = (p->y + p->size - y) / (2 * p->size);
  if (height < 0 || height > 1) return 0;
  const double belly = 0.5 + 0.12 * p->lean, swell = sin(3.14159265 * fmin(1, 0.12 + 0.88 * height));
  const double half = p->size * (neck + (belly - neck) * pow(swell, 0.8));
  if (fabs(x - p->x) >= half) return 0;
  *across = (x - p->x) / half;
  return 1;
}

static int pot(const hard_piece *p, double x, double y, double *across) {
  return vessel(p, x, y, across, 0.3 + 0.1 * p->lean);
}

static int bottle(const hard_piece *p, double x, double y, double *across) {
  const double height = (p->y + p->size - y) / (2 * p->size), dx = fabs(x - p->x) / p->size;
  const double half = height < 0.6 ? 0.34 : height < 0.75 ? 0.34 - 1.5 * (height - 0.6) : 0.115;
  if (height < 0 || height > 1 || dx >= half) return 0;
  *across = (x - p->x) / p->size / half;
  return 1;
}

const hard_kind hard_kinds[] = {{"chain-2", chain, 2, 0},
                                {"chain-3", chain, 3, 0},
                                {"chain-5", chain, 5, 0},
                                {"chain-8", chain, 8, 0},
                                {"ring", ring, 9, 0},
                                {"pendant", pendant, 5, 0},
                                {"ear-hooks", ear_hooks, 3, 0},
                                {"macrame", macrame, 7, 0},
                                {"wire-basket", wire_basket, 4, 0},
                                {"clear-glass", pot, 0, HARD_CLEAR},
                                {"white-on-paper", pot, 0, HARD_AS_PALE},
                                {"dark-on-dark", bottle, 0, HARD_AS_DARK},
                                {"hard-sun", pot, 0, HARD_SUN},
                                {"planks", pot, 0, HARD_PLANKS},
                                {"clutter", bottle, 0, HARD_CLUTTER}};
const int hard_kind_count = sizeof hard_kinds / sizeof *hard_kinds;
