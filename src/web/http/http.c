/* SPDX-License-Identifier: MIT */
/* HTTP: two threads of libmicrohttpd move bytes; a whole request is laid aside and answered by the threads
 * of its lane, so that a hundred uploads never keep a page waiting. */
#include "http.h"
#include "address.h"
#include "request_lanes.h"

#include <backcloth/sentences.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define CONNECTIONS_AN_ADDRESS 32u

static web_answer read_json(web_request *r) {
  json_error_t error;
  if (!r->body || r->route->photo) return WEB_GO_ON;
  r->json = json_loadb((const char *)r->body, r->body_size, JSON_REJECT_DUPLICATES, &error);
  if (json_is_object(r->json)) return WEB_GO_ON;
  return web_refuse(r, 400, NULL, N_("The page sent something that cannot be read. Load the page again."));
}

static void answer_whole(web_request *r) {
  if (r->session_is_stale) web_visit_note(r->server->store, r->session);
  r->answer = read_json(r);
  if (!r->answer.status) r->answer = r->route->answer(r);
  if (!r->answer.status)
    r->answer = web_refuse(r, 500, NULL, N_("Something went wrong here. Try again; nothing was lost."));
  web_squeeze(r);
}

/* --- bodies --------------------------------------------------------------------------------------------- */

static void no_room(web_request *r) {
  r->answer = web_refuse(r, 507, NULL, N_("There is no room on the disk for this photo. It was not saved."));
}

static void begin_upload(web_request *r) {
  r->upload_path = bc_format("%s/sent-XXXXXX", r->server->folder.incoming);
  r->upload = r->upload_path ? mkostemp(r->upload_path, O_CLOEXEC) : -1;
  crypto_generichash_init(&r->hash, NULL, 0, WEB_HASH);
  if (r->upload < 0) no_room(r);
}

static uint64_t most_of(const web_request *r) {
  if (r->role == WEB_NOBODY) return WEB_BODY_MOST_OF_NOBODY;
  return r->route->photo ? r->upload_most : WEB_BODY_MOST;
}

static void too_large(web_request *r) {
  r->answer =
      r->role == WEB_NOBODY
          ? web_refuse(r, 413, NULL, N_("This is too large for somebody who has not logged in yet. Log in first."))
          : web_refuse(r, 413, NULL, N_("This is larger than the %.0f MB that are accepted. Send a smaller copy."),
                       (double)most_of(r) / 1048576.0);
}

static void take_upload(web_request *r, const char *bytes, size_t size) {
  r->upload_size += size;
  if (r->upload_size > r->upload_most) {
    too_large(r);
    return;
  }
  crypto_generichash_update(&r->hash, (const uint8_t *)bytes, size);
  while (size > 0) {
    const ssize_t done = write(r->upload, bytes, size);
    if (done <= 0) {
      no_room(r);
      return;
    }
    bytes += done;
    size -= (size_t)done;
  }
}

static void take_body(web_request *r, const char *bytes, size_t size) {
  if (r->body_size + size > most_of(r)) {
    too_large(r);
    return;
  }
  uint8_t *grown = bc_reallocate(r->body, r->body_size + size + 1, 1);
  if (!grown) {
    r->answer = web_refuse(r, 503, NULL, N_("There is too much to do just now. Try again in a minute."));
    return;
  }
  memcpy(grown + r->body_size, bytes, size);
  r->body = grown;
  r->body_size += size;
}

/* --- the answer ----------------------------------------------------------------------------------------- */

static void add(struct MHD_Response *response, const char *name, const char *value) {
  MHD_add_response_header(response, name, value);
}

/* A drawing that is opened alone needs the styles that Cairo writes into its elements; nothing else may be in it. */
static const char *policy_of(const web_answer *r) {
  if (r->type && strncmp(r->type, "image/svg", 9) == 0)
    return "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; sandbox";
  return "default-src 'self'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; "
         "form-action 'self'";
}

