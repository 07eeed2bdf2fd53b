/* SPDX-License-Identifier: MIT */
/* Going for good: rows first, with a note of the files (table erasing) in the same transaction; then the files; then
 * the note. A crash in between is made up for at the next sweep. */
#include "folder.h"
#include "schema.h"
#include "sql.h"
#include "trash.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define TRASH_MS (30 * WEB_DAY_MS)
#define SEEN_MS (29 * WEB_DAY_MS)
#define PAUSE_MS (WEB_DAY_MS - (int64_t)3600 * 1000)

/* --- rows ------------------------------------------------------------------------------------------------- */

static bool forget_maker_rows(web_store *store, const char *id) {
  static const char *const each[] = {"INSERT OR IGNORE INTO erasing SELECT hash FROM photos WHERE maker=?",
                                     "INSERT OR IGNORE INTO erasing SELECT id FROM photos WHERE maker=?",
                                     "DELETE FROM photos WHERE maker=?",
                                     "DELETE FROM cloths WHERE maker=?",
                                     "DELETE FROM revisions WHERE maker=?",
                                     "DELETE FROM comments WHERE maker=?",
                                     "DELETE FROM links WHERE maker=?",
                                     "DELETE FROM sendings WHERE maker=?",
                                     "DELETE FROM weakest WHERE maker=?",
                                     "DELETE FROM makers WHERE id=?"};
  for (size_t i = 0; i < sizeof each / sizeof *each; i++)
    if (!store_do(store, each[i], "t", id)) return false;
  return true;
}

static bool forget_photo_rows(web_store *store, const char *id) {
  static const char *const each[] = {
      "INSERT OR IGNORE INTO erasing SELECT hash FROM photos WHERE id=?",
      "INSERT OR IGNORE INTO erasing SELECT id FROM photos WHERE id=?",
      "DELETE FROM weakest WHERE maker IN (SELECT maker FROM photos WHERE id=?)",
      "DELETE FROM comments WHERE answers IN (SELECT id FROM comments WHERE instr(place,?)>0)",
      "DELETE FROM comments WHERE instr(place,?)>0",
      "DELETE FROM cloths WHERE photo=?",
      "DELETE FROM sendings WHERE photo=?"};
  for (size_t i = 0; i < sizeof each / sizeof *each; i++)
    if (!store_do(store, each[i], "t", id)) return false;
  return store_forget_in_plans(store, id) && store_do(store, "DELETE FROM photos WHERE id=?", "t", id);
}

typedef bool forget_rows(web_store *store, const char *id);

/* Ids first, then the work on each: a list that changes under its reader is none. */
static bool forget_each(web_store *store, const char *sql, int64_t before, forget_rows *forget) {
  char(*ids)[WEB_ID + 1] = NULL;
  size_t count = 0;
  bool fine = true;
  store_rows rows = store_ask(store, sql, "i", before);
  while (fine && store_next(&rows)) {
    void *grown = bc_reallocate(ids, count + 1, sizeof *ids);
    fine = grown != NULL;
    if (fine) ids = grown;
    if (fine) store_id(ids[count++], &rows, 0);
  }
  fine = store_end(&rows) && fine;
  for (size_t i = 0; fine && i < count; i++) fine = forget(store, ids[i]);
  free(ids);
  return fine;
}

/* --- files --------------------------------------------------------------------------------------------------- */

static void unlink_made(const web_folder *folder, const char *id) {
  DIR *made = opendir(folder->made);
  const struct dirent *entry;
  while (made && (entry = readdir(made)))
    if (strncmp(entry->d_name, id, WEB_ID) == 0 && entry->d_name[WEB_ID] == '-')
      unlinkat(dirfd(made), entry->d_name, 0);
  if (made) closedir(made);
}

/* Within a transaction, so that nobody sends the same photo anew meanwhile. */
static bool unlink_photo(web_store *store, const web_folder *folder, const char *hash) {
  const web_found used = store_has(store, "SELECT 1 FROM photos WHERE hash=?", hash);
  if (used != WEB_NONE) return used == WEB_FOUND;
  char *path = web_photo_path(folder, hash), *aside = bc_format("%s/%s", folder->aside, hash);
  const bool gone = path && aside && (unlink(path) == 0 || errno == ENOENT) && (unlink(aside) == 0 || errno == ENOENT);
  free(path);
  free(aside);
  return gone;
}

