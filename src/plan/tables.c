/* SPDX-License-Identifier: MIT */
/* The keys of the plan file, one table an object: kind, range, default, remedy. Reading, writing and
 * the suggestion of a nearest key all follow these tables; docs/plan.schema.json says the same. */
#include "plan_internal.h"

#include <backcloth/colour.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define AT(type, member) offsetof(type, member)
#define COUNT(array) (sizeof(array) / sizeof *(array))

const char *const plan_role_words[] = {"support", "statement", "small", "sign", "mirror", NULL};
const char *const plan_mount_words[] = {"nail", "pin", "hook", "cord", "clip", "shelf", "table", "floor", NULL};

static const char *const open_words[] = {"none", "left", "right", "both", NULL};
static const char *const side_words[] = {"front", "left", "right", NULL};

/* --- stand ------------------------------------------------------------------------------------------- */
static const plan_field stand_fields[] = {
    {.key = "width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_stand, width),
     .required = true,
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the stand's width"),
     .remedy = N_("Measure the back wall from side to side.")},
    {.key = "depth",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_stand, depth),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the stand's depth"),
     .remedy = N_("Measure from the back wall to the aisle, or leave it out for 300 cm.")},
    {.key = "wall_height",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_stand, wall_height),
     .required = true,
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the wall's height"),
     .remedy = N_("Measure from the floor to the wall's top.")},
    {.key = "wall_colour", .kind = PLAN_COLOUR, .offset = AT(bc_stand, wall_css), .second = AT(bc_stand, wall_colour)},
    {.key = "open_side", .kind = PLAN_WORD, .offset = AT(bc_stand, open_side), .words = open_words},
    {.key = "visitors_from", .kind = PLAN_WORD, .offset = AT(bc_stand, visitors_from), .words = side_words},
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
static const plan_table stand_table = {stand_fields, COUNT(stand_fields), sizeof(bc_stand), prepare_stand,
                                       NULL,         finish_stand};

/* --- cloth ------------------------------------------------------------------------------------------- */
static const plan_field cloth_fields[] = {
    {.key = "colour",
     .kind = PLAN_COLOUR,
     .offset = AT(bc_wall_cloth, colour_css),
     .second = AT(bc_wall_cloth, colour)},
    {.key = "photo",
     .kind = PLAN_PHOTO,
     .offset = AT(bc_wall_cloth, photo),
     .second = AT(bc_wall_cloth, photo_written)},
    {.key = "photo_width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, photo_width),
     .high = 1000,
     .above = true,
     .unit = "cm",
     .what = N_("how much of the cloth its photo shows across"),
     .remedy = N_("Lay a ruler on the cloth and measure what the photo shows from its left edge to its right.")},
    {.key = "width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, width),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the cloth's width"),
     .remedy = N_("Give the width as it hangs, or leave it out for the wall's width.")},
    {.key = "height",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, height),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the cloth's height"),
     .remedy = N_("Give the drop as it hangs, or leave it out for a cloth to the floor.")},
    {.key = "left",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, left),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the cloth's left edge"),
     .remedy = N_("Leave it out to centre the cloth.")},
    {.key = "top",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, top),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the cloth's top"),
     .remedy = N_("Measure from the floor to the cloth's top edge, or leave it out for the wall's top.")},
    {.key = "fullness",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, fullness),
     .low = 1,
     .high = 5,
     .unit = "",
     .what = N_("the fullness"),
     .remedy = N_("1 is flat, 1.5 to 2 is gathered: the flat width divided by the hung width.")},
    {.key = "grams_per_m2",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, grams_per_m2),
     .high = 5000,
     .above = true,
     .unit = "g/m2",
     .what = N_("the cloth's weight"),
     .remedy = N_("It is on the bolt's label; or weigh the cloth and divide by its area.")},
    {.key = "on", .kind = PLAN_TEXT, .offset = AT(bc_wall_cloth, on), .what = N_("the carrier")},
    {.key = "points",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_wall_cloth, points),
     .low = 1,
     .high = 200,
     .unit = "",
     .what = N_("the number of clips"),
     .remedy = N_("Count the clips or nails along the cloth's top edge.")},
    {.key = "rated_kg",
     .also = "rated",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_wall_cloth, rated_kg),
     .high = RATED_KG,
     .above = true,
     .unit = "kg",
     .what = N_("the rating of a clip"),
     .remedy = N_("Take it from the packaging; leave it out if it is not known.")},
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
static const plan_table cloth_table = {cloth_fields,  COUNT(cloth_fields), sizeof(bc_wall_cloth),
                                       prepare_cloth, derive_cloth,        finish_cloth};

