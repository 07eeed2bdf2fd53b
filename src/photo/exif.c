/* SPDX-License-Identifier: MIT */
/* What matters in EXIF data: how the camera was held, and Adobe RGB declared without a profile.
 * Source: Exif 2.32 (CIPA DC-008); DCF 2.0 (CIPA DC-009) for interoperability index R03. */
#include "limits.h"
#include "photo_internal.h"

#include <libexif/exif-data.h>
#include <stdlib.h>
#include <string.h>

/* The first short of an entry, or 0: a tag with another type or without a value counts as absent. */
static int entry_short(const ExifData *data, ExifIfd ifd, ExifTag tag) {
  const ExifEntry *entry = exif_content_get_entry(data->ifd[ifd], tag);
  if (!entry || entry->format != EXIF_FORMAT_SHORT || entry->components < 1 || entry->size < 2) return 0;
  return exif_get_short(entry->data, exif_data_get_byte_order((ExifData *)data));
}

static bool is_adobe_rgb(const ExifData *data) {
  const ExifEntry *index =
      exif_content_get_entry(data->ifd[EXIF_IFD_INTEROPERABILITY], EXIF_TAG_INTEROPERABILITY_INDEX);
  return index && index->size >= 3 && memcmp(index->data, "R03", 3) == 0 &&
         entry_short(data, EXIF_IFD_EXIF, EXIF_TAG_COLOR_SPACE) == 0xFFFF;
}

/* Adobe RGB (1998) Color Image Encoding, 4.3.1: primaries, white D65, gamma 563/256. */
static const bc_declared_colour adobe_rgb = {
    .white = {0.3127, 0.3290},
    .red = {0.64, 0.33},
    .green = {0.21, 0.71},
    .blue = {0.15, 0.06},
    .transfer = BC_TRANSFER_GAMMA,
    .gamma = 563.0 / 256.0,
    .name = "Adobe RGB (1998)",
};

void photo_take_exif(bc_photo *photo, const uint8_t *bytes, size_t size) {
  static const uint8_t head[6] = "Exif\0";
  if (size >= 6 && memcmp(bytes, head, 6) == 0) {
    bytes += 6;
    size -= 6;
  }
  if (size < 8 || size > PHOTO_EXIF_BYTES) return;
  ExifData *data = exif_data_new();
  if (!data) return;
  /* Repairs of other tags would only cost time; maker notes are never asked for. */
  exif_data_unset_option(data, EXIF_DATA_OPTION_FOLLOW_SPECIFICATION);
  exif_data_set_option(data, EXIF_DATA_OPTION_DONT_CHANGE_MAKER_NOTE);
  uint8_t *block = bc_allocate(size + 6, 1); /* libexif wants the "Exif" head before the TIFF header */
  if (block) {
    memcpy(block, head, 6);
    memcpy(block + 6, bytes, size);
    exif_data_load_data(data, block, (unsigned)(size + 6));
    const int orientation = entry_short(data, EXIF_IFD_0, EXIF_TAG_ORIENTATION);
    if (orientation >= 1 && orientation <= 8) photo->orientation = orientation;
    photo->focal_35_mm = entry_short(data, EXIF_IFD_EXIF, EXIF_TAG_FOCAL_LENGTH_IN_35MM_FILM);
    if (photo->profile_source == BC_PROFILE_ASSUMED && is_adobe_rgb(data)) {
      photo->declared = adobe_rgb;
      photo->profile_source = BC_PROFILE_DECLARED;
    }
  }
  free(block);
  exif_data_unref(data);
}
