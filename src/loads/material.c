/* SPDX-License-Identifier: MIT */
/* Strength and stiffness of what rods and battens are made of.
 * Woods: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190), chapter 5, Table 5-3, clear wood
 * at 12 % moisture: averages, not design values, which is why the design factor comes off them. */
#include "loads_internal.h"

#include <strings.h>

static const loads_material materials[] = {
    {N_("aluminium"), 70.0, 120,
     2700},                      /* E: EN 1999-1-1; strength: EN AW-6060 T5, the weakest usual tube, both from memory */
    {N_("ash"), 12.0, 103, 672}, /* white ash */
    {N_("beech"), 11.9, 103, 721},             /* American beech, from memory */
    {N_("birch"), 13.9, 114, 694},             /* yellow birch */
    {N_("douglas-fir"), 13.4, 85, 538},        /* coast */
    {N_("maple"), 12.6, 109, 706},             /* sugar maple */
    {N_("oak"), 12.3, 99, 762},                /* the lower of white and northern red */
    {N_("pine"), 8.5, 59, 392},                /* eastern white, the weakest pine of the table */
    {N_("poplar"), 10.9, 70, 470},             /* yellow-poplar */
    {N_("spruce"), 8.9, 64, 392},              /* Engelmann */
    {N_("stainless steel"), 200.0, 210, 7900}, /* 1.4301, from memory */
    {N_("steel"), 210.0, 235, 7850},           /* S235, EN 1993-1-1 3.2.6 and Table 3.1 */
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
