/* SPDX-License-Identifier: MIT */
/* The first page: title and QR code, what is needed, the wall with its numbers, what to beware of. */
#include "setup_sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CODE_SIDE 45.0
#define ITEM_SIDE 8.0
#define ITEM_GAP 1.4
#define ITEM_HIGH (ITEM_SIDE + ITEM_GAP)
#define CAUTION_ROWS 2
#define STATEMENT_HIGH 14.0
#define CAUTIONS_HIGH 36.0 /* with the standing sentence below them */
#define WARNING_LEAST 10.0
#define WARNING_MOST 24.0
#define LETTERS 95.0 /* of the warning's type in a line */

/* A pictogram with a caption. */
typedef struct item {
  sheet_icon icon;
  const char *text;
  size_t count; /* 0: no figure */
} item;

static void draw_item(sheet_setup *s, const item *one, sheet_box box) {
  const double high = box.height - ITEM_GAP;
  sheet_pictogram(s->page.cairo, one->icon, sheet_left(&s->page, box.x, ITEM_SIDE), box.y + (high - ITEM_SIDE) / 2,
                  ITEM_SIDE);
  double from = box.x + ITEM_SIDE + 1.6;
  if (one->count) {
    char number[32];
    snprintf(number, sizeof number, "%zu ×", one->count);
    sheet_text(&s->page, (sheet_box){from, box.y, 9.4, high},
               (sheet_type){.size = 3.9, .bold = true, .figures = true, .middle = true}, NULL, number);
    from += 10;
  }
  sheet_text(&s->page, (sheet_box){from, box.y, box.x + box.width - from - 1.4, high},
             (sheet_type){.size = 2.9, .middle = true}, NULL, one->text);
}

typedef struct rows {
  int across;
  double breadth, high; /* mm; of all across, and of one row */
} rows;

static void draw_items(sheet_setup *s, const item *items, size_t count, rows in) {
  const double wide = in.breadth / in.across;
  for (size_t i = 0; i < count; i++)
    draw_item(s, &items[i],
              (sheet_box){SHEET_MARGIN + (double)(i % (size_t)in.across) * wide,
                          s->y + (double)(i / (size_t)in.across) * in.high, wide, in.high});
  s->y += ceil((double)count / in.across) * in.high + 2;
}

static void draw_needs(sheet_setup *s, double breadth) {
  static const sheet_icon icons[] = {SHEET_NAIL, SHEET_PIN,  SHEET_HOOK, SHEET_CORD,
                                     SHEET_CLIP, SHEET_CLIP, SHEET_ROD,  SHEET_BRACKET};
  item items[24];
  size_t count = 0;
  for (size_t i = 0; i < s->packing->hardware_count && count < 12; i++)
    items[count++] =
        (item){icons[s->packing->hardware[i].kind % 8], s->packing->hardware[i].what, s->packing->hardware[i].count};
  items[count++] = (item){SHEET_TAPE, _("tape measure"), 0};
  items[count++] = (item){SHEET_LEVEL, _("spirit level"), 0};
  bool hammer = false, driver = false;
  for (size_t i = 0; i < s->packing->hardware_count; i++) {
    const int kind = s->packing->hardware[i].kind;
    hammer = hammer || kind == SHEET_NAIL || kind == SHEET_PIN;
    driver = driver || kind == SHEET_HOOK || kind == SHEET_CORD || kind >= 6; /* brackets of rods and shelves */
  }
  if (hammer) items[count++] = (item){SHEET_HAMMER, _("hammer"), 0};
  if (driver) items[count++] = (item){SHEET_DRIVER, _("screwdriver"), 0};
  if (s->packing->cord_cm > 0) items[count++] = (item){SHEET_SCISSORS, _("scissors"), 0};
  sheet_heading(s, _("You need"));
  draw_items(s, items, count, (rows){3, breadth, ITEM_HIGH});
}

static void draw_head(sheet_setup *s) {
  const double wide = sheet_content(s) - CODE_SIDE - 2, x = SHEET_MARGIN + sheet_content(s) - CODE_SIDE;
  sheet_page *page = &s->page;
  cairo_tag_begin(page->cairo, "Figure", NULL);
  const bool coded = sheet_code(page->cairo, s->code, sheet_left(page, x, CODE_SIDE), SHEET_MARGIN - 3, CODE_SIDE);
  cairo_tag_end(page->cairo, "Figure");
  s->y = SHEET_MARGIN;
  s->y += 0.5 + sheet_text(page, (sheet_box){SHEET_MARGIN, s->y, wide, 16}, (sheet_type){.size = 7, .bold = true}, "H1",
                           s->plan->title);
  s->y += 2.5 + sheet_text(page, (sheet_box){SHEET_MARGIN, s->y, wide, 6}, (sheet_type){.size = 3.8, .grey = true},
                           NULL, _("Set-up sheet"));
  draw_needs(s, coded ? wide : sheet_content(s));
  if (coded) s->y = fmax(s->y, SHEET_MARGIN - 3 + CODE_SIDE + 2);
}

static void draw_size(sheet_setup *s, const char *arrow, double cm, double x) {
  char first[SHEET_WORDS], second[SHEET_WORDS], words[2 * SHEET_WORDS + 16];
  sheet_measures(s, first, second, &cm, 1);
  snprintf(words, sizeof words, "%s %s · %s", arrow, first, second);
  sheet_text(&s->page, (sheet_box){x, s->y, sheet_content(s) / 2, 5},
             (sheet_type){.size = 3.2, .align = SHEET_CENTRE, .figures = true}, NULL, words);
}

