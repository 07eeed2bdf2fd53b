/* SPDX-License-Identifier: MIT */
/* Strength and stiffness of what rods and battens are made of.
 * Woods: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190), chapter 5, Table 5-3, clear wood
 * at 12 % moisture: averages, not design values, which is why the design factor comes off them. */
#include "loads_internal.h"

#include <strings.h>

static const loads_material materials[] = {
    {N_("aluminium"), 70.0, 120, 2700,
     false}, /* E: EN 1999-1-1; strength: EN AW-6060 T5, the weakest usual tube, both from memory */
    {N_("ash"), 12.0, 103, 672, true},                /* white ash */
    {N_("beech"), 11.9, 103, 721, true},              /* American beech, from memory */
    {N_("birch"), 13.9, 114, 694, true},              /* yellow birch */
    {N_("douglas-fir"), 13.4, 85, 538, true},         /* coast */
    {N_("maple"), 12.6, 109, 706, true},              /* sugar maple */
    {N_("oak"), 12.3, 99, 762, true},                 /* the lower of white and northern red */
    {N_("pine"), 8.5, 59, 392, true},                 /* eastern white, the weakest pine of the table */
    {N_("poplar"), 10.9, 70, 470, true},              /* yellow-poplar */
    {N_("spruce"), 8.9, 64, 392, true},               /* Engelmann */
    {N_("stainless steel"), 200.0, 210, 7900, false}, /* 1.4301, from memory */
    {N_("steel"), 210.0, 235, 7850, false},           /* S235, EN 1993-1-1 3.2.6 and Table 3.1 */
};
enum { COUNT = sizeof materials / sizeof materials[0] };

const loads_material *loads_material_named(const char *word) {
  if (strcasecmp(word, "aluminum") == 0) word = "aluminium"; /* both spellings are right */
  if (strcasecmp(word, "douglas fir") == 0) word = "douglas-fir";
  for (size_t i = 0; i < COUNT; i++)
    if (strcasecmp(materials[i].word, word) == 0) return &materials[i];
  return NULL;
}

char *loads_material_words(void) {
  bc_buffer words = {0};
  for (size_t i = 0; i < COUNT; i++) bc_buffer_add(&words, "%s%s", i ? ", " : "", materials[i].word);
  if (!words.failed) return words.text;
  bc_buffer_clear(&words);
  return NULL;
}

/* Knots, slope of grain: the strength ratio of a visually graded beam of the second class, ASTM D245 (from memory).
 * Damp: EN 1995-1-1 Table 3.1, solid timber under permanent load, 0.50 outdoors against 0.60 indoors. */
#define KNOTTY 0.45
#define DAMP (0.50 / 0.60)
double loads_wood_strength(const bc_rod *rod, const loads_material *material) {
  if (!material->wood) return 1;
  return (rod->grade == BC_WOOD_CLEAR ? 1 : KNOTTY) * (rod->damp ? DAMP : 1);
}

/* Wood goes on sagging: 1 + k_def, EN 1995-1-1 Table 3.2, solid timber, 0.60 indoors and 2.00 in damp air. */
double loads_wood_creep(const bc_rod *rod, const loads_material *material) {
  if (!material->wood) return 1;
  return rod->damp ? 3.0 : 1.6;
}
