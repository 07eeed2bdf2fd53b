/* SPDX-License-Identifier: MIT */
/* TIFF: layouts, depths, alpha, orientation, profile; bombs, cut-off files, camera raw files. */
#include "pictures.h"

#include <tiffio.h>
#include <unistd.h>

static bc_context *context;
static char path[] = "/tmp/backcloth-tiff-XXXXXX";

static int set_up(void **state) {
  (void)state;
  const int descriptor = mkstemp(path);
  if (descriptor < 0) return -1;
  close(descriptor);
  return bc_context_new(&context) == BC_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_context_free(context);
  return unlink(path);
}

typedef struct tiff_wish {
  int width, height;
  uint16_t photometric, samples, bits;
  int tile; /* side of a tile; 0 = strips */
  bool planar;
  int extra; /* EXTRASAMPLE_…, when the last sample is one; -1 = none */
  uint16_t compression, orientation;
  file_bytes profile;
  uint32_t kind; /* FILETYPE_… */
} tiff_wish;

/* Sample c of pixel (x, y). */
static unsigned sample_at(int x, int y, int c, int bits) {
  const unsigned value = (unsigned)(x * 7 + y * 13 + c * 50) & 0xFF;
  return bits == 16 ? value * 257 : value;
}

static void set_sample(uint8_t *block, size_t index, unsigned value, int bits) {
  if (bits == 16)
    ((uint16_t *)(void *)block)[index] = (uint16_t)value;
  else
    block[index] = (uint8_t)value;
}

static void write_blocks(TIFF *file, tiff_wish wish) {
  const int side_x = wish.tile ? wish.tile : wish.width, side_y = wish.tile ? wish.tile : 1;
  const int inside = wish.planar ? 1 : wish.samples;
  uint8_t *block = calloc((size_t)side_x * (size_t)side_y * (size_t)inside, 2);
  for (int plane = 0; plane < (wish.planar ? wish.samples : 1); plane++)
    for (int top = 0; top < wish.height; top += side_y)
      for (int left = 0; left < wish.width; left += side_x) {
        for (int y = 0; y < side_y; y++)
          for (int x = 0; x < side_x; x++)
            for (int c = 0; c < inside; c++)
              set_sample(block, (size_t)((y * side_x + x) * inside + c),
                         sample_at(left + x, top + y, wish.planar ? plane : c, wish.bits), wish.bits);
        if (wish.tile)
          assert_true(TIFFWriteTile(file, block, (uint32_t)left, (uint32_t)top, 0, (uint16_t)plane) > 0);
        else
          assert_int_equal(TIFFWriteScanline(file, block, (uint32_t)top, (uint16_t)plane), 1);
      }
  free(block);
}

static file_bytes make_tiff(tiff_wish wish) {
  TIFF *file = TIFFOpen(path, "w");
  assert_non_null(file);
  TIFFSetField(file, TIFFTAG_IMAGEWIDTH, wish.width);
  TIFFSetField(file, TIFFTAG_IMAGELENGTH, wish.height);
  TIFFSetField(file, TIFFTAG_BITSPERSAMPLE, wish.bits);
  TIFFSetField(file, TIFFTAG_SAMPLESPERPIXEL, wish.samples);
  TIFFSetField(file, TIFFTAG_PHOTOMETRIC, wish.photometric);
  TIFFSetField(file, TIFFTAG_PLANARCONFIG, wish.planar ? PLANARCONFIG_SEPARATE : PLANARCONFIG_CONTIG);
  TIFFSetField(file, TIFFTAG_COMPRESSION, wish.compression ? wish.compression : COMPRESSION_NONE);
  if (wish.kind) TIFFSetField(file, TIFFTAG_SUBFILETYPE, wish.kind);
  if (wish.orientation) TIFFSetField(file, TIFFTAG_ORIENTATION, wish.orientation);
  if (wish.profile.size) TIFFSetField(file, TIFFTAG_ICCPROFILE, (uint32_t)wish.profile.size, wish.profile.bytes);
  const uint16_t extra = (uint16_t)(wish.extra < 0 ? 0 : wish.extra);
  if (wish.extra >= 0) TIFFSetField(file, TIFFTAG_EXTRASAMPLES, 1, &extra);
  if (wish.tile) {
    TIFFSetField(file, TIFFTAG_TILEWIDTH, wish.tile);
    TIFFSetField(file, TIFFTAG_TILELENGTH, wish.tile);
  } else {
    TIFFSetField(file, TIFFTAG_ROWSPERSTRIP, 5);
  }
  write_blocks(file, wish);
  TIFFClose(file);
  file_bytes bytes = {0};
  FILE *stream = fopen(path, "rb");
  uint8_t part[4096];
  for (size_t got; (got = fread(part, 1, sizeof part, stream)) > 0;) append(&bytes, part, got);
  fclose(stream);
  return bytes;
}

