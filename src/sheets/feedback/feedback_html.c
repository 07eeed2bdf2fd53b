/* SPDX-License-Identifier: MIT */
/* The feedback sheet as one page that needs nothing else: pictures are inside it, no script, readable on a phone and
 * without a connection. In: the sheet, perhaps in two languages. Out: HTML. */
#include "feedback_internal.h"

#include "base/base64.h"
#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

static const char style[] =
    ":root{color-scheme:light}*{box-sizing:border-box}"
    "body{margin:0 auto;max-width:62rem;padding:1rem 1rem 3rem;font:1.0625rem/1.5 Andika,'Noto Sans',"
    "'Noto Naskh Arabic','Noto Sans Devanagari',system-ui,sans-serif;color:#1b1a18;background:#fbfaf7}"
    "h1{font-size:1.7rem;line-height:1.2;margin:.3rem 0 1rem}"
    "h2{font-size:1.2rem;line-height:1.3;margin:2.2rem 0 .6rem;padding-top:.7rem;border-top:2px solid #1b1a18}"
    "h2 i{display:inline-block;width:1.1em;height:1.1em;border:1px solid #1b1a18;vertical-align:-.2em;"
    "margin-inline-end:.4em}"
    "h2 span{unicode-bidi:isolate}@media(max-width:43.99rem){h2 b{display:none}h2 span{display:block}}"
    "p{margin:0}.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,17rem),1fr));gap:1rem}"
    ".card{display:flex;gap:.8rem;align-items:flex-start;break-inside:avoid}"
    ".card>img{width:42%;max-width:11rem;height:auto;flex:none}"
    ".line{margin:.7rem 0;break-inside:avoid}.wide>img{width:100%;height:auto;display:block;margin-top:.5rem}"
    ".try{counter-reset:n}.try .line{counter-increment:n;position:relative;padding-inline-start:2.6rem;min-height:2rem}"
    ".try .line:before{content:counter(n);position:absolute;inset-inline-start:0;top:0;width:1.9rem;height:1.9rem;"
    "border:2px solid #1b1a18;border-radius:50%;text-align:center;font-weight:700;line-height:1.65rem}"
    ".try p.say{font-weight:700}"
    "ul{list-style:none;margin:.15rem 0 0;padding:0;display:flex;flex-wrap:wrap;gap:.1rem .9rem;color:#55514a;"
    "font-size:.94rem}"
    ".two{display:grid;gap:.5rem 1.5rem}.two>[dir]{min-width:0}.two>[dir]+[dir]{border-inline-start:3px solid "
    "#d9d4c8;padding-inline-start:.7rem}"
    "@media(min-width:44rem){.two{grid-template-columns:1fr 1fr}}"
    ".bi .cards{grid-template-columns:1fr}.bi .card>.two{flex:1}"
    ".mark{color:#55514a;font-size:.94rem;margin:.4rem 0}"
    "@media print{body{background:#fff;max-width:none;font-size:10pt}}";

static void escape(FILE *to, const char *text) {
  for (; *text; text++) {
    if (*text == '&')
      fputs("&amp;", to);
    else if (*text == '<')
      fputs("&lt;", to);
    else if (*text == '>')
      fputs("&gt;", to);
    else if (*text == '"')
      fputs("&quot;", to);
    else
      fputc(*text, to);
  }
}

typedef struct page {
  FILE *to;
  const bc_feedback_sheet *sheet[2]; /* the second or NULL */
  bool failed;
} page;

static const char *direction(const bc_feedback_sheet *sheet) {
  return sheet->right_to_left ? "rtl" : "ltr";
}

static void put_picture(page *p, int index) {
  if (index < 0 || (size_t)index >= p->sheet[0]->picture_count) return;
  const bc_feedback_picture *picture = &p->sheet[0]->pictures[index];
  char *text = bc_allocate(BC_BASE64_ROOM(picture->size), 1);
  if (!text) {
    p->failed = true;
    return;
  }
  base_base64(text, picture->jpeg, picture->size);
  fprintf(p->to, "<img width=\"%d\" height=\"%d\" alt=\"", picture->width, picture->height);
  escape(p->to, picture->words ? picture->words : "");
  fprintf(p->to, "\" src=\"data:image/jpeg;base64,%s\">", text);
  free(text);
}

static void put_words(page *p, const bc_feedback_line *line, bool figures) {
  fputs("<p class=\"say\">", p->to);
  escape(p->to, line->text);
  fputs("</p>", p->to);
  if (!figures || !line->figure_count) return;
  fputs("<ul>", p->to);
  for (size_t i = 0; i < line->figure_count; i++) {
    fputs("<li>", p->to);
    escape(p->to, line->figure[i].shown);
    fputs("</li>", p->to);
  }
  fputs("</ul>", p->to);
}

