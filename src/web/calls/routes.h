/* SPDX-License-Identifier: MIT */
/* The calls' own functions: routes.c says which answers what. */
#ifndef BC_SRC_WEB_ROUTES_H
#define BC_SRC_WEB_ROUTES_H

#include "web/http/request.h"

typedef web_answer web_call(web_request *r);

web_call web_list_makers, web_add_maker, web_rename_maker, web_delete_maker, web_restore_maker, web_archive_maker,
    web_show_maker, web_show_figures, web_show_glance, web_show_trash;
web_call web_add_photo, web_ready_photo, web_help_photo, web_change_photo, web_delete_photo, web_restore_photo;
web_call web_send_preview, web_send_cutout, web_send_mask;
web_call web_add_cloth, web_delete_cloth, web_show_match, web_show_suggestions;
web_call web_show_plan, web_save_plan, web_undo_plan, web_redo_plan, web_check_plan, web_arrange_plan, web_show_packing,
    web_show_loads, web_send_file;
web_call web_list_remarks, web_add_remark, web_change_remark, web_delete_remark, web_restore_remark;
web_call web_list_links, web_add_link, web_delete_link;
web_call web_show_me, web_enter, web_leave, web_show_words, web_show_health;

#endif
