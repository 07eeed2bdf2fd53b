/* SPDX-License-Identifier: MIT */
/* The keys of what carries pieces: rods, tables, shelves, a frame. */
#include "tables.h"

#include <math.h>

/* --- rods -------------------------------------------------------------------------------------------- */
static const char *const grade_words[] = {"knotty", "clear", NULL};

static const plan_field rod_fields[] = {
    ID(bc_rod),
    PLACE("x", bc_rod, x, N_("the rod's left end"), N_("Measure from the wall's left edge.")),
    SIZE("y", bc_rod, y, N_("the rod's height"), N_("Measure from the floor to the rod.")),
    SIZE("length", bc_rod, length, N_("the rod's length"), N_("Measure the rod from end to end.")),
    TEXT("material", bc_rod, material, N_("the rod's material")),
    ABOVE_0("outer_mm", bc_rod, outer_mm, 500, "mm", N_("the rod's thickness"),
            N_("Measure across the outside of the rod, in millimetres.")),
    FROM_0("wall_mm", bc_rod, wall_mm, 250, "mm", N_("the tube's wall"),
           N_("Measure how thick the tube's wall is; 0 for a solid rod.")),
    FROM_0("breadth_mm", bc_rod, breadth_mm, 500, "mm", N_("the batten's breadth"),
           N_("Measure from the wall outwards; leave it out for a round rod.")),
    {.key = "supports",
     .kind = PLAN_SPOTS,
     .offset = AT(bc_rod, supports),
     .second = AT(bc_rod, support_count),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("a support"),
     .most = BC_ROD_SUPPORTS,
     .least = 2,
     .few = N_("a rod needs at least two supports. Give the place of each, like [10, 290]."),
     .remedy = N_("Measure each from the wall's left edge.")},
    RATED("rated_kg", "rated", bc_rod, rated_kg, N_("the rating of a support"),
          N_("Take it from the packaging; leave it out if it is not known.")),
    WORD("grade", bc_rod, grade, grade_words),
    TRUTH("damp", bc_rod, damp),
    TRUTH("lent", bc_rod, lent),
};
static bool prepare_rod(void *target, const bc_plan *plan, size_t index) {
  bc_rod *rod = target;
  rod->id = bc_format("rod-%zu", index + 1);
  rod->length = plan->stand.width;
  rod->y = plan->stand.wall_height;
  return rod->id != NULL;
}
#define DRAWN_MM 25 /* a rod whose thickness nobody gave is drawn so thick; nothing is judged by it */
/* Default supports: a tenth of the length in from either end. */
static void derive_rod(void *target, const bc_plan *plan) {
  (void)plan;
  bc_rod *rod = target;
  rod->outer_given = rod->outer_mm > 0;
  if (!rod->outer_given) rod->outer_mm = DRAWN_MM;
  rod->supports_given = rod->support_count > 0;
  if (rod->supports_given) return;
  rod->supports[0] = rod->x + rod->length / 10;
  rod->supports[1] = rod->x + rod->length - rod->length / 10;
  rod->support_count = 2;
}
static bc_status finish_rod(plan_reader *reader, void *target, const plan_place *place) {
  bc_rod *rod = target;
  const plan_place supports = {.up = place, .key = "supports"}, wall = {.up = place, .key = "wall_mm"};
  for (size_t i = 0; rod->supports_given && i < rod->support_count; i++) {
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
TABLE(plan_rod_table, bc_rod, rod_fields, prepare_rod, derive_rod, finish_rod);

/* --- tables and shelves -------------------------------------------------------------------------------- */
static const plan_field table_fields[] = {
    ID(bc_table),
    PLACE("x", bc_table, x, N_("the table's left edge"),
          N_("Measure from the wall's left edge; leave it out to centre the table.")),
    SIZE("width", bc_table, width, N_("the table's width"), N_("Measure along the wall.")),
    SIZE("depth", bc_table, depth, N_("the table's depth"), N_("Measure from the wall outwards.")),
    ABOVE_0("height", bc_table, height, 500, "cm", N_("the table's height"),
            N_("Measure from the floor to the table top.")),
    DISTANCE("from_wall", bc_table, from_wall, N_("the table's distance from the wall"),
             N_("Measure from the wall to the table's back edge; leave it out for a table at the wall.")),
    RATED("rated_kg", "rated", bc_table, rated_kg, N_("what the table may carry"),
          N_("Ask who lends it, or look under the table; leave it out if it is not known.")),
    TRUTH("lent", bc_table, lent),
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
TABLE(plan_table_table, bc_table, table_fields, prepare_table, derive_table, NULL);

static const plan_field shelf_fields[] = {
    ID(bc_shelf),
    PLACE("x", bc_shelf, x, N_("the shelf's left edge"),
          N_("Measure from the wall's left edge; leave it out to centre the shelf.")),
    SIZE("y", bc_shelf, y, N_("the shelf's height"), N_("Measure from the floor to the shelf's top.")),
    SIZE("width", bc_shelf, width, N_("the shelf's width"), N_("Measure along the wall.")),
    ABOVE_0("depth", bc_shelf, depth, 500, "cm", N_("the shelf's depth"), N_("Measure from the wall outwards.")),
    RATED("rated_kg", "rated", bc_shelf, rated_kg, N_("the shelf's rating"),
          N_("Take it from the packaging; leave it out if it is not known.")),
    COUNTED("brackets", bc_shelf, brackets, 1, BC_ROD_SUPPORTS, "", N_("the number of brackets"),
            N_("Count the brackets under the shelf; leave it out for 2.")),
    ABOVE_0("bracket_height", bc_shelf, bracket_height, 500, "cm", N_("the bracket's height"),
            N_("Measure from the lowest point where it touches the wall up to its upper screw.")),
    RATED("fixing_rated_kg", "fixing_rated", bc_shelf, fixing_rated_kg, N_("the rating of the upper fixing"),
          N_("Take it from the packaging of the screw or plug; leave it out if it is not known.")),
    WEIGHT("weight_g", "weight", bc_shelf, weight_g, N_("the shelf's own weight"),
           N_("Weigh it with its brackets; leave it out if it is not known.")),
    TRUTH("lent", bc_shelf, lent),
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
TABLE(plan_shelf_table, bc_shelf, shelf_fields, prepare_shelf, derive_shelf, NULL);

/* --- a freestanding frame -------------------------------------------------------------------------------- */
static const plan_field frame_fields[] = {
    SIZE("base_depth", bc_frame, base_depth, N_("the depth of the frame's feet"),
         N_("Measure a foot from its front end to its back end."), .required = true),
    DISTANCE("front", bc_frame, front, N_("how far the feet reach in front"),
             N_("Measure from the cloth forward to the front end of the feet; leave it out for half their depth.")),
    WEIGHT("weight_g", "weight", bc_frame, weight_g, N_("the frame's own weight"),
           N_("Weigh the frame with its feet; leave it out if it is not known.")),
    FROM_0("ballast_g", bc_frame, ballast_g, MASS_G, "g", N_("the ballast"),
           N_("Give the weight of all sandbags or plates on the feet together."), .also = "ballast"),
    RATED("tie_rated_kg", "tie_rated", bc_frame, tie_rated_kg, N_("the rating of the ties"),
          N_("Say how much all ties from the frame's top to the building hold together; leave it out if there are "
             "none.")),
    DISTANCE("ballast_at", bc_frame, ballast_at, N_("the place of the ballast"),
             N_("Measure from the front end of the feet back to the ballast's middle; leave it out for their middle.")),
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
TABLE(plan_frame_table, bc_frame, frame_fields, prepare_frame, derive_frame, finish_frame);
