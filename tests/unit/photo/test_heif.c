/* SPDX-License-Identifier: MIT */
/* HEIC and AVIF: samples, depth, alpha, profile and code points; cut-off, damaged and too large files. */
#include "pictures.h"

#include <libheif/heif.h>

#include "support/context.h"

/* The HEVC encoder that makes the test files keeps a few blocks for ever; decoding is not excused. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
  return "leak:libx265";
}

typedef struct heif_wish {
  int width, height, bits;
  bool avif, alpha;
  file_bytes profile;
  enum heif_orientation turn; /* as HEIF's own properties irot and imir; 0 = none */
  file_bytes exif;            /* TIFF header first */
} heif_wish;

static struct heif_error to_memory(struct heif_context *file, const void *bytes, size_t size, void *user) {
  (void)file;
  append(user, bytes, size);
  return (struct heif_error){heif_error_Ok, heif_suberror_Unspecified, ""};
}

#define CHECK(call) assert_int_equal((call).code, heif_error_Ok)

static struct heif_image *make_image(heif_wish wish, const uint8_t *samples) {
  struct heif_image *image = NULL;
  const int channels = wish.alpha ? 4 : 3;
  const enum heif_chroma chroma = wish.bits > 8 ? heif_chroma_interleaved_RRGGBB_BE
                                  : wish.alpha  ? heif_chroma_interleaved_RGBA
                                                : heif_chroma_interleaved_RGB;
  CHECK(heif_image_create(wish.width, wish.height, heif_colorspace_RGB, chroma, &image));
  CHECK(heif_image_add_plane(image, heif_channel_interleaved, wish.width, wish.height, wish.bits));
  int stride = 0;
  uint8_t *plane = heif_image_get_plane(image, heif_channel_interleaved, &stride);
  for (int y = 0; y < wish.height; y++)
    for (int x = 0; x < wish.width * channels; x++) {
      const uint8_t value = samples[y * wish.width * channels + x];
      if (wish.bits > 8) {
        const unsigned deep = (unsigned)value << (wish.bits - 8) | (unsigned)value >> (16 - wish.bits);
        plane[y * stride + 2 * x] = (uint8_t)(deep >> 8);
        plane[y * stride + 2 * x + 1] = (uint8_t)deep;
      } else {
        plane[y * stride + x] = value;
      }
    }
  if (wish.profile.size) CHECK(heif_image_set_raw_color_profile(image, "prof", wish.profile.bytes, wish.profile.size));
  return image;
}

static file_bytes make_heif_of(heif_wish wish, const uint8_t *samples) {
  struct heif_image *image = make_image(wish, samples);
  struct heif_context *file = heif_context_alloc();
  struct heif_encoder *encoder = NULL;
  CHECK(heif_context_get_encoder_for_format(file, wish.avif ? heif_compression_AV1 : heif_compression_HEVC, &encoder));
  CHECK(heif_encoder_set_lossy_quality(encoder, 95));
  CHECK(heif_encoder_set_parameter(encoder, "chroma", wish.avif ? "420" : "444"));
  struct heif_encoding_options *options = heif_encoding_options_alloc();
  if (wish.turn) options->image_orientation = wish.turn;
  struct heif_image_handle *handle = NULL;
  CHECK(heif_context_encode_image(file, image, encoder, options, &handle));
  if (wish.exif.size) CHECK(heif_context_add_exif_metadata(file, handle, wish.exif.bytes, (int)wish.exif.size));
  file_bytes bytes = {0};
  struct heif_writer writer = {.writer_api_version = 1, .write = to_memory};
  CHECK(heif_context_write(file, &writer, &bytes));
  heif_image_handle_release(handle);
  heif_encoding_options_free(options);
  heif_encoder_release(encoder);
  heif_context_free(file);
  heif_image_release(image);
  return bytes;
}

static file_bytes make_heif(heif_wish wish) {
  uint8_t *samples = make_samples(wish.width, wish.height, wish.alpha ? 4 : 3);
  const file_bytes file = make_heif_of(wish, samples);
  free(samples);
  return file;
}

