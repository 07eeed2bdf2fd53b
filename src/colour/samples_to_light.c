/* SPDX-License-Identifier: MIT */
/* From a profile (ICC.1, read by LittleCMS) to the way its samples become linear light. Profiles of
 * curves and a matrix become tables; all others go through LittleCMS's own float transform. */
#include "base/base.h"
#include "colour_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DESCRIPTION_MOST 120 /* characters; longer ones are cut */

static const colour_matrix3 identity = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};

void colour_linear_clear(colour_linear *linear) {
  free(linear->table[0]);
  free(linear->description);
  if (linear->transform) cmsDeleteTransform(linear->transform);
  *linear = (colour_linear){0};
}

static size_t table_size(int bits) {
  return bits == 16 ? 65536 : 256;
}

bc_status colour_linear_make_tables(colour_linear *linear, bc_context *context) {
  const size_t size = table_size(linear->bits);
  linear->kind = COLOUR_LINEAR_TABLES;
  linear->table[0] = bc_allocate(3 * size, sizeof(float));
  if (!linear->table[0]) return bc_fail_memory(context);
  for (size_t c = 1; c < 3; c++) linear->table[c] = linear->table[0] + c * size;
  return BC_OK;
}

bc_status colour_linear_from_srgb(colour_linear *out, bc_context *context, bc_photo_model model, int bits) {
  *out = (colour_linear){.channels = (int)model, .bits = bits};
  const bc_status status = colour_linear_make_tables(out, context);
  if (status) return status;
  const size_t size = table_size(bits);
  for (size_t i = 0; i < size; i++) {
    const double linear = bc_srgb_decode((double)i / (double)(size - 1));
    for (int c = 0; c < 3; c++)
      out->table[c][i] = (float)(model == BC_PHOTO_GREY ? linear * colour_white_d50[c] : linear);
  }
  out->to_xyz = model == BC_PHOTO_GREY ? identity : colour_xyz_from_srgb;
  out->description = bc_copy_text(_("sRGB (assumed)"));
  return out->description ? BC_OK : bc_fail_memory(context);
}

/* --- description -------------------------------------------------------------------------------------- */
static size_t utf8(char *out, uint32_t c) {
  if (c < 0x20 || c == 0x7f || (c >= 0xD800 && c <= 0xDFFF) || c > 0x10FFFF) c = ' ';
  if (c < 0x80) return out[0] = (char)c, 1;
  if (c < 0x800) return out[0] = (char)(0xC0 | c >> 6), out[1] = (char)(0x80 | (c & 63)), 2;
  if (c < 0x10000)
    return out[0] = (char)(0xE0 | c >> 12), out[1] = (char)(0x80 | (c >> 6 & 63)), out[2] = (char)(0x80 | (c & 63)), 3;
  out[0] = (char)(0xF0 | c >> 18), out[1] = (char)(0x80 | (c >> 12 & 63));
  return out[2] = (char)(0x80 | (c >> 6 & 63)), out[3] = (char)(0x80 | (c & 63)), 4;
}

static char *describe(cmsHPROFILE profile) {
  wchar_t wide[DESCRIPTION_MOST + 1] = {0};
  char text[4 * DESCRIPTION_MOST + 1];
  size_t length = 0;
  cmsGetProfileInfo(profile, cmsInfoDescription, "en", "US", wide, (cmsUInt32Number)sizeof wide);
  for (size_t i = 0; i < DESCRIPTION_MOST && wide[i]; i++) length += utf8(text + length, (uint32_t)wide[i]);
  while (length > 0 && text[length - 1] == ' ') length--;
  text[length] = '\0';
  return bc_copy_text(length > 0 ? text : _("a profile without a name"));
}

/* --- curves and a matrix -------------------------------------------------------------------------------- */
/* LittleCMS prefers a look-up table over the matrix when a profile carries both; so must we. */
static bool has_lookup(cmsHPROFILE profile) {
  static const cmsTagSignature tags[] = {cmsSigAToB0Tag, cmsSigAToB1Tag, cmsSigAToB2Tag, cmsSigDToB0Tag,
                                         cmsSigDToB1Tag, cmsSigDToB2Tag, cmsSigDToB3Tag};
  for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++)
    if (cmsIsTag(profile, tags[i])) return true;
  return false;
}

static bool read_matrix(cmsHPROFILE profile, colour_matrix3 *matrix, cmsToneCurve *curve[3]) {
  static const cmsTagSignature colorant[3] = {cmsSigRedColorantTag, cmsSigGreenColorantTag, cmsSigBlueColorantTag};
  static const cmsTagSignature tone[3] = {cmsSigRedTRCTag, cmsSigGreenTRCTag, cmsSigBlueTRCTag};
  for (int c = 0; c < 3; c++) {
    const cmsCIEXYZ *xyz = cmsReadTag(profile, colorant[c]);
    curve[c] = cmsReadTag(profile, tone[c]);
    if (!xyz || !curve[c]) return false;
    matrix->at[0][c] = xyz->X;
    matrix->at[1][c] = xyz->Y;
    matrix->at[2][c] = xyz->Z;
  }
  return true;
}

static bool is_matrix_profile(cmsHPROFILE profile, bc_photo_model model) {
  return model == BC_PHOTO_RGB && cmsGetPCS(profile) == cmsSigXYZData && cmsIsMatrixShaper(profile) &&
         !has_lookup(profile);
}

static bc_status from_matrix(colour_linear *out, bc_context *context, cmsHPROFILE profile) {
  cmsToneCurve *curve[3];
  if (!read_matrix(profile, &out->to_xyz, curve)) return BC_BAD_DATA;
  const bc_status status = colour_linear_make_tables(out, context);
  if (status) return status;
  const size_t size = table_size(out->bits);
  for (int c = 0; c < 3; c++)
    for (size_t i = 0; i < size; i++)
      out->table[c][i] = cmsEvalToneCurveFloat(curve[c], (float)((double)i / (double)(size - 1)));
  return BC_OK;
}

