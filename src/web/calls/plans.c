/* SPDX-License-Identifier: MIT */
/* Plans: every save is a revision, kept, so that undo works after a reload and two people who edit at once are
 * merged against what they started from. undo_to and redo_to name the revisions whose plan they bring back. */
#include "routes.h"

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#define KEPT 500

static json_t *plan_at(web_request *r, sqlite3_int64 number, sqlite3_int64 *undo, sqlite3_int64 *redo) {
  sqlite3_stmt *row = web_sql(r->server, "SELECT plan,undo_to,redo_to FROM revisions WHERE maker=? AND number=?", "ti",
                              r->maker, number);
  json_t *plan = NULL;
  if (row && sqlite3_step(row) == SQLITE_ROW) {
    plan = json_loads(web_column(row, 0), 0, NULL);
    if (undo) *undo = sqlite3_column_int64(row, 1);
    if (redo) *redo = sqlite3_column_int64(row, 2);
  }
  sqlite3_finalize(row);
  return plan;
}

static sqlite3_int64 head_of(web_request *r) {
  sqlite3_stmt *row = web_sql(r->server, "SELECT head FROM makers WHERE id=?", "t", r->maker);
  const sqlite3_int64 head = row && sqlite3_step(row) == SQLITE_ROW ? sqlite3_column_int64(row, 0) : -1;
  sqlite3_finalize(row);
  return head;
}

/* The stand that most markets let: three metres of wall and one table. */
static json_t *first_plan(void) {
  return json_pack("{s:i,s:s,s:{s:i,s:i,s:i},s:[{s:i,s:i,s:i,s:i}],s:[]}", "backcloth", 1, "title", "Stand", "stand",
                   "width", 300, "depth", 300, "wall_height", 240, "tables", "x", 60, "width", 180, "depth", 75,
                   "height", 74, "pieces");
}

static json_t *head_plan(web_request *r, sqlite3_int64 *head) {
  *head = head_of(r);
  json_t *plan = *head > 0 ? plan_at(r, *head, NULL, NULL) : *head == 0 ? first_plan() : NULL;
  if (!plan) web_refuse_store(r);
  return plan;
}

