/* SPDX-License-Identifier: MIT */
/* A starting plan from a folder of photos: a piece for each, sizes asked for or marked "?", never guessed.
 * In: a folder. Out: a plan, written like any other. */
#include "plan_internal.h"

#include <backcloth/file.h>
#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

static const char *const suffixes[] = {"jpg", "jpeg", "png", "webp", "heic", "heif", "avif", "tif", "tiff"};

static bool is_photo(const char *name) {
  static const char mask[] = ".mask.png"; /* drawn by hand for the photo of the same name */
  const size_t length = strlen(name), tail = sizeof mask - 1;
  if (name[0] == '.' || (length > tail && strcasecmp(name + length - tail, mask) == 0)) return false;
  for (size_t i = 0; i < sizeof suffixes / sizeof *suffixes; i++)
    if (bc_path_has_suffix(name, suffixes[i])) return true;
  return false;
}

static int by_bytes(const void *first, const void *second) {
  return strcmp(*(char *const *)first, *(char *const *)second);
}

/* The names of the folder's photos, in the order of their bytes, so that every run lists them alike. */
/* A plan is text: a name with other bytes, or with control characters, cannot stand in it. */
static bool stands_in_a_plan(const char *name) {
  for (size_t length; *name; name += length)
    if ((length = bc_utf8_length(name)) == 0 || bc_is_control(name)) return false;
  return true;
}

static bc_status refuse_name(bc_context *context, const char *folder, const char *name) {
  char *shown = bc_path_shown(name);
  const bc_status status =
      shown ? bc_fail(context, BC_BAD_DATA,
                      _("%s: the name of the photo “%s” cannot stand in a plan. Rename it with ordinary letters."),
                      folder, shown)
            : bc_fail_memory(context);
  free(shown);
  return status;
}

static bc_status list_photos(bc_notes *out, bc_context *context, const char *folder) {
  DIR *directory = opendir(folder);
  if (!directory)
    return bc_fail(context, BC_NO_INPUT, _("%s: this folder cannot be opened: %s. Name the folder with your photos."),
                   folder, strerror(errno));
  const size_t most = bc_context_limits(context)->plan_pieces;
  bc_status status = BC_OK;
  for (const struct dirent *entry; status == BC_OK && (entry = readdir(directory));)
    if (is_photo(entry->d_name) && !stands_in_a_plan(entry->d_name))
      status = refuse_name(context, folder, entry->d_name);
    else if (is_photo(entry->d_name))
      status = out->count < most
                   ? bc_note(out, context, "%s", entry->d_name)
                   : bc_fail(context, BC_BAD_DATA, _("%s: there are more than %zu photos here. Use a smaller folder."),
                             folder, most);
  closedir(directory);
  if (status == BC_OK && out->count == 0)
    return bc_fail(context, BC_NO_INPUT, _("%s: there is no photo here. Name the folder with your photos."), folder);
  if (status == BC_OK) qsort(out->text, out->count, sizeof *out->text, by_bytes);
  return status;
}

/* --- questions ------------------------------------------------------------------------------------------ */
typedef struct starter {
  bc_context *context;
  bc_plan_start_options options;
  bool stopped; /* no more answers come */
} starter;

/* What the answer says as JSON: a number, a text with a unit, or NULL when it is neither or out of range. */
static json_t *understood(const char *answer, const plan_field *field, bool by_also, bc_units units) {
  char *end = NULL;
  const double number = strtod(answer, &end);
  const bool plain = end != answer && end[strspn(end, " ")] == '\0';
  const bool whole = plain && number == (double)(long)number && number < 1e9;
  json_t *value = !plain ? json_string(answer) : whole ? json_integer((long)number) : json_real(number);
  double amount = 0;
  if (value && plan_read_amount(&amount, value, field, by_also, units) == PLAN_AMOUNT_FINE && amount > field->low &&
      amount <= field->high)
    return value;
  json_decref(value);
  return NULL;
}

