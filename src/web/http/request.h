/* SPDX-License-Identifier: MIT */
/* A request on its way: what came, who sent it, and the answer once there is one. */
#ifndef BC_SRC_WEB_REQUEST_H
#define BC_SRC_WEB_REQUEST_H

#include "answer.h"
#include "web/server.h"
#include "web/store/access.h"
#include <microhttpd.h>
#include <sodium.h>

#define WEB_BODY_MOST ((size_t)4 << 20)           /* a JSON body */
#define WEB_BODY_MOST_OF_NOBODY ((size_t)4 << 10) /* before login nobody has more to say than a password */
#define WEB_PHOTO_MOST ((uint64_t)40 << 20)       /* a photo; phones make up to about 25 MB */

typedef enum web_role { WEB_NOBODY = 0, WEB_VIEWER, WEB_MAKER, WEB_OWNER } web_role;

enum { WEB_QUICK = 0, WEB_TOUCH, WEB_UPLOADS, WEB_AT_ONCE /* no lane, no database: nothing can keep it waiting */ };

/* A call: its path with * for an id or name, who may make it, where it waits. */
typedef struct web_route {
  const char *method, *path;
  web_role needs;
  web_subject of; /* what the first * names */
  int lane;
  bool photo; /* the body is a photo that goes to disk as it comes */
  web_answer (*answer)(web_request *r);
} web_route;

struct web_request {
  crypto_generichash_state hash; /* of a photo's bytes as they come; first, since it lies on a line of the cache */
  web_server *server;
  struct MHD_Connection *connection;
  web_request *next; /* in a lane */
  uint64_t who;      /* the same number for all that comes by one link, one session or one address */
  const web_route *route;
  struct web_visitor *visitor;
  char *path;
  char argument[2][64];
  const char *language; /* static code */
  char method[8];
  /* who */
  web_role role;
  int upload;             /* open file, or -1 */
  char maker[WEB_ID + 1]; /* that the call is about */
  char link[WEB_ID + 1];  /* by which it came, or "" */
  uint8_t session[WEB_HASH];
  char peer[48];
  bool has_session, session_is_stale; /* stale: its last use is to be noted */
  bool imperial;
  bool ready, begun, address_is_broken;
  /* body */
  uint8_t *body;
  size_t body_size;
  json_t *json;
  char *upload_path;
  uint64_t upload_size, upload_most;
  web_answer answer; /* status 0: none yet */
};

const char *web_argument(const web_request *r, const char *name);
const char *web_header(const web_request *r, const char *name);
const char *web_cookie(const web_request *r, const char *name);
const char *web_words_in(const char *language, const char *english); /* translated, borrowed */

const web_route *web_find_route(web_request *r); /* calls/routes.c */

/* --- who: guard.c, rates.c ------------------------------------------------------------------------------- */
web_answer web_guard(web_request *r);
void web_csrf(const web_request *r, char out[65]);
bool web_rate(web_server *server, const char *who, unsigned most, unsigned per_seconds);          /* counts */
bool web_rate_is_spent(web_server *server, const char *who, unsigned most, unsigned per_seconds); /* only looks */
void web_hash_token(uint8_t hash[WEB_HASH], const char *token);

/* --- the page itself ---------------------------------------------------------------------------------------- */
web_answer web_refuse_address(const web_request *r);       /* it is not whole: address.h */
web_answer web_serve_page(web_request *r);                 /* shell and its files; 404 otherwise */
void web_look_ahead(const web_request *r, web_answer *to); /* names the calls that the shell will make first */
/* The token's cookie, by whose name addresses speak of a link. */
#define WEB_LINK_COOKIE 16
bool web_link_cookie_name(char name[WEB_LINK_COOKIE], const char *token); /* or its key; false: it is none of ours */
char *web_link_cookie(const web_request *r, const char *token);
void web_squeeze(web_request *r); /* gzip of a large answer, when it is accepted */

/* --- slow clients: patience.c ------------------------------------------------------------------------- */
/* Whoever takes longer than is reasonable to ask, or sends by drops, is hung up on. */
typedef struct web_visitor web_visitor;
bool web_patience_start(web_server *server);
void web_patience_stop(web_server *server); /* after the daemon */
void web_patience_notify(void *server, struct MHD_Connection *connection, void **mine,
                         enum MHD_ConnectionNotificationCode what);
web_visitor *web_visitor_of(struct MHD_Connection *connection);
void web_visitor_sends(web_visitor *visitor, size_t bytes); /* a request's head or a piece of its body came */
void web_visitor_waits(web_visitor *visitor);               /* all of it came: now it is our turn */
void web_visitor_idles(web_visitor *visitor);               /* answered */

#endif
