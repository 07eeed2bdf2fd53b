/* SPDX-License-Identifier: MIT */
/* The known key nearest to a mistyped one: optimal string alignment distance (Damerau 1964, with
 * adjacent swaps), letters compared without case. */
#include "base/maths.h"
#include "plan_internal.h"

#include <ctype.h>
#include <string.h>

#define LONGEST 32 /* no key of ours is longer */

static int lower(char c) {
  return tolower((unsigned char)c);
}

static int distance(const char *first, const char *second) {
  const size_t n = strlen(first), m = strlen(second);
  if (n > LONGEST || m > LONGEST) return LONGEST;
  int cost[LONGEST + 1][LONGEST + 1];
  for (size_t i = 0; i <= n; i++) cost[i][0] = (int)i;
  for (size_t j = 0; j <= m; j++) cost[0][j] = (int)j;
  for (size_t i = 1; i <= n; i++) {
    for (size_t j = 1; j <= m; j++) {
      const int change = lower(first[i - 1]) != lower(second[j - 1]);
      cost[i][j] = base_least(base_least(cost[i - 1][j] + 1, cost[i][j - 1] + 1), cost[i - 1][j - 1] + change);
      if (i > 1 && j > 1 && lower(first[i - 1]) == lower(second[j - 2]) && lower(first[i - 2]) == lower(second[j - 1]))
        cost[i][j] = base_least(cost[i][j], cost[i - 2][j - 2] + 1);
    }
  }
  return cost[n][m];
}

/* Words that people use for a key of ours. Only keys of the same table are suggested. */
static const struct {
  const char *said, *meant;
} also_said[] = {
    {"weight", "grams_per_m2"}, /* of a cloth; not its height */
    {"weight_g", "grams_per_m2"},
    {"mass", "weight"},
    {"mass", "grams_per_m2"},
    {"grams", "weight_g"},
    {"weight_kg", "weight"},
    {"gsm", "grams_per_m2"},
    {"g_per_m2", "grams_per_m2"},
    {"weight_per_m2", "grams_per_m2"},
    {"name", "title"},
    {"name", "id"},
    {"label", "title"},
    {"note", PLAN_NOTES},
    {"comment", PLAN_NOTES},
    {"comments", PLAN_NOTES},
    {"remark", PLAN_NOTES},
    {"description", PLAN_NOTES},
    {"image", "photo"},
    {"picture", "photo"},
    {"file", "photo"},
    {"color", "colour"},
    {"color", "wall_colour"},
    {"colour", "wall_colour"},
    {"wall_color", "wall_colour"},
    {"w", "width"},
    {"h", "height"},
    {"d", "depth"},
    {"wall_width", "width"},
    {"length", "width"},
    {"width", "length"},
    {"drop", "height"},
    {"height", "wall_height"},
    {"height", "stature"},
    {"height", "y"},
    {"left", "x"},
    {"bottom", "y"},
    {"position", "at"},
    {"place", "at"},
    {"x", "at"},
    {"y", "at"},
    {"quantity", "count"},
    {"qty", "count"},
    {"number", "count"},
    {"pieces", "count"},
    {"hooks", "points"},
    {"nails", "points"},
    {"clips", "points"},
    {"angle", "cord_angle"},
    {"type", "kind"},
    {"type", "role"},
    {"kind", "role"},
    {"hanging", "mount"},
    {"mounting", "mount"},
    {"hang", "mount"},
    {"carrier", "on"},
    {"rod", "on"},
    {"rating", "rated"},
    {"rating_kg", "rated_kg"},
    {"max_kg", "rated_kg"},
    {"load_kg", "rated_kg"},
    {"rated_lb", "rated"},
    {"fixings", "fixing"},
    {"wall_type", "wall"},
    {"wall_kind", "wall"},
    {"diameter", "outer_mm"},
    {"diameter_mm", "outer_mm"},
    {"thickness", "wall_mm"},
    {"brackets", "supports"},
    {"spacing", "gap"},
    {"safety_factor", "design_factor"},
    {"version", "backcloth"},
    {"items", "pieces"},
    {"products", "pieces"},
    {"objects", "pieces"},
    {"shelf", "shelves"},
    {"backdrop", "cloth"},
    {"fabric", "cloth"},
    {"wall", "stand"},
    {"booth", "stand"},
    {"visitors", "viewers"},
    {"panels", "grids"},
    {"poles", "rods"},
    {"battens", "rods"},
    {"bag_weight", "bag_kg"},
    {"bag", "bag_size"},
    {"eyes", "eye"},
};

static const char *same(const plan_table *table, const char *key, size_t letters) {
  const plan_field *field = table->fields;
  for (size_t i = 0; i < table->count; i++, field++) {
    if (strlen(field->key) == letters && strncmp(field->key, key, letters) == 0) return field->key;
    if (field->also && strlen(field->also) == letters && strncmp(field->also, key, letters) == 0) return field->also;
  }
  return letters == strlen(PLAN_NOTES) && strncmp(key, PLAN_NOTES, letters) == 0 ? PLAN_NOTES : NULL;
}

/* "width_cm", "depth_in": a key of ours with a unit that it does not have. */
static const char *without_unit(const plan_table *table, const char *key) {
  static const char *const units[] = {"_cm", "_mm", "_m", "_in", "_inch", "_inches", "_ft", "_g", "_kg", "_lb", "_oz"};
  const char *unit = strrchr(key, '_');
  for (size_t i = 0; unit && i < sizeof units / sizeof *units; i++)
    if (strcmp(unit, units[i]) == 0) return same(table, key, (size_t)(unit - key));
  return NULL;
}

static void nearer(const char **best, int *nearest, const char *key, const char *candidate) {
  if (!candidate) return;
  const int here = distance(key, candidate);
  if (here > *nearest || here >= (int)strlen(key) || (*best && here == *nearest)) return;
  *best = candidate;
  *nearest = here;
}

const char *plan_nearest_key(const plan_table *table, const char *key) {
  for (size_t i = 0; i < sizeof also_said / sizeof *also_said; i++) {
    const char *meant =
        strcmp(key, also_said[i].said) == 0 ? same(table, also_said[i].meant, strlen(also_said[i].meant)) : NULL;
    if (meant) return meant;
  }
  const char *best = without_unit(table, key);
  if (best) return best;
  /* A third of the letters may differ, at least one: "hieght", "tilte", but not "gap" for "at". */
  int nearest = (int)strlen(key) / 3;
  if (nearest < 1) nearest = 1;
  if (nearest > 4) nearest = 4;
  for (size_t i = 0; i < table->count; i++) {
    nearer(&best, &nearest, key, table->fields[i].key);
    nearer(&best, &nearest, key, table->fields[i].also);
  }
  nearer(&best, &nearest, key, PLAN_NOTES);
  return best;
}
