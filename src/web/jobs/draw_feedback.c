/* SPDX-License-Identifier: MIT */
/* The feedback sheet for download. In: plan, studies and cloths, ready from the decoders. Out: the PDF's bytes. */
#include "orders.h"

#include <backcloth/feedback.h>
#include <stdlib.h>
#include <string.h>

typedef struct sheet {
  const bc_apart_message *in;
  const json_t *order, *studies;
  bc_collection all;
  bc_plan *plan;
  char **files; /* one for each photographed cloth */
  char *own;    /* of the plan's own cloth */
  bc_feedback_subject subject;
} sheet;

static bc_status study_of(bc_study **out, bc_context *context, void *data, size_t piece) {
  const sheet *s = data;
  return web_order_study(out, context, s->in, json_array_get(s->studies, piece));
}

static bc_status write_sheet(bc_context *context, const json_t *order, const char *path, void *data) {
  const sheet *s = data;
  const char *units = json_string_value(json_object_get(order, "units"));
  bc_feedback_options how = bc_feedback_options_default();
  bc_feedback_sheet *made = NULL;
  how.units = units && strcmp(units, "imperial") == 0 ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC;
  bc_status status = bc_feedback_sheet_from(&made, context, &s->subject, &how, true);
  if (status == BC_OK) status = bc_feedback_to_pdf(context, made, BC_PAPER_A4, path);
  bc_feedback_sheet_free(made);
  return status;
}

/* The plan names its cloth by a photo on the server: here by the file that was made of it, and with the figures that it
 * has as a candidate. One that is no candidate any more is measured from that file. */
static bc_status hang_cloth(bc_cloth **wall, bc_context *context, const sheet *s) {
  const json_t *place = json_object_get(s->order, "wall_cloth");
  bc_plan *plan = s->plan;
  const size_t at = json_is_integer(place) ? (size_t)json_integer_value(place) : SIZE_MAX;
  const char *file = at < s->all.cloths.count ? s->files[at] : s->own;
  *wall = NULL;
  if (!file || !plan->cloth.photo) return BC_OK;
  free(plan->cloth.photo);
  plan->cloth.photo = bc_copy_text(file);
  if (!plan->cloth.photo) return bc_fail_memory(context);
  if (at < s->all.cloths.count) return bc_cloth_copy(wall, context, s->all.cloths.cloth[at]);
  char *spec = bc_format("photo:%s", file);
  const bc_status status =
      spec ? bc_cloth_parse(wall, context, spec, json_string_value(json_object_get(s->order, "wall_name")))
           : bc_fail_memory(context);
  free(spec);
  return status;
}

static bool *sizes_from(const json_t *list, size_t count) {
  bool *known = bc_allocate(count, sizeof *known);
  for (size_t i = 0; known && i < count; i++) known[i] = json_is_true(json_array_get(list, i));
  return known;
}

static bc_feedback_subject subject_of(sheet *s, const bool *known, const bc_cloth *wall) {
  return (bc_feedback_subject){.name = json_string_value(json_object_get(s->order, "name")),
                               .plan = s->plan,
                               .study = study_of,
                               .data = s,
                               .size_known = known,
                               .cloths = (const bc_cloth *const *)s->all.cloths.cloth,
                               .cloth_count = s->all.cloths.count,
                               .wall = wall,
                               .notes = json_string_value(json_object_get(s->order, "notes"))};
}

static bc_status make(bc_context *context, sheet *s, bc_apart_message *out) {
  const json_t *order = s->order;
  bc_cloth *wall = NULL;
  bool *known = sizes_from(json_object_get(order, "sizes_known"), s->plan->piece_count);
  bc_status status = known ? web_order_put_cloths(&s->all, context, s->in, order, s->files) : bc_fail_memory(context);
  if (status == BC_OK)
    status = web_order_cloth_file(&s->own, context, s->in, order, json_object_get(order, "cloth"), s->all.cloths.count);
  if (status == BC_OK) status = hang_cloth(&wall, context, s);
  s->subject = subject_of(s, known, wall);
  if (status == BC_OK) status = web_order_made(context, order, out, write_sheet, s);
  bc_cloth_free(wall);
  free(known);
  return status;
}

bc_status web_order_draw_feedback(bc_context *context, const bc_apart_message *in, const json_t *order,
                                  bc_apart_message *out) {
  sheet s = {.in = in, .order = order, .studies = json_object_get(order, "studies"), .all = bc_collection_start()};
  bc_status status = in->parts > 1 ? web_collection_take(&s.all, context, order, &in->part[1]) : BC_OUR_FAULT;
  s.files = bc_allocate(s.all.cloths.count, sizeof *s.files);
  if (status == BC_OK && !s.files) status = bc_fail_memory(context);
  if (status == BC_OK) status = web_plan_take(&s.plan, context, in, 1);
  if (status == BC_OK) status = make(context, &s, out);
  for (size_t i = 0; s.files && i < s.all.cloths.count; i++) web_order_cloth_file_end(s.files[i]);
  web_order_cloth_file_end(s.own);
  free(s.files);
  bc_plan_free(s.plan);
  bc_collection_clear(&s.all);
  return status;
}
