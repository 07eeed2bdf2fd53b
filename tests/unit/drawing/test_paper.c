/* SPDX-License-Identifier: MIT */
/* The elevation on every paper: true scale on one sheet and over several, words that can be found and do not
 * meet, the same bytes every time, nothing left out. Measured by poppler-utils (pdftoppm, pdftotext, pdfinfo). */
#include "drawing/wall/elevation.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static bc_context *context;
static char folder[] = "/tmp/backcloth-paper-XXXXXX";

static int set_up(void **state) {
  (void)state;
  return bc_context_new(&context) == BC_OK && mkdtemp(folder) ? 0 : -1;
}
static int tear_down(void **state) {
  (void)state;
  char command[128];
  snprintf(command, sizeof command, "rm -rf %s", folder);
  bc_context_free(context);
  return system(command);
}

static bc_status draw(const char *text, const char *name, bc_elevation_options how, char path[256]) {
  bc_plan *plan = NULL;
  snprintf(path, 256, "%s/%s", folder, name);
  if (bc_plan_parse(&plan, context, text, strlen(text), "plan.json", NULL) != BC_OK)
    fail_msg("%s", bc_context_message(context));
  const bc_status status = bc_drawing_elevation(context, plan, NULL, NULL, &how, path);
  bc_plan_free(plan);
  return status;
}

static char *run(const char *format, const char *path) {
  char command[512];
  snprintf(command, sizeof command, format, path);
  FILE *const pipe = popen(command, "r");
  assert_non_null(pipe);
  bc_buffer out = {0};
  char bytes[4096];
  for (size_t got; (got = fread(bytes, 1, sizeof bytes, pipe)) > 0;) bc_buffer_add_bytes(&out, bytes, got);
  assert_int_equal(pclose(pipe), 0);
  assert_non_null(out.text);
  return out.text;
}

static const char *const simple =
    "{\"backcloth\":1,\"title\":\"Scale\",\"stand\":{\"width\":300,\"wall_height\":240,\"wall_colour\":\"#ffffff\"},"
    "\"pieces\":[{\"id\":\"a\",\"title\":\"Panel\",\"width\":100,\"height\":50,\"weight_g\":500,\"at\":[75,150]}]}";

/* ---- true scale ---- */

enum { DOTS_PER_INCH = 150 }; /* a dot is 0.17 mm: within the 0.2 mm that a line may be off */

/* Whether two straight dark lines down the page, longer than `least` mm, are `apart` mm from each other. */
static bool lines_apart(const char *pgm, double least, double apart) {
  FILE *const stream = fopen(pgm, "rb");
  assert_non_null(stream);
  int width = 0, height = 0, most = 0, count = 0;
  assert_int_equal(fscanf(stream, "P5 %d %d %d", &width, &height, &most), 3);
  fgetc(stream);
  uint8_t *const pixels = malloc((size_t)width * (size_t)height);
  assert_int_equal(fread(pixels, 1, (size_t)width * (size_t)height, stream), (size_t)width * (size_t)height);
  fclose(stream);
  const double per_mm = DOTS_PER_INCH / 25.4;
  double columns[4000];
  for (int x = 0; x < width && count < 4000; x++) {
    int length = 0, longest = 0;
    for (int y = 0; y < height; y++) {
      length = pixels[(size_t)y * (size_t)width + (size_t)x] < 90 ? length + 1 : 0;
      if (length > longest) longest = length;
    }
    if (longest > least * per_mm) columns[count++] = x / per_mm;
  }
  free(pixels);
  bool found = false;
  for (int i = 0; i < count; i++)
    for (int k = i + 1; k < count; k++) found = found || fabs(columns[k] - columns[i] - apart) <= 0.2;
  return found;
}

/* The page as dots, in `pgm`. */
static void page_as_dots(char pgm[256], const char *pdf, int page) {
  char command[600];
  snprintf(command, sizeof command, "pdftoppm -r %d -gray -singlefile -f %d %s %s/page", DOTS_PER_INCH, page, pdf,
           folder);
  assert_int_equal(system(command), 0);
  snprintf(pgm, 256, "%s/page.pgm", folder);
}

/* ISO 216 and the ANSI sheets of the same use (ANSI Y14.1: A 8.5 x 11 in, B 11 x 17 in), landscape. */
static const struct {
  bc_sheet sheet;
  double width, height;
} papers[] = {{BC_SHEET_A4, 297, 210},
              {BC_SHEET_A3, 420, 297},
              {BC_SHEET_LETTER, 11 * 25.4, 8.5 * 25.4},
              {BC_SHEET_TABLOID, 17 * 25.4, 11 * 25.4}};

