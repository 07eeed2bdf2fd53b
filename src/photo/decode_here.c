/* SPDX-License-Identifier: MIT */
/* Which decoder a file needs, then orientation. */
#include "photo_internal.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

void bc_photo_free(bc_photo *photo) {
  if (!photo) return;
  free(photo->name);
  free(photo->samples);
  free(photo->alpha);
  free(photo->profile);
  bc_notes_clear(&photo->notes);
  free(photo);
}

typedef struct kind {
  const char *magic;
  size_t size, at;
  const char *format;
  photo_decoder *decode;
} kind;

static const kind kinds[] = {
    {"\xFF\xD8\xFF", 3, 0, "JPEG", photo_jpeg_decode},
    {"\x89PNG", 4, 0, "PNG", photo_png_decode},
    {"ftyp", 4, 4, "HEIF", photo_heif_decode},
    {"WEBP", 4, 8, "WebP", photo_webp_decode},
    {"II*\0", 4, 0, "TIFF", photo_tiff_decode},
    {"MM\0*", 4, 0, "TIFF", photo_tiff_decode},
    {"II+\0", 4, 0, "TIFF", photo_tiff_decode},
    {"MM\0+", 4, 0, "TIFF", photo_tiff_decode},
    {"GIF8", 4, 0, "GIF", photo_stb_decode},
    {"BM", 2, 0, "BMP", photo_stb_decode},
    {"8BPS", 4, 0, "PSD", photo_stb_decode},
    {"P5", 2, 0, "PGM", photo_stb_decode},
    {"P6", 2, 0, "PPM", photo_stb_decode},
};

/* TGA files have no mark at their beginning, so their name must say it. */
static const kind tga = {"", 0, 0, "TGA", photo_stb_decode};

static const kind *find_kind(const photo_source *source) {
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
    if (source->size >= kinds[i].at + kinds[i].size &&
        memcmp(source->bytes + kinds[i].at, kinds[i].magic, kinds[i].size) == 0)
      return &kinds[i];
  return bc_path_has_suffix(source->name, "tga") ? &tga : NULL;
}

static bc_status fail_unknown(bc_context *context, const photo_source *source) {
  if (source->size == 0)
    return bc_fail(context, BC_BAD_DATA, _("%s: the file is empty. Copy it again from the camera or phone."),
                   source->name);
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: this is not a picture that can be read, whatever its name says. Use a JPEG or PNG file."),
                 source->name);
}

/* ---- decoding ---- */

static bc_status fill(bc_photo *photo, bc_context *context, const photo_source *source) {
  const kind *found = find_kind(source);
  if (!found) return fail_unknown(context, source);
  photo->format = found->format;
  const bc_status status = found->decode(photo, context, source);
  return status == BC_OK ? photo_orient(photo, context) : status;
}

bool photo_is_plain(const photo_source *source) {
  const kind *found = find_kind(source);
  return !found || (found->decode != photo_heif_decode && found->decode != photo_tiff_decode);
}

const char *photo_format_called(const char *name) {
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
    if (strcmp(kinds[i].format, name) == 0) return kinds[i].format;
  static const char *const others[] = {"TGA", "HEIC", "AVIF"}; /* told by the name, or only once decoded */
  for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
    if (strcmp(others[i], name) == 0) return others[i];
  return NULL;
}

bc_status photo_decode_here(bc_photo **out, bc_context *context, const photo_source *source, const char *name) {
  *out = NULL;
  bc_photo *photo = bc_allocate(1, sizeof *photo);
  if (!photo) return bc_fail_memory(context);
  photo->orientation = 1;
  photo->name = bc_copy_text(name);
  const bc_status status = photo->name ? fill(photo, context, source) : bc_fail_memory(context);
  if (status == BC_OK)
    *out = photo;
  else
    bc_photo_free(photo);
  return status;
}
