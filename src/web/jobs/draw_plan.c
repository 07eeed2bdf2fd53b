/* SPDX-License-Identifier: MIT */
/* Drawings of a plan for download: wall, stand seen from the aisle, set-up sheet.
 * In: plan and studies, ready from the decoders. Out: the file's bytes. */
#include "orders.h"

#include <backcloth/drawing.h>
#include <backcloth/file.h>
#include <backcloth/sheet.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bc_units units_of(const json_t *order) {
  const char *units = json_string_value(json_object_get(order, "units"));
  return units && strcmp(units, "imperial") == 0 ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC;
}

static bc_status draw_wall(bc_context *context, const bc_plan *plan, bc_study *const *studies, const json_t *order,
                           const char *path) {
  bc_loads *loads = NULL;
  bc_elevation_options how = bc_elevation_options_default();
  how.units = units_of(order);
  bc_status status = bc_loads_of(&loads, context, plan);
  if (status == BC_OK) status = bc_drawing_elevation(context, plan, studies, loads, &how, path);
  bc_loads_free(loads);
  return status;
}

static bc_status draw_aisle(bc_context *context, const bc_plan *plan, bc_study *const *studies, const json_t *order,
                            const char *path) {
  bc_aisle *figures = NULL;
  bc_aisle_options people = bc_aisle_options_default();
  bc_elevation_options how = bc_elevation_options_default();
  how.units = units_of(order);
  people.crowd = (int)json_integer_value(json_object_get(order, "crowd"));
  bc_status status = bc_aisle_of(&figures, context, plan, &people);
  if (status == BC_OK)
    status = bc_drawing_aisle(context, plan, studies, &(bc_aisle_company){&people, figures}, &how, path);
  bc_aisle_free(figures);
  return status;
}

static bc_status draw_sheet(bc_context *context, const bc_plan *plan, bc_study *const *studies, const json_t *order,
                            const char *path) {
  bc_loads *loads = NULL;
  bc_packing *packing = NULL;
  bc_setup_sheet_options how = bc_setup_sheet_options_default();
  how.units = units_of(order);
  bc_status status = bc_loads_of(&loads, context, plan);
  if (status == BC_OK) status = bc_packing_of(&packing, context, plan);
  if (status == BC_OK)
    status = bc_setup_sheet(context, &(bc_setup_sheet_input){plan, studies, loads, packing}, &how, path);
  bc_packing_free(packing);
  bc_loads_free(loads);
  return status;
}

typedef struct drawn {
  const bc_plan *plan;
  bc_study *const *studies;
} drawn;

static bc_status draw(bc_context *context, const json_t *order, const char *path, void *data) {
  const drawn *d = data;
  const char *file = json_string_value(json_object_get(order, "file"));
  if (strncmp(file, "aisle", 5) == 0) return draw_aisle(context, d->plan, d->studies, order, path);
  if (strncmp(file, "sheet", 5) == 0) return draw_sheet(context, d->plan, d->studies, order, path);
  return draw_wall(context, d->plan, d->studies, order, path);
}

static bc_status put_cloth(bc_plan *plan, bc_context *context, const bc_apart_message *in, const json_t *order,
                           char **cloth) {
  bc_status status = web_order_cloth_file(cloth, context, in, order, json_object_get(order, "cloth"), 0);
  if (status != BC_OK || !*cloth) return status;
  free(plan->cloth.photo);
  plan->cloth.photo = bc_copy_text(*cloth);
  return plan->cloth.photo ? BC_OK : bc_fail_memory(context);
}

bc_status web_order_draw(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out) {
  const char *file = json_string_value(json_object_get(order, "file"));
  bc_plan *plan = NULL;
  bc_study **studies = NULL;
  char *cloth = NULL;
  if (!file) return BC_OUR_FAULT;
  if (strncmp(file, "board", 5) == 0 || strncmp(file, "compare", 7) == 0)
    return web_order_draw_board(context, in, order, out);
  if (strncmp(file, "feedback", 8) == 0) return web_order_draw_feedback(context, in, order, out);
  bc_status status = web_plan_take(&plan, context, in, 1);
  if (status != BC_OK) return status;
  status = web_order_studies(&studies, context, in, json_object_get(order, "studies"), plan->piece_count);
  if (status == BC_OK) status = put_cloth(plan, context, in, order, &cloth);
  drawn d = {plan, studies};
  if (status == BC_OK) status = web_order_made(context, order, out, draw, &d);
  web_order_cloth_file_end(cloth);
  web_order_studies_free(studies, plan->piece_count);
  bc_plan_free(plan);
  return status;
}
