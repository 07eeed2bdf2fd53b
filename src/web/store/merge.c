/* SPDX-License-Identifier: MIT */
/* Two people change one plan: what either changed since the common base is kept; things with ids are told apart
 * by id. Where both changed the same value, the later save (`mine`) stands and its path is told; a thing that one
 * took away and the other changed stays. Source: three-way merge as for text, on keys. */
#include "plans.h"

#include <stdlib.h>
#include <string.h>

static const char *id_of(const json_t *value) {
  return json_string_value(json_object_get(value, "id"));
}

static bool all_have_ids(const json_t *list) {
  size_t i;
  json_t *value;
  if (!json_is_array(list)) return false;
  json_array_foreach(list, i, value) if (!id_of(value)) return false;
  return true;
}

static json_t *with_id(const json_t *list, const char *id) {
  size_t i;
  json_t *value;
  json_array_foreach(list, i, value) if (strcmp(id_of(value), id) == 0) return value;
  return NULL;
}

static json_t *merge_value(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled,
                           const char *path);

static json_t *merge_at(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled,
                        const char *path, const char *key) {
  char *place = bc_format("%s%s%s", path, *path ? "." : "", key);
  json_t *merged = merge_value(base, mine, theirs, overruled, place ? place : key);
  free(place);
  return merged;
}

static json_t *merge_objects(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled,
                             const char *path) {
  json_t *merged = json_object(), *value;
  const char *key;
  json_object_foreach((json_t *)(uintptr_t)mine, key, value) {
    json_t *one = merge_at(json_object_get(base, key), value, json_object_get(theirs, key), overruled, path, key);
    if (one) json_object_set_new(merged, key, one);
  }
  json_object_foreach((json_t *)(uintptr_t)theirs, key, value) {
    if (json_object_get(mine, key)) continue;
    json_t *one = merge_at(json_object_get(base, key), NULL, value, overruled, path, key);
    if (one) json_object_set_new(merged, key, one);
  }
  return merged;
}

static json_t *merge_lists(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled,
                           const char *path) {
  json_t *merged = json_array(), *value;
  size_t i;
  json_array_foreach(mine, i, value) {
    json_t *one =
        merge_at(with_id(base, id_of(value)), value, with_id(theirs, id_of(value)), overruled, path, id_of(value));
    if (one) json_array_append_new(merged, one);
  }
  json_array_foreach(theirs, i, value) {
    if (with_id(mine, id_of(value))) continue;
    json_t *one = merge_at(with_id(base, id_of(value)), NULL, value, overruled, path, id_of(value));
    if (one) json_array_append_new(merged, one);
  }
  return merged;
}

static bool same(const json_t *first, const json_t *second) {
  return first == second || (first && second && json_equal(first, second));
}

/* NULL: the key is not there. */
static json_t *merge_value(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled,
                           const char *path) {
  json_t *const my_own = (json_t *)(uintptr_t)mine, *const their_own = (json_t *)(uintptr_t)theirs;
  if (same(mine, theirs) || same(base, theirs)) return json_incref(my_own);
  if (same(base, mine)) return json_incref(their_own);
  if (json_is_object(mine) && json_is_object(theirs)) return merge_objects(base, mine, theirs, overruled, path);
  if (all_have_ids(mine) && all_have_ids(theirs) && (!base || all_have_ids(base)))
    return merge_lists(base, mine, theirs, overruled, path);
  json_array_append_new(overruled, json_string(path));
  return json_incref(mine ? my_own : their_own);
}

json_t *web_merge(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled) {
  return merge_value(base, mine, theirs, overruled, "");
}