/* --- rods -------------------------------------------------------------------------------------------- */
static const plan_field rod_fields[] = {
    {.key = "id", .kind = PLAN_TEXT, .offset = AT(bc_rod, id), .what = N_("an id")},
    {.key = "x",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, x),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the rod's left end"),
     .remedy = N_("Measure from the wall's left edge.")},
    {.key = "y",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, y),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the rod's height"),
     .remedy = N_("Measure from the floor to the rod.")},
    {.key = "length",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, length),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the rod's length"),
     .remedy = N_("Measure the rod from end to end.")},
    {.key = "material", .kind = PLAN_TEXT, .offset = AT(bc_rod, material), .what = N_("the rod's material")},
    {.key = "outer_mm",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, outer_mm),
     .high = 500,
     .above = true,
     .unit = "mm",
     .what = N_("the rod's thickness"),
     .remedy = N_("Measure across the outside of the rod, in millimetres.")},
    {.key = "wall_mm",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, wall_mm),
     .high = 250,
     .unit = "mm",
     .what = N_("the tube's wall"),
     .remedy = N_("Measure how thick the tube's wall is; 0 for a solid rod.")},
    {.key = "breadth_mm",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, breadth_mm),
     .high = 500,
     .unit = "mm",
     .what = N_("the batten's breadth"),
     .remedy = N_("Measure from the wall outwards; leave it out for a round rod.")},
    {.key = "supports",
     .kind = PLAN_SPOTS,
     .offset = AT(bc_rod, supports),
     .second = AT(bc_rod, support_count),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("a support"),
     .most = BC_ROD_SUPPORTS,
     .remedy = N_("Measure each from the wall's left edge.")},
    {.key = "rated_kg",
     .also = "rated",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_rod, rated_kg),
     .high = RATED_KG,
     .above = true,
     .unit = "kg",
     .what = N_("the rating of a support"),
     .remedy = N_("Take it from the packaging; leave it out if it is not known.")},
    {.key = "lent", .kind = PLAN_TRUTH, .offset = AT(bc_rod, lent)},
};
static bool prepare_rod(void *target, const bc_plan *plan, size_t index) {
  bc_rod *rod = target;
  rod->id = bc_format("rod-%zu", index + 1);
  rod->length = plan->stand.width;
  rod->y = plan->stand.wall_height;
  rod->material = bc_copy_text("steel");
  rod->outer_mm = 25;
  return rod->id && rod->material;
}
/* Default supports: a tenth of the length in from either end. */
static void derive_rod(void *target, const bc_plan *plan) {
  (void)plan;
  bc_rod *rod = target;
  if (rod->support_count > 0) return;
  rod->supports[0] = rod->x + rod->length / 10;
  rod->supports[1] = rod->x + rod->length - rod->length / 10;
  rod->support_count = 2;
}
static bc_status finish_rod(plan_reader *reader, void *target, const plan_place *place) {
  bc_rod *rod = target;
  const plan_place supports = {.up = place, .key = "supports"}, wall = {.up = place, .key = "wall_mm"};
  if (rod->support_count < 2)
    return plan_fail(reader, &supports,
                     _("a rod needs at least two supports. Give the place of each, like [10, 290]."));
  for (size_t i = 0; i < rod->support_count; i++) {
    const plan_place here = {.up = &supports, .index = i};
    if (i > 0 && !(rod->supports[i] - rod->supports[i - 1] >= 1))
      return plan_fail(reader, &here,
                       _("supports are given from left to right, at least 1 cm apart. Put them in order."));
    if (rod->supports[i] < rod->x - 1e-9 || rod->supports[i] > rod->x + rod->length + 1e-9)
      return plan_fail(
          reader, &here,
          _("this support is at %g cm, but the rod runs from %g to %g cm. Measure both from the wall's left edge."),
          rod->supports[i], rod->x, rod->x + rod->length);
  }
  const double thinner = rod->breadth_mm > 0 && rod->breadth_mm < rod->outer_mm ? rod->breadth_mm : rod->outer_mm;
  if (2 * rod->wall_mm > thinner)
    return plan_fail(reader, &wall, _("a wall of %g mm does not fit twice into %g mm. Use 0 for a solid rod."),
                     rod->wall_mm, thinner);
  return BC_OK;
}
static const plan_table rod_table = {rod_fields,  COUNT(rod_fields), sizeof(bc_rod),
                                     prepare_rod, derive_rod,        finish_rod};

