/* SPDX-License-Identifier: MIT */
/* What holds in which wall, and what to know about each pair. Common practice without a source, on the safe side; the
 * makers' instructions and the venue's rules go before all of it. */
#include "plan_internal.h"

typedef struct pair {
  bool refused;
  const char *text; /* NULL: nothing to say */
} pair;

#define NO(words)                                                                                                      \
  { true, words }
#define CARE(words)                                                                                                    \
  { false, words }
#define FINE                                                                                                           \
  { false, NULL }

#define HIRED                                                                                                          \
  N_("Nothing is screwed, nailed or glued into a hired panel: the venue charges for it. Use hooks over its edge.")
#define FOAM N_("Nails, screws and clamps hold nothing in foam board. Hang from a rod or a frame instead.")
#define GLUE_LETS_GO                                                                                                   \
  N_("Adhesive hooks lose their grip with heat, damp, dust and textured paint. Clean the wall, press each for as "     \
     "long "                                                                                                           \
     "as its packaging says, and test it.")
#define GLUE_ON_CLOTH N_("Adhesive hooks do not hold on cloth or on a pipe. Hang from the frame's bar instead.")
#define NO_STEEL N_("A magnet holds only on bare steel: this wall has none on its face. Use another fixing.")
#define ASK_MAGNET                                                                                                     \
  N_("A magnet holds only on bare steel, and slides before it lets go. Test each with more than its load.")
#define HOLLOW N_("In plasterboard only plugs made for hollow walls hold, or a screw into the stud behind it.")
#define HOLLOW_NAIL                                                                                                    \
  N_("A nail in plasterboard carries next to nothing and works loose. Use a plug for hollow walls, or a stud.")
#define SOLID N_("In a solid wall use plugs that suit the stone, and keep away from cables and pipes.")
#define CLOTH_WALL N_("Stretched fabric carries nothing. Hang from its frame or from a rod in front of it.")
#define NO_EDGE N_("There is no panel's edge here to hook over. Use another fixing.")
#define EDGE N_("Hooks over a panel's edge must fit its thickness, and the panel must be braced: ask who set it up.")
#define PIPE N_("Hang only from the bar, with clamps or loops that close, and ask what the bar may carry.")
#define SOFT_PIPE N_("Nothing is screwed or nailed into a hired pipe. Use clamps or loops that close.")
#define OWN N_("Fix to the frame's bars, never to its panels or its cloth.")

static const pair pairs[BC_WALL_KINDS][BC_FIXINGS] = {
    /* not known, screw, nail, adhesive hook, hook over the edge, clamp, magnet */
    [BC_WALL_UNKNOWN] = {FINE, FINE, FINE, CARE(GLUE_LETS_GO), CARE(EDGE), FINE, CARE(ASK_MAGNET)},
    [BC_WALL_SOLID] = {CARE(SOLID), CARE(SOLID), CARE(SOLID), CARE(GLUE_LETS_GO), NO(NO_EDGE), NO(NO_EDGE),
                       NO(NO_STEEL)},
    [BC_WALL_PLASTERBOARD] = {CARE(HOLLOW), CARE(HOLLOW), NO(HOLLOW_NAIL), CARE(GLUE_LETS_GO), NO(NO_EDGE), NO(NO_EDGE),
                              NO(NO_STEEL)},
    [BC_WALL_FOAM_BOARD] = {CARE(FOAM), NO(FOAM), NO(FOAM), CARE(GLUE_LETS_GO), CARE(EDGE), NO(FOAM), NO(NO_STEEL)},
    [BC_WALL_STRETCHED_FABRIC] = {CARE(CLOTH_WALL), NO(CLOTH_WALL), NO(CLOTH_WALL), NO(GLUE_ON_CLOTH), CARE(EDGE),
                                  CARE(OWN), NO(NO_STEEL)},
    [BC_WALL_PIPE_AND_DRAPE] = {CARE(PIPE), NO(SOFT_PIPE), NO(SOFT_PIPE), NO(GLUE_ON_CLOTH), CARE(PIPE), CARE(PIPE),
                                CARE(ASK_MAGNET)},
    [BC_WALL_HIRED_PANEL] = {CARE(HIRED), NO(HIRED), NO(HIRED), NO(HIRED), CARE(EDGE), CARE(EDGE), NO(NO_STEEL)},
    [BC_WALL_OWN_FRAME] = {CARE(OWN), CARE(OWN), CARE(OWN), CARE(GLUE_LETS_GO), CARE(OWN), CARE(OWN), CARE(ASK_MAGNET)},
};

bool bc_fixing_holds(bc_wall_kind wall, bc_fixing fixing) {
  return !pairs[wall][fixing].refused;
}

const char *bc_fixing_caution(bc_wall_kind wall, bc_fixing fixing) {
  const char *text = pairs[wall][fixing].text;
  return text ? bc_text_safety(text) : NULL;
}

bool bc_plan_refuses(const bc_plan *plan, bc_fixing fixing) {
  return !plan->frame.given && !bc_fixing_holds(plan->stand.wall, fixing);
}
