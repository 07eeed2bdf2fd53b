/* SPDX-License-Identifier: MIT */
/* The calls' own functions. */
#ifndef BC_SRC_WEB_ROUTES_H
#define BC_SRC_WEB_ROUTES_H

#include "web/server.h"

void web_add_photo(web_request *r);
void web_ready_photo(web_request *r);
void web_help_photo(web_request *r);
void web_change_photo(web_request *r);
void web_delete_photo(web_request *r);
void web_restore_photo(web_request *r);
void web_send_preview(web_request *r);
void web_send_cutout(web_request *r);
void web_send_mask(web_request *r);
/* Decodes a stored photo with its help, or a new one; *version is the stored one. False after refusing. */
bool web_decode_stored(web_request *r, const char *id, uint32_t kind, const char *new_help, web_message *out,
                       sqlite3_int64 *version);

void web_list_makers(web_request *r);
void web_add_maker(web_request *r);
void web_rename_maker(web_request *r);
void web_delete_maker(web_request *r);
void web_restore_maker(web_request *r);
void web_show_maker(web_request *r);

void web_add_cloth(web_request *r);
void web_delete_cloth(web_request *r);
void web_show_match(web_request *r);
void web_show_suggestions(web_request *r);

void web_show_plan(web_request *r);
void web_save_plan(web_request *r);
void web_undo_plan(web_request *r);
void web_redo_plan(web_request *r);
void web_check_plan(web_request *r);
void web_arrange_plan(web_request *r);
void web_show_packing(web_request *r);
void web_show_loads(web_request *r);
void web_send_file(web_request *r);

void web_list_comments(web_request *r);
void web_add_comment(web_request *r);
void web_change_comment(web_request *r);
void web_delete_comment(web_request *r);
void web_list_links(web_request *r);
void web_add_link(web_request *r);
void web_delete_link(web_request *r);

void web_show_me(web_request *r);
void web_enter(web_request *r);
void web_leave(web_request *r);
void web_show_words(web_request *r);
void web_show_health(web_request *r);

#endif
