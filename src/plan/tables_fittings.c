/* SPDX-License-Identifier: MIT */
/* The keys of what a wall has beside cloth, rods, tables and pieces: zones, posts, grid panels, risers, chairs,
 * and of the people who look and hang. The same kind of tables as tables.c. */
#include "tables.h"

#include <math.h>

/* --- zones and posts ----------------------------------------------------------------------------------- */
static const char *const zone_words[] = {"no-fix", "keep-clear", NULL};

static const plan_field zone_fields[] = {
    ID(bc_zone),
    WORD("kind", bc_zone, kind, zone_words),
    PLACE("x", bc_zone, x, N_("the zone's left edge"), N_("Measure from the wall's left edge.")),
    PLACE("y", bc_zone, y, N_("the zone's lower edge"), N_("Measure from the floor.")),
    SIZE("width", bc_zone, width, N_("the zone's width"),
         N_("Measure the part of the wall that must stay free, from side to side."), .required = true),
    SIZE("height", bc_zone, height, N_("the zone's height"),
         N_("Measure the part of the wall that must stay free, from bottom to top."), .required = true),
    REASON(bc_zone),
};
static bool prepare_zone(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_zone *zone = target;
  zone->id = bc_format("zone-%zu", index + 1);
  return zone->id != NULL;
}
TABLE(plan_zone_table, bc_zone, zone_fields, prepare_zone, NULL, NULL);

static const plan_field post_fields[] = {
    ID(bc_post),
    PLACE("x", bc_post, x, N_("the post's left edge"), N_("Measure from the wall's left edge."), .required = true),
    SIZE("width", bc_post, width, N_("the post's width"), N_("Measure along the wall.")),
    SIZE("depth", bc_post, depth, N_("the post's depth"), N_("Measure how far it stands out from the wall.")),
    DISTANCE("y", bc_post, y, N_("the post's lower end"),
             N_("Measure from the floor; leave it out if it stands there.")),
    SIZE("height", bc_post, height, N_("the post's height"),
         N_("Measure the post from end to end, or leave it out for one to the wall's top.")),
    TRUTH("hang", bc_post, hang),
    REASON(bc_post),
};
static bool prepare_post(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_post *post = target;
  post->id = bc_format("post-%zu", index + 1);
  post->width = 10;
  post->depth = 10;
  return post->id != NULL;
}
static void derive_post(void *target, const bc_plan *plan) {
  bc_post *post = target;
  if (!(post->height > 0)) post->height = fmax(plan->stand.wall_height - post->y, 1);
}
TABLE(plan_post_table, bc_post, post_fields, prepare_post, derive_post, NULL);

/* --- grid panels --------------------------------------------------------------------------------------- */
static const plan_field grid_fields[] = {
    ID(bc_grid),
    PLACE("x", bc_grid, x, N_("the panel's left edge"),
          N_("Measure from the wall's left edge; leave it out to centre the panel.")),
    DISTANCE("y", bc_grid, y, N_("the panel's lower edge"), N_("Measure from the floor.")),
    SIZE("width", bc_grid, width, N_("the panel's width"), N_("Measure the panel from side to side.")),
    SIZE("height", bc_grid, height, N_("the panel's height"), N_("Measure the panel from bottom to top.")),
    WITHIN("mesh", bc_grid, mesh, 1, 100, "cm", N_("the mesh"),
           N_("Measure from the middle of one wire to the middle of the next.")),
    RATED("rated_kg", "rated", bc_grid, rated_kg, N_("the panel's rating"),
          N_("Take it from the packaging; leave it out if it is not known.")),
    WEIGHT("weight_g", "weight", bc_grid, weight_g, N_("the panel's weight"),
           N_("Weigh the panel; leave it out if it is not known.")),
    TRUTH("lent", bc_grid, lent),
};
/* Panels are sold at about 2 ft x 6 ft with wires every 3 in: common practice, no source. */
static bool prepare_grid(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_grid *grid = target;
  grid->id = bc_format("grid-%zu", index + 1);
  grid->x = NAN;
  grid->y = 30;
  grid->width = 60;
  grid->height = 180;
  grid->mesh = 7.5;
  return grid->id != NULL;
}
static void derive_grid(void *target, const bc_plan *plan) {
  bc_grid *grid = target;
  if (isnan(grid->x)) grid->x = (plan->stand.width - grid->width) / 2;
}
static bc_status finish_grid(plan_reader *reader, void *target, const plan_place *place) {
  const bc_grid *grid = target;
  const plan_place mesh = {.up = place, .key = "mesh"};
  if (grid->mesh > grid->width || grid->mesh > grid->height)
    return plan_fail(reader, &mesh,
                     _("a mesh of %g cm is wider than the panel. Measure from the middle of one wire to the next."),
                     grid->mesh);
  return BC_OK;
}
TABLE(plan_grid_table, bc_grid, grid_fields, prepare_grid, derive_grid, finish_grid);

