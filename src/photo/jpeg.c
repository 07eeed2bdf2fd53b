/* SPDX-License-Identifier: MIT */
/* JPEG by libjpeg-turbo: reduced decoding, EXIF, profile; its callbacks become our errors here.
 * Source: ITU-T T.81; Adobe Technical Note 5116 for APP14; ICC.1 Annex B.4 for profiles in APP2. */
#include "limits.h"
#include "photo_internal.h"

#include <backcloth/file.h>
#include <stdio.h>

#include <jpeglib.h>

#include <jerror.h> /* after jpeglib.h, which decides what codes there are */
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

/* Everything that must survive a jump lives here, never in locals of the function that set the jump. */
typedef struct jpeg_reader {
  struct jpeg_decompress_struct info;
  struct jpeg_error_mgr errors;
  struct jpeg_source_mgr bytes;
  struct jpeg_progress_mgr progress;
  jmp_buf leave;
  bc_status status;
  bool past_end; /* the decoder asked for more bytes than there are */
  bc_photo *photo;
  bc_context *context;
  const photo_source *source;
} jpeg_reader;

/* ---- errors: libjpeg's callbacks ---- */

static void give_up(jpeg_reader *reader, bc_status status) {
  reader->status = status;
  longjmp(reader->leave, 1);
}

static void on_error(j_common_ptr common) {
  jpeg_reader *const reader = common->client_data;
  switch (common->err->msg_code) {
  case JERR_OUT_OF_MEMORY:
    give_up(reader, bc_fail_memory(reader->context));
    break;
  case JERR_BAD_PRECISION:
  case JERR_SOF_UNSUPPORTED:
  case JERR_EMPTY_IMAGE:
  case JERR_CONVERSION_NOTIMPL:
    give_up(reader, photo_fail_kind(reader->context, reader->source));
    break;
  default:
    give_up(reader, reader->past_end ? photo_fail_cut_off(reader->context, reader->source)
                                     : photo_fail_damaged(reader->context, reader->source));
  }
  abort(); /* not reached: give_up jumps */
}

/* libjpeg paints over missing or damaged data with grey and only warns; here that is an error, for a
 * half-grey piece would be judged wrongly. Stray bytes between segments, odd version numbers and the
 * like lose no picture data and are let pass. */
static void on_message(j_common_ptr common, int level) {
  if (level >= 0) return;
  switch (common->err->msg_code) {
  case JWRN_HIT_MARKER:
  case JWRN_HUFF_BAD_CODE:
  case JWRN_ARITH_BAD_CODE:
  case JWRN_BOGUS_PROGRESSION:
  case JWRN_MUST_RESYNC:
  case JWRN_JPEG_EOF:
    on_error(common);
    break;
  default:
    break;
  }
}

static void say_nothing(j_common_ptr common) {
  (void)common;
}

static void on_progress(j_common_ptr common) {
  jpeg_reader *const reader = common->client_data;
  if (common->is_decompressor && reader->info.input_scan_number > PHOTO_JPEG_SCANS)
    give_up(reader, photo_fail_damaged(reader->context, reader->source));
}

/* ---- bytes: the whole file is in memory ---- */

static void no_action(j_decompress_ptr info) {
  (void)info;
}

/* At the end an EOI marker is put in, so that the decoder finishes what it holds: a picture whose data
 * are whole and which only lacks its EOI is accepted. If data are missing, it warns, see on_message. */
static boolean on_no_more_bytes(j_decompress_ptr info) {
  static const JOCTET end[2] = {0xFF, JPEG_EOI};
  jpeg_reader *const reader = info->client_data;
  reader->past_end = true;
  info->src->next_input_byte = end;
  info->src->bytes_in_buffer = sizeof end;
  return TRUE;
}

static void on_skip(j_decompress_ptr info, long count) {
  if (count <= 0) return;
  if ((size_t)count > info->src->bytes_in_buffer) {
    (void)on_no_more_bytes(info);
    return;
  }
  info->src->next_input_byte += count;
  info->src->bytes_in_buffer -= (size_t)count;
}

static void connect_source(jpeg_reader *reader) {
  reader->bytes = (struct jpeg_source_mgr){
      .next_input_byte = reader->source->bytes,
      .bytes_in_buffer = reader->source->size,
      .init_source = no_action,
      .fill_input_buffer = on_no_more_bytes,
      .skip_input_data = on_skip,
      .resync_to_restart = jpeg_resync_to_restart,
      .term_source = no_action,
  };
  reader->info.src = &reader->bytes;
}

/* ---- metadata ---- */

