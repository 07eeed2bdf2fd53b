/* SPDX-License-Identifier: MIT */
/* Our conversion against LittleCMS's own float transform to CIELAB, relative colorimetric: 10,000 random
 * colours a profile, 8 and 16 bits. Profiles of the Debian packages colord-data, argyll-ref and
 * libgs-common (ICC v2 and v4, curves and matrix, look-up tables, grey, CMYK), and v4 ones made here. */
#include "colour/colour_internal.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define SIDE 100
#define COUNT (SIDE * SIDE)
#define TOLERANCE 0.05 /* CIEDE2000; a tenth of what an eye can see */

typedef struct blob {
  void *bytes;
  size_t size;
} blob;

static blob load(const char *path) {
  FILE *file = fopen(path, "rb");
  if (!file) fail_msg("%s is missing: `sh tests/run` installs its package", path);
  blob b = {malloc(8 << 20), 0};
  b.size = fread(b.bytes, 1, 8 << 20, file);
  fclose(file);
  return b;
}

static blob save(cmsHPROFILE profile) {
  cmsUInt32Number size = 0;
  assert_true(cmsSaveProfileToMem(profile, NULL, &size));
  blob b = {malloc(size), size};
  assert_true(cmsSaveProfileToMem(profile, b.bytes, &size));
  cmsCloseProfile(profile);
  return b;
}

/* A generator of our own, so that every run sees the same colours. */
static uint32_t next(uint64_t *state) {
  *state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (uint32_t)(*state >> 33);
}

static void fill(uint8_t *samples, int bits, int channels) {
  uint64_t state = 20;
  for (int i = 0; i < COUNT * channels; i++) {
    const uint32_t v = next(&state);
    if (bits == 16)
      ((uint16_t *)(void *)samples)[i] = (uint16_t)(v >> 8);
    else
      samples[i] = (uint8_t)(v >> 8);
  }
  /* the corners: all none, all full */
  memset(samples, 0, (size_t)channels * (size_t)(bits / 8));
  memset(samples + channels * (bits / 8), 255, (size_t)channels * (size_t)(bits / 8));
}

static void reference(const blob *profile, const uint8_t *samples, int bits, int channels, float *lab) {
  const cmsUInt32Number space = channels == 1 ? PT_GRAY : channels == 3 ? PT_RGB : PT_CMYK;
  cmsHPROFILE in = cmsOpenProfileFromMem(profile->bytes, (cmsUInt32Number)profile->size);
  cmsHPROFILE out = cmsCreateLab4Profile(NULL);
  const cmsUInt32Number format =
      COLORSPACE_SH(space) | CHANNELS_SH((cmsUInt32Number)channels) | BYTES_SH((cmsUInt32Number)bits / 8);
  cmsHTRANSFORM transform = cmsCreateTransform(in, format, out, TYPE_Lab_FLT, INTENT_RELATIVE_COLORIMETRIC,
                                               cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE);
  assert_non_null(transform);
  cmsDoTransform(transform, samples, lab, COUNT);
  cmsDeleteTransform(transform);
  cmsCloseProfile(in);
  cmsCloseProfile(out);
}

static double worst_of(const blob *profile, int bits, int channels) {
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  uint8_t *samples = malloc((size_t)COUNT * (size_t)channels * 2);
  float *lab = malloc(COUNT * 3 * sizeof *lab);
  fill(samples, bits, channels);
  reference(profile, samples, bits, channels, lab);
  const bc_raster raster = {.width = SIDE,
                            .height = SIDE,
                            .model = (bc_photo_model)channels,
                            .bits = bits,
                            .row_bytes = (size_t)(SIDE * channels * bits / 8),
                            .samples = samples};
  const colour_meaning meaning = {.profile = profile->bytes, .profile_size = profile->size};
  bc_image *image = NULL;
  if (colour_image_from_raster(&image, context, &raster, &meaning, "photo", &(bc_image_options){.side = 0}))
    fail_msg("%s", bc_context_message(context));
  assert_int_equal(image->notes.count, 0); /* nothing was assumed */
  double worst = 0;
  for (int i = 0; i < COUNT; i++) {
    const bc_lab ours = {(double)image->L[i], (double)image->a[i], (double)image->b[i]};
    const bc_lab theirs = {(double)lab[3 * i], (double)lab[3 * i + 1], (double)lab[3 * i + 2]};
    worst = fmax(worst, bc_delta_e00(ours, theirs));
  }
  bc_image_free(image);
  free(samples);
  free(lab);
  bc_context_free(context);
  return worst;
}

static void agree(blob profile, const char *name, int channels) {
  for (int bits = 8; bits <= 16; bits += 8) {
    const double worst = worst_of(&profile, bits, channels);
    print_message("%-60s %2d bits: worst CIEDE2000 %.5f\n", name, bits, worst);
    if (!(worst <= TOLERANCE)) fail_msg("%s: %.3f", name, worst);
  }
  free(profile.bytes);
}

