/* SPDX-License-Identifier: MIT */
/* The cloth's cut size from its hung size: fullness, hems, sleeve, seams and shrinkage.
 *   cut width  = (width x fullness + 2 hems) / (1 - shrinkage) + seams
 *   cut height = (drop + sleeve or hem + hem) / (1 - shrinkage)
 * Dressmaking arithmetic, common practice; the allowances are the plan's. */
#include "packing_internal.h"

#include <math.h>

#define SEAM_CM 1.5       /* each side of a seam takes so much: common practice, no source */
#define BUNDLE_WIDE_CM 60 /* a bundle that goes into a usual bag: our choice */
#define BUNDLE_HIGH_CM 40
#define BULK_G_CM3 0.35 /* folded cloth with the air in it: our choice, wool and cotton lie about here */

/* Joins panels of the bolt's width, or turns the cloth sideways when that saves every seam. */
static void lay_on_bolt(bc_packing_cloth *cloth, double bolt) {
  cloth->panels = 1;
  cloth->panel_width = cloth->cut_width;
  cloth->buy_length = cloth->cut_height;
  if (cloth->cut_width <= bolt) return;
  if (cloth->cut_height <= bolt) {
    cloth->sideways = true;
    cloth->buy_length = cloth->cut_width;
    return;
  }
  /* n panels lose two seam allowances at each of the n - 1 joins. */
  const double useful = fmax(bolt - 2 * SEAM_CM, bolt / 2);
  cloth->panels = (int)ceil((cloth->cut_width - 2 * SEAM_CM) / useful - 1e-9);
  cloth->cut_width += 2 * SEAM_CM * (cloth->panels - 1);
  cloth->panel_width = cloth->cut_width / cloth->panels;
  cloth->buy_length = cloth->cut_height * cloth->panels;
}

static void fold(bc_packing_cloth *cloth, double grams_per_m2) {
  const double across = ceil(cloth->cut_width / BUNDLE_WIDE_CM), down = ceil(cloth->cut_height / BUNDLE_HIGH_CM);
  cloth->folded_width = cloth->cut_width / across;
  cloth->folded_height = cloth->cut_height / down;
  cloth->folded_thick = across * down * grams_per_m2 / 1e4 / BULK_G_CM3;
}

void packing_cut_cloth(packer *pack) {
  const bc_wall_cloth *hung = &pack->plan->cloth;
  const bc_packing_wishes *wishes = &pack->plan->packing;
  bc_packing_cloth *cloth = &pack->out->cloth;
  if (!hung->given) return;
  cloth->needed = true;
  const double keeps = 1 - wishes->shrinkage / 100;
  const double top = bc_plan_cloth_rod(pack->plan) ? wishes->sleeve : wishes->hem;
  cloth->cut_width = (hung->width * hung->fullness + 2 * wishes->hem) / keeps;
  cloth->cut_height = (hung->height + top + wishes->hem) / keeps;
  lay_on_bolt(cloth, wishes->bolt_width);
  cloth->mass_g = cloth->cut_width / 100 * cloth->cut_height / 100 * hung->grams_per_m2;
  if (hung->grams_per_m2 > 0) fold(cloth, hung->grams_per_m2);
}
