/* SPDX-License-Identifier: MIT */
/* Chooses the language of all sentences. gettext's choice is the whole process's: a server that answers
 * in several languages does it in a process each. How figures in sentences
 * follow it: sentences.c. */
#include "language.h"
#include "base.h"

#include <libintl.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define DOMAIN "backcloth"

enum { DECIMAL_MARK = 8 };

extern int _nl_msg_cat_cntr;

/* A program called locale lies in /usr/bin, beside an installed one of ours. */
static bool is_folder(const char *path) {
  struct stat about;
  return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}

/* The folder, given from the program's own folder, if it is there; an absolute one stands for itself. */
static bool folder_from_program(char *out, size_t size, const char *way) {
  if (way[0] == '/') return (size_t)snprintf(out, size, "%s", way) < size && is_folder(out);
  const ssize_t length = readlink("/proc/self/exe", out, size - 1);
  if (length <= 0) return false;
  out[length] = '\0';
  char *slash = strrchr(out, '/');
  if (!slash) return false;
  const size_t room = size - (size_t)(slash + 1 - out);
  return (size_t)snprintf(slash + 1, room, "%s", way) < room && is_folder(out);
}

void bc_language_start(const char *installed) {
  char folder[4096];
  setlocale(LC_MESSAGES, "");
  setlocale(LC_CTYPE, "");
  /* gettext translates nothing in the locale "C", whatever LANGUAGE says; C.UTF-8 has the same rules and is
   * on every Debian. */
  const char *messages = setlocale(LC_MESSAGES, NULL);
  if (getenv("LANGUAGE") && (!messages || strcmp(messages, "C") == 0 || strcmp(messages, "POSIX") == 0))
    setlocale(LC_MESSAGES, "C.UTF-8");
  if (folder_from_program(folder, sizeof folder, "locale") || folder_from_program(folder, sizeof folder, installed))
    bindtextdomain(DOMAIN, folder);
  bind_textdomain_codeset(DOMAIN, "UTF-8");
}

/* "es", "pt_BR": letters, then perhaps a region. Anything else might be a path. */
static bool is_language_code(const char *code) {
  const size_t letters = strspn(code, "abcdefghijklmnopqrstuvwxyz");
  if (letters < 2 || letters > 3) return false;
  const char *rest = code + letters;
  return !*rest || (*rest == '_' && strspn(rest + 1, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == 2 && !rest[3]);
}

static bool has_catalogue(const char *code) {
  char *file = bc_format("%s/%s/LC_MESSAGES/" DOMAIN ".mo", bindtextdomain(DOMAIN, NULL), code);
  const bool there = file && access(file, R_OK) == 0;
  free(file);
  return there;
}

bool bc_language_use(const char *code) {
  if (!is_language_code(code)) return false;
  if (strcmp(code, "en") != 0 && !has_catalogue(code)) return false;
  setenv("LANGUAGE", code, 1);
  setlocale(LC_MESSAGES, "C.UTF-8");
  ++_nl_msg_cat_cntr; /* gettext manual, "Being a gettext grok": makes it forget what it looked up before */
  return true;
}

void base_catalogue_mark(char out[BC_CATALOGUE_MARK]) {
  /* TRANSLATORS: the two-letter code of your language, for example es. */
  const char *code = _("en"), *folder = bindtextdomain(DOMAIN, NULL);
  char *file = bc_format("%s/%s/LC_MESSAGES/" DOMAIN ".mo", folder ? folder : "", code);
  struct stat about = {0};
  if (file && strcmp(code, "en") != 0) (void)stat(file, &about);
  snprintf(out, BC_CATALOGUE_MARK, "%.8s %lld %lld %ld %llu", code, (long long)about.st_size,
           (long long)about.st_mtim.tv_sec, about.st_mtim.tv_nsec, (unsigned long long)about.st_ino);
  free(file);
}

void bc_decimal_mark(char mark[DECIMAL_MARK]) {
  /* TRANSLATORS: one half as a decimal number, in Latin digits, as your language writes it: "0.5" or "0,5". */
  const char *const half = _("0.5");
  const char *const digit = strchr(half, '0'), *const last = strchr(half, '5');
  const size_t length = digit && last > digit + 1 ? (size_t)(last - digit - 1) : 0;
  snprintf(mark, DECIMAL_MARK, "%.*s", length && length < DECIMAL_MARK ? (int)length : 1, length ? digit + 1 : ".");
}

bool bc_language_right_to_left(void) {
  /* TRANSLATORS: "rtl" when your script runs from right to left, else "ltr". */
  return strcmp(_("ltr"), "rtl") == 0;
}
