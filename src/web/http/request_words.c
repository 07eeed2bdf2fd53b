/* SPDX-License-Identifier: MIT */
/* The server's own sentences in the language of each request. gettext's choice is the whole process's, so the
 * catalogues are read here, one per language. Source: GNU gettext manual, "The Format of GNU MO Files". */
#include "request_words.h"

#include "web/bundle/bundle.h"
#include <backcloth/file.h>
#include <libintl.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#define CATALOGUE_MOST ((uint64_t)16 << 20)

static const web_language languages[] = {
    {"en", "English", false}, {"es", "Español", false}, {"fr", "Français", false},
    {"hi", "हिन्दी", false},   {"ar", "العربية", true},
};
enum { language_count = sizeof languages / sizeof *languages };

static struct catalogue {
  uint8_t *bytes;
  size_t size;
  uint32_t count, originals, translations;
  char *page; /* what web_words_for_page gave first */
} catalogues[language_count];

const web_language *web_languages(size_t *count) {
  *count = language_count;
  return languages;
}

static uint32_t number_at(const struct catalogue *c, size_t at) {
  uint32_t value = 0;
  if (at + 4 <= c->size) memcpy(&value, c->bytes + at, 4);
  return value;
}

/* The bytes are followed by a NUL (bc_file_read), so a text that starts inside ends inside. */
static const char *text_at(const struct catalogue *c, uint32_t table, uint32_t i, uint32_t *length) {
  const uint32_t at = number_at(c, table + 8 * (size_t)i + 4);
  *length = number_at(c, table + 8 * (size_t)i);
  if (at >= c->size || *length > c->size - at) *length = 0;
  return at < c->size ? (const char *)c->bytes + at : "";
}

static void load(struct catalogue *c, const char *code) {
  bc_context *context = NULL;
  char *path = bc_format("%s/%s/LC_MESSAGES/backcloth.mo", bindtextdomain("backcloth", NULL), code);
  if (path && bc_context_new(&context) == BC_OK &&
      bc_file_read(&c->bytes, &c->size, context, path, CATALOGUE_MOST) == BC_OK && number_at(c, 0) == 0x950412deu) {
    c->count = number_at(c, 8);
    c->originals = number_at(c, 12);
    c->translations = number_at(c, 16);
  }
  bc_context_free(context);
  free(path);
}

void web_words_load(void) {
  for (size_t i = 1; i < language_count; i++)
    if (!catalogues[i].bytes) load(&catalogues[i], languages[i].code);
}

void web_words_forget(void) {
  for (size_t i = 0; i < language_count; i++) free(catalogues[i].bytes), free(catalogues[i].page);
  memset(catalogues, 0, sizeof catalogues);
}

static struct catalogue *catalogue_of(const char *language) {
  for (size_t i = 0; i < language_count; i++)
    if (strcmp(languages[i].code, language) == 0) return &catalogues[i];
  return &catalogues[0];
}

const char *web_words_in(const char *language, const char *english) {
  const struct catalogue *c = catalogue_of(language);
  uint32_t low = 0, high = c->count, length; /* msgfmt sorts the originals */
  while (low < high) {
    const uint32_t middle = low + (high - low) / 2;
    const int order = strcmp(english, text_at(c, c->originals, middle, &length));
    if (order == 0) {
      const char *text = text_at(c, c->translations, middle, &length);
      return length ? text : english;
    }
    if (order < 0)
      high = middle;
    else
      low = middle + 1;
  }
  return english;
}

/* Plural forms lie one after another with NULs between. */
static json_t *forms(const char *text, uint32_t length) {
  json_t *list = json_array();
  for (uint32_t at = 0; at <= length; at += (uint32_t)strlen(text + at) + 1)
    json_array_append_new(list, json_string(text + at));
  return list;
}

/* The page needs the sentences of its own script, a fifth of the catalogue; in there they stand as they are, but for
 * those with a character that a script has to escape. */
static bool page_says(const char *english) {
  for (size_t i = 0; i < web_bundle_count; i++)
    if (strcmp(web_bundle[i].name, "main.js") == 0)
      return english[strcspn(english, "\"\\\n")] ||
             memmem(web_bundle[i].bytes, web_bundle[i].size, english, strlen(english));
  return true;
}

static json_t *words_of(const struct catalogue *c) {
  json_t *words = json_object();
  for (uint32_t i = 0; i < c->count; i++) {
    uint32_t english_length, length;
    const char *english = text_at(c, c->originals, i, &english_length), *text = text_at(c, c->translations, i, &length);
    if (!*english || !length || !page_says(english)) continue;
    const bool plural = strlen(english) < english_length;
    json_object_set_new(words, english, plural ? forms(text, length) : json_string(text));
  }
  return words;
}

char *web_words_for_page(const char *language) {
  static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
  struct catalogue *c = catalogue_of(language);
  pthread_mutex_lock(&lock);
  if (!c->page) {
    json_t *words = words_of(c);
    c->page = json_dumps(words, JSON_COMPACT);
    json_decref(words);
  }
  char *text = c->page ? bc_copy_text(c->page) : NULL;
  pthread_mutex_unlock(&lock);
  return text;
}

static const char *english_of(const char *said) {
  for (size_t language = 1; language < language_count; language++) {
    const struct catalogue *c = &catalogues[language];
    uint32_t length;
    for (uint32_t i = 0; i < c->count; i++)
      if (strcmp(text_at(c, c->translations, i, &length), said) == 0) return text_at(c, c->originals, i, &length);
  }
  return said;
}

const char *web_words_anew(const char *language, const char *said) {
  return *said ? web_words_in(language, english_of(said)) : said;
}