/* --- risers and chairs --------------------------------------------------------------------------------- */
static const plan_field riser_fields[] = {
    ID(bc_riser),
    TEXT("on", bc_riser, on, N_("the table")),
    PLACE("x", bc_riser, x, N_("the riser's left edge"),
          N_("Measure from the wall's left edge; leave it out to centre it on its table.")),
    SIZE("width", bc_riser, width, N_("the riser's width"), N_("Measure along the wall.")),
    SIZE("depth", bc_riser, depth, N_("the riser's depth"), N_("Measure from the wall outwards.")),
    SIZE("height", bc_riser, height, N_("the riser's height"), N_("Measure from the table top to the riser's top.")),
    TRUTH("lent", bc_riser, lent),
};
static bool prepare_riser(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_riser *riser = target;
  riser->id = bc_format("riser-%zu", index + 1);
  riser->x = NAN;
  riser->width = 30;
  riser->depth = 20;
  riser->height = 15;
  return riser->id != NULL;
}
static void derive_riser(void *target, const bc_plan *plan) {
  bc_riser *riser = target;
  if (!isnan(riser->x)) return;
  const bc_table *table = bc_plan_riser_table(plan, riser);
  riser->x = (table ? table->x + table->width / 2 : plan->stand.width / 2) - riser->width / 2;
}
TABLE(plan_riser_table, bc_riser, riser_fields, prepare_riser, derive_riser, NULL);

static const plan_field chair_fields[] = {
    ID(bc_chair),
    PLACE("x", bc_chair, x, N_("the chair's left edge"),
          N_("Measure from the wall's left edge; leave it out to centre the chair.")),
    SIZE("width", bc_chair, width, N_("the chair's width"), N_("Measure along the wall.")),
    SIZE("depth", bc_chair, depth, N_("the chair's depth"), N_("Measure from the wall outwards.")),
    SIZE("height", bc_chair, height, N_("the chair's height"), N_("Measure from the floor to the top of its back.")),
    SIZE("seat", bc_chair, seat, N_("the height of the seat"), N_("Measure from the floor to the seat.")),
    DISTANCE("from_wall", bc_chair, from_wall, N_("the chair's distance from the wall"),
             N_("Measure from the wall to the chair.")),
    TRUTH("lent", bc_chair, lent),
};
/* A usual stacking chair: common practice, no source. 90 cm lets a person pass behind it. */
static bool prepare_chair(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  bc_chair *chair = target;
  chair->id = bc_format("chair-%zu", index + 1);
  chair->x = NAN;
  chair->width = 45;
  chair->depth = 45;
  chair->height = 85;
  chair->seat = 45;
  chair->from_wall = 90;
  chair->lent = true;
  return chair->id != NULL;
}
static void derive_chair(void *target, const bc_plan *plan) {
  bc_chair *chair = target;
  if (isnan(chair->x)) chair->x = (plan->stand.width - chair->width) / 2;
}
static bc_status finish_chair(plan_reader *reader, void *target, const plan_place *place) {
  const bc_chair *chair = target;
  const plan_place seat = {.up = place, .key = "seat"};
  if (chair->seat > chair->height)
    return plan_fail(reader, &seat, _("the seat, at %g cm, is higher than the chair's back, %g cm. Swap them."),
                     chair->seat, chair->height);
  return BC_OK;
}
TABLE(plan_chair_table, bc_chair, chair_fields, prepare_chair, derive_chair, finish_chair);

/* --- what was sold ----------------------------------------------------------------------------------- */
static const plan_field sale_fields[] = {
    TEXT("id", bc_sale, id, N_("an id"), .required = true, .remedy = N_("Name the piece that was sold.")),
    TEXT("title", bc_sale, title, N_("a title")),
    COUNTED("count", bc_sale, count, 1, 1000000, "", N_("how many were sold"), N_("Count from 1.")),
};
static bool prepare_sale(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  ((bc_sale *)target)->count = 1;
  return true;
}
static bc_status finish_sale(plan_reader *reader, void *target, const plan_place *place) {
  (void)place;
  bc_sale *sale = target;
  if (!sale->title) sale->title = bc_copy_text(sale->id);
  return sale->title ? BC_OK : bc_fail_memory(reader->context);
}
TABLE(plan_sale_table, bc_sale, sale_fields, prepare_sale, NULL, finish_sale);