static unsigned raster_sample(bc_raster raster, int x, int y, int c) {
  const uint8_t *row = (const uint8_t *)raster.samples + (size_t)y * raster.row_bytes;
  const int index = x * (int)raster.model + c;
  return raster.bits == 16 ? ((const uint16_t *)(const void *)row)[index] : row[index];
}

static void check_samples(tiff_wish wish, bc_photo_model model) {
  const file_bytes file = make_tiff(wish);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  const bc_raster raster = bc_photo_raster(photo);
  assert_int_equal(raster.model, model);
  assert_int_equal(raster.bits, wish.bits);
  assert_int_equal(raster.alpha != NULL, wish.extra == EXTRASAMPLE_UNASSALPHA);
  const unsigned full = wish.bits == 16 ? 65535 : 255;
  for (int y = 0; y < wish.height; y++)
    for (int x = 0; x < wish.width; x++) {
      for (int c = 0; c < (int)model; c++) {
        const unsigned stored = sample_at(x, y, c, wish.bits);
        assert_int_equal(raster_sample(raster, x, y, c),
                         wish.photometric == PHOTOMETRIC_MINISWHITE ? full - stored : stored);
      }
      if (raster.alpha) assert_int_equal(raster.alpha[y * wish.width + x], sample_at(x, y, (int)model, 8));
    }
  bc_photo_free(photo);
  free(file.bytes);
}

static void every_layout(void **state) {
  (void)state;
  const struct {
    uint16_t photometric, samples;
    int extra;
    bc_photo_model model;
  } kinds[] = {
      {PHOTOMETRIC_MINISBLACK, 1, -1, BC_PHOTO_GREY},
      {PHOTOMETRIC_MINISWHITE, 1, -1, BC_PHOTO_GREY},
      {PHOTOMETRIC_MINISBLACK, 2, EXTRASAMPLE_UNASSALPHA, BC_PHOTO_GREY},
      {PHOTOMETRIC_MINISWHITE, 2, EXTRASAMPLE_UNASSALPHA, BC_PHOTO_GREY},
      {PHOTOMETRIC_RGB, 3, -1, BC_PHOTO_RGB},
      {PHOTOMETRIC_RGB, 4, EXTRASAMPLE_UNASSALPHA, BC_PHOTO_RGB},
      {PHOTOMETRIC_RGB, 4, EXTRASAMPLE_UNSPECIFIED, BC_PHOTO_RGB},
      {PHOTOMETRIC_SEPARATED, 4, -1, BC_PHOTO_CMYK},
      {PHOTOMETRIC_SEPARATED, 5, EXTRASAMPLE_UNASSALPHA, BC_PHOTO_CMYK},
  };
  const uint16_t compressions[] = {COMPRESSION_NONE, COMPRESSION_LZW, COMPRESSION_ADOBE_DEFLATE};
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
    for (int way = 0; way < 8; way++)
      check_samples((tiff_wish){.width = 41,
                                .height = 23,
                                .photometric = kinds[i].photometric,
                                .samples = kinds[i].samples,
                                .extra = kinds[i].extra,
                                .bits = way & 1 ? 16 : 8,
                                .tile = way & 2 ? 16 : 0,
                                .planar = (way & 4) != 0,
                                .compression = compressions[(i + (size_t)way) % 3]},
                    kinds[i].model);
}

/* Colours stored times alpha come back divided: 7 x + 13 y + 50 c of 255, at alpha A. */
static void premultiplied_alpha(void **state) {
  (void)state;
  const tiff_wish wish = {.width = 12,
                          .height = 6,
                          .photometric = PHOTOMETRIC_RGB,
                          .samples = 4,
                          .bits = 8,
                          .extra = EXTRASAMPLE_ASSOCALPHA};
  const file_bytes file = make_tiff(wish);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  const bc_raster raster = bc_photo_raster(photo);
  for (int y = 0; y < 6; y++)
    for (int x = 0; x < 12; x++) {
      const unsigned alpha = raster.alpha[y * 12 + x];
      const unsigned stored = sample_at(x, y, 1, 8), seen = raster_sample(raster, x, y, 1);
      if (stored <= alpha) assert_in_range(seen * alpha + 255, stored * 255, stored * 255 + 510);
    }
  bc_photo_free(photo);
  free(file.bytes);
}

