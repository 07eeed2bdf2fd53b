/* SPDX-License-Identifier: MIT */
/* Whatever a colour's text or a profile's bytes say: what is accepted is finite and within bounds, what is
 * refused leaves a sentence and nothing else. The first byte chooses the parser and the samples. */
#include "colour/colour_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void promise(bool kept) {
  if (!kept) abort();
}

static bool plausible(bc_colour colour) {
  return fabs(colour.lab.L) <= 150 && fabs(colour.lab.a) <= 500 && fabs(colour.lab.b) <= 500 &&
         isfinite(colour.luminance);
}

static void try_text(bc_context *context, const uint8_t *data, size_t size) {
  char *text = malloc(size + 1);
  if (!text) return;
  memcpy(text, data, size);
  text[size] = '\0';
  const bc_colour before = {{1, 2, 3}, 4};
  bc_colour colour = before;
  const bc_status status = bc_colour_parse_css(&colour, context, text);
  if (status) {
    promise(status == BC_BAD_DATA && bc_context_message(context)[0] != '\0');
    promise(memcmp(&colour, &before, sizeof colour) == 0);
  } else {
    char hex[8];
    bc_colour again;
    promise(plausible(colour));
    bc_lab_to_hex(colour.lab, hex);
    promise(bc_colour_parse_css(&again, context, hex) == BC_OK);
    promise(bc_colour_name(colour.lab)[0] != '\0');
    size_t count = 0;
    const bc_light *lights = bc_lights(&count);
    for (size_t i = 0; i < count; i++) promise(isfinite(bc_colour_under_light(colour, &lights[i]).lab.L));
    promise(isfinite(bc_colour_spread(colour, bc_uncertainty_unknown)));
  }
  free(text);
}

static void try_profile(bc_context *context, const uint8_t *data, size_t size, int choice) {
  static const bc_photo_model models[] = {BC_PHOTO_GREY, BC_PHOTO_RGB, BC_PHOTO_CMYK};
  uint16_t samples[4 * 4 * 4];
  for (int i = 0; i < 64; i++) samples[i] = (uint16_t)(i * 1040);
  const bc_photo_model model = models[choice % 3];
  const int bits = choice / 3 % 2 ? 16 : 8;
  const bc_raster raster = {.width = 4,
                            .height = 4,
                            .model = model,
                            .bits = bits,
                            .row_bytes = (size_t)(4 * (int)model * bits / 8),
                            .samples = samples};
  const colour_meaning meaning = {.profile = data, .profile_size = size};
  bc_image *image = NULL;
  const bc_status status = colour_image_from_raster(&image, context, &raster, &meaning, "fuzz", NULL);
  if (status) {
    promise(!image && (status == BC_OUR_FAULT || model == BC_PHOTO_CMYK));
    promise(bc_context_message(context)[0] != '\0');
  } else
    for (int i = 0; i < image->width * image->height; i++)
      promise(isfinite(image->L[i]) && isfinite(image->a[i]) && isfinite(image->b[i]) && isfinite(image->Y[i]));
  bc_image_free(image);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  bc_context *context = NULL;
  if (size < 1 || bc_context_new(&context)) return 0;
  if (data[0] & 1)
    try_text(context, data + 1, size - 1);
  else
    try_profile(context, data + 1, size - 1, data[0] >> 1);
  bc_context_free(context);
  return 0;
}
