/* SPDX-License-Identifier: MIT */
/* Who is there: the page's first question, the password, the page's words. */
#include "calls.h"
#include "web/http/request_words.h"

#include <stdlib.h>
#include <string.h>

static json_t *languages_json(void) {
  size_t count;
  const web_language *all = web_languages(&count);
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++)
    json_array_append_new(list,
                          json_pack("{s:s,s:s,s:b}", "code", all[i].code, "name", all[i].name, "rtl", (int)all[i].rtl));
  return list;
}

web_answer web_show_me(web_request *r) {
  static const char *const roles[] = {"nobody", "viewer", "maker", "owner"};
  char csrf[65];
  web_csrf(r, csrf);
  return web_json(200, json_pack("{s:s,s:s,s:s?,s:o,s:s,s:s,s:s,s:b,s:{s:I,s:i}}", "role", roles[r->role], "csrf", csrf,
                                 "maker", *r->maker ? r->maker : NULL, "languages", languages_json(), "language",
                                 r->language, "units", r->imperial ? "imperial" : "metric", "version", bc_version(),
                                 "password", r->server->password_hash[0] != '\0', "limits", "photo_bytes",
                                 (json_int_t)WEB_PHOTO_MOST, "photos", WEB_PHOTOS_MOST));
}

static web_answer begin_visit(web_request *r) {
  char token[64];
  const char *public = r->server->options.public_url;
  web_new_token(token, r->session);
  if (!web_visit_begin(r->server->store, r->session)) return web_refuse_store(r);
  r->has_session = true;
  r->role = WEB_OWNER;
  web_answer answer = web_show_me(r);
  answer.cookie = bc_format("backcloth=%s; Path=/; HttpOnly; SameSite=Strict; Max-Age=%d%s", token,
                            (int)(WEB_VISIT_DAYS * WEB_DAY_MS / 1000),
                            public && strncmp(public, "https:", 6) == 0 ? "; Secure" : "");
  return answer;
}

web_answer web_enter(web_request *r) {
  const char *password = web_given(r, "password");
  char who[80];
  snprintf(who, sizeof who, "enter %s", r->peer);
  if (!web_rate(r->server, who, 8, 300) || !web_rate(r->server, "enter", 60, 300))
    return web_refuse(r, 429, "password", N_("Too many tries. Wait five minutes, then try again."));
  pthread_mutex_lock(&r->server->entering);
  const bool right = password && r->server->password_hash[0] &&
                     crypto_pwhash_str_verify(r->server->password_hash, password, strlen(password)) == 0;
  pthread_mutex_unlock(&r->server->entering);
  return right ? begin_visit(r) : web_refuse(r, 403, "password", N_("That is not the password."));
}

web_answer web_leave(web_request *r) {
  if (r->has_session && !web_visit_end(r->server->store, r->session)) return web_refuse_store(r);
  web_answer answer = web_json(200, json_object());
  answer.cookie = bc_copy_text("backcloth=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0");
  return answer;
}

web_answer web_show_words(web_request *r) {
  char *words = web_words_for_page(r->language);
  return words ? web_text(200, "application/json", words, strlen(words)) : web_refuse_store(r);
}

web_answer web_show_health(web_request *r) {
  (void)r;
  return web_json(200, json_pack("{s:b}", "ok", 1));
}
