/* SPDX-License-Identifier: MIT */
/* Studies through the store: what a photo gave before is found by its content and the options, without its pixels;
 * these are brought when somebody wants them. In: a path, the context's store. Out: bc_study. */
#include "packed_study.h"
#include "study.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

#define KIND "reading"

/* --- what a study is made from --- */

static bc_study_origin *origin_of(const char *path, const bc_study_options *options) {
  bc_study_origin *origin = bc_allocate(1, sizeof *origin);
  if (!origin) return NULL;
  const size_t keep = options->cutout.keep_count, drop = options->cutout.drop_count;
  origin->options = *options;
  origin->path = bc_copy_text(path);
  origin->mask_path = bc_copy_text(options->mask_path);
  origin->guess_path = bc_copy_text(options->guess_path);
  origin->points = bc_allocate(keep + drop, sizeof *origin->points);
  const bool room = origin->path && origin->points && (origin->mask_path || !options->mask_path) &&
                    (origin->guess_path || !options->guess_path);
  if (!room) {
    study_origin_free(origin);
    return NULL;
  }
  if (keep) memcpy(origin->points, options->cutout.keep, keep * sizeof *origin->points);
  if (drop) memcpy(origin->points + keep, options->cutout.drop, drop * sizeof *origin->points);
  origin->options.mask_path = origin->mask_path;
  origin->options.guess_path = origin->guess_path;
  origin->options.cutout.keep = origin->points;
  origin->options.cutout.drop = origin->points + keep;
  return origin;
}

/* --- the key --- */

/* A caller's own code is not known by any hash, and what comes down a pipe has no second time. */
static bool can_be_kept(const char *path, const bc_study_options *options) {
  return strcmp(path, "-") != 0 && !options->guess_model && !options->cutout.first_guess;
}

static bool add_file(kept_writer *key, bc_context *context, const char *path) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  char hash[KEPT_KEY] = "";
  if (!path) {
    kept_key_add_text(key, NULL);
    return true;
  }
  if (bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->file_bytes) != BC_OK) return false;
  kept_hash(hash, bytes, size);
  free(bytes);
  kept_key_add_text(key, hash);
  return true;
}

static void add_box(kept_writer *key, bool given, const bc_box *box) {
  const int figures[] = {given, given ? box->x : 0, given ? box->y : 0, given ? box->width : 0,
                         given ? box->height : 0};
  kept_key_add(key, figures, sizeof figures);
}

static void add_options(kept_writer *key, const bc_study_options *options) {
  const bc_cutout_options *cutout = &options->cutout;
  const bc_image_options *image = &options->image;
  const int figures[] = {cutout->brush, cutout->without_network, options->split, image->side, image->find_white};
  const double white[] = {image->white_is.lab.L, image->white_is.lab.a, image->white_is.lab.b,
                          image->white_is.luminance};
  kept_key_add(key, figures, sizeof figures);
  add_box(key, cutout->has_box, &cutout->box);
  add_box(key, image->has_white, &image->white);
  kept_key_add(key, white, sizeof white);
  kept_key_add(key, cutout->keep, cutout->keep_count * sizeof *cutout->keep);
  kept_key_add(key, cutout->drop, cutout->drop_count * sizeof *cutout->drop);
}

/* False when a mask cannot be read: whoever reads it in earnest says so. */
static bool make_key(bc_study_origin *origin, bc_context *context, const uint8_t *bytes, size_t size) {
  kept_writer key;
  const int tga = bc_path_has_suffix(origin->path, "tga"); /* which has no mark at its beginning */
  kept_hash(origin->photo, bytes, size);
  kept_key_begin(&key, context, "study");
  kept_key_add_text(&key, origin->photo);
  kept_key_add(&key, &tga, sizeof tga);
  add_options(&key, &origin->options);
  const bool read = add_file(&key, context, origin->mask_path) && add_file(&key, context, origin->guess_path);
  kept_key_end(&key, origin->key);
  return read;
}

static void make_cut_key(bc_study_origin *origin, size_t part) {
  char *text = bc_format("cut %s %zu", origin->key, part);
  origin->part = part;
  origin->cut[0] = '\0';
  if (text) kept_hash(origin->cut, text, strlen(text));
  free(text);
}

/* Every study has an origin of its own; without memory it has none, and keeps its pixels. */
static void give_origins(bc_study **list, size_t count, const bc_study_origin *origin) {
  for (size_t i = 0; i < count; i++) {
    bc_study_origin *own = origin_of(origin->path, &origin->options);
    if (!own) continue;
    memcpy(own->photo, origin->photo, KEPT_KEY);
    memcpy(own->key, origin->key, KEPT_KEY);
    own->kept = origin->kept;
    make_cut_key(own, i);
    list[i]->origin = own;
  }
}

