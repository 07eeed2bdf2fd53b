/* SPDX-License-Identifier: MIT */
/* Data flows one way: a stage includes only stages below it, its own private files and src/base. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* In the order of the flow; a stage may use those before it. The map of DEVELOPERS.md says the same. */
static const char *const stages[] = {"base", "photo",   "colour", "cutout",  "reading", "match", "plan",
                                     "look", "arrange", "loads",  "drawing", "sheets",  "web",   "cli"};
enum { stage_count = sizeof stages / sizeof stages[0] };

static int stage_number(const char *name, size_t length) {
  for (int i = 0; i < stage_count; i++)
    if (strlen(stages[i]) == length && strncmp(stages[i], name, length) == 0) return i;
  return -1;
}

/* arrange obeys rated loads, so it may call loads; packing and change are headers of sheets and arrange. */
static bool may_use(int user, int used) {
  if (strcmp(stages[user], "arrange") == 0 && strcmp(stages[used], "loads") == 0) return true;
  if (strcmp(stages[user], "loads") == 0 && strcmp(stages[used], "arrange") == 0) return false;
  return used <= user;
}

static int check_line(const char *file, int stage, const char *line) {
  const char *name = NULL;
  bool public_header = false;
  if (strncmp(line, "#include <backcloth/", 20) == 0) {
    name = line + 20;
    public_header = true;
  } else if (strncmp(line, "#include \"", 10) == 0) {
    name = line + 10;
  }
  if (!name) return 0;
  const char *end = public_header ? strpbrk(name, ".>") : strchr(name, '/');
  const int used = end ? stage_number(name, (size_t)(end - name)) : -1;
  if (used < 0) return 0; /* its own folder, or a header that is not a stage's */
  const bool fine = public_header ? may_use(stage, used) : used == stage || used == 0;
  if (!fine) fprintf(stderr, "%s: %s", file, line);
  return fine ? 0 : 1;
}

static int check_file(const char *path, int stage) {
  FILE *stream = fopen(path, "r");
  assert_non_null(stream);
  char line[512];
  int wrong = 0;
  while (fgets(line, sizeof line, stream)) wrong += check_line(path, stage, line);
  fclose(stream);
  return wrong;
}

static void includes_point_down(void **state) {
  (void)state;
  int files = 0, wrong = 0;
  for (int i = 0; i < stage_count; i++) {
    char folder[1024];
    snprintf(folder, sizeof folder, "%s/../src/%s", BC_ASSETS, stages[i]);
    DIR *entries = opendir(folder);
    if (!entries) continue;
    const struct dirent *entry;
    while ((entry = readdir(entries))) {
      const size_t length = strlen(entry->d_name);
      if (length < 3 || entry->d_name[length - 2] != '.') continue;
      char path[2048];
      snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
      wrong += check_file(path, i);
      files++;
    }
    closedir(entries);
  }
  assert_true(files > 10);
  assert_int_equal(wrong, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(includes_point_down)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
