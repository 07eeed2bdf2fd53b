/* SPDX-License-Identifier: MIT */
/* Who is there: the page's first question, the password, the page's words. */
#include "calls.h"
#include "web/http/request_words.h"

#include <backcloth/sentences.h>
#include <stdio.h>
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
  return web_json(200,
                  json_pack("{s:s,s:s,s:s?,s:o,s:s,s:s,s:s,s:b,s:{s:I,s:i},s:o}", "role", roles[r->role], "csrf", csrf,
                            "maker", *r->maker ? r->maker : NULL, "languages", languages_json(), "language",
                            r->language, "units", r->imperial ? "imperial" : "metric", "version", bc_version(),
                            "password", r->server->password_hash[0] != '\0', "limits", "photo_bytes",
                            (json_int_t)WEB_PHOTO_MOST, "photos", WEB_PHOTOS_MOST, "defaults", web_plan_defaults()));
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

/* --- guessing is slowed, nobody is locked out ------------------------------------------------------------- */

#define TRIES 8
#define TRIES_S 300
#define PAUSE_S 10
#define DEVICE_DAYS 400

/* A device on which the password was right before is told from strangers behind the same address. */
static void device_mark(const web_request *r, const char *name, char mark[2 * crypto_generichash_BYTES + 1]) {
  uint8_t hash[crypto_generichash_BYTES];
  crypto_generichash(hash, sizeof hash, (const uint8_t *)name, strlen(name), r->server->secret,
                     sizeof r->server->secret);
  sodium_bin2hex(mark, 2 * sizeof hash + 1, hash, sizeof hash);
}

static bool is_known_device(const web_request *r, char name[64]) {
  char mark[2 * crypto_generichash_BYTES + 1];
  const char *cookie = web_cookie(r, "backcloth-device"), *dot = cookie ? strchr(cookie, '.') : NULL;
  if (!dot || dot - cookie >= 64) return false;
  snprintf(name, 64, "%.*s", (int)(dot - cookie), cookie);
  device_mark(r, name, mark);
  return strlen(dot + 1) == sizeof mark - 1 && sodium_memcmp(dot + 1, mark, sizeof mark - 1) == 0;
}

static void name_asker(const web_request *r, char who[80]) {
  char device[64];
  if (is_known_device(r, device))
    snprintf(who, 80, "enter device %.60s", device);
  else
    snprintf(who, 80, "enter %s", r->peer);
}

static bool may_try(const web_request *r, const char *who) {
  char slow[96];
  snprintf(slow, sizeof slow, "slow %s", who);
  return !web_rate_is_spent(r->server, who, TRIES, TRIES_S) || web_rate(r->server, slow, 1, PAUSE_S);
}

static bool is_right(const web_request *r, const char *password) {
  pthread_mutex_lock(&r->server->entering);
  const bool right = password && r->server->password_hash[0] &&
                     crypto_pwhash_str_verify(r->server->password_hash, password, strlen(password)) == 0;
  pthread_mutex_unlock(&r->server->entering);
  return right;
}

static char *device_cookie(const web_request *r) {
  char name[64], mark[2 * crypto_generichash_BYTES + 1];
  uint8_t unused[WEB_HASH];
  const char *public = r->server->options.public_url;
  web_new_token(name, unused);
  device_mark(r, name, mark);
  return bc_format("backcloth-device=%s.%s; Path=/api/enter; HttpOnly; SameSite=Strict; Max-Age=%d%s", name, mark,
                   DEVICE_DAYS * 24 * 3600, public && strncmp(public, "https:", 6) == 0 ? "; Secure" : "");
}

web_answer web_enter(web_request *r) {
  char who[80];
  name_asker(r, who);
  if (!may_try(r, who))
    return web_refuse(r, 429, "password", N_("Many tries in a short time. Wait ten seconds, then try again."));
  if (!is_right(r, web_given(r, "password"))) {
    web_rate(r->server, who, TRIES, TRIES_S);
    return web_refuse(r, 403, "password", N_("That is not the password."));
  }
  web_answer answer = begin_visit(r);
  char *device = answer.cookie ? device_cookie(r) : NULL,
       *both = device ? bc_format("%s\n%s", answer.cookie, device) : NULL;
  if (both) {
    free(answer.cookie);
    answer.cookie = both;
  }
  free(device);
  return answer;
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
  bc_apart_pool *decoders = r->server->decoders, *planners = r->server->planners;
  const unsigned open = bc_apart_pool_alive(decoders), drawn = bc_apart_pool_alive(planners);
  return web_json(200, json_pack("{s:b,s:{s:i,s:i},s:{s:i,s:i}}", "ok", open > 0 && drawn > 0, "decoders", "alive",
                                 (int)open, "wanted", (int)bc_apart_pool_wanted(decoders), "desks", "alive", (int)drawn,
                                 "wanted", (int)bc_apart_pool_wanted(planners)));
}
