/* SPDX-License-Identifier: MIT */
/* Files: nothing half written, limits obeyed, paths that climb out are seen. */
#include "base/base.h"

#include <backcloth/file.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"

static void write_then_read(void **state) {
  (void)state;
  char folder[] = "/tmp/backcloth-test-XXXXXX";
  assert_non_null(mkdtemp(folder));
  char *path = bc_path_join(folder, "note.txt");
  bc_file_writer *writer = NULL;
  assert_int_equal(bc_file_writer_open(&writer, context, path), BC_OK);
  bc_file_writer_write(writer, "linen", 5);
  assert_int_not_equal(access(path, F_OK), 0); /* not there before it is whole */
  assert_int_equal(bc_file_writer_commit(writer, context), BC_OK);

  uint8_t *bytes = NULL;
  size_t size = 0;
  assert_int_equal(bc_file_read(&bytes, &size, context, path, 5), BC_OK);
  assert_int_equal(size, 5);
  assert_string_equal((char *)bytes, "linen");
  free(bytes);
  assert_int_equal(bc_file_read(&bytes, &size, context, path, 4), BC_BAD_DATA); /* one past the limit */
  assert_null(bytes);
  assert_int_equal(bc_file_read(&bytes, &size, context, folder, 4), BC_NO_INPUT);

  unlink(path);
  assert_int_equal(rmdir(folder), 0); /* and no temporary file is left */
  free(path);
}

static void abandoned_writer_keeps_the_old_file(void **state) {
  (void)state;
  char path[] = "/tmp/backcloth-test-XXXXXX";
  const int descriptor = mkstemp(path);
  assert_true(descriptor >= 0);
  assert_int_equal(write(descriptor, "old", 3), 3);
  close(descriptor);
  bc_file_writer *writer = NULL;
  assert_int_equal(bc_file_writer_open(&writer, context, path), BC_OK);
  bc_file_writer_write(writer, "new", 3);
  bc_file_writer_abandon(writer);
  uint8_t *bytes = NULL;
  size_t size = 0;
  assert_int_equal(bc_file_read(&bytes, &size, context, path, 100), BC_OK);
  assert_string_equal((char *)bytes, "old");
  free(bytes);
  unlink(path);
}

static void full_disk_is_told(void **state) {
  (void)state;
  bc_file_writer *writer = NULL;
  assert_int_equal(bc_file_writer_open(&writer, context, "/nonexistent-folder/a.png"), BC_CANNOT_WRITE);
  assert_null(writer);
  assert_non_null(strstr(bc_context_message(context), "/nonexistent-folder/a.png"));
}

static void missing_file_is_named(void **state) {
  (void)state;
  uint8_t *bytes = NULL;
  size_t size = 0;
  assert_int_equal(bc_file_read(&bytes, &size, context, "no-such-file.jpg", 10), BC_NO_INPUT);
  assert_non_null(strstr(bc_context_message(context), "no-such-file.jpg"));
}

static void paths(void **state) {
  (void)state;
  assert_true(bc_path_stays_inside("a/../b/c.jpg"));
  assert_false(bc_path_stays_inside("a/../../b.jpg"));
  assert_false(bc_path_stays_inside("/etc/passwd"));
  assert_false(bc_path_stays_inside(".."));
  assert_true(bc_path_stays_inside("..a/b"));
  assert_true(bc_path_has_suffix("wall.PNG", "png"));
  assert_false(bc_path_has_suffix("png", "png"));
  assert_false(bc_path_has_suffix("a.png/b", "png"));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(write_then_read),
      cmocka_unit_test(abandoned_writer_keeps_the_old_file),
      cmocka_unit_test(full_disk_is_told),
      cmocka_unit_test(missing_file_is_named),
      cmocka_unit_test(paths),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