/* Cookies stand one on a line. */
static void add_cookies(struct MHD_Response *response, char *cookies) {
  char *rest = NULL;
  for (char *one = strtok_r(cookies, "\n", &rest); one; one = strtok_r(NULL, "\n", &rest))
    add(response, "Set-Cookie", one);
}

static void add_headers(struct MHD_Response *response, const web_answer *r) {
  add(response, "Content-Type", r->type ? r->type : "application/json");
  add(response, "X-Content-Type-Options", "nosniff");
  add(response, "Referrer-Policy", "no-referrer");
  add(response, "Cross-Origin-Resource-Policy", "same-origin");
  add(response, "Cross-Origin-Opener-Policy", "same-origin");
  add(response, "Content-Security-Policy", policy_of(r));
  add(response, "Cache-Control", r->cache ? r->cache : "no-store");
  add(response, "Vary", "Accept-Encoding, Accept-Language, Cookie");
  if (r->encoding) add(response, "Content-Encoding", r->encoding);
  if (r->cookie) add_cookies(response, r->cookie);
  if (r->ahead) add(response, "Link", r->ahead);
  if (r->save_as) add(response, "Content-Disposition", r->save_as);
}

static enum MHD_Result send_answer(web_request *r) {
  web_answer *a = &r->answer;
  struct MHD_Response *response =
      a->fixed ? MHD_create_response_from_buffer(a->out_size, (void *)(uintptr_t)a->fixed, MHD_RESPMEM_PERSISTENT)
               : MHD_create_response_from_buffer(a->out_size, a->out ? a->out : "",
                                                 a->out ? MHD_RESPMEM_MUST_FREE : MHD_RESPMEM_PERSISTENT);
  if (!response) return MHD_NO;
  a->out = NULL;
  add_headers(response, a);
  const enum MHD_Result done = MHD_queue_response(r->connection, a->status, response);
  MHD_destroy_response(response);
  return done;
}

/* --- a request's way --------------------------------------------------------------------------------------- */

/* MHD shows the address before it unescapes it; what is returned is the request's first *mine. */
static char broken_address;

static void *look_at_address(void *data, const char *uri, struct MHD_Connection *connection) {
  (void)data, (void)connection;
  return web_address_is_whole(uri) ? NULL : &broken_address;
}

static web_request *new_request(web_server *server, struct MHD_Connection *connection, const char *url,
                                const char *method) {
  web_request *r = bc_allocate(1, sizeof *r);
  if (!r) return NULL;
  r->server = server;
  r->connection = connection;
  r->upload = -1;
  r->visitor = web_visitor_of(connection);
  web_visitor_sends(r->visitor, 0);
  r->upload_most = WEB_PHOTO_MOST;
  r->path = bc_copy_text(url);
  snprintf(r->method, sizeof r->method, "%s", strcmp(method, "HEAD") == 0 ? "GET" : method);
  return r;
}

static void begin(web_request *r) {
  r->begun = true;
  r->route = web_find_route(r);
  r->answer = web_guard(r);
  if (!r->answer.status && !r->route) r->answer = web_serve_page(r);
  if (r->answer.status) return;
  const char *length = web_header(r, "Content-Length");
  const uint64_t coming = length ? strtoull(length, NULL, 10) : 0;
  if (coming > most_of(r)) too_large(r);
  if (!r->answer.status && r->route->lane == WEB_AT_ONCE) r->answer = r->route->answer(r);
  if (!r->answer.status && r->route->photo) begin_upload(r);
}

/* A body that will be refused is read to its end, up to a bound, since a client that is still sending would
 * not see the answer. */
#define DRAIN_MOST ((uint64_t)96 << 20)