/* --- tables and shelves -------------------------------------------------------------------------------- */
static const plan_field table_fields[] = {
    {.key = "id", .kind = PLAN_TEXT, .offset = AT(bc_table, id), .what = N_("an id")},
    {.key = "x",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_table, x),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the table's left edge"),
     .remedy = N_("Measure from the wall's left edge; leave it out to centre the table.")},
    {.key = "width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_table, width),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the table's width"),
     .remedy = N_("Measure along the wall.")},
    {.key = "depth",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_table, depth),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the table's depth"),
     .remedy = N_("Measure from the wall outwards.")},
    {.key = "height",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_table, height),
     .high = 500,
     .above = true,
     .unit = "cm",
     .what = N_("the table's height"),
     .remedy = N_("Measure from the floor to the table top.")},
    {.key = "from_wall",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_table, from_wall),
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the table's distance from the wall"),
     .remedy = N_("Measure from the wall to the table's back edge; leave it out for a table at the wall.")},
    {.key = "lent", .kind = PLAN_TRUTH, .offset = AT(bc_table, lent)},
};
static bool prepare_table(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_table *table = target;
  table->id = bc_format("table-%zu", index + 1);
  table->x = NAN; /* centred below */
  table->width = 180;
  table->depth = 75;
  table->height = 74;
  table->lent = true;
  return table->id != NULL;
}
static void derive_table(void *target, const bc_plan *plan) {
  bc_table *table = target;
  if (isnan(table->x)) table->x = (plan->stand.width - table->width) / 2;
}
static const plan_table table_table = {table_fields,  COUNT(table_fields), sizeof(bc_table),
                                       prepare_table, derive_table,        NULL};

static const plan_field shelf_fields[] = {
    {.key = "id", .kind = PLAN_TEXT, .offset = AT(bc_shelf, id), .what = N_("an id")},
    {.key = "x",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, x),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the shelf's left edge"),
     .remedy = N_("Measure from the wall's left edge; leave it out to centre the shelf.")},
    {.key = "y",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, y),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the shelf's height"),
     .remedy = N_("Measure from the floor to the shelf's top.")},
    {.key = "width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, width),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the shelf's width"),
     .remedy = N_("Measure along the wall.")},
    {.key = "depth",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, depth),
     .high = 500,
     .above = true,
     .unit = "cm",
     .what = N_("the shelf's depth"),
     .remedy = N_("Measure from the wall outwards.")},
    {.key = "rated_kg",
     .also = "rated",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, rated_kg),
     .high = RATED_KG,
     .above = true,
     .unit = "kg",
     .what = N_("the shelf's rating"),
     .remedy = N_("Take it from the packaging; leave it out if it is not known.")},
    {.key = "brackets",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_shelf, brackets),
     .low = 1,
     .high = BC_ROD_SUPPORTS,
     .unit = "",
     .what = N_("the number of brackets"),
     .remedy = N_("Count the brackets under the shelf; leave it out for 2.")},
    {.key = "bracket_height",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, bracket_height),
     .high = 500,
     .above = true,
     .unit = "cm",
     .what = N_("the bracket's height"),
     .remedy = N_("Measure from its lowest touch on the wall up to its upper screw.")},
    {.key = "fixing_rated_kg",
     .also = "fixing_rated",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, fixing_rated_kg),
     .high = RATED_KG,
     .above = true,
     .unit = "kg",
     .what = N_("the rating of the upper fixing"),
     .remedy = N_("Take it from the packaging of the screw or plug; leave it out if it is not known.")},
    {.key = "weight_g",
     .also = "weight",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_shelf, weight_g),
     .high = MASS_G,
     .above = true,
     .unit = "g",
     .what = N_("the shelf's own weight"),
     .remedy = N_("Weigh it with its brackets; leave it out if it is not known.")},
    {.key = "lent", .kind = PLAN_TRUTH, .offset = AT(bc_shelf, lent)},
};
static bool prepare_shelf(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_shelf *shelf = target;
  shelf->id = bc_format("shelf-%zu", index + 1);
  shelf->x = NAN;
  shelf->y = 120;
  shelf->width = 80;
  shelf->depth = 20;
  shelf->brackets = 2;
  return shelf->id != NULL;
}
static void derive_shelf(void *target, const bc_plan *plan) {
  bc_shelf *shelf = target;
  if (isnan(shelf->x)) shelf->x = (plan->stand.width - shelf->width) / 2;
}
static const plan_table shelf_table = {shelf_fields,  COUNT(shelf_fields), sizeof(bc_shelf),
                                       prepare_shelf, derive_shelf,        NULL};

