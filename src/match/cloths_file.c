/* SPDX-License-Identifier: MIT */
/* The cloths file: {"cloths":[{"name":…,"colour":…,"pile":true},{"name":…,"photo":…}]}.
 * In: a JSON file. Out: a list of bc_cloth. Every complaint names the place. */
#include "match_internal.h"

#include <backcloth/file.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static bc_status wrong_key(bc_context *context, const char *path, size_t number, const char *key) {
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: cloth number %zu has the key “%s”, which a cloth doesn't have. Use “name” and “colour” or “photo”."), path,
      number, key);
}

/* Only text under the known keys. */
static bc_status check_keys(bc_context *context, const char *path, size_t number, json_t *entry) {
  const char *key;
  json_t *value;
  if (!json_is_object(entry))
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: cloth number %zu must be written in braces, like {\"colour\": \"#1f2430\"}."), path, number);
  json_object_foreach(entry, key, value) {
    if (strcmp(key, "pile") == 0) {
      if (json_is_boolean(value)) continue;
      return bc_fail(context, BC_BAD_DATA, _("%s: “pile” of cloth number %zu must be true or false, without quotes."),
                     path, number);
    }
    if (strcmp(key, "name") != 0 && strcmp(key, "colour") != 0 && strcmp(key, "photo") != 0)
      return wrong_key(context, path, number, key);
    if (!json_is_string(value))
      return bc_fail(context, BC_BAD_DATA, _("%s: “%s” of cloth number %zu must be text in quotation marks."), path,
                     key, number);
  }
  return BC_OK;
}

static bc_status parse_entry(bc_cloth **out, bc_context *context, const char *path, size_t number, json_t *entry) {
  const bc_status status = check_keys(context, path, number, entry);
  if (status != BC_OK) return status;
  const char *colour = json_string_value(json_object_get(entry, "colour")),
             *photo = json_string_value(json_object_get(entry, "photo")),
             *name = json_string_value(json_object_get(entry, "name"));
  if (!colour == !photo)
    return bc_fail(context, BC_BAD_DATA, _("%s: cloth number %zu needs either “colour” or “photo”, one of them."), path,
                   number);
  if (colour && strncmp(colour, "photo:", 6) == 0)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: “colour” of cloth number %zu names a file. Use the key “photo” for it."), path, number);
  char *folder = bc_path_folder(path), *file = photo && folder ? bc_path_join(folder, photo) : NULL;
  char *spec = colour ? bc_copy_text(colour) : file ? bc_format("photo:%s", file) : NULL;
  const bc_status parsed = spec ? bc_cloth_parse(out, context, spec, name) : bc_fail_memory(context);
  if (parsed == BC_OK && json_is_true(json_object_get(entry, "pile"))) bc_cloth_make_pile(*out);
  free(folder);
  free(file);
  free(spec);
  return parsed;
}

/* Says in front of what went wrong with a colour or photo which cloth it was. */
static bc_status name_the_cloth(bc_context *context, bc_status status, const char *path, size_t number) {
  char *reason = bc_copy_text(bc_context_message(context));
  if (!reason) return bc_fail_memory(context);
  const char *const known = strstr(reason, path) == reason ? "" : reason;
  if (*known) bc_fail(context, status, _("%s: cloth number %zu: %s"), path, number, reason);
  free(reason);
  return status;
}

static bc_status parse_all(bc_cloth_list *out, bc_context *context, const char *path, json_t *root) {
  json_t *list = json_object_get(root, "cloths");
  if (!json_is_array(list) || json_object_size(root) != 1)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: a cloths file has one key, “cloths”, with a list: {\"cloths\": [{\"name\": \"indigo\", "
                     "\"colour\": \"#1f2430\"}]}."),
                   path);
  const size_t count = json_array_size(list);
  out->cloth = bc_allocate(count, sizeof *out->cloth);
  if (!out->cloth) return bc_fail_memory(context);
  for (size_t i = 0; i < count; i++) {
    const bc_status status = parse_entry(&out->cloth[i], context, path, i + 1, json_array_get(list, i));
    if (status != BC_OK) return name_the_cloth(context, status, path, i + 1);
    out->count = i + 1;
  }
  return BC_OK;
}

static bc_status load(json_t **out, bc_context *context, const char *text, size_t size, const char *path) {
  json_error_t error;
  *out = json_loadb(text, size, JSON_REJECT_DUPLICATES, &error);
  if (*out) return BC_OK;
  return bc_fail(context, BC_BAD_DATA,
                 _("%s, line %d, column %d: this isn't JSON as it should be (%s). Look for a missing comma, quotation "
                   "mark or bracket just before this place."),
                 path, error.line, error.column, error.text);
}

bc_status bc_cloths_parse(bc_cloth_list *out, bc_context *context, const char *text, size_t size, const char *path) {
  *out = (bc_cloth_list){0};
  json_t *root = NULL;
  bc_status status = load(&root, context, text, size, path);
  if (status == BC_OK) status = parse_all(out, context, path, root);
  json_decref(root);
  if (status != BC_OK) bc_cloths_clear(out);
  return status;
}

bc_status bc_cloths_open(bc_cloth_list *out, bc_context *context, const char *path) {
  *out = (bc_cloth_list){0};
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->plan_bytes);
  if (status == BC_OK) status = bc_cloths_parse(out, context, (const char *)bytes, size, path);
  free(bytes);
  return status;
}

bc_status bc_cloths_add(bc_cloth_list *list, bc_context *context, bc_cloth *cloth) {
  bc_cloth **grown = bc_reallocate(list->cloth, list->count + 1, sizeof *grown);
  if (!grown) {
    bc_cloth_free(cloth);
    return bc_fail_memory(context);
  }
  list->cloth = grown;
  list->cloth[list->count++] = cloth;
  return BC_OK;
}

bc_status bc_cloths_add_copy(bc_cloth_list *list, bc_context *context, const bc_cloth *cloth) {
  bc_cloth *copy = NULL;
  const bc_status status = bc_cloth_copy(&copy, context, cloth);
  return status == BC_OK ? bc_cloths_add(list, context, copy) : status;
}

void bc_cloths_clear(bc_cloth_list *list) {
  for (size_t i = 0; i < list->count; i++) bc_cloth_free(list->cloth[i]);
  free(list->cloth);
  *list = (bc_cloth_list){0};
}
