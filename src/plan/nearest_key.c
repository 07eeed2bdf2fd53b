/* SPDX-License-Identifier: MIT */
/* The known key nearest to a mistyped one: optimal string alignment distance (Damerau 1964, with
 * adjacent swaps), letters compared without case. */
#include "plan_internal.h"

#include <ctype.h>
#include <string.h>

#define LONGEST 32 /* no key of ours is longer */

static int lower(char c) {
  return tolower((unsigned char)c);
}

static int least(int a, int b) {
  return a < b ? a : b;
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
      cost[i][j] = least(least(cost[i - 1][j] + 1, cost[i][j - 1] + 1), cost[i - 1][j - 1] + change);
      if (i > 1 && j > 1 && lower(first[i - 1]) == lower(second[j - 2]) && lower(first[i - 2]) == lower(second[j - 1]))
        cost[i][j] = least(cost[i][j], cost[i - 2][j - 2] + 1);
    }
  }
  return cost[n][m];
}

/* Words that people use for a key of ours. Only keys of the same table are suggested. */
static const struct {
  const char *said, *meant;
} also_said[] = {
    {"weight", "weight_g"},
    {"weight", "grams_per_m2"}, /* of a cloth; not its height */
    {"weight_g", "grams_per_m2"},
    {"g_per_m2", "grams_per_m2"},
    {"weight_per_m2", "grams_per_m2"},
    {"mass", "weight_g"},
    {"weight_kg", "weight_g"},
    {"name", "title"},
    {"image", "photo"},
    {"picture", "photo"},
    {"color", "colour"},
    {"wall_color", "wall_colour"},
    {"w", "width"},
    {"h", "height"},
    {"position", "at"},
    {"quantity", "count"},
    {"number", "count"},
    {"angle", "cord_angle"},
    {"type", "kind"},
    {"rating", "rated_kg"},
    {"rating_kg", "rated_kg"},
    {"max_kg", "rated_kg"},
    {"load_kg", "rated_kg"},
    {"fixings", "fixing"},
    {"wall_type", "wall"},
    {"wall_kind", "wall"},
    {"diameter", "outer_mm"},
    {"thickness", "wall_mm"},
    {"gsm", "grams_per_m2"},
    {"spacing", "gap"},
    {"height", "wall_height"},
    {"safety_factor", "design_factor"},
    {"version", "backcloth"},
};

static const char *known(const plan_table *table, const char *key) {
  for (size_t i = 0; i < table->count; i++)
    if (strcmp(table->fields[i].key, key) == 0) return table->fields[i].key;
  return NULL;
}

const char *plan_nearest_key(const plan_table *table, const char *key) {
  for (size_t i = 0; i < sizeof also_said / sizeof *also_said; i++)
    if (strcmp(key, also_said[i].said) == 0 && known(table, also_said[i].meant)) return also_said[i].meant;
  const char *best = NULL;
  /* A third of the letters may differ, at least one: "hieght", "tilte", but not "gap" for "at". */
  int nearest = (int)strlen(key) / 3;
  if (nearest < 1) nearest = 1;
  if (nearest > 4) nearest = 4;
  for (size_t i = 0; i < table->count; i++) {
    const int here = distance(key, table->fields[i].key);
    if (here <= nearest && here < (int)strlen(key) && (!best || here < nearest)) {
      best = table->fields[i].key;
      nearest = here;
    }
  }
  return best;
}
