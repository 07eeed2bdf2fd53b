/* SPDX-License-Identifier: MIT */
/* The store of what was read: what goes in comes out, or nothing does. Whatever the disk, another process or another
 * program does to its folder, no other bytes come out of it, and nothing that is not ours is touched. */
#include <fcntl.h>
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/kept/kept.h"
#include "support/context.h"

static char folder[64];
static bc_store *store;

static int open_anew(void **state) {
  (void)state;
  strcpy(folder, "/tmp/kept-XXXXXX");
  assert_non_null(mkdtemp(folder));
  assert_int_equal(bc_store_open(&store, context, folder, 0), BC_OK);
  bc_context_use_store(context, store);
  return 0;
}

static int close_all(void **state) {
  (void)state;
  bc_context_use_store(context, NULL);
  bc_store_close(store);
  char *words = bc_format("rm -r %s", folder);
  assert_int_equal(system(words), 0);
  free(words);
  return 0;
}

static void key_of(char out[KEPT_KEY], const char *what) {
  kept_writer writer;
  kept_key_begin(&writer, context, what);
  kept_key_end(&writer, out);
}

static char *path_of(const char *key, const char *kind) {
  return bc_format("%s/%s.%s", folder, key, kind);
}

static bool comes_out(const char *key, const char *text) {
  kept_block block;
  if (!kept_get(&block, context, key, "word")) return false;
  assert_int_equal(block.size, strlen(text));
  assert_memory_equal(block.bytes, text, block.size);
  kept_block_clear(&block);
  return true;
}

static bool put(const char *key, const char *text) {
  return kept_put(context, key, "word", text, strlen(text));
}

static void what_goes_in_comes_out(void **state) {
  (void)state;
  char key[KEPT_KEY], other[KEPT_KEY];
  key_of(key, "one");
  key_of(other, "two");
  assert_string_not_equal(key, other);
  assert_false(comes_out(key, "madder"));
  assert_true(put(key, "madder"));
  assert_true(comes_out(key, "madder"));
  assert_false(comes_out(other, "madder"));
  assert_true(put(key, "indigo"));
  assert_true(comes_out(key, "indigo"));
  bc_context_use_store(context, NULL);
  assert_false(comes_out(key, "indigo"));
  bc_context_use_store(context, store);
}

/* Parts that run into each other are other keys: "ab", "c" and "a", "bc". */
static void keys_tell_all_parts_apart(void **state) {
  (void)state;
  static const char *const parts[][2] = {{"ab", "c"}, {"a", "bc"}, {"abc", ""}, {"abc", NULL}};
  char key[4][KEPT_KEY];
  for (size_t i = 0; i < 4; i++) {
    kept_writer writer;
    kept_key_begin(&writer, context, "parts");
    for (size_t k = 0; k < 2; k++) kept_key_add_text(&writer, parts[i][k]);
    kept_key_end(&writer, key[i]);
    for (size_t k = 0; k < i; k++) assert_string_not_equal(key[i], key[k]);
  }
  char before[KEPT_KEY], after[KEPT_KEY];
  key_of(before, "limits");
  bc_context_limits(context)->photo_side--; /* a photo may then be refused */
  key_of(after, "limits");
  bc_context_limits(context)->photo_side++;
  assert_string_not_equal(before, after);
}

/* Each byte of an entry flipped in turn: nothing comes out, the damaged one goes, and it can be kept anew. */
static void a_flipped_byte_is_seen(void **state) {
  (void)state;
  char key[KEPT_KEY];
  key_of(key, "flip");
  char *path = path_of(key, "word");
  for (long at = 16;; at++) {
    assert_true(put(key, "madder red"));
    FILE *file = fopen(path, "r+");
    assert_non_null(file);
    fseek(file, 0, SEEK_END);
    if (at >= ftell(file)) {
      fclose(file);
      break;
    }
    fseek(file, at, SEEK_SET);
    const int byte = fgetc(file);
    fseek(file, at, SEEK_SET);
    fputc(byte ^ 1, file);
    fclose(file);
    assert_false(comes_out(key, "madder red"));
    assert_int_not_equal(access(path, F_OK), 0);
  }
  assert_true(comes_out(key, "madder red"));
  assert_int_equal(truncate(path, 40), 0);
  assert_false(comes_out(key, "madder red"));
  free(path);
}

/* An entry under another's name is not that other's. */
static void a_renamed_entry_is_none(void **state) {
  (void)state;
  char key[KEPT_KEY], other[KEPT_KEY];
  key_of(key, "here");
  key_of(other, "there");
  assert_true(put(key, "madder"));
  char *from = path_of(key, "word"), *to = path_of(other, "word");
  assert_int_equal(rename(from, to), 0);
  assert_false(comes_out(other, "madder"));
  free(from);
  free(to);
}

