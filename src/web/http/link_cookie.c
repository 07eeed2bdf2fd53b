/* SPDX-License-Identifier: MIT */
/* Addresses are written down by proxies and browsers, so a link's token is in none but the first. The shell under
 * /with/TOKEN sets it as a cookie, one for each link, since a mentor may look through several at once; pictures and
 * downloads then name the cookie by its key, which are the token's first letters and open nothing. */
#include "request.h"

#include <ctype.h>
#include <string.h>

#define KEY 8
#define DAYS 366 /* as long as a link lasts at most */

bool web_link_cookie_name(char name[WEB_LINK_COOKIE], const char *token) {
  for (size_t i = 0; i < KEY; i++)
    if (!isalnum((unsigned char)token[i]) && token[i] != '-' && token[i] != '_') return false;
  snprintf(name, WEB_LINK_COOKIE, "with-%.*s", KEY, token);
  return true;
}

char *web_link_cookie(const web_request *r, const char *token) {
  char name[WEB_LINK_COOKIE];
  const char *public = r->server->options.public_url;
  if (!web_link_cookie_name(name, token)) return NULL;
  return bc_format("%s=%s; Path=/api/; HttpOnly; SameSite=Strict; Max-Age=%d%s", name, token, DAYS * 24 * 3600,
                   public && strncmp(public, "https:", 6) == 0 ? "; Secure" : "");
}
