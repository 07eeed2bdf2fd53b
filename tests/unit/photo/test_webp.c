/* SPDX-License-Identifier: MIT */
/* WebP: lossless samples, alpha, reduced sizes, chunks, cut-off and damaged files. */
#include "pictures.h"

#include <webp/encode.h>

#include "support/context.h"

static file_bytes taken_over(uint8_t *bytes, size_t size) {
  file_bytes file = {0};
  append(&file, bytes, size);
  WebPFree(bytes);
  return file;
}

static void lossless_is_exact(void **state) {
  (void)state;
  for (int alpha = 0; alpha < 2; alpha++) {
    const int channels = 3 + alpha;
    uint8_t *samples = make_samples(67, 41, channels);
    if (alpha) samples[3] = 17;
    uint8_t *bytes = NULL;
    const size_t size = alpha ? WebPEncodeLosslessRGBA(samples, 67, 41, 67 * 4, &bytes)
                              : WebPEncodeLosslessRGB(samples, 67, 41, 67 * 3, &bytes);
    const file_bytes file = taken_over(bytes, size);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    const bc_raster raster = bc_photo_raster(photo);
    assert_string_equal(bc_photo_format(photo), "WebP");
    assert_int_equal(raster.alpha != NULL, alpha);
    for (int y = 0; y < 41; y++)
      for (int x = 0; x < 67; x++) {
        const uint8_t *stored = samples + (y * 67 + x) * channels;
        if (alpha) assert_int_equal(raster.alpha[y * 67 + x], stored[3]);
        if (!alpha || stored[3])
          assert_memory_equal((const uint8_t *)raster.samples + (size_t)y * raster.row_bytes + x * 3, stored, 3);
      }
    bc_photo_free(photo);
    free(file.bytes);
    free(samples);
  }
}

static file_bytes make_lossy(int width, int height) {
  uint8_t *samples = make_samples(width, height, 3);
  uint8_t *bytes = NULL;
  const size_t size = WebPEncodeRGB(samples, width, height, width * 3, 90, &bytes);
  free(samples);
  return taken_over(bytes, size);
}

static void reduced_sizes(void **state) {
  (void)state;
  const file_bytes file = make_lossy(801, 600);
  const struct {
    int wanted, width, height;
  } cases[] = {{0, 801, 600}, {401, 801, 600}, {400, 401, 300}, {200, 201, 150}, {801, 801, 600}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, cases[i].wanted), BC_OK);
    assert_int_equal(bc_photo_raster(photo).width, cases[i].width);
    assert_int_equal(bc_photo_raster(photo).height, cases[i].height);
    bc_photo_free(photo);
  }
  free(file.bytes);
}

static void append_riff_chunk(file_bytes *file, const char *type, const void *bytes, uint32_t size) {
  const uint8_t little[4] = {(uint8_t)size, (uint8_t)(size >> 8), (uint8_t)(size >> 16), (uint8_t)(size >> 24)};
  append(file, type, 4);
  append(file, little, 4);
  append(file, bytes, size);
  if (size & 1) append(file, "", 1);
}

/* RFC 9649, 2.7: RIFF WEBP, VP8X (flags ICC 0x20, EXIF 0x08; sides less one in 24 bits), ICCP, picture, EXIF. */
static file_bytes extended(file_bytes simple, int width, int height, file_bytes profile, file_bytes exif) {
  file_bytes body = {0};
  uint8_t head[10] = {0x28};
  for (int i = 0; i < 3; i++) head[4 + i] = (uint8_t)((width - 1) >> (8 * i));
  for (int i = 0; i < 3; i++) head[7 + i] = (uint8_t)((height - 1) >> (8 * i));
  append(&body, "WEBP", 4);
  append_riff_chunk(&body, "VP8X", head, 10);
  append_riff_chunk(&body, "ICCP", profile.bytes, (uint32_t)profile.size);
  append(&body, simple.bytes + 12, simple.size - 12);
  append_riff_chunk(&body, "EXIF", exif.bytes + 6, (uint32_t)exif.size - 6);
  file_bytes file = {0};
  append_riff_chunk(&file, "RIFF", body.bytes, (uint32_t)body.size);
  free(body.bytes);
  return file;
}

static void profile_and_orientation(void **state) {
  (void)state;
  const file_bytes simple = make_lossy(80, 60);
  const file_bytes profile = make_profile(501);
  const file_bytes exif = make_exif((exif_wish){.orientation = 8});
  const file_bytes file = extended(simple, 80, 60, profile, exif);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_raster(photo).width, 60);
  size_t size = 0;
  const void *bytes = bc_photo_profile(photo, &size);
  assert_int_equal(size, 501);
  assert_memory_equal(bytes, profile.bytes, size);
  bc_photo_free(photo);

  bc_context_limits(context)->profile_bytes = 500;
  assert_refused(context, file, "colour profile is larger");
  bc_context_limits(context)->profile_bytes = 8u << 20;
  free(simple.bytes), free(profile.bytes), free(exif.bytes), free(file.bytes);
}

static void cut_off_anywhere(void **state) {
  (void)state;
  const file_bytes file = make_lossy(120, 90);
  for (size_t size = 12; size < file.size; size += 7)
    assert_refused(context, (file_bytes){file.bytes, size}, "cut off");
  free(file.bytes);
}

static void flipped_bytes_never_crash(void **state) {
  (void)state;
  bc_limits *limits = bc_context_limits(context);
  const bc_limits before = *limits;
  limits->photo_side = 2000;
  const file_bytes file = make_lossy(48, 32);
  for (size_t i = 0; i < file.size; i++)
    for (int bit = 0; bit < 8; bit++) {
      file.bytes[i] ^= (uint8_t)(1 << bit);
      bc_photo *photo = NULL;
      const bc_status status = decode_bytes(&photo, context, file, 0);
      assert_true(status == BC_OK || status == BC_BAD_DATA);
      bc_photo_free(photo);
      file.bytes[i] ^= (uint8_t)(1 << bit);
    }
  *limits = before;
  free(file.bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(lossless_is_exact),         cmocka_unit_test(reduced_sizes),
      cmocka_unit_test(profile_and_orientation),   cmocka_unit_test(cut_off_anywhere),
      cmocka_unit_test(flipped_bytes_never_crash),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
