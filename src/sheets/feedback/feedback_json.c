/* SPDX-License-Identifier: MIT */
/* A maker's sheet as one line of JSON, without pictures. In: bc_feedback_sheet. Out: text for programs. */
#include "feedback_internal.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>

static json_t *figures_json(const bc_feedback_line *line) {
  json_t *list = json_array();
  for (size_t i = 0; list && i < line->figure_count; i++) {
    const bc_feedback_figure *f = &line->figure[i];
    if (json_array_append_new(
            list, json_pack("{s:s,s:f,s:o}", "what", f->what, "value", f->value, "shown", bc_json_text(f->shown)))) {
      json_decref(list);
      return NULL;
    }
  }
  return list;
}

static json_t *lines_json(const bc_feedback_section *section) {
  json_t *list = json_array();
  for (size_t i = 0; list && i < section->line_count; i++)
    if (json_array_append_new(list, json_pack("{s:o,s:o}", "text", bc_json_text(section->lines[i].text), "figures",
                                              figures_json(&section->lines[i])))) {
      json_decref(list);
      return NULL;
    }
  return list;
}

static json_t *sections_json(const bc_feedback_sheet *sheet) {
  json_t *list = json_array();
  for (size_t i = 0; list && i < sheet->section_count; i++) {
    const bc_feedback_section *s = &sheet->sections[i];
    if (json_array_append_new(list, json_pack("{s:s,s:o,s:o}", "part", bc_feedback_part_word(s->part), "heading",
                                              bc_json_text(s->heading), "lines", lines_json(s)))) {
      json_decref(list);
      return NULL;
    }
  }
  return list;
}

static json_t *picture_json(const bc_feedback_picture *small) {
  if (!small->jpeg) return json_null();
  return json_pack("{s:s,s:i,s:i,s:o}", "file", FEEDBACK_SMALL, "width", small->width, "height", small->height, "shows",
                   bc_json_text(small->words ? small->words : ""));
}

bc_status bc_feedback_to_json(char **out, bc_context *context, const bc_feedback_sheet *sheet) {
  const bc_feedback_summary *s = &sheet->summary;
  json_t *all =
      json_pack("{s:o,s:o,s:s,s:i,s:i,s:i,s:{s:o,s:b,s:i,s:i,s:i,s:f},s:{s:o,s:i,s:f},s:b,s:b,s:f,s:o,s:o}", "maker",
                bc_json_text(s->name), "folder", bc_json_text(s->folder), "language", sheet->language, "photos",
                (int)s->photos, "not_read", (int)s->not_read, "pieces", (int)s->pieces, "now", "cloth",
                bc_json_text(s->present), "serves", s->serves, "stand_out", (int)s->clear, "soft", (int)s->soft, "lost",
                (int)s->lost, "score", s->score, "best", "cloth", bc_json_text(s->best), "lost", (int)s->best_lost,
                "score", s->best_score, "plan_failed", s->plan_failed, "overloaded", s->overloaded, "need", s->need,
                "picture", picture_json(&sheet->small), "sections", sections_json(sheet));
  *out = all ? json_dumps(all, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(6)) : NULL;
  json_decref(all);
  return *out ? BC_OK : bc_fail_memory(context);
}
