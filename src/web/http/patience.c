/* SPDX-License-Identifier: MIT */
/* Patience with clients, and its end. libmicrohttpd's own time-out begins anew with each byte, so that a client
 * who sends a drop a minute would hold its place for ever; here a request has a time in all, and a body a pace. */
#include "request.h"

#include <stdlib.h>
#include <sys/socket.h>

#define ASK_MS 30000  /* from a new or idle connection to a whole request head */
#define BODY_MS 60000 /* for a body, and then */
#define BODY_PACE 1   /* bytes a millisecond: about 8 kbit/s, slower than any telephone network */
#define LOOK_EVERY_MS 1000

struct web_visitor {
  web_visitor *next, **back;
  int socket;
  int64_t since; /* INT64_MAX: it waits for us */
  uint64_t bytes;
  bool sending;
};

struct web_patience {
  pthread_mutex_t lock;
  pthread_cond_t end;
  pthread_t thread;
  web_visitor *first;
  bool ended;
};

/* One lock for all: it is held for a few instructions. */
static web_patience *shared;

static bool is_late(const web_visitor *v, int64_t now) {
  if (v->since == INT64_MAX) return false;
  return now - v->since > (v->sending ? BODY_MS + (int64_t)(v->bytes / BODY_PACE) : ASK_MS);
}

static void *watch(void *data) {
  web_patience *patience = data;
  pthread_mutex_lock(&patience->lock);
  while (!patience->ended) {
    const int64_t now = bc_now_ms();
    for (web_visitor *v = patience->first; v; v = v->next)
      if (is_late(v, now)) shutdown(v->socket, SHUT_RDWR); /* its own thread notices and closes it */
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until); /* a calendar that is set back must not stop the watch */
    until.tv_sec += LOOK_EVERY_MS / 1000;
    pthread_cond_timedwait(&patience->end, &patience->lock, &until);
  }
  pthread_mutex_unlock(&patience->lock);
  return NULL;
}

bool web_patience_start(web_server *server) {
  web_patience *patience = bc_allocate(1, sizeof *patience);
  if (!patience) return false;
  pthread_mutex_init(&patience->lock, NULL);
  pthread_condattr_t steady;
  pthread_condattr_init(&steady);
  pthread_condattr_setclock(&steady, CLOCK_MONOTONIC);
  pthread_cond_init(&patience->end, &steady);
  pthread_condattr_destroy(&steady);
  if (pthread_create(&patience->thread, NULL, watch, patience) != 0) {
    free(patience);
    return false;
  }
  shared = server->patience = patience;
  return true;
}

void web_patience_stop(web_server *server) {
  web_patience *patience = server->patience;
  if (!patience) return;
  pthread_mutex_lock(&patience->lock);
  patience->ended = true;
  pthread_cond_signal(&patience->end);
  pthread_mutex_unlock(&patience->lock);
  pthread_join(patience->thread, NULL);
  pthread_cond_destroy(&patience->end);
  pthread_mutex_destroy(&patience->lock);
  free(patience);
  shared = server->patience = NULL;
}

static web_visitor *welcome(web_patience *patience, struct MHD_Connection *connection) {
  const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
  web_visitor *v = info ? bc_allocate(1, sizeof *v) : NULL;
  if (!v) return NULL;
  *v = (web_visitor){
      .next = patience->first, .back = &patience->first, .socket = info->connect_fd, .since = bc_now_ms()};
  if (v->next) v->next->back = &v->next;
  patience->first = v;
  return v;
}

void web_patience_notify(void *data, struct MHD_Connection *connection, void **mine,
                         enum MHD_ConnectionNotificationCode what) {
  web_patience *patience = ((web_server *)data)->patience;
  web_visitor *v = *mine;
  pthread_mutex_lock(&patience->lock);
  if (what == MHD_CONNECTION_NOTIFY_STARTED) {
    *mine = welcome(patience, connection);
  } else if (v) {
    *v->back = v->next;
    if (v->next) v->next->back = v->back;
    *mine = NULL;
    free(v);
  }
  pthread_mutex_unlock(&patience->lock);
}

web_visitor *web_visitor_of(struct MHD_Connection *connection) {
  const union MHD_ConnectionInfo *info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
  return info ? info->socket_context : NULL;
}

static void note(web_visitor *v, bool sending, size_t bytes, int64_t since) {
  if (!v) return;
  pthread_mutex_lock(&shared->lock);
  if (!sending || !v->sending) v->bytes = 0, v->since = since;
  v->bytes += bytes;
  v->sending = sending;
  pthread_mutex_unlock(&shared->lock);
}

void web_visitor_sends(web_visitor *visitor, size_t bytes) {
  note(visitor, true, bytes, bc_now_ms());
}

void web_visitor_waits(web_visitor *visitor) {
  note(visitor, false, 0, INT64_MAX);
}

void web_visitor_idles(web_visitor *visitor) {
  note(visitor, false, 0, bc_now_ms());
}