static void orientation_and_profile(void **state) {
  (void)state;
  const file_bytes profile = make_profile(700);
  for (uint16_t orientation = 1; orientation <= 8; orientation++) {
    const tiff_wish wish = {.width = 30,
                            .height = 20,
                            .photometric = PHOTOMETRIC_RGB,
                            .samples = 3,
                            .bits = 8,
                            .extra = -1,
                            .orientation = orientation,
                            .profile = profile};
    const file_bytes file = make_tiff(wish);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    assert_int_equal(bc_photo_raster(photo).width, orientation >= 5 ? 20 : 30);
    size_t size = 0;
    const void *bytes = bc_photo_profile(photo, &size);
    assert_int_equal(size, profile.size);
    assert_memory_equal(bytes, profile.bytes, size);
    bc_photo_free(photo);
    free(file.bytes);
  }
  free(profile.bytes);
}

static void bilevel_and_odd_kinds(void **state) {
  (void)state;
  tiff_wish wish = {.width = 16, .height = 8, .photometric = PHOTOMETRIC_CIELAB, .samples = 3, .bits = 8, .extra = -1};
  file_bytes file = make_tiff(wish);
  assert_refused(context, file, "rare kind");
  free(file.bytes);
  wish = (tiff_wish){.width = 16,
                     .height = 8,
                     .photometric = PHOTOMETRIC_RGB,
                     .samples = 3,
                     .bits = 8,
                     .extra = -1,
                     .kind = FILETYPE_REDUCEDIMAGE};
  file = make_tiff(wish);
  assert_refused(context, file, "camera's raw file");
  free(file.bytes);
}

static void cut_off_anywhere(void **state) {
  (void)state;
  const tiff_wish wish = {.width = 40,
                          .height = 30,
                          .photometric = PHOTOMETRIC_RGB,
                          .samples = 3,
                          .bits = 8,
                          .extra = -1,
                          .compression = COMPRESSION_LZW};
  const file_bytes file = make_tiff(wish);
  for (size_t size = 4; size < file.size; size += 11) {
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, (file_bytes){file.bytes, size}, 0), BC_BAD_DATA);
    assert_null(photo);
  }
  free(file.bytes);
}

static void flipped_bytes_never_crash(void **state) {
  (void)state;
  const tiff_wish wish = {.width = 24,
                          .height = 16,
                          .photometric = PHOTOMETRIC_RGB,
                          .samples = 3,
                          .bits = 8,
                          .extra = -1,
                          .compression = COMPRESSION_LZW,
                          .tile = 16};
  const file_bytes file = make_tiff(wish);
  bc_limits *limits = bc_context_limits(context);
  const bc_limits before = *limits;
  limits->photo_side = 3000;
  limits->decode_bytes = 30u << 20;
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

/* The picture's sides changed in the directory to 60,000: refused by the header. */
static void huge_header(void **state) {
  (void)state;
  const tiff_wish wish = {
      .width = 0x1234, .height = 1, .photometric = PHOTOMETRIC_MINISBLACK, .samples = 1, .bits = 8, .extra = -1};
  const file_bytes file = make_tiff(wish);
  int changed = 0;
  for (size_t i = 0; i + 2 < file.size; i++)
    if (file.bytes[i] == 0x34 && file.bytes[i + 1] == 0x12 && i > 0x1234) {
      file.bytes[i] = 0x60, file.bytes[i + 1] = 0xEA;
      changed++;
    }
  assert_true(changed >= 1);
  assert_refused(context, file, "60000 x 1");
  free(file.bytes);
}

int main(void) {
  TIFFSetWarningHandler(NULL);
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_layout),
      cmocka_unit_test(premultiplied_alpha),
      cmocka_unit_test(orientation_and_profile),
      cmocka_unit_test(bilevel_and_odd_kinds),
      cmocka_unit_test(cut_off_anywhere),
      cmocka_unit_test(flipped_bytes_never_crash),
      cmocka_unit_test(huge_header),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
