/* SPDX-License-Identifier: MIT */
/* A candidate cloth: a CSS colour, or the colours of a photograph of a textile.
 * In: a cloth as the user writes it. Out: bc_cloth. */
#include "match_internal.h"

#include "base/kept/kept.h"
#include <backcloth/colour.h>
#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define PHOTO_PREFIX "photo:"
/* Threads finer than this blur into one colour at viewing distance; a pattern stays. */
#define CLOTH_SIDE 512
#define KEPT_KIND "textile"

void bc_cloth_take_textile(bc_cloth *cloth) {
  cloth->colour = cloth->textile.mean;
  cloth->spread_l = cloth->textile.spread_l;
  double total = 0;
  for (size_t i = 0; i < cloth->textile.colour_count; i++) total += cloth->textile.colours[i].share;
  for (size_t i = 0; i < cloth->textile.colour_count; i++)
    cloth->parts[cloth->part_count++] =
        (bc_cloth_part){bc_colour_from_lab(cloth->textile.colours[i].lab), cloth->textile.colours[i].share / total};
}

/* Takes over the photo. */
static bc_status measure_photo(bc_cloth *cloth, bc_context *context, bc_photo *photo, const char *path) {
  bc_image *image = NULL;
  bc_image_options image_options = bc_image_options_default();
  image_options.side = CLOTH_SIDE;
  bc_status status = bc_image_from_photo(&image, context, photo, &image_options);
  bc_photo_free(photo);
  if (status == BC_OK) status = bc_textile_of(&cloth->textile, context, image, path);
  if (status == BC_OK) bc_cloth_take_textile(cloth);
  bc_image_free(image);
  return status;
}

static bc_photo_options cloth_photo_options(void) {
  bc_photo_options options = bc_photo_options_default();
  options.wanted_side = CLOTH_SIDE;
  return options;
}

static bc_status measure_bytes(bc_cloth *cloth, bc_context *context, const uint8_t *bytes, size_t size,
                               const char *path) {
  const bc_photo_options options = cloth_photo_options();
  bc_photo *photo = NULL;
  const bc_status status = bc_photo_decode(&photo, context, bytes, size, path, &options);
  return status == BC_OK ? measure_photo(cloth, context, photo, path) : status;
}

static void make_key(char out[KEPT_KEY], bc_context *context, const uint8_t *bytes, size_t size, const char *path) {
  kept_writer key;
  const int facts[] = {CLOTH_SIDE, bc_path_has_suffix(path, "tga")};
  char photo[KEPT_KEY];
  kept_hash(photo, bytes, size);
  kept_key_begin(&key, context, "textile");
  kept_key_add(&key, facts, sizeof facts);
  kept_key_add_text(&key, photo);
  kept_key_end(&key, out);
}

/* What a textile's photo says has no pointers: it is kept as it lies in memory, for the program that wrote it. */
static bool recall(bc_cloth *cloth, bc_context *context, const char *key) {
  kept_block block;
  if (!kept_get(&block, context, key, KEPT_KIND)) return false;
  const bool whole = block.size == sizeof cloth->textile;
  if (whole) memcpy(&cloth->textile, block.bytes, sizeof cloth->textile);
  kept_block_clear(&block);
  if (whole) bc_cloth_take_textile(cloth);
  return whole;
}

static bc_status read_kept(bc_cloth *cloth, bc_context *context, const char *path) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  char key[KEPT_KEY];
  bc_status status = bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->file_bytes);
  if (status != BC_OK) return status;
  make_key(key, context, bytes, size, path);
  if (!recall(cloth, context, key)) {
    status = measure_bytes(cloth, context, bytes, size, path);
    if (status == BC_OK) (void)kept_put(context, key, KEPT_KIND, &cloth->textile, sizeof cloth->textile);
  }
  free(bytes);
  return status;
}

static bc_status read_photo(bc_cloth *cloth, bc_context *context, const char *path) {
  if (bc_context_store(context) && strcmp(path, "-") != 0) return read_kept(cloth, context, path);
  const bc_photo_options options = cloth_photo_options();
  bc_photo *photo = NULL;
  const bc_status status = bc_photo_open(&photo, context, path, &options);
  return status == BC_OK ? measure_photo(cloth, context, photo, path) : status;
}

