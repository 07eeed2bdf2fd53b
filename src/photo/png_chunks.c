/* SPDX-License-Identifier: MIT */
/* PNG chunks that say what the samples mean. We read them ourselves, since the libpng of the day knows
 * no cICP and mixes gAMA, cHRM, sRGB and iCCP into one. Source: PNG Specification, Third Edition. */
#include "png_chunks.h"

#include <stdlib.h>
#include <string.h>
#include <zlib.h>

static uint32_t big_endian(const uint8_t *bytes) {
  return (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 | (uint32_t)bytes[2] << 8 | bytes[3];
}

/* ---- finding ---- */

static photo_chunk *slot_of(photo_png_chunks *chunks, const uint8_t *type) {
  struct {
    const char *type;
    photo_chunk *slot;
  } const slots[] = {{"cICP", &chunks->cicp}, {"iCCP", &chunks->iccp}, {"sRGB", &chunks->srgb},
                     {"gAMA", &chunks->gama}, {"cHRM", &chunks->chrm}, {"eXIf", &chunks->exif}};
  for (size_t i = 0; i < sizeof slots / sizeof slots[0]; i++)
    if (memcmp(type, slots[i].type, 4) == 0) return slots[i].slot;
  return NULL;
}

photo_png_chunks photo_png_find_chunks(const photo_source *source) {
  photo_png_chunks chunks = {0};
  bool in_data = false;
  size_t at = 8; /* after the signature */
  while (source->size >= 12 && at <= source->size - 12) {
    const uint8_t *head = source->bytes + at;
    const uint32_t size = big_endian(head);
    if (size > source->size - 12 - at) break;
    if (memcmp(head + 4, "IDAT", 4) == 0) in_data = true;
    photo_chunk *const slot = slot_of(&chunks, head + 4);
    /* Colour chunks must come before the picture data; eXIf may follow it. The first of a kind counts. */
    if (slot && !slot->bytes && (!in_data || slot == &chunks.exif) &&
        (uint32_t)crc32(crc32(0, NULL, 0), head + 4, size + 4) == big_endian(head + 8 + size))
      *slot = (photo_chunk){.bytes = head + 8, .size = size};
    at += 12 + (size_t)size;
  }
  return chunks;
}

/* ---- iCCP ---- */

/* Inflates the profile into `room` bytes at most. Returns its size, 0 when damaged, room + 1 when too large. */
static size_t inflate_profile(uint8_t *to, size_t room, const uint8_t *packed, size_t size) {
  z_stream stream = {.next_in = (Bytef *)packed, .avail_in = (uInt)size, .next_out = to, .avail_out = (uInt)room};
  if (inflateInit(&stream) != Z_OK) return 0;
  const int end = inflate(&stream, Z_FINISH);
  const size_t length = stream.total_out;
  inflateEnd(&stream);
  if (end == Z_STREAM_END) return length;
  return stream.avail_out == 0 ? room + 1 : 0;
}

/* The size that the profile states in its first four bytes, so that no more than that is allocated. */
static size_t stated_size(const uint8_t *packed, size_t size) {
  uint8_t head[4];
  z_stream stream = {.next_in = (Bytef *)packed, .avail_in = (uInt)size, .next_out = head, .avail_out = sizeof head};
  if (inflateInit(&stream) != Z_OK) return 0;
  (void)inflate(&stream, Z_SYNC_FLUSH);
  const bool whole = stream.avail_out == 0;
  inflateEnd(&stream);
  return whole ? big_endian(head) : 0;
}

static bc_status take_iccp(bc_photo *photo, bc_context *context, const photo_source *source, const photo_chunk *chunk) {
  const uint8_t *name_end = memchr(chunk->bytes, 0, chunk->size < 80 ? chunk->size : 80);
  const size_t before = name_end ? (size_t)(name_end - chunk->bytes) + 2 : 0;
  if (!name_end || before >= chunk->size || name_end[1] != 0) return photo_note_damaged_profile(photo, context, source);
  const uint8_t *packed = chunk->bytes + before;
  const size_t packed_size = chunk->size - before;
  const size_t size = stated_size(packed, packed_size);
  if (size > bc_context_limits(context)->profile_bytes) return photo_fail_profile_size(context, source);
  if (size < 128) return photo_note_damaged_profile(photo, context, source); /* an ICC header is 128 bytes */
  uint8_t *profile = bc_allocate(size, 1);
  if (!profile) return bc_fail_memory(context);
  bc_status status = inflate_profile(profile, size, packed, packed_size) == size
                         ? photo_take_profile(photo, context, source, profile, size)
                         : photo_note_damaged_profile(photo, context, source);
  free(profile);
  return status;
}

/* ---- declarations ---- */

/* cICP: primaries, transfer, matrix (0 for RGB), full range. */
static bool take_cicp(bc_photo *photo, const photo_chunk *chunk) {
  if (chunk->size != 4 || chunk->bytes[2] != 0 || chunk->bytes[3] > 1) return false;
  if (!photo_take_code_points(photo, chunk->bytes[0], chunk->bytes[1])) return false;
  if (chunk->bytes[3] == 0) photo_raster_stretch_range(photo);
  return true;
}

static bc_chromaticity chromaticity_at(const uint8_t *bytes) {
  return (bc_chromaticity){big_endian(bytes) / 100000.0, big_endian(bytes + 4) / 100000.0};
}

/* The PNG specification gives these figures to writers of sRGB for readers that do not know its own chunk ("sRGB": gAMA
 * 45455, cHRM 31270 32900 64000 33000 30000 60000 15000 6000); so they mean sRGB and its curve, not a power of 2.2. */
static bool is_srgb_in_chunks(const photo_chunk *gama, const photo_chunk *chrm) {
  static const uint32_t srgb[8] = {31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000};
  if (!gama->bytes || !chrm->bytes || big_endian(gama->bytes) != 45455) return false;
  for (size_t i = 0; i < 8; i++)
    if (big_endian(chrm->bytes + 4 * i) != srgb[i]) return false;
  return true;
}

/* gAMA holds the exponent of encoding, cHRM white, red, green, blue; all in units of 1/100000. What is
 * absent is as in sRGB. */
static bool take_gama_and_chrm(bc_photo *photo, const photo_chunk *gama, const photo_chunk *chrm) {
  bc_declared_colour declared = photo_declared_srgb;
  const bool has_gama = gama->bytes && gama->size == 4 && big_endian(gama->bytes) > 0;
  const bool has_chrm = chrm->bytes && chrm->size == 32;
  if (has_gama) {
    declared.transfer = BC_TRANSFER_GAMMA;
    declared.gamma = 100000.0 / big_endian(gama->bytes);
  }
  if (has_chrm) {
    declared.white = chromaticity_at(chrm->bytes);
    declared.red = chromaticity_at(chrm->bytes + 8);
    declared.green = chromaticity_at(chrm->bytes + 16);
    declared.blue = chromaticity_at(chrm->bytes + 24);
  }
  if (has_gama && has_chrm && is_srgb_in_chunks(gama, chrm)) return photo_take_declared(photo, &photo_declared_srgb);
  declared.name = has_gama && has_chrm ? "PNG gAMA, cHRM" : has_gama ? "PNG gAMA" : "PNG cHRM";
  return (has_gama || has_chrm) && photo_take_declared(photo, &declared);
}

/* In the order of the specification (4.3, table of colour chunks): cICP, iCCP, sRGB, gAMA with cHRM; one
 * that cannot be used gives way to the next. */
static bc_status take_colour(bc_photo *photo, bc_context *context, const photo_source *source,
                             const photo_png_chunks *chunks) {
  if (chunks->cicp.bytes && take_cicp(photo, &chunks->cicp)) return BC_OK;
  if (chunks->iccp.bytes) {
    const bc_status status = take_iccp(photo, context, source, &chunks->iccp);
    if (status != BC_OK || photo->profile_source == BC_PROFILE_EMBEDDED) return status;
  }
  if (chunks->srgb.bytes && chunks->srgb.size == 1)
    (void)photo_take_declared(photo, &photo_declared_srgb);
  else if ((chunks->gama.bytes || chunks->chrm.bytes) && !take_gama_and_chrm(photo, &chunks->gama, &chunks->chrm))
    return bc_note(&photo->notes, context, _("%s: what it says about its colours makes no sense and was not used."),
                   source->name);
  return BC_OK;
}

bc_status photo_png_take_meaning(bc_photo *photo, bc_context *context, const photo_source *source,
                                 const photo_png_chunks *chunks) {
  const bc_status status = take_colour(photo, context, source, chunks);
  if (status == BC_OK && chunks->exif.bytes) photo_take_exif(photo, chunks->exif.bytes, chunks->exif.size);
  return status;
}
