/* SPDX-License-Identifier: MIT */
/* All makers on one page and in one CSV (RFC 4180), those whom help would serve most first.
 * In: makers' JSON lines. Out: index.html, makers.csv. */
#include "feedback_internal.h"

#include <backcloth/file.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

typedef struct row {
  json_t *maker;
  double need;
  size_t order; /* as given: ties keep it */
} row;

static int more_need(const void *a, const void *b) {
  const row *first = a, *second = b;
  if (first->need != second->need) return first->need < second->need ? 1 : -1;
  return first->order < second->order ? -1 : 1;
}

static const char *text_of(const json_t *maker, const char *group, const char *key) {
  const json_t *from = group ? json_object_get(maker, group) : maker;
  const char *text = json_string_value(json_object_get(from, key));
  return text ? text : "";
}

static double number_of(const json_t *maker, const char *group, const char *key) {
  const json_t *from = group ? json_object_get(maker, group) : maker;
  return json_number_value(json_object_get(from, key));
}

/* ---- CSV ---- */

static void csv_text(FILE *to, const char *text) {
  /* A cell that begins like a formula would be one in a spreadsheet. */
  fputc('"', to);
  if (*text && strchr("=+-@\t", *text)) fputc('\'', to);
  for (; *text; text++) {
    if (*text == '"') fputc('"', to);
    fputc(*text, to);
  }
  fputc('"', to);
}

static bc_status write_csv(bc_context *context, const row *rows, size_t count, const char *path) {
  bc_file_writer *writer = NULL;
  const bc_status status = bc_file_writer_open(&writer, context, path);
  if (status != BC_OK) return status;
  FILE *to = bc_file_writer_stream(writer);
  fputs("maker,need,photos,not_read,pieces,lost_now,soft_now,stand_out_now,wall_now,score_now,best_cloth,lost_best,"
        "score_best,plan_failed,overloaded,folder\r\n",
        to);
  for (size_t i = 0; i < count; i++) {
    const json_t *m = rows[i].maker;
    csv_text(to, text_of(m, NULL, "maker"));
    fprintf(to, ",%.1f,%.0f,%.0f,%.0f,%.0f,%.0f,%.0f,", rows[i].need, number_of(m, NULL, "photos"),
            number_of(m, NULL, "not_read"), number_of(m, NULL, "pieces"), number_of(m, "now", "lost"),
            number_of(m, "now", "soft"), number_of(m, "now", "stand_out"));
    csv_text(to, text_of(m, "now", "cloth"));
    fprintf(to, ",%.1f,", number_of(m, "now", "score"));
    csv_text(to, text_of(m, "best", "cloth"));
    fprintf(to, ",%.0f,%.1f,%d,%d,", number_of(m, "best", "lost"), number_of(m, "best", "score"),
            json_is_true(json_object_get(m, "plan_failed")), json_is_true(json_object_get(m, "overloaded")));
    csv_text(to, text_of(m, NULL, "folder"));
    fputs("\r\n", to);
  }
  return bc_file_writer_commit(writer, context);
}

/* ---- page ---- */

static void escape(FILE *to, const char *text) {
  for (; *text; text++) {
    static const char special[] = "&<>\"";
    const char *at = strchr(special, *text);
    if (at)
      fprintf(to, "&#%d;", *at);
    else
      fputc(*text, to);
  }
}

