/* SPDX-License-Identifier: MIT */
/* Colours worked through the severity 1.0 matrices of Machado, Oliveira and Fernandes, IEEE TVCG 15(6),
 * 2009; Debian's python3-colorspacious and colour-science 0.4.6 carry the same matrices. */
#include <backcloth/colour.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static const struct {
  bc_vision vision;
  int code[3];
  double linear[3];
} colours[] = {
    {BC_VISION_PROTAN, {255, 0, 0}, {0.1522860, 0.1145030, -0.0038820}},    /* red primary */
    {BC_VISION_DEUTAN, {255, 0, 0}, {0.3673220, 0.2800850, -0.0118200}},    /* red primary */
    {BC_VISION_TRITAN, {255, 0, 0}, {1.2555280, -0.0784110, 0.0047330}},    /* red primary */
    {BC_VISION_PROTAN, {30, 160, 170}, {0.2896420, 0.3177726, 0.4059151}},  /* turquoise */
    {BC_VISION_DEUTAN, {30, 160, 170}, {0.2156760, 0.2591013, 0.4044100}},  /* turquoise */
    {BC_VISION_TRITAN, {30, 160, 170}, {-0.0825444, 0.3855244, 0.3652605}}, /* turquoise */
    {BC_VISION_PROTAN, {16, 74, 52}, {0.0658329, 0.0578434, 0.0328104}},    /* bottle green baize */
    {BC_VISION_DEUTAN, {16, 74, 52}, {0.0530104, 0.0491311, 0.0361504}},    /* bottle green baize */
    {BC_VISION_TRITAN, {16, 74, 52}, {-0.0048893, 0.0684024, 0.0578039}},   /* bottle green baize */
    {BC_VISION_PROTAN, {205, 158, 40}, {0.4485161, 0.3408497, 0.0035009}},  /* mustard */
    {BC_VISION_DEUTAN, {205, 158, 40}, {0.5136785, 0.4019345, 0.0280244}},  /* mustard */
    {BC_VISION_TRITAN, {205, 158, 40}, {0.7364592, 0.2735194, 0.2457263}},  /* mustard */
    {BC_VISION_PROTAN, {140, 47, 40}, {0.0655108, 0.0544846, 0.0199366}},   /* brick red */
    {BC_VISION_DEUTAN, {140, 47, 40}, {0.1159579, 0.0935751, 0.0186795}},   /* brick red */
    {BC_VISION_TRITAN, {140, 47, 40}, {0.3232879, 0.0090278, 0.0273425}},   /* brick red */
    {BC_VISION_PROTAN, {176, 160, 208}, {0.3069108, 0.3886965, 0.6449555}}, /* lavender */
    {BC_VISION_DEUTAN, {176, 160, 208}, {0.3182269, 0.3879120, 0.6210917}}, /* lavender */
    {BC_VISION_TRITAN, {176, 160, 208}, {0.4053461, 0.3862683, 0.4367800}}, /* lavender */
};

static void worked_colours(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof colours / sizeof colours[0]; i++) {
    double rgb[3];
    for (int c = 0; c < 3; c++) rgb[c] = bc_srgb_decode(colours[i].code[c] / 255.0);
    const bc_colour seen = bc_colour_as_seen(bc_colour_from_linear_srgb(rgb), colours[i].vision);
    bc_lab_to_linear_srgb(seen.lab, rgb);
    for (int c = 0; c < 3; c++) assert_true(fabs(rgb[c] - colours[i].linear[c]) < 1e-7);
  }
}

static void greys_stay(void **state) {
  (void)state;
  for (int v = BC_VISION_USUAL; v <= BC_VISION_TRITAN; v++) {
    const bc_colour grey = bc_colour_from_lab((bc_lab){50, 0, 0});
    assert_true(bc_delta_e00(bc_colour_as_seen(grey, (bc_vision)v).lab, grey.lab) < 0.001);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(worked_colours), cmocka_unit_test(greys_stay)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