static void every_paper_is_to_scale(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++) {
    bc_elevation_options how = bc_elevation_options_default();
    how.sheet = papers[i].sheet;
    how.scale = 20;
    char path[256];
    assert_int_equal(draw(simple, "paper.pdf", how, path), BC_OK);
    char *const info = run("pdfinfo %s", path);
    double width = 0, height = 0;
    assert_int_equal(sscanf(strstr(info, "Page size:"), "Page size: %lf x %lf", &width, &height), 2);
    assert_true(fabs(width / 72 * 25.4 - papers[i].width) < 0.2 && fabs(height / 72 * 25.4 - papers[i].height) < 0.2);
    free(info);
    char dots[256];
    page_as_dots(dots, path, 1);
    assert_true(lines_apart(dots, 100, 150)); /* the wall's sides: 300 cm at 1:20 */
    assert_true(lines_apart(dots, 20, 50));   /* the panel's: 100 cm */
  }
}

/* In an SVG the unit is the millimetre: the panel's outline is a path of 50 x 25 of them. */
static void every_svg_is_to_scale(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++) {
    bc_elevation_options how = bc_elevation_options_default();
    how.sheet = papers[i].sheet;
    how.scale = 50;
    char path[256];
    assert_int_equal(draw(simple, "paper.svg", how, path), BC_OK);
    char *const svg = run("cat %s", path);
    double width = 0, height = 0, left, top, box_width = 0, box_height = 0;
    assert_int_equal(sscanf(strstr(svg, "width=\""), "width=\"%lfmm\" height=\"%lfmm\"", &width, &height), 2);
    assert_int_equal(
        sscanf(strstr(svg, "viewBox=\""), "viewBox=\"%lf %lf %lf %lf\"", &left, &top, &box_width, &box_height), 4);
    assert_true(fabs(width - papers[i].width) < 0.2 && fabs(height - papers[i].height) < 0.2);
    assert_true(fabs(box_width - width) < 0.01 && fabs(box_height - height) < 0.01);
    bool panel = false;
    for (const char *d = svg; (d = strstr(d, " d=\"M ")); d++) {
      double x[4], y[4];
      if (sscanf(d, " d=\"M %lf %lf L %lf %lf L %lf %lf L %lf %lf Z", &x[0], &y[0], &x[1], &y[1], &x[2], &y[2], &x[3],
                 &y[3]) == 8)
        panel = panel || (fabs(fabs(x[2] - x[0]) - 20) <= 0.2 && fabs(fabs(y[2] - y[0]) - 10) <= 0.2);
    }
    assert_true(panel);
    free(svg);
  }
}

/* Five panels, so that some lie whole on one tile wherever the sheets are cut. */
static const char *const five =
    "{\"backcloth\":1,\"title\":\"Scale\",\"stand\":{\"width\":300,\"wall_height\":240,\"wall_colour\":\"#ffffff\"},"
    "\"pieces\":[{\"id\":\"a\",\"width\":40,\"height\":50,\"at\":[30,150]},{\"id\":\"b\",\"width\":40,\"height\":50,"
    "\"at\":["
    "80,150]},{\"id\":\"c\",\"width\":40,\"height\":50,\"at\":[140,150]},{\"id\":\"d\",\"width\":40,\"height\":50,"
    "\"at\":[200,"
    "150]},{\"id\":\"e\",\"width\":40,\"height\":50,\"at\":[260,150]}]}";

static void tiles_are_to_scale(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i += 2) { /* A4 and Letter */
    bc_elevation_options how = bc_elevation_options_default();
    bc_notes told = {0};
    how.sheet = papers[i].sheet;
    how.scale = 10;
    how.told = &told;
    char path[256], last[64];
    assert_int_equal(draw(five, "tiles.pdf", how, path), BC_OK);
    char *const info = run("pdfinfo %s", path), *const words = run("pdftotext %s -", path);
    int pages = 0;
    assert_int_equal(sscanf(strstr(info, "Pages:"), "Pages: %d", &pages), 1);
    assert_in_range(pages, 3, 31);
    snprintf(last, sizeof last, "Sheet %d of %d", pages, pages);
    assert_non_null(strstr(words, last));
    snprintf(last, sizeof last, "%d sheets", pages);
    assert_true(told.count >= 1 && strstr(told.text[0], last) && strstr(told.text[0], "1:10"));
    bool whole = false;
    for (int page = 2; page <= pages && !whole; page++) {
      char dots[256];
      page_as_dots(dots, path, page);
      whole = lines_apart(dots, 30, 40); /* a panel: 40 cm */
    }
    assert_true(whole);
    free(info);
    free(words);
    bc_notes_clear(&told);
    /* What cannot have several sheets says so. */
    assert_int_equal(draw(five, "tiles.svg", how, path), BC_BAD_USAGE);
    assert_non_null(strstr(bc_context_message(context), ".pdf"));
  }
}