/* Flat fields survive the codecs within a few steps, so that a wrong channel order or depth shows. */
static void check_flat(heif_wish wish) {
  const int channels = wish.alpha ? 4 : 3;
  const uint8_t colour[4] = {200, 120, 40, 90};
  uint8_t *samples = malloc((size_t)(wish.width * wish.height * channels));
  for (int i = 0; i < wish.width * wish.height * channels; i++) samples[i] = colour[i % channels];
  const file_bytes file = make_heif_of(wish, samples);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  const bc_raster raster = bc_photo_raster(photo);
  assert_string_equal(bc_photo_format(photo), wish.avif ? "AVIF" : "HEIC");
  assert_int_equal(raster.width, wish.width);
  assert_int_equal(raster.height, wish.height);
  assert_int_equal(raster.bits, wish.bits > 8 ? 16 : 8);
  assert_int_equal(raster.alpha != NULL, wish.alpha);
  const int x = wish.width / 2, y = wish.height / 2;
  const uint8_t *row = (const uint8_t *)raster.samples + (size_t)y * raster.row_bytes;
  for (int c = 0; c < 3; c++) {
    const int seen =
        raster.bits == 16 ? (((const uint16_t *)(const void *)row)[x * 3 + c] + 128) / 257 : row[x * 3 + c];
    assert_in_range(seen, colour[c] - 4, colour[c] + 4);
  }
  if (wish.alpha) assert_in_range(raster.alpha[y * raster.width + x], 86, 94);
  bc_photo_free(photo);
  free(file.bytes);
  free(samples);
}

static void flat_fields(void **state) {
  (void)state;
  for (int avif = 0; avif < 2; avif++) {
    check_flat((heif_wish){.width = 64, .height = 48, .bits = 8, .avif = avif == 1});
    check_flat((heif_wish){.width = 64, .height = 48, .bits = 8, .avif = avif == 1, .alpha = true});
    /* libheif 1.15 cannot write AVIF of 10 bits (libaom stops), so depth is checked by HEVC alone. */
    if (!avif) check_flat((heif_wish){.width = 64, .height = 48, .bits = 10});
  }
}

static void profile_and_code_points(void **state) {
  (void)state;
  const file_bytes profile = make_profile(512);
  file_bytes file = make_heif((heif_wish){.width = 64, .height = 48, .bits = 8, .profile = profile});
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_EMBEDDED);
  size_t size = 0;
  const void *bytes = bc_photo_profile(photo, &size);
  assert_int_equal(size, 512);
  assert_memory_equal(bytes, profile.bytes, size);
  bc_photo_free(photo);
  bc_context_limits(context)->profile_bytes = 511;
  assert_refused(context, file, "colour profile is larger");
  bc_context_limits(context)->profile_bytes = 8u << 20;
  free(file.bytes);
  free(profile.bytes);

  /* libheif 1.15 always writes code points 2, 2 (unspecified); the test puts Display P3's, 12 and 13, in. */
  file = make_heif((heif_wish){.width = 64, .height = 48, .bits = 8, .avif = true});
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
  bc_photo_free(photo);
  bool changed = false;
  for (size_t i = 0; i + 12 < file.size; i++)
    if (memcmp(file.bytes + i, "colrnclx", 8) == 0) {
      memcpy(file.bytes + i + 8, "\0\x0C\0\x0D", 4);
      changed = true;
    }
  assert_true(changed);
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_DECLARED);
  assert_string_equal(bc_photo_declared_colour(photo)->name, "Display P3");
  bc_photo_free(photo);
  free(file.bytes);
}

/* HEIF turns by its own properties: an orientation that only EXIF states must not turn the picture
 * (ISO/IEC 23008-12, 6.5.10 and annex A: EXIF's is for information). */
static void exif_does_not_turn(void **state) {
  (void)state;
  const file_bytes exif = make_exif((exif_wish){.orientation = 6});
  const heif_wish wish = {.width = 64, .height = 48, .bits = 8, .exif = {exif.bytes + 6, exif.size - 6}};
  const file_bytes file = make_heif(wish);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_raster(photo).width, 64);
  bc_photo_free(photo);
  free(file.bytes);
  free(exif.bytes);
}

