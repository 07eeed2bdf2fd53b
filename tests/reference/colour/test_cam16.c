/* SPDX-License-Identifier: MIT */
/* CAM16 vectors worked from the equations of Li et al., Color Research & Application 42(6), 2017, for the
 * four cases tabulated in Fairchild's Color Appearance Models (3rd ed. 2013) and for sRGB colours;
 * colour-science 0.4.6 gives the same within 4e-11. */
#include "colour/cam16.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define PRINT_ROUNDING 6e-8 /* seven decimals, and inputs of six */

static const struct {
  double xyz[3], white[3], LA, Yb;
  colour_surround surround;
  colour_appearance expected;
} vectors[] = {
    {{19.01, 20, 21.78},
     {95.05, 100, 108.88},
     318.31,
     20,
     COLOUR_SURROUND_AVERAGE,
     {41.7312079, 195.3717090, 0.1033557, 0.1074368, 2.3450151, 217.0679598, 275.5949861}}, /* Fairchild case 1 */
    {{57.06, 43.06, 31.96},
     {95.05, 100, 108.88},
     31.83,
     20,
     COLOUR_SURROUND_AVERAGE,
     {65.4282807, 152.0698527, 49.6795642, 42.6247332, 52.9430887, 17.4865924, 397.2348183}}, /* Fairchild case 2 */
    {{3.53, 6.56, 2.14},
     {109.85, 100, 35.58},
     318.31,
     20,
     COLOUR_SURROUND_AVERAGE,
     {21.3605289, 139.7858277, 50.9938190, 53.0073258, 61.5795309, 178.8672427, 223.0182381}}, /* Fairchild case 3 */
    {{19.01, 20, 21.78},
     {109.85, 100, 35.58},
     31.83,
     20,
     COLOUR_SURROUND_AVERAGE,
     {41.0656179, 120.6328364, 49.0859941, 42.1154540, 59.0864604, 259.0337034, 310.5844508}}, /* Fairchild case 4 */
    {{95.045593, 100, 108.905775},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {100.0000000, 123.7079740, 3.0942378, 2.2368984, 13.4469651, 209.5333356, 265.9973310}}, /* sRGB white */
    {{17.533535, 18.447499, 20.090392},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {39.4632236, 77.7130534, 1.9417241, 1.4037187, 13.4398079, 209.5352707, 265.9998411}}, /* sRGB grey 119 */
    {{41.239080, 21.263901, 1.933082},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {46.0257018, 83.9262665, 112.3966842, 81.2542458, 98.3952379, 27.3932572, 9.2041949}}, /* sRGB red primary */
    {{35.758434, 71.516868, 11.919478},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {79.1013458, 110.0245575, 108.1933040, 78.2155220, 84.3143815, 142.2234211, 177.2055835}}, /* sRGB green primary */
    {{18.048079, 7.219232, 95.053215},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {25.0662613, 61.9359032, 86.3735829, 62.4415248, 100.4073516, 282.7545222, 323.6402900}}, /* sRGB blue primary */
    {{71.009632, 74.974296, 65.376219},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {85.4245434, 114.3375882, 10.2657193, 7.4213335, 25.4768928, 96.1480472,
      111.4234748}}, /* sRGB unbleached calico */
    {{5.579824, 5.474062, 14.127633},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {20.1256094, 55.4973459, 29.8531876, 21.5815819, 62.3599173, 265.0805199, 313.7656419}}, /* sRGB indigo denim */
    {{3.282121, 5.255430, 4.090349},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {18.9922655, 53.9120792, 29.6802327, 21.4565486, 63.0865666, 165.8453922,
      202.6012156}}, /* sRGB bottle green baize */
    {{24.186367, 17.809681, 6.167069},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {40.1657027, 78.4016818, 47.8012575, 34.5566700, 66.3900894, 36.4868578, 21.0914313}}, /* sRGB terracotta */
    {{37.785562, 37.587351, 7.272515},
     {95.045593, 100, 108.905775},
     4.074366543,
     20,
     COLOUR_SURROUND_AVERAGE,
     {58.6995759, 94.7796665, 47.5703984, 34.3897765, 60.2361337, 86.0374831, 93.5697243}}, /* sRGB mustard */
    {{71.009632, 74.974296, 65.376219},
     {95.045593, 100, 108.905775},
     20,
     20,
     COLOUR_SURROUND_DIM,
     {87.4544065, 186.8867130, 9.3518480, 7.7190552, 20.3232360, 99.1850315, 116.7822875}}, /* sRGB unbleached calico */
    {{71.009632, 74.974296, 65.376219},
     {95.045593, 100, 108.905775},
     4,
     20,
     COLOUR_SURROUND_DARK,
     {88.7021378, 152.4757942, 8.4255016, 6.0816587, 19.9714947, 104.9569055,
      126.4901819}}, /* sRGB unbleached calico */
    {{5.579824, 5.474062, 14.127633},
     {95.045593, 100, 108.905775},
     20,
     20,
     COLOUR_SURROUND_DIM,
     {25.4953490, 100.9062479, 30.8994957, 25.5045756, 50.2747618, 264.6333614, 313.5271074}}, /* sRGB indigo denim */
    {{5.579824, 5.474062, 14.127633},
     {95.045593, 100, 108.905775},
     4,
     20,
     COLOUR_SURROUND_DARK,
     {29.5293789, 87.9753527, 30.1417764, 21.7568051, 49.7298389, 263.8897880, 313.1316283}}, /* sRGB indigo denim */
    {{24.186367, 17.809681, 6.167069},
     {95.045593, 100, 108.905775},
     20,
     20,
     COLOUR_SURROUND_DIM,
     {45.9738102, 135.5011017, 46.2949509, 38.2120500, 53.1041859, 36.6457716, 21.3027085}}, /* sRGB terracotta */
    {{24.186367, 17.809681, 6.167069},
     {95.045593, 100, 108.905775},
     4,
     20,
     COLOUR_SURROUND_DARK,
     {49.9478535, 114.4174529, 42.7456127, 30.8544509, 51.9293365, 36.8499466, 21.5743429}}, /* sRGB terracotta */
};
#define COUNT (sizeof vectors / sizeof vectors[0])

