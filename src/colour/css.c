/* SPDX-License-Identifier: MIT */
/* Reads a colour written as in W3C CSS Color Module Level 4, and says plainly what is wrong with one
 * that cannot be used. The meaning of the components is in css_spaces.c. No locale is consulted. */
#include "base/base.h"
#include "colour_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NAME_MOST 32   /* the longest name of CSS Color 4 has 20 letters */
#define QUOTE_MOST 60  /* bytes of the text that a sentence repeats */
#define TEXT_MOST 1000 /* no colour is longer; the quote would hide what is wrong anyway */

/* No cloth is outside; the widest space of CSS (prophoto-rgb) stays within 250 in a* and b*. */
#define LIGHTNESS_MOST 150.0
#define CHROMA_MOST 500.0

typedef enum trouble {
  FINE = 0,
  NOT_UNDERSTOOD, /* the sentence gives the function's own example */
  TRANSLUCENT,
  CALCULATED,
} trouble;

typedef enum value_kind { NUMBER, PERCENT, ANGLE, NONE } value_kind;
typedef struct value {
  value_kind kind;
  double amount; /* angles in degrees */
} value;

typedef struct reader {
  const char *at;
} reader;

/* --- letters: ASCII only, whatever the locale ----------------------------------------------------------- */
static bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}
static bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
static char lower(char c) {
  return c >= 'A' && c <= 'Z' ? (char)(c + ('a' - 'A')) : c;
}
static bool is_letter(char c) {
  return lower(c) >= 'a' && lower(c) <= 'z';
}

static void skip_blanks(reader *r) {
  for (;;) {
    while (is_blank(*r->at)) r->at++;
    const char *end = r->at[0] == '/' && r->at[1] == '*' ? strstr(r->at + 2, "*/") : NULL;
    if (!end) return;
    r->at = end + 2;
  }
}

/* A name in lower case; "" when there is none here or it is longer than any that has a meaning. */
static void read_name(reader *r, char name[NAME_MOST]) {
  size_t length = 0;
  const char *at = r->at;
  if (is_letter(*at) || *at == '-')
    while (is_letter(*at) || is_digit(*at) || *at == '-') {
      if (length + 1 < NAME_MOST) name[length] = lower(*at);
      length++;
      at++;
    }
  if (length + 1 > NAME_MOST) length = 0;
  name[length] = '\0';
  if (length > 0) r->at = at;
}

/* --- numbers --------------------------------------------------------------------------------------------- */
static bool number_starts(const char *at) {
  if (*at == '+' || *at == '-') at++;
  return is_digit(at[0]) || (at[0] == '.' && is_digit(at[1]));
}

/* [eE][+-]?digits, only when a digit is there: "1em" is a 1 and a unit. */
static int read_exponent(reader *r) {
  const char *at = r->at;
  if (lower(*at) != 'e') return 0;
  at++;
  const bool negative = *at == '-';
  if (*at == '+' || *at == '-') at++;
  if (!is_digit(*at)) return 0;
  int exponent = 0;
  for (; is_digit(*at); at++)
    if (exponent < 10000) exponent = exponent * 10 + (*at - '0');
  r->at = at;
  return negative ? -exponent : exponent;
}

/* The <number> of CSS Syntax 3: "5." is none, "+.5e-3" is one. Digits beyond 17 add nothing to a double. */
static bool read_number(reader *r, double *out) {
  if (!number_starts(r->at)) return false;
  const bool negative = *r->at == '-';
  if (*r->at == '+' || *r->at == '-') r->at++;
  double digits = 0;
  int significant = 0, scale = 0;
  bool fraction = false;
  for (;; r->at++) {
    if (*r->at == '.' && !fraction && is_digit(r->at[1])) {
      fraction = true;
      continue;
    }
    if (!is_digit(*r->at)) break;
    if (significant < 17) {
      digits = digits * 10 + (*r->at - '0');
      if (digits > 0) significant++;
      if (fraction) scale--;
    } else if (!fraction)
      scale++;
  }
  scale += read_exponent(r);
  /* Dividing by a power of ten that is exact rounds once; multiplying by 1e-n would round twice. */
  double amount = scale < 0 ? digits / pow(10, -scale) : digits * pow(10, scale);
  if (!isfinite(amount)) amount = digits > 0 && scale > 0 ? 1e300 : 0;
  *out = negative ? -amount : amount;
  return true;
}

