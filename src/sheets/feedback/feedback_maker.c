/* SPDX-License-Identifier: MIT */
/* A maker's folder: photos anywhere in it, and perhaps plan.json, cloths.json, notes.txt and masks.
 * In: a folder. Out: what the sheet is made from. */
#include "feedback_internal.h"

#include <backcloth/file.h>
#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define DEEPEST 4         /* folders below the maker's */
#define MOST_FILES 2000   /* in one folder; a maker with more has pointed at the wrong folder */
#define NOTES_BYTES 65536 /* of notes.txt */
#define FORMAT 3          /* of the sheets: to be raised when they change within a version */

static bool add_file(feedback_maker *maker, const char *path) {
  for (size_t i = 0; i < maker->file_count; i++)
    if (strcmp(maker->files[i], path) == 0) return true;
  char **grown = bc_reallocate(maker->files, maker->file_count + 1, sizeof *grown);
  char *copy = grown ? bc_copy_text(path) : NULL;
  if (grown) maker->files = grown;
  if (!copy) return false;
  maker->files[maker->file_count++] = copy;
  return true;
}

static bool is_hidden(const char *name) {
  return name[0] == '.';
}

static bc_status look_through(feedback_maker *maker, const char *folder, int depth) {
  struct dirent **entry = NULL;
  const int count = scandir(folder, &entry, NULL, alphasort);
  if (count < 0 && depth == 0)
    return bc_fail(maker->context, BC_NO_INPUT, _("%s: there is no such folder. Check the name."), folder);
  bc_status status = BC_OK;
  for (int i = 0; i < count; i++) {
    struct stat about;
    char *path = is_hidden(entry[i]->d_name) ? NULL : bc_path_join(folder, entry[i]->d_name);
    const bool there = status == BC_OK && path && lstat(path, &about) == 0;
    if (there && S_ISDIR(about.st_mode) && depth < DEEPEST) status = look_through(maker, path, depth + 1);
    if (there && S_ISLNK(about.st_mode) && stat(path, &about) != 0)
      about.st_mode = S_IFREG; /* told when it is opened */
    if (there && S_ISREG(about.st_mode) && !add_file(maker, path)) status = bc_fail_memory(maker->context);
    if (maker->file_count > MOST_FILES)
      status = bc_fail(maker->context, BC_BAD_DATA, _("%s: holds more than %d files. Name each maker's own folder."),
                       maker->folder, MOST_FILES);
    free(path);
    free(entry[i]);
  }
  free(entry);
  return status;
}

static bool same_path(const char *first, const char *second) {
  char *a = realpath(first, NULL), *b = realpath(second, NULL);
  const bool same = a && b ? strcmp(a, b) == 0 : strcmp(first, second) == 0;
  free(a);
  free(b);
  return same;
}

static bool is_photo(const char *path) {
  static const char *const suffixes[] = {"jpg", "jpeg", "png", "webp", "heic", "heif", "avif", "tif", "tiff"};
  const char *name = bc_path_name(path);
  const size_t length = strlen(name);
  if (length > 9 && strcasecmp(name + length - 9, ".mask.png") == 0) return false;
  for (size_t i = 0; i < sizeof suffixes / sizeof suffixes[0]; i++)
    if (bc_path_has_suffix(path, suffixes[i])) return true;
  return false;
}

static bool shows_cloth(const feedback_maker *maker, const char *path) {
  if (maker->plan && maker->plan->cloth.photo && same_path(maker->plan->cloth.photo, path)) return true;
  for (size_t i = 0; i < maker->cloths.count; i++) {
    const char *spec = maker->cloths.cloth[i]->spec;
    if (strncmp(spec, "photo:", 6) == 0 && same_path(spec + 6, path)) return true;
  }
  return false;
}

/* NAME.mask.png beside the photo, or in the maker's folder "masks". */
static char *find_mask(const feedback_maker *maker, const char *photo) {
  const char *name = bc_path_name(photo), *dot = strrchr(name, '.');
  char *wanted = bc_format("%.*s.mask.png", dot ? (int)(dot - name) : (int)strlen(name), name);
  char *found = NULL;
  for (size_t i = 0; wanted && !found && i < maker->file_count; i++)
    if (strcmp(bc_path_name(maker->files[i]), wanted) == 0) found = bc_copy_text(maker->files[i]);
  free(wanted);
  return found;
}

