/* SPDX-License-Identifier: MIT */
/* The feedback sheet as data, and what is kept between runs: a reading comes out of the cache as it went in, a changed
 * file is noticed, no sentence stands without its figure. Base64 against RFC 4648, section 10. */
#include "sheets/feedback/feedback_internal.h"

#include "base/base64.h"
#include <backcloth/colour.h>
#include <backcloth/file.h>
#include <fcntl.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"

#define PHOTOS BC_ASSETS "/demo/photos/"

static char *folder_new(void) {
  char *folder = strdup("/tmp/backcloth-test-XXXXXX");
  assert_non_null(mkdtemp(folder));
  return folder;
}

static char *in(const char *folder, const char *name) {
  char *path = bc_path_join(folder, name);
  assert_non_null(path);
  return path;
}

static void drop(char *folder, const char *const *names, size_t count) {
  for (size_t i = 0; i < count; i++) {
    char *path = in(folder, names[i]);
    (void)unlink(path);
    free(path);
  }
  assert_int_equal(rmdir(folder), 0);
  free(folder);
}

static void write_text(const char *path, const char *text) {
  FILE *to = fopen(path, "w");
  assert_non_null(to);
  fputs(text, to);
  assert_int_equal(fclose(to), 0);
}

static void base64_as_published(void **state) {
  (void)state;
  static const char *const pair[][2] = {{"", ""},
                                        {"f", "Zg=="},
                                        {"fo", "Zm8="},
                                        {"foo", "Zm9v"},
                                        {"foob", "Zm9vYg=="},
                                        {"fooba", "Zm9vYmE="},
                                        {"foobar", "Zm9vYmFy"}};
  for (size_t i = 0; i < sizeof pair / sizeof pair[0]; i++) {
    char text[BC_BASE64_ROOM(6)];
    base_base64(text, (const unsigned char *)pair[i][0], strlen(pair[i][0]));
    assert_string_equal(text, pair[i][1]);
    unsigned char back[6];
    assert_true(base_base64_read(back, strlen(pair[i][0]), text));
    assert_memory_equal(back, pair[i][0], strlen(pair[i][0]));
    assert_false(base_base64_read(back, 5, "Zm9vYm!="));
  }
}

static const char *const cache_files[] = {"c.sqlite", "c.sqlite-wal", "c.sqlite-shm", "file"};

static void a_reading_comes_out_as_it_went_in(void **state) {
  (void)state;
  char *folder = folder_new(), *again = NULL, key[FEEDBACK_HASH];
  bc_store *store = NULL;
  feedback_entry entry, kept;
  assert_int_equal(feedback_entry_read(&entry, context, PHOTOS "ring.jpg", NULL), BC_OK);
  assert_int_equal(bc_store_open_for_now(&store, context, folder), BC_OK);
  bc_context_use_store(context, store);
  assert_int_equal(feedback_photo_key(key, NULL, context, PHOTOS "ring.jpg", NULL), BC_OK);
  assert_false(feedback_entry_recall(&kept, context, key));
  assert_false(feedback_entry_is_kept(context, key));
  feedback_entry_store(context, key, &entry);
  assert_true(feedback_entry_is_kept(context, key));
  assert_true(feedback_entry_recall(&kept, context, key));
  assert_string_equal(kept.json, entry.json);
  assert_int_equal(kept.cut_size, entry.cut_size);
  assert_memory_equal(kept.cut, entry.cut, entry.cut_size);
  assert_memory_equal(kept.place, entry.place, sizeof entry.place);
  bc_reading *reading = NULL;
  assert_int_equal(feedback_entry_reading(&reading, context, &kept, PHOTOS "ring.jpg"), BC_OK);
  assert_int_equal(bc_reading_to_stored_json(&again, context, reading), BC_OK);
  assert_string_equal(again, entry.json);
  bc_reading_free(reading);
  free(again);
  feedback_entry_clear(&kept);
  feedback_entry_clear(&entry);
  bc_context_use_store(context, NULL);
  bc_store_close(store);
  drop(folder, NULL, 0);
}