static void forward(void **state) {
  (void)state;
  for (size_t i = 0; i < COUNT; i++) {
    const colour_cam16 v = colour_cam16_conditions(vectors[i].white, vectors[i].LA, vectors[i].Yb, vectors[i].surround);
    const colour_appearance got = colour_cam16_forward(&v, vectors[i].xyz), want = vectors[i].expected;
    /* XYZ has six decimals: near neutral, where chroma is small, hue moves more than its print. */
    const double slack = want.C < 5 ? 2e-5 : 1e-6;
    assert_true(fabs(got.J - want.J) < 1e-6 && fabs(got.Q - want.Q) < 1e-6);
    assert_true(fabs(got.C - want.C) < 2e-6 && fabs(got.M - want.M) < 2e-6 && fabs(got.s - want.s) < 2e-6);
    assert_true(fabs(got.h - want.h) < slack && fabs(got.H - want.H) < slack);
  }
}

static void there_and_back(void **state) {
  (void)state;
  for (size_t i = 0; i < COUNT; i++) {
    const colour_cam16 v = colour_cam16_conditions(vectors[i].white, vectors[i].LA, vectors[i].Yb, vectors[i].surround);
    const colour_appearance a = colour_cam16_forward(&v, vectors[i].xyz);
    double xyz[3];
    colour_cam16_inverse(&v, a.J, a.C, a.h, xyz);
    for (int c = 0; c < 3; c++) assert_true(fabs(xyz[c] - vectors[i].xyz[c]) < 1e-9);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(forward), cmocka_unit_test(there_and_back)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
