/* SPDX-License-Identifier: MIT */
/* Who may: Host (no foreign name may point here), Origin and check value (no other page may write here),
 * session or link, and the maker that a call is about. */
#include "request.h"

#include <arpa/inet.h>
#include <backcloth/sentences.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* --- host and origin ----------------------------------------------------------------------------------- */

static const char *after_scheme(const char *url) {
  const char *end = url ? strstr(url, "://") : NULL;
  return end ? end + 3 : NULL;
}

static bool same_host(const char *first, const char *second) {
  const size_t a = strcspn(first, "/"), b = strcspn(second, "/");
  return a == b && strncasecmp(first, second, a) == 0;
}

/* A name can be made to point anywhere, an address cannot. */
static bool is_address_or_localhost(const char *host) {
  char name[64];
  const bool v6 = host[0] == '[';
  const size_t length = v6 ? strcspn(host + 1, "]") : strcspn(host, ":");
  if (length >= sizeof name) return false;
  memcpy(name, host + v6, length);
  name[length] = '\0';
  uint8_t address[16];
  return strcasecmp(name, "localhost") == 0 || inet_pton(v6 ? AF_INET6 : AF_INET, name, address) == 1;
}

static bool host_is_ours(const web_request *r, const char *host) {
  const char *public = after_scheme(r->server->options.public_url);
  return host && ((public && same_host(host, public)) || is_address_or_localhost(host));
}

static bool is_same_origin(const web_request *r, const char *host) {
  const char *site = web_header(r, "Sec-Fetch-Site"), *origin = web_header(r, "Origin");
  if (site && strcmp(site, "same-origin") != 0 && strcmp(site, "none") != 0) return false;
  if (!origin) return true;
  const char *from = after_scheme(origin);
  return from && same_host(from, host);
}

/* --- session and link ------------------------------------------------------------------------------------ */

void web_hash_token(uint8_t hash[WEB_HASH], const char *token) {
  crypto_generichash(hash, WEB_HASH, (const uint8_t *)token, strlen(token), NULL, 0);
}

static web_found find_session(web_request *r) {
  const char *token = web_cookie(r, "backcloth");
  if (!token) return WEB_NONE;
  web_hash_token(r->session, token);
  const web_found found = web_visit_find(r->server->store, r->session, &r->session_is_stale);
  r->has_session = found == WEB_FOUND;
  return found;
}

static web_found find_link(web_request *r, const char *token) {
  uint8_t hash[WEB_HASH];
  web_link link;
  web_hash_token(hash, token);
  const web_found found = web_link_by_token(r->server->store, hash, &link);
  if (found != WEB_FOUND) return found;
  memcpy(r->link, link.id, sizeof r->link);
  memcpy(r->maker, link.maker, sizeof r->maker);
  r->role = link.invites ? WEB_MAKER : WEB_VIEWER;
  return WEB_FOUND;
}

/* ?with=KEY: the token is in a cookie (http/link_cookie.c), so that no address tells it. "" when it is not there:
 * whoever asks by a link is never taken for the owner. */
static const char *token_of_cookie(const web_request *r) {
  char name[WEB_LINK_COOKIE];
  const char *key = web_argument(r, "with");
  if (!key) return NULL;
  const char *token = web_link_cookie_name(name, key) ? web_cookie(r, name) : NULL;
  return token ? token : "-";
}

static web_answer find_role(web_request *r) {
  const char *token = web_header(r, "X-Link");
  if (!token) token = web_argument(r, "link");
  if (!token) token = token_of_cookie(r);
  if (find_session(r) == WEB_FAILED) return web_refuse_store(r);
  if (token && *token) {
    const web_found found = find_link(r, token);
    if (found == WEB_NONE) return web_refuse(r, 403, NULL, N_("This link is no longer valid. Ask for a new one."));
    return found == WEB_FOUND ? WEB_GO_ON : web_refuse_store(r);
  }
  if (!r->server->password_hash[0] || r->has_session) r->role = WEB_OWNER;
  return WEB_GO_ON;
}