/* --- a freestanding frame -------------------------------------------------------------------------------- */
static const plan_field frame_fields[] = {
    {.key = "base_depth",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_frame, base_depth),
     .required = true,
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the depth of the frame's feet"),
     .remedy = N_("Measure a foot from its front end to its back end.")},
    {.key = "front",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_frame, front),
     .low = 0,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("how far the feet reach in front"),
     .remedy = N_("Measure from the cloth forward to the front end of the feet; leave it out for half their depth.")},
    {.key = "weight_g",
     .also = "weight",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_frame, weight_g),
     .high = MASS_G,
     .above = true,
     .unit = "g",
     .what = N_("the frame's own weight"),
     .remedy = N_("Weigh the frame with its feet; leave it out if it is not known.")},
    {.key = "ballast_g",
     .also = "ballast",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_frame, ballast_g),
     .low = 0,
     .high = MASS_G,
     .unit = "g",
     .what = N_("the ballast"),
     .remedy = N_("Give the weight of all sandbags or plates on the feet together.")},
    {.key = "ballast_at",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_frame, ballast_at),
     .low = 0,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the place of the ballast"),
     .remedy =
         N_("Measure from the front end of the feet back to the ballast's middle; leave it out for their middle.")},
};
static bool prepare_frame(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_frame *frame = target;
  frame->front = frame->ballast_at = NAN;
  return true;
}
static void derive_frame(void *target, const bc_plan *plan) {
  (void)plan;
  bc_frame *frame = target;
  if (isnan(frame->front)) frame->front = frame->base_depth / 2;
  if (isnan(frame->ballast_at)) frame->ballast_at = frame->base_depth / 2;
}
static bc_status finish_frame(plan_reader *reader, void *target, const plan_place *place) {
  const bc_frame *frame = target;
  const plan_place front = {.up = place, .key = "front"}, ballast = {.up = place, .key = "ballast_at"};
  if (frame->front > frame->base_depth)
    return plan_fail(reader, &front, _("the feet are %g cm deep, so they cannot reach %g cm in front. Measure again."),
                     frame->base_depth, frame->front);
  if (frame->ballast_at > frame->base_depth)
    return plan_fail(reader, &ballast,
                     _("the feet are %g cm deep, so no ballast lies on them %g cm from their front. Measure again."),
                     frame->base_depth, frame->ballast_at);
  return BC_OK;
}
static const plan_table frame_table = {frame_fields,  COUNT(frame_fields), sizeof(bc_frame),
                                       prepare_frame, derive_frame,        finish_frame};

