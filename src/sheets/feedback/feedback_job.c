/* SPDX-License-Identifier: MIT */
/* What one worker does with one item: reads a photo into the cache, or makes a maker's sheet from it. */
#include "feedback_job.h"

#include <backcloth/file.h>
#include <errno.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

feedback_outcome feedback_job_read(feedback_job *all, feedback_cache *cache, size_t i) {
  char key[FEEDBACK_HASH];
  feedback_entry entry = {0};
  const feedback_item *one = &all->items[i];
  if (feedback_photo_key(key, cache, all->context, one->path, one->mask) != BC_OK) return ITEM_FAILED;
  if (feedback_entry_is_kept(all->context, key)) return ITEM_KNOWN;
  if (feedback_entry_read(&entry, all->context, one->path, one->mask) != BC_OK) return ITEM_FAILED;
  feedback_entry_store(all->context, key, &entry);
  feedback_entry_clear(&entry);
  return ITEM_READ;
}

/* Names in a file system keep no slash; "." and ".." never come out of realpath. */
static char *in_maker(const feedback_job *all, const feedback_maker *maker, const char *file) {
  char *folder = bc_path_join(all->options->output, maker->name);
  char *path = folder && (mkdir(folder, 0777) == 0 || errno == EEXIST) ? bc_path_join(folder, file) : NULL;
  free(folder);
  return path;
}

static bool has_file(const feedback_job *all, const feedback_maker *maker, const char *file) {
  char *path = in_maker(all, maker, file);
  const bool there = path && access(path, R_OK) == 0;
  free(path);
  return there;
}

bool feedback_job_is_there(const feedback_job *all, const feedback_maker *maker, const json_t *told) {
  const bool picture = json_is_object(json_object_get(told, "picture"));
  return has_file(all, maker, "feedback.pdf") && has_file(all, maker, "feedback.html") &&
         (!picture || has_file(all, maker, FEEDBACK_SMALL));
}

static char *complaints_of(const bc_feedback_sheet *sheet) {
  bc_buffer text = {0};
  bc_buffer_add(&text, "%s", "");
  for (size_t i = 0; i < sheet->section_count; i++)
    for (size_t k = 0; sheet->sections[i].part == BC_FEEDBACK_NOT_READ && k < sheet->sections[i].line_count; k++)
      bc_buffer_add(&text, "%s\n", sheet->sections[i].lines[k].text);
  return text.failed ? bc_buffer_clear(&text), NULL : text.text;
}

/* The same folder told in each language; texts of a plan's faults are made when it is opened, so it is opened anew. */
static bc_status write_languages(bc_feedback_sheet *sheet[2], feedback_made *made, feedback_job *all,
                                 feedback_cache *cache, const char *folder) {
  bc_status status = BC_OK;
  const size_t count = all->language_count ? all->language_count : 1;
  for (size_t i = 0; status == BC_OK && i < count; i++) {
    feedback_maker maker;
    if (all->language_count) bc_language_use(all->languages[i]);
    status = feedback_maker_open(&maker, all->context, cache, folder, &all->cloths[i]);
    if (status == BC_OK) status = feedback_maker_read(&maker);
    if (status == BC_OK) status = feedback_write(&sheet[i], &maker, all->options, i == 0);
    if (status == BC_OK && i == 0) {
      made->complaints = complaints_of(sheet[0]);
      made->others = feedback_maker_others(&maker);
      if (!made->complaints || !made->others) status = bc_fail_memory(all->context);
    }
    feedback_maker_clear(&maker);
  }
  if (all->language_count) bc_language_use(all->languages[0]);
  return status;
}

static bc_status write_small(feedback_job *all, const feedback_maker *maker, const bc_feedback_picture *small) {
  char *path = in_maker(all, maker, FEEDBACK_SMALL);
  if (!path) return bc_fail_memory(all->context);
  bc_file_writer *writer = NULL;
  bc_status status = BC_OK;
  if (small->jpeg) {
    status = bc_file_writer_open(&writer, all->context, path);
    if (status == BC_OK) bc_file_writer_write(writer, small->jpeg, small->size);
    if (status == BC_OK) status = bc_file_writer_commit(writer, all->context);
  } else {
    (void)unlink(path); /* of a run before, when there was a piece */
  }
  free(path);
  return status;
}

static bc_status render(feedback_job *all, const feedback_maker *maker, bc_feedback_sheet *const sheet[2]) {
  char *pdf = in_maker(all, maker, "feedback.pdf"), *html = in_maker(all, maker, "feedback.html");
  bc_status status = pdf && html ? BC_OK
                                 : bc_fail(all->context, BC_CANNOT_WRITE, _("%s: a folder for %s cannot be made here."),
                                           all->options->output, maker->name);
  if (status == BC_OK) status = feedback_html(all->context, sheet[0], sheet[1], html);
  if (status == BC_OK) status = feedback_pdf(all->context, sheet[0], sheet[1], all->options->paper, pdf);
  if (status == BC_OK) status = write_small(all, maker, &sheet[0]->small);
  free(pdf);
  free(html);
  return status;
}

feedback_outcome feedback_job_make(feedback_job *all, feedback_cache *cache, size_t i) {
  feedback_maker *maker = &all->makers[i];
  if (all->trouble[i]) return ITEM_FAILED;
  if (maker->unchanged) return ITEM_KNOWN;
  char inputs[FEEDBACK_HASH];
  maker->cache = cache;
  maker->context = all->context;
  bc_status status = feedback_maker_hash(inputs, maker, all->options);
  bc_feedback_sheet *sheet[2] = {NULL, NULL};
  feedback_made made = {.inputs = bc_copy_text(inputs)};
  if (status == BC_OK) status = write_languages(sheet, &made, all, cache, maker->folder);
  if (status == BC_OK) status = render(all, maker, sheet);
  if (status == BC_OK) status = bc_feedback_to_json(&made.line, all->context, sheet[0]);
  if (status == BC_OK && (!made.inputs || !feedback_cache_put_maker(cache, maker->name, &made)))
    status = bc_fail(all->context, BC_CANNOT_WRITE, _("%s: this file cannot be written."), all->cache_path);
  if (status != BC_OK && all->options->complain) {
    char *sentence = bc_format("%s: %s", maker->name, bc_context_message(all->context));
    if (sentence) all->options->complain(all->options->data, sentence);
    free(sentence);
  }
  for (int k = 0; k < 2; k++) bc_feedback_sheet_free(sheet[k]);
  feedback_made_clear(&made);
  return status == BC_OK ? ITEM_READ : ITEM_FAILED;
}