/* ---- words ---- */

/* Titles in scripts that need shaping, other fonts, or run from the right. */
static const char *const titles[] = {"سلة من الخوص", "ताँबे का दीया", "የሸክላ ድስት", "竹编篮子", "Плетёная корзина"};
#define TITLES (sizeof titles / sizeof titles[0])

static char *plan_of_titles(void) {
  bc_buffer out = {0};
  bc_buffer_add(&out, "{\"backcloth\":1,\"title\":\"%s\",\"stand\":{\"width\":300,\"wall_height\":240},\"pieces\":[",
                titles[3]);
  for (size_t i = 0; i < TITLES; i++)
    bc_buffer_add(&out, "%s{\"id\":\"p%zu\",\"title\":\"%s\",\"width\":40,\"height\":30,\"at\":[%zu,150]}",
                  i ? "," : "", i, titles[i], 30 + 60 * i);
  bc_buffer_add(&out, "]}");
  return out.text;
}

static void titles_of_any_script_are_found(void **state) {
  (void)state;
  for (size_t i = 0; i < TITLES; i++) assert_int_equal(drawing_text_unknown(titles[i]), 0);
  assert_true(drawing_text_unknown("\U000F0000") > 0); /* a private letter that no font has: the count can count */
  char *const plan = plan_of_titles(), path[256];
  assert_int_equal(draw(plan, "titles.pdf", bc_elevation_options_default(), path), BC_OK);
  char *words = run("pdftotext %s -", path);
  for (size_t i = 0; i < TITLES; i++)
    if (!strstr(words, titles[i])) fail_msg("%s is not found in the PDF: %s", titles[i], words);
  free(words);
  assert_int_equal(draw(plan, "titles.svg", bc_elevation_options_default(), path), BC_OK);
  words = run("xmllint --xpath \"//*[local-name()='text']/text()\" %s", path); /* and it is well-formed */
  for (size_t i = 0; i < TITLES; i++)
    if (!strstr(words, titles[i])) fail_msg("%s is not found in the SVG", titles[i]);
  free(words);
  free(plan);
}

static void unshowable_letters_are_told(void **state) {
  (void)state;
  bc_notes told = {0};
  bc_elevation_options how = bc_elevation_options_default();
  how.told = &told;
  char path[256];
  assert_int_equal(draw("{\"backcloth\":1,\"title\":\"\U000F0000\",\"stand\":{\"width\":300,\"wall_height\":240}}",
                        "letters.pdf", how, path),
                   BC_OK);
  assert_int_equal(told.count, 2);
  assert_non_null(strstr(told.text[1], "font"));
  bc_notes_clear(&told);
}

static void same_plan_same_pdf(void **state) {
  (void)state;
  char one[256], two[256], command[600];
  assert_int_equal(draw(simple, "one.pdf", bc_elevation_options_default(), one), BC_OK);
  assert_int_equal(system("sleep 1.1"), 0); /* a clock's second would show */
  assert_int_equal(draw(simple, "two.pdf", bc_elevation_options_default(), two), BC_OK);
  snprintf(command, sizeof command, "cmp %s %s", one, two);
  assert_int_equal(system(command), 0);
}

/* ---- labels ---- */

typedef struct corner_box {
  double left, top, right, bottom;
  char words[80];
} corner_box;

/* The box of a line as it stands in the SVG: from a little above its x-height to its baseline. Ascenders and
 * descenders of neighbouring lines of one paragraph may share a band, capitals and baselines may not. */
static corner_box box_of(const char *element) {
  double m[6], x = 0, y = 0, size = 0, length = 0;
  corner_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY, ""};
  const char *const matrix = strstr(element, "matrix(");
  assert_int_equal(sscanf(matrix,
                          "matrix(%lf %lf %lf %lf %lf %lf)\" x=\"%lf\" y=\"%lf\" font-size=\"%lf\" textLength=\"%lf",
                          &m[0], &m[1], &m[2], &m[3], &m[4], &m[5], &x, &y, &size, &length),
                   10);
  if (strncmp(element, "<text direction=\"rtl\"", 21) == 0) x -= length; /* it begins at its right end */
  for (int i = 0; i < 4; i++) {
    const double across = i % 2 ? x + length : x, down = i / 2 ? y : y - 0.6 * size;
    const double px = m[0] * across + m[2] * down + m[4], py = m[1] * across + m[3] * down + m[5];
    box = (corner_box){fmin(box.left, px), fmin(box.top, py), fmax(box.right, px), fmax(box.bottom, py), ""};
  }
  sscanf(strchr(element, '>'), ">%79[^<]", box.words);
  return box;
}