/* The file's own turn is applied, once, also to the full size, whatever EXIF says besides. */
static void own_turn_is_applied_once(void **state) {
  (void)state;
  const file_bytes exif = make_exif((exif_wish){.orientation = 6});
  uint8_t samples[64 * 48 * 3];
  for (int i = 0; i < 64 * 48; i++) memset(samples + 3 * i, i % 64 < 32 ? 20 : 230, 3); /* dark left, light right */
  const heif_wish wish = {.width = 64,
                          .height = 48,
                          .bits = 8,
                          .turn = heif_orientation_rotate_90_cw,
                          .exif = {exif.bytes + 6, exif.size - 6}};
  const file_bytes file = make_heif_of(wish, samples);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  const bc_raster raster = bc_photo_raster(photo);
  int width = 0, height = 0;
  bc_photo_full_size(photo, &width, &height);
  assert_int_equal(raster.width, 48);
  assert_int_equal(raster.height, 64);
  assert_int_equal(width, 48);
  assert_int_equal(height, 64);
  const uint8_t *rows = raster.samples; /* clockwise: left becomes top */
  assert_true(rows[5 * raster.row_bytes + 24 * 3] < 60);
  assert_true(rows[58 * raster.row_bytes + 24 * 3] > 190);
  bc_photo_free(photo);
  free(file.bytes);
  free(exif.bytes);
}

static void cut_off_anywhere(void **state) {
  (void)state;
  for (int avif = 0; avif < 2; avif++) {
    const file_bytes file = make_heif((heif_wish){.width = 64, .height = 48, .bits = 8, .avif = avif == 1});
    for (size_t size = 12; size < file.size; size += size < 40 ? 1 : 23) {
      bc_photo *photo = NULL;
      assert_int_equal(decode_bytes(&photo, context, (file_bytes){file.bytes, size}, 0), BC_BAD_DATA);
      assert_null(photo);
    }
    assert_refused(context, (file_bytes){file.bytes, file.size - 1}, "cut off");
    free(file.bytes);
  }
}

/* In the boxes every byte; the codecs' own data are theirs to keep. */
static void flipped_bytes_never_crash(void **state) {
  (void)state;
  bc_limits *limits = bc_context_limits(context);
  const bc_limits before = *limits;
  limits->photo_side = 2000;
  const file_bytes file = make_heif((heif_wish){.width = 64, .height = 48, .bits = 8});
  for (size_t i = 0; i < file.size && i < 500; i++) {
    file.bytes[i] ^= 0x41;
    bc_photo *photo = NULL;
    const bc_status status = decode_bytes(&photo, context, file, 0);
    assert_true(status == BC_OK || status == BC_BAD_DATA);
    bc_photo_free(photo);
    file.bytes[i] ^= 0x41;
  }
  *limits = before;
  free(file.bytes);
}

/* The stated size (box ispe) is changed to 60,000 x 60,000. */
static void huge_header(void **state) {
  (void)state;
  const file_bytes file = make_heif((heif_wish){.width = 64, .height = 48, .bits = 8});
  bool changed = false;
  for (size_t i = 0; i + 16 < file.size; i++)
    if (memcmp(file.bytes + i, "ispe", 4) == 0) {
      memcpy(file.bytes + i + 8, "\0\0\xEA\x60\0\0\xEA\x60", 8);
      changed = true;
    }
  assert_true(changed);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_BAD_DATA);
  assert_null(photo);
  free(file.bytes);
}

static void limits_at_and_past(void **state) {
  (void)state;
  bc_limits *limits = bc_context_limits(context);
  const bc_limits before = *limits;
  const file_bytes file = make_heif((heif_wish){.width = 64, .height = 48, .bits = 8});
  bc_photo *photo = NULL;
  limits->photo_pixels = 64 * 48;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  limits->photo_pixels--;
  assert_refused(context, file, "million pixels");
  *limits = before;
  limits->decode_bytes = 64 * 48 * 8;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  limits->decode_bytes--;
  assert_refused(context, file, "memory");
  *limits = before;
  free(file.bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(flat_fields),        cmocka_unit_test(profile_and_code_points),
      cmocka_unit_test(exif_does_not_turn), cmocka_unit_test(own_turn_is_applied_once),
      cmocka_unit_test(cut_off_anywhere),   cmocka_unit_test(flipped_bytes_never_crash),
      cmocka_unit_test(huge_header),        cmocka_unit_test(limits_at_and_past),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