static bool read_unit(reader *r, value *v) {
  static const struct {
    const char *name;
    double degrees;
  } units[] = {{"deg", 1}, {"grad", 0.9}, {"rad", 180 / M_PI}, {"turn", 360}};
  char name[NAME_MOST];
  read_name(r, name);
  for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
    if (strcmp(name, units[i].name) == 0) {
      v->kind = ANGLE;
      v->amount *= units[i].degrees;
      return true;
    }
  return false;
}

static trouble read_value(reader *r, value *v) {
  char name[NAME_MOST];
  *v = (value){NONE, 0};
  if (!number_starts(r->at)) {
    read_name(r, name);
    if (strcmp(name, "none") == 0 && *r->at != '(') return FINE;
    return *r->at == '(' && name[0] ? CALCULATED : NOT_UNDERSTOOD;
  }
  v->kind = NUMBER;
  (void)read_number(r, &v->amount);
  if (*r->at == '%') {
    v->kind = PERCENT;
    r->at++;
    return FINE;
  }
  return is_letter(*r->at) && !read_unit(r, v) ? NOT_UNDERSTOOD : FINE;
}

/* --- functions ------------------------------------------------------------------------------------------- */
/* Three components and perhaps an alpha, up to and with the closing bracket. */
typedef struct arguments {
  value component[3];
  value alpha;
  bool has_alpha, commas;
} arguments;

static trouble read_arguments(reader *r, arguments *out) {
  *out = (arguments){0};
  for (int i = 0; i < 3; i++) {
    skip_blanks(r);
    if (i > 0 && (i == 1 || out->commas) && *r->at == ',') {
      out->commas = true;
      r->at++;
      skip_blanks(r);
    } else if (i > 0 && out->commas)
      return NOT_UNDERSTOOD;
    const trouble t = read_value(r, &out->component[i]);
    if (t) return t;
  }
  skip_blanks(r);
  if (*r->at == (out->commas ? ',' : '/')) {
    r->at++;
    skip_blanks(r);
    out->has_alpha = true;
    const trouble t = read_value(r, &out->alpha);
    if (t) return t;
    skip_blanks(r);
  }
  if (*r->at != ')') return NOT_UNDERSTOOD;
  r->at++;
  return FINE;
}

/* The comma syntax knows no `none`, mixes no numbers and percentages, and wants percentages in hsl(). */
static bool legacy_is_sound(const colour_css_space *space, const arguments *args) {
  if (!space->legacy) return false;
  const bool has_hue = space->percent_is[0] == 0;
  for (int i = 0; i < 3; i++) {
    const value_kind kind = args->component[i].kind;
    if (kind == NONE) return false;
    if (has_hue && i > 0 && kind != PERCENT) return false;
    if (!has_hue && kind != args->component[0].kind) return false;
  }
  return !(args->has_alpha && args->alpha.kind == NONE);
}

static trouble take_components(const colour_css_space *space, const arguments *args, double component[3]) {
  if (args->commas && !legacy_is_sound(space, args)) return NOT_UNDERSTOOD;
  for (int i = 0; i < 3; i++) {
    const value v = args->component[i];
    const bool angle = space->percent_is[i] == 0;
    if ((v.kind == PERCENT && angle) || (v.kind == ANGLE && !angle)) return NOT_UNDERSTOOD;
    component[i] = v.kind == PERCENT ? v.amount / 100 * space->percent_is[i] : v.amount;
  }
  if (!args->has_alpha) return FINE;
  if (args->alpha.kind == ANGLE) return NOT_UNDERSTOOD;
  const double alpha = args->alpha.kind == PERCENT ? args->alpha.amount / 100 : args->alpha.amount;
  return alpha >= 1 ? FINE : TRANSLUCENT; /* above 1 counts as 1; `none` as 0 */
}