/* A folder's name as a part of a link. */
static void link_to(FILE *to, const char *name) {
  for (const unsigned char *c = (const unsigned char *)name; *c; c++) {
    if ((*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || (*c >= '0' && *c <= '9') || strchr("-_.~", *c))
      fputc(*c, to);
    else
      fprintf(to, "%%%02X", *c);
  }
}

/* How many pieces stand out, look soft and get lost, as one bar: full, hatched and empty, so that it needs no colour.
 */
static void put_bar(FILE *to, const json_t *maker) {
  const double pieces = number_of(maker, NULL, "pieces");
  if (pieces < 1) return;
  const double clear = 200 * number_of(maker, "now", "stand_out") / pieces,
               soft = 200 * number_of(maker, "now", "soft") / pieces;
  fprintf(to,
          "<svg viewBox=\"0 0 202 14\" width=\"202\" height=\"14\" aria-hidden=\"true\"><rect x=\"1\" y=\"1\" "
          "width=\"200\" height=\"12\" fill=\"#fff\" "
          "stroke=\"#1b1a18\"/><rect x=\"1\" y=\"1\" width=\"%.1f\" height=\"12\" fill=\"#1b1a18\"/><rect x=\"%.1f\" "
          "y=\"1\" width=\"%.1f\" height=\"12\" fill=\"url(#h)\"/></svg>",
          clear, 1 + clear, soft);
}

/* The page is opened on phones with a poor connection: a picture is loaded when it comes into view. The name below it
 * is the link that a keyboard or a reader of the page needs. */
static void put_small(FILE *to, const json_t *m, const char *name) {
  if (!json_is_object(json_object_get(m, "picture"))) return;
  fputs("<a href=\"", to);
  link_to(to, name);
  fputs("/feedback.html\" tabindex=\"-1\"><img loading=\"lazy\" src=\"", to);
  link_to(to, name);
  fprintf(to, "/%s\" width=\"%.0f\" height=\"%.0f\" alt=\"", FEEDBACK_SMALL, number_of(m, "picture", "width"),
          number_of(m, "picture", "height"));
  escape(to, text_of(m, "picture", "shows"));
  fputs("\"></a>", to);
}

static void put_maker(FILE *to, const json_t *m) {
  const char *name = text_of(m, NULL, "maker");
  const size_t pieces = (size_t)number_of(m, NULL, "pieces"), not_read = (size_t)number_of(m, NULL, "not_read");
  fputs("<li>", to);
  put_small(to, m, name);
  fputs("<h2><a href=\"", to);
  link_to(to, name);
  fputs("/feedback.html\">", to);
  escape(to, name);
  fputs("</a></h2>", to);
  put_bar(to, m);
  fputs("<p>", to);
  if (pieces) {
    char *now = bc_format(_("Pieces: %zu. On “%s” standing out: %zu, soft: %zu, lost: %zu."), pieces,
                          text_of(m, "now", "cloth"), (size_t)number_of(m, "now", "stand_out"),
                          (size_t)number_of(m, "now", "soft"), (size_t)number_of(m, "now", "lost"));
    if (now) escape(to, now);
    free(now);
  } else {
    fputs(_("No piece could be read yet."), to);
  }
  fputs("</p><p>", to);
  if (json_is_true(json_object_get(json_object_get(m, "now"), "serves"))) {
    fputs(_("The wall as it is serves these pieces."), to);
  } else if (*text_of(m, "best", "cloth")) {
    const size_t lost = (size_t)number_of(m, "best", "lost");
    char *best = bc_format(bc_text_plural("Best cloth: “%s”; on it %zu piece gets lost.",
                                          "Best cloth: “%s”; on it %zu pieces get lost.", lost),
                           text_of(m, "best", "cloth"), lost);
    if (best) escape(to, best);
    free(best);
  }
  fputs("</p>", to);
  if (not_read) {
    fputs("<p>! ", to);
    fprintf(to, bc_text_plural("%zu photo could not be read.", "%zu photos could not be read.", not_read), not_read);
    fputs("</p>", to);
  }
  if (json_is_true(json_object_get(m, "plan_failed"))) fprintf(to, "<p>! %s</p>", _("The plan could not be read."));
  if (json_is_true(json_object_get(m, "overloaded")))
    fprintf(to, "<p>! %s</p>", bc_text_safety("Something on this wall does not hold by these figures."));
  fputs("<p><a href=\"", to);
  link_to(to, name);
  fprintf(to, "/feedback.pdf\">PDF</a></p></li>\n");
}

static const char head[] =
    "<meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width,initial-scale=1\"><style>"
    "body{margin:0 auto;max-width:62rem;padding:1rem 1rem 3rem;font:1.0625rem/1.5 Andika,'Noto Sans',system-ui,"
    "sans-serif;color:#1b1a18;background:#fbfaf7}h1{font-size:1.7rem;margin:.3rem 0}h2{font-size:1.2rem;margin:0 0 "
    ".3rem}"
    "ol{list-style:none;padding:0;display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,19rem),1fr));"
    "gap:1rem}li{border:1px solid #1b1a18;padding:.8rem 1rem;background:#fff}p{margin:.25rem 0}a{color:inherit}"
    "svg{max-width:100%;height:auto}li img{display:block;width:100%;height:auto;aspect-ratio:4/3;object-fit:contain;"
    "margin-bottom:.7rem}</style>";

static bc_status write_page(bc_context *context, const row *rows, size_t count, const char *path) {
  bc_file_writer *writer = NULL;
  const bc_status status = bc_file_writer_open(&writer, context, path);
  if (status != BC_OK) return status;
  FILE *to = bc_file_writer_stream(writer);
  /* TRANSLATORS: the two-letter code of your language, for example es. */
  fprintf(to, "<!doctype html>\n<html lang=\"%s\" dir=\"%s\"><head>%s<title>%s</title></head><body>\n", _("en"),
          bc_language_right_to_left() ? "rtl" : "ltr", head, _("Feedback for makers"));
  fputs("<svg width=\"0\" height=\"0\" style=\"position:absolute\" aria-hidden=\"true\"><defs><pattern id=\"h\" "
        "width=\"5\" height=\"5\" "
        "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"2\" height=\"5\" "
        "fill=\"#1b1a18\"/></pattern></defs></svg>\n",
        to);
  fprintf(to, "<h1>%s</h1><p>", _("Feedback for makers"));
  fprintf(to,
          bc_text_plural("%zu maker; where a change of cloth would help most comes first.",
                         "%zu makers; where a change of cloth would help most comes first.", count),
          count);
  fprintf(to, "</p><p>%s</p>\n<ol>\n",
          _("Bars: black stands out, striped is soft, white gets lost on the wall as it is."));
  for (size_t i = 0; i < count; i++) put_maker(to, rows[i].maker);
  fputs("</ol><p><a href=\"makers.csv\">makers.csv</a></p></body></html>\n", to);
  return bc_file_writer_commit(writer, context);
}

bc_status feedback_index(bc_context *context, char *const *lines, size_t count, const char *output) {
  row *rows = bc_allocate(count, sizeof *rows);
  char *page = bc_path_join(output, "index.html"), *csv = bc_path_join(output, "makers.csv");
  bc_status status = rows && page && csv ? BC_OK : bc_fail_memory(context);
  size_t used = 0;
  for (size_t i = 0; status == BC_OK && i < count; i++) {
    json_t *maker = lines[i] ? json_loads(lines[i], 0, NULL) : NULL;
    if (maker) rows[used] = (row){maker, number_of(maker, NULL, "need"), i}, used++;
  }
  if (status == BC_OK) {
    qsort(rows, used, sizeof *rows, more_need);
    status = write_csv(context, rows, used, csv);
  }
  if (status == BC_OK) status = write_page(context, rows, used, page);
  for (size_t i = 0; i < used; i++) json_decref(rows[i].maker);
  free(rows);
  free(page);
  free(csv);
  return status;
}
