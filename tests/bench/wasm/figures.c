/* SPDX-License-Identifier: MIT */
/* What assets/page/contrast.js and colour.js compute, as exports of the library's own code: built for WebAssembly by
 * `measure` beside this file, which says how large that is. The page does not use it: docs/page.md says why. */
#include "match/match_internal.h"

#define PAGE(name) __attribute__((export_name(#name)))
#define HEAD 7  /* see_through, number of body and of rim patches, mean L a b Y */
#define PATCH 5 /* L a b Y share */

static double in[HEAD + PATCH * MATCH_LANES + BC_READING_RIM], out[8];
static match_prepared piece;
static bc_cloth cloth;

PAGE(in) double *page_in(void) {
  return in;
}

PAGE(out) double *page_out(void) {
  return out;
}

static bc_colour colour_at(const double *from) {
  return (bc_colour){{from[0], from[1], from[2]}, from[3]};
}

static const double *take_patches(match_patch *patches, size_t count, const double *from) {
  for (size_t i = 0; i < count; i++, from += PATCH) patches[i] = (match_patch){colour_at(from), from[PATCH - 1]};
  return from;
}

PAGE(face) void page_face(int rim_count) {
  piece.see_through = in[0];
  piece.body_patches = (size_t)in[1];
  piece.rim_patches = (size_t)in[2];
  piece.mean = colour_at(in + 3);
  const double *rest = take_patches(piece.body, piece.body_patches, in + HEAD);
  rest = take_patches(piece.rim, piece.rim_patches, rest);
  piece.rim_count = (size_t)rim_count;
  for (size_t i = 0; i < piece.rim_count; i++) piece.rim_luminance[i] = rest[i];
  match_prepared_settle(&piece);
}

PAGE(cloth) void page_cloth(int parts) {
  cloth.colour = colour_at(in);
  cloth.spread_l = in[4];
  cloth.part_count = (size_t)parts;
  for (int i = 0; i < parts; i++)
    cloth.parts[i] = (bc_cloth_part){colour_at(in + PATCH * (i + 1)), in[PATCH * (i + 1) + PATCH - 1]};
}

PAGE(pair) void page_pair(void) {
  const bc_pair pair = match_prepared_on(&piece, &cloth);
  const double all[] = {pair.contrast_ratio, pair.delta_l, pair.delta_e00, pair.outline_share,
                        pair.seen_share,     pair.clarity, pair.verdict};
  for (size_t i = 0; i < sizeof all / sizeof *all; i++) out[i] = all[i];
}

PAGE(score) double page_score(int count) {
  return bc_match_score_of(in, (size_t)count);
}

PAGE(hex) void page_hex(double L, double a, double b) {
  bc_lab_to_hex((bc_lab){L, a, b}, (char *)out);
}

PAGE(linear) void page_linear(double L, double a, double b) {
  bc_lab_to_linear_srgb((bc_lab){L, a, b}, out);
}

PAGE(luminance) double page_luminance(double L, double a, double b) {
  return bc_colour_from_lab((bc_lab){L, a, b}).luminance;
}

PAGE(lab) void page_lab(double red, double green, double blue) {
  const double linear[3] = {bc_srgb_decode(red), bc_srgb_decode(green), bc_srgb_decode(blue)};
  const bc_lab lab = bc_colour_from_linear_srgb(linear).lab;
  out[0] = lab.L;
  out[1] = lab.a;
  out[2] = lab.b;
}