/* --- hex ---------------------------------------------------------------------------------------------------- */
static int hex_digit(char c) {
  if (is_digit(c)) return c - '0';
  const char l = lower(c);
  return l >= 'a' && l <= 'f' ? l - 'a' + 10 : -1;
}

static bc_colour from_codes(int red, int green, int blue) {
  const double rgb[3] = {red, green, blue};
  return colour_css_function("rgb")->convert(rgb);
}

static trouble read_hex(reader *r, bc_colour *out) {
  int digit[8], count = 0;
  for (; hex_digit(*r->at) >= 0; r->at++, count++)
    if (count < 8) digit[count] = hex_digit(*r->at);
  int channel[4] = {0, 0, 0, 255};
  if (count == 3 || count == 4)
    for (int i = 0; i < count; i++) channel[i] = digit[i] * 17;
  else if (count == 6 || count == 8)
    for (ptrdiff_t i = 0; i < count / 2; i++) channel[i] = digit[2 * i] * 16 + digit[2 * i + 1];
  else
    return NOT_UNDERSTOOD;
  *out = from_codes(channel[0], channel[1], channel[2]);
  return channel[3] == 255 ? FINE : TRANSLUCENT;
}

/* --- the whole ------------------------------------------------------------------------------------------------ */
static trouble read_function(reader *r, const colour_css_space **space, bc_colour *out) {
  skip_blanks(r);
  if (!*space) { /* color(): its first word is the space */
    char name[NAME_MOST];
    read_name(r, name);
    if (strcmp(name, "from") == 0) return CALCULATED;
    *space = colour_css_color_space(name);
    if (!*space) return NOT_UNDERSTOOD;
  } else if (strncmp(r->at, "from", 4) == 0 && is_blank(r->at[4]))
    return CALCULATED;
  arguments args;
  double component[3];
  trouble t = read_arguments(r, &args);
  if (!t) t = take_components(*space, &args, component);
  if (t == FINE) *out = (*space)->convert(component);
  return t;
}