/* --- into the store and out of it --- */

/* A note may quote the name under which the photo was opened; then what is kept is for that name only. */
static bool quotes(const bc_notes *notes, const char *name) {
  for (size_t i = 0; i < notes->count; i++)
    if (strstr(notes->text[i], name)) return true;
  return false;
}

static bool names_itself(const bc_study *study, const char *name) {
  return quotes(&study->reading->notes, name) || quotes(&study->image->notes, name) ||
         quotes(&study->cutout->notes, name);
}

/* NAME, or "" where no note quotes it; NUL; the studies. */
static bool keep(bc_context *context, const bc_study_origin *origin, bc_study *const *list, size_t count) {
  bc_buffer bytes = {0};
  bool named = false;
  for (size_t i = 0; i < count; i++) named = named || names_itself(list[i], origin->path);
  bc_buffer_add_bytes(&bytes, named ? origin->path : "", (named ? strlen(origin->path) : 0) + 1);
  reading_pack_studies(&bytes, list, count);
  const bool kept = !bytes.failed && kept_put(context, origin->key, KIND, bytes.text, bytes.length);
  bc_buffer_clear(&bytes);
  return kept;
}

static size_t head_of(const kept_block *block) {
  const uint8_t *end = memchr(block->bytes, 0, block->size);
  return end ? (size_t)(end - block->bytes) + 1 : 0;
}

static bool name_all(bc_study **list, size_t count, const char *path) {
  for (size_t i = 0; i < count; i++) {
    list[i]->reading->photo = study_name(path, i + 1, count);
    if (!list[i]->reading->photo) return false;
  }
  return true;
}

static void free_all(bc_study **list, size_t count) {
  for (size_t i = 0; list && i < count; i++) bc_study_free(list[i]);
  free(list);
}

static bool recall(bc_study ***out, size_t *count, bc_context *context, const bc_study_origin *origin) {
  kept_block block;
  bc_study **list = NULL;
  size_t number = 0;
  if (!kept_get(&block, context, origin->key, KIND)) return false;
  const size_t head = head_of(&block);
  const char *name = (const char *)block.bytes;
  const bool fits = head > 0 && (!*name || strcmp(name, origin->path) == 0);
  const bool good = fits && reading_unpack_studies(&list, &number, context, block.bytes + head, block.size - head) &&
                    name_all(list, number, origin->path);
  kept_block_clear(&block);
  if (good) {
    *out = list;
    *count = number;
  } else {
    free_all(list, number);
  }
  return good;
}

static bc_status find_or_compute(bc_study ***out, size_t *count, bc_context *context, bc_study_origin *origin,
                                 study_source *from) {
  const bool keyed = make_key(origin, context, from->bytes, from->size);
  origin->kept = true;
  if (keyed && recall(out, count, context, origin)) {
    give_origins(*out, *count, origin);
    return BC_OK;
  }
  const bc_status status = study_compute(out, count, context, from, &origin->options);
  if (status != BC_OK || !keyed) return status;
  origin->kept = keep(context, origin, *out, *count);
  if (origin->kept) give_origins(*out, *count, origin);
  return BC_OK;
}

bc_status study_open_kept(bc_study ***out, size_t *count, bc_context *context, const char *path,
                          const bc_study_options *options) {
  *out = NULL;
  *count = 0;
  if (!can_be_kept(path, options)) return study_compute(out, count, context, &(study_source){.name = path}, options);
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->file_bytes);
  if (status != BC_OK) return status;
  bc_study_origin *origin = origin_of(path, options);
  study_source from = {.name = path, .bytes = bytes, .size = size, .owned = &bytes};
  status = origin ? find_or_compute(out, count, context, origin, &from) : bc_fail_memory(context);
  free(bytes);
  study_origin_free(origin);
  return status;
}

/* --- pixels, when they are wanted --- */

static bool take_kept_mask(bc_cutout *cutout, bc_context *context, const bc_study_origin *origin) {
  kept_block block;
  if (!kept_get(&block, context, origin->key, KIND)) return false;
  const size_t head = head_of(&block);
  cutout->alpha = head ? reading_unpack_mask(block.bytes + head, block.size - head, origin->part) : NULL;
  kept_block_clear(&block);
  return cutout->alpha != NULL;
}

static bc_status fail_changed(bc_context *context, const bc_study_origin *origin) {
  return bc_fail(context, BC_BAD_DATA, _("%s: this photo was changed while it was in use. Do this again."),
                 origin->path);
}