static void write_text(const char *path, const char *text) {
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fputs(text, file);
  fclose(file);
}

static void assert_text(const char *path, const char *text) {
  char got[64] = "";
  FILE *file = fopen(path, "r");
  assert_non_null(file);
  (void)!fread(got, 1, sizeof got - 1, file);
  fclose(file);
  assert_string_equal(got, text);
}

/* Somebody else's file under a name that an entry would have, and one beside it, stay as they are whatever is done. */
static void what_is_not_ours_stays(void **state) {
  (void)state;
  char key[KEPT_KEY];
  key_of(key, "foreign");
  char *path = path_of(key, "word"), *beside = bc_format("%s/diary.txt", folder), *link = path_of(key, "link");
  write_text(path, "not an entry, but long enough to be one: forty-eight bytes");
  write_text(beside, "a diary");
  assert_int_equal(symlink(beside, link), 0);
  assert_false(comes_out(key, "madder"));
  assert_false(put(key, "madder"));
  assert_false(kept_put(context, key, "link", "madder", 6));
  kept_sweep(store->folder, 0);
  assert_text(path, "not an entry, but long enough to be one: forty-eight bytes");
  assert_text(beside, "a diary");
  assert_int_equal(access(link, F_OK), 0);
  free(path);
  free(beside);
  free(link);
}

static void use_at(const char *key, time_t when) {
  char *path = path_of(key, "word");
  const struct timespec times[2] = {{.tv_sec = when}, {.tv_sec = when}};
  assert_int_equal(utimensat(AT_FDCWD, path, times, 0), 0);
  free(path);
}

/* Ten entries of a block each, the first just used: those unused for longest go. */
static void what_was_not_used_goes_first(void **state) {
  (void)state;
  char key[10][KEPT_KEY], what[32];
  for (int i = 0; i < 10; i++) {
    snprintf(what, sizeof what, "n%d", i);
    key_of(key[i], what);
    assert_true(put(key[i], what));
    use_at(key[i], 1000000000 + i);
  }
  assert_true(comes_out(key[0], "n0")); /* which uses it now */
  kept_sweep(store->folder, 10 * 4096);
  for (int i = 0; i < 10; i++) {
    snprintf(what, sizeof what, "n%d", i);
    assert_true(comes_out(key[i], what)); /* all have room */
    if (i) use_at(key[i], 1000000000 + i);
  }
  kept_sweep(store->folder, 6 * 4096); /* down to nine tenths of it: five */
  for (int i = 0; i < 10; i++) {
    snprintf(what, sizeof what, "n%d", i);
    assert_int_equal(comes_out(key[i], what), i == 0 || i >= 6);
  }
}

/* However much goes in, the folder stays below its size and an eighth. */
static void it_stays_within_its_size(void **state) {
  (void)state;
  enum { most = 1 << 20, large = 60000 };
  bc_store *small = NULL;
  char *bytes = bc_allocate(large, 1), key[KEPT_KEY], what[32];
  assert_int_equal(bc_store_open(&small, context, folder, most), BC_OK);
  bc_context_use_store(context, small);
  for (int i = 0; i < 60; i++) {
    snprintf(what, sizeof what, "large %d", i);
    key_of(key, what);
    assert_true(kept_put(context, key, "word", bytes, large));
    char *words = bc_format("test $(du -sk %s | cut -f1) -le %d", folder, most / 1024 * 9 / 8 + 70);
    assert_int_equal(system(words), 0);
    free(words);
  }
  bc_context_use_store(context, store);
  bc_store_close(small);
  free(bytes);
}

/* A file cannot grow beyond the limit, as on a full disk: nothing is half there, it is told, and no more is tried. */
static void a_full_disk_is_told_once(void **state) {
  (void)state;
  char key[KEPT_KEY];
  const struct rlimit none = {20, 20000000};
  struct rlimit before;
  key_of(key, "full");
  assert_string_equal(bc_store_trouble(store), "");
  signal(SIGXFSZ, SIG_IGN);
  getrlimit(RLIMIT_FSIZE, &before);
  setrlimit(RLIMIT_FSIZE, &(struct rlimit){none.rlim_cur, before.rlim_max});
  assert_false(put(key, "madder"));
  setrlimit(RLIMIT_FSIZE, &before);
  assert_false(put(key, "madder"));
  assert_false(comes_out(key, "madder"));
  assert_non_null(strstr(bc_store_trouble(store), folder));
  char *words = bc_format("test $(ls -A %s | wc -l) = 1", folder); /* the tag */
  assert_int_equal(system(words), 0);
  free(words);
}