static enum MHD_Result handle(void *data, struct MHD_Connection *connection, const char *url, const char *method,
                              const char *version, const char *bytes, size_t *size, void **mine) {
  (void)version;
  const bool broken = *mine == &broken_address;
  web_request *r = broken ? NULL : *mine;
  if (r) web_visitor_sends(r->visitor, *size);
  if (!r) {
    *mine = r = new_request(data, connection, url, method);
    if (r) r->address_is_broken = broken;
    return r && r->path ? MHD_YES : MHD_NO;
  }
  if (r->ready) return send_answer(r);
  if (!r->begun) begin(r);
  if (*size > 0) {
    if (!r->answer.status && r->route->photo)
      take_upload(r, bytes, *size);
    else if (!r->answer.status)
      take_body(r, bytes, *size);
    else if ((r->upload_size += *size) > DRAIN_MOST)
      return MHD_NO;
    *size = 0;
    return MHD_YES;
  }
  web_visitor_waits(r->visitor);
  if (r->answer.status) return send_answer(r);
  MHD_suspend_connection(connection);
  if (web_lane_put(r->server->lane[r->route->lane], r)) return MHD_YES;
  r->answer = web_refuse(r, 503, NULL, N_("The program is just being ended. Try again in a minute."));
  r->ready = true;
  MHD_resume_connection(connection);
  return MHD_YES;
}

static void forget(void *data, struct MHD_Connection *connection, void **mine, enum MHD_RequestTerminationCode how) {
  (void)data, (void)connection, (void)how;
  web_request *r = *mine == &broken_address ? NULL : *mine;
  if (!r) return;
  web_visitor_idles(r->visitor);
  if (r->upload >= 0) close(r->upload);
  if (r->upload_path) unlink(r->upload_path);
  json_decref(r->json);
  free(r->upload_path);
  free(r->body);
  free(r->path);
  web_answer_clear(&r->answer);
  free(r);
  *mine = NULL;
}

/* Nobody holds all places; but behind a reverse proxy, and at home, everybody comes from one address. */
static unsigned connections_an_address(const web_server *server, const struct sockaddr *address) {
  const bool home = address->sa_family == AF_INET
                        ? ntohl(((const struct sockaddr_in *)(const void *)address)->sin_addr.s_addr) >> 24 == 127
                        : IN6_IS_ADDR_LOOPBACK(&((const struct sockaddr_in6 *)(const void *)address)->sin6_addr);
  return home || server->options.public_url ? 0 : CONNECTIONS_AN_ADDRESS;
}

bool web_http_start(web_server *server, const struct sockaddr *address) {
  static const unsigned threads[3] = {6, 4, 3};
  if (!web_patience_start(server)) return false;
  for (int i = 0; i < 3; i++) server->lane[i] = web_lane_open(threads[i], answer_whole);
  const unsigned flags =
      MHD_USE_EPOLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME | (address->sa_family == AF_INET6 ? MHD_USE_IPv6 : 0u);
  server->daemon = MHD_start_daemon(
      flags, server->port, NULL, NULL, handle, server, MHD_OPTION_SOCK_ADDR, address, MHD_OPTION_THREAD_POOL_SIZE, 2u,
      MHD_OPTION_CONNECTION_LIMIT, 800u, MHD_OPTION_PER_IP_CONNECTION_LIMIT, connections_an_address(server, address),
      MHD_OPTION_CONNECTION_TIMEOUT, 60u, MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)65536,
      MHD_OPTION_LISTENING_ADDRESS_REUSE, 1u, MHD_OPTION_NOTIFY_COMPLETED, forget, NULL, MHD_OPTION_NOTIFY_CONNECTION,
      web_patience_notify, server, MHD_OPTION_URI_LOG_CALLBACK, look_at_address, NULL, MHD_OPTION_END);
  if (!server->daemon) return false;
  server->port = MHD_get_daemon_info(server->daemon, MHD_DAEMON_INFO_BIND_PORT)->port;
  return true;
}

void web_http_stop(web_server *server) {
  if (server->daemon) {
    const int listening = MHD_quiesce_daemon(server->daemon);
    if (listening >= 0) close(listening);
  }
  for (int i = 0; i < 3; i++) web_lane_close(server->lane[i]);
  if (server->daemon) MHD_stop_daemon(server->daemon);
}