static void a_changed_file_is_noticed(void **state) {
  (void)state;
  char *folder = folder_new(), *path = in(folder, "c.sqlite"), *file = in(folder, "file");
  feedback_cache *cache = NULL;
  char first[FEEDBACK_HASH], second[FEEDBACK_HASH], third[FEEDBACK_HASH];
  assert_int_equal(feedback_cache_open(&cache, context, path), BC_OK);
  write_text(file, "madder");
  assert_int_equal(feedback_file_hash(first, cache, context, file), BC_OK);
  assert_int_equal(feedback_file_hash(second, cache, context, file), BC_OK);
  assert_string_equal(first, second);
  write_text(file, "indigo"); /* of the same length */
  const struct timespec later[2] = {{.tv_sec = 1000000000}, {.tv_sec = 1000000000, .tv_nsec = 1}};
  assert_int_equal(utimensat(AT_FDCWD, file, later, 0), 0);
  assert_int_equal(feedback_file_hash(second, cache, context, file), BC_OK);
  assert_string_not_equal(first, second);
  assert_int_equal(feedback_file_hash(third, NULL, context, file), BC_OK); /* by content, whatever is remembered */
  assert_string_equal(second, third);
  assert_int_equal(unlink(file), 0);
  assert_int_not_equal(feedback_file_hash(third, cache, context, file), BC_OK);
  feedback_cache_close(cache);
  free(file);
  free(path);
  drop(folder, cache_files, 4);
}

static char *maker_new(void) {
  char *folder = folder_new();
  static const char *const photo[] = {"ring.jpg", "jar.jpg"};
  for (size_t i = 0; i < 2; i++) {
    char *link = in(folder, photo[i]), *to = bc_format(PHOTOS "%s", photo[i]);
    assert_int_equal(symlink(to, link), 0);
    free(to);
    free(link);
  }
  char *notes = in(folder, "notes.txt");
  write_text(notes, "I sell on Saturdays.\n");
  free(notes);
  return folder;
}

static const char *const maker_files[] = {"ring.jpg", "jar.jpg", "notes.txt"};

static void every_sentence_has_its_figure(void **state) {
  (void)state;
  char *folder = maker_new();
  bc_feedback_options how = bc_feedback_options_default();
  bc_feedback_sheet *sheet = NULL;
  assert_int_equal(bc_feedback_sheet_of(&sheet, context, folder, &how, false), BC_OK);
  assert_int_equal(sheet->summary.photos, 2);
  assert_int_equal(sheet->summary.pieces, 2);
  assert_int_equal(sheet->summary.clear + sheet->summary.soft + sheet->summary.lost, 2);
  size_t tried = 0, noted = 0;
  static const char *const of_the_person[] = {"grade", "score", "mark out of", "failed", "poor", "bad "};
  for (size_t i = 0; i < sheet->section_count; i++) {
    const bc_feedback_section *section = &sheet->sections[i];
    assert_true(section->heading[0] != '\0');
    for (size_t k = 0; k < section->line_count; k++) {
      const bc_feedback_line *line = &section->lines[k];
      assert_true(line->figure_count > 0 || section->part == BC_FEEDBACK_NOTES);
      for (size_t f = 0; f < line->figure_count; f++) assert_true(line->figure[f].shown[0] != '\0');
      for (size_t w = 0; w < sizeof of_the_person / sizeof of_the_person[0]; w++)
        assert_null(strcasestr(line->text, of_the_person[w]));
      tried += section->part == BC_FEEDBACK_TRY;
      noted += section->part == BC_FEEDBACK_NOTES;
    }
  }
  assert_in_range(tried, 1, 3);
  assert_int_equal(noted, 1);
  bc_feedback_sheet_free(sheet);
  drop(folder, maker_files, 3);
}

/* Between two looks at a folder: nothing, then a word of the notes. */
static void an_unchanged_maker_is_known(void **state) {
  (void)state;
  char *folder = maker_new(), *store = folder_new(), *path = in(store, "c.sqlite"), *notes = in(folder, "notes.txt");
  bc_feedback_options how = bc_feedback_options_default();
  feedback_cache *cache = NULL;
  assert_int_equal(feedback_cache_open(&cache, context, path), BC_OK);
  feedback_maker maker;
  assert_int_equal(feedback_maker_compare(&maker, context, cache, folder, &how), BC_OK);
  assert_false(maker.unchanged);
  char inputs[FEEDBACK_HASH];
  assert_int_equal(feedback_maker_hash(inputs, &maker, &how), BC_OK);
  char line[] = "{}", none[] = "";
  const feedback_made made = {.inputs = inputs, .line = line, .complaints = none, .others = none};
  assert_true(feedback_cache_put_maker(cache, maker.name, &made));
  feedback_maker_clear(&maker);
  assert_int_equal(feedback_maker_compare(&maker, context, cache, folder, &how), BC_OK);
  assert_true(maker.unchanged);
  feedback_maker_clear(&maker);
  how.cloths = "other.json";
  assert_int_equal(feedback_maker_compare(&maker, context, cache, folder, &how), BC_OK);
  assert_false(maker.unchanged);
  feedback_maker_clear(&maker);
  how.cloths = NULL;
  write_text(notes, "I sell on Sundays, too.\n");
  assert_int_equal(feedback_maker_compare(&maker, context, cache, folder, &how), BC_OK);
  assert_false(maker.unchanged);
  feedback_maker_clear(&maker);
  feedback_cache_close(cache);
  free(notes);
  free(path);
  drop(store, cache_files, 4);
  drop(folder, maker_files, 3);
}