/* Others may look into the folder: it is not used. A file in its place neither. */
static void only_a_private_folder_serves(void **state) {
  (void)state;
  struct stat about;
  bc_store *other = NULL;
  char *inside = bc_format("%s/a/b", folder), *open_to_all = bc_format("%s/open", folder),
       *file = bc_format("%s/file", folder);
  assert_int_equal(bc_store_open(&other, context, inside, 0), BC_OK);
  assert_int_equal(stat(inside, &about), 0);
  assert_int_equal(about.st_mode & 07777, 0700);
  bc_store_close(other);
  assert_int_equal(mkdir(open_to_all, 0700), 0);
  assert_int_equal(chmod(open_to_all, 0755), 0);
  assert_int_equal(bc_store_open(&other, context, open_to_all, 0), BC_CANNOT_WRITE);
  assert_null(other);
  assert_non_null(strstr(bc_context_message(context), open_to_all));
  write_text(file, "");
  assert_int_equal(bc_store_open(&other, context, file, 0), BC_CANNOT_WRITE);
  free(inside);
  free(open_to_all);
  free(file);
}

/* XDG Base Directory Specification 0.8: a relative $XDG_CACHE_HOME is to be ignored. */
static void the_cache_folder_is_the_users(void **state) {
  (void)state;
  bc_store *own = NULL;
  char *cache = bc_format("%s/cache", folder), *home = bc_format("%s/home", folder);
  assert_int_equal(setenv("XDG_CACHE_HOME", cache, 1), 0);
  assert_int_equal(setenv("HOME", home, 1), 0);
  assert_int_equal(bc_store_open(&own, context, NULL, 0), BC_OK);
  assert_int_equal(strncmp(own->path, cache, strlen(cache)), 0);
  assert_string_equal(own->path + strlen(cache), "/backcloth");
  bc_store_close(own);
  assert_int_equal(setenv("XDG_CACHE_HOME", "cache", 1), 0);
  assert_int_equal(bc_store_open(&own, context, NULL, 0), BC_OK);
  assert_string_equal(own->path + strlen(home), "/.cache/backcloth");
  bc_store_close(own);
  unsetenv("HOME");
  assert_int_equal(bc_store_open(&own, context, NULL, 0), BC_CANNOT_WRITE);
  free(cache);
  free(home);
}

static void what_is_for_now_goes(void **state) {
  (void)state;
  bc_store *now = NULL;
  char key[KEPT_KEY];
  assert_int_equal(bc_store_open_for_now(&now, context, folder), BC_OK);
  char *path = bc_copy_text(now->path);
  bc_context_use_store(context, now);
  key_of(key, "now");
  assert_true(put(key, "madder"));
  bc_context_use_store(context, store);
  bc_store_close(now);
  assert_int_not_equal(access(path, F_OK), 0);
  free(path);
}

/* What one of several processes does: puts, takes and sweeps the same few entries; what comes out is always whole. */
static void work_on_the_same(unsigned seed) {
  char key[8][KEPT_KEY], what[32], *text = bc_allocate(20001, 1);
  for (int i = 0; i < 8; i++) {
    snprintf(what, sizeof what, "s%d", i);
    key_of(key[i], what);
  }
  for (int turn = 0; turn < 400; turn++) {
    const int i = rand_r(&seed) % 8;
    memset(text, 'a' + i, 20000);
    if (!comes_out(key[i], text)) put(key[i], text);
    if (turn % 50 == 0) kept_sweep(store->folder, 60000);
  }
  free(text);
}

static void many_processes_use_it_at_once(void **state) {
  (void)state;
  pid_t child[4];
  for (unsigned i = 0; i < 4; i++) {
    child[i] = fork();
    if (child[i] == 0) {
      work_on_the_same(i + 1);
      _exit(atomic_load(&store->error) ? 1 : 0);
    }
  }
  for (int i = 0; i < 4; i++) {
    int how;
    assert_int_equal(waitpid(child[i], &how, 0), child[i]);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
  }
  char *words = bc_format("test $(ls -A %s | grep -c '^.backcloth') = 0", folder); /* nothing half-written is left */
  assert_int_equal(system(words), 0);
  free(words);
}

#define ANEW(test) cmocka_unit_test_setup_teardown(test, open_anew, close_all)

int main(void) {
  const struct CMUnitTest tests[] = {
      ANEW(what_goes_in_comes_out),        ANEW(keys_tell_all_parts_apart), ANEW(a_flipped_byte_is_seen),
      ANEW(a_renamed_entry_is_none),       ANEW(what_is_not_ours_stays),    ANEW(what_was_not_used_goes_first),
      ANEW(it_stays_within_its_size),      ANEW(a_full_disk_is_told_once),  ANEW(only_a_private_folder_serves),
      ANEW(the_cache_folder_is_the_users), ANEW(what_is_for_now_goes),      ANEW(many_processes_use_it_at_once),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
