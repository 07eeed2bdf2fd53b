/* SPDX-License-Identifier: MIT */
/* A candidate cloth: a CSS colour, or the mean and spread of a photograph of a textile.
 * In: a cloth as the user writes it. Out: bc_cloth. */
#include "match_internal.h"

#include "base/file.h"
#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PHOTO_PREFIX "photo:"
/* Threads finer than this blur into one colour at viewing distance; a pattern stays. */
#define CLOTH_SIDE 512

static double weight_at(const bc_image *image, size_t i) {
  return image->alpha ? image->alpha[i] / 255.0 : 1;
}

static bc_status mean_and_spread(bc_cloth *cloth, bc_context *context, const bc_image *image, const char *path) {
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  double weight = 0, L = 0, a = 0, b = 0, Y = 0, squares = 0;
  for (size_t i = 0; i < pixels; i++) {
    const double w = weight_at(image, i);
    weight += w;
    L += w * (double)image->L[i];
    a += w * (double)image->a[i];
    b += w * (double)image->b[i];
    Y += w * (double)image->Y[i];
  }
  if (!(weight > 0))
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the picture of the cloth is fully transparent. Use one that shows cloth."), path);
  cloth->colour = (bc_colour){{L / weight, a / weight, b / weight}, Y / weight};
  for (size_t i = 0; i < pixels; i++) {
    const double off = (double)image->L[i] - cloth->colour.lab.L;
    squares += weight_at(image, i) * off * off;
  }
  cloth->spread_l = sqrt(squares / weight);
  return BC_OK;
}

static bc_status read_photo(bc_cloth *cloth, bc_context *context, const char *path) {
  bc_photo_options photo_options = bc_photo_options_default();
  photo_options.wanted_side = CLOTH_SIDE;
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_status status = bc_photo_open(&photo, context, path, &photo_options);
  if (status != BC_OK) return status;
  bc_image_options image_options = bc_image_options_default();
  image_options.side = CLOTH_SIDE;
  status = bc_image_from_photo(&image, context, photo, &image_options);
  bc_photo_free(photo);
  if (status == BC_OK) status = mean_and_spread(cloth, context, image, path);
  bc_image_free(image);
  return status;
}

static bc_status fill(bc_cloth *cloth, bc_context *context, const char *spec, const char *name) {
  cloth->spec = bc_copy_text(spec);
  if (!cloth->spec) return bc_fail_memory(context);
  const bool is_photo = strncmp(spec, PHOTO_PREFIX, strlen(PHOTO_PREFIX)) == 0;
  const char *path = is_photo ? spec + strlen(PHOTO_PREFIX) : NULL;
  if (is_photo && !*path)
    return bc_fail(context, BC_BAD_USAGE, _("“%s” names no file. Write photo:FILE, for example photo:linen.jpg."),
                   spec);
  const bc_status status =
      is_photo ? read_photo(cloth, context, path) : bc_colour_parse_css(&cloth->colour, context, spec);
  if (status != BC_OK) return status;
  cloth->name = name && *name ? bc_copy_utf8(name)
                : is_photo    ? bc_reading_title(path)
                              : bc_copy_text(bc_colour_name(cloth->colour.lab));
  return cloth->name ? BC_OK : bc_fail_memory(context);
}

bc_status bc_cloth_parse(bc_cloth **out, bc_context *context, const char *spec, const char *name) {
  *out = NULL;
  bc_cloth *cloth = bc_allocate(1, sizeof *cloth);
  if (!cloth) return bc_fail_memory(context);
  const bc_status status = fill(cloth, context, spec, name);
  if (status != BC_OK) {
    bc_cloth_free(cloth);
    return status;
  }
  *out = cloth;
  return BC_OK;
}

void bc_cloth_free(bc_cloth *cloth) {
  if (!cloth) return;
  free(cloth->spec);
  free(cloth->name);
  free(cloth);
}

static bc_status recoloured(bc_cloth **out, bc_context *context, const bc_cloth *cloth, bc_colour colour) {
  bc_cloth *seen = bc_allocate(1, sizeof *seen);
  *out = seen;
  if (!seen) return bc_fail_memory(context);
  *seen = *cloth;
  seen->colour = colour;
  seen->spec = bc_copy_text(cloth->spec);
  seen->name = bc_copy_text(cloth->name);
  if (seen->spec && seen->name) return BC_OK;
  bc_cloth_free(seen);
  *out = NULL;
  return bc_fail_memory(context);
}

bc_status bc_cloth_under_light(bc_cloth **out, bc_context *context, const bc_cloth *cloth, const bc_light *light) {
  return recoloured(out, context, cloth, bc_colour_under_light(cloth->colour, light));
}

bc_status bc_cloth_as_seen(bc_cloth **out, bc_context *context, const bc_cloth *cloth, bc_vision vision) {
  return recoloured(out, context, cloth, bc_colour_as_seen(cloth->colour, vision));
}
