/* SPDX-License-Identifier: MIT */
/* What the files of the server share: the server, a request on its way, answers, and the database. */
#ifndef BC_SRC_WEB_SERVER_H
#define BC_SRC_WEB_SERVER_H

#include "web/jobs/jobs.h"
#include <backcloth/web.h>
#include <jansson.h>
#include <microhttpd.h>
#include <sodium.h>
#include <sqlite3.h>

#define WEB_ID 16                           /* characters of an id */
#define WEB_BODY_MOST ((size_t)4 << 20)     /* a JSON body */
#define WEB_PHOTO_MOST ((uint64_t)40 << 20) /* a photo; phones make up to about 25 MB */
#define WEB_PHOTOS_MOST 400                 /* photos of one maker */
#define WEB_HASH 32
#define WEB_SESSION_MS ((sqlite3_int64)30 * 24 * 3600 * 1000) /* the password again after a month in any case */
#define WEB_IDLE_MS ((sqlite3_int64)7 * 24 * 3600 * 1000)     /* and after a week without a visit */
#define WEB_SEEN_MS ((sqlite3_int64)3600 * 1000)              /* a visit is noted once an hour */
#define WEB_TRASH_MS ((sqlite3_int64)30 * 24 * 3600 * 1000)

typedef enum web_role { WEB_NOBODY = 0, WEB_VIEWER, WEB_MAKER, WEB_OWNER } web_role;

typedef struct web_lane web_lane;
typedef struct web_patience web_patience;

/* Reduced images for further strokes: kept.c. A piece is 1024 pixels long at the most, 16 bytes each. */
#define WEB_KEPT 8
#define WEB_KEPT_BYTES ((size_t)24 << 20)
typedef struct web_kept_image {
  char *key; /* NULL: none */
  int file;
  uint64_t size, used;
} web_kept_image;
typedef struct web_kept {
  web_kept_image image[WEB_KEPT];
  uint64_t clock;
  pthread_mutex_t lock;
} web_kept;
void web_kept_start(web_kept *kept);
void web_kept_stop(web_kept *kept);
void web_kept_put(web_kept *kept, const char *key, const web_part *part);
int web_kept_open(web_kept *kept, const char *key, uint64_t *bytes); /* an open file, or -1 */

typedef struct web_server {
  bc_web_options options;
  char *data, *photos, *made, *incoming, *scratch, *database;
  int lock_file;
  char password_hash[crypto_pwhash_STRBYTES]; /* "" without a password */
  uint8_t secret[32];
  uint16_t port;
  web_nursery nursery;
  web_pool decoders, desks;
  web_kept kept;
  web_lane *lane[3];
  struct MHD_Daemon *daemon;
  web_patience *patience;
  pthread_mutex_t entering; /* one password at a time: each takes 64 MB */
  pthread_mutex_t handles;
  sqlite3 *handle[64];
  size_t handle_count;
} web_server;

typedef struct web_request web_request;

enum { WEB_QUICK = 0, WEB_TOUCH, WEB_UPLOADS, WEB_AT_ONCE /* no lane, no database: nothing can keep it waiting */ };
typedef enum web_subject { WEB_OF_NONE = 0, WEB_OF_MAKER, WEB_OF_PHOTO, WEB_OF_COMMENT, WEB_OF_LINK } web_subject;

/* A call: its path with * for an id or name, who may make it, where it waits. */
typedef struct web_route {
  const char *method, *path;
  web_role needs;
  web_subject of; /* what the first * names */
  int lane;
  bool photo; /* the body is a photo that goes to disk as it comes */
  void (*answer)(web_request *r);
} web_route;

struct web_request {
  web_server *server;
  struct MHD_Connection *connection;
  web_request *next; /* in a lane */
  const web_route *route;
  char method[8];
  char *path;
  char argument[2][64];
  web_role role;
  char maker[WEB_ID + 1]; /* that the call is about */
  char link[WEB_ID + 1];  /* by which it came, or "" */
  uint8_t session[WEB_HASH];
  bool has_session, session_is_stale; /* stale: its last use is to be noted */
  const char *language;               /* static code */
  bool imperial;
  char peer[48];
  /* body */
  uint8_t *body;
  size_t body_size;
  json_t *json;
  int upload; /* open file, or -1 */
  char *upload_path;
  uint64_t upload_size, upload_most;
  crypto_generichash_state hash;
  /* answer; status 0: none yet */
  unsigned status;
  char *out;
  size_t out_size;
  const void *fixed; /* instead of out: static bytes */
  const char *type;
  char *cookie, *save_as;
  char *ahead; /* what the browser will ask next, for its Link header */
  const char *cache, *encoding;
  bool ready, begun;
  struct web_visitor *visitor;
};