/* --- people -------------------------------------------------------------------------------------------- */
/* Seated in a wheelchair: eyes at 109.2 to 129.5 cm (1991 ADA Standards, A4.2.4), the middle of it; the top of the
 * head 11.4 cm above the eyes (ANSUR II, men: sitting height less sitting eye height, medians). */
#define SEATED_EYE_CM 119
#define HEAD_ABOVE_EYES_CM 12 /* rounded up */
#define STATURE_CM 165

static const plan_field figure_fields[] = {
    TRUTH("wheelchair", bc_figure, wheelchair),
    WITHIN("stature", bc_figure, stature, 50, 250, "cm", N_("the figure's height"),
           N_("Give the height of the top of the head above the floor.")),
    WITHIN("eye", bc_figure, eye, 40, 250, "cm", N_("the figure's eye height"),
           N_("Give the height of the eyes above the floor, or leave it out.")),
    TEXT("label", bc_figure, label, N_("a label")),
};
static bool prepare_figure(void *target, const bc_plan *plan, size_t index) {
  (void)target;
  (void)plan;
  (void)index;
  return true;
}
static void derive_figure(void *target, const bc_plan *plan) {
  (void)plan;
  bc_figure *figure = target;
  const bool eye = figure->eye > 0;
  if (!(figure->stature > 0) && eye && figure->wheelchair) figure->stature = figure->eye + HEAD_ABOVE_EYES_CM;
  if (!(figure->stature > 0))
    figure->stature = figure->wheelchair ? SEATED_EYE_CM + HEAD_ABOVE_EYES_CM
                      : eye              ? round(figure->eye / BC_PLAN_EYE_OF_STATURE)
                                         : STATURE_CM;
  if (!eye)
    figure->eye =
        figure->wheelchair ? figure->stature - HEAD_ABOVE_EYES_CM : round(figure->stature * BC_PLAN_EYE_OF_STATURE);
}
static bc_status finish_figure(plan_reader *reader, void *target, const plan_place *place) {
  const bc_figure *figure = target;
  const plan_place eye = {.up = place, .key = "eye"};
  if (figure->eye >= figure->stature)
    return plan_fail(reader, &eye, _("the eyes, at %g cm, must be below the top of the head, %g cm. Correct one."),
                     figure->eye, figure->stature);
  return BC_OK;
}
TABLE(plan_figure_table, bc_figure, figure_fields, prepare_figure, derive_figure, finish_figure);

const bc_figure *bc_plan_figures(const bc_plan *plan, size_t *count) {
  static const bc_figure usual[] = {
      {.stature = 152.5, .eye = 142},
      {.stature = 187, .eye = 175},
      {.stature = SEATED_EYE_CM + HEAD_ABOVE_EYES_CM, .eye = SEATED_EYE_CM, .wheelchair = true}};
  *count = plan->viewers.figure_count > 0 ? plan->viewers.figure_count : COUNT(usual);
  return plan->viewers.figure_count > 0 ? plan->viewers.figures : usual;
}

/* Overhead reach is taken as 1.2 x stature: common practice, no source. 152.5 cm is the 5th percentile stature of
 * women in ANSUR II (2012), so that nearly everybody reaches; 46 cm is the height of two treads, common practice. */
static const plan_field hanging_fields[] = {
    WITHIN("stature", bc_hanging, stature, 50, 250, "cm", N_("the height of the person hanging"),
           N_("Measure the person who hangs the wall, or leave it out.")),
    WITHIN("reach", bc_hanging, reach, 40, 400, "cm", N_("the reach"),
           N_("Measure from the floor to the highest nail the person can set without a step.")),
    FROM_0("step", bc_hanging, step, 300, "cm", N_("the step's height"),
           N_("Measure the tread to stand on, or give 0 for no step.")),
};
static bool prepare_hanging(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_hanging *hanging = target;
  *hanging = (bc_hanging){.stature = 152.5, .step = 46};
  return true;
}
static void derive_hanging(void *target, const bc_plan *plan) {
  (void)plan;
  bc_hanging *hanging = target;
  if (!(hanging->reach > 0)) hanging->reach = round(1.2 * hanging->stature);
}
TABLE(plan_hanging_table, bc_hanging, hanging_fields, prepare_hanging, derive_hanging, NULL);
