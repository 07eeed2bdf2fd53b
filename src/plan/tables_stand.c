/* SPDX-License-Identifier: MIT */
/* The keys of the stand and of its cloth. */
#include "tables.h"

#include <backcloth/colour.h>
#include <math.h>

static const char *const open_words[] = {"none", "left", "right", "both", NULL};
static const char *const side_words[] = {"front", "left", "right", NULL};

/* --- stand ------------------------------------------------------------------------------------------- */
static const plan_field stand_fields[] = {
    SIZE("width", bc_stand, width, N_("the stand's width"), N_("Measure the back wall from side to side."),
         .required = true),
    SIZE("depth", bc_stand, depth, N_("the stand's depth"),
         N_("Measure from the back wall to the aisle, or leave it out for 300 cm.")),
    SIZE("wall_height", bc_stand, wall_height, N_("the wall's height"), N_("Measure from the floor to the wall's top."),
         .required = true),
    COLOUR("wall_colour", bc_stand, wall_css, wall_colour),
    WORD("open_side", bc_stand, open_side, open_words),
    WORD("visitors_from", bc_stand, visitors_from, side_words),
    WORD("wall", bc_stand, wall, plan_wall_words),
    WORD("fixing", bc_stand, fixing, plan_fixing_words),
};
static bool prepare_stand(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_stand *stand = target;
  stand->depth = 300;
  stand->wall_css = bc_copy_text("#ffffff");
  return stand->wall_css != NULL;
}
/* The colour of wall_css, also when it is the default: one road for both. */
static bc_status finish_stand(plan_reader *reader, void *target, const plan_place *place) {
  (void)place;
  bc_stand *stand = target;
  stand->unmeasured = !(stand->width > 0) || !(stand->wall_height > 0);
  if (!(stand->width > 0)) stand->width = PLAN_STAND_IN_CM;
  if (!(stand->wall_height > 0)) stand->wall_height = PLAN_STAND_IN_CM;
  return bc_colour_parse_css(&stand->wall_colour, reader->context, stand->wall_css);
}
TABLE(plan_stand_table, bc_stand, stand_fields, prepare_stand, NULL, finish_stand);

/* --- cloth ------------------------------------------------------------------------------------------- */
static const plan_field cloth_fields[] = {
    COLOUR("colour", bc_wall_cloth, colour_css, colour),
    PHOTO("photo", bc_wall_cloth, photo, photo_written),
    ABOVE_0("photo_width", bc_wall_cloth, photo_width, 1000, "cm", N_("how much of the cloth its photo shows across"),
            N_("Lay a ruler on the cloth and measure what the photo shows from its left edge to its right.")),
    SIZE("width", bc_wall_cloth, width, N_("the cloth's width"),
         N_("Say how wide the cloth hangs, or leave it out for the wall's width.")),
    SIZE("height", bc_wall_cloth, height, N_("the cloth's height"),
         N_("Say how far the cloth hangs down, or leave it out for a cloth to the floor.")),
    PLACE("left", bc_wall_cloth, left, N_("the cloth's left edge"), N_("Leave it out to centre the cloth.")),
    SIZE("top", bc_wall_cloth, top, N_("the cloth's top"),
         N_("Measure from the floor to the cloth's top edge, or leave it out for the wall's top.")),
    WITHIN("fullness", bc_wall_cloth, fullness, 1, 5, "", N_("the fullness"),
           N_("1 is flat, 1.5 to 2 is gathered: the flat width divided by the hung width.")),
    ABOVE_0("grams_per_m2", bc_wall_cloth, grams_per_m2, 5000, "g/m2", N_("the cloth's weight"),
            N_("It is on the bolt's label; or weigh the cloth and divide by its area.")),
    TEXT("on", bc_wall_cloth, on, N_("the carrier")),
    COUNTED("points", bc_wall_cloth, points, 1, 200, "", N_("the number of clips"),
            N_("Count the clips or nails along the cloth's top edge.")),
    RATED("rated_kg", "rated", bc_wall_cloth, rated_kg, N_("the rating of a clip"),
          N_("Take it from the packaging; leave it out if it is not known.")),
};

static bool prepare_cloth(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_wall_cloth *cloth = target;
  cloth->left = NAN; /* 0 is a place */
  cloth->fullness = 1;
  return true;
}
/* Clips further apart than this let the edge sag into scallops: common practice, no source. */
#define CLIP_EVERY_CM 50.0
static void derive_cloth(void *target, const bc_plan *plan) {
  bc_wall_cloth *cloth = target;
  cloth->photo_width_given = cloth->photo_width > 0;
  if (!cloth->photo_width_given) cloth->photo_width = BC_PLAN_PHOTO_WIDTH_CM;
  if (!(cloth->width > 0)) cloth->width = plan->stand.width;
  if (!(cloth->top > 0)) cloth->top = plan->stand.wall_height;
  if (!(cloth->height > 0)) cloth->height = cloth->top;
  if (isnan(cloth->left)) cloth->left = (plan->stand.width - cloth->width) / 2;
  if (cloth->points == 0) cloth->points = (int)fmin(ceil(cloth->width / CLIP_EVERY_CM - 1e-9) + 1, 200);
}
#define PLAIN_CLOTH "#d9d0c1" /* undyed linen */
static bc_status finish_cloth(plan_reader *reader, void *target, const plan_place *place) {
  bc_wall_cloth *cloth = target;
  if (cloth->colour_css && cloth->photo)
    return plan_fail(reader, place, _("a cloth has a colour or a photo, not both. Take one of the two out."));
  if (cloth->colour_css || cloth->photo) return BC_OK;
  cloth->colour_css = bc_copy_text(PLAIN_CLOTH);
  if (!cloth->colour_css) return bc_fail_memory(reader->context);
  return bc_colour_parse_css(&cloth->colour, reader->context, cloth->colour_css);
}
TABLE(plan_cloth_table, bc_wall_cloth, cloth_fields, prepare_cloth, derive_cloth, finish_cloth);
