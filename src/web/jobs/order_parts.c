/* SPDX-License-Identifier: MIT */
/* What orders have in common: a maker's pieces and cloths, a plan, a file that is made and answered. */
#include "orders.h"

#include <backcloth/file.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bc_status take_readings(bc_collection *all, bc_context *context, const bc_apart_part *bytes,
                               const json_t *widths) {
  size_t at = 0;
  for (size_t i = 0; i < json_array_size(widths); i++) {
    size_t used = 0;
    bc_reading *reading = NULL;
    bc_status status = web_reading_unpack(&reading, context, bytes->bytes + at, bytes->size - at, &used);
    if (status == BC_OK) status = bc_collection_take(all, context, reading);
    if (status != BC_OK) return status;
    all->piece[i].width_cm = json_number_value(json_array_get(widths, i));
    at += used;
  }
  return BC_OK;
}

static bc_colour colour_from(const json_t *value) {
  const json_t *lab = json_object_get(value, "lab");
  return (bc_colour){{json_number_value(json_array_get(lab, 0)), json_number_value(json_array_get(lab, 1)),
                      json_number_value(json_array_get(lab, 2))},
                     json_number_value(json_object_get(value, "luminance"))};
}

static void take_parts(bc_cloth *cloth, const json_t *parts) {
  for (size_t i = 0; i < json_array_size(parts) && i < BC_READING_COLOURS; i++) {
    const json_t *part = json_array_get(parts, i);
    cloth->parts[cloth->part_count++] =
        (bc_cloth_part){colour_from(part), json_number_value(json_object_get(part, "share"))};
  }
}

static void take_textile(bc_cloth *cloth, const json_t *order) {
  bc_textile *textile = &cloth->textile;
  const json_t *colours = json_object_get(order, "colours");
  *textile = (bc_textile){.mean = cloth->colour,
                          .spread_l = cloth->spread_l,
                          .pattern_share = json_number_value(json_object_get(order, "pattern_share")),
                          .busy_bits = json_number_value(json_object_get(order, "busy_bits"))};
  for (size_t i = 0; i < json_array_size(colours) && i < BC_READING_COLOURS; i++) {
    const json_t *one = json_array_get(colours, i);
    const char *css = json_string_value(json_object_get(one, "css"));
    const char *name = json_string_value(json_object_get(one, "name"));
    bc_main_colour *colour = &textile->colours[textile->colour_count++];
    *colour = (bc_main_colour){.lab = colour_from(one).lab, .share = json_number_value(json_object_get(one, "share"))};
    snprintf(colour->css, sizeof colour->css, "%s", css ? css : "");
    snprintf(colour->name, sizeof colour->name, "%s", name ? name : "");
  }
}

bc_status web_cloth_take(bc_cloth **out, bc_context *context, const json_t *order) {
  const char *spec = json_string_value(json_object_get(order, "spec"));
  const char *name = json_string_value(json_object_get(order, "name"));
  const json_t *lab = json_object_get(order, "lab");
  if (!lab) return bc_cloth_parse(out, context, spec ? spec : "", name);
  bc_cloth *cloth = *out = bc_allocate(1, sizeof *cloth);
  if (!cloth) return bc_fail_memory(context);
  cloth->spec = bc_copy_text(spec);
  cloth->name = bc_copy_text(name);
  cloth->colour = colour_from(order);
  take_parts(cloth, json_object_get(order, "parts"));
  cloth->spread_l = json_number_value(json_object_get(order, "spread_l"));
  take_textile(cloth, json_object_get(order, "textile"));
  return cloth->spec && cloth->name ? BC_OK : bc_fail_memory(context);
}

bc_status web_collection_take(bc_collection *all, bc_context *context, const json_t *order,
                              const bc_apart_part *readings) {
  const json_t *cloths = json_object_get(order, "cloths");
  *all = bc_collection_start();
  bc_status status = take_readings(all, context, readings, json_object_get(order, "widths"));
  for (size_t i = 0; status == BC_OK && i < json_array_size(cloths); i++) {
    bc_cloth *cloth = NULL;
    status = web_cloth_take(&cloth, context, json_array_get(cloths, i));
    if (status == BC_OK)
      status = bc_cloths_add(&all->cloths, context, cloth);
    else
      bc_cloth_free(cloth);
  }
  return status;
}

bc_status web_collection_rank(bc_match **out, bc_collection *all, bc_context *context, const json_t *order) {
  const char *name = json_string_value(json_object_get(order, "light"));
  const bc_light *light = NULL;
  bc_view view = bc_view_default();
  const double distance = json_number_value(json_object_get(order, "distance"));
  if (distance > 0) view.distance_m = distance;
  bc_status status = name && *name ? bc_light_parse(&light, context, name) : BC_OK;
  if (status == BC_OK && light) status = bc_collection_put_under_light(all, context, light);
  return status == BC_OK ? bc_match_rank(out, context, all, &view) : status;
}

bc_status web_plan_take(bc_plan **out, bc_context *context, const bc_apart_message *in, uint32_t part) {
  bc_plan_options options = bc_plan_options_default();
  options.keep_in_folder = options.from_form = true;
  if (part >= in->parts) return BC_OUR_FAULT;
  return bc_plan_parse(out, context, (const char *)in->part[part].bytes, in->part[part].size, "plan", &options);
}

bc_status web_order_made(bc_context *context, const json_t *order, bc_apart_message *out, web_order_maker *make,
                         void *data) {
  const char *file = json_string_value(json_object_get(order, "file"));
  char *path = bc_format("%s/drawn-%ld-%s", json_string_value(json_object_get(order, "scratch")), (long)getpid(), file);
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = path ? make(context, order, path, data) : bc_fail_memory(context);
  if (status == BC_OK) status = bc_file_read(&bytes, &size, context, path, (uint64_t)200 << 20);
  if (path) unlink(path);
  free(path);
  if (status == BC_OK && !bc_apart_message_add(out, bytes, size)) status = bc_fail_memory(context);
  return status;
}