static void draw_floor(sheet_setup *s, double x, double wide, double high) {
  cairo_t *cairo = s->page.cairo;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.4);
  cairo_rectangle(cairo, x, s->y, wide, high);
  cairo_stroke(cairo);
  cairo_set_line_width(cairo, 1);
  cairo_move_to(cairo, x - 3, s->y + high);
  cairo_line_to(cairo, x + wide + 3, s->y + high);
  cairo_stroke(cairo);
}

/* As many lines as its names need, within bounds; type shrinks to fit. */
static double warning_high(const sheet_setup *s) {
  if (!s->warning[0]) return 0;
  return fmin(bc_language_signed() ? WARNING_MOST : 1.5 * WARNING_MOST,
              fmax(WARNING_LEAST, 3.5 + 4.2 * ceil((double)strlen(s->warning) / LETTERS)));
}

/* One caution; with the English beside it, it takes two more lines. */
static double caution_high(void) {
  return bc_language_signed() ? ITEM_HIGH : 1.55 * ITEM_HIGH;
}

static double cautions_high(const sheet_setup *s) {
  return CAUTIONS_HIGH + STATEMENT_HIGH + warning_high(s) + CAUTION_ROWS * (caution_high() - ITEM_HIGH);
}

static bc_status draw_wall(sheet_setup *s) {
  const bc_stand *stand = &s->plan->stand;
  const double most = s->page.height - SHEET_MARGIN - cautions_high(s) - 9 - s->y;
  const double k = fmin((sheet_content(s) - 6) / stand->width, most / stand->wall_height);
  const double wide = stand->width * k, high = stand->wall_height * k, x = (s->page.width - wide) / 2;
  const bc_wall_place place = {.x = x, .y = s->y, .mm_per_cm = k, .type = 1.25};
  cairo_tag_begin(s->page.cairo, "Figure", NULL);
  const bc_status status = bc_drawing_wall(s->context, s->plan, s->studies, s->page.cairo, &place);
  draw_floor(s, x, wide, high);
  cairo_tag_end(s->page.cairo, "Figure");
  s->y += high + 1.5;
  draw_size(s, "↔", stand->width, SHEET_MARGIN);
  draw_size(s, "↕", stand->wall_height, SHEET_MARGIN + sheet_content(s) / 2);
  s->y += 6.5;
  return status;
}

/* What the venue's officer signs, in one box: the lines of the statement, side by side. */
static bc_status draw_statement(sheet_setup *s) {
  char *text = NULL;
  const bc_status status = bc_loads_statement(&text, s->context, s->loads, s->plan, s->options.units);
  if (status != BC_OK) return status;
  for (char *c = text; *c; c++)
    if (*c == '\n') *c = c[1] ? ';' : '\0';
  cairo_t *cairo = s->page.cairo;
  const double wide = sheet_content(s), high = STATEMENT_HIGH - 1.5;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.3);
  cairo_rectangle(cairo, sheet_left(&s->page, SHEET_MARGIN, wide), s->y, wide, high);
  cairo_stroke(cairo);
  sheet_text(&s->page, (sheet_box){SHEET_MARGIN + 1.4, s->y + 0.6, wide - 2.8, high - 1.2},
             (sheet_type){.size = 2.6, .middle = true}, NULL, text);
  free(text);
  s->y += STATEMENT_HIGH;
  return BC_OK;
}

/* Whoever hangs the wall has only this paper, so it says itself that something would fall. */
static void draw_warning(sheet_setup *s) {
  cairo_t *cairo = s->page.cairo;
  const double wide = sheet_content(s), high = warning_high(s) - 1.5;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.8);
  cairo_rectangle(cairo, sheet_left(&s->page, SHEET_MARGIN, wide), s->y, wide, high);
  cairo_stroke(cairo);
  sheet_pictogram(cairo, SHEET_CAUTION, sheet_left(&s->page, SHEET_MARGIN + 1.4, 6.4), s->y + (high - 6.4) / 2, 6.4);
  sheet_text(&s->page, (sheet_box){SHEET_MARGIN + 9.4, s->y + 0.6, wide - 10.8, high - 1.2},
             (sheet_type){.size = 3.2, .bold = true, .middle = true}, NULL, s->warning);
  s->y += warning_high(s);
}

static bc_status draw_cautions(sheet_setup *s) {
  const item items[] = {{SHEET_ASK, bc_text_safety("Ask the venue first"), 0},
                        {SHEET_PULL, bc_text_safety("Test each point with more than its load"), 0},
                        {SHEET_LADDER, bc_text_safety("Step ladder: a second person holds it"), 0},
                        {SHEET_TWO, bc_text_safety("Heavy or long: two people"), 0},
                        {SHEET_CHILD, bc_text_safety("Children pull, crowds knock"), 0},
                        {SHEET_FLAME, bc_text_safety("Flame certificate; no lamps near cloth"), 0},
                        {SHEET_WIND, bc_text_safety("Not in wind"), 0},
                        {SHEET_CAUTION, bc_text_safety("Quake country: closed hooks, tie back"), 0}};
  s->y = s->page.height - SHEET_MARGIN - cautions_high(s);
  if (s->warning[0]) draw_warning(s);
  const bc_status status = draw_statement(s);
  sheet_heading(s, _("Take care"));
  draw_items(s, items, sizeof items / sizeof items[0], (rows){4, sheet_content(s), caution_high()});
  sheet_text(&s->page, (sheet_box){SHEET_MARGIN, s->y, sheet_content(s), 7}, (sheet_type){.size = 3, .bold = true},
             NULL,
             bc_text_safety("This is planning help. Local codes, the venue's rules and a licensed person decide."));
  return status;
}

bc_status sheet_draw_front(sheet_setup *s) {
  draw_head(s);
  const bc_status status = draw_wall(s);
  return status == BC_OK ? draw_cautions(s) : status;
}