static bool add_revision(web_request *r, sqlite3_int64 number, const json_t *plan, sqlite3_int64 undo,
                         sqlite3_int64 redo) {
  char *text = json_dumps(plan, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
  const bool done =
      text &&
      web_do(r->server, "INSERT INTO revisions VALUES(?,?,?,?,?,?)", "titiii", r->maker, number, text, undo, redo,
             web_time_ms()) &&
      web_do(r->server, "UPDATE makers SET head=?,changed=? WHERE id=?", "iit", number, web_time_ms(), r->maker) &&
      web_do(r->server, "DELETE FROM revisions WHERE maker=? AND number<?", "ti", r->maker, number - KEPT);
  free(text);
  return done;
}

/* --- pieces follow photos ----------------------------------------------------------------------------------- */

static json_t *piece_of(json_t *pieces, const char *id) {
  size_t i;
  json_t *piece;
  json_array_foreach(pieces, i, piece) {
    const char *own = json_string_value(json_object_get(piece, "id"));
    if (own && strcmp(own, id) == 0) return piece;
  }
  return NULL;
}

/* One measure gives the other by the outline's shape. Until one is told the plan says "?": nothing is guessed. */
static json_t *size_or_mark(double cm) {
  return cm > 0 ? json_real(cm) : json_string("?");
}

static void sizes(sqlite3_stmt *row, double *width, double *height) {
  json_t *facts = json_loads(web_column(row, 5), 0, NULL);
  const json_t *box = json_object_get(facts, "cutout_box");
  const double across = json_number_value(json_array_get(box, 2)), down = json_number_value(json_array_get(box, 3));
  const double shape = across > 0 && down > 0 ? down / across : 1;
  *width = sqlite3_column_double(row, 2);
  *height = sqlite3_column_double(row, 3);
  if (*width <= 0) *width = *height / shape;
  if (*height <= 0) *height = *width * shape;
  json_decref(facts);
}

/* The size was known and is taken back. */
static bool is_taken_back(const web_request *r, const char *id) {
  return strcmp(r->argument[0], id) == 0 && json_is_null(json_object_get(r->json, "width_cm")) &&
         json_is_null(json_object_get(r->json, "height_cm"));
}

static bool follow_photo(const web_request *r, json_t *pieces, sqlite3_stmt *row) {
  const char *id = web_column(row, 0);
  const double weight = sqlite3_column_double(row, 4);
  const bool told = sqlite3_column_double(row, 2) > 0 || sqlite3_column_double(row, 3) > 0;
  double width, height;
  sizes(row, &width, &height);
  json_t *piece = piece_of(pieces, id), *before = piece ? json_copy(piece) : NULL;
  if (!piece) {
    char *photo = bc_format("photos/%s", id);
    piece = json_pack("{s:s,s:s,s:s}", "id", id, "title", web_column(row, 1), "photo", photo ? photo : "");
    free(photo);
    json_array_append_new(pieces, piece);
  }
  if (!before || told || is_taken_back(r, id)) {
    json_object_set_new(piece, "width", size_or_mark(width));
    json_object_set_new(piece, "height", size_or_mark(height));
  }
  if (weight > 0) json_object_set_new(piece, "weight_g", json_real(weight));
  json_object_set_new(piece, "title", json_string(web_column(row, 1)));
  const bool changed = !before || !json_equal(before, piece);
  json_decref(before);
  return changed;
}

static bool drop_gone(web_request *r, json_t *pieces) {
  bool changed = false;
  for (size_t i = json_array_size(pieces); i-- > 0;) {
    const char *photo = json_string_value(json_object_get(json_array_get(pieces, i), "photo"));
    if (!photo || strncmp(photo, "photos/", 7) != 0) continue;
    sqlite3_stmt *row = web_sql(r->server, "SELECT 1 FROM photos WHERE id=? AND deleted IS NOT NULL", "t", photo + 7);
    const bool gone = row && sqlite3_step(row) == SQLITE_ROW;
    sqlite3_finalize(row);
    if (gone) changed = json_array_remove(pieces, i) == 0;
  }
  return changed;
}

bool web_plan_follow_photos(web_request *r) {
  sqlite3_int64 head;
  json_t *plan = head_plan(r, &head);
  if (!plan) return false;
  json_t *pieces = json_object_get(plan, "pieces");
  if (!pieces) json_object_set_new(plan, "pieces", pieces = json_array());
  bool changed = drop_gone(r, pieces);
  sqlite3_stmt *row =
      web_sql(r->server,
              "SELECT id,title,width_cm,height_cm,weight_g,facts FROM photos WHERE maker=? AND deleted IS "
              "NULL AND kind='piece' ORDER BY added,id",
              "t", r->maker);
  while (row && sqlite3_step(row) == SQLITE_ROW) changed |= follow_photo(r, pieces, row);
  sqlite3_finalize(row);
  const bool done = !changed || add_revision(r, head + 1, plan, head, 0);
  json_decref(plan);
  return done;
}

/* --- showing and checking ----------------------------------------------------------------------------------- */

char *web_plan_now(web_request *r, sqlite3_int64 *revision) {
  json_t *plan = head_plan(r, revision);
  char *text = plan ? json_dumps(plan, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15)) : NULL;
  json_decref(plan);
  return text;
}

/* The desk's word on a plan; takes the text over. */
static bool ask_desk(web_request *r, uint32_t kind, json_t *order, char *plan, web_message *out) {
  web_message in;
  const bool ready = web_order(r, &in, kind, order) & web_message_add_text(&in, plan);
  if (ready) return web_have_done(r, false, &in, out, 60000, true, NULL);
  web_message_clear(&in);
  return false;
}

