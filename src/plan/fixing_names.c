/* SPDX-License-Identifier: MIT */
/* What walls are made of and what holds in them, by name. What goes together: fixings_in_walls.c. */
#include "plan_internal.h"

const char *const plan_wall_words[] = {
    "not-known",      "solid",       "plasterboard", "foam-board", "stretched-fabric",
    "pipe-and-drape", "hired-panel", "own-frame",    NULL};
const char *const plan_fixing_words[] = {"not-known",       "screw", "nail",   "adhesive-hook",
                                         "over-panel-hook", "clamp", "magnet", NULL};

const char *bc_wall_word(bc_wall_kind wall) {
  return plan_wall_words[wall];
}

const char *bc_wall_text(bc_wall_kind wall) {
  static const char *const texts[BC_WALL_KINDS] = {N_("not known"),
                                                   N_("solid wall"),
                                                   N_("plasterboard"),
                                                   N_("foam board"),
                                                   N_("stretched fabric"),
                                                   N_("pipe and drape"),
                                                   N_("hired panel of a shell scheme"),
                                                   N_("own frame")};
  return _(texts[wall]);
}

const char *bc_fixing_word(bc_fixing fixing) {
  return plan_fixing_words[fixing];
}

const char *bc_fixing_text(bc_fixing fixing) {
  static const char *const texts[BC_FIXINGS] = {
      N_("not known"), N_("screw"), N_("nail"), N_("adhesive hook"), N_("hook over the panel's edge"),
      N_("clamp"),     N_("magnet")};
  return _(texts[fixing]);
}

bc_fixing bc_plan_fixing_of(const bc_plan *plan, const bc_piece *piece) {
  if (piece->mount.fixing != BC_FIXING_UNKNOWN) return piece->mount.fixing;
  if (piece->mount.kind == BC_MOUNT_NAIL || piece->mount.kind == BC_MOUNT_PIN)
    return piece->mount.given ? BC_FIXING_NAIL : plan->stand.fixing;
  return plan->stand.fixing;
}
