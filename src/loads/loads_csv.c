/* SPDX-License-Identifier: MIT */
/* The loads for a spreadsheet: one line per point, support or shelf; decimal points whatever the locale. */
#include "loads_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* RFC 4180: in quotation marks, those inside doubled. What a spreadsheet takes for a formula is kept from
 * working by an apostrophe. */
static void text_field(bc_buffer *out, const char *text) {
  bc_buffer_add(out, text[0] && strchr("=+-@\t", text[0]) ? "\"'" : "\"");
  for (const char *c = text; *c; c++) {
    if (*c == '"') bc_buffer_add_bytes(out, "\"", 1);
    bc_buffer_add_bytes(out, c, 1);
  }
  bc_buffer_add(out, "\"");
}

/* Thousandths, written as whole numbers are, so that no locale puts a comma in. */
static void number_field(bc_buffer *out, double value, bool known) {
  if (!known || !isfinite(value) || fabs(value) > 1e15) {
    bc_buffer_add(out, ",");
    return;
  }
  const long long thousandths = llround(fabs(value) * 1000);
  bc_buffer_add(out, ",%s%lld.%03lld", value < 0 && thousandths > 0 ? "-" : "", thousandths / 1000, thousandths % 1000);
}

static const char *holds_word(bc_holds holds) {
  return holds == BC_HOLDS_YES ? "yes" : holds == BC_HOLDS_NO ? "no" : "not known";
}

static void point_row(bc_buffer *out, const bc_load_point *point) {
  bc_buffer_add(out, "point,");
  text_field(out, point->piece);
  bc_buffer_add(out, ",%d,", point->point);
  text_field(out, point->on ? point->on : "");
  const bool rated = point->rated_n > 0, weighed = point->weighed;
  number_field(out, point->x, true);
  number_field(out, point->y, true);
  number_field(out, point->vertical_n, weighed);
  number_field(out, point->horizontal_n, weighed);
  number_field(out, point->tension_n, weighed);
  number_field(out, point->needed_n, weighed);
  number_field(out, point->rated_n, rated);
  number_field(out, point->utilisation, rated && weighed && point->holds != BC_HOLDS_UNKNOWN);
  bc_buffer_add(out, ",%s", holds_word(point->holds));
  number_field(out, point->outward_n, weighed);
  number_field(out, point->pulled_n, point->in_reach);
  bc_buffer_add(out, "\r\n");
}

static void end_row(bc_buffer *out, bc_holds holds) {
  bc_buffer_add(out, ",%s,,\r\n", holds_word(holds));
}

/* A rod that nobody can reckon has one row without figures. */
static void support_row(bc_buffer *out, const bc_load_rod *rod, size_t support, double factor) {
  bc_buffer_add(out, "support,");
  text_field(out, rod->id);
  bc_buffer_add(out, ",%zu,\"\",,", support + 1);
  const bool rated = rod->rated_n > 0;
  const double down = rod->reactions_total_n[support];
  number_field(out, down, rod->solved);
  bc_buffer_add(out, ",,");
  number_field(out, fabs(down) * factor, rod->solved);
  number_field(out, rod->rated_n, rated);
  const bool known = rated && rod->solved && rod->holds != BC_HOLDS_UNKNOWN;
  number_field(out, rated ? fabs(down) * factor / rod->rated_n : 0, known);
  end_row(out, rod->holds);
}

static void shelf_row(bc_buffer *out, const bc_load_shelf *shelf) {
  bc_buffer_add(out, "shelf,");
  text_field(out, shelf->id);
  bc_buffer_add(out, ",,\"\",,");
  number_field(out, shelf->load_n, true);
  bc_buffer_add(out, ",,");
  number_field(out, shelf->needed_n, true);
  number_field(out, shelf->rated_n, shelf->rated_n > 0);
  number_field(out, shelf->utilisation, shelf->rated_n > 0 && shelf->shelf_holds != BC_HOLDS_UNKNOWN);
  end_row(out, shelf->shelf_holds);
}