/* Asks until the answer is understood or empty; the mark of what is missing otherwise. NULL: no memory. */
static json_t *ask(starter *s, const plan_field *field, bool by_also, const char *question, const char *about) {
  while (s->options.ask && !s->stopped) {
    char *sentence = bc_format(question, about);
    if (!sentence) return NULL;
    char *answer = s->options.ask(s->options.data, sentence);
    free(sentence);
    if (!answer) s->stopped = true;
    json_t *value = answer && *answer ? understood(answer, field, by_also, s->options.units) : NULL;
    const bool skipped = !answer || !*answer || strcmp(answer, PLAN_MISSING) == 0;
    free(answer);
    if (value) return value;
    if (skipped) break;
    question = by_also ? _("That was not understood. The weight of \"%s\", for example 850 g or 2 lb 3 oz:")
                       : _("That was not understood. The size of \"%s\", for example 50 cm or 4 ft 2 in:");
  }
  return json_string(PLAN_MISSING);
}

static const plan_field length_field = {.kind = PLAN_NUMBER, .unit = "cm", .high = PIECE_CM, .above = true};
static const plan_field mass_field = {.kind = PLAN_NUMBER, .unit = "g", .high = MASS_G, .above = true};

/* --- the file ------------------------------------------------------------------------------------------- */
static bool taken(const json_t *pieces, const char *id) {
  size_t i;
  json_t *piece;
  json_array_foreach((json_t *)pieces, i, piece) {
    if (strcmp(json_string_value(json_object_get(piece, "id")), id) == 0) return true;
  }
  return false;
}

/* "Blue_bowl 2.JPG" becomes "blue-bowl-2": letters and digits of any script stay. */
static char *id_of(const char *title, const json_t *pieces) {
  char *id = bc_copy_text(title);
  for (char *c = id; id && *c; c++) {
    if (*c >= 'A' && *c <= 'Z') *c = (char)(*c - 'A' + 'a');
    if ((unsigned char)*c < 0x80 && !strchr("abcdefghijklmnopqrstuvwxyz0123456789", *c)) *c = '-';
  }
  for (size_t number = 2; id && taken(pieces, id); number++) {
    char *numbered = bc_format("%s-%zu", title, number);
    free(id);
    id = numbered;
  }
  return id;
}

static bool set(json_t *object, const char *key, json_t *value) {
  return json_object_set_new(object, key, value) == 0;
}

static json_t *piece_of(starter *s, const char *photo, const json_t *pieces) {
  json_t *piece = json_object();
  char *title = bc_path_title(photo);
  char *id = title ? id_of(title, pieces) : NULL;
  if (title && title[0] >= 'a' && title[0] <= 'z') title[0] = (char)(title[0] - 'a' + 'A'); /* it heads a list */
  const bool fine = piece && id && set(piece, "id", json_string(id)) && set(piece, "title", json_string(title)) &&
                    set(piece, "photo", json_string(photo)) &&
                    set(piece, "width", ask(s, &length_field, false, _("How wide is \"%s\"?"), title)) &&
                    set(piece, "height", ask(s, &length_field, false, _("How high is \"%s\"?"), title)) &&
                    set(piece, "weight", ask(s, &mass_field, true, _("How much does \"%s\" weigh?"), title));
  free(title);
  free(id);
  if (fine) return piece;
  json_decref(piece);
  return NULL;
}

/* Explanations for the maker, who opens the file in a text editor. */
static json_t *explanations(bc_units units) {
  const char *const sentences[] = {
      N_("This plan was started from your photos. \"?\" marks what is not measured yet: write the number in its "
         "place."),
      units == BC_UNITS_IMPERIAL
          ? N_("Lengths are inches and weights ounces, or texts such as \"4 ft 2 in\" and \"850 g\". docs/plan.md has "
               "all keys.")
          : N_("Lengths are cm and weights g, or texts such as \"4 ft 2 in\" and \"2 lb 3 oz\". docs/plan.md has all "
               "keys."),
      N_("The piece that speaks for you has the role of the statement piece, \"role\": \"statement\"; small ones have "
         "\"role\": \"small\"."),
      N_("How a piece is held is its mount: \"mount\": {\"kind\": \"table\"} (or shelf, floor) for what stands; nail, "
         "hook, "
         "cord, pin or clip for what hangs."),
      N_("\"backcloth plan check\" says what is still missing or does not fit."),
  };
  json_t *list = json_array();
  for (size_t i = 0; list && i < sizeof sentences / sizeof *sentences; i++)
    if (json_array_append_new(list, json_string(_(sentences[i]))) != 0) {
      json_decref(list);
      return NULL;
    }
  return list;
}

