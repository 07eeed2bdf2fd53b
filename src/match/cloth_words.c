/* SPDX-License-Identifier: MIT */
/* What shops and makers call cloth, besides the words that CSS knows. In: a word. Out: a CSS colour.
 * The colours are our choice: a middle of what is sold under each word. */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <ctype.h>
#include <string.h>

static const struct {
  const char *word, *css;
} words[] = {
    {"anthracite", "#383e42"}, {"aubergine", "#472c3f"},    {"bone", "#e3dac9"},    {"bottle green", "#1b4332"},
    {"burgundy", "#6d1a36"},   {"burlap", "#b39a74"},       {"calico", "#e4dac4"},  {"camel", "#b8915f"},
    {"charcoal", "#37383b"},   {"clay", "#b08468"},         {"cobalt", "#2a4b8d"},  {"cream", "#f3e9d2"},
    {"denim", "#3e5877"},      {"duck egg", "#c3d6d0"},     {"ecru", "#ddd0b3"},    {"emerald", "#1f7a55"},
    {"flax", "#d8c79e"},       {"forest green", "#22432f"}, {"heather", "#9a8a9c"}, {"hessian", "#b39a74"},
    {"jute", "#b39a74"},       {"madder", "#8c2f2b"},       {"moss", "#6a7248"},    {"mushroom", "#a89b8c"},
    {"mustard", "#c8961e"},    {"natural", "#e0d3b8"},      {"oatmeal", "#cfc3ab"}, {"ochre", "#c2913f"},
    {"off-white", "#f1efe9"},  {"petrol", "#1f4e5a"},       {"putty", "#c4b59d"},   {"racing green", "#1f3d2f"},
    {"royal blue", "#2f4fa0"}, {"rust", "#a4502c"},         {"sage", "#9aa58a"},    {"sand", "#d6c29a"},
    {"slate", "#566069"},      {"stone", "#b9b2a3"},        {"taupe", "#85786b"},   {"terracotta", "#b5654a"},
    {"unbleached", "#e2d6bc"}, {"wine", "#5e2131"}};

/* Words of CSS are written without spaces there: "dark green" is darkgreen. */
static bool is_word(const char *typed, const char *word) {
  while (*typed == ' ') typed++;
  for (; *typed || *word; typed++) {
    if (*typed == ' ' || *typed == '-') continue;
    while (*word == ' ' || *word == '-') word++;
    if (tolower((unsigned char)*typed) != *word) return false;
    if (!*typed) return true;
    word++;
  }
  return true;
}

const char *match_cloth_word(const char *word) {
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    if (is_word(word, words[i].word)) return words[i].css;
  for (size_t i = 0; bc_colour_css_word(i); i++)
    if (is_word(word, bc_colour_css_word(i))) return bc_colour_css_word(i);
  return NULL;
}

/* Letters to be put in, left out or changed (Levenshtein 1966), whatever the case. */
static size_t letters_apart(const char *first, const char *second) {
  enum { most = 32 };
  const size_t n = strlen(first), m = strlen(second);
  size_t row[most + 1];
  if (n > most || m > most) return most;
  for (size_t j = 0; j <= m; j++) row[j] = j;
  for (size_t i = 1; i <= n; i++) {
    size_t diagonal = row[0]++;
    for (size_t j = 1; j <= m; j++) {
      const size_t changed = diagonal + (tolower((unsigned char)first[i - 1]) != second[j - 1]);
      const size_t other = (row[j] < row[j - 1] ? row[j] : row[j - 1]) + 1;
      diagonal = row[j];
      row[j] = changed < other ? changed : other;
    }
  }
  return row[m];
}

/* By place: those of shops, then those of CSS. */
static const char *known_word(size_t i) {
  const size_t own = sizeof words / sizeof *words;
  return i < own ? words[i].word : bc_colour_css_word(i - own);
}

const char *match_cloth_nearest_word(const char *typed) {
  const char *nearest = NULL, *last = strrchr(typed, ' ');
  size_t least = strlen(typed) / 3 + 1;
  for (size_t i = 0; known_word(i); i++) {
    const size_t apart = last && is_word(last, known_word(i)) ? 0 : letters_apart(typed, known_word(i));
    if (apart >= least) continue;
    least = apart;
    nearest = known_word(i);
  }
  return nearest;
}
