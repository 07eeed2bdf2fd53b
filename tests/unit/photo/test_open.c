/* SPDX-License-Identifier: MIT */
/* Opening files: what is not there, not a file, empty, or not a picture gets its plain sentence. */
#include "pictures.h"

#include <sys/stat.h>
#include <unistd.h>

static bc_context *context;
static char folder[] = "/tmp/backcloth-photo-XXXXXX";

static int set_up(void **state) {
  (void)state;
  return mkdtemp(folder) && bc_context_new(&context) == BC_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_context_free(context);
  return rmdir(folder);
}

static void write_file(char *path, size_t room, const char *name, const void *bytes, size_t size) {
  snprintf(path, room, "%s/%s", folder, name);
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(bytes, 1, size, file), size);
  assert_int_equal(fclose(file), 0);
}

static void expect(bc_status status, const char *path, const char *words) {
  bc_photo *photo = NULL;
  assert_int_equal(bc_photo_open(&photo, context, path, NULL), status);
  assert_null(photo);
  assert_non_null(strstr(bc_context_message(context), path));
  if (!strstr(bc_context_message(context), words)) fail_msg("\"%s\" not in: %s", words, bc_context_message(context));
}

static void what_is_not_there(void **state) {
  (void)state;
  expect(BC_NO_INPUT, "no-such-photo.jpg", "no such file");
  expect(BC_NO_INPUT, folder, "folder");
}

static void what_is_no_picture(void **state) {
  (void)state;
  char path[256];
  write_file(path, sizeof path, "empty.jpg", "", 0);
  expect(BC_BAD_DATA, path, "empty");
  unlink(path);
  const char text[] = "Dear Ilse, the photos are on the other stick.\n";
  write_file(path, sizeof path, "letter.jpg", text, sizeof text - 1);
  expect(BC_BAD_DATA, path, "not a picture");
  unlink(path);
  write_file(path, sizeof path, "short.png", "\x89", 1);
  expect(BC_BAD_DATA, path, "not a picture");
  unlink(path);
}

static void file_over_the_limit(void **state) {
  (void)state;
  char path[256];
  const file_bytes jpeg = make_jpeg((jpeg_wish){.width = 20, .height = 10, .components = 3});
  write_file(path, sizeof path, "photo.jpg", jpeg.bytes, jpeg.size);
  const uint64_t before = bc_context_limits(context)->file_bytes;
  bc_context_limits(context)->file_bytes = jpeg.size;
  bc_photo *photo = NULL;
  assert_int_equal(bc_photo_open(&photo, context, path, NULL), BC_OK);
  assert_string_equal(bc_photo_name(photo), path);
  assert_string_equal(bc_photo_format(photo), "JPEG");
  bc_photo_free(photo);
  bc_context_limits(context)->file_bytes = jpeg.size - 1;
  expect(BC_BAD_DATA, path, "larger");
  bc_context_limits(context)->file_bytes = before;
  unlink(path);
  free(jpeg.bytes);
}

static void freeing_nothing(void **state) {
  (void)state;
  bc_photo_free(NULL);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(what_is_not_there),
      cmocka_unit_test(what_is_no_picture),
      cmocka_unit_test(file_over_the_limit),
      cmocka_unit_test(freeing_nothing),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
