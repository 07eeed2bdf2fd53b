/* SPDX-License-Identifier: MIT */
/* Cloths as a user writes them, one by one and in a file; each mistake must be told with its place. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "match_made.h"
#include <stdio.h>
#include <unistd.h>

static char folder[] = "/tmp/bc-cloths-XXXXXX";
static char path[64];

static int set_up(void **state) {
  if (!mkdtemp(folder)) return -1;
  snprintf(path, sizeof path, "%s/cloths.json", folder);
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return -1;
  *state = context;
  return 0;
}

static int tear_down(void **state) {
  bc_context_free(*state);
  unlink(path);
  char picture[64];
  snprintf(picture, sizeof picture, "%s/linen.ppm", folder);
  unlink(picture);
  return rmdir(folder);
}

static void write_file(const char *name, const char *text, size_t size) {
  char full[96];
  snprintf(full, sizeof full, "%s/%s", folder, name);
  FILE *file = fopen(full, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(text, 1, size, file), size);
  fclose(file);
}

static void test_colour(void **state) {
  bc_cloth *cloth = NULL;
  assert_int_equal(bc_cloth_parse(&cloth, *state, "lab(30% 10 -20)", "Night"), BC_OK);
  assert_string_equal(cloth->name, "Night");
  assert_string_equal(cloth->spec, "lab(30% 10 -20)");
  assert_near(cloth->colour.lab.L, 30, 1e-9);
  assert_near(cloth->spread_l, 0, 0);
  bc_cloth_free(cloth);
  assert_int_equal(bc_cloth_parse(&cloth, *state, "#ffffff", NULL), BC_OK);
  assert_string_equal(cloth->name, bc_colour_name((bc_lab){100, 0, 0}));
  assert_near(cloth->colour.luminance, 1, 1e-4);
  bc_cloth_free(cloth);
}

/* Half black, half white: mean L* 50, and each pixel is 50 away from it. */
static void test_photo(void **state) {
  char picture[2 * 64 * 3 + 32];
  const int head = snprintf(picture, sizeof picture, "P6\n2 64\n255\n");
  for (int i = 0; i < 128; i++) memset(picture + head + 3 * i, i % 2 ? 255 : 0, 3);
  write_file("linen.ppm", picture, (size_t)head + 384);
  char spec[96];
  snprintf(spec, sizeof spec, "photo:%s/linen.ppm", folder);
  bc_cloth *cloth = NULL;
  assert_int_equal(bc_cloth_parse(&cloth, *state, spec, NULL), BC_OK);
  assert_string_equal(cloth->name, "linen");
  assert_near(cloth->colour.lab.L, 50, 0.05);
  assert_near(cloth->colour.luminance, 0.5, 1e-3);
  assert_near(cloth->spread_l, 50, 0.05);
  bc_cloth_free(cloth);
}

/* A word that was typed is kept; words of cloth shops are understood; figures are only named. */
static void test_words_are_kept(void **state) {
  static const struct {
    const char *spec, *start;
  } cases[] = {{"red", "red ("},   {"Oatmeal", "Oatmeal ("},       {"bottle green", "bottle green ("},
               {"navy", "navy ("}, {"Dark green", "Dark green ("}, {"calico", "calico ("}};
  bc_cloth *cloth = NULL;
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    assert_int_equal(bc_cloth_parse(&cloth, *state, cases[i].spec, NULL), BC_OK);
    assert_memory_equal(cloth->name, cases[i].start, strlen(cases[i].start));
    assert_string_equal(cloth->spec, cases[i].spec);
    bc_cloth_free(cloth);
  }
  assert_int_equal(bc_cloth_parse(&cloth, *state, "#ff0000", NULL), BC_OK);
  assert_null(strchr(cloth->name, '('));
  bc_cloth_free(cloth);
  assert_int_equal(bc_cloth_parse(&cloth, *state, "black", NULL), BC_OK);
  assert_string_equal(cloth->name, "black"); /* not "black (black)" */
  bc_cloth_free(cloth);
}

static void test_file(void **state) {
  const char text[] = "{\"cloths\":[{\"name\":\"indigo\",\"colour\":\"#1f2a50\"},{\"photo\":\"linen.ppm\"}]}";
  write_file("cloths.json", text, strlen(text));
  bc_cloth_list list;
  assert_int_equal(bc_cloths_open(&list, *state, path), BC_OK);
  assert_int_equal(list.count, 2);
  assert_string_equal(list.cloth[0]->name, "indigo");
  assert_string_equal(list.cloth[1]->name, "linen");
  bc_cloths_clear(&list);
  assert_int_equal(list.count, 0);
}

static void test_mistakes_are_placed(void **state) {
  static const struct {
    const char *text, *part;
    bc_status status;
  } cases[] = {
      {"{\"cloths\":[\n{\"colour\":\"#fff\"},\n{\"colour\" \"#000\"}]}", "line 3", BC_BAD_DATA},
      {"", "line 1", BC_BAD_DATA},
      {"[]", "one key", BC_BAD_DATA},
      {"{\"cloths\":{}}", "one key", BC_BAD_DATA},
      {"{\"cloths\":[],\"x\":1}", "one key", BC_BAD_DATA},
      {"{\"cloths\":[{\"colour\":\"#fff\"},{\"colour\":\"#xyz\"}]}", "cloth number 2", BC_BAD_DATA},
      {"{\"cloths\":[{\"colour\":\"#fff\",\"shade\":\"x\"}]}", "shade", BC_BAD_DATA},
      {"{\"cloths\":[{\"name\":\"x\"}]}", "either", BC_BAD_DATA},
      {"{\"cloths\":[{\"colour\":\"#fff\",\"photo\":\"a.png\"}]}", "either", BC_BAD_DATA},
      {"{\"cloths\":[{\"colour\":7}]}", "quotation", BC_BAD_DATA},
      {"{\"cloths\":[7]}", "braces", BC_BAD_DATA},
      {"{\"cloths\":[{\"photo\":\"missing.png\"}]}", "missing.png", BC_NO_INPUT},
      {"{\"cloths\":[{\"colour\":\"photo:linen.ppm\"}]}", "“photo”", BC_BAD_DATA},
      {"{\"cloths\":[{\"colour\":\"#fff\",\"colour\":\"#000\"}]}", "line 1", BC_BAD_DATA},
  };
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    write_file("cloths.json", cases[i].text, strlen(cases[i].text));
    bc_cloth_list list;
    assert_int_equal(bc_cloths_open(&list, *state, path), cases[i].status);
    const char *said = bc_context_message(*state);
    if (!strstr(said, cases[i].part) || !strstr(said, "cloths.json")) fail_msg("%s: said %s", cases[i].text, said);
    assert_int_equal(list.count, 0);
    assert_null(list.cloth);
  }
}

static void test_missing(void **state) {
  bc_cloth_list list;
  bc_cloth *cloth = NULL;
  assert_int_equal(bc_cloths_open(&list, *state, "/no/such/file.json"), BC_NO_INPUT);
  assert_int_equal(bc_cloth_parse(&cloth, *state, "photo:/no/such/file.jpg", NULL), BC_NO_INPUT);
  assert_int_equal(bc_cloth_parse(&cloth, *state, "photo:", NULL), BC_BAD_USAGE);
  assert_int_equal(bc_cloth_parse(&cloth, *state, "not a colour", NULL), BC_BAD_DATA);
  assert_null(cloth);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_colour),  cmocka_unit_test(test_photo),
      cmocka_unit_test(test_file),    cmocka_unit_test(test_mistakes_are_placed),
      cmocka_unit_test(test_missing), cmocka_unit_test(test_words_are_kept),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
