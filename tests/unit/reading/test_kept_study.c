/* SPDX-License-Identifier: MIT */
/* A study through the store is the study that computing gives, figure for figure and pixel for pixel: the first time,
 * the second time, and when the store has lost what it had meanwhile. */
#include <fcntl.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/base.h"
#include "base/kept/kept.h"
#include "support/context.h"
#include <backcloth/reading.h>

#define PHOTOS BC_ASSETS "/demo/photos/"

static char folder[64];
static bc_store *store;

static int open_anew(void **state) {
  (void)state;
  strcpy(folder, "/tmp/kept-XXXXXX");
  assert_non_null(mkdtemp(folder));
  assert_int_equal(bc_store_open(&store, context, folder, 0), BC_OK);
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

static void lose_all(void) {
  kept_sweep(store->folder, 0);
}

static size_t entries(void) {
  char *words = bc_format("ls %s | grep -c reading", folder);
  FILE *pipe = popen(words, "r");
  unsigned count = 0;
  assert_int_equal(fscanf(pipe, "%u", &count), 1);
  pclose(pipe);
  free(words);
  return count;
}

static void assert_same_notes(const bc_notes *first, const bc_notes *second) {
  assert_int_equal(first->count, second->count);
  for (size_t i = 0; i < first->count; i++) assert_string_equal(first->text[i], second->text[i]);
}

static void assert_same_reading(const bc_reading *first, const bc_reading *second) {
  char *a = NULL, *b = NULL;
  assert_int_equal(bc_reading_to_stored_json(&a, context, first), BC_OK);
  assert_int_equal(bc_reading_to_stored_json(&b, context, second), BC_OK);
  assert_string_equal(a, b);
  free(a);
  free(b);
  assert_memory_equal(&first->doubts, &second->doubts, sizeof first->doubts);
  assert_memory_equal(&first->see_through, &second->see_through, sizeof first->see_through);
}

static void assert_same_facts(const bc_study *first, const bc_study *second) {
  assert_same_reading(first->reading, second->reading);
  const bc_image *a = first->image, *b = second->image;
  assert_int_equal(a->width, b->width);
  assert_int_equal(a->height, b->height);
  assert_int_equal(a->full_width, b->full_width);
  assert_string_equal(a->profile, b->profile);
  assert_int_equal(a->reference, b->reference);
  assert_memory_equal(&a->reference_box, &b->reference_box, sizeof a->reference_box);
  assert_same_notes(&a->notes, &b->notes);
  assert_memory_equal(&first->cutout->box, &second->cutout->box, sizeof(bc_box));
  assert_int_equal(first->cutout->source, second->cutout->source);
  assert_same_notes(&first->cutout->notes, &second->cutout->notes);
}

static void assert_same_pixels(const bc_study *first, const bc_study *second) {
  const size_t size = (size_t)first->image->width * (size_t)first->image->height;
  assert_memory_equal(first->image->L, second->image->L, size * sizeof(float));
  assert_memory_equal(first->image->a, second->image->a, size * sizeof(float));
  assert_memory_equal(first->image->b, second->image->b, size * sizeof(float));
  assert_memory_equal(first->image->Y, second->image->Y, size * sizeof(float));
  assert_memory_equal(first->cutout->alpha, second->cutout->alpha, size);
}

static bc_study *open_study(const char *path, const bc_study_options *how, bc_store *from) {
  bc_study *study = NULL;
  bc_context_use_store(context, from);
  assert_int_equal(bc_study_open(&study, context, path, how), BC_OK);
  return study;
}

/* Opened without a store, then with one: computed, and found; then its pixels, from a store that has them or not. */
static void compare_all(const char *path, const bc_study_options *how) {
  bc_study *truth = open_study(path, how, NULL), *first = open_study(path, how, store);
  assert_non_null(first->image->L);
  assert_same_facts(truth, first);
  assert_same_pixels(truth, first);
  bc_study_rest(&first, 1);
  assert_null(first->image->L);
  assert_null(first->cutout->alpha);
  bc_study *second = open_study(path, how, store), *loaded = NULL;
  assert_null(second->image->L); /* found: nothing was decoded */
  assert_same_facts(truth, second);
  assert_int_equal(bc_study_loaded(&loaded, context, second), BC_OK);
  assert_same_facts(truth, loaded);
  assert_same_pixels(truth, loaded);
  assert_int_equal(bc_study_load_mask(second, context), BC_OK);
  assert_null(second->image->L);
  lose_all();
  assert_int_equal(bc_study_load(first, context), BC_OK);
  assert_int_equal(bc_study_load(second, context), BC_OK);
  assert_same_pixels(truth, first);
  assert_same_pixels(truth, second);
  bc_study_free(truth);
  bc_study_free(first);
  bc_study_free(second);
  bc_study_free(loaded);
}

static void a_kept_study_is_the_computed_one(void **state) {
  (void)state;
  static const bc_point_px inside = {700, 500};
  bc_study_options how = bc_study_options_default();
  compare_all(PHOTOS "ring.jpg", NULL);
  compare_all(BC_ASSETS "/demo/photos/vase.jpg", &how);
  how.cutout.has_box = true;
  how.cutout.box = (bc_box){200, 150, 900, 700};
  how.cutout.keep = &inside;
  how.cutout.keep_count = 1;
  compare_all(PHOTOS "bowl.jpg", &how);
}

/* Every option that changes an answer is another entry; the same options are the same one. */
static void each_option_counts(void **state) {
  (void)state;
  static const bc_point_px points[2] = {{700, 500}, {20, 20}};
  bc_study_options how[8];
  for (int i = 0; i < 8; i++) how[i] = bc_study_options_default();
  how[1].image.find_white = false;
  how[2].image.side = 512;
  how[3].cutout.without_network = true;
  how[4].cutout.has_box = true;
  how[4].cutout.box = (bc_box){100, 100, 1100, 800};
  how[5].cutout.keep = points, how[5].cutout.keep_count = 1;
  how[6].cutout.drop = points + 1, how[6].cutout.drop_count = 1;
  how[7].mask_path = BC_ASSETS "/demo/truth/cuff.mask.png";
  for (int i = 0; i < 8; i++) bc_study_free(open_study(PHOTOS "cuff.jpg", &how[i], store));
  assert_int_equal(entries(), 8);
  for (int i = 0; i < 8; i++) {
    bc_study *found = open_study(PHOTOS "cuff.jpg", &how[i], store);
    assert_null(found->image->L);
    bc_study_free(found);
  }
  assert_int_equal(entries(), 8);
}

static bool no_guess(void *data, const bc_image *image, int width, int height, float *probability) {
  (void)data, (void)image, (void)width, (void)height, (void)probability;
  return false;
}

/* A caller's own code is unknown to any hash. */
static void what_a_caller_computes_is_not_kept(void **state) {
  (void)state;
  bc_study_options how = bc_study_options_default();
  how.cutout.first_guess = no_guess;
  for (int i = 0; i < 2; i++) {
    bc_study *study = open_study(PHOTOS "ring.jpg", &how, store);
    assert_non_null(study->image->L);
    bc_study_free(study);
  }
}

/* The same photo under another name is found; its reading has the new name. A changed photo is another. */
static void content_counts_and_not_the_name(void **state) {
  (void)state;
  char *copy = bc_format("%s/copy.jpg", folder);
  char *words = bc_format("cp " PHOTOS "ring.jpg %s", copy);
  assert_int_equal(system(words), 0);
  bc_study_free(open_study(PHOTOS "ring.jpg", NULL, store));
  bc_study *found = open_study(copy, NULL, store);
  assert_null(found->image->L);
  assert_string_equal(found->reading->photo, copy);
  const int file = open(copy, O_WRONLY | O_APPEND);
  assert_int_equal(write(file, "\n", 1), 1);
  close(file);
  assert_int_equal(bc_study_load(found, context), BC_BAD_DATA); /* its pixels are no longer there */
  assert_non_null(strstr(bc_context_message(context), copy));
  bc_study_free(found);
  bc_study *changed = open_study(copy, NULL, store);
  assert_non_null(changed->image->L);
  bc_study_free(changed);
  free(words);
  free(copy);
}

/* A photo of several pieces: all are found, each by its number, with its own mask. */
static void each_piece_has_its_mask(void **state) {
  (void)state;
  bc_study_options how = bc_study_options_default();
  bc_study **truth, **found;
  size_t count, again;
  char *path = bc_format("%s/two.png", folder);
  char *words =
      bc_format("convert -size 900x500 xc:white -fill '#8c2f2b' -draw 'circle 220,250 220,120' -fill '#22432f' "
                "-draw 'rectangle 560,140 780,380' %s",
                path);
  assert_int_equal(system(words), 0);
  how.split = true;
  assert_int_equal(bc_study_open_each(&truth, &count, context, path, &how), BC_OK);
  assert_int_equal(count, 2);
  bc_context_use_store(context, store);
  for (int turn = 0; turn < 2; turn++) {
    assert_int_equal(bc_study_open_each(&found, &again, context, path, &how), BC_OK);
    assert_int_equal(again, count);
    bc_study_rest(found, again);
    for (size_t i = 0; i < count; i++) {
      assert_string_equal(found[i]->reading->photo, truth[i]->reading->photo);
      assert_int_equal(bc_study_load(found[i], context), BC_OK);
      assert_same_facts(truth[i], found[i]);
      assert_same_pixels(truth[i], found[i]);
    }
    for (size_t i = 0; i < again; i++) bc_study_free(found[i]);
    free(found);
  }
  for (size_t i = 0; i < count; i++) bc_study_free(truth[i]);
  free(truth);
  free(words);
  free(path);
}

/* What shows through is another picture than the photo's own. */
static void a_changed_study_is_not_the_files(void **state) {
  (void)state;
  bc_study *truth = open_study(PHOTOS "vase.jpg", NULL, NULL);
  bc_study_free(open_study(PHOTOS "vase.jpg", NULL, store));
  bc_study *found = open_study(PHOTOS "vase.jpg", NULL, store);
  assert_non_null(bc_study_cut_key(found));
  assert_int_equal(bc_study_see_through(truth, context, 0.3), BC_OK);
  assert_int_equal(bc_study_see_through(found, context, 0.3), BC_OK);
  assert_null(bc_study_cut_key(found));
  assert_same_facts(truth, found);
  assert_same_pixels(truth, found);
  bc_study_rest(&found, 1);
  assert_non_null(found->image->L); /* it could not be had again */
  bc_study_free(truth);
  bc_study_free(found);
}

#define ANEW(test) cmocka_unit_test_setup_teardown(test, open_anew, close_all)

int main(void) {
  const struct CMUnitTest tests[] = {
      ANEW(a_kept_study_is_the_computed_one), ANEW(each_option_counts),      ANEW(what_a_caller_computes_is_not_kept),
      ANEW(content_counts_and_not_the_name),  ANEW(each_piece_has_its_mask), ANEW(a_changed_study_is_not_the_files),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