void web_csrf(const web_request *r, char out[65]) {
  uint8_t key[WEB_HASH];
  crypto_generichash_state state;
  crypto_generichash_init(&state, r->server->secret, sizeof r->server->secret, WEB_HASH);
  if (r->has_session) crypto_generichash_update(&state, r->session, WEB_HASH);
  crypto_generichash_update(&state, (const uint8_t *)r->link, strlen(r->link));
  crypto_generichash_final(&state, key, WEB_HASH);
  sodium_bin2hex(out, 65, key, sizeof key);
}

static bool check_value_fits(const web_request *r) {
  char wanted[65];
  const char *given = web_header(r, "X-Backcloth");
  web_csrf(r, wanted);
  return given && strlen(given) == 64 && sodium_memcmp(given, wanted, 64) == 0;
}

/* --- the maker ---------------------------------------------------------------------------------------------- */

static web_answer find_maker(web_request *r) {
  char maker[WEB_ID + 1] = "";
  bool gone = false;
  if (r->route->of == WEB_OF_NONE) return WEB_GO_ON;
  const web_found found = web_maker_of(r->server->store, r->route->of, r->argument[0], maker, &gone);
  if (found == WEB_FAILED) return web_refuse_store(r);
  /* Whoever comes by a link learns nothing of other makers, not even whether they are there. */
  if (found == WEB_NONE || (r->role != WEB_OWNER && r->role != WEB_NOBODY && strcmp(maker, r->maker) != 0))
    return web_refuse_gone(r);
  /* What lies in the trash is not there for links, but for bringing it back. */
  if (gone && r->role != WEB_OWNER && strcmp(r->method, "GET") == 0) return web_refuse_gone(r);
  snprintf(r->maker, sizeof r->maker, "%s", maker);
  return WEB_GO_ON;
}

/* --- rates: fixed windows in a small table --------------------------------------------------------------- */

#define RATES 1024
static struct rate {
  char who[96];
  time_t since;
  unsigned count;
} rates[RATES];
static pthread_mutex_t rates_lock = PTHREAD_MUTEX_INITIALIZER;

/* The window of whoever it is, begun anew when its time is over. Held: rates_lock. */
static struct rate *rate_of(const web_server *server, const char *who, unsigned per_seconds) {
  uint8_t hash[crypto_shorthash_BYTES];
  crypto_shorthash(hash, (const uint8_t *)who, strlen(who), server->secret);
  uint32_t place;
  memcpy(&place, hash, sizeof place);
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  struct rate *rate = &rates[place % RATES];
  if (strncmp(rate->who, who, sizeof rate->who - 1) != 0 || now.tv_sec - rate->since >= (time_t)per_seconds) {
    snprintf(rate->who, sizeof rate->who, "%s", who);
    rate->since = now.tv_sec;
    rate->count = 0;
  }
  return rate;
}

bool web_rate(web_server *server, const char *who, unsigned most, unsigned per_seconds) {
  pthread_mutex_lock(&rates_lock);
  const bool fine = ++rate_of(server, who, per_seconds)->count <= most;
  pthread_mutex_unlock(&rates_lock);
  return fine;
}

bool web_rate_is_spent(web_server *server, const char *who, unsigned most, unsigned per_seconds) {
  pthread_mutex_lock(&rates_lock);
  const bool spent = rate_of(server, who, per_seconds)->count >= most;
  pthread_mutex_unlock(&rates_lock);
  return spent;
}

