/* SPDX-License-Identifier: MIT */
/* Writing colours: spellings that must be read alike, and sentences for those that cannot be used. */
#include <backcloth/colour.h>

#include <locale.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

static bc_colour parse(const char *text) {
  bc_colour colour = {{-1, -1, -1}, -1};
  if (bc_colour_parse_css(&colour, context, text)) fail_msg("%s: %s", text, bc_context_message(context));
  return colour;
}

static void alike(const char *first, const char *second) {
  const bc_colour a = parse(first), b = parse(second);
  if (bc_delta_e00(a.lab, b.lab) > 1e-9 || fabs(a.luminance - b.luminance) > 1e-12)
    fail_msg("%s and %s differ", first, second);
}

static void spellings(void **state) {
  (void)state;
  alike("#abc", "#aabbcc");
  alike("#ABCF", "#aabbccff");
  alike("  Navy\t", "#000080");
  alike("RGB(0,0,128)", "navy");
  alike("rgb( 0 0 128 / 1 )", "navy");
  alike("rgb(0 0 128/100%)", "navy");
  alike("rgb(0 0 128 / 7)", "navy");
  alike("rgb(300 -20 0)", "red");
  alike("rgb(/* night */0 0 128)", "navy");
  alike("rgb(0 0 12.8e1)", "navy");
  alike("rgb(0 0 1280e-1)", "navy");
  alike("rgb(+0 -0 .128E+3)", "navy");
  alike("rgb(0 0 .1280000000000000000000000000e3)", "navy");
  alike("hsl(240 100% 25.098039215686274509803921568%)", "navy");
  alike("hsl(600deg 100 50)", "blue");
  alike("hsl(-120 100% 50%)", "blue");
  alike("hwb(240 0 0)", "blue");
  alike("grey", "gray");
  alike("lab(150% 0 0)", "white");
  alike("lch(50 -3 20)", "lab(50 0 0)");
  alike("lab(50 1e-400 0)", "lab(50 0 0)");
  alike("color(srgb 0 0 none)", "black");
  alike("color(xyz 0 0 0)", "black");
  alike("rgb(1.5.5 3)", "rgb(1.5 .5 3)"); /* CSS tokens need no blank between */
}

static void lab_is_taken_as_it_stands(void **state) {
  (void)state;
  const bc_colour colour = parse("lab(30% 10 -20)");
  assert_true(colour.lab.L == 30 && colour.lab.a == 10 && colour.lab.b == -20);
  assert_true(fabs(colour.luminance - bc_colour_from_lab(colour.lab).luminance) < 1e-15);
}

/* A decimal comma in the user's language must not change a figure. */
static void no_locale(void **state) {
  (void)state;
  const bc_colour plain = parse("lab(30.5% 10.25 -20.125)");
  const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "tr_TR.UTF-8"};
  for (int i = 0; i < 3; i++)
    if (setlocale(LC_ALL, names[i])) {
      alike("lab(30.5% 10.25 -20.125)", "lab(30.5 10.25 -20.125)");
      assert_true(parse("lab(30.5% 10.25 -20.125)").lab.b == plain.lab.b);
      alike("INDIGO", "indigo");
    }
  setlocale(LC_ALL, "C");
}

static void refused(const char *text, const char *says) {
  const bc_colour before = {{1, 2, 3}, 4};
  bc_colour colour = before;
  if (bc_colour_parse_css(&colour, context, text) != BC_BAD_DATA) fail_msg("%s was accepted", text);
  if (!strstr(bc_context_message(context), says)) fail_msg("%s: %s", text, bc_context_message(context));
  assert_memory_equal(&colour, &before, sizeof colour);
}