static bool add_stand(starter *s, json_t *plan) {
  json_t *stand = json_object();
  return set(plan, "stand", stand) &&
         set(stand, "width", ask(s, &length_field, false, _("How wide is the back wall?%s"), "")) &&
         set(stand, "wall_height", ask(s, &length_field, false, _("How high is the back wall?%s"), ""));
}

/* What the wall is made of, one of the plan's words; skipped, it is left out, and the loads ask again. */
static bool add_wall(starter *s, json_t *plan) {
  while (s->options.ask && !s->stopped) {
    bc_buffer words = {0};
    for (int i = 1; i < BC_WALL_KINDS; i++) bc_buffer_add(&words, i > 1 ? ", %s" : "%s", plan_wall_words[i]);
    char *question = words.failed ? NULL : bc_format(_("What is the wall made of? One of: %s."), words.text);
    bc_buffer_clear(&words);
    char *answer = question ? s->options.ask(s->options.data, question) : NULL;
    const bool asked = question != NULL, skipped = !answer || !*answer || strcmp(answer, PLAN_MISSING) == 0;
    free(question);
    if (!asked) return false;
    if (!answer) s->stopped = true;
    int kind = 0;
    for (int i = 1; answer && i < BC_WALL_KINDS; i++)
      if (strcmp(answer, plan_wall_words[i]) == 0) kind = i;
    free(answer);
    if (kind) return set(json_object_get(plan, "stand"), "wall", json_string(plan_wall_words[kind]));
    if (skipped) break;
  }
  return true;
}

static json_t *document_of(starter *s, const bc_notes *photos) {
  json_t *plan = json_object(), *pieces = json_array();
  bool fine = set(plan, "backcloth", json_integer(1)) && set(plan, PLAN_NOTES, explanations(s->options.units)) &&
              set(plan, "title", json_string(s->options.title ? s->options.title : _("My stand")));
  if (fine && s->options.units == BC_UNITS_IMPERIAL) fine = set(plan, "units", json_string("imperial"));
  fine = fine && add_stand(s, plan);
  for (size_t i = 0; fine && i < photos->count; i++)
    fine = json_array_append_new(pieces, piece_of(s, photos->text[i], pieces)) == 0;
  fine = fine && add_wall(s, plan);
  if (fine && json_object_set(plan, "pieces", pieces) == 0) {
    json_decref(pieces);
    return plan;
  }
  json_decref(pieces);
  json_decref(plan);
  return NULL;
}

bc_plan_start_options bc_plan_start_options_default(void) {
  return (bc_plan_start_options){.units = BC_UNITS_METRIC};
}

bc_status bc_plan_start(bc_plan **out, bc_context *context, const char *folder, const bc_plan_start_options *options) {
  *out = NULL;
  starter s = {.context = context, .options = options ? *options : bc_plan_start_options_default()};
  bc_notes photos = {0};
  bc_status status = list_photos(&photos, context, folder);
  json_t *document = status == BC_OK ? document_of(&s, &photos) : NULL;
  char *text = document ? json_dumps(document, 0) : NULL;
  char *path = bc_path_join(folder, "plan.json"); /* photos are named as seen from here */
  if (status == BC_OK && (!text || !path)) status = bc_fail_memory(context);
  bc_plan_options how = bc_plan_options_default();
  how.allow_missing = true;
  if (status == BC_OK) status = bc_plan_parse(out, context, text, strlen(text), path, &how);
  free(path);
  free(text);
  json_decref(document);
  bc_notes_clear(&photos);
  return status;
}
