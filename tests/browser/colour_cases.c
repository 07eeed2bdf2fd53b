/* SPDX-License-Identifier: MIT */
/* Prints colours as the library has them, so that colour.test.mjs can compare the page's script with it: JSON lines
 * {"lab","luminance","hex","back"}; `back` is CIELAB of the hex colour. Colours inside and outside of sRGB. Then
 * {"p3","lab"}: colours of a wide screen, as the library reads them from CSS. */
#include <backcloth/colour.h>

#include <math.h>
#include <stdint.h>
#include <stdio.h>

#define CASES 12000
#define WIDE_CASES 4000

static uint64_t state = 20261201;

/* xorshift64*, so that every machine tries the same cases. */
static double chance(void) {
  state ^= state >> 12;
  state ^= state << 25;
  state ^= state >> 27;
  return (double)((state * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

static int print_wide(bc_context *context) {
  const double p3[3] = {chance(), chance(), chance()};
  char css[96];
  bc_colour colour;
  snprintf(css, sizeof css, "color(display-p3 %.17g %.17g %.17g)", p3[0], p3[1], p3[2]);
  if (bc_colour_parse_css(&colour, context, css) != BC_OK) return 1;
  return printf("{\"p3\":[%.17g,%.17g,%.17g],\"lab\":[%.17g,%.17g,%.17g]}\n", p3[0], p3[1], p3[2], colour.lab.L,
                colour.lab.a, colour.lab.b) < 0;
}

static int print_narrow(void) {
  for (int i = 0; i < CASES; i++) {
    const double hue = 2 * M_PI * chance(), chroma = 130 * chance();
    const bc_lab lab = {100 * chance(), chroma * cos(hue), chroma * sin(hue)};
    char hex[8];
    unsigned code[3];
    bc_lab_to_hex(lab, hex);
    if (sscanf(hex, "#%2x%2x%2x", &code[0], &code[1], &code[2]) != 3) return 1;
    const double linear[3] = {bc_srgb_decode(code[0] / 255.0), bc_srgb_decode(code[1] / 255.0),
                              bc_srgb_decode(code[2] / 255.0)};
    const bc_lab back = bc_colour_from_linear_srgb(linear).lab;
    printf("{\"lab\":[%.17g,%.17g,%.17g],\"luminance\":%.17g,\"hex\":\"%s\",\"back\":[%.17g,%.17g,%.17g]}\n", lab.L,
           lab.a, lab.b, bc_colour_from_lab(lab).luminance, hex, back.L, back.a, back.b);
  }
  return 0;
}

int main(void) {
  bc_context *context = NULL;
  int wrong = bc_context_new(&context) != BC_OK || print_narrow();
  for (int i = 0; !wrong && i < WIDE_CASES; i++) wrong = print_wide(context);
  bc_context_free(context);
  return wrong;
}
