/* SPDX-License-Identifier: MIT */
/* The colour spaces of W3C CSS Color Module Level 4 (sections 5 to 10): components to CIELAB D50.
 * Matrices from the primaries that it names, worked in exact fractions; Oklab's as it prints them. */
#include "colour_internal.h"

#include <math.h>
#include <string.h>

static double clamp(double v, double low, double high) {
  return fmin(high, fmax(low, v));
}

static bc_colour from_encoded(double red, double green, double blue) {
  const double linear[3] = {bc_srgb_decode(red), bc_srgb_decode(green), bc_srgb_decode(blue)};
  return bc_colour_from_linear_srgb(linear);
}

static bc_colour through(const colour_matrix3 *to_srgb, const double linear[3]) {
  double rgb[3];
  colour_matrix3_apply(to_srgb, linear, rgb);
  return bc_colour_from_linear_srgb(rgb);
}

/* --- functions of their own -------------------------------------------------------------------------- */
static bc_colour rgb(const double c[3]) {
  return from_encoded(clamp(c[0] / 255, 0, 1), clamp(c[1] / 255, 0, 1), clamp(c[2] / 255, 0, 1));
}

/* Section 7.1 of CSS Color 4. */
static double hsl_channel(double n, double hue, double saturation, double lightness) {
  const double k = fmod(n + hue / 30.0, 12.0);
  const double a = saturation * fmin(lightness, 1 - lightness);
  return lightness - a * fmax(-1, fmin(fmin(k - 3, 9 - k), 1));
}

static double turn(double degrees) {
  const double rest = fmod(degrees, 360.0);
  return rest < 0 ? rest + 360.0 : rest;
}

static bc_colour hsl(const double c[3]) {
  const double h = turn(c[0]), s = clamp(c[1] / 100, 0, 1), l = clamp(c[2] / 100, 0, 1);
  return from_encoded(hsl_channel(0, h, s, l), hsl_channel(8, h, s, l), hsl_channel(4, h, s, l));
}

static bc_colour hwb(const double c[3]) {
  const double h = turn(c[0]), white = clamp(c[1] / 100, 0, 1), black = clamp(c[2] / 100, 0, 1);
  if (white + black >= 1) {
    const double grey = white / (white + black);
    return from_encoded(grey, grey, grey);
  }
  const double share = 1 - white - black;
  return from_encoded(hsl_channel(0, h, 1, .5) * share + white, hsl_channel(8, h, 1, .5) * share + white,
                      hsl_channel(4, h, 1, .5) * share + white);
}

/* CIELAB is taken as it stands. CSS puts its D50 at x .3457 y .3585, the ICC at .9642 1 .8249: the
 * same light to 0.01 in Lab, so re-adapting would only make figures look wrong. */
static bc_colour lab(const double c[3]) {
  return bc_colour_from_lab((bc_lab){clamp(c[0], 0, 100), c[1], c[2]});
}

static bc_colour lch(const double c[3]) {
  const double chroma = fmax(0, c[1]), hue = turn(c[2]) * M_PI / 180;
  return bc_colour_from_lab((bc_lab){clamp(c[0], 0, 100), chroma * cos(hue), chroma * sin(hue)});
}

static const colour_matrix3 srgb_from_xyz65 = {{{3.2409699419045213, -1.5373831775700935, -0.4986107602930033},
                                                {-0.9692436362808798, 1.8759675015077206, 0.04155505740717561},
                                                {0.05563007969699361, -0.20397695888897657, 1.0569715142428786}}};

static bc_colour oklab(const double c[3]) {
  static const colour_matrix3 lms_from_oklab = {{{1.0, 0.3963377773761749, 0.2158037573099136},
                                                 {1.0, -0.1055613458156586, -0.0638541728258133},
                                                 {1.0, -0.0894841775298119, -1.2914855480194092}}};
  static const colour_matrix3 xyz65_from_lms = {{{1.2268798758459243, -0.5578149944602171, 0.2813910456659647},
                                                 {-0.0405757452148008, 1.1122868032803170, -0.0717110580655164},
                                                 {-0.0763729366746601, -0.4214933324022432, 1.5869240198367816}}};
  double v[3] = {clamp(c[0], 0, 1), c[1], c[2]};
  colour_matrix3_apply(&lms_from_oklab, v, v);
  for (int i = 0; i < 3; i++) v[i] = v[i] * v[i] * v[i];
  colour_matrix3_apply(&xyz65_from_lms, v, v);
  return through(&srgb_from_xyz65, v);
}

static bc_colour oklch(const double c[3]) {
  const double chroma = fmax(0, c[1]), hue = turn(c[2]) * M_PI / 180;
  const double v[3] = {c[0], chroma * cos(hue), chroma * sin(hue)};
  return oklab(v);
}

/* --- spaces of color() ------------------------------------------------------------------------------- */
static bc_colour srgb(const double c[3]) {
  return from_encoded(c[0], c[1], c[2]);
}
static bc_colour srgb_linear(const double c[3]) {
  return bc_colour_from_linear_srgb(c);
}