/* ---- sheets from studies at hand ---- */

#define SURE 2 /* the brooch of the demo's plan; all other outlines are made doubtful */

static bc_status doubtful_study(bc_study **out, bc_context *for_whom, void *data, size_t piece) {
  const bc_plan *plan = data;
  *out = NULL;
  if (!plan->pieces[piece].photo) return BC_OK;
  const bc_status status = bc_study_open(out, for_whom, plan->pieces[piece].photo, NULL);
  if (status == BC_OK) (*out)->reading->confidence = piece == SURE ? 0.95 : 0.55;
  return status;
}

static bc_feedback_sheet *sheet_on(const char *spec, bool pictures) {
  bc_plan *plan = NULL;
  bc_cloth *cloth = NULL;
  bc_feedback_sheet *sheet = NULL;
  assert_int_equal(bc_plan_open(&plan, context, BC_ASSETS "/demo/plan-venn.json", NULL), BC_OK);
  assert_int_equal(bc_cloth_parse(&cloth, context, spec, NULL), BC_OK);
  const bc_cloth *const cloths[] = {cloth};
  const bc_feedback_options how = bc_feedback_options_default();
  const bc_feedback_subject subject = {
      .name = "Venn", .plan = plan, .study = doubtful_study, .data = plan, .cloths = cloths, .cloth_count = 1};
  assert_int_equal(bc_feedback_sheet_from(&sheet, context, &subject, &how, pictures), BC_OK);
  bc_cloth_free(cloth);
  bc_plan_free(plan);
  return sheet;
}

static void a_doubtful_piece_is_not_praised(void **state) {
  (void)state;
  bc_feedback_sheet *sheet = sheet_on("#f1efe9", false);
  size_t sure = 0, doubtful = 0;
  for (size_t i = 0; i < sheet->section_count; i++) {
    const bc_feedback_section *section = &sheet->sections[i];
    if (section->part != BC_FEEDBACK_NOW && section->part != BC_FEEDBACK_CLOTH) continue;
    for (size_t k = 0; k < section->line_count; k++) {
      const bc_feedback_line *line = &section->lines[k];
      if (strcmp(line->figure[0].what, "outline_sure") == 0) {
        assert_true(line->figure[0].value < BC_CUTOUT_SURE && strstr(line->text, "guess"));
        assert_int_equal(section->part, BC_FEEDBACK_NOW);
        doubtful++;
      } else if (strcmp(line->figure[0].what, "outline_clear") == 0) {
        assert_non_null(strstr(line->text, "brooch"));
        sure++;
      }
    }
  }
  assert_int_equal(sure, 2); /* on the wall as it is, and on the candidate */
  assert_int_equal(doubtful, 4);
  bc_feedback_sheet_free(sheet);
}

static const bc_feedback_picture *last_wall(const bc_feedback_sheet *sheet) {
  const bc_feedback_picture *wall = NULL;
  for (size_t i = 0; i < sheet->picture_count; i++)
    if (sheet->pictures[i].wide) wall = &sheet->pictures[i];
  assert_non_null(wall);
  return wall;
}

/* A printed cloth takes a JPEG more bytes than its mean colour does. */
static void the_wall_shows_the_cloth_itself(void **state) {
  (void)state;
  char css[8];
  bc_cloth *printed = NULL;
  assert_int_equal(bc_cloth_parse(&printed, context, "photo:" BC_ASSETS "/demo/cloths/block.jpg", NULL), BC_OK);
  bc_lab_to_hex(printed->colour.lab, css);
  bc_feedback_sheet *plain = sheet_on(css, true), *print = sheet_on(printed->spec, true);
  assert_true(10 * last_wall(print)->size > 13 * last_wall(plain)->size);
  assert_in_range(print->small.width, 300, 480);
  assert_true(print->small.size > 1000 && print->small.size < 60000 && print->small.words);
  bc_feedback_sheet_free(plain);
  bc_feedback_sheet_free(print);
  bc_cloth_free(printed);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(base64_as_published),
      cmocka_unit_test(a_reading_comes_out_as_it_went_in),
      cmocka_unit_test(a_changed_file_is_noticed),
      cmocka_unit_test(every_sentence_has_its_figure),
      cmocka_unit_test(an_unchanged_maker_is_known),
      cmocka_unit_test(a_doubtful_piece_is_not_praised),
      cmocka_unit_test(the_wall_shows_the_cloth_itself),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
