/* SPDX-License-Identifier: MIT */
/* The cautions: what every hung wall needs, and what this plan needs besides. Masses and heights at which help is
 * asked for stand in the public header with their sources; the rest is common practice without a source. */
#include "loads_internal.h"

#include <math.h>

#define BREEZE_M_S 10  /* a fresh breeze, force 5 of the Beaufort scale: 8.0 to 10.7 m/s */
#define AIR_KG_M3 1.25 /* EN 1991-1-4, 4.5 */

static bool any_step(const bc_loads *loads, bool ladder) {
  for (size_t i = 0; i < loads->step_count; i++)
    if (ladder ? loads->steps[i].ladder : loads->steps[i].two_people) return true;
  return false;
}

/* Why nothing is said about wind: q = rho v2 / 2 on the cloth (EN 1991-1-4, 4.5), without gusts or any factor, is
 * already many times what a stand is made for. */
static bc_status add_wind(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  if (!plan->cloth.given)
    return bc_note(
        &loads->cautions, context,
        bc_text_safety("Indoors or in full shelter only. No advice is given here for wind: gusts pull many times what "
                       "hangs."));
  const double area = plan->cloth.width * plan->cloth.height / 1e4;
  const double push_n = AIR_KG_M3 / 2 * BREEZE_M_S * BREEZE_M_S * area;
  char push[64];
  bc_mass_words(push, sizeof push, loads_kg_of_newton(push_n) * 1000, BC_UNITS_METRIC);
  return bc_note(
      &loads->cautions, context,
      bc_text_safety(
          "Indoors or in full shelter only. No advice is given here for wind: a fresh breeze (%d m/s) already "
          "pushes this cloth as hard as a weight of %s, and gusts push harder."),
      BREEZE_M_S, push);
}

bc_status loads_add_cautions(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  const char *always[] = {
      bc_text_safety("This is planning help. Local codes, the venue's rules and a licensed person decide."),
      bc_text_safety("Ask the venue what may be fixed to its walls, and how, before you pack."),
      bc_text_safety("Test each point with something heavier than its load before anything hangs on it."),
      bc_text_safety(
          "Children pull and crowds knock: close hooks, tie back what could swing, and hang nothing that can hurt over "
          "where people stand."),
      bc_text_safety(
          "In earthquake country use closed hooks, tie pieces back to the wall, and stand nothing heavy above people."),
      plan->cloth.given
          ? bc_text_safety(
                "Venues may ask for a certificate that the cloth is flame retardant. Ask, and bring it. Keep "
                "cloth away from lamps and heaters.")
          : NULL,
      any_step(loads, true)
          ? bc_text_safety("Some points are above 183 cm (6 ft): use a step ladder on firm level ground, and have "
                           "a second person hold it.")
          : NULL,
      any_step(loads, false)
          ? bc_text_safety("Two people lift what weighs over 7 kg (15 lb) above shoulder height, over 13 kg (29 "
                           "lb) below it, or is longer than 1.5 m (5 ft).")
          : NULL,
  };
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < sizeof always / sizeof always[0]; i++)
    if (always[i]) status = bc_note(&loads->cautions, context, "%s", always[i]);
  if (status == BC_OK) status = add_wind(loads, context, plan);
  return status == BC_OK ? loads_add_named_cautions(loads, context, plan) : status;
}