static char *next_noted(web_store *store, bool *failed) {
  store_rows rows = store_ask(store, "SELECT hash FROM erasing LIMIT 1", "");
  char *name = store_next(&rows) ? store_copy(&rows, 0) : NULL;
  *failed = !store_end(&rows);
  return name;
}

static bool erase_files(web_store *store, const web_folder *folder) {
  bool failed = false, any = false;
  char *name;
  while (!failed && (name = next_noted(store, &failed))) {
    any = true;
    const bool is_id = strlen(name) == WEB_ID;
    if (is_id) unlink_made(folder, name);
    failed = !web_store_begin(store) || !(is_id || unlink_photo(store, folder, name)) ||
             !store_do(store, "DELETE FROM erasing WHERE hash=?", "t", name) || !web_store_commit(store);
    if (failed) web_store_roll_back(store);
    free(name);
  }
  /* what the log still holds of it goes as well */
  return !failed && (!any || store_do(store, "PRAGMA wal_checkpoint(TRUNCATE)", ""));
}

/* --- now and in time ------------------------------------------------------------------------------------------ */

static web_found forget_now(web_store *store, const web_folder *folder, const char *id, bool maker) {
  if (!web_store_begin(store)) return WEB_FAILED;
  const web_found there = store_has(store,
                                    maker ? "SELECT 1 FROM makers WHERE id=? AND deleted IS NOT NULL"
                                          : "SELECT 1 FROM photos WHERE id=? AND deleted IS NOT NULL",
                                    id);
  const bool done =
      there == WEB_FOUND && (maker ? forget_maker_rows : forget_photo_rows)(store, id) && web_store_commit(store);
  if (!done) web_store_roll_back(store);
  if (there != WEB_FOUND) return there;
  return done && erase_files(store, folder) ? WEB_FOUND : WEB_FAILED;
}

web_found web_photo_forget(web_store *store, const web_folder *folder, const char *id) {
  return forget_now(store, folder, id, false);
}

web_found web_maker_forget(web_store *store, const web_folder *folder, const char *id) {
  return forget_now(store, folder, id, true);
}

static bool forget_due(web_store *store, int64_t before) {
  return forget_each(store, "SELECT id FROM makers WHERE deleted<?", before, forget_maker_rows) &&
         forget_each(store, "SELECT id FROM photos WHERE deleted<?", before, forget_photo_rows) &&
         store_do(store, "DELETE FROM comments WHERE answers IN (SELECT id FROM comments WHERE deleted<?)", "i",
                  before) &&
         store_do(store, "DELETE FROM comments WHERE deleted<?", "i", before) &&
         store_do(store, "DELETE FROM sendings WHERE added<?", "i", before);
}

/* When was last swept; 0: never. */
static bool last_time(web_store *store, int64_t *out) {
  size_t size;
  char *text;
  const web_found found = web_state_get(store, "swept", &text, &size);
  *out = found == WEB_FOUND ? strtoll(text, NULL, 10) : 0;
  free(text);
  return found != WEB_FAILED;
}

static bool note_time(web_store *store, int64_t now) {
  char text[24];
  snprintf(text, sizeof text, "%lld", (long long)now);
  return web_state_put_text(store, "swept", text);
}

bool web_sweep(web_store *store, const web_folder *folder) {
  const int64_t now = web_time_ms();
  int64_t last;
  if (!last_time(store, &last)) return false;
  if (last <= now && now - last < PAUSE_MS) return erase_files(store, folder);
  /* set back, or for the first time: from here on */
  const int64_t before = now - TRASH_MS < last - SEEN_MS ? now - TRASH_MS : last - SEEN_MS;
  const bool done = web_store_begin(store) && (last > now || last == 0 || forget_due(store, before)) &&
                    note_time(store, now) && web_store_commit(store);
  if (!done) web_store_roll_back(store);
  return done && erase_files(store, folder);
}