static bool is_calculated(const char *name) {
  static const char *const names[] = {"calc",        "var",   "env",       "min",        "max",
                                      "clamp",       "attr",  "color-mix", "light-dark", "contrast-color",
                                      "device-cmyk", "alpha", "if"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
    if (strcmp(name, names[i]) == 0) return true;
  return false;
}

/* Names that take their colour from the page or the screen they stand on. */
static bool depends_on_page(const char *name) {
  static const char *const names[] = {
      "currentcolor", "accentcolor", "accentcolortext", "activetext",       "buttonborder",
      "buttonface",   "buttontext",  "canvas",          "canvastext",       "field",
      "fieldtext",    "graytext",    "highlight",       "highlighttext",    "linktext",
      "mark",         "marktext",    "selecteditem",    "selecteditemtext", "visitedtext",
      "inherit",      "initial",     "unset",           "revert",           "revert-layer"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
    if (strcmp(name, names[i]) == 0) return true;
  return false;
}

static trouble read_named(const char *name, bc_colour *out) {
  if (strcmp(name, "transparent") == 0) return TRANSLUCENT;
  if (depends_on_page(name)) return CALCULATED;
  const long rgb = colour_css_named(name);
  if (rgb < 0) return NOT_UNDERSTOOD;
  *out = from_codes((int)(rgb >> 16), (int)(rgb >> 8 & 255), (int)(rgb & 255));
  return FINE;
}

static trouble read_colour(const char *text, bc_colour *out, const char **example) {
  reader r = {text};
  skip_blanks(&r);
  trouble t;
  if (*r.at == '#') {
    r.at++;
    *example = "#1f2430";
    t = read_hex(&r, out);
  } else {
    char name[NAME_MOST];
    read_name(&r, name);
    if (*r.at == '(') {
      const colour_css_space *space = colour_css_function(name);
      if (!space && strcmp(name, "color") != 0) return is_calculated(name) ? CALCULATED : NOT_UNDERSTOOD;
      r.at++;
      *example = "color(display-p3 0.12 0.14 0.19)";
      t = read_function(&r, &space, out);
      if (space) *example = space->example;
    } else
      t = read_named(name, out);
  }
  if (t) return t;
  skip_blanks(&r);
  return *r.at == '\0' ? FINE : NOT_UNDERSTOOD;
}

/* Bytes of the UTF-8 character here, 0 when it is none. */
static size_t utf8_length(const char *text) {
  const unsigned char c = (unsigned char)text[0];
  const size_t length = c < 0x80                ? 1
                        : c >= 0xC2 && c < 0xE0 ? 2
                        : c >= 0xE0 && c < 0xF0 ? 3
                        : c >= 0xF0 && c < 0xF5 ? 4
                                                : 0;
  for (size_t i = 1; i < length; i++)
    if (((unsigned char)text[i] & 0xC0) != 0x80) return 0;
  return length;
}

/* The text as a sentence may repeat it: short, whole UTF-8 characters, no control characters. */
static void quote(const char *text, char out[QUOTE_MOST + 8]) {
  while (is_blank(*text)) text++;
  size_t at = 0;
  while (*text && at + 4 <= QUOTE_MOST) {
    const size_t length = utf8_length(text);
    const unsigned char c = (unsigned char)*text;
    if (length <= 1)
      out[at++] = length == 0 ? '?' : c < 0x20 || c == 0x7f ? ' ' : *text;
    else {
      memcpy(out + at, text, length);
      at += length;
    }
    text += length > 0 ? length : 1;
  }
  snprintf(out + at, 8, "%s", *text ? "…" : "");
}

static bool is_absurd(const bc_colour *c) {
  return !(fabs(c->lab.L - 50) <= LIGHTNESS_MOST - 50 && fabs(c->lab.a) <= CHROMA_MOST &&
           fabs(c->lab.b) <= CHROMA_MOST && isfinite(c->luminance));
}

static bc_status explain(bc_context *context, trouble t, const char *text, const char *example) {
  char quoted[QUOTE_MOST + 8];
  quote(text, quoted);
  if (t == TRANSLUCENT)
    return bc_fail(
        context, BC_BAD_DATA,
        _("The colour “%s” is see-through, but a cloth is not. Leave out the part that makes it see-through."), quoted);
  if (t == CALCULATED)
    return bc_fail(context, BC_BAD_DATA,
                   _("The colour “%s” depends on a calculation or on a web page. Write the colour itself, for example "
                     "%s."),
                   quoted, "#1f2430");
  if (example)
    return bc_fail(context, BC_BAD_DATA, _("The colour “%s” is not written as it should be. Write it like this: %s."),
                   quoted, example);
  return bc_fail(context, BC_BAD_DATA,
                 _("“%s” is not a colour we know. Write a colour name such as navy, or a colour such as #1f2430 or "
                   "lab(30%% 10 -20)."),
                 quoted);
}

bc_status bc_colour_parse_css(bc_colour *out, bc_context *context, const char *text) {
  bc_colour colour = {0};
  const char *example = NULL;
  if (!text || text[strspn(text, " \t\r\n\f")] == '\0')
    return bc_fail(context, BC_BAD_DATA,
                   _("A colour is missing. Write for example navy, #1f2430 or lab(30%% 10 -20)."));
  const trouble t = strnlen(text, TEXT_MOST + 1) > TEXT_MOST ? NOT_UNDERSTOOD : read_colour(text, &colour, &example);
  if (t) return explain(context, t, text, example);
  if (is_absurd(&colour)) {
    char quoted[QUOTE_MOST + 8];
    quote(text, quoted);
    return bc_fail(context, BC_BAD_DATA,
                   _("The colour “%s” is far beyond any that a cloth can have. Check its numbers."), quoted);
  }
  *out = colour;
  return BC_OK;
}
