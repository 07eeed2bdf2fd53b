/* SPDX-License-Identifier: MIT */
/* Calls that the shell is going to make are named in its Link header (RFC 8288, rel=preload of the W3C's Resource
 * Hints), so that a slow phone asks for them while the page itself is still on its way. */
#include "request.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

/* The part of the path after `before` up to the next slash; false unless it is a token that we gave. */
static bool token_after(char token[64], const char *path, const char *before) {
  const size_t skipped = strlen(before);
  if (strncmp(path, before, skipped) != 0) return false;
  const char *from = path + skipped;
  const size_t length = strcspn(from, "/");
  if (length == 0 || length >= 64) return false;
  for (size_t i = 0; i < length; i++)
    if (!isalnum((unsigned char)from[i]) && from[i] != '-' && from[i] != '_') return false;
  memcpy(token, from, length);
  token[length] = '\0';
  return true;
}

static void name_call(char **to, const char *path, const char *more, const char *link) {
  char *longer = bc_format("%s%s<%s%s%s%.*s>; rel=preload; as=fetch; crossorigin", *to ? *to : "", *to ? ", " : "",
                           path, more, link ? "?with=" : "", link ? 8 : 0, link ? link : "");
  free(*to);
  *to = longer;
}

static bool is_known(const web_request *r) {
  return !r->server->password_hash[0] || web_cookie(r, "backcloth") != NULL;
}

void web_look_ahead(const web_request *r, web_answer *answer) {
  char **to = &answer->ahead;
  char token[64], id[64], maker[96];
  const char *link = token_after(token, r->path, "/with/") ? token : NULL;
  const char *rest = link ? r->path + strlen("/with/") + strlen(link) : r->path;
  if (link) answer->cookie = web_link_cookie(r, link);
  name_call(to, "/api/me", "", link);
  if (strcmp(r->language, "en") != 0) {
    char words[64];
    snprintf(words, sizeof words, "/api/words?language=%s", r->language);
    name_call(to, words, "", NULL);
  }
  if (!link && !is_known(r)) return;
  if (token_after(id, rest, "/maker/")) {
    snprintf(maker, sizeof maker, "/api/makers/%s", id);
    name_call(to, maker, "", link);
    name_call(to, maker, "/plan", link);
  } else if (!link)
    name_call(to, "/api/makers", "?figures=kept", NULL);
}
