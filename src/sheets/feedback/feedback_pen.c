/* SPDX-License-Identifier: MIT */
/* The sheet as data while it is being written: sections, sentences, figures, pictures. */
#include "feedback_internal.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *bc_feedback_part_word(bc_feedback_part part) {
  static const char *const words[] = {"seen", "try", "now", "cloth", "wall", "hanging", "photos", "not_read", "notes"};
  return words[part];
}

double bc_feedback_need(size_t pieces, size_t lost, double score) {
  if (!pieces) return 100;
  return 0.5 * (100 - score) + 50.0 * (double)lost / (double)pieces;
}

void feedback_section(feedback_pen *pen, bc_feedback_part part, const char *css, const char *format, ...) {
  bc_feedback_sheet *sheet = pen->sheet;
  bc_feedback_section *grown = bc_reallocate(sheet->sections, sheet->section_count + 1, sizeof *grown);
  if (!grown) {
    pen->failed = true;
    return;
  }
  sheet->sections = grown;
  va_list values;
  va_start(values, format);
  bc_feedback_section section = {.part = part, .heading = bc_vsentence(format, values)};
  va_end(values);
  snprintf(section.css, sizeof section.css, "%s", css ? css : "");
  pen->failed = pen->failed || !section.heading;
  sheet->sections[sheet->section_count++] = section;
}

static bc_feedback_line *last_line(const feedback_pen *pen) {
  bc_feedback_sheet *sheet = pen->sheet;
  if (pen->failed || !sheet->section_count) return NULL;
  bc_feedback_section *section = &sheet->sections[sheet->section_count - 1];
  return section->line_count ? &section->lines[section->line_count - 1] : NULL;
}

void feedback_say(feedback_pen *pen, const char *format, ...) {
  bc_feedback_sheet *sheet = pen->sheet;
  if (pen->failed || !sheet->section_count) return;
  bc_feedback_section *section = &sheet->sections[sheet->section_count - 1];
  bc_feedback_line *grown = bc_reallocate(section->lines, section->line_count + 1, sizeof *grown);
  if (!grown) {
    pen->failed = true;
    return;
  }
  section->lines = grown;
  va_list values;
  va_start(values, format);
  bc_feedback_line line = {.text = bc_vsentence(format, values), .picture = -1};
  va_end(values);
  pen->failed = !line.text;
  section->lines[section->line_count++] = line;
}

void feedback_figure(feedback_pen *pen, const char *what, double value, const char *format, ...) {
  bc_feedback_line *line = last_line(pen);
  if (!line || line->figure_count == BC_FEEDBACK_FIGURES) return;
  va_list values;
  va_start(values, format);
  bc_feedback_figure figure = {.what = what, .value = value, .shown = bc_vsentence(format, values)};
  va_end(values);
  pen->failed = !figure.shown;
  line->figure[line->figure_count++] = figure;
}

void feedback_picture(feedback_pen *pen, bc_feedback_picture picture) {
  bc_feedback_sheet *sheet = pen->sheet;
  bc_feedback_line *line = last_line(pen);
  bc_feedback_picture *grown = line ? bc_reallocate(sheet->pictures, sheet->picture_count + 1, sizeof *grown) : NULL;
  if (!grown) {
    pen->failed = true;
    feedback_picture_clear(&picture);
    return;
  }
  sheet->pictures = grown;
  line->picture = (int)sheet->picture_count;
  sheet->pictures[sheet->picture_count++] = picture;
}

bool feedback_same_figures(const bc_feedback_section *section, size_t line) {
  if (!line) return false;
  const bc_feedback_line *here = &section->lines[line], *before = here - 1;
  if (here->figure_count != before->figure_count || here->picture >= 0) return false;
  for (size_t i = 0; i < here->figure_count; i++)
    if (strcmp(here->figure[i].shown, before->figure[i].shown) != 0) return false;
  return true;
}

static void free_section(bc_feedback_section *section) {
  for (size_t i = 0; i < section->line_count; i++) {
    for (size_t k = 0; k < section->lines[i].figure_count; k++) free(section->lines[i].figure[k].shown);
    free(section->lines[i].text);
  }
  free(section->lines);
  free(section->heading);
}

void bc_feedback_sheet_free(bc_feedback_sheet *sheet) {
  if (!sheet) return;
  for (size_t i = 0; i < sheet->section_count; i++) free_section(&sheet->sections[i]);
  for (size_t i = 0; i < sheet->picture_count; i++) feedback_picture_clear(&sheet->pictures[i]);
  feedback_picture_clear(&sheet->small);
  free(sheet->sections);
  free(sheet->pictures);
  free(sheet->language);
  bc_feedback_summary *s = &sheet->summary;
  free(s->name);
  free(s->folder);
  free(s->present);
  free(s->best);
  free(sheet);
}

/* Made when the sheet is drawn: by then the process speaks the first language only. */
char *feedback_mark_key(const bc_feedback_sheet *const sheet[2], int side) {
  if (side) bc_language_use(sheet[1]->language);
  char *words = bc_copy_text(_("A dark line with ticks marks where the edge of a piece gets lost."));
  if (side) bc_language_use(sheet[0]->language);
  return words;
}