/* --- everything else ------------------------------------------------------------------------------------- */
static cmsUInt32Number sample_format(bc_photo_model model, int bits) {
  const cmsUInt32Number bytes = BYTES_SH(bits == 16 ? 2 : 1);
  if (model == BC_PHOTO_GREY) return COLORSPACE_SH(PT_GRAY) | CHANNELS_SH(1) | bytes;
  if (model == BC_PHOTO_RGB) return COLORSPACE_SH(PT_RGB) | CHANNELS_SH(3) | bytes;
  /* no FLAVOR_SH: 0 = no ink here, and 0 = no ink in LittleCMS's integer CMYK */
  return COLORSPACE_SH(PT_CMYK) | CHANNELS_SH(4) | bytes;
}

static bc_status from_engine(colour_linear *out, bc_context *context, cmsHPROFILE profile, bc_photo_model model) {
  cmsContext engine = colour_engine(context);
  cmsHPROFILE xyz = cmsCreateXYZProfileTHR(engine);
  if (!xyz) return bc_fail_memory(context);
  out->kind = COLOUR_LINEAR_ENGINE;
  out->to_xyz = identity;
  out->transform = cmsCreateTransformTHR(engine, profile, sample_format(model, out->bits), xyz, TYPE_XYZ_FLT,
                                         INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOCACHE | cmsFLAGS_NOOPTIMIZE);
  cmsCloseProfile(xyz);
  return out->transform ? BC_OK : BC_BAD_DATA;
}

/* Grey has so few values that each is asked once. */
static bc_status grey_to_tables(colour_linear *linear, bc_context *context) {
  const bc_status status = colour_linear_make_tables(linear, context);
  if (status) return status;
  for (size_t i = 0; i < table_size(linear->bits); i++) {
    const uint16_t wide = (uint16_t)i;
    const uint8_t narrow = (uint8_t)i;
    float xyz[3];
    cmsDoTransform(linear->transform, linear->bits == 16 ? (const void *)&wide : (const void *)&narrow, xyz, 1);
    for (int c = 0; c < 3; c++) linear->table[c][i] = xyz[c];
  }
  cmsDeleteTransform(linear->transform);
  linear->transform = NULL;
  return BC_OK;
}

/* --- is it usable? ------------------------------------------------------------------------------------- */
static bool speaks_of(cmsHPROFILE profile, bc_photo_model model) {
  const cmsProfileClassSignature kind = cmsGetDeviceClass(profile);
  if (kind == cmsSigLinkClass || kind == cmsSigAbstractClass || kind == cmsSigNamedColorClass) return false;
  const cmsColorSpaceSignature space = cmsGetColorSpace(profile);
  return space == (model == BC_PHOTO_GREY ? cmsSigGrayData : model == BC_PHOTO_RGB ? cmsSigRgbData : cmsSigCmykData);
}

/* Full light of the device (no ink in CMYK) must be something light: our choice, generous, to catch
 * profiles whose tables are rubbish though well formed. */
static bool white_is_light(const colour_linear *linear) {
  double xyz[3] = {0};
  if (linear->kind == COLOUR_LINEAR_TABLES) {
    const size_t top = table_size(linear->bits) - 1;
    for (int c = 0; c < 3; c++) xyz[c] = (double)linear->table[c][top];
    colour_matrix3_apply(&linear->to_xyz, xyz, xyz);
  } else {
    uint8_t sample[8]; /* 4 channels of 2 bytes */
    memset(sample, linear->channels == 4 ? 0 : 255, sizeof sample);
    float out[3] = {0};
    cmsDoTransform(linear->transform, sample, out, 1);
    for (int c = 0; c < 3; c++) xyz[c] = (double)out[c];
  }
  const bc_lab lab = colour_lab_from_xyz(xyz);
  return lab.L > 50 && lab.L < 200 && hypot(lab.a, lab.b) < 100;
}

static bool tables_are_finite(const colour_linear *linear) {
  if (linear->kind != COLOUR_LINEAR_TABLES) return true;
  for (size_t i = 0; i < 3 * table_size(linear->bits); i++)
    if (!(fabsf(linear->table[0][i]) < 100)) return false;
  return true;
}

static bc_status from_open_profile(colour_linear *out, bc_context *context, cmsHPROFILE profile, bc_photo_model model) {
  if (!speaks_of(profile, model)) return BC_BAD_DATA;
  bc_status status = is_matrix_profile(profile, model) ? from_matrix(out, context, profile)
                                                       : from_engine(out, context, profile, model);
  if (!status && model == BC_PHOTO_GREY) status = grey_to_tables(out, context);
  if (!status && !(tables_are_finite(out) && white_is_light(out))) status = BC_BAD_DATA;
  if (status) return status;
  out->description = describe(profile);
  return out->description ? BC_OK : bc_fail_memory(context);
}

bc_status colour_linear_from_profile(colour_linear *out, bc_context *context, const void *profile, size_t size,
                                     bc_photo_model model, int bits) {
  *out = (colour_linear){.channels = (int)model, .bits = bits};
  cmsContext engine = colour_engine(context);
  if (!engine) return bc_fail_memory(context);
  if (!profile || size == 0 || size > UINT32_MAX) return BC_BAD_DATA;
  cmsHPROFILE opened = cmsOpenProfileFromMemTHR(engine, profile, (cmsUInt32Number)size);
  if (!opened) return BC_BAD_DATA;
  const bc_status status = from_open_profile(out, context, opened, model);
  cmsCloseProfile(opened);
  if (status) colour_linear_clear(out);
  return status;
}