/* --- pieces -------------------------------------------------------------------------------------------- */
static const plan_field mount_fields[] = {
    {.key = "kind", .kind = PLAN_WORD, .offset = AT(bc_mount, kind), .words = plan_mount_words},
    {.key = "points",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_mount, points),
     .low = 1,
     .high = 64,
     .unit = "",
     .what = N_("the number of hanging points"),
     .remedy = N_("Count the nails, hooks or clips that hold the piece.")},
    {.key = "cord_angle",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_mount, cord_angle),
     .low = 1,
     .high = 90,
     .unit = "degrees",
     .what = N_("the cord's angle"),
     .remedy = N_("90 hangs straight down; the flatter the cord, the harder it pulls. Use 45 or more.")},
    {.key = "cord_angles",
     .kind = PLAN_SPOTS,
     .offset = AT(bc_mount, cord_angles),
     .second = AT(bc_mount, cord_angle_count),
     .low = 1,
     .high = 90,
     .unit = "degrees",
     .what = N_("a leg's angle"),
     .remedy = N_("90 hangs straight down; the flatter the leg, the harder it pulls."),
     .most = 2},
    {.key = "on", .kind = PLAN_TEXT, .offset = AT(bc_mount, on), .what = N_("the carrier")},
    {.key = "rated_kg",
     .also = "rated",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_mount, rated_kg),
     .high = RATED_KG,
     .above = true,
     .unit = "kg",
     .what = N_("the rating of a hanging point"),
     .remedy = N_("Take it from the packaging; leave it out if it is not known.")},
    {.key = "off_centre",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_mount, off_centre),
     .low = -PIECE_CM,
     .high = PIECE_CM,
     .unit = "cm",
     .what = N_("the off-centre distance"),
     .remedy = N_("Balance the piece on a finger and measure how far that is from its middle.")},
};
static bool prepare_mount(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_mount *mount = target;
  mount->kind = BC_MOUNT_NAIL;
  mount->points = 1;
  mount->cord_angle = 60;
  return true;
}
static bc_status finish_mount(plan_reader *reader, void *target, const plan_place *place) {
  const bc_mount *mount = target;
  const plan_place points = {.up = place, .key = "points"};
  if (mount->kind == BC_MOUNT_CORD && mount->points > 2)
    return plan_fail(reader, &points, _("a cord hangs from 1 or 2 points; it is %d. Use hooks for more."),
                     mount->points);
  const plan_place angles = {.up = place, .key = "cord_angles"};
  if (mount->cord_angle_count > 0 &&
      (mount->cord_angle_count != 2 || mount->kind != BC_MOUNT_CORD || mount->points != 2))
    return plan_fail(reader, &angles,
                     _("two angles, left and right, go with a cord on 2 points. Give both angles and two hanging "
                       "points (\"points\": 2)."));
  return BC_OK;
}
static const plan_table mount_table = {mount_fields, COUNT(mount_fields), sizeof(bc_mount), prepare_mount,
                                       NULL,         finish_mount};

