/* SPDX-License-Identifier: MIT */
#ifndef BC_SRC_WEB_HTTP_H
#define BC_SRC_WEB_HTTP_H

#include "request.h"
#include <sys/socket.h>

bool web_http_start(web_server *server, const struct sockaddr *address);
void web_http_stop(web_server *server); /* finishes what is being answered */

#endif
