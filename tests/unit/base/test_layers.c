/* SPDX-License-Identifier: MIT */
/* Data flows one way: a stage includes only stages below it, its own private files and src/base. The command line and
 * the page's server stand on the library as any other program does: on its public headers alone. */
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
static const char *const stages[] = {"base",  "photo", "colour",  "cutout",  "reading", "match", "plan", "look",
                                     "aisle", "loads", "arrange", "drawing", "sheets",  "web",   "cli"};
enum { stage_count = sizeof stages / sizeof stages[0] };

/* Public headers that are not named like their stage. */
static const struct {
  const char *header, *stage;
} headers[] = {{"photo_apart", "photo"}, {"store", "base"},    {"packing", "sheets"},   {"sheet", "sheets"},
               {"feedback", "sheets"},   {"backcloth", "cli"}, {"collection", "match"}, {"program", "base"},
               {"apart", "base"},        {"jpeg", "photo"},    {"file", "base"},        {"sentences", "base"}};

static int stage_number(const char *name, size_t length) {
  for (int i = 0; i < stage_count; i++)
    if (strlen(stages[i]) == length && strncmp(stages[i], name, length) == 0) return i;
  return -1;
}

/* The stage of a public header; -1: it belongs to none, which nothing but a mistake explains. */
static int header_stage(const char *name, size_t length) {
  for (size_t i = 0; i < sizeof headers / sizeof *headers; i++)
    if (strlen(headers[i].header) == length && strncmp(headers[i].header, name, length) == 0)
      return stage_number(headers[i].stage, strlen(headers[i].stage));
  return stage_number(name, length);
}

/* Whether a file of this stage may have this line. */
static bool line_is_fine(int stage, const char *line) {
  static const char public_start[] = "#include <backcloth/", private_start[] = "#include \"";
  if (strncmp(line, public_start, sizeof public_start - 1) == 0) {
    const char *name = line + sizeof public_start - 1;
    const int used = header_stage(name, strcspn(name, ".>"));
    return used >= 0 && used <= stage;
  }
  if (strncmp(line, private_start, sizeof private_start - 1) != 0) return true;
  const char *name = line + sizeof private_start - 1;
  if (strstr(name, "../")) return false; /* a way round the folders' names */
  const char *slash = strchr(name, '/');
  if (!slash) return true; /* beside it */
  const int used = stage_number(name, (size_t)(slash - name));
  return used == stage || (used == 0 && stage < stage_number("web", 3)); /* web and cli: public headers only */
}

static int check_file(const char *path, int stage) {
  FILE *stream = fopen(path, "r");
  assert_non_null(stream);
  char line[512];
  int wrong = 0;
  while (fgets(line, sizeof line, stream))
    if (!line_is_fine(stage, line)) {
      fprintf(stderr, "%s: %s", path, line);
      wrong++;
    }
  fclose(stream);
  return wrong;
}

/* The folder with those inside it. */
static int check_folder(const char *folder, int stage, int *files) {
  DIR *entries = opendir(folder);
  if (!entries) return 0;
  int wrong = 0;
  const struct dirent *entry;
  while ((entry = readdir(entries))) {
    if (entry->d_name[0] == '.') continue;
    char path[2048];
    snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
    const size_t length = strlen(entry->d_name);
    if (length > 2 &&
        (strcmp(entry->d_name + length - 2, ".c") == 0 || strcmp(entry->d_name + length - 2, ".h") == 0)) {
      wrong += check_file(path, stage);
      (*files)++;
    } else if (entry->d_type == DT_DIR) {
      wrong += check_folder(path, stage, files);
    }
  }
  closedir(entries);
  return wrong;
}

static void includes_point_down(void **state) {
  (void)state;
  int files = 0, wrong = 0;
  for (int i = 0; i < stage_count; i++) {
    char folder[1024];
    snprintf(folder, sizeof folder, "%s/../src/%s", BC_ASSETS, stages[i]);
    const int before = files;
    wrong += check_folder(folder, i, &files);
    assert_true(files > before);
  }
  assert_int_equal(wrong, 0);
}

/* A public header stands where its stage does: it includes none of a higher stage. */
static void public_headers_point_down(void **state) {
  (void)state;
  static const char folder[] = BC_ASSETS "/../include/backcloth";
  DIR *entries = opendir(folder);
  assert_non_null(entries);
  int wrong = 0, files = 0;
  const struct dirent *entry;
  while ((entry = readdir(entries))) {
    const char *dot = strrchr(entry->d_name, '.');
    if (!dot || strcmp(dot, ".h") != 0 || strcmp(entry->d_name, "backcloth.h") == 0) continue;
    char path[2048];
    snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
    const int stage = header_stage(entry->d_name, (size_t)(dot - entry->d_name));
    if (stage < 0) fprintf(stderr, "%s: of which stage?\n", path);
    assert_true(stage >= 0);
    wrong += check_file(path, stage);
    files++;
  }
  closedir(entries);
  assert_true(files > 10);
  assert_int_equal(wrong, 0);
}

/* The check itself: lines that must not pass. */
static void breaches_are_found(void **state) {
  (void)state;
  const int photo = stage_number("photo", 5), drawing = stage_number("drawing", 7), loads = stage_number("loads", 5),
            web = stage_number("web", 3), cli = stage_number("cli", 3);
  assert_false(line_is_fine(photo, "#include <backcloth/feedback.h>\n"));
  assert_false(line_is_fine(photo, "#include <backcloth/backcloth.h>\n"));
  assert_false(line_is_fine(drawing, "#include <backcloth/packing.h>\n"));
  assert_false(line_is_fine(drawing, "#include \"match/match_internal.h\"\n"));
  assert_false(line_is_fine(drawing, "#include \"../match/match_internal.h\"\n"));
  assert_false(line_is_fine(loads, "#include <backcloth/arrange.h>\n"));
  assert_false(line_is_fine(web, "#include \"base/base.h\"\n"));
  assert_false(line_is_fine(web, "#include \"base/apart/apart.h\"\n"));
  assert_false(line_is_fine(cli, "#include \"base/parallel.h\"\n"));
  assert_true(line_is_fine(cli, "#include <backcloth/program.h>\n"));
  assert_true(line_is_fine(drawing, "#include \"drawing/paper/paper.h\"\n"));
  assert_true(line_is_fine(drawing, "#include \"base/base.h\"\n"));
  assert_true(line_is_fine(drawing, "#include <backcloth/match.h>\n"));
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(includes_point_down), cmocka_unit_test(public_headers_point_down),
                                     cmocka_unit_test(breaches_are_found)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