/* --- answers: the first one stands ------------------------------------------------------------------- */
void web_answer_json(web_request *r, unsigned status, json_t *json);                              /* takes it over */
void web_answer_text(web_request *r, unsigned status, const char *type, char *text, size_t size); /* takes it over */
/* {"error":{"what","about"}}; the sentence is given in English and said in the request's language. */
void web_refuse(web_request *r, unsigned status, const char *about, const char *english, ...)
    __attribute__((format(printf, 4, 5)));
void web_refuse_said(web_request *r, unsigned status, const char *about, const char *sentence);
void web_refuse_store(web_request *r); /* the database failed */
const char *web_argument(const web_request *r, const char *name);
const char *web_header(const web_request *r, const char *name);
char *web_words_in(const char *language, const char *english); /* translated, borrowed */

/* --- database: one handle a thread ------------------------------------------------------------------- */
bool web_store_open(web_server *server, bc_context *context);
sqlite3 *web_store(web_server *server);
void web_store_close(web_server *server);
/* `types`: t text (or NULL), i sqlite3_int64, r double, b bytes and size_t. NULL when it failed. */
sqlite3_stmt *web_sql(web_server *server, const char *sql, const char *types, ...);
bool web_do(web_server *server, const char *sql, const char *types, ...);
bool web_begin(web_server *server);
bool web_commit(web_server *server);
void web_roll_back(web_server *server);
void web_new_id(char id[WEB_ID + 1]);
sqlite3_int64 web_time_ms(void);
const char *web_column(sqlite3_stmt *row, int column); /* text, or NULL */

/* --- who ------------------------------------------------------------------------------------------------ */
bool web_guard(web_request *r); /* false: refused */
void web_csrf(const web_request *r, char out[65]);
bool web_rate(web_server *server, const char *who, unsigned most, unsigned per_seconds);

/* Takes a photo and its bytes off what the invitation still allows, before anything is decoded; false after refusing.
 */
bool web_link_take(web_request *r);
void web_link_give_back(web_request *r); /* the photo was not kept */

/* Whether the photo that is being sent came already, its answer being lost: then its id. */
bool web_sent_before(web_request *r, char id[WEB_ID + 1]);
bool web_note_sending(web_request *r, const char *id); /* within the photo's own transaction */

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

/* --- upkeep ---------------------------------------------------------------------------------------------- */
bool web_forget_trash(web_server *server); /* makers in the trash for 30 days, with all that is theirs */
void web_sweep(web_server *server);        /* files that no row names; before anything is served */
void web_squeeze(web_request *r);          /* gzip of a large answer, when it is accepted */

/* --- work ----------------------------------------------------------------------------------------------- */
/* Has it done and refuses in plain words when it failed. `about` names the photo. Clear `out` in any case. */
bool web_have_done(web_request *r, bool decoder, web_message *in, web_message *out, int deadline_ms, bool urgent,
                   const char *about);
/* An order with the request's language. */
bool web_order(web_request *r, web_message *in, uint32_t kind, json_t *order);

const web_route *web_find_route(web_request *r);
void web_serve_page(web_request *r); /* shell and its files; 404 otherwise */
void web_look_ahead(web_request *r); /* names the calls that the shell will make first */
/* The plan and its revision as text (malloc'd) or NULL after refusing. */
char *web_plan_now(web_request *r, sqlite3_int64 *revision);
bool web_plan_follow_photos(web_request *r); /* pieces for new photos, none for those gone; within a transaction */
json_t *web_merge(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled);
json_t *web_photo_json(web_request *r, const char *id);
json_t *web_cloths_json(web_request *r);
json_t *web_comments_json(web_request *r);
json_t *web_links_json(web_request *r);
/* An order {"widths","cloths"} and the readings of the maker's pieces for a desk. */
json_t *web_collection_order(web_request *r, web_part *readings);
/* Its cloths alone. */
json_t *web_cloth_orders(web_request *r);
char *web_photo_path(web_server *server, const char *hash);

#endif