static bc_status add_photo(feedback_maker *maker, const char *path, size_t piece) {
  for (size_t i = 0; i < maker->photo_count; i++)
    if (same_path(maker->photos[i].path, path)) return BC_OK;
  feedback_photo *grown = bc_reallocate(maker->photos, maker->photo_count + 1, sizeof *grown);
  if (!grown) return bc_fail_memory(maker->context);
  maker->photos = grown;
  feedback_photo *photo = &maker->photos[maker->photo_count++];
  *photo = (feedback_photo){.path = bc_copy_text(path), .mask = find_mask(maker, path), .piece = piece};
  photo->title = piece == SIZE_MAX ? bc_path_title(path) : bc_copy_text(maker->plan->pieces[piece].title);
  return photo->path && photo->title && add_file(maker, path) ? BC_OK : bc_fail_memory(maker->context);
}

/* The plan's first, in its order; then what else lies in the folder. */
static bc_status gather_photos(feedback_maker *maker) {
  bc_status status = BC_OK;
  for (size_t i = 0; maker->plan && status == BC_OK && i < maker->plan->piece_count; i++)
    if (maker->plan->pieces[i].photo) status = add_photo(maker, maker->plan->pieces[i].photo, i);
  const size_t files = maker->file_count;
  for (size_t i = 0; status == BC_OK && i < files; i++)
    if (is_photo(maker->files[i]) && !shows_cloth(maker, maker->files[i]))
      status = add_photo(maker, maker->files[i], SIZE_MAX);
  return status;
}

static char *file_named(const feedback_maker *maker, const char *name) {
  char *path = bc_path_join(maker->folder, name), *found = NULL;
  for (size_t i = 0; path && i < maker->file_count; i++)
    if (strcmp(maker->files[i], path) == 0) found = path;
  if (!found) free(path);
  return found;
}

static bool depend_on_cloths(feedback_maker *maker, const char *file) {
  bool room = !file || add_file(maker, file);
  for (size_t i = 0; room && i < maker->cloths.count; i++) {
    const char *spec = maker->cloths.cloth[i]->spec;
    if (strncmp(spec, "photo:", 6) == 0) room = add_file(maker, spec + 6);
  }
  if (room && maker->plan && maker->plan->cloth.photo) room = add_file(maker, maker->plan->cloth.photo);
  return room;
}

/* What is broken here costs only itself; `message` keeps why. */
static bc_status open_parts(feedback_maker *maker, const feedback_cloths *cloths) {
  bc_context *context = maker->context;
  maker->plan_path = file_named(maker, "plan.json");
  maker->cloths_path = file_named(maker, "cloths.json");
  maker->notes_path = file_named(maker, "notes.txt");
  if (maker->plan_path && bc_plan_open(&maker->plan, context, maker->plan_path, NULL) != BC_OK)
    maker->plan_message = bc_copy_text(bc_context_message(context));
  if (maker->cloths_path && bc_cloths_open(&maker->cloths, context, maker->cloths_path) != BC_OK)
    maker->cloths_message = bc_copy_text(bc_context_message(context));
  maker->cloths_lent = !maker->cloths.count;
  if (maker->cloths_lent) maker->cloths = cloths->list;
  size_t size;
  uint8_t *text = NULL;
  if (maker->notes_path && bc_file_read(&text, &size, context, maker->notes_path, NOTES_BYTES) == BC_OK) {
    maker->notes = bc_copy_utf8((char *)text);
    free(text);
  }
  return depend_on_cloths(maker, cloths->path) ? BC_OK : bc_fail_memory(context);
}

/* "makers/venn/" is called "venn"; "." by its real name. */
static char *name_of(const char *folder) {
  char *whole = realpath(folder, NULL);
  char *name = bc_copy_printable(whole ? bc_path_name(whole) : bc_path_name(folder));
  free(whole);
  return name;
}

static bc_status list_files(feedback_maker *out, bc_context *context, feedback_cache *cache, const char *folder) {
  *out = (feedback_maker){.context = context, .cache = cache, .folder = folder, .name = name_of(folder)};
  const bc_status status = out->name ? look_through(out, folder, 0) : bc_fail_memory(context);
  out->listed_count = out->file_count;
  return status;
}

bc_status feedback_maker_open(feedback_maker *out, bc_context *context, feedback_cache *cache, const char *folder,
                              const feedback_cloths *cloths) {
  bc_status status = list_files(out, context, cache, folder);
  if (status == BC_OK) status = open_parts(out, cloths);
  return status == BC_OK ? gather_photos(out) : status;
}