#define EXIF_MARKER (JPEG_APP0 + 1)
#define ICC_MARKER (JPEG_APP0 + 2)

static void take_exif(const jpeg_reader *reader) {
  for (const struct jpeg_marker_struct *marker = reader->info.marker_list; marker; marker = marker->next) {
    if (marker->marker != EXIF_MARKER || marker->data_length < 6 || memcmp(marker->data, "Exif\0", 6) != 0) continue;
    photo_take_exif(reader->photo, marker->data, marker->data_length);
    return; /* the first block counts; further ones are against the standard */
  }
}

static bool holds_profile(const struct jpeg_marker_struct *marker) {
  return marker->marker == ICC_MARKER && marker->data_length >= 14 && memcmp(marker->data, "ICC_PROFILE", 12) == 0;
}

/* The parts of a profile together, before libjpeg allocates their sum. */
static uint64_t profile_size(const jpeg_reader *reader) {
  uint64_t size = 0;
  for (const struct jpeg_marker_struct *marker = reader->info.marker_list; marker; marker = marker->next)
    if (holds_profile(marker)) size += marker->data_length - 14;
  return size;
}

static bc_status take_profile(jpeg_reader *reader) {
  const uint64_t whole = profile_size(reader);
  if (whole == 0) return BC_OK;
  if (whole > bc_context_limits(reader->context)->profile_bytes)
    return photo_fail_profile_size(reader->context, reader->source);
  JOCTET *bytes = NULL;
  unsigned size = 0;
  if (!jpeg_read_icc_profile(&reader->info, &bytes, &size))
    return bc_note(&reader->photo->notes, reader->context, _("%s: its colour profile is damaged and was not used."),
                   reader->source->name);
  const bc_status status = photo_take_profile(reader->photo, reader->context, reader->source, bytes, size);
  free(bytes);
  return status;
}

static bool begins(const struct jpeg_marker_struct *marker, unsigned kind, const char *with) {
  return marker->marker == kind && marker->data_length > strlen(with) && memcmp(marker->data, with, strlen(with)) == 0;
}

static bool holds_word(const struct jpeg_marker_struct *marker, const char *word) {
  const size_t length = strlen(word);
  for (size_t i = 0; i + length <= marker->data_length; i++)
    if (memcmp(marker->data + i, word, length) == 0) return true;
  return false;
}

/* Phones put a second picture behind the first, from which a bright screen shows it brighter (ISO 21496-1; before it by
 * words in XMP). A cloth is judged by the first, which is a whole picture by itself. */
static bc_status say_gain_map(const jpeg_reader *reader) {
  for (const struct jpeg_marker_struct *m = reader->info.marker_list; m; m = m->next) {
    const bool is_xmp = begins(m, EXIF_MARKER, "http://ns.adobe.com/xap/1.0/");
    if (begins(m, ICC_MARKER, "urn:iso:std:iso:ts:21496") ||
        (is_xmp && (holds_word(m, "ns.adobe.com/hdr-gain-map/") || holds_word(m, "HDRGainMap"))))
      return bc_note(
          &reader->photo->notes, reader->context,
          _("%s also holds a map that makes it brighter on some screens. It is left out; the picture itself is "
            "read."),
          bc_path_name(reader->source->name));
  }
  return BC_OK;
}

/* ---- what to decode ---- */

/* The smallest of the scales 1/8, 2/8, 3/8, 4/8, 8/8 that still gives the wanted side. libjpeg then
 * computes smaller inverse transforms, and of large photos most of the work is never done. 5/8 to 7/8
 * are left out: their transforms are plain C and take longer than the whole 8 x 8 in vector code. */
static void choose_scale(jpeg_reader *reader) {
  struct jpeg_decompress_struct *const info = &reader->info;
  const uint64_t longer = info->image_width > info->image_height ? info->image_width : info->image_height;
  unsigned scale = 8;
  if (reader->source->wanted_side > 0)
    for (scale = 1; scale < 5 && (longer * scale + 7) / 8 < (uint64_t)reader->source->wanted_side;) scale++;
  info->scale_num = scale < 5 ? scale : 8;
  info->scale_denom = 8;
}

static bc_status choose_colours(jpeg_reader *reader, bc_photo_model *model) {
  struct jpeg_decompress_struct *const info = &reader->info;
  switch (info->jpeg_color_space) {
  case JCS_GRAYSCALE:
    info->out_color_space = JCS_GRAYSCALE;
    *model = BC_PHOTO_GREY;
    return BC_OK;
  case JCS_RGB:
  case JCS_YCbCr:
    info->out_color_space = JCS_RGB;
    *model = BC_PHOTO_RGB;
    return BC_OK;
  case JCS_CMYK:
  case JCS_YCCK:
    info->out_color_space = JCS_CMYK;
    *model = BC_PHOTO_CMYK;
    return BC_OK;
  default:
    return photo_fail_kind(reader->context, reader->source);
  }
}

