/* SPDX-License-Identifier: MIT */
/* Drawings for download: studies come ready from the decoders as open files, so that no stranger's
 * file is decoded here. In: plan and studies. Out: the file's bytes. */
#include "desk.h"

#include "base/file.h"
#include <backcloth/drawing.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

static bc_status take_study(bc_study **out, bc_context *context, int file) {
  struct stat about;
  if (fstat(file, &about) != 0 || about.st_size <= 0) return BC_OUR_FAULT;
  void *bytes = mmap(NULL, (size_t)about.st_size, PROT_READ, MAP_PRIVATE, file, 0);
  if (bytes == MAP_FAILED) return bc_fail_memory(context);
  const bc_status status = web_study_unpack(out, context, bytes, (size_t)about.st_size);
  munmap(bytes, (size_t)about.st_size);
  return status;
}

static bc_status draw_to(bc_context *context, const bc_plan *plan, bc_study *const *studies, const json_t *order,
                         const char *path) {
  bc_loads *loads = NULL;
  bc_elevation_options how = bc_elevation_options_default();
  const char *units = json_string_value(json_object_get(order, "units"));
  how.units = units && strcmp(units, "imperial") == 0 ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC;
  bc_status status = bc_loads_of(&loads, context, plan);
  if (status == BC_OK) status = bc_drawing_elevation(context, plan, studies, loads, &how, path);
  bc_loads_free(loads);
  return status;
}

static bc_status draw(bc_context *context, const bc_plan *plan, bc_study *const *studies, const json_t *order,
                      web_message *out) {
  const char *file = json_string_value(json_object_get(order, "file"));
  char *path = bc_format("%s/%ld-%s", json_string_value(json_object_get(order, "scratch")), (long)getpid(), file);
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = path ? draw_to(context, plan, studies, order, path) : bc_fail_memory(context);
  if (status == BC_OK) status = bc_file_read(&bytes, &size, context, path, (uint64_t)200 << 20);
  if (path) unlink(path);
  free(path);
  if (status == BC_OK && !web_message_add(out, bytes, size)) status = bc_fail_memory(context);
  return status;
}

bc_status web_desk_draw(bc_context *context, const web_message *in, const json_t *order, web_message *out) {
  const json_t *numbers = json_object_get(order, "studies");
  bc_plan *plan = NULL;
  bc_status status = web_plan_take(&plan, context, in, 1);
  if (status != BC_OK) return status;
  bc_study **studies = bc_allocate(plan->piece_count, sizeof(bc_study *));
  if (!studies) status = bc_fail_memory(context);
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++) {
    const json_t *number = json_array_get(numbers, i);
    const json_int_t at = json_is_integer(number) ? json_integer_value(number) : -1;
    if (at >= 0 && (uint64_t)at < in->files) status = take_study(&studies[i], context, in->file[at]);
  }
  if (status == BC_OK) status = draw(context, plan, studies, order, out);
  for (size_t i = 0; studies && i < plan->piece_count; i++) bc_study_free(studies[i]);
  free(studies);
  bc_plan_free(plan);
  return status;
}