static void installed_profiles(void **state) {
  (void)state;
  static const struct {
    const char *path;
    int channels;
  } profiles[] = {
      {"/usr/share/color/icc/colord/sRGB.icc", 3},
      {"/usr/share/color/icc/colord/AdobeRGB1998.icc", 3},
      {"/usr/share/color/icc/colord/ProPhotoRGB.icc", 3},
      {"/usr/share/color/icc/colord/WideGamutRGB.icc", 3},
      {"/usr/share/color/icc/colord/SwappedRedAndGreen.icc", 3},
      {"/usr/share/color/argyll/ref/DisplayP3.icm", 3},
      {"/usr/share/color/argyll/ref/sRGB.icm", 3},
      {"/usr/share/color/argyll/ref/Rec2020.icm", 3},
      {"/usr/share/color/argyll/ref/ProPhotoLin.icm", 3},
      {"/usr/share/color/icc/ghostscript/esrgb.icc", 3},
      {"/usr/share/color/icc/ghostscript/ps_rgb.icc", 3},
      {"/usr/share/color/icc/ghostscript/default_gray.icc", 1},
      {"/usr/share/color/icc/ghostscript/ps_gray.icc", 1},
      {"/usr/share/color/icc/ghostscript/default_cmyk.icc", 4},
      {"/usr/share/color/icc/ghostscript/ps_cmyk.icc", 4},
  };
  for (size_t i = 0; i < sizeof profiles / sizeof profiles[0]; i++)
    agree(load(profiles[i].path), profiles[i].path, profiles[i].channels);
}

/* Display P3 as phones write it: version 4, parametric curves. */
static void version4_matrix(void **state) {
  (void)state;
  const cmsCIExyY white = {0.3127, 0.3290, 1};
  const cmsCIExyYTRIPLE primaries = {{0.680, 0.320, 1}, {0.265, 0.690, 1}, {0.150, 0.060, 1}};
  const double parameters[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
  cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 4, parameters);
  cmsToneCurve *curves[3] = {curve, curve, curve};
  cmsHPROFILE profile = cmsCreateRGBProfile(&white, &primaries, curves);
  cmsSetProfileVersion(profile, 4.3);
  agree(save(profile), "made here: v4 Display P3", 3);
  profile = cmsCreateGrayProfile(cmsD50_xyY(), curve);
  cmsSetProfileVersion(profile, 4.3);
  agree(save(profile), "made here: v4 grey", 1);
  cmsFreeToneCurve(curve);
}

/* A colour device that is no matrix: Lab by a table with cross-talk. */
static cmsInt32Number crosstalk(const cmsUInt16Number in[], cmsUInt16Number out[], void *cargo) {
  (void)cargo;
  const double r = in[0] / 65535.0, g = in[1] / 65535.0, b = in[2] / 65535.0;
  const cmsCIELab lab = {100 * pow((0.3 * r + 0.6 * g + 0.1 * b), 0.8), 90 * (r - g) * (1 - 0.3 * b),
                         80 * ((r + g) / 2 - b) * (1 - 0.2 * r)};
  cmsFloat2LabEncoded(out, &lab);
  return TRUE;
}

static void lookup_table(void **state) {
  (void)state;
  for (int version = 2; version <= 4; version += 2) {
    cmsHPROFILE profile = cmsCreateProfilePlaceholder(NULL);
    cmsSetProfileVersion(profile, version == 2 ? 2.1 : 4.3);
    cmsSetDeviceClass(profile, cmsSigInputClass);
    cmsSetColorSpace(profile, cmsSigRgbData);
    cmsSetPCS(profile, cmsSigLabData);
    cmsPipeline *lut = cmsPipelineAlloc(NULL, 3, 3);
    cmsStage *table = cmsStageAllocCLut16bit(NULL, 17, 3, 3, NULL);
    assert_true(cmsStageSampleCLut16bit(table, crosstalk, NULL, 0));
    cmsPipelineInsertStage(lut, cmsAT_BEGIN, cmsStageAllocToneCurves(NULL, 3, NULL));
    cmsPipelineInsertStage(lut, cmsAT_END, table);
    cmsPipelineInsertStage(lut, cmsAT_END, cmsStageAllocToneCurves(NULL, 3, NULL));
    assert_true(cmsWriteTag(profile, cmsSigAToB0Tag, lut));
    cmsPipelineFree(lut);
    agree(save(profile), version == 2 ? "made here: v2 look-up table" : "made here: v4 look-up table", 3);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(installed_profiles), cmocka_unit_test(version4_matrix),
                                     cmocka_unit_test(lookup_table)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