/* The languages of one sentence; a second sheet has the same sentences in the same order. */
static void put_both(page *p, size_t section, size_t line) {
  const bool notes = p->sheet[0]->sections[section].part == BC_FEEDBACK_NOTES; /* a maker's own words, once */
  fprintf(p->to, p->sheet[1] && !notes ? "<div class=\"two\">" : "<div>");
  for (int side = 0; side < (notes ? 1 : 2) && p->sheet[side]; side++) {
    const bc_feedback_sheet *sheet = p->sheet[side];
    if (section >= sheet->section_count || line >= sheet->sections[section].line_count) continue;
    if (notes)
      fputs("<div dir=\"auto\">", p->to);
    else
      fprintf(p->to, "<div lang=\"%s\" dir=\"%s\">", sheet->language, direction(sheet));
    put_words(p, &sheet->sections[section].lines[line], !feedback_same_figures(&p->sheet[0]->sections[section], line));
    fputs("</div>", p->to);
  }
  fputs("</div>", p->to);
}

static void put_line(page *p, size_t section, size_t line) {
  const int picture = p->sheet[0]->sections[section].lines[line].picture;
  const bool wide = picture >= 0 && p->sheet[0]->pictures[picture].wide;
  const bool card = picture >= 0 && !wide;
  fprintf(p->to, "<div class=\"%s\">", card ? "card" : wide ? "line wide" : "line");
  if (card) put_picture(p, picture);
  put_both(p, section, line);
  if (wide) put_picture(p, picture);
  fputs("</div>\n", p->to);
}

static bool is_card(const bc_feedback_sheet *sheet, size_t section, size_t line) {
  const int picture = sheet->sections[section].lines[line].picture;
  return picture >= 0 && !sheet->pictures[picture].wide;
}

static void put_heading(page *p, size_t section) {
  const bc_feedback_section *s = &p->sheet[0]->sections[section];
  fputs("<h2>", p->to);
  if (s->css[0]) fprintf(p->to, "<i style=\"background:%s\"></i>", s->css);
  escape(p->to, s->heading);
  if (p->sheet[1] && section < p->sheet[1]->section_count) {
    fprintf(p->to, "<b> · </b><span lang=\"%s\" dir=\"%s\">", p->sheet[1]->language, direction(p->sheet[1]));
    escape(p->to, p->sheet[1]->sections[section].heading);
    fputs("</span>", p->to);
  }
  fputs("</h2>\n", p->to);
}

static void put_mark_key(page *p) {
  for (int side = 0; side < 2 && p->sheet[side]; side++) {
    char *words = feedback_mark_key(p->sheet, side);
    fprintf(p->to, "<p class=\"mark\" lang=\"%s\" dir=\"%s\">", p->sheet[side]->language, direction(p->sheet[side]));
    escape(p->to, words ? words : "");
    fputs("</p>", p->to);
    free(words);
  }
}

static void put_section(page *p, size_t section) {
  const bc_feedback_section *s = &p->sheet[0]->sections[section];
  fprintf(p->to, "<section class=\"%s\">", bc_feedback_part_word(s->part));
  put_heading(p, section);
  bool cards = false;
  for (size_t i = 0; i < s->line_count; i++) {
    const bool card = is_card(p->sheet[0], section, i);
    if (card && !cards) {
      if (s->part == BC_FEEDBACK_NOW) put_mark_key(p);
      fputs("<div class=\"cards\">", p->to);
    }
    if (!card && cards) fputs("</div>", p->to);
    cards = card;
    put_line(p, section, i);
  }
  fputs(cards ? "</div></section>\n" : "</section>\n", p->to);
}

bc_status feedback_html(bc_context *context, const bc_feedback_sheet *sheet, const bc_feedback_sheet *second,
                        const char *path) {
  bc_file_writer *writer = NULL;
  const bc_status status = bc_file_writer_open(&writer, context, path);
  if (status != BC_OK) return status;
  page p = {.to = bc_file_writer_stream(writer), .sheet = {sheet, second}};
  fprintf(p.to, "<!doctype html>\n<html lang=\"%s\" dir=\"%s\"><head><meta charset=\"utf-8\">\n", sheet->language,
          direction(sheet));
  fputs("<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n<title>", p.to);
  escape(p.to, sheet->summary.name);
  fprintf(p.to, "</title><style>%s</style></head><body%s>\n<h1>", style, second ? " class=\"bi\"" : "");
  escape(p.to, sheet->summary.name);
  fputs("</h1>\n", p.to);
  for (size_t i = 0; i < sheet->section_count; i++) put_section(&p, i);
  fputs("</body></html>\n", p.to);
  if (!p.failed) return bc_file_writer_commit(writer, context);
  bc_file_writer_abandon(writer);
  return bc_fail_memory(context);
}
