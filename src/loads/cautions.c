/* SPDX-License-Identifier: MIT */
/* The cautions: what every hung wall needs, and what this plan needs besides. The heights, masses and
 * angles at which a caution is given are common practice without a source. */
#include "loads_internal.h"

#define LADDER_CM 200     /* above an easy reach: a step ladder is needed */
#define TWO_PEOPLE_G 8000 /* lifted overhead: two people */
#define FLAT_CORD                                                                                                      \
  30 /* degrees; under 30 sling practice (ASME B30.9) asks for a qualified person's approval, from memory */

static bool needs_ladder(const bc_loads *loads) {
  for (size_t i = 0; i < loads->point_count; i++)
    if (loads->points[i].y > LADDER_CM) return true;
  return false;
}

static bc_status add_by_piece(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!bc_mount_hangs(piece->mount.kind)) continue;
    if (piece->weight_g >= TWO_PEOPLE_G)
      status = bc_note(&loads->cautions, context, _("%s: two people lift and hang it."), piece->title);
    if (status == BC_OK && piece->mount.kind == BC_MOUNT_CORD && piece->mount.cord_angle_count == 0 &&
        piece->mount.cord_angle < FLAT_CORD)
      status = bc_note(&loads->cautions, context,
                       _("%s: its cord is so flat (%.0f degrees) that it pulls %.1f times as hard as its share of the "
                         "weight. Use a longer cord."),
                       piece->title, piece->mount.cord_angle, 2 * bc_loads_cord_tension_n(1, piece->mount.cord_angle));
  }
  return status;
}

bc_status loads_add_cautions(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  const char *always[] = {
      _("This is planning help. Local codes, the venue's rules and a licensed person decide."),
      _("Ask the venue what may be fixed to its walls, and how, before you pack."),
      _("Pull each point by hand with more than its load before anything is hung on it. Children pull, and crowds "
        "knock: nothing that can hurt hangs over where people stand."),
      _("In earthquake country close hooks and tie pieces back, and stand nothing heavy above people."),
      plan->cloth.given ? _("Venues may ask for a certificate that the cloth is flame retardant. Ask, and bring it.")
                        : NULL,
      needs_ladder(loads) ? _("Some points are above 2 m (6 ft 7 in): use a step ladder on firm level ground, and have "
                              "a second person hold it.")
                          : NULL,
      _("Indoors or in full shelter only: no advice is given here for wind, since gusts pull many times a cloth's "
        "weight."),
  };
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < sizeof always / sizeof always[0]; i++)
    if (always[i]) status = bc_note(&loads->cautions, context, "%s", always[i]);
  return status == BC_OK ? add_by_piece(loads, context, plan) : status;
}
