/* SPDX-License-Identifier: MIT */
/* The table of calls: docs/web.md lists the same. */
#include "routes.h"

#include <stdio.h>
#include <string.h>

static const web_route routes[] = {
    {"GET", "/api/health", WEB_NOBODY, WEB_OF_NONE, WEB_AT_ONCE, false, web_show_health},
    {"GET", "/api/me", WEB_NOBODY, WEB_OF_NONE, WEB_QUICK, false, web_show_me},
    {"POST", "/api/enter", WEB_NOBODY, WEB_OF_NONE, WEB_TOUCH, false, web_enter},
    {"POST", "/api/leave", WEB_NOBODY, WEB_OF_NONE, WEB_QUICK, false, web_leave},
    {"GET", "/api/words", WEB_NOBODY, WEB_OF_NONE, WEB_QUICK, false, web_show_words},
    {"GET", "/api/makers", WEB_OWNER, WEB_OF_NONE, WEB_TOUCH, false, web_list_makers},
    {"POST", "/api/makers", WEB_OWNER, WEB_OF_NONE, WEB_QUICK, false, web_add_maker},
    {"GET", "/api/makers/*", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_show_maker},
    {"PUT", "/api/makers/*", WEB_OWNER, WEB_OF_MAKER, WEB_QUICK, false, web_rename_maker},
    {"DELETE", "/api/makers/*", WEB_OWNER, WEB_OF_MAKER, WEB_QUICK, false, web_delete_maker},
    {"POST", "/api/makers/*/restore", WEB_OWNER, WEB_OF_MAKER, WEB_QUICK, false, web_restore_maker},
    {"POST", "/api/makers/*/archive", WEB_OWNER, WEB_OF_MAKER, WEB_QUICK, false, web_archive_maker},
    {"GET", "/api/makers/*/figures", WEB_OWNER, WEB_OF_MAKER, WEB_TOUCH, false, web_show_figures},
    {"GET", "/api/makers/*/glance", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_show_glance},
    {"GET", "/api/makers/*/trash", WEB_MAKER, WEB_OF_MAKER, WEB_QUICK, false, web_show_trash},
    {"GET", "/api/trash", WEB_OWNER, WEB_OF_NONE, WEB_QUICK, false, web_show_trash},
    {"POST", "/api/makers/*/photos", WEB_MAKER, WEB_OF_MAKER, WEB_UPLOADS, true, web_add_photo},
    {"POST", "/api/makers/*/cloths", WEB_MAKER, WEB_OF_MAKER, WEB_TOUCH, false, web_add_cloth},
    {"DELETE", "/api/makers/*/cloths/*", WEB_MAKER, WEB_OF_MAKER, WEB_QUICK, false, web_delete_cloth},
    {"GET", "/api/makers/*/match", WEB_VIEWER, WEB_OF_MAKER, WEB_TOUCH, false, web_show_match},
    {"GET", "/api/makers/*/suggest", WEB_VIEWER, WEB_OF_MAKER, WEB_TOUCH, false, web_show_suggestions},
    {"GET", "/api/makers/*/plan", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_show_plan},
    {"PUT", "/api/makers/*/plan", WEB_MAKER, WEB_OF_MAKER, WEB_QUICK, false, web_save_plan},
    {"POST", "/api/makers/*/plan/undo", WEB_MAKER, WEB_OF_MAKER, WEB_QUICK, false, web_undo_plan},
    {"POST", "/api/makers/*/plan/redo", WEB_MAKER, WEB_OF_MAKER, WEB_QUICK, false, web_redo_plan},
    {"POST", "/api/makers/*/plan/check", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_check_plan},
    {"POST", "/api/makers/*/plan/arrange", WEB_MAKER, WEB_OF_MAKER, WEB_TOUCH, false, web_arrange_plan},
    {"GET", "/api/makers/*/packing", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_show_packing},
    {"GET", "/api/makers/*/loads", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_show_loads},
    {"GET", "/api/makers/*/files/*", WEB_VIEWER, WEB_OF_MAKER, WEB_TOUCH, false, web_send_file},
    {"GET", "/api/makers/*/comments", WEB_VIEWER, WEB_OF_MAKER, WEB_QUICK, false, web_list_remarks},
    {"POST", "/api/makers/*/comments", WEB_MAKER, WEB_OF_MAKER, WEB_QUICK, false, web_add_remark},
    {"PUT", "/api/comments/*", WEB_MAKER, WEB_OF_REMARK, WEB_QUICK, false, web_change_remark},
    {"DELETE", "/api/comments/*", WEB_OWNER, WEB_OF_REMARK, WEB_QUICK, false, web_delete_remark},
    {"POST", "/api/comments/*/restore", WEB_OWNER, WEB_OF_REMARK, WEB_QUICK, false, web_restore_remark},
    {"GET", "/api/makers/*/links", WEB_OWNER, WEB_OF_MAKER, WEB_QUICK, false, web_list_links},
    {"POST", "/api/makers/*/links", WEB_OWNER, WEB_OF_MAKER, WEB_QUICK, false, web_add_link},
    {"DELETE", "/api/links/*", WEB_OWNER, WEB_OF_LINK, WEB_QUICK, false, web_delete_link},
    {"POST", "/api/photos/*/ready", WEB_MAKER, WEB_OF_PHOTO, WEB_TOUCH, false, web_ready_photo},
    {"PUT", "/api/photos/*/help", WEB_MAKER, WEB_OF_PHOTO, WEB_TOUCH, false, web_help_photo},
    {"PUT", "/api/photos/*", WEB_MAKER, WEB_OF_PHOTO, WEB_QUICK, false, web_change_photo},
    {"DELETE", "/api/photos/*", WEB_MAKER, WEB_OF_PHOTO, WEB_QUICK, false, web_delete_photo},
    {"POST", "/api/photos/*/restore", WEB_MAKER, WEB_OF_PHOTO, WEB_QUICK, false, web_restore_photo},
    {"GET", "/api/photos/*/preview", WEB_VIEWER, WEB_OF_PHOTO, WEB_QUICK, false, web_send_preview},
    {"GET", "/api/photos/*/cutout", WEB_VIEWER, WEB_OF_PHOTO, WEB_QUICK, false, web_send_cutout},
    {"GET", "/api/photos/*/mask", WEB_VIEWER, WEB_OF_PHOTO, WEB_QUICK, false, web_send_mask},
};

static bool fits(const char *pattern, const char *path, char argument[2][64]) {
  unsigned found = 0;
  while (*pattern) {
    if (*pattern != '*') {
      if (*pattern++ != *path++) return false;
      continue;
    }
    const size_t length = strcspn(path, "/");
    if (length == 0 || length >= 64 || found == 2) return false;
    snprintf(argument[found++], 64, "%.*s", (int)length, path);
    path += length;
    pattern++;
  }
  return *path == '\0';
}

const web_route *web_find_route(web_request *r) {
  for (size_t i = 0; i < sizeof routes / sizeof *routes; i++)
    if (strcmp(routes[i].method, r->method) == 0 && fits(routes[i].path, r->path, r->argument)) return &routes[i];
  return NULL;
}