static void assert_words_keep_clear(const char *path) {
  char *const svg = run("cat %s", path);
  static corner_box boxes[2000];
  size_t count = 0;
  for (const char *element = svg; (element = strstr(element, "<text")) && count < 2000; element++)
    boxes[count++] = box_of(element);
  assert_in_range(count, 10, 1999);
  for (size_t i = 0; i < count; i++)
    for (size_t k = i + 1; k < count; k++) {
      const corner_box *const a = &boxes[i], *const b = &boxes[k];
      const double across = fmin(a->right, b->right) - fmax(a->left, b->left);
      const double down = fmin(a->bottom, b->bottom) - fmax(a->top, b->top);
      if (across > 0.05 && down > 0.05)
        fail_msg("\"%s\" meets \"%s\" by %.2f x %.2f mm at %.1f, %.1f", a->words, b->words, across, down, a->left,
                 a->top);
    }
  free(svg);
}

/* A place where the piece meets no other, or none: then it has no place yet. */
static bool find_place(drawing_rect *taken, size_t count, double width, double height) {
  for (int trial = 0; trial < 200; trial++) {
    drawing_rect r = {5 + rand() % 250, 5 + rand() % 190, width, height};
    bool free_here = r.x + width < 295 && r.y + height < 225;
    for (size_t i = 0; i < count; i++) free_here = free_here && !drawing_rects_meet(r, taken[i]);
    taken[count] = r;
    if (free_here) return true;
  }
  taken[count] = (drawing_rect){0, 0, 0, 0};
  return false;
}

static const char *title_of_random; /* for half of the pieces and the plan, or NULL */

static void add_piece(bc_buffer *out, int i, drawing_rect *taken) {
  static const char *const mounts[] = {"pin", "hook", "nail", "cord"};
  const bool jewel = rand() % 3 == 0;
  const int width = jewel ? 2 + rand() % 4 : 8 + rand() % 30, height = jewel ? 2 + rand() % 4 : 8 + rand() % 30;
  bc_buffer_add(out, "%s{\"id\":\"p%d\",\"title\":\"%s %d\",\"width\":%d,\"height\":%d,", i ? "," : "", i,
                title_of_random && i % 2 ? title_of_random
                : jewel                  ? "Ring"
                                         : "Woven basket with a lid",
                i + 1, width, height);
  bc_buffer_add(out, "%s\"mount\":{\"kind\":\"%s\"}", rand() % 2 ? "\"weight_g\":300," : "", mounts[rand() % 4]);
  if (find_place(taken, (size_t)i, width, height))
    bc_buffer_add(out, ",\"at\":[%.1f,%.1f]", taken[i].x + width / 2.0, taken[i].y + height / 2.0);
  bc_buffer_add(out, "}");
}

static char *random_wall(unsigned number, int count) {
  srand(number);
  drawing_rect taken[64];
  bc_buffer out = {0};
  bc_buffer_add(&out, "{\"backcloth\":1,\"title\":\"%s %u\",\"stand\":{\"width\":300,\"wall_height\":240},",
                title_of_random ? title_of_random : "Wall", number);
  bc_buffer_add(&out, "\"pieces\":[");
  for (int i = 0; i < count; i++) add_piece(&out, i, taken);
  bc_buffer_add(&out, "]}");
  return out.text;
}

/* BC_WALLS: how many random walls are drawn; few unless somebody waits for more. */
static int walls_asked(void) {
  const char *const asked = getenv("BC_WALLS");
  return asked && atoi(asked) > 0 ? atoi(asked) : 4;
}

/* Every number is on the wall or is said to be missing; every height and distance is beside the wall or in the
 * table; the words of no two labels meet. */
static void words_keep_clear_on_random_walls(void **state) {
  (void)state;
  const int walls = walls_asked();
  for (int wall = 1; wall <= walls; wall++) {
    char *const plan = random_wall((unsigned)wall, 1 + (wall * 61 / walls) % 61), path[256];
    bc_elevation_options how = bc_elevation_options_default();
    how.units = wall % 2 ? BC_UNITS_METRIC : BC_UNITS_IMPERIAL;
    if (draw(plan, "random.svg", how, path) != BC_OK) fail_msg("%d: %s", wall, bc_context_message(context));
    assert_words_keep_clear(path);
    free(plan);
  }
}

