/* SPDX-License-Identifier: MIT */
/* What the samples mean: embedded profiles are taken over, declarations become primaries and curves.
 * Source of the code points: ITU-T H.273 (07/2021), tables 2 and 3. */
#include "photo_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bc_status photo_fail_profile_size(bc_context *context, const photo_source *source) {
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: its colour profile is larger than the %.1f MB that are accepted. Save the picture with a common "
        "profile such as sRGB."),
      source->name, (double)bc_context_limits(context)->profile_bytes / 1048576.0);
}

bc_status photo_take_profile(bc_photo *photo, bc_context *context, const photo_source *source, const void *bytes,
                             size_t size) {
  if (size == 0) return BC_OK;
  if (size > bc_context_limits(context)->profile_bytes) return photo_fail_profile_size(context, source);
  uint8_t *copy = bc_allocate(size, 1);
  if (!copy) return bc_fail_memory(context);
  memcpy(copy, bytes, size);
  free(photo->profile);
  photo->profile = copy;
  photo->profile_size = size;
  photo->profile_source = BC_PROFILE_EMBEDDED;
  return BC_OK;
}

bc_status photo_note_damaged_profile(bc_photo *photo, bc_context *context, const photo_source *source) {
  return bc_note(&photo->notes, context, _("%s: its colour profile is damaged and was not used."), source->name);
}

/* ---- declarations ---- */

#define D65                                                                                                            \
  { 0.3127, 0.3290 }
#define ILLUMINANT_C                                                                                                   \
  { 0.310, 0.316 }

const bc_declared_colour photo_declared_srgb = {.white = D65,
                                                .red = {0.640, 0.330},
                                                .green = {0.300, 0.600},
                                                .blue = {0.150, 0.060},
                                                .transfer = BC_TRANSFER_SRGB,
                                                .gamma = 0,
                                                .name = "sRGB"};

/* ITU-T H.273 table 2; value 2 is "unspecified". */
static const struct {
  unsigned value;
  bc_chromaticity red, green, blue, white;
  const char *name;
} primaries_table[] = {
    {1, {0.640, 0.330}, {0.300, 0.600}, {0.150, 0.060}, D65, "BT.709"},
    {2, {0.640, 0.330}, {0.300, 0.600}, {0.150, 0.060}, D65, "BT.709"},
    {4, {0.67, 0.33}, {0.21, 0.71}, {0.14, 0.08}, ILLUMINANT_C, "BT.470 M"},
    {5, {0.64, 0.33}, {0.29, 0.60}, {0.15, 0.06}, D65, "BT.470 BG"},
    {6, {0.630, 0.340}, {0.310, 0.595}, {0.155, 0.070}, D65, "BT.601"},
    {7, {0.630, 0.340}, {0.310, 0.595}, {0.155, 0.070}, D65, "SMPTE 240M"},
    {8, {0.681, 0.319}, {0.243, 0.692}, {0.145, 0.049}, ILLUMINANT_C, "film"},
    {9, {0.708, 0.292}, {0.170, 0.797}, {0.131, 0.046}, D65, "BT.2020"},
    {10, {1, 0}, {0, 1}, {0, 0}, {1.0 / 3, 1.0 / 3}, "CIE XYZ"},
    {11, {0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}, {0.314, 0.351}, "DCI P3"},
    {12, {0.680, 0.320}, {0.265, 0.690}, {0.150, 0.060}, D65, "Display P3"},
    {22, {0.630, 0.340}, {0.295, 0.605}, {0.155, 0.077}, D65, "EBU 3213"},
};

/* ITU-T H.273 table 3. Unspecified: the sRGB curve, as for untagged pictures. Value 17 (ST 428-1) has a
 * scale besides its exponent; it concerns cinema's reference white alone, and white is white here. */
static const struct {
  unsigned value;
  bc_transfer transfer;
  double gamma;
} transfer_table[] = {
    {1, BC_TRANSFER_BT709, 0},    {2, BC_TRANSFER_SRGB, 0},   {4, BC_TRANSFER_GAMMA, 2.2},
    {5, BC_TRANSFER_GAMMA, 2.8},  {6, BC_TRANSFER_BT709, 0},  {7, BC_TRANSFER_SMPTE240, 0},
    {8, BC_TRANSFER_GAMMA, 1},    {9, BC_TRANSFER_LOG100, 0}, {10, BC_TRANSFER_LOG316, 0},
    {11, BC_TRANSFER_BT709, 0},   {12, BC_TRANSFER_BT709, 0}, {13, BC_TRANSFER_SRGB, 0},
    {14, BC_TRANSFER_BT709, 0},   {15, BC_TRANSFER_BT709, 0}, {16, BC_TRANSFER_PQ, 0},
    {17, BC_TRANSFER_GAMMA, 2.6}, {18, BC_TRANSFER_HLG, 0},
};

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define UNSPECIFIED 2

bool photo_take_code_points(bc_photo *photo, unsigned primaries, unsigned transfer) {
  if (primaries == UNSPECIFIED && transfer == UNSPECIFIED) return false;
  bc_declared_colour declared = {0};
  for (size_t i = 0; i < COUNT(primaries_table); i++)
    if (primaries_table[i].value == primaries) {
      declared.red = primaries_table[i].red;
      declared.green = primaries_table[i].green;
      declared.blue = primaries_table[i].blue;
      declared.white = primaries_table[i].white;
      declared.name = primaries_table[i].name;
    }
  bool known = false;
  for (size_t i = 0; i < COUNT(transfer_table); i++)
    if (transfer_table[i].value == transfer) {
      declared.transfer = transfer_table[i].transfer;
      declared.gamma = transfer_table[i].gamma;
      known = true;
    }
  if (!declared.name || !known) return false;
  if (declared.transfer == BC_TRANSFER_SRGB && (primaries == 1 || primaries == UNSPECIFIED)) declared.name = "sRGB";
  photo->declared = declared;
  photo->profile_source = BC_PROFILE_DECLARED;
  return true;
}

/* Twice the signed area of a triangle. */
static double area(bc_chromaticity a, bc_chromaticity b, bc_chromaticity c) {
  return (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
}

/* The white lies strictly inside the triangle when the three part triangles turn the same way as the whole. */
static bool makes_sense(const bc_declared_colour *colour) {
  const bc_chromaticity r = colour->red, g = colour->green, b = colour->blue, w = colour->white;
  const double whole = area(r, g, b);
  const double parts[3] = {area(w, g, b), area(r, w, b), area(r, g, w)};
  if (!(fabs(whole) > 1e-3) || !(w.y > 0.01)) return false;
  for (int i = 0; i < 3; i++)
    if (!(parts[i] / whole > 1e-3)) return false;
  return colour->transfer != BC_TRANSFER_GAMMA || (colour->gamma >= 0.1 && colour->gamma <= 10);
}

bool photo_take_declared(bc_photo *photo, const bc_declared_colour *declared) {
  if (!makes_sense(declared)) return false;
  photo->declared = *declared;
  photo->profile_source = BC_PROFILE_DECLARED;
  return true;
}