static json_t *checked(web_request *r, const json_t *plan) {
  web_message out = {0};
  json_t *found = NULL;
  char *text = json_dumps(plan, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
  if (ask_desk(r, WEB_JOB_PLAN, json_object(), text, &out)) found = json_loads(web_message_text(&out, 0), 0, NULL);
  web_message_clear(&out);
  return found;
}

/* Whether there is something to undo or to do again. */
static void add_steps(web_request *r, sqlite3_int64 revision, json_t *answer) {
  sqlite3_int64 undo = 0, redo = 0;
  json_decref(plan_at(r, revision, &undo, &redo));
  json_object_set_new(answer, "undo", json_boolean(undo > 0));
  json_object_set_new(answer, "redo", json_boolean(redo > 0));
}

static void answer_plan(web_request *r, json_t *plan, sqlite3_int64 revision, json_t *more) {
  json_t *found = checked(r, plan);
  if (found) {
    json_t *all = json_pack("{s:I,s:O}", "revision", (json_int_t)revision, "plan", plan);
    add_steps(r, revision, all);
    json_object_update(all, found);
    json_object_update(all, more);
    web_answer_json(r, 200, all);
  }
  json_decref(found);
  json_decref(more);
}

/* ?since=N: whoever has revision N already is only told that it still stands. */
static bool is_known(const web_request *r, sqlite3_int64 revision) {
  const char *since = web_argument(r, "since");
  return since && strtoll(since, NULL, 10) == revision;
}

void web_show_plan(web_request *r) {
  sqlite3_int64 revision = head_of(r);
  if (is_known(r, revision)) {
    web_answer_json(r, 200, json_pack("{s:I}", "revision", (json_int_t)revision));
    return;
  }
  json_t *plan = head_plan(r, &revision);
  if (plan) answer_plan(r, plan, revision, NULL);
  json_decref(plan);
}

static json_t *plan_given(web_request *r) {
  json_t *plan = json_object_get(r->json, "plan");
  if (!json_is_object(plan))
    web_refuse(r, 422, "plan", N_("The page sent something that cannot be read. Load the page again."));
  return json_is_object(plan) ? plan : NULL;
}

void web_check_plan(web_request *r) {
  const json_t *plan = plan_given(r);
  if (plan) web_answer_json(r, 200, checked(r, plan));
}

void web_arrange_plan(web_request *r) {
  const json_t *plan = plan_given(r);
  web_message out = {0};
  json_t *order = json_object();
  const json_t *seed = json_object_get(r->json, "seed");
  if (seed) json_object_set(order, "seed", (json_t *)(uintptr_t)seed);
  if (plan && ask_desk(r, WEB_JOB_ARRANGE, json_incref(order), json_dumps(plan, JSON_COMPACT), &out))
    web_answer_text(r, 200, "application/json", bc_copy_text(web_message_text(&out, 0)), out.part[0].size);
  json_decref(order);
  web_message_clear(&out);
}

static void show_listing(web_request *r, const char *what, const char *type) {
  sqlite3_int64 revision;
  web_message out = {0};
  char *plan = web_plan_now(r, &revision);
  if (plan && ask_desk(r, WEB_JOB_PLAN, json_pack("{s:s}", "what", what), plan, &out))
    web_answer_text(r, 200, type, bc_copy_text(web_message_text(&out, 0)), out.part[0].size);
  web_message_clear(&out);
}

void web_show_packing(web_request *r) {
  show_listing(r, "packing", "application/json");
}

void web_show_loads(web_request *r) {
  show_listing(r, "loads", "application/json");
}

/* --- saving -------------------------------------------------------------------------------------------------- */

/* What is stored now is merged with what came, against the revision that the page started from. */
static json_t *merged_with(web_request *r, json_t *mine, sqlite3_int64 base, sqlite3_int64 head, json_t *theirs,
                           json_t *overruled) {
  if (base == head) return json_incref(mine);
  json_t *from = base > 0 ? plan_at(r, base, NULL, NULL) : first_plan();
  json_t *merged = web_merge(from, mine, theirs, overruled);
  json_decref(from);
  return merged;
}

/* The desk's check takes time, so it is done outside the transaction, which then only compares the head: when
 * another save came between, everything is done once more. */
static bool try_save(web_request *r, json_t *mine, sqlite3_int64 base) {
  sqlite3_int64 head;
  json_t *theirs = head_plan(r, &head), *overruled = json_array();
  json_t *merged = theirs ? merged_with(r, mine, base, head, theirs, overruled) : NULL;
  json_t *found = merged ? checked(r, merged) : NULL;
  bool settled = true;
  if (found && web_begin(r->server)) {
    settled = head_of(r) == head;
    if (settled && add_revision(r, head + 1, merged, head, 0) && web_commit(r->server)) {
      json_t *all = json_pack("{s:I,s:O,s:b,s:O}", "revision", (json_int_t)(head + 1), "plan", merged, "merged",
                              (int)(base != head), "overruled", overruled);
      add_steps(r, head + 1, all);
      json_object_update(all, found);
      web_answer_json(r, 200, all);
    } else {
      web_roll_back(r->server);
      if (settled) web_refuse_store(r);
    }
  }
  json_decref(found);
  json_decref(merged);
  json_decref(theirs);
  json_decref(overruled);
  return settled;
}

void web_save_plan(web_request *r) {
  json_t *plan = plan_given(r);
  if (!plan) return;
  for (int i = 0; i < 20 && !try_save(r, plan, json_integer_value(json_object_get(r->json, "base"))); i++) continue;
  web_refuse(r, 409, NULL, N_("Somebody else is saving at the same moment. Try again."));
}

static void step(web_request *r, bool back) {
  sqlite3_int64 undo = 0, redo = 0, to_undo = 0, to_redo = 0;
  const sqlite3_int64 head = head_of(r);
  const json_t *base = json_object_get(r->json, "base");
  json_t *now = plan_at(r, head, &undo, &redo), *plan = NULL;
  if (json_is_integer(base) && json_integer_value(base) != head)
    web_refuse(r, 409, NULL, N_("Somebody else has changed the plan meanwhile. Load the page again, then undo."));
  const sqlite3_int64 target = back ? undo : redo;
  if (!r->status && now && target > 0) plan = plan_at(r, target, &to_undo, &to_redo);
  if (!r->status && !plan)
    web_refuse(r, 409, NULL, back ? N_("There is nothing to undo.") : N_("There is nothing to redo."));
  if (plan && web_begin(r->server)) {
    if (head_of(r) == head && add_revision(r, head + 1, plan, back ? to_undo : head, back ? head : to_redo) &&
        web_commit(r->server))
      answer_plan(r, plan, head + 1, NULL);
    else {
      web_roll_back(r->server);
      web_refuse_store(r);
    }
  }
  json_decref(plan);
  json_decref(now);
}

void web_undo_plan(web_request *r) {
  step(r, true);
}

void web_redo_plan(web_request *r) {
  step(r, false);
}

/* --- downloads ------------------------------------------------------------------------------------------------ */

static const char *type_of(const char *file) {
  static const char *const types[][2] = {{".png", "image/png"},
                                         {".pdf", "application/pdf"},
                                         {".svg", "image/svg+xml"},
                                         {".csv", "text/csv; charset=utf-8"},
                                         {".json", "application/json"}};
  const char *dot = strrchr(file, '.');
  for (size_t i = 0; dot && i < 5; i++)
    if (strcmp(dot, types[i][0]) == 0) return types[i][1];
  return "application/octet-stream";
}

/* Gives the study of one piece to the desk as an open file; its number, or -1 when there is no photo. */
static int give_study(web_request *r, web_message *in, const char *photo) {
  web_message made = {0};
  sqlite3_int64 version;
  int number = -1;
  if (!photo || strncmp(photo, "photos/", 7) != 0 || in->files == WEB_FILES) return -1;
  if (web_decode_stored(r, photo + 7, WEB_JOB_STUDY, NULL, &made, &version) && made.parts == 1) {
    const int file = memfd_create("study", MFD_CLOEXEC);
    size_t at = 0;
    while (file >= 0 && at < made.part[0].size) {
      const ssize_t done = write(file, made.part[0].bytes + at, made.part[0].size - at);
      if (done <= 0) break;
      at += (size_t)done;
    }
    if (file >= 0) in->file[number = (int)in->files++] = file;
  }
  web_message_clear(&made);
  return number;
}

static json_t *give_number(web_request *r, web_message *in, const char *photo) {
  return json_integer(give_study(r, in, photo));
}

/* Takes the order over and sends the desk's file. */
static void answer_file(web_request *r, const char *file, json_t *order, web_message *studies, void *part,
                        size_t size) {
  web_message all, out = {0};
  json_object_set_new(order, "file", json_string(file));
  json_object_set_new(order, "units", json_string(r->imperial ? "imperial" : "metric"));
  json_object_set_new(order, "scratch", json_string(r->server->scratch));
  const bool ready = web_order(r, &all, WEB_JOB_FILE, order) & web_message_add(&all, part, size);
  memcpy(all.file, studies->file, studies->files * sizeof(int));
  all.files = studies->files;
  studies->files = 0;
  if (!ready || r->status)
    web_message_clear(&all);
  else if (web_have_done(r, false, &all, &out, 120000, false, NULL)) {
    web_answer_text(r, 200, type_of(file), (char *)out.part[0].bytes, out.part[0].size);
    out.part[0].bytes = NULL;
  }
  web_message_clear(&out);
}

/* The wall, the stand from the aisle, the set-up sheet. */
static void draw_plan(web_request *r, const char *file) {
  sqlite3_int64 revision;
  web_message studies = {0};
  json_t *plan = head_plan(r, &revision), *numbers = json_array(), *piece;
  const json_t *cloth = json_object_get(json_object_get(plan, "cloth"), "photo");
  const char *crowd = web_argument(r, "crowd");
  size_t i;
  json_array_foreach(json_object_get(plan, "pieces"), i, piece)
      json_array_append_new(numbers, give_number(r, &studies, json_string_value(json_object_get(piece, "photo"))));
  json_t *order = json_pack("{s:o,s:o,s:i}", "studies", numbers, "cloth",
                            give_number(r, &studies, json_string_value(cloth)), "crowd", crowd ? atoi(crowd) : 4);
  char *text = plan ? json_dumps(plan, JSON_COMPACT | JSON_REAL_PRECISION(15)) : NULL;
  answer_file(r, file, order, &studies, text, text ? strlen(text) : 0);
  web_message_clear(&studies);
  json_decref(plan);
}

static json_t *piece_studies(web_request *r, web_message *studies) {
  json_t *numbers = json_array();
  sqlite3_stmt *row =
      web_sql(r->server,
              "SELECT 'photos/'||id FROM photos WHERE maker=? AND deleted IS NULL AND kind='piece' ORDER BY added,id",
              "t", r->maker);
  while (row && sqlite3_step(row) == SQLITE_ROW)
    json_array_append_new(numbers, give_number(r, studies, web_column(row, 0)));
  sqlite3_finalize(row);
  return numbers;
}

static json_t *cloth_studies(web_request *r, web_message *studies, const json_t *cloths) {
  json_t *numbers = json_array(), *cloth;
  size_t i;
  json_array_foreach(cloths, i, cloth) {
    const char *photo = json_string_value(json_object_get(cloth, "photo"));
    char *place = photo ? bc_format("photos/%s", photo) : NULL;
    json_array_append_new(numbers, give_number(r, studies, place));
    free(place);
  }
  return numbers;
}

/* ?cloths=C1,C2 as places in the maker's list, else its first two; NULL when there are none such. */
static json_t *two_cloths(web_request *r, const json_t *cloths) {
  const char *wanted = web_argument(r, "cloths"), *comma = wanted ? strchr(wanted, ',') : NULL;
  int place[2] = {wanted ? -1 : 0, wanted ? -1 : 1};
  json_t *cloth;
  size_t i;
  json_array_foreach(cloths, i, cloth) {
    const char *id = json_string_value(json_object_get(cloth, "id"));
    if (comma && strlen(id) == (size_t)(comma - wanted) && strncmp(wanted, id, strlen(id)) == 0) place[0] = (int)i;
    if (comma && strcmp(comma + 1, id) == 0) place[1] = (int)i;
  }
  const bool both = place[0] >= 0 && place[1] >= 0 && place[0] != place[1] && json_array_size(cloths) > 1;
  if (!both) web_refuse(r, 409, "cloths", N_("Choose two cloths of this maker to compare."));
  return both ? json_pack("[i,i]", place[0], place[1]) : NULL;
}

/* Every piece on every cloth, or on two. */
static void draw_board(web_request *r, const char *file, bool compare) {
  web_part readings;
  web_message studies = {0};
  json_t *order = web_collection_order(r, &readings), *cloths = web_cloths_json(r);
  if (json_array_size(cloths) == 0 || json_array_size(json_object_get(order, "widths")) == 0)
    web_refuse(r, 409, NULL, N_("Add a photo of a piece and a cloth first."));
  json_t *two = compare && !r->status ? two_cloths(r, cloths) : NULL;
  if (r->status) {
    json_decref(order);
    free(readings.bytes);
  } else {
    if (two) json_object_set_new(order, "compare", two);
    json_object_set_new(order, "studies", piece_studies(r, &studies));
    json_object_set_new(order, "cloth_studies", cloth_studies(r, &studies, cloths));
    answer_file(r, file, order, &studies, readings.bytes, readings.size);
  }
  web_message_clear(&studies);
  json_decref(cloths);
}

static size_t place_of_photo(const json_t *cloths, const char *photo) {
  size_t i = 0;
  while (i < json_array_size(cloths)) {
    const char *own = json_string_value(json_object_get(json_array_get(cloths, i), "photo"));
    if (own && strcmp(own, photo) == 0) return i;
    i++;
  }
  return SIZE_MAX;
}

/* The cloth that the plan hangs, when it is a photo: one of the maker's, or one that is no longer among them. */
static void order_wall(web_request *r, json_t *order, web_message *studies, const json_t *plan, const json_t *cloths) {
  const char *photo = json_string_value(json_object_get(json_object_get(plan, "cloth"), "photo"));
  if (!photo || strncmp(photo, "photos/", 7) != 0) return;
  const size_t place = place_of_photo(cloths, photo + 7);
  if (place != SIZE_MAX) {
    json_object_set_new(order, "wall_cloth", json_integer((json_int_t)place));
    return;
  }
  json_object_set_new(order, "cloth", give_number(r, studies, photo));
  sqlite3_stmt *row = web_sql(r->server, "SELECT title FROM photos WHERE id=? AND maker=?", "tt", photo + 7, r->maker);
  if (row && sqlite3_step(row) == SQLITE_ROW) json_object_set_new(order, "wall_name", json_string(web_column(row, 0)));
  sqlite3_finalize(row);
}

/* A piece without a photo has the size that its plan says. */
static bool size_is_told(web_request *r, const char *photo) {
  if (!photo || strncmp(photo, "photos/", 7) != 0) return true;
  sqlite3_stmt *row =
      web_sql(r->server, "SELECT 1 FROM photos WHERE id=? AND (width_cm>0 OR height_cm>0)", "t", photo + 7);
  const bool told = row && sqlite3_step(row) == SQLITE_ROW;
  sqlite3_finalize(row);
  return told;
}

/* What the mentor remarked and is still open. */
static json_t *open_remarks(web_request *r) {
  json_t *comments = web_comments_json(r), *one, *text = NULL;
  bc_buffer all = {0};
  size_t i;
  json_array_foreach(comments, i, one) if (!json_is_true(json_object_get(one, "done")))
      bc_buffer_add(&all, "%s\n", json_string_value(json_object_get(one, "text")));
  if (all.text && !all.failed) text = json_string(all.text);
  bc_buffer_clear(&all);
  json_decref(comments);
  return text ? text : json_null();
}

static char *name_of_maker(web_request *r) {
  sqlite3_stmt *row = web_sql(r->server, "SELECT name FROM makers WHERE id=?", "t", r->maker);
  char *name = row && sqlite3_step(row) == SQLITE_ROW ? bc_copy_text(web_column(row, 0)) : NULL;
  sqlite3_finalize(row);
  return name;
}

/* The mentor's word on a maker's photos and wall. */
static void draw_feedback(web_request *r, const char *file) {
  sqlite3_int64 revision;
  web_message studies = {0};
  json_t *plan = head_plan(r, &revision), *numbers = json_array(), *known = json_array(), *piece;
  json_t *cloths = web_cloths_json(r);
  size_t i;
  json_array_foreach(json_object_get(plan, "pieces"), i, piece) {
    const char *photo = json_string_value(json_object_get(piece, "photo"));
    json_array_append_new(numbers, r->status ? json_integer(-1) : give_number(r, &studies, photo));
    json_array_append_new(known, json_boolean(size_is_told(r, photo)));
  }
  char *name = name_of_maker(r);
  json_t *order = json_pack("{s:o,s:o,s:o,s:s,s:o}", "studies", numbers, "sizes_known", known, "cloths",
                            web_cloth_orders(r), "name", name ? name : "", "notes", open_remarks(r));
  json_object_set_new(order, "cloth_studies", cloth_studies(r, &studies, cloths));
  order_wall(r, order, &studies, plan, cloths);
  char *text = plan ? json_dumps(plan, JSON_COMPACT | JSON_REAL_PRECISION(15)) : NULL;
  answer_file(r, file, order, &studies, text, text ? strlen(text) : 0);
  web_message_clear(&studies);
  free(name);
  json_decref(cloths);
  json_decref(plan);
}

static bool is_one_of(const char *file, const char *const *names) {
  while (*names && strcmp(file, *names) != 0) names++;
  return *names != NULL;
}

void web_send_file(web_request *r) {
  static const char *const of_plan[] = {"wall.png", "wall.pdf", "wall.svg", "aisle.png", "sheet.pdf", NULL};
  static const char *const of_cloths[] = {"board.png", "board.pdf", "board.svg", "compare.png", NULL};
  const char *file = r->argument[1];
  sqlite3_int64 revision;
  char *plan;
  if (web_argument(r, "save")) r->save_as = bc_format("attachment; filename=\"%.60s\"", file);
  if (strcmp(file, "plan.json") == 0) {
    plan = web_plan_now(r, &revision);
    web_answer_text(r, 200, "application/json", plan, plan ? strlen(plan) : 0);
  } else if (strcmp(file, "packing.csv") == 0 || strcmp(file, "loads.csv") == 0) {
    show_listing(r, file, type_of(file));
  } else if (is_one_of(file, of_plan)) {
    draw_plan(r, file);
  } else if (is_one_of(file, of_cloths)) {
    draw_board(r, file, strncmp(file, "compare", 7) == 0);
  } else if (strcmp(file, "feedback.pdf") == 0) {
    draw_feedback(r, file);
  } else {
    web_refuse(r, 404, NULL, N_("There is no such file to download."));
  }
  if (r->status >= 400) {
    free(r->save_as);
    r->save_as = NULL;
  }
}