/* Coefficients of a picture in several scans are all kept until the last scan: 2 bytes each. */
static uint64_t coefficient_bytes(jpeg_reader *reader) {
  if (!jpeg_has_multiple_scans(&reader->info)) return 0;
  uint64_t bytes = 0;
  for (int i = 0; i < reader->info.num_components; i++) {
    const jpeg_component_info *component = &reader->info.comp_info[i];
    bytes += 128 * (uint64_t)component->width_in_blocks * component->height_in_blocks;
  }
  return bytes;
}

static bc_status prepare(jpeg_reader *reader) {
  struct jpeg_decompress_struct *const info = &reader->info;
  bc_status status =
      photo_set_size(reader->photo, reader->context, reader->source, info->image_width, info->image_height);
  if (status == BC_OK) status = take_profile(reader);
  if (status == BC_OK) status = say_gain_map(reader);
  if (status != BC_OK) return status;
  take_exif(reader);
  choose_scale(reader);
  bc_photo_model model = BC_PHOTO_RGB;
  status = choose_colours(reader, &model);
  if (status != BC_OK) return status;
  jpeg_calc_output_dimensions(info);
  const photo_raster_shape shape = {.width = (int)info->output_width,
                                    .height = (int)info->output_height,
                                    .model = model,
                                    .bits = 8,
                                    .besides = coefficient_bytes(reader)};
  return photo_raster_make(reader->photo, reader->context, reader->source, &shape);
}

/* ---- decoding ---- */

#define ROWS 16

static void read_rows(jpeg_reader *reader) {
  struct jpeg_decompress_struct *const info = &reader->info;
  while (info->output_scanline < info->output_height) {
    JSAMPROW rows[ROWS];
    const JDIMENSION left = info->output_height - info->output_scanline;
    const JDIMENSION count = left < ROWS ? left : ROWS;
    for (JDIMENSION i = 0; i < count; i++) rows[i] = photo_raster_row(reader->photo, (int)(info->output_scanline + i));
    (void)jpeg_read_scanlines(info, rows, count);
  }
}

/* Adobe programs write ink inverted (255 = none) and say so with their marker. */
static void straighten_ink(jpeg_reader *reader) {
  if (reader->photo->raster.model != BC_PHOTO_CMYK || !reader->info.saw_Adobe_marker) return;
  uint8_t *const samples = reader->photo->samples;
  const size_t count = reader->photo->raster.row_bytes * (size_t)reader->photo->raster.height;
  for (size_t i = 0; i < count; i++) samples[i] = (uint8_t)(255 - samples[i]);
}

static void read_picture(jpeg_reader *reader) {
  struct jpeg_decompress_struct *const info = &reader->info;
  jpeg_create_decompress(info);
  info->client_data = reader; /* creation clears it */
  info->progress = &reader->progress;
  connect_source(reader);
  jpeg_save_markers(info, EXIF_MARKER, 0xFFFF);
  jpeg_save_markers(info, ICC_MARKER, 0xFFFF);
  (void)jpeg_read_header(info, TRUE);
  reader->status = prepare(reader);
  if (reader->status != BC_OK) return;
  (void)jpeg_start_decompress(info);
  /* In a picture of several scans the missing end may be a missing scan: nothing else would tell. */
  if (reader->past_end && jpeg_has_multiple_scans(info)) {
    reader->status = photo_fail_cut_off(reader->context, reader->source);
    return;
  }
  read_rows(reader);
  straighten_ink(reader);
}

bc_status photo_jpeg_decode(bc_photo *photo, bc_context *context, const photo_source *source) {
  jpeg_reader *const reader = bc_allocate(1, sizeof *reader);
  if (!reader) return bc_fail_memory(context);
  reader->photo = photo;
  reader->context = context;
  reader->source = source;
  reader->info.err = jpeg_std_error(&reader->errors);
  reader->errors.error_exit = on_error;
  reader->errors.emit_message = on_message;
  reader->errors.output_message = say_nothing;
  reader->progress.progress_monitor = on_progress;
  reader->info.client_data = reader; /* should creation itself fail */
  if (setjmp(reader->leave) == 0) read_picture(reader);
  jpeg_destroy_decompress(&reader->info);
  const bc_status status = reader->status;
  free(reader);
  return status;
}