/* The upper fixing of a bracket: what pulls it out of the wall stands in the column of the tension. */
static void bracket_row(bc_buffer *out, const bc_load_shelf *shelf, size_t number, double factor) {
  const bc_load_bracket *bracket = &shelf->brackets[number];
  const bool rated = shelf->fixing_rated_n > 0, high = !(shelf->fixings_why & BC_WHY_NO_BRACKET);
  bc_buffer_add(out, "bracket,");
  text_field(out, shelf->id);
  bc_buffer_add(out, ",%zu,\"\"", number + 1);
  number_field(out, bracket->x, true);
  bc_buffer_add(out, ",");
  number_field(out, bracket->vertical_n, true);
  bc_buffer_add(out, ",");
  number_field(out, bracket->pull_n, high);
  number_field(out, bracket->demand_n * factor, high);
  number_field(out, shelf->fixing_rated_n, rated);
  number_field(out, rated ? bracket->demand_n * factor / shelf->fixing_rated_n : 0,
               rated && high && shelf->fixings_hold != BC_HOLDS_UNKNOWN);
  end_row(out, shelf->fixings_hold);
}

static void grid_row(bc_buffer *out, const bc_load_grid *grid) {
  const bool rated = grid->rated_n > 0;
  bc_buffer_add(out, "grid,");
  text_field(out, grid->id);
  bc_buffer_add(out, ",,\"\",,");
  number_field(out, grid->load_n, true);
  bc_buffer_add(out, ",,");
  number_field(out, grid->needed_n, true);
  number_field(out, grid->rated_n, rated);
  number_field(out, grid->utilisation, rated && grid->holds != BC_HOLDS_UNKNOWN);
  end_row(out, grid->holds);
}

/* A table's rating is what it may carry, without design factor. */
static void table_row(bc_buffer *out, const bc_load_table *table) {
  bc_buffer_add(out, "table,");
  text_field(out, table->id);
  bc_buffer_add(out, ",,\"\",,");
  number_field(out, table->load_n, true);
  bc_buffer_add(out, ",,");
  number_field(out, table->load_n, true);
  number_field(out, table->rated_n, table->rated_n > 0);
  number_field(out, table->rated_n > 0 ? table->load_n / table->rated_n : 0, table->holds != BC_HOLDS_UNKNOWN);
  end_row(out, table->holds);
}

/* The ballast that there is stands as the rating, the ballast that is needed as the need, both as weights. */
static void frame_row(bc_buffer *out, const bc_load_frame *frame) {
  bc_buffer_add(out, "frame,\"\",,\"\",,");
  number_field(out, frame->weight_n, true);
  bc_buffer_add(out, ",,");
  number_field(out, loads_newton_of_grams(frame->ballast_needed_g), true);
  number_field(out, loads_newton_of_grams(frame->ballast_g), true);
  bc_buffer_add(out, ",");
  end_row(out, frame->holds);
}

bc_status bc_loads_to_csv(char **out, bc_context *context, const bc_loads *loads) {
  bc_buffer text = {0};
  bc_buffer_add(&text,
                "what,id,number,on,x_cm,y_cm,vertical_n,horizontal_n,tension_n,needed_n,rated_n,utilisation,holds,"
                "outward_n,pulled_by_a_child_n\r\n");
  for (size_t i = 0; i < loads->point_count; i++) point_row(&text, &loads->points[i]);
  for (size_t i = 0; i < loads->rod_count; i++)
    for (size_t k = 0; k < loads->rods[i].support_count || k == 0; k++)
      support_row(&text, &loads->rods[i], k, loads->design_factor);
  for (size_t i = 0; i < loads->shelf_count; i++) {
    shelf_row(&text, &loads->shelves[i]);
    for (size_t k = 0; k < loads->shelves[i].bracket_count; k++)
      bracket_row(&text, &loads->shelves[i], k, loads->design_factor);
  }
  for (size_t i = 0; i < loads->grid_count; i++) grid_row(&text, &loads->grids[i]);
  for (size_t i = 0; i < loads->table_count; i++)
    if (loads->tables[i].rated_n > 0) table_row(&text, &loads->tables[i]);
  if (loads->frame.given) frame_row(&text, &loads->frame);
  return bc_buffer_finish(&text, out, context);
}
