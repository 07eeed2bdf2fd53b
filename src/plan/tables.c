/* SPDX-License-Identifier: MIT */
/* The keys of the plan file, one table for each group: kind, range, default, remedy. Reading, writing and the
 * suggestion of a nearest key all follow these tables; docs/plan.schema.json says the same. Here the whole plan, who
 * looks and how it is packed; tables_*.c have the rest. */
#include "tables.h"

#include <math.h>

/* --- viewers ------------------------------------------------------------------------------------------- */
static const plan_field viewers_fields[] = {
    SIZE("distance", bc_viewers, distance, N_("the viewers' distance"),
         N_("Measure from the back wall to where visitors stand.")),
    WITHIN("stature", bc_viewers, stature, 50, 250, "cm", N_("the figure's height"),
           N_("Give the height of the drawn figure, or leave it out for 165 cm.")),
    DISTANCE("sight_low", bc_viewers, sight_low, N_("the sight band's lower edge"),
             N_("Give the height of a visitor's waist above the floor.")),
    SIZE("sight_high", bc_viewers, sight_high, N_("the sight band's upper edge"),
         N_("Give the height of a visitor's head above the floor.")),
    COUNTED("crowd", bc_viewers, crowd, 0, 6, "", N_("the crowd"),
            N_("Say how many people stand in the stand, from 0 to 6.")),
    LIST("figures", bc_viewers, figures, figure_count, plan_figure_table, 12),
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
static TABLE(viewers_table, bc_viewers, viewers_fields, prepare_viewers, NULL, finish_viewers);

/* --- packing ------------------------------------------------------------------------------------------- */
static const plan_field packing_fields[] = {
    FROM_0("hem", bc_packing_wishes, hem, 50, "cm", N_("the hem"),
           N_("Say how much cloth one hem takes: twice its width if it is folded twice.")),
    FROM_0("sleeve", bc_packing_wishes, sleeve, 200, "cm", N_("the sleeve"),
           N_("Say how much cloth the sleeve takes, or leave it out: it then follows from the rod.")),
    FROM_0("shrinkage", bc_packing_wishes, shrinkage, 30, "%", N_("the shrinkage"),
           N_("Say how much the cloth shrinks when it is washed, in per cent; 0 for washed cloth.")),
    ABOVE_0("bolt_width", bc_packing_wishes, bolt_width, 1000, "cm", N_("the width of the bolt"),
            N_("Give the width of the cloth as it is sold.")),
    ABOVE_0("bag_kg", bc_packing_wishes, bag_kg, 1000, "kg", N_("the weight of a bag"),
            N_("Give the most that one packed bag may weigh.")),
    {.key = "bag_size",
     .kind = PLAN_SPOTS,
     .offset = AT(bc_packing_wishes, bag_size),
     .second = AT(bc_packing_wishes, bag_side_count),
     .low = 1,
     .high = 500,
     .unit = "cm",
     .what = N_("a side of the bag"),
     .remedy = N_("Measure the bag inside: three sides, like [75, 50, 30]."),
     .most = 3,
     .least = 3,
     .few = N_("a bag has three sides. Give all three, like [75, 50, 30].")},
    FROM_0("bag_own_kg", bc_packing_wishes, bag_own_kg, 100, "kg", N_("the weight of an empty bag"),
           N_("Weigh a bag that is empty.")),
    FROM_0("wrap", bc_packing_wishes, wrap, 50, "cm", N_("the wrapping"),
           N_("Measure how thick the wrapping is on each side of a piece.")),
    FROM_0("padding", bc_packing_wishes, padding, 500, "%", N_("the padding"),
           N_("Say how much wrapping and boxes weigh, in per cent of the piece.")),
    COUNTED("spares", bc_packing_wishes, spares, 0, 500, "%", N_("the share of spares"),
            N_("Say how many more nails and clips to bring, in per cent.")),
};
static bool prepare_packing(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_packing_wishes *packing = target;
  *packing = (bc_packing_wishes){
      .hem = 4, .sleeve = NAN, .shrinkage = 3, .bolt_width = 150, .wrap = 2, .padding = 25, .spares = 10};
  return true;
}
#define USUAL_BAG_KG 23 /* a usual flight limit, common practice */
/* The sleeve lies flat half the rod's girth wide, a quarter more so that the rod slides in, and its edge
 * is turned under by 1.5 cm: common practice, no source. */
static void derive_packing(void *target, const bc_plan *plan) {
  bc_packing_wishes *packing = target;
  if (!(packing->bag_kg > 0)) {
    packing->bag_kg = USUAL_BAG_KG;
    packing->bag_kg_usual = true;
  }
  if (!isnan(packing->sleeve)) return;
  const bc_rod *rod = bc_plan_cloth_rod(plan);
  packing->sleeve = 0;
  if (!rod) return;
  const double girth_mm = rod->breadth_mm > 0 ? 2 * (rod->outer_mm + rod->breadth_mm) : M_PI * rod->outer_mm;
  packing->sleeve = round((girth_mm / 20 * 1.25 + 1.5) * 2) / 2; /* to half a centimetre, as a tape is read */
}
static bc_status finish_packing(plan_reader *reader, void *target, const plan_place *place) {
  const bc_packing_wishes *packing = target;
  const plan_place own = {.up = place, .key = "bag_own_kg"};
  if (packing->bag_own_kg >= packing->bag_kg)
    return plan_fail(reader, &own, _("an empty bag weighs %g kg, as much as a packed one may weigh. Weigh it again."),
                     packing->bag_own_kg);
  return BC_OK;
}
static TABLE(packing_table, bc_packing_wishes, packing_fields, prepare_packing, derive_packing, finish_packing);

/* --- the title block of drawings ------------------------------------------------------------------------ */
static const plan_field drawing_fields[] = {
    TEXT("author", bc_title_block, author, N_("who drew it")),
    TEXT("date", bc_title_block, date, N_("the date of the drawing")),
    TEXT("number", bc_title_block, number, N_("the number of the drawing")),
    TEXT("revision", bc_title_block, revision, N_("the revision of the drawing")),
};
static bool prepare_drawing(void *target, const bc_plan *plan, size_t index) {
  (void)target;
  (void)plan;
  (void)index;
  return true;
}
static TABLE(drawing_table, bc_title_block, drawing_fields, prepare_drawing, NULL, NULL);

/* --- the whole ----------------------------------------------------------------------------------------- */
static const char *const unit_words[] = {"metric", "imperial", NULL};

/* Units come before all numbers that follow them, the stand all that has defaults from it. */
static const plan_field root_fields[] = {
    COUNTED("backcloth", bc_plan, version, 1, 1, "", N_("the version of the plan file"),
            N_("This program reads version 1."), .required = true),
    TEXT("title", bc_plan, title, N_("a title"), .required = true, .remedy = N_("Say whose wall it is, and where.")),
    WORD("units", bc_plan, units, unit_words),
    GROUP("stand", bc_plan, stand, plan_stand_table, .required = true),
    GIVEN("cloth", bc_plan, cloth, plan_cloth_table),
    GIVEN("frame", bc_plan, frame, plan_frame_table),
    LIST("rods", bc_plan, rods, rod_count, plan_rod_table, 64),
    LIST("tables", bc_plan, tables, table_count, plan_table_table, 64),
    LIST("shelves", bc_plan, shelves, shelf_count, plan_shelf_table, 256),
    LIST("zones", bc_plan, zones, zone_count, plan_zone_table, 64),
    LIST("posts", bc_plan, posts, post_count, plan_post_table, 64),
    LIST("grids", bc_plan, grids, grid_count, plan_grid_table, 64),
    LIST("risers", bc_plan, risers, riser_count, plan_riser_table, 256),
    LIST("chairs", bc_plan, chairs, chair_count, plan_chair_table, 64),
    LIST("pieces", bc_plan, pieces, piece_count, plan_piece_table, 0),
    LIST("sold", bc_plan, sales, sale_count, plan_sale_table, 2000),
    FROM_0("gap", bc_plan, gap, 500, "cm", N_("the gap"),
           N_("Say how far apart pieces hang at least, or leave it out for 8 cm.")),
    WITHIN("design_factor", bc_plan, design_factor, 1, 50, "", N_("the design factor"),
           N_("5 is common practice: each point is rated for five times its load.")),
    GROUP("viewers", bc_plan, viewers, viewers_table),
    GROUP("hanging", bc_plan, hanging, plan_hanging_table),
    GROUP("packing", bc_plan, packing, packing_table),
    GROUP("drawing", bc_plan, drawing, drawing_table),
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
  if (!whole->cloth.given) plan_cloth_table.derive(&whole->cloth, plan);
  derive_packing(&whole->packing, plan);
  plan_hanging_table.derive(&whole->hanging, plan);
}
TABLE(plan_root, bc_plan, root_fields, prepare_root, derive_root, NULL);