static const plan_field piece_fields[] = {
    {.key = "id",
     .kind = PLAN_TEXT,
     .offset = AT(bc_piece, id),
     .required = true,
     .what = N_("an id"),
     .remedy = N_("Give each piece a short name of its own.")},
    {.key = "title",
     .kind = PLAN_TEXT,
     .offset = AT(bc_piece, title),
     .like = 1 + AT(bc_piece, id),
     .what = N_("a title")},
    {.key = "photo", .kind = PLAN_PHOTO, .offset = AT(bc_piece, photo), .second = AT(bc_piece, photo_written)},
    {.key = "width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_piece, width),
     .required = true,
     .high = PIECE_CM,
     .above = true,
     .unit = "cm",
     .what = N_("a width"),
     .remedy = N_("Measure the piece at its widest.")},
    {.key = "height",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_piece, height),
     .required = true,
     .high = PIECE_CM,
     .above = true,
     .unit = "cm",
     .what = N_("a height"),
     .remedy = N_("Measure the piece at its tallest.")},
    {.key = "depth",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_piece, depth),
     .high = PIECE_CM,
     .above = true,
     .unit = "cm",
     .what = N_("a depth"),
     .remedy = N_("Measure the piece from back to front, or leave it out.")},
    {.key = "weight_g",
     .also = "weight",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_piece, weight_g),
     .high = MASS_G,
     .above = true,
     .unit = "g",
     .what = N_("a weight"),
     .remedy = N_("Weigh the piece, in grams, or leave it out.")},
    {.key = "role", .kind = PLAN_WORD, .offset = AT(bc_piece, role), .words = plan_role_words},
    {.key = "group", .kind = PLAN_TEXT, .offset = AT(bc_piece, group), .what = N_("a group")},
    {.key = "material", .kind = PLAN_TEXT, .offset = AT(bc_piece, material), .what = N_("a material")},
    {.key = "technique", .kind = PLAN_TEXT, .offset = AT(bc_piece, technique), .what = N_("a technique")},
    {.key = "function", .kind = PLAN_TEXT, .offset = AT(bc_piece, function), .what = N_("a function")},
    {.key = "count",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_piece, count),
     .low = 1,
     .high = 10000,
     .unit = "",
     .what = N_("the count"),
     .remedy = N_("Say how many alike you bring.")},
    {.key = "mount",
     .kind = PLAN_OBJECT,
     .offset = AT(bc_piece, mount),
     .second = AT(bc_piece, mount.given),
     .table = &mount_table},
    {.key = "at",
     .kind = PLAN_POINT,
     .offset = AT(bc_piece, at),
     .second = AT(bc_piece, placed),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("a place"),
     .remedy =
         N_("Give two numbers, like [150, 160]: from the wall's left edge and from the floor to the piece's centre.")},
    {.key = "pinned", .kind = PLAN_TRUTH, .offset = AT(bc_piece, pinned)},
};
static bool prepare_piece(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_piece *piece = target;
  piece->count = 1;
  return true;
}
static bc_status finish_piece(plan_reader *reader, void *target, const plan_place *place) {
  bc_piece *piece = target;
  piece->unmeasured = !(piece->width > 0) || !(piece->height > 0);
  if (!(piece->width > 0)) piece->width = PLAN_STAND_IN_CM;
  if (!(piece->height > 0)) piece->height = PLAN_STAND_IN_CM;
  const plan_place pinned = {.up = place, .key = "pinned"};
  if (piece->pinned && !piece->placed)
    return plan_fail(
        reader, &pinned,
        _("a pinned piece stays where it is, but this one has no place. Give it a place, or let it move."));
  if (!piece->title) piece->title = bc_copy_text(piece->id);
  return piece->title ? BC_OK : bc_fail_memory(reader->context);
}
static const plan_table piece_table = {piece_fields, COUNT(piece_fields), sizeof(bc_piece), prepare_piece,
                                       NULL,         finish_piece};

/* --- viewers ------------------------------------------------------------------------------------------- */
static const plan_field viewers_fields[] = {
    {.key = "distance",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_viewers, distance),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the viewers' distance"),
     .remedy = N_("Measure from the back wall to where visitors stand.")},
    {.key = "stature",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_viewers, stature),
     .low = 50,
     .high = 250,
     .unit = "cm",
     .what = N_("the figure's height"),
     .remedy = N_("Give the height of the drawn figure, or leave it out for 165 cm.")},
    {.key = "sight_low",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_viewers, sight_low),
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("the sight band's lower edge"),
     .remedy = N_("Give the height of a visitor's waist above the floor.")},
    {.key = "sight_high",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_viewers, sight_high),
     .high = WALL_CM,
     .above = true,
     .unit = "cm",
     .what = N_("the sight band's upper edge"),
     .remedy = N_("Give the height of a visitor's head above the floor.")},
    {.key = "crowd",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_viewers, crowd),
     .high = 6,
     .unit = "",
     .what = N_("the crowd"),
     .remedy = N_("Say how many people stand in the stand, from 0 to 6.")},
    {.key = "figures",
     .kind = PLAN_LIST,
     .offset = AT(bc_viewers, figures),
     .second = AT(bc_viewers, figure_count),
     .table = &plan_figure_table,
     .most = 12},
};
static bool prepare_viewers(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_viewers *viewers = target;
  *viewers = (bc_viewers){.distance = 400,
                          .stature = BC_PLAN_STATURE_CM,
                          .sight_low = BC_PLAN_SIGHT_LOW_CM,
                          .sight_high = BC_PLAN_SIGHT_HIGH_CM};
  return true;
}
static bc_status finish_viewers(plan_reader *reader, void *target, const plan_place *place) {
  const bc_viewers *viewers = target;
  const plan_place low = {.up = place, .key = "sight_low"};
  if (viewers->sight_low >= viewers->sight_high)
    return plan_fail(reader, &low,
                     _("the sight band's lower edge, %g cm, must be below its upper edge, %g cm. Swap them."),
                     viewers->sight_low, viewers->sight_high);
  return BC_OK;
}
static const plan_table viewers_table = {viewers_fields, COUNT(viewers_fields), sizeof(bc_viewers), prepare_viewers,
                                         NULL,           finish_viewers};