static bc_colour display_p3(const double c[3]) {
  static const colour_matrix3 to_srgb = {{{1.2249401762805598, -0.22494017628055996, 0.0},
                                          {-0.04205695470968816, 1.042056954709688, 0.0},
                                          {-0.019637554590334432, -0.07863604555063189, 1.0982736001409663}}};
  const double linear[3] = {bc_srgb_decode(c[0]), bc_srgb_decode(c[1]), bc_srgb_decode(c[2])};
  return through(&to_srgb, linear);
}

static bc_colour with_gamma(const colour_matrix3 *to_srgb, const double c[3], double gamma) {
  double linear[3];
  for (int i = 0; i < 3; i++) linear[i] = copysign(pow(fabs(c[i]), gamma), c[i]);
  return through(to_srgb, linear);
}

static bc_colour a98_rgb(const double c[3]) {
  static const colour_matrix3 to_srgb = {{{1.3983557439607783, -0.3983557439607783, 0.0},
                                          {0.0, 1.0, 0.0},
                                          {0.0, -0.042928989294473266, 1.0429289892944733}}};
  return with_gamma(&to_srgb, c, 563.0 / 256.0);
}

/* The display curve of ITU-R BT.1886, as CSS Color 4 has had it since 2025 (before: the camera curve of BT.2020). */
static bc_colour rec2020(const double c[3]) {
  static const colour_matrix3 to_srgb = {{{1.6604910021084345, -0.5876411387885495, -0.07284986331988488},
                                          {-0.12455047452159074, 1.1328998971259603, -0.008349422604369477},
                                          {-0.018150763354905303, -0.10057889800800739, 1.1187296613629127}}};
  return with_gamma(&to_srgb, c, 2.4);
}

static bc_colour prophoto_rgb(const double c[3]) {
  static const colour_matrix3 to_srgb = {{{2.034380849516996, -0.7276357899341342, -0.30674505958286186},
                                          {-0.22882573163305037, 1.2317425411901048, -0.0029168095570544935},
                                          {-0.008558828783917425, -0.15326670213803723, 1.1618255309219547}}};
  double linear[3];
  for (int i = 0; i < 3; i++)
    linear[i] = fabs(c[i]) <= 16.0 / 512.0 ? c[i] / 16.0 : copysign(pow(fabs(c[i]), 1.8), c[i]);
  return through(&to_srgb, linear);
}

static bc_colour xyz_d65(const double c[3]) {
  return through(&srgb_from_xyz65, c);
}

static bc_colour xyz_d50(const double c[3]) {
  static const colour_matrix3 to_srgb = {{{3.1341358529001178, -1.617385998018042, -0.49066221791109754},
                                          {-0.9787954765557777, 1.9162543773959884, 0.03344287339036693},
                                          {0.07195539255794735, -0.22897675981518203, 1.4053860351131182}}};
  return through(&to_srgb, c);
}

/* --- tables ------------------------------------------------------------------------------------------- */
static const colour_css_space functions[] = {
    {"rgb", {255, 255, 255}, true, rgb, "rgb(31 36 48)"},
    {"rgba", {255, 255, 255}, true, rgb, "rgb(31 36 48)"},
    {"hsl", {0, 100, 100}, true, hsl, "hsl(220 30% 25%)"},
    {"hsla", {0, 100, 100}, true, hsl, "hsl(220 30% 25%)"},
    {"hwb", {0, 100, 100}, false, hwb, "hwb(220 20% 60%)"},
    {"lab", {100, 125, 125}, false, lab, "lab(30% 10 -20)"},
    {"lch", {100, 150, 0}, false, lch, "lch(30% 22 297)"},
    {"oklab", {1, .4, .4}, false, oklab, "oklab(40% 0.02 -0.06)"},
    {"oklch", {1, .4, 0}, false, oklch, "oklch(40% 0.06 290)"},
};

static const colour_css_space spaces[] = {
    {"srgb", {1, 1, 1}, false, srgb, "color(srgb 0.12 0.14 0.19)"},
    {"srgb-linear", {1, 1, 1}, false, srgb_linear, "color(srgb-linear 0.01 0.02 0.03)"},
    {"display-p3", {1, 1, 1}, false, display_p3, "color(display-p3 0.12 0.14 0.19)"},
    {"a98-rgb", {1, 1, 1}, false, a98_rgb, "color(a98-rgb 0.12 0.14 0.19)"},
    {"prophoto-rgb", {1, 1, 1}, false, prophoto_rgb, "color(prophoto-rgb 0.12 0.14 0.19)"},
    {"rec2020", {1, 1, 1}, false, rec2020, "color(rec2020 0.12 0.14 0.19)"},
    {"xyz", {1, 1, 1}, false, xyz_d65, "color(xyz 0.02 0.02 0.03)"},
    {"xyz-d65", {1, 1, 1}, false, xyz_d65, "color(xyz-d65 0.02 0.02 0.03)"},
    {"xyz-d50", {1, 1, 1}, false, xyz_d50, "color(xyz-d50 0.02 0.02 0.03)"},
};

static const colour_css_space *find(const colour_css_space *table, size_t count, const char *name) {
  for (size_t i = 0; i < count; i++)
    if (strcmp(table[i].name, name) == 0) return &table[i];
  return NULL;
}

const colour_css_space *colour_css_function(const char *name) {
  return find(functions, sizeof functions / sizeof functions[0], name);
}

const colour_css_space *colour_css_color_space(const char *name) {
  return find(spaces, sizeof spaces / sizeof spaces[0], name);
}
