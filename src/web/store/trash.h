/* SPDX-License-Identifier: MIT */
/* Photos in the trash, and what plans say of them. */
#ifndef BC_SRC_WEB_STORE_TRASH_H
#define BC_SRC_WEB_STORE_TRASH_H

#include "plans.h"

/* Takes every piece and every cloth away that is this photo; whether there was one. */
bool web_plan_drop_photo(json_t *plan, const char *photo);
/* Out of all revisions, and of what is kept to bring other photos back. */
bool store_forget_in_plans(web_store *store, const char *photo);

#endif
