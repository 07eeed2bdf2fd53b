/* SPDX-License-Identifier: MIT */
/* Contrast ratios worked from the definitions of W3C WCAG 2.2 (2023), cross-checked with npm culori
 * 4.0.2, and the known boundary pairs of its thresholds 3, 4.5 and 7 (SC 1.4.11, 1.4.3, 1.4.6). */
#include <backcloth/colour.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define PRINT_ROUNDING 5.1e-5

static const struct {
  unsigned first, second;
  double first_luminance, second_luminance, ratio;
  int passes[3];
} pairs[] = {
    {0x000000, 0xFFFFFF, 0.00000000, 1.00000000, 21.0000, {1, 1, 1}},
    {0xFFFFFF, 0xFFFFFF, 1.00000000, 1.00000000, 1.0000, {0, 0, 0}},
    {0x767676, 0xFFFFFF, 0.18116424, 1.00000000, 4.5422, {1, 1, 0}},
    {0x777777, 0xFFFFFF, 0.18447499, 1.00000000, 4.4781, {1, 0, 0}},
    {0x949494, 0xFFFFFF, 0.29613827, 1.00000000, 3.0335, {1, 0, 0}},
    {0x959595, 0xFFFFFF, 0.30054379, 1.00000000, 2.9953, {0, 0, 0}},
    {0x595959, 0xFFFFFF, 0.09989873, 1.00000000, 7.0047, {1, 1, 1}},
    {0x5A5A5A, 0xFFFFFF, 0.10224173, 1.00000000, 6.8969, {1, 1, 0}},
    {0xFF0000, 0xFFFFFF, 0.21260000, 1.00000000, 3.9985, {1, 0, 0}},
    {0x008000, 0xFFFFFF, 0.15438343, 1.00000000, 5.1374, {1, 1, 0}},
    {0x0000FF, 0xFFFFFF, 0.07220000, 1.00000000, 8.5925, {1, 1, 1}},
    {0xFFFF00, 0xFFFFFF, 0.92780000, 1.00000000, 1.0738, {0, 0, 0}},
    {0xFF0000, 0x0000FF, 0.21260000, 0.07220000, 2.1489, {0, 0, 0}},
    {0xFF0000, 0x00FF00, 0.21260000, 0.71520000, 2.9139, {0, 0, 0}},
    {0x747474, 0x000000, 0.17464740, 0.00000000, 4.4929, {1, 0, 0}},
    {0x757575, 0x000000, 0.17788842, 0.00000000, 4.5578, {1, 1, 0}},
    {0x5A5A5A, 0x000000, 0.10224173, 0.00000000, 3.0448, {1, 0, 0}},
    {0x808080, 0x000000, 0.21586050, 0.00000000, 5.3172, {1, 1, 0}},
    {0x808080, 0xFFFFFF, 0.21586050, 1.00000000, 3.9494, {1, 0, 0}},
    {0x1B264A, 0xC9B896, 0.02113650, 0.48900495, 7.5771, {1, 1, 1}},
    {0xC9B896, 0x5E5C34, 0.48900495, 0.10281909, 3.5271, {1, 0, 0}},
    {0x121012, 0x36373A, 0.00542853, 0.03822135, 1.5916, {0, 0, 0}},
    {0xB85A3A, 0xEAE0C8, 0.17808164, 0.74973865, 3.5064, {1, 0, 0}},
    {0x10484A, 0x10484A, 0.05239301, 0.05239301, 1.0000, {0, 0, 0}},
    {0xCD9E28, 0xFFFFFF, 0.37586057, 1.00000000, 2.4656, {0, 0, 0}},
    {0x8C2F28, 0x5E5C34, 0.07761681, 0.10281909, 1.1975, {0, 0, 0}},
    {0x96A388, 0xC9B896, 0.34455990, 0.48900495, 1.3661, {0, 0, 0}},
    {0x0A0A0A, 0x0B0B0B, 0.00303527, 0.00334654, 1.0059, {0, 0, 0}},
};

static double luminance(unsigned hex) {
  const double rgb[3] = {bc_srgb_decode((hex >> 16) / 255.0), bc_srgb_decode((hex >> 8 & 255) / 255.0),
                         bc_srgb_decode((hex & 255) / 255.0)};
  return bc_colour_from_linear_srgb(rgb).luminance;
}

static void published_ratios(void **state) {
  (void)state;
  const double threshold[3] = {3, 4.5, 7};
  for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
    const double first = luminance(pairs[i].first), second = luminance(pairs[i].second);
    assert_true(fabs(first - pairs[i].first_luminance) < 6e-9);
    assert_true(fabs(second - pairs[i].second_luminance) < 6e-9);
    const double ratio = bc_contrast_ratio(first, second);
    assert_true(fabs(ratio - pairs[i].ratio) < PRINT_ROUNDING);
    assert_true(ratio == bc_contrast_ratio(second, first));
    for (int k = 0; k < 3; k++) assert_int_equal(ratio >= threshold[k], pairs[i].passes[k]);
  }
}

static void below_black_counts_as_black(void **state) {
  (void)state;
  assert_true(fabs(bc_contrast_ratio(-0.01, 1.0) - 21.0) < 1e-12);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(published_ratios), cmocka_unit_test(below_black_counts_as_black)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
