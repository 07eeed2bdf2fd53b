/* SPDX-License-Identifier: MIT */
#ifndef BC_SRC_WEB_HTTP_ADDRESS_H
#define BC_SRC_WEB_HTTP_ADDRESS_H

#include <stdbool.h>

#define WEB_ADDRESS_MOST 8000u /* bytes; what RFC 9110 section 4.1 asks every server to take */

/* Whether a request's address, path and query as they came, begins with a slash, has only whole escapes, and is UTF-8
 * without control characters. */
bool web_address_is_whole(const char *raw);

#endif