static void find_peer(web_request *r) {
  const union MHD_ConnectionInfo *info = MHD_get_connection_info(r->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
  if (info && info->client_addr->sa_family == AF_INET)
    inet_ntop(AF_INET, &((const struct sockaddr_in *)info->client_addr)->sin_addr, r->peer, sizeof r->peer);
  if (info && info->client_addr->sa_family == AF_INET6)
    inet_ntop(AF_INET6, &((const struct sockaddr_in6 *)info->client_addr)->sin6_addr, r->peer, sizeof r->peer);
  const char *forwarded = web_header(r, "X-Forwarded-For");
  if (!r->server->options.public_url || !forwarded) return;
  const char *last = strrchr(forwarded, ','); /* what our own proxy added */
  last = last ? last + 1 : forwarded;
  snprintf(r->peer, sizeof r->peer, "%s", last + strspn(last, " "));
}

/* --- language ------------------------------------------------------------------------------------------------ */

static const char *known_language(const char *text) {
  static const char *const codes[] = {"en", "es", "fr", "hi", "ar"};
  for (size_t i = 0; text && i < sizeof codes / sizeof *codes; i++)
    if (strncasecmp(text, codes[i], 2) == 0 && !(text[2] >= 'a' && text[2] <= 'z')) return codes[i];
  return NULL;
}

static const char *asked_language(const web_request *r) {
  const char *code = known_language(web_argument(r, "language"));
  if (!code) code = known_language(web_cookie(r, "language"));
  const char *list = web_header(r, "Accept-Language");
  while (!code && list && *list) { /* browsers write them in the order of preference */
    list += strspn(list, ", ");
    code = known_language(list);
    list += strcspn(list, ",");
  }
  return code ? code : "en";
}

static void find_wishes(web_request *r) {
  const char *units = web_argument(r, "units");
  if (!units) units = web_cookie(r, "units");
  r->imperial = units && strcmp(units, "imperial") == 0;
  r->language = asked_language(r);
}

/* --- what an invitation allows ------------------------------------------------------------------------------- */

/* Before a byte of the photo is taken. */
static web_answer leave_room(web_request *r) {
  web_link link;
  if (!r->route->photo || !*r->link) return WEB_GO_ON;
  const web_found found = web_link_get(r->server->store, r->link, &link);
  if (found == WEB_FAILED) return web_refuse_store(r);
  if (found == WEB_NONE || link.photos_left <= 0 || link.bytes_left <= 0)
    return web_refuse(r, 413, NULL, N_("This link has taken as many photos as it may. Ask for a new one."));
  if ((uint64_t)link.bytes_left < r->upload_most) r->upload_most = (uint64_t)link.bytes_left;
  return WEB_GO_ON;
}

/* --- all together --------------------------------------------------------------------------------------------- */

static web_answer may_write(const web_request *r, const char *host) {
  if (strcmp(r->method, "GET") == 0 || (is_same_origin(r, host) && check_value_fits(r))) return WEB_GO_ON;
  return web_refuse(r, 403, NULL, N_("This did not come from the open page. Load the page again."));
}

static web_answer may_call(const web_request *r) {
  if (r->role >= r->route->needs) return WEB_GO_ON;
  if (r->role == WEB_NOBODY) return web_refuse(r, 401, NULL, N_("Enter the password first."));
  return web_refuse(r, 403, NULL, N_("This link does not allow that."));
}

static web_answer may_send_more(const web_request *r) {
  char who[80];
  if (!r->route->photo) return WEB_GO_ON;
  snprintf(who, sizeof who, "upload %s", *r->link ? r->link : r->peer);
  if (web_rate(r->server, who, *r->link ? 200 : 2000, 600)) return WEB_GO_ON;
  return web_refuse(r, 429, NULL, N_("Many photos came in a short time. Wait ten minutes, then send the rest."));
}

/* Whose share of the workers it takes. */
static void find_who(web_request *r) {
  uint8_t who[crypto_generichash_BYTES_MIN];
  if (*r->link)
    crypto_generichash(who, sizeof who, (const uint8_t *)r->link, strlen(r->link), NULL, 0);
  else if (r->has_session)
    crypto_generichash(who, sizeof who, r->session, sizeof r->session, NULL, 0);
  else
    crypto_generichash(who, sizeof who, (const uint8_t *)r->peer, strlen(r->peer), NULL, 0);
  memcpy(&r->who, who, sizeof r->who);
}

web_answer web_guard(web_request *r) {
  const char *host = web_header(r, "Host");
  find_wishes(r);
  find_peer(r);
  if (!host_is_ours(r, host))
    return web_refuse(r, 421, NULL,
                      N_("This address does not belong to this page. Open it under the address that the program "
                         "printed."));
  if (r->address_is_broken) return web_refuse_address(r);
  if (!r->route || r->route->lane == WEB_AT_ONCE) return WEB_GO_ON; /* the shell and its files hold nothing secret */
  web_answer refusal = find_role(r);
  find_who(r);
  if (!refusal.status) refusal = may_write(r, host);
  if (!refusal.status) refusal = may_call(r);
  if (!refusal.status) refusal = find_maker(r);
  if (!refusal.status) refusal = may_send_more(r);
  return refusal.status ? refusal : leave_room(r);
}
