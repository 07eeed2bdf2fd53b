/* SPDX-License-Identifier: MIT */
/* Samples whose meaning a file declares by primaries and a curve (PNG cICP, gAMA and cHRM; EXIF Adobe
 * RGB) become tables and a matrix. Curves: IEC 61966-2-1, ITU-R BT.709, BT.2100, ITU-T H.273. */
#include "base/base.h"
#include "colour_internal.h"

#include <math.h>

/* ITU-R BT.2408: diffuse white of a picture, cd/m2; BT.2100: peak of the PQ curve. */
#define PQ_WHITE 203.0
#define PQ_PEAK 10000.0
/* ITU-R BT.2100: of the HLG system on a screen of 1000 cd/m2. */
#define HLG_SYSTEM_GAMMA 1.2

static double pq(double e) {
  const double m1 = 2610.0 / 16384, m2 = 2523.0 / 4096 * 128, c1 = 3424.0 / 4096, c2 = 2413.0 / 4096 * 32,
               c3 = 2392.0 / 4096 * 32;
  const double p = pow(e, 1 / m2);
  return PQ_PEAK / PQ_WHITE * pow(fmax(0, p - c1) / (c2 - c3 * p), 1 / m1);
}

static double hlg_scene(double e) {
  const double a = 0.17883277, b = 1 - 4 * a, c = 0.5 - a * log(4 * a);
  return e <= 0.5 ? e * e / 3 : (exp((e - c) / a) + b) / 12;
}

static double transfer(const bc_declared_colour *declared, double e) {
  switch (declared->transfer) {
  case BC_TRANSFER_GAMMA:
    return pow(e, declared->gamma);
  case BC_TRANSFER_SRGB:
    return bc_srgb_decode(e);
  case BC_TRANSFER_BT709:
    return e < 0.081 ? e / 4.5 : pow((e + 0.099) / 1.099, 1 / 0.45);
  case BC_TRANSFER_SMPTE240:
    return e < 0.0913 ? e / 4 : pow((e + 0.1115) / 1.1115, 1 / 0.45);
  case BC_TRANSFER_LOG100:
    return e > 0 ? pow(10, 2 * (e - 1)) : 0;
  case BC_TRANSFER_LOG316:
    return e > 0 ? pow(10, 2.5 * (e - 1)) : 0;
  case BC_TRANSFER_PQ:
    return pq(e);
  case BC_TRANSFER_HLG:
    return hlg_scene(e) / hlg_scene(0.75);
  }
  return e;
}

static void xyz_of(bc_chromaticity c, double xyz[3]) {
  xyz[0] = c.x / c.y;
  xyz[1] = 1;
  xyz[2] = (1 - c.x - c.y) / c.y;
}

/* The columns are the primaries, scaled so that all three together give the white. */
static bool primaries_matrix(const bc_declared_colour *declared, colour_matrix3 *out) {
  const bc_chromaticity primary[3] = {declared->red, declared->green, declared->blue};
  double white[3], scale[3];
  colour_matrix3 columns, inverse;
  xyz_of(declared->white, white);
  for (int c = 0; c < 3; c++) {
    /* Not Y = 1: a blue primary of y 0 (ProPhoto has almost that) must not divide by nothing. */
    columns.at[0][c] = primary[c].x;
    columns.at[1][c] = primary[c].y;
    columns.at[2][c] = 1 - primary[c].x - primary[c].y;
  }
  if (!colour_matrix3_invert(&columns, &inverse)) return false;
  colour_matrix3_apply(&inverse, white, scale);
  for (int i = 0; i < 3; i++)
    for (int c = 0; c < 3; c++) out->at[i][c] = columns.at[i][c] * scale[c];
  return true;
}

/* F = E Y^(gamma - 1): relative to white, where both are 1, the factor to a screen's nits drops out. */
void colour_show_scene(const colour_linear *linear, float *const plane[3], size_t count) {
  const float *w = linear->luminance;
  for (size_t i = 0; i < count; i++) {
    const float light = w[0] * plane[0][i] + w[1] * plane[1][i] + w[2] * plane[2][i];
    const float by = light > 0 ? powf(light, (float)(HLG_SYSTEM_GAMMA - 1)) : 0;
    for (int c = 0; c < 3; c++) plane[c][i] = fminf(1, plane[c][i] * by);
  }
}

/* For a grey picture the three numbers are XYZ of D50. */
static void keep_scene(colour_linear *out, const colour_matrix3 *primaries) {
  out->scene_light = true;
  for (int c = 0; c < 3; c++) out->luminance[c] = primaries ? (float)primaries->at[1][c] : c == 1;
}

bc_status colour_linear_from_declared(colour_linear *out, bc_context *context, const bc_declared_colour *declared,
                                      bc_photo_model model, int bits) {
  colour_matrix3 primaries, adapt;
  double white[3];
  xyz_of(declared->white, white);
  if (!(declared->white.y > 0) || !colour_adaptation(&adapt, white, colour_white_d50)) return BC_BAD_DATA;
  *out = (colour_linear){.channels = (int)model, .bits = bits};
  const bc_status status = colour_linear_make_tables(out, context);
  if (status) return status;
  const size_t size = bits == 16 ? 65536 : 256;
  const bool is_hlg = declared->transfer == BC_TRANSFER_HLG;
  for (size_t i = 0; i < size; i++) {
    /* Brighter than a picture's white (only PQ and HLG can say so) counts as white. */
    const double light = transfer(declared, (double)i / (double)(size - 1)), linear = is_hlg ? light : fmin(1, light);
    for (int c = 0; c < 3; c++)
      out->table[c][i] = (float)(model == BC_PHOTO_GREY ? linear * colour_white_d50[c] : linear);
  }
  out->to_xyz = (colour_matrix3){{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
  if (model == BC_PHOTO_RGB) {
    if (!primaries_matrix(declared, &primaries)) {
      colour_linear_clear(out);
      return BC_BAD_DATA;
    }
    colour_matrix3_multiply(&adapt, &primaries, &out->to_xyz);
  }
  if (is_hlg) keep_scene(out, model == BC_PHOTO_RGB ? &primaries : NULL);
  out->description = bc_copy_text(declared->name);
  return out->description ? BC_OK : bc_fail_memory(context);
}
