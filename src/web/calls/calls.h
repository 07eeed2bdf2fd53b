/* SPDX-License-Identifier: MIT */
/* What the calls share among themselves. JSON of NULL: the store failed, or there was no memory. */
#ifndef BC_SRC_WEB_CALLS_H
#define BC_SRC_WEB_CALLS_H

#include "routes.h"
#include "web/jobs/jobs.h"
#include "web/store/makers.h"
#include "web/store/photos.h"
#include "web/store/plans.h"
#include "web/store/remarks.h"

#define WEB_PHOTOS_MOST 400 /* photos of one maker */
#define WEB_CLOTHS_MOST 200
#define WEB_REMARKS_MOST 1000             /* with their answers; each call about them answers with all */
#define WEB_HELP_MOST ((size_t)128 << 10) /* bytes of a cut-out's strokes: some 4,000 points */

/* Text that a person typed: so many characters at most, and no lines or other control characters unless `lines`. */
bool web_is_text(const char *text, size_t most, bool lines);
#define WEB_NAME_MOST 200
#define WEB_REMARK_MOST 4000

/* The body's value as text; NULL. */
const char *web_given(const web_request *r, const char *key);

json_t *web_photo_json(const web_request *r, const web_photo *photo);
web_answer web_answer_photo(const web_request *r, unsigned status, const char *id);
json_t *web_cloths_json(const web_request *r);
json_t *web_remarks_json(const web_request *r);
json_t *web_links_json(const web_request *r);
json_t *
web_plan_defaults(void); /* a plan's values where it says nothing: gap, stand, table, shelf, riser, viewers, piece */

/* A random token, the way in for whoever has it. */
void web_new_token(char token[64], uint8_t hash[WEB_HASH]);

/* --- decoding: decoding.c --- */

/* A file for a decoder. */
typedef struct web_decoding {
  uint32_t kind; /* WEB_JOB_… */
  int file;
  uint64_t bytes;
  const char *name, *help; /* help: JSON, or NULL */
  json_t *wishes;          /* more for the order, or NULL; taken over */
  bool urgent;
} web_decoding;
web_answer web_decode(const web_request *r, const web_decoding *what, bc_apart_message *out);
/* A stored photo of the request's maker, with its help or a new one. */
web_answer web_decode_stored(const web_request *r, const char *id, uint32_t kind, const char *new_help,
                             bc_apart_message *out);
/* Opens the file of a photo of the request's maker; `photo` is to be cleared in any case. */
web_answer web_open_photo(const web_request *r, const char *id, web_photo *photo, int *file);

/* Pictures made of a photo, beside each other in made/. */
#define WEB_CUTOUT "cutout-webp" /* the file's name: an older program kept a PNG under another */
bool web_write_made(const web_folder *folder, const char *id, int64_t version, const bc_apart_message *made);

/* --- match: call_match.c --- */

/* An order {"widths","cloths"} and the readings of the maker's pieces for a planner; NULL. */
json_t *web_collection_order(const web_request *r, bc_apart_part *readings);
json_t *web_cloth_orders(const web_request *r); /* its cloths alone */
/* Has the order matched; takes it and the readings over. */
web_answer web_have_matched(const web_request *r, json_t *order, bc_apart_part readings, bc_apart_message *out);

/* --- plans: call_plans.c, plan_pieces.c --- */

/* The newest plan, the first one where none was saved. */
json_t *web_first_plan(void);
web_answer web_newest_plan(const web_request *r, web_revision *out);
char *web_plan_text(const json_t *plan);
/* Pieces for new photos, with sizes and titles as they are told now; a new revision when anything changed. Within a
 * transaction. `taken_back`: the photo whose size is no longer known, or NULL. */
bool web_plan_follow_photos(const web_request *r, const char *taken_back);
/* Whether a plan names only photos of its maker; those in its trash are dropped from it. */
web_answer web_plan_keep_to_own(const web_request *r, json_t *plan);
/* The planner's word on a plan. */
web_answer web_ask_planner(const web_request *r, uint32_t kind, json_t *order, const json_t *plan,
                           bc_apart_message *out);

#endif
