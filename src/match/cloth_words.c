/* SPDX-License-Identifier: MIT */
/* What shops and makers call cloth, besides the words that CSS knows. In: a word. Out: a CSS colour.
 * The colours are our choice: a middle of what is sold under each word. */
#include "match_internal.h"

#include <string.h>
#include <strings.h>

static const struct {
  const char *word, *css;
} words[] = {{"anthracite", "#383e42"}, {"aubergine", "#472c3f"}, {"bone", "#e3dac9"},     {"bottle green", "#1b4332"},
             {"burgundy", "#6d1a36"},   {"camel", "#b8915f"},     {"charcoal", "#37383b"}, {"cream", "#f3e9d2"},
             {"duck egg", "#c3d6d0"},   {"ecru", "#ddd0b3"},      {"flax", "#d8c79e"},     {"forest green", "#22432f"},
             {"mustard", "#c8961e"},    {"natural", "#e0d3b8"},   {"oatmeal", "#cfc3ab"},  {"ochre", "#c2913f"},
             {"off-white", "#f1efe9"},  {"petrol", "#1f4e5a"},    {"rust", "#a4502c"},     {"sage", "#9aa58a"},
             {"sand", "#d6c29a"},       {"slate", "#566069"},     {"stone", "#b9b2a3"},    {"taupe", "#85786b"},
             {"terracotta", "#b5654a"}, {"wine", "#5e2131"}};

const char *match_cloth_word(const char *word) {
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    if (strcasecmp(words[i].word, word) == 0) return words[i].css;
  return NULL;
}
