/* SPDX-License-Identifier: MIT */
#ifndef BC_SRC_WEB_FOUND_PHOTOS_H
#define BC_SRC_WEB_FOUND_PHOTOS_H

#include "web/server.h"

/* Makes pieces of all photos that lie aside; `left`: those that cannot be opened, which stay there. */
bool web_take_found_photos(web_server *server, size_t *taken, size_t *left);

#endif
