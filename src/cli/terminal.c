/* SPDX-License-Identifier: MIT */
/* Words for a terminal. Columns are those of wcwidth(3), that is, of Unicode's East Asian Width and of marks that stand
 * over others (Unicode Standard Annex 11). */
#include "terminal.h"

#include <backcloth/program.h>

#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>
#include <wchar.h>

#define USUAL_COLUMNS 80
#define LEAST_COLUMNS 20 /* in fewer, words are left to the terminal */
#define HEX_COLOUR 7     /* letters of #1f2430 */

/* COLUMNS, else what the terminal says, else 80; 0 where there is none. */
static int columns_behind(FILE *stream) {
  struct winsize size = {0};
  if (!isatty(fileno(stream))) return 0;
  const char *given = getenv("COLUMNS");
  const long columns = given ? strtol(given, NULL, 10) : 0;
  if (columns > 0 && columns < 10000) return (int)columns;
  if (ioctl(fileno(stream), TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  return USUAL_COLUMNS;
}

bool terminal_colours(FILE *stream) {
  const char *none = getenv("NO_COLOR"), *kind = getenv("TERM");
  return !(none && *none) && kind && *kind && strcmp(kind, "dumb") != 0 && isatty(fileno(stream));
}

/* ---- letters ---- */

/* Of any locale: the words are UTF-8. */
static int columns_of_letter(const char *at, size_t length) {
  static locale_t utf8;
  wchar_t letter;
  mbstate_t state = {0};
  if (length < 2) return 1;
  if (!utf8) utf8 = newlocale(LC_CTYPE_MASK, "C.UTF-8", (locale_t)0);
  if (!utf8) return 1;
  const locale_t before = uselocale(utf8);
  const int columns = mbrtowc(&letter, at, length, &state) == length ? wcwidth(letter) : 1;
  uselocale(before);
  return columns < 0 ? 0 : columns;
}

static bool is_written(const char *at, size_t length) {
  return length && (*at == '\n' || *at == '\t' || !bc_is_control(at));
}

static size_t bytes_of(const char *at) {
  const size_t length = bc_utf8_length(at);
  return length ? length : 1;
}

static int columns_of(const char *at) {
  const size_t length = bc_utf8_length(at);
  return is_written(at, length) ? columns_of_letter(at, length) : 4;
}

static void put_letter(FILE *stream, const char *at) {
  const size_t length = bc_utf8_length(at);
  if (is_written(at, length))
    fwrite(at, 1, length, stream);
  else
    fprintf(stream, "\\x%02x", (unsigned char)at[length ? length - 1 : 0]);
}

/* ---- colours ---- */

typedef struct page {
  FILE *stream;
  int columns; /* 0: not wrapped */
  bool colours;
  int column; /* where the next letter goes */
  int indent; /* of what is wrapped */
} page;

/* "#1f2430" that is no part of a longer word: its three parts in `rgb`. */
static bool is_colour(const char *at, unsigned *rgb) {
  if (at[0] != '#' || strspn(at + 1, "0123456789abcdefABCDEF") != HEX_COLOUR - 1) return false;
  *rgb = (unsigned)strtoul(at + 1, NULL, 16);
  return true;
}

/* It is to be typed, as in --cloth '#1f2430'. */
static bool is_quoted(const char *word, const char *at) {
  return at > word && at[-1] == '\'';
}

static void put_swatch(page *p, unsigned rgb) {
  fprintf(p->stream, "\033[48;2;%u;%u;%um  \033[0m ", rgb >> 16, rgb >> 8 & 255, rgb & 255);
}

/* ---- lines ---- */

/* Where the last column of a line begins: after its last two spaces or more in the first two thirds of the page, else
 * after what it is indented by and a "- " or "2. ". */
static int indent_of(const char *line, int columns) {
  int column = 0, indent = 0, spaces = 2; /* a line's beginning is like one */
  const size_t lead = strspn(line, " ");
  for (const char *at = line; *at && *at != '\n' && column <= columns * 2 / 3; at += bytes_of(at)) {
    if (*at != ' ' && spaces >= 2 && column > (int)lead) indent = column;
    spaces = *at == ' ' ? spaces + 1 : 0;
    column += columns_of(at);
  }
  if (indent) return indent;
  const char *mark = line + lead;
  const size_t digits = strspn(mark, "0123456789");
  if (digits && digits < 4 && strncmp(mark + digits, ". ", 2) == 0) return (int)(lead + digits + 2);
  return (int)lead + (strncmp(mark, "- ", 2) == 0 ? 2 : 0);
}

static int columns_of_word(const page *p, const char *word) {
  int columns = 0;
  unsigned rgb;
  for (const char *at = word; *at && *at != ' ' && *at != '\n'; at += bytes_of(at))
    columns += columns_of(at) + (p->colours && is_colour(at, &rgb) && !is_quoted(word, at) ? 3 : 0);
  return columns;
}

static void next_line(page *p) {
  fprintf(p->stream, "\n%*s", p->indent, "");
  p->column = p->indent;
}

static const char *put_word(page *p, const char *at) {
  const char *word = at;
  unsigned rgb;
  while (*at && *at != ' ' && *at != '\n') {
    if (p->colours && is_colour(at, &rgb) && !is_quoted(word, at)) {
      put_swatch(p, rgb);
      p->column += 3;
    }
    put_letter(p->stream, at);
    p->column += columns_of(at);
    at += bytes_of(at);
  }
  return at;
}

/* Spaces stay as they are unless the line ends there. */
static const char *put_spaces(page *p, const char *at) {
  const int spaces = (int)strspn(at, " ");
  const char *word = at + spaces;
  if (p->columns && p->column > p->indent && *word && *word != '\n' &&
      p->column + spaces + columns_of_word(p, word) > p->columns) {
    next_line(p);
    return word;
  }
  fprintf(p->stream, "%*s", spaces, "");
  p->column += spaces;
  return word;
}

void terminal_words(FILE *stream, const char *text, int column) {
  page p = {.stream = stream, .column = column, .columns = columns_behind(stream), .colours = terminal_colours(stream)};
  if (p.columns < LEAST_COLUMNS) p.columns = 0;
  while (*text) {
    if (p.column == 0 && p.columns) p.indent = indent_of(text, p.columns);
    text = *text == ' ' ? put_spaces(&p, text) : put_word(&p, text);
    if (*text != '\n') continue;
    fputc('\n', stream);
    p.column = 0;
    text++;
  }
}

void terminal_data(FILE *stream, const char *text, bool json) {
  const char *from = text, *at = text;
  while (*at) {
    const size_t length = bytes_of(at);
    if (bc_is_control(at) && !strchr("\n\r\t", *at)) {
      fwrite(from, 1, (size_t)(at - from), stream);
      fprintf(stream, json ? "\\u%04x" : "\\x%02x", (unsigned char)at[length - 1]);
      from = at + length;
    }
    at += length;
  }
  fwrite(from, 1, (size_t)(at - from), stream);
}