/* --- packing ------------------------------------------------------------------------------------------- */
static const plan_field packing_fields[] = {
    {.key = "hem",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_packing_wishes, hem),
     .low = 0,
     .high = 50,
     .unit = "cm",
     .what = N_("the hem"),
     .remedy = N_("Give the cloth that one hem takes: twice its width for a double turn.")},
    {.key = "sleeve",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_packing_wishes, sleeve),
     .low = 0,
     .high = 200,
     .unit = "cm",
     .what = N_("the sleeve"),
     .remedy = N_("Give the cloth that the sleeve takes, or leave it out to have it from the rod.")},
    {.key = "shrinkage",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_packing_wishes, shrinkage),
     .low = 0,
     .high = 30,
     .unit = "%",
     .what = N_("the shrinkage"),
     .remedy = N_("Give how much the cloth shrinks when washed, in per cent; 0 for washed cloth.")},
    {.key = "bolt_width",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_packing_wishes, bolt_width),
     .low = 0,
     .high = 1000,
     .above = true,
     .unit = "cm",
     .what = N_("the width of the bolt"),
     .remedy = N_("Give the width of the cloth as it is sold.")},
    {.key = "bag_kg",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_packing_wishes, bag_kg),
     .low = 0,
     .high = 1000,
     .above = true,
     .unit = "kg",
     .what = N_("the weight of a bag"),
     .remedy = N_("Give the most that one packed bag may weigh.")},
    {.key = "padding",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_packing_wishes, padding),
     .low = 0,
     .high = 500,
     .unit = "%",
     .what = N_("the padding"),
     .remedy = N_("Give wrapping and boxes in per cent of the piece.")},
    {.key = "spares",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_packing_wishes, spares),
     .low = 0,
     .high = 500,
     .unit = "%",
     .what = N_("the share of spares"),
     .remedy = N_("Give how many more nails and clips to bring, in per cent.")},
};
static bool prepare_packing(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_packing_wishes *packing = target;
  *packing = (bc_packing_wishes){
      .hem = 4, .sleeve = NAN, .shrinkage = 3, .bolt_width = 150, .bag_kg = 23, .padding = 25, .spares = 10};
  return true;
}
/* The sleeve lies flat half the rod's girth wide, a quarter more so that the rod slides in, and its edge
 * is turned under by 1.5 cm: common practice, no source. */
static void derive_packing(void *target, const bc_plan *plan) {
  bc_packing_wishes *packing = target;
  if (!isnan(packing->sleeve)) return;
  const bc_rod *rod = bc_plan_cloth_rod(plan);
  packing->sleeve = 0;
  if (!rod) return;
  const double girth_mm = rod->breadth_mm > 0 ? 2 * (rod->outer_mm + rod->breadth_mm) : M_PI * rod->outer_mm;
  packing->sleeve = round((girth_mm / 20 * 1.25 + 1.5) * 2) / 2; /* to half a centimetre, as a tape is read */
}
static const plan_table packing_table = {packing_fields,  COUNT(packing_fields), sizeof(bc_packing_wishes),
                                         prepare_packing, derive_packing,        NULL};

/* --- the whole ----------------------------------------------------------------------------------------- */
#define LIST(word, type, member, counter, of, limit)                                                                   \
  {                                                                                                                    \
    .key = word, .kind = PLAN_LIST, .offset = AT(bc_plan, member), .second = AT(bc_plan, counter), .table = &of,       \
    .most = limit                                                                                                      \
  }

static const char *const unit_words[] = {"metric", "imperial", NULL};

