/* SPDX-License-Identifier: MIT */
/* What was typed, as a page that any browser shows without the program. */
#include "backup.h"
#include "makers.h"
#include "photos.h"
#include "plans.h"
#include "remarks.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

static void add_text(bc_buffer *page, const char *text) {
  for (; text && *text; text++) {
    const char *escaped = *text == '<'   ? "&lt;"
                          : *text == '>' ? "&gt;"
                          : *text == '&' ? "&amp;"
                          : *text == '"' ? "&quot;"
                                         : NULL;
    if (escaped)
      bc_buffer_add(page, "%s", escaped);
    else
      bc_buffer_add_bytes(page, text, 1);
  }
}

/* RFC 3986: what a path may not hold as it is. */
static void add_path(bc_buffer *page, const char *path) {
  for (; path && *path; path++)
    if (strchr("/-_.~", *path) || (*path >= '0' && *path <= '9') || (*path >= 'a' && *path <= 'z') ||
        (*path >= 'A' && *path <= 'Z'))
      bc_buffer_add_bytes(page, path, 1);
    else
      bc_buffer_add(page, "%%%02X", (unsigned char)*path);
}

static void add_measure(bc_buffer *page, const char *name, double value, const char *unit) {
  if (value > 0) bc_buffer_add(page, "<br>%s: %g %s", name, value, unit);
}

typedef struct paging {
  bc_buffer page;
  web_store *store;
  web_name_of *name_of;
  const void *data;
} paging;

static void add_photo(paging *p, const web_photo *photo) {
  const char *path = p->name_of(p->data, photo->id);
  bc_buffer_add(&p->page, "<li>");
  if (path) {
    bc_buffer_add(&p->page, "<a href=\"");
    add_path(&p->page, path);
    bc_buffer_add(&p->page, "\"><img loading=lazy height=160 alt=\"\" src=\"");
    add_path(&p->page, path);
    bc_buffer_add(&p->page, "\"></a><br>");
  }
  bc_buffer_add(&p->page, "<b>");
  add_text(&p->page, photo->title);
  bc_buffer_add(&p->page, "</b>");
  if (photo->is_cloth) bc_buffer_add(&p->page, " (%s)", _("a cloth"));
  add_measure(&p->page, _("Width"), photo->width_cm, "cm");
  add_measure(&p->page, _("Height"), photo->height_cm, "cm");
  add_measure(&p->page, _("Weight"), photo->weight_g, "g");
  bc_buffer_add(&p->page, "</li>\n");
}

static bool add_photos(paging *p, const char *maker, bool deleted) {
  web_photos photos;
  if (!web_photos_of(p->store, maker, WEB_ALL_PHOTOS, deleted, &photos)) return false;
  if (photos.count) bc_buffer_add(&p->page, "<h3>%s</h3><ul class=photos>", deleted ? _("In the trash") : _("Photos"));
  for (size_t i = 0; i < photos.count; i++) add_photo(p, &photos.item[i]);
  if (photos.count) bc_buffer_add(&p->page, "</ul>\n");
  web_photos_clear(&photos);
  return true;
}

static bool add_cloths(paging *p, const char *maker) {
  web_cloths cloths;
  if (!web_cloths_of(p->store, maker, &cloths)) return false;
  if (cloths.count) bc_buffer_add(&p->page, "<h3>%s</h3><ul>", _("Cloths"));
  for (size_t i = 0; i < cloths.count; i++) {
    bc_buffer_add(&p->page, "<li>");
    add_text(&p->page, cloths.item[i].name);
    if (cloths.item[i].css) {
      bc_buffer_add(&p->page, ": ");
      add_text(&p->page, cloths.item[i].css);
    }
    bc_buffer_add(&p->page, "</li>\n");
  }
  if (cloths.count) bc_buffer_add(&p->page, "</ul>\n");
  web_cloths_clear(&cloths);
  return true;
}

static void add_remark(paging *p, const web_remark *remark) {
  bc_buffer_add(&p->page, "<li>");
  if (remark->by_owner) bc_buffer_add(&p->page, "<i>%s:</i> ", _("Mentor"));
  if (remark->by_maker) bc_buffer_add(&p->page, "<i>%s:</i> ", _("Maker"));
  add_text(&p->page, remark->text);
  if (remark->done) bc_buffer_add(&p->page, " ✓");
  bc_buffer_add(&p->page, "</li>\n");
}

static bool add_remarks(paging *p, const char *maker) {
  web_remarks remarks;
  if (!web_remarks_of(p->store, maker, &remarks)) return false;
  if (remarks.count) bc_buffer_add(&p->page, "<h3>%s</h3><ul>", _("Remarks"));
  for (size_t i = 0; i < remarks.count; i++) add_remark(p, &remarks.item[i]);
  if (remarks.count) bc_buffer_add(&p->page, "</ul>\n");
  web_remarks_clear(&remarks);
  return true;
}

/* The plan as the plan file writes it: every word and number that was set on the page. */
static bool add_plan(paging *p, const char *maker) {
  web_revision head;
  if (web_plan_head(p->store, maker, &head) == WEB_FAILED) return false;
  char *text = head.plan ? json_dumps(head.plan, JSON_INDENT(2) | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15)) : NULL;
  json_decref(head.plan);
  if (!text) return true;
  bc_buffer_add(&p->page, "<details><summary>%s</summary><pre>", _("The plan"));
  add_text(&p->page, text);
  bc_buffer_add(&p->page, "</pre></details>\n");
  free(text);
  return true;
}

static bool add_makers(paging *p, web_shelf shelf) {
  web_makers makers;
  if (!web_makers_list(p->store, shelf, &makers)) return false;
  bool fine = true;
  for (size_t i = 0; fine && i < makers.count; i++) {
    const char *id = makers.item[i].id;
    bc_buffer_add(&p->page, "<h2>");
    add_text(&p->page, makers.item[i].name);
    bc_buffer_add(&p->page, "%s%s</h2>\n", shelf == WEB_ON_DESK ? "" : " · ",
                  shelf == WEB_ON_DESK    ? ""
                  : shelf == WEB_ARCHIVED ? _("archived")
                                          : _("In the trash"));
    fine = add_photos(p, id, false) && add_cloths(p, id) && add_remarks(p, id) && add_plan(p, id) &&
           add_photos(p, id, true);
  }
  web_makers_clear(&makers);
  return fine;
}

bc_status web_backup_page(char **out, bc_context *context, web_store *store, web_name_of *name_of, const void *data) {
  paging p = {.store = store, .name_of = name_of, .data = data};
  bc_buffer_add(&p.page, "<!doctype html><meta charset=utf-8><title>backcloth</title><style>body{font:16px sans-serif;"
                         "max-width:60em;margin:2em auto}.photos{display:flex;flex-wrap:wrap;gap:1em;list-style:none;"
                         "padding:0}h2{border-top:1px solid;padding-top:1em}</style>\n<h1>backcloth</h1>\n");
  if (add_makers(&p, WEB_ON_DESK) && add_makers(&p, WEB_ARCHIVED) && add_makers(&p, WEB_IN_TRASH))
    return bc_buffer_finish(&p.page, out, context);
  bc_buffer_clear(&p.page);
  return bc_fail(context, BC_BAD_DATA, _("The database cannot be read as a whole. Start with --recover."));
}