/* The same in other languages, on every paper, with titles in scripts whose lines are higher or run from the right. */
static void words_keep_clear_in_every_language(void **state) {
  (void)state;
  static const char *const languages[] = {"en", "ar", "hi", "es"};
  bc_language_start("");
  const size_t walls = (size_t)walls_asked();
  for (size_t i = 0; i < walls; i++) {
    if (!bc_language_use(languages[i % 4])) fail_msg("no catalogue for %s", languages[i % 4]);
    title_of_random = titles[i % TITLES];
    char *const plan = random_wall((unsigned)(100 + i), 1 + (int)(i * 31 / walls)), path[256];
    bc_elevation_options how = bc_elevation_options_default();
    how.units = i % 2 ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC;
    how.sheet = papers[(i / 4 + i) % 4].sheet;
    how.scale = 50; /* on one sheet */
    while (draw(plan, "random.svg", how, path) != BC_OK) {
      if (how.sheet == BC_SHEET_FITTING) fail_msg("%zu: %s", i, bc_context_message(context));
      how.sheet = how.scale > 50 ? BC_SHEET_FITTING : how.sheet; /* the longest lists need larger paper */
      how.scale = 100;
    }
    assert_words_keep_clear(path);
    free(plan);
  }
  title_of_random = NULL;
  assert_true(bc_language_use("en"));
}

/* Sixty pieces smaller than their numbers: no number lies on any of them. */
static void numbers_do_not_hide_small_pieces(void **state) {
  (void)state;
  srand(11);
  for (int trial = 0; trial < 50; trial++) {
    drawing_label labels[60];
    drawing_rect pieces[60];
    for (size_t i = 0; i < 60; i++) {
      pieces[i] = (drawing_rect){5 + rand() % 140, 5 + rand() % 110, 1 + rand() % 3, 1 + rand() % 3};
      labels[i] = (drawing_label){.anchor = pieces[i], .width = 4.3, .height = 4.3};
    }
    assert_int_equal(drawing_labels_place(labels, 60, (drawing_rects){NULL, 0}, (drawing_rects){pieces, 60},
                                          (drawing_rect){0, 0, 150, 120}),
                     0);
    for (size_t i = 0; i < 60; i++)
      for (size_t k = 0; k < 60; k++) assert_false(drawing_rects_meet(labels[i].placed, pieces[k]));
  }
}

static void a_crowded_wall_has_a_table(void **state) {
  (void)state;
  bc_buffer plan = {0};
  bc_buffer_add(&plan,
                "{\"backcloth\":1,\"title\":\"Rings\",\"stand\":{\"width\":300,\"wall_height\":240},\"pieces\":[");
  for (int i = 0; i < 48; i++)
    bc_buffer_add(&plan, "%s{\"id\":\"r%d\",\"width\":3,\"height\":3,\"mount\":{\"kind\":\"pin\"},\"at\":[%d.5,%d]}",
                  i ? "," : "", i, 10 + 6 * i, 100 + 2 * i);
  bc_buffer_add(&plan, ",{\"id\":\"late\",\"title\":\"Late\",\"width\":400,\"height\":3}]}");
  char path[256];
  assert_int_equal(draw(plan.text, "rings.pdf", bc_elevation_options_default(), path), BC_OK);
  char *const words = run("pdftotext -layout %s -", path);
  assert_non_null(strstr(words, "Where to hang"));
  for (int i = 0; i < 48; i++) {
    char value[32];
    snprintf(value, sizeof value, "→ %d.5 cm · ", 10 + 6 * i);
    if (!strstr(words, value)) fail_msg("%s is not in the table", value);
  }
  assert_non_null(strstr(words, "no place yet")); /* and it is wider than the wall */
  assert_non_null(strstr(words, "weight not given"));
  free(words);
  bc_buffer_clear(&plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_paper_is_to_scale),
      cmocka_unit_test(every_svg_is_to_scale),
      cmocka_unit_test(tiles_are_to_scale),
      cmocka_unit_test(titles_of_any_script_are_found),
      cmocka_unit_test(unshowable_letters_are_told),
      cmocka_unit_test(same_plan_same_pdf),
      cmocka_unit_test(words_keep_clear_on_random_walls),
      cmocka_unit_test(words_keep_clear_in_every_language),
      cmocka_unit_test(a_crowded_wall_has_a_table),
      cmocka_unit_test(numbers_do_not_hide_small_pieces),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
