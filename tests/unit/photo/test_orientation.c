/* SPDX-License-Identifier: MIT */
/* All eight orientations, judged by the table of Exif 2.32 (CIPA DC-008-2019, 4.6.5.1.6, tag 274):
 * for each value, which visual side the stored 0th row and the stored 0th column are. */
#include "pictures.h"

#include "support/context.h"

typedef enum side { TOP, BOTTOM, LEFT, RIGHT } side;

static const struct {
  side row, column;
} table[9] = {
    [1] = {TOP, LEFT}, [2] = {TOP, RIGHT}, [3] = {BOTTOM, RIGHT}, [4] = {BOTTOM, LEFT},
    [5] = {LEFT, TOP}, [6] = {RIGHT, TOP}, [7] = {RIGHT, BOTTOM}, [8] = {LEFT, BOTTOM},
};

/* Where stored pixel (x, y) is seen: going down the rows leaves the side of the 0th row, and so on. */
static void visual_place(int orientation, int width, int height, int x, int y, int *seen_x, int *seen_y) {
  const struct {
    side from;
    int steps, last;
  } moves[2] = {{table[orientation].row, y, height - 1}, {table[orientation].column, x, width - 1}};
  for (int i = 0; i < 2; i++) switch (moves[i].from) {
    case TOP:
      *seen_y = moves[i].steps;
      break;
    case BOTTOM:
      *seen_y = moves[i].last - moves[i].steps;
      break;
    case LEFT:
      *seen_x = moves[i].steps;
      break;
    case RIGHT:
      *seen_x = moves[i].last - moves[i].steps;
      break;
    }
}

static file_bytes png_turned(png_wish wish, const uint8_t *rows, int orientation, bool big) {
  const file_bytes exif = make_exif((exif_wish){.orientation = orientation, .big = big});
  const file_bytes file = with_png_chunk(make_png_of(wish, rows), "eXIf", exif.bytes + 6, exif.size - 6);
  free(exif.bytes);
  return file;
}

/* Every pixel, 67 x 41: more than one square of 32 x 32, and no whole number of them. */
static void check_pixels(int orientation, int colour_type, int bits) {
  const png_wish wish = {.width = 67, .height = 41, .colour_type = colour_type, .bits = bits};
  const size_t row_bytes = png_wish_row_bytes(wish);
  uint8_t *rows = make_samples((int)row_bytes, wish.height, 1);
  const file_bytes turned = png_turned(wish, rows, orientation, orientation % 2 == 0);
  const file_bytes plain = make_png_of(wish, rows);
  bc_photo *first = NULL, *second = NULL;
  assert_int_equal(decode_bytes(&first, context, plain, 0), BC_OK);
  assert_int_equal(decode_bytes(&second, context, turned, 0), BC_OK);
  const bc_raster from = bc_photo_raster(first), to = bc_photo_raster(second);
  const size_t pixel = (size_t)from.model * (size_t)from.bits / 8;
  assert_int_equal(to.width, orientation >= 5 ? 41 : 67);
  assert_int_equal(to.height, orientation >= 5 ? 67 : 41);
  assert_true(to.row_bytes >= (size_t)to.width * pixel);
  for (int y = 0; y < 41; y++)
    for (int x = 0; x < 67; x++) {
      int u = 0, v = 0;
      visual_place(orientation, 67, 41, x, y, &u, &v);
      const uint8_t *stored = (const uint8_t *)from.samples + (size_t)y * from.row_bytes + (size_t)x * pixel;
      const uint8_t *seen = (const uint8_t *)to.samples + (size_t)v * to.row_bytes + (size_t)u * pixel;
      assert_memory_equal(stored, seen, pixel);
      if (from.alpha) assert_int_equal(from.alpha[y * 67 + x], to.alpha[v * to.width + u]);
    }
  bc_photo_free(first);
  bc_photo_free(second);
  free(rows);
  free(turned.bytes);
  free(plain.bytes);
}

static void every_pixel_of_every_kind(void **state) {
  (void)state;
  for (int orientation = 1; orientation <= 8; orientation++) {
    check_pixels(orientation, PNG_COLOR_TYPE_GRAY, 8);
    check_pixels(orientation, PNG_COLOR_TYPE_GRAY, 16);
    check_pixels(orientation, PNG_COLOR_TYPE_RGB, 8);
    check_pixels(orientation, PNG_COLOR_TYPE_RGB, 16);
    check_pixels(orientation, PNG_COLOR_TYPE_GRAY_ALPHA, 8);
    check_pixels(orientation, PNG_COLOR_TYPE_RGB_ALPHA, 8);
    check_pixels(orientation, PNG_COLOR_TYPE_RGB_ALPHA, 16);
  }
}

/* A JPEG at a reduced size: the full size must be turned as well. */
static void full_size_turns_too(void **state) {
  (void)state;
  for (int orientation = 1; orientation <= 8; orientation++) {
    const file_bytes exif = make_exif((exif_wish){.orientation = orientation});
    const file_bytes file = make_jpeg((jpeg_wish){.width = 400, .height = 240, .components = 3, .exif = exif});
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 100), BC_OK);
    int width = 0, height = 0;
    bc_photo_full_size(photo, &width, &height);
    assert_int_equal(width, orientation >= 5 ? 240 : 400);
    assert_int_equal(height, orientation >= 5 ? 400 : 240);
    assert_int_equal(bc_photo_raster(photo).width, orientation >= 5 ? 60 : 100);
    assert_int_equal(bc_photo_raster(photo).height, orientation >= 5 ? 100 : 60);
    bc_photo_free(photo);
    free(file.bytes);
    free(exif.bytes);
  }
}

/* Values outside 1 to 8 and damaged EXIF data leave the picture as it is stored. */
static void odd_exif_is_ignored(void **state) {
  (void)state;
  for (int wrong = 0; wrong <= 65535; wrong += wrong < 12 ? (wrong == 0 ? 9 : 1) : 7919) {
    const file_bytes exif = make_exif((exif_wish){.orientation = wrong});
    const file_bytes file = make_jpeg((jpeg_wish){.width = 40, .height = 24, .components = 1, .exif = exif});
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    assert_int_equal(bc_photo_raster(photo).width, 40);
    bc_photo_free(photo);
    free(file.bytes);
    free(exif.bytes);
  }
  const file_bytes exif = make_exif((exif_wish){.orientation = 6, .interop = "R03", .colour_space = 0xFFFF});
  for (size_t size = 0; size < exif.size; size++) { /* cut anywhere: never a failure */
    const jpeg_wish wish = {.width = 40, .height = 24, .components = 1, .exif = {exif.bytes, size}};
    const file_bytes file = make_jpeg(wish);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    bc_photo_free(photo);
    free(file.bytes);
  }
  free(exif.bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_pixel_of_every_kind),
      cmocka_unit_test(full_size_turns_too),
      cmocka_unit_test(odd_exif_is_ignored),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