/* The photo as it was when the study was made. */
static bc_status read_again(uint8_t **bytes, size_t *size, bc_context *context, const bc_study_origin *origin) {
  char hash[KEPT_KEY];
  const bc_status status = bc_file_read(bytes, size, context, origin->path, bc_context_limits(context)->file_bytes);
  if (status != BC_OK) return status;
  kept_hash(hash, *bytes, *size);
  if (strcmp(hash, origin->photo) == 0) return BC_OK;
  free(*bytes);
  *bytes = NULL;
  return fail_changed(context, origin);
}

/* What the store has lost is found anew. */
static bc_status compute_mask(bc_cutout *cutout, bc_context *context, const bc_study_origin *origin) {
  uint8_t *bytes = NULL;
  size_t size = 0, count = 0;
  bc_study **list = NULL;
  bc_status status = read_again(&bytes, &size, context, origin);
  study_source from = {.name = origin->path, .bytes = bytes, .size = size, .owned = &bytes};
  if (status == BC_OK) status = study_compute(&list, &count, context, &from, &origin->options);
  free(bytes);
  if (status == BC_OK && (origin->part >= count || list[origin->part]->cutout->width != cutout->width ||
                          list[origin->part]->cutout->height != cutout->height))
    status = fail_changed(context, origin);
  if (status == BC_OK) {
    cutout->alpha = list[origin->part]->cutout->alpha;
    list[origin->part]->cutout->alpha = NULL;
  }
  free_all(list, count);
  return status;
}

static bc_status load_mask(bc_cutout *cutout, bc_context *context, const bc_study_origin *origin) {
  if (cutout->alpha || !origin || take_kept_mask(cutout, context, origin)) return BC_OK;
  return compute_mask(cutout, context, origin);
}

static void take_planes(bc_image *to, bc_image *from) {
  to->L = from->L, to->a = from->a, to->b = from->b, to->Y = from->Y;
  to->alpha = from->alpha;
  from->L = from->a = from->b = from->Y = NULL;
  from->alpha = NULL;
}

static bc_status load_planes(bc_image *image, bc_context *context, const bc_study_origin *origin) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_image *read = NULL;
  if (image->L || !origin) return BC_OK;
  bc_status status = read_again(&bytes, &size, context, origin);
  const study_source from = {.name = origin->path, .bytes = bytes, .size = size, .owned = &bytes};
  if (status == BC_OK) status = study_read_image(&read, context, &from, &origin->options.image);
  free(bytes);
  if (status == BC_OK && (read->width != image->width || read->height != image->height))
    status = fail_changed(context, origin);
  if (status == BC_OK) take_planes(image, read);
  bc_image_free(read);
  return status;
}

bc_status bc_study_load_mask(bc_study *study, bc_context *context) {
  return load_mask(study->cutout, context, study->origin);
}

bc_status bc_study_load(bc_study *study, bc_context *context) {
  const bc_status status = load_planes(study->image, context, study->origin);
  return status == BC_OK ? load_mask(study->cutout, context, study->origin) : status;
}

/* The facts of a study, to be filled with pixels. */
static bc_study *facts_of(bc_context *context, const bc_study *study) {
  bc_buffer bytes = {0};
  bc_study plain = *study, *const one = &plain, **list = NULL, *out = NULL;
  size_t count = 0;
  reading_pack_studies(&bytes, &one, 1);
  if (!bytes.failed && reading_unpack_studies(&list, &count, context, (const uint8_t *)bytes.text, bytes.length)) {
    out = list[0];
    out->reading->photo = bc_copy_text(study->reading->photo);
    out->see_through = study->see_through;
  }
  free(list);
  bc_buffer_clear(&bytes);
  return out;
}

bc_status bc_study_loaded(bc_study **out, bc_context *context, const bc_study *study) {
  *out = NULL;
  if ((study->image->L && study->cutout->alpha) || !study->origin) return BC_OK;
  bc_study *made = facts_of(context, study);
  bc_status status = made && made->reading->photo ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = load_planes(made->image, context, study->origin);
  if (status == BC_OK) status = load_mask(made->cutout, context, study->origin);
  if (status == BC_OK)
    *out = made;
  else
    bc_study_free(made);
  return status;
}

void bc_study_rest(bc_study *const *studies, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (!studies[i]->origin || !studies[i]->origin->kept) return;
  for (size_t i = 0; i < count; i++) {
    bc_image *image = studies[i]->image; /* which several studies may share */
    free(image->L);
    free(image->alpha);
    image->L = image->a = image->b = image->Y = NULL;
    image->alpha = NULL;
    free(studies[i]->cutout->alpha);
    studies[i]->cutout->alpha = NULL;
  }
}

const char *bc_study_cut_key(const bc_study *study) {
  return study->origin && study->origin->cut[0] && study->see_through <= 0 ? study->origin->cut : NULL;
}