/* Which others there are follows from the plan and cloths files, whose content is in the hash: if these are the same,
 * so are those. */
static bool add_others(feedback_maker *maker, char *others) {
  char *rest = others, *one;
  bool room = true;
  while (room && (one = strsep(&rest, "\n")))
    if (*one) room = add_file(maker, one);
  return room;
}

char *feedback_maker_others(const feedback_maker *maker) {
  bc_buffer text = {0};
  bc_buffer_add(&text, "%s", "");
  for (size_t i = maker->listed_count; i < maker->file_count; i++) bc_buffer_add(&text, "%s\n", maker->files[i]);
  return text.failed ? bc_buffer_clear(&text), NULL : text.text;
}

bc_status feedback_maker_compare(feedback_maker *out, bc_context *context, feedback_cache *cache, const char *folder,
                                 const bc_feedback_options *options) {
  bc_status status = list_files(out, context, cache, folder);
  feedback_made made;
  char inputs[FEEDBACK_HASH];
  if (status != BC_OK || !feedback_cache_get_maker(&made, cache, out->name)) return status;
  status = add_others(out, made.others) ? feedback_maker_hash(inputs, out, options) : bc_fail_memory(context);
  out->unchanged = status == BC_OK && strcmp(inputs, made.inputs) == 0;
  feedback_made_clear(&made);
  return status;
}

static bc_status read_photo(feedback_maker *maker, feedback_photo *photo) {
  char key[FEEDBACK_HASH];
  bc_context *context = maker->context;
  bc_status status = feedback_photo_key(key, maker->cache, context, photo->path, photo->mask);
  if (status == BC_OK && !feedback_entry_recall(&photo->entry, context, key)) {
    status = feedback_entry_read(&photo->entry, context, photo->path, photo->mask);
    if (status == BC_OK) feedback_entry_store(context, key, &photo->entry);
  }
  return status == BC_OK ? feedback_entry_reading(&photo->reading, context, &photo->entry, photo->path) : status;
}

bc_status feedback_maker_read(feedback_maker *maker) {
  for (size_t i = 0; i < maker->photo_count; i++) {
    feedback_photo *photo = &maker->photos[i];
    if (read_photo(maker, photo) == BC_OK) continue;
    photo->message = bc_copy_text(bc_context_message(maker->context));
    if (!photo->message) return bc_fail_memory(maker->context);
  }
  return BC_OK;
}

void feedback_maker_clear(feedback_maker *maker) {
  for (size_t i = 0; i < maker->photo_count; i++) {
    feedback_photo *photo = &maker->photos[i];
    free(photo->path);
    free(photo->mask);
    free(photo->title);
    free(photo->message);
    bc_reading_free(photo->reading);
    feedback_entry_clear(&photo->entry);
  }
  for (size_t i = 0; i < maker->file_count; i++) free(maker->files[i]);
  free(maker->photos);
  free(maker->files);
  bc_plan_free(maker->plan);
  if (!maker->cloths_lent) bc_cloths_clear(&maker->cloths);
  char *const texts[] = {maker->name,         maker->plan_path,      maker->cloths_path, maker->notes_path,
                         maker->plan_message, maker->cloths_message, maker->notes};
  for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) free(texts[i]);
  *maker = (feedback_maker){0};
}

bc_status feedback_maker_hash(char out[FEEDBACK_HASH], const feedback_maker *maker,
                              const bc_feedback_options *options) {
  bc_buffer text = {0};
  /* TRANSLATORS: the two-letter code of your language, for example es. */
  bc_buffer_add(&text, "sheet %d %s %s %s %d %d %s", FORMAT, bc_version(), maker->name,
                options->language ? options->language : _("en"), (int)options->units, (int)options->paper,
                options->cloths ? options->cloths : "");
  for (size_t i = 0; i < maker->file_count; i++) {
    char hash[FEEDBACK_HASH];
    /* What cannot be opened is a fact like any other. */
    if (feedback_file_hash(hash, maker->cache, maker->context, maker->files[i]) != BC_OK) strcpy(hash, "-");
    bc_buffer_add(&text, "\n%s %s", hash, maker->files[i]);
  }
  if (text.failed) return bc_buffer_clear(&text), bc_fail_memory(maker->context);
  feedback_text_hash(out, text.text, text.length);
  bc_buffer_clear(&text);
  return BC_OK;
}