/* Units come before all numbers that follow them, the stand all that has defaults from it. */
static const plan_field root_fields[] = {
    {.key = "backcloth",
     .kind = PLAN_WHOLE,
     .offset = AT(bc_plan, version),
     .required = true,
     .low = 1,
     .high = 1,
     .unit = "",
     .what = N_("the version of the plan file"),
     .remedy = N_("This program reads version 1.")},
    {.key = "title",
     .kind = PLAN_TEXT,
     .offset = AT(bc_plan, title),
     .required = true,
     .what = N_("a title"),
     .remedy = N_("Say whose wall it is, and where.")},
    {.key = "units", .kind = PLAN_WORD, .offset = AT(bc_plan, units), .words = unit_words},
    {.key = "stand", .kind = PLAN_OBJECT, .offset = AT(bc_plan, stand), .required = true, .table = &stand_table},
    {.key = "cloth",
     .kind = PLAN_OBJECT,
     .offset = AT(bc_plan, cloth),
     .second = AT(bc_plan, cloth.given),
     .table = &cloth_table},
    {.key = "frame",
     .kind = PLAN_OBJECT,
     .offset = AT(bc_plan, frame),
     .second = AT(bc_plan, frame.given),
     .table = &frame_table},
    LIST("rods", bc_rod, rods, rod_count, rod_table, 64),
    LIST("tables", bc_table, tables, table_count, table_table, 64),
    LIST("shelves", bc_shelf, shelves, shelf_count, shelf_table, 256),
    LIST("zones", bc_zone, zones, zone_count, plan_zone_table, 64),
    LIST("posts", bc_post, posts, post_count, plan_post_table, 64),
    LIST("grids", bc_grid, grids, grid_count, plan_grid_table, 64),
    LIST("risers", bc_riser, risers, riser_count, plan_riser_table, 256),
    LIST("chairs", bc_chair, chairs, chair_count, plan_chair_table, 64),
    LIST("pieces", bc_piece, pieces, piece_count, piece_table, 0),
    LIST("sold", bc_sale, sales, sale_count, plan_sale_table, 2000),
    {.key = "gap",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_plan, gap),
     .high = 500,
     .unit = "cm",
     .what = N_("the gap"),
     .remedy = N_("Say how far apart pieces hang at least, or leave it out for 8 cm.")},
    {.key = "design_factor",
     .kind = PLAN_NUMBER,
     .offset = AT(bc_plan, design_factor),
     .low = 1,
     .high = 50,
     .unit = "",
     .what = N_("the design factor"),
     .remedy = N_("5 is common practice: each point is rated for five times its load.")},
    {.key = "viewers", .kind = PLAN_OBJECT, .offset = AT(bc_plan, viewers), .table = &viewers_table},
    {.key = "hanging", .kind = PLAN_OBJECT, .offset = AT(bc_plan, hanging), .table = &plan_hanging_table},
    {.key = "packing", .kind = PLAN_OBJECT, .offset = AT(bc_plan, packing), .table = &packing_table},
};
static bool prepare_root(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_plan *whole = target;
  whole->gap = 8;
  whole->design_factor = 5;
  return true;
}
/* A wall without a cloth still has the extent a cloth would have. */
static void derive_root(void *target, const bc_plan *plan) {
  bc_plan *whole = target;
  if (!whole->cloth.given) derive_cloth(&whole->cloth, plan);
  derive_packing(&whole->packing, plan);
  plan_hanging_table.derive(&whole->hanging, plan);
}
const plan_table plan_root = {root_fields, COUNT(root_fields), sizeof(bc_plan), prepare_root, derive_root, NULL};

bool bc_mount_hangs(bc_mount_kind kind) {
  return kind < BC_MOUNT_SHELF;
}

const char *bc_mount_word(bc_mount_kind kind) {
  return plan_mount_words[kind];
}

const char *bc_mount_text(bc_mount_kind kind) {
  static const char *const texts[] = {N_("nail"), N_("pin"),          N_("hook"),         N_("cord"),
                                      N_("clip"), N_("on the shelf"), N_("on the table"), N_("on the floor")};
  return _(texts[kind]);
}