static bool is_words(const char *typed) {
  return !typed[strspn(typed, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ -")];
}

/* "black velvet": the length of the colour before such a word; 0: there is none. */
static size_t before_pile_word(const char *spec) {
  static const char *const words[] = {"velvet", "velour", "velveteen", "corduroy", "plush", "fleece", "chenille"};
  const size_t length = strlen(spec);
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
    const size_t word = strlen(words[i]);
    if (length > word + 1 && spec[length - word - 1] == ' ' && strcasecmp(spec + length - word, words[i]) == 0)
      return length - word - 1;
  }
  return 0;
}

/* A word that a person typed is kept: "red (vivid reddish orange)"; figures are only named. */
static char *name_of_colour(const char *typed, const char *name) {
  if ((!is_words(typed) && !before_pile_word(typed)) || strcasecmp(typed, name) == 0) return bc_copy_text(name);
  /* TRANSLATORS: the colour's name as the user typed it, then a plain description of it */
  return bc_format(_("%s (%s)"), typed, name);
}

static bc_status parse_colour(bc_cloth *cloth, bc_context *context, const char *spec) {
  char *chip = bc_copy_text(spec);
  if (!chip) return bc_fail_memory(context);
  const size_t before = before_pile_word(spec);
  if (before) chip[before] = 0;
  const char *css = match_cloth_word(chip);
  const bc_status status = bc_colour_parse_css(&cloth->colour, context, css ? css : chip);
  const char *nearest = status == BC_BAD_DATA && is_words(chip) ? match_cloth_nearest_word(chip) : NULL;
  if (nearest)
    bc_fail(context, BC_BAD_DATA,
            _("“%s” is not a colour we know; the nearest that is: “%s”. A colour can also be written like #1f2430 "
              "or lab(30%% 10 -20)."),
            chip, nearest);
  free(chip);
  if (status == BC_OK && before) bc_cloth_make_pile(cloth);
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
  const bc_status status = is_photo ? read_photo(cloth, context, path) : parse_colour(cloth, context, spec);
  if (status != BC_OK) return status;
  cloth->name = name && *name ? bc_copy_printable(name)
                : is_photo    ? bc_path_title(path)
                              : name_of_colour(spec, bc_colour_name(cloth->colour.lab));
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

static bc_status fill_decoded(bc_cloth *cloth, bc_context *context, bc_photo *photo, const char *path,
                              const char *name) {
  cloth->spec = bc_format(PHOTO_PREFIX "%s", path);
  cloth->name = name && *name ? bc_copy_printable(name) : bc_path_title(path);
  if (cloth->spec && cloth->name) return measure_photo(cloth, context, photo, path);
  bc_photo_free(photo);
  return bc_fail_memory(context);
}

bc_status bc_cloth_decode(bc_cloth **out, bc_context *context, const void *bytes, size_t size, const char *path,
                          const char *name) {
  *out = NULL;
  const bc_photo_options options = cloth_photo_options();
  bc_photo *photo = NULL;
  bc_status status = bc_photo_decode(&photo, context, bytes, size, path, &options);
  if (status != BC_OK) return status;
  bc_cloth *cloth = bc_allocate(1, sizeof *cloth);
  if (!cloth) {
    bc_photo_free(photo);
    return bc_fail_memory(context);
  }
  status = fill_decoded(cloth, context, photo, path, name);
  if (status == BC_OK)
    *out = cloth;
  else
    bc_cloth_free(cloth);
  return status;
}

void bc_cloth_free(bc_cloth *cloth) {
  if (!cloth) return;
  free(cloth->spec);
  free(cloth->name);
  free(cloth);
}

bc_status bc_cloth_copy(bc_cloth **out, bc_context *context, const bc_cloth *cloth) {
  bc_cloth *made = bc_allocate(1, sizeof *made);
  *out = made;
  if (!made) return bc_fail_memory(context);
  *made = *cloth;
  made->spec = bc_copy_text(cloth->spec);
  made->name = bc_copy_text(cloth->name);
  if (made->spec && made->name) return BC_OK;
  bc_cloth_free(made);
  *out = NULL;
  return bc_fail_memory(context);
}

bc_status bc_cloth_under_light(bc_cloth **out, bc_context *context, const bc_cloth *cloth, const bc_light *light) {
  const bc_status status = bc_cloth_copy(out, context, cloth);
  if (status != BC_OK) return status;
  (*out)->colour = bc_colour_under_light(cloth->colour, light);
  for (size_t i = 0; i < cloth->part_count; i++)
    (*out)->parts[i].colour = bc_colour_under_light(cloth->parts[i].colour, light);
  return BC_OK;
}

bc_cloth match_cloth_to_eyes(const bc_cloth *cloth, bc_vision vision) {
  bc_cloth seen = *cloth;
  seen.colour = bc_colour_as_seen(cloth->colour, vision);
  for (size_t i = 0; i < cloth->part_count; i++)
    seen.parts[i].colour = bc_colour_as_seen(cloth->parts[i].colour, vision);
  return seen;
}