static void refusals(void **state) {
  (void)state;
  refused("", "missing");
  refused("   ", "missing");
  refused("bleu", "“bleu” is not a colour we know");
  refused("#12", "“#12” is not written as it should be");
  refused("#12345", "#1f2430");
  refused("#1234567890", "#1f2430");
  refused("#ggg", "#1f2430");
  refused("#abcd", "see-through");
  refused("#11223344", "see-through");
  refused("transparent", "see-through");
  refused("rgb(1 2 3 / 0.99)", "see-through");
  refused("rgba(1, 2, 3, 50%)", "see-through");
  refused("lab(50 0 0 / none)", "see-through");
  refused("rgb(calc(1 + 2) 3 4)", "calculation");
  refused("var(--cloth)", "calculation");
  refused("rgb(from red r g b)", "calculation");
  refused("color(from red srgb r g b)", "calculation");
  refused("color-mix(in lab, red, blue)", "calculation");
  refused("currentColor", "calculation");
  refused("CanvasText", "calculation");
  refused("rgb(1, 2 3)", "rgb(31 36 48)");
  refused("rgb(1 2, 3)", "rgb(31 36 48)");
  refused("rgb(1, 2%, 3)", "rgb(31 36 48)");
  refused("rgb(1, none, 3)", "rgb(31 36 48)");
  refused("rgb(1 2)", "rgb(31 36 48)");
  refused("rgb(1 2 3 4)", "rgb(31 36 48)");
  refused("rgb(1 2 3", "rgb(31 36 48)");
  refused("rgb(1deg 2 3)", "rgb(31 36 48)");
  refused("rgb(1 2 3 / 1deg)", "rgb(31 36 48)");
  refused("rgb(1. 2 3)", "rgb(31 36 48)");
  refused("rgb(1em 2 3)", "rgb(31 36 48)");
  refused("hsl(10%, 20%, 30%)", "hsl(220 30% 25%)");
  refused("hsl(10, 20, 30)", "hsl(220 30% 25%)");
  refused("lab(1, 2, 3)", "lab(30% 10 -20)");
  refused("color(srgb, 1, 2, 3)", "color(srgb 0.12 0.14 0.19)");
  refused("color(cmyk 1 0 0)", "color(display-p3");
  refused("color(xyz-d50 1 2 50)", "far beyond");
  refused("lab(50 1e300 0)", "far beyond");
  refused("color(srgb 1e308 1e308 1e308)", "far beyond");
  refused("color(srgb 1e99999 0 0)", "far beyond");
  refused("navy blue", "“navy blue”");
  refused("rgb (1 2 3)", "is not a colour we know");
  refused("rgb(1 2 3) red", "not written");
  refused("/* only", "is not a colour we know");
}

static void long_texts_are_cut_at_a_whole_character(void **state) {
  (void)state;
  char text[4096];
  for (size_t i = 0; i + 2 < sizeof text; i += 2) memcpy(text + i, "é", 3);
  memmove(text + 1, text, sizeof text - 1);
  text[0] = 'x';
  text[sizeof text - 1] = '\0';
  refused(text, "é…”");
  assert_true(strlen(bc_context_message(context)) < 300);
  refused("bl\x1b[31mue", "bl [31mue"); /* nothing reaches the terminal but text */
  refused("bl\xff\xc3ue", "“bl??ue”");
}

static void hex_of_colours_outside_srgb(void **state) {
  (void)state;
  char hex[8];
  bc_lab_to_hex((bc_lab){0, 0, 0}, hex);
  assert_string_equal(hex, "#000000");
  bc_lab_to_hex((bc_lab){120, 50, 0}, hex);
  assert_string_equal(hex, "#ffffff");
  bc_lab_to_hex((bc_lab){NAN, INFINITY, 0}, hex);
  assert_string_equal(hex, "#000000");
  const bc_lab far = {50, 120, -90};
  bc_lab_to_hex(far, hex);
  const bc_lab shown = parse(hex).lab;
  assert_true(fabs(shown.L - far.L) < 0.5); /* lightness and hue are kept, within 8-bit steps */
  assert_true(fabs(atan2(shown.b, shown.a) - atan2(far.b, far.a)) < 0.02);
  assert_true(hypot(shown.a, shown.b) > 60); /* and not more chroma than needed is given up */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(spellings),
      cmocka_unit_test(lab_is_taken_as_it_stands),
      cmocka_unit_test(no_locale),
      cmocka_unit_test(refusals),
      cmocka_unit_test(long_texts_are_cut_at_a_whole_character),
      cmocka_unit_test(hex_of_colours_outside_srgb),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
