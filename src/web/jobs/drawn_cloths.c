/* SPDX-License-Identifier: MIT */
/* What drawings take from decoders: studies as open files, and photos of cloth. The drawing opens a cloth by its
 * name, so the pixels that a decoder gave are written to a file of our own making; no stranger's file is opened. */
#include "orders.h"

#include <backcloth/file.h>
#include <stdlib.h>
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

bc_status web_order_study(bc_study **out, bc_context *context, const bc_apart_message *in, const json_t *number) {
  const json_int_t at = json_is_integer(number) ? json_integer_value(number) : -1;
  *out = NULL;
  return at >= 0 && (uint64_t)at < in->files ? take_study(out, context, in->file[at]) : BC_OK;
}

bc_status web_order_studies(bc_study ***out, bc_context *context, const bc_apart_message *in, const json_t *numbers,
                            size_t count) {
  bc_status status = BC_OK;
  *out = bc_allocate(count, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  for (size_t i = 0; status == BC_OK && i < count; i++)
    status = web_order_study(&(*out)[i], context, in, json_array_get(numbers, i));
  return status;
}

void web_order_studies_free(bc_study **studies, size_t count) {
  for (size_t i = 0; studies && i < count; i++) bc_study_free(studies[i]);
  free(studies);
}

static bc_status write_all(bc_context *context, const char *path, const bc_apart_part *part) {
  bc_file_writer *writer = NULL;
  const bc_status status = bc_file_writer_open(&writer, context, path);
  if (status != BC_OK) return status;
  bc_file_writer_write(writer, part->bytes, part->size);
  return bc_file_writer_commit(writer, context);
}

bc_status web_order_cloth_file(char **path, bc_context *context, const bc_apart_message *in, const json_t *order,
                               const json_t *number, size_t which) {
  bc_study *study = NULL;
  bc_apart_part picture = {0};
  *path = NULL;
  bc_status status = web_order_study(&study, context, in, number);
  if (status != BC_OK || !study) return status;
  *path = bc_format("%s/drawn-%ld-cloth-%zu.jpg", json_string_value(json_object_get(order, "scratch")), (long)getpid(),
                    which);
  status = *path ? web_preview_jpeg(&picture, context, study->image) : bc_fail_memory(context);
  if (status == BC_OK) status = write_all(context, *path, &picture);
  free(picture.bytes);
  bc_study_free(study);
  return status;
}

void web_order_cloth_file_end(char *path) {
  if (path) unlink(path);
  free(path);
}

/* The drawing looks for a photographed cloth under its spec. */
bc_status web_order_put_cloths(bc_collection *all, bc_context *context, const bc_apart_message *in, const json_t *order,
                               char **files) {
  const json_t *numbers = json_object_get(order, "cloth_studies");
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < all->cloths.count; i++) {
    status = web_order_cloth_file(&files[i], context, in, order, json_array_get(numbers, i), i);
    if (status != BC_OK || !files[i]) continue;
    free(all->cloths.cloth[i]->spec);
    all->cloths.cloth[i]->spec = bc_format("photo:%s", files[i]);
    if (!all->cloths.cloth[i]->spec) status = bc_fail_memory(context);
  }
  return status;
}
