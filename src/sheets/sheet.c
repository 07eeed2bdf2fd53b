/* SPDX-License-Identifier: MIT */
/* The set-up sheet. First page: the wall with its numbers, what is needed, what to beware of. Then the steps, two
 * columns of cards, each with a small map of the wall; last the packing checklist. */
#include "sheet_internal.h"

#include "base/file.h"
#include <cairo-pdf.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MARGIN 12.0
#define POINTS_PER_MM (72.0 / 25.4)
#define CARD_HIGH 22.4
#define CARD_GAP 2.0
#define CODE_SIDE 36.0
enum { WORDS = 400 };

typedef struct setup {
  bc_context *context;
  const bc_plan *plan;
  bc_study *const *studies;
  const bc_loads *loads;
  const bc_packing *packing;
  bc_setup_sheet_options options;
  sheet_page page;
  const char *code; /* text of the QR code */
  double y;
} setup;

bc_setup_sheet_options bc_setup_sheet_options_default(void) {
  return (bc_setup_sheet_options){.dots_per_mm = 150 / 25.4};
}

static double content(const setup *s) {
  return s->page.width - 2 * MARGIN;
}

/* --- figures -------------------------------------------------------------------------------------------------- */
/* Inches to a quarter, as a tape shows them: "87½ in". */
static void inches(char *out, size_t size, double cm) {
  static const char *const quarters[] = {"", "¼", "½", "¾"};
  const long parts = lrint(cm / 2.54 * 4);
  if (parts < 4 && parts > 0)
    snprintf(out, size, "%s", quarters[parts]);
  else
    snprintf(out, size, "%ld%s", parts / 4, quarters[parts % 4]);
}

/* "66 · 122 · 178 cm", each place once. */
static void places(char *out, const double *cm, size_t count, bool imperial) {
  size_t length = 0;
  out[0] = '\0';
  for (size_t i = 0; i < count && length + 24 < WORDS; i++) {
    char one[24];
    if (imperial)
      inches(one, sizeof one, cm[i]);
    else if (fabs(cm[i] - round(cm[i])) < 0.05)
      snprintf(one, sizeof one, "%.0f", cm[i]);
    else
      snprintf(one, sizeof one, "%ld.%ld", lrint(cm[i] * 10) / 10, lrint(cm[i] * 10) % 10);
    length += (size_t)snprintf(out + length, WORDS - length, "%s%s", i ? " · " : "", one);
  }
  snprintf(out + length, WORDS - length, imperial ? " in" : " cm");
}

static void both(const setup *s, char *first, char *second, const double *cm, size_t count) {
  places(first, cm, count, s->options.units == BC_UNITS_IMPERIAL);
  places(second, cm, count, s->options.units != BC_UNITS_IMPERIAL);
}

/* --- parts ------------------------------------------------------------------------------------------------------ */
static void heading(setup *s, const char *text) {
  s->y += sheet_text(&s->page, (sheet_box){MARGIN, s->y, content(s), 9}, (sheet_type){.size = 4.6, .bold = true}, "H2",
                     text) +
          1.2;
}

static void disc(setup *s, double x, double y, double radius, const char *text, bool filled) {
  cairo_t *cairo = s->page.cairo;
  cairo_set_source_rgb(cairo, filled ? 0.1 : 1, filled ? 0.1 : 1, filled ? 0.1 : 1);
  cairo_new_path(cairo);
  if (filled)
    cairo_rectangle(cairo, sheet_left(&s->page, x, 2 * radius), y, 2 * radius, 2 * radius);
  else
    cairo_arc(cairo, sheet_left(&s->page, x, 2 * radius) + radius, y + radius, radius, 0, 2 * M_PI);
  cairo_fill_preserve(cairo);
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.35);
  cairo_stroke(cairo);
  sheet_text(&s->page, (sheet_box){x, y + radius - 2.6, 2 * radius, 5.4},
             (sheet_type){.size = 3.5, .bold = true, .white = filled, .align = SHEET_CENTRE, .figures = true}, "Lbl",
             text);
}

static bc_status draw_wall(setup *s, double most_high) {
  const bc_stand *stand = &s->plan->stand;
  const double k = fmin((content(s) - 26) / stand->width, most_high / stand->wall_height);
  const double wide = stand->width * k, high = stand->wall_height * k;
  const double x = (s->page.width - wide) / 2;
  const bc_wall_place place = {.x = x, .y = s->y, .mm_per_cm = k, .type = 1.25};
  cairo_t *cairo = s->page.cairo;
  cairo_tag_begin(cairo, "Figure", NULL);
  const bc_status status = bc_drawing_wall(s->context, s->plan, s->studies, cairo, &place);
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.4);
  cairo_rectangle(cairo, x, s->y, wide, high);
  cairo_stroke(cairo);
  cairo_set_line_width(cairo, 1);
  cairo_move_to(cairo, x - 6, s->y + high);
  cairo_line_to(cairo, x + wide + 6, s->y + high);
  cairo_stroke(cairo);
  cairo_tag_end(cairo, "Figure");
  char first[WORDS], second[WORDS], words[2 * WORDS + 8];
  both(s, first, second, &stand->width, 1);
  snprintf(words, sizeof words, "↔ %s · %s", first, second);
  sheet_text(&s->page, (sheet_box){MARGIN, s->y + high + 1.5, content(s) / 2, 5},
             (sheet_type){.size = 3.2, .align = SHEET_CENTRE, .figures = true}, NULL, words);
  both(s, first, second, &stand->wall_height, 1);
  snprintf(words, sizeof words, "↕ %s · %s", first, second);
  sheet_text(&s->page, (sheet_box){MARGIN + content(s) / 2, s->y + high + 1.5, content(s) / 2, 5},
             (sheet_type){.size = 3.2, .align = SHEET_CENTRE, .figures = true}, NULL, words);
  s->y += high + 8;
  return status;
}

static void draw_header(setup *s) {
  const double wide = content(s) - CODE_SIDE - 4;
  sheet_text(&s->page, (sheet_box){MARGIN, MARGIN, wide, 17}, (sheet_type){.size = 8, .bold = true}, "H1",
             s->plan->title);
  sheet_text(&s->page, (sheet_box){MARGIN, MARGIN + 18, wide, 6}, (sheet_type){.size = 4, .grey = true}, NULL,
             _("Set-up sheet"));
  cairo_tag_begin(s->page.cairo, "Figure", NULL);
  sheet_code(s->page.cairo, s->code, sheet_left(&s->page, MARGIN + content(s) - CODE_SIDE, CODE_SIDE), MARGIN - 4,
             CODE_SIDE);
  cairo_tag_end(s->page.cairo, "Figure");
  s->y = MARGIN + CODE_SIDE - 2;
}

/* A row of pictograms with captions, `across` in a row. */
typedef struct item {
  sheet_icon icon;
  const char *text;
  size_t count; /* 0: no figure */
} item;

static void draw_items(setup *s, const item *items, size_t count, int across) {
  const double wide = content(s) / across, side = 9, high = 11.5;
  for (size_t i = 0; i < count; i++) {
    const double x = MARGIN + (double)(i % (size_t)across) * wide, y = s->y + (double)(i / (size_t)across) * high;
    sheet_pictogram(s->page.cairo, items[i].icon, sheet_left(&s->page, x, side), y, side);
    char number[24] = "";
    if (items[i].count) snprintf(number, sizeof number, "%zu ×", items[i].count);
    double start = x + side + 2;
    if (number[0]) {
      sheet_text(&s->page, (sheet_box){start, y + 1.6, 10, 6}, (sheet_type){.size = 4.2, .bold = true, .figures = true},
                 NULL, number);
      start += 11;
    }
    sheet_text(&s->page, (sheet_box){start, y + 2, x + wide - start - 2, high - 2.5}, (sheet_type){.size = 2.9}, NULL,
               items[i].text);
  }
  s->y += ceil((double)count / across) * high + 2;
}

static void draw_needs(setup *s) {
  static const sheet_icon icons[] = {SHEET_NAIL, SHEET_PIN,  SHEET_HOOK, SHEET_CORD,
                                     SHEET_CLIP, SHEET_CLIP, SHEET_ROD,  SHEET_SHELF};
  item items[24];
  size_t count = 0;
  for (size_t i = 0; i < s->packing->hardware_count && count < 12; i++)
    items[count++] =
        (item){icons[s->packing->hardware[i].kind % 8], s->packing->hardware[i].what, s->packing->hardware[i].count};
  items[count++] = (item){SHEET_TAPE, _("tape measure"), 0};
  items[count++] = (item){SHEET_LEVEL, _("spirit level"), 0};
  items[count++] = (item){SHEET_HAMMER, _("hammer"), 0};
  items[count++] = (item){SHEET_DRIVER, _("screwdriver"), 0};
  if (s->packing->cord_cm > 0) items[count++] = (item){SHEET_SCISSORS, _("scissors"), 0};
  heading(s, _("You need"));
  draw_items(s, items, count, 4);
}

static void draw_cautions(setup *s) {
  const item items[] = {{SHEET_ASK, _("Ask the venue first"), 0},
                        {SHEET_PULL, _("Pull each point before you hang"), 0},
                        {SHEET_LADDER, _("Ladder: one holds it"), 0},
                        {SHEET_TWO, _("Heavy or long: two people"), 0},
                        {SHEET_CHILD, _("Children pull, crowds knock"), 0},
                        {SHEET_FLAME, _("Flame certificate; no lamps near cloth"), 0},
                        {SHEET_WIND, _("Not in wind"), 0},
                        {SHEET_CAUTION, _("Quake country: closed hooks, tie back"), 0}};
  heading(s, _("Take care"));
  draw_items(s, items, sizeof items / sizeof items[0], 4);
  sheet_text(&s->page, (sheet_box){MARGIN, s->page.height - MARGIN - 9, content(s), 9},
             (sheet_type){.size = 3, .bold = true}, NULL,
             _("This is planning help. Local codes, the venue's rules and a licensed person decide."));
}

/* --- steps ------------------------------------------------------------------------------------------------------- */
typedef struct card {
  sheet_icon icon;
  const char *title;
  char numbers[WORDS];
  double high[BC_ROD_SUPPORTS]; /* one height, or none */
  size_t high_count;
  double across[64];
  size_t across_count;
  size_t hardware;
  double mass_g;
  bool two_people, ladder;
  double map[64][4]; /* rectangles on the wall, cm: x, y, width, height */
  size_t map_count;
} card;

static void add_map(card *c, double x, double y, double width, double height) {
  if (c->map_count < 64) {
    double *m = c->map[c->map_count++];
    m[0] = x, m[1] = y, m[2] = width, m[3] = height;
  }
}

static void add_piece(card *c, const bc_plan *plan, size_t index) {
  const bc_piece *piece = &plan->pieces[index];
  const size_t length = strlen(c->numbers);
  snprintf(c->numbers + length, WORDS - length, "%s%zu", length ? "  " : "", index + 1);
  if (piece->placed)
    add_map(c, piece->at.x - piece->width / 2, piece->at.y - piece->height / 2, piece->width, piece->height);
}

static void card_of_hung(card *c, const bc_plan *plan, size_t index) {
  const bc_piece *piece = &plan->pieces[index];
  c->icon = (sheet_icon)piece->mount.kind;
  c->title = piece->title;
  c->hardware = (size_t)piece->mount.points;
  add_piece(c, plan, index);
  if (!piece->placed) return;
  for (int n = 0; n < piece->mount.points && n < 64; n++) {
    const bc_point_cm at = bc_plan_hanging_point(plan, piece, piece->at, n);
    c->across[c->across_count++] = at.x;
    bool seen = false;
    for (size_t h = 0; h < c->high_count; h++) seen = seen || fabs(c->high[h] - at.y) < 0.05;
    if (!seen && c->high_count < BC_ROD_SUPPORTS) c->high[c->high_count++] = at.y;
  }
}

static void card_of_fitting(card *c, const bc_plan *plan, const bc_load_step *step) {
  if (step->kind == BC_STEP_FRAME) {
    c->icon = SHEET_FRAME, c->title = _("Frame");
    add_map(c, 0, 0, plan->stand.width, 4);
  } else if (step->kind == BC_STEP_ROD) {
    const bc_rod *rod = &plan->rods[step->index];
    c->icon = SHEET_ROD, c->title = _("Rod"), c->hardware = rod->support_count;
    c->high[0] = rod->y, c->high_count = 1;
    for (size_t i = 0; i < rod->support_count; i++) c->across[c->across_count++] = rod->supports[i];
    add_map(c, rod->x, rod->y - 3, rod->length, 6);
  } else if (step->kind == BC_STEP_CLOTH) {
    c->icon = SHEET_CLOTH, c->title = _("Cloth");
    c->high[0] = plan->cloth.top, c->high_count = 1;
    c->across[0] = plan->cloth.left, c->across_count = 1;
    add_map(c, plan->cloth.left, plan->cloth.top - plan->cloth.height, plan->cloth.width, plan->cloth.height);
  } else if (step->kind == BC_STEP_SHELF) {
    const bc_shelf *shelf = &plan->shelves[step->index];
    c->icon = SHEET_SHELF, c->title = _("Shelf"), c->hardware = (size_t)shelf->brackets;
    c->high[0] = shelf->y, c->high_count = 1;
    c->across[0] = shelf->x, c->across[1] = shelf->x + shelf->width, c->across_count = 2;
    add_map(c, shelf->x, shelf->y - 4, shelf->width, 6);
  } else {
    const bc_table *table = &plan->tables[step->index];
    c->icon = SHEET_TABLE, c->title = _("Table");
    c->across[0] = table->x, c->across[1] = table->x + table->width, c->across_count = 2;
    add_map(c, table->x, table->height - 5, table->width, 8);
    add_map(c, table->x, 0, 6, table->height), add_map(c, table->x + table->width - 6, 0, 6, table->height);
  }
}

static bool same_carrier(const bc_plan *plan, size_t a, size_t b) {
  const bc_piece *first = &plan->pieces[a], *second = &plan->pieces[b];
  return first->mount.kind == second->mount.kind && bc_plan_shelf_of(plan, first) == bc_plan_shelf_of(plan, second) &&
         bc_plan_table_of(plan, first) == bc_plan_table_of(plan, second);
}

/* What stands on one carrier is one step; `done` marks the loads' steps that are on a card. */
static void make_card(card *c, const setup *s, size_t step_index, bool *done) {
  const bc_load_step *step = &s->loads->steps[step_index];
  *c = (card){.mass_g = step->mass_g, .two_people = step->two_people, .ladder = step->ladder};
  done[step_index] = true;
  if (step->kind == BC_STEP_HANG)
    card_of_hung(c, s->plan, step->index);
  else if (step->kind != BC_STEP_STAND)
    card_of_fitting(c, s->plan, step);
  else {
    c->icon = (sheet_icon)s->plan->pieces[step->index].mount.kind;
    c->title = bc_mount_text(s->plan->pieces[step->index].mount.kind);
    c->mass_g = 0;
    add_piece(c, s->plan, step->index);
    for (size_t i = step_index + 1; i < s->loads->step_count; i++) {
      const bc_load_step *other = &s->loads->steps[i];
      if (done[i] || other->kind != BC_STEP_STAND || !same_carrier(s->plan, step->index, other->index)) continue;
      add_piece(c, s->plan, other->index);
      c->two_people = c->two_people || other->two_people;
      done[i] = true;
    }
  }
}

/* The wall in small: everything pale, this step dark. Never mirrored. */
static void draw_map(setup *s, const card *c, double x, double y, double wide, double high) {
  cairo_t *cairo = s->page.cairo;
  const bc_plan *plan = s->plan;
  const double k = fmin(wide / plan->stand.width, high / plan->stand.wall_height);
  const double w = plan->stand.width * k, h = plan->stand.wall_height * k, top = y + (high - h) / 2,
               left = x + (wide - w) / 2;
  cairo_save(cairo);
  cairo_rectangle(cairo, left, top, w, h);
  cairo_set_source_rgb(cairo, 0.96, 0.96, 0.96);
  cairo_fill_preserve(cairo);
  cairo_clip(cairo);
  cairo_set_source_rgb(cairo, 0.76, 0.76, 0.76);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *p = &plan->pieces[i];
    if (!p->placed) continue;
    cairo_rectangle(cairo, left + (p->at.x - p->width / 2) * k, top + h - (p->at.y + p->height / 2) * k, p->width * k,
                    p->height * k);
  }
  cairo_fill(cairo);
  cairo_set_source_rgba(cairo, 0.1, 0.1, 0.1, c->icon == SHEET_CLOTH ? 0.55 : 1);
  for (size_t i = 0; i < c->map_count; i++) {
    const double *m = c->map[i];
    const double mw = fmax(m[2] * k, 0.9), mh = fmax(m[3] * k, 0.9);
    cairo_rectangle(cairo, left + (m[0] + m[2] / 2) * k - mw / 2, top + h - (m[1] + m[3] / 2) * k - mh / 2, mw, mh);
  }
  cairo_fill(cairo);
  cairo_restore(cairo);
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.25);
  cairo_rectangle(cairo, left, top, w, h);
  cairo_stroke(cairo);
}

static void measure_row(setup *s, sheet_icon icon, double x, double y, double wide, double high, const double *cm,
                        size_t count) {
  if (count == 0) return;
  char first[WORDS], second[WORDS], words[2 * WORDS + 8];
  both(s, first, second, cm, count);
  snprintf(words, sizeof words, "%s\n%s", first, second);
  sheet_pictogram(s->page.cairo, icon, sheet_left(&s->page, x, 4.4), y + 0.4, 4.4);
  sheet_text(&s->page, (sheet_box){x + 5.6, y, wide - 5.6, high},
             (sheet_type){.size = 2.9, .bold = true, .figures = true}, NULL, words);
}

static void draw_card(setup *s, const card *c, size_t number, double x, double y, double wide) {
  char words[64];
  cairo_t *cairo = s->page.cairo;
  cairo_set_source_rgb(cairo, 0.6, 0.6, 0.6);
  cairo_set_line_width(cairo, 0.2);
  cairo_rectangle(cairo, sheet_left(&s->page, x, wide), y, wide, CARD_HIGH);
  cairo_stroke(cairo);
  snprintf(words, sizeof words, "%zu", number);
  disc(s, x, y, 3.6, words, true);
  draw_map(s, c, sheet_left(&s->page, x + 8.2, 22.5), y + 1.5, 22.5, CARD_HIGH - 3);
  const double from = x + 32.5, room = wide - 33.5;
  double title = from;
  if (c->numbers[0] && strlen(c->numbers) <= 3) {
    disc(s, title, y + 0.8, 2.9, c->numbers, false);
    title += 7;
  }
  sheet_text(&s->page, (sheet_box){title, y + 1, from + room - title, 6}, (sheet_type){.size = 3.1, .bold = true}, "H3",
             c->title);
  if (strlen(c->numbers) > 3)
    sheet_text(&s->page, (sheet_box){from, y + 7, room, 8.5}, (sheet_type){.size = 4, .bold = true, .figures = true},
               NULL, c->numbers);
  else {
    const double third = c->high_count ? 20 : 0;
    measure_row(s, SHEET_UP, from, y + 7.2, third - 1, 8.8, c->high, c->high_count < 1 ? 0 : 1);
    measure_row(s, SHEET_ACROSS, from + third, y + 7.2, room - third, 8.8, c->across, c->across_count);
  }
  double at = from;
  sheet_pictogram(cairo, c->icon, sheet_left(&s->page, at, 6.5), y + 15.5, 6.5);
  at += 8;
  if (c->hardware) {
    snprintf(words, sizeof words, "× %zu", c->hardware);
    sheet_text(&s->page, (sheet_box){at, y + 16.2, 8, 5.5}, (sheet_type){.size = 3.6, .bold = true, .figures = true},
               NULL, words);
    at += 9;
  }
  if (c->two_people) sheet_pictogram(cairo, SHEET_TWO, sheet_left(&s->page, at, 6.5), y + 15.5, 6.5), at += 7.5;
  if (c->ladder) sheet_pictogram(cairo, SHEET_LADDER, sheet_left(&s->page, at, 6.5), y + 15.5, 6.5), at += 7.5;
  if (c->mass_g > 0 && x + wide - 7 - at > 14) {
    bc_mass_words(words, sizeof words, c->mass_g, s->options.units);
    sheet_text(&s->page, (sheet_box){at, y + 15.6, x + wide - 7 - at, 7.2}, (sheet_type){.size = 2.6, .figures = true},
               NULL, words);
  }
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.35);
  cairo_rectangle(cairo, sheet_left(&s->page, x + wide - 6, 4.5), y + CARD_HIGH - 6, 4.5, 4.5);
  cairo_stroke(cairo);
}

static void next_page(setup *s) {
  sheet_page_next(&s->page);
  s->y = MARGIN;
}

static bc_status draw_steps(setup *s) {
  bool *done = bc_allocate(s->loads->step_count, sizeof *done);
  card *c = bc_allocate(1, sizeof *c);
  const bc_status status = done && c ? BC_OK : bc_fail_memory(s->context);
  const double wide = (content(s) - 4) / 2;
  size_t number = 0;
  if (status == BC_OK) {
    next_page(s);
    heading(s, _("Put up in this order"));
  }
  for (size_t i = 0; status == BC_OK && i < s->loads->step_count; i++) {
    if (done[i]) continue;
    make_card(c, s, i, done);
    const bool second = number % 2 == 1;
    if (!second && s->y + CARD_HIGH > s->page.height - MARGIN) next_page(s);
    draw_card(s, c, ++number, MARGIN + (second ? wide + 4 : 0), s->y, wide);
    if (second) s->y += CARD_HIGH + CARD_GAP;
  }
  if (number % 2 == 1) s->y += CARD_HIGH + CARD_GAP;
  free(done);
  free(c);
  return status;
}

/* --- the packing checklist ------------------------------------------------------------------------------------------
 */
static void draw_check(setup *s, double x, double wide, double high, const bc_packing_item *one) {
  cairo_t *cairo = s->page.cairo;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.3);
  cairo_rectangle(cairo, sheet_left(&s->page, x, 2.8), s->y + 0.6, 2.8, 2.8);
  cairo_stroke(cairo);
  char words[WORDS];
  if (one->place == BC_PACKING_BAG)
    snprintf(words, sizeof words, _("%zu × %.300s (bag %zu)"), one->count, one->what, one->bag);
  else if (one->place == BC_PACKING_LENT)
    snprintf(words, sizeof words, _("%.300s (the venue lends it)"), one->what);
  else
    snprintf(words, sizeof words, "%.300s", one->what);
  sheet_text(&s->page, (sheet_box){x + 4, s->y, wide - 5, high}, (sheet_type){.size = 2.5}, "LI", words);
}

static void draw_packing(setup *s) {
  const int columns = 3;
  const double wide = content(s) / columns, high = 4.9;
  if (s->y + 30 > s->page.height - MARGIN) next_page(s);
  sheet_pictogram(s->page.cairo, SHEET_BAG, sheet_left(&s->page, MARGIN + content(s) - 8, 8), s->y - 1, 8);
  heading(s, _("Pack"));
  for (size_t i = 0; i < s->packing->item_count; i++) {
    const size_t column = i % (size_t)columns;
    if (column == 0 && s->y + high > s->page.height - MARGIN) next_page(s);
    draw_check(s, MARGIN + (double)column * wide, wide, high - 0.4, &s->packing->items[i]);
    if (column == (size_t)columns - 1) s->y += high;
  }
}

/* --- all
 * ---------------------------------------------------------------------------------------------------------------- */
static bc_status draw_all(setup *s) {
  cairo_tag_begin(s->page.cairo, "Document", NULL);
  draw_header(s);
  bc_status status = draw_wall(s, s->page.height * 0.43);
  if (status == BC_OK) {
    draw_needs(s);
    draw_cautions(s);
    status = draw_steps(s);
  }
  if (status == BC_OK) draw_packing(s);
  cairo_tag_end(s->page.cairo, "Document");
  return status;
}

static cairo_status_t stream(void *closure, const unsigned char *bytes, unsigned int size) {
  bc_file_writer_write(closure, bytes, size);
  return CAIRO_STATUS_SUCCESS; /* the writer remembers failures and tells them once */
}

/* How many pages there will be: drawn once where nothing is kept. */
static bc_status count_pages(setup *s, int *pages) {
  cairo_surface_t *surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, NULL);
  s->page.cairo = cairo_create(surface);
  s->page.stacked = true;
  s->page.number = 0;
  bc_study *const *studies = s->studies;
  s->studies = NULL; /* photos change no layout */
  const bc_status status = draw_all(s);
  s->studies = studies;
  *pages = s->page.number + 1;
  cairo_destroy(s->page.cairo);
  cairo_surface_destroy(surface);
  return status;
}

static bc_status draw_on(setup *s, cairo_surface_t *surface, double scale, bool stacked) {
  s->page.cairo = cairo_create(surface);
  s->page.stacked = stacked;
  s->page.number = 0;
  cairo_scale(s->page.cairo, scale, scale);
  if (stacked) {
    cairo_set_source_rgb(s->page.cairo, 1, 1, 1);
    cairo_paint(s->page.cairo);
  }
  bc_status status = draw_all(s);
  if (status == BC_OK && cairo_status(s->page.cairo) != CAIRO_STATUS_SUCCESS) status = bc_fail_memory(s->context);
  cairo_destroy(s->page.cairo);
  return status;
}

static bc_status make_surface(setup *s, bc_file_writer *writer, bool png, cairo_surface_t **surface) {
  int pages = 1;
  bc_status status = png ? count_pages(s, &pages) : BC_OK;
  if (status != BC_OK) return status;
  if (png) {
    const double d = s->options.dots_per_mm;
    *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(s->page.width * d), (int)(s->page.height * pages * d));
  } else {
    *surface = cairo_pdf_surface_create_for_stream(stream, writer, s->page.width * POINTS_PER_MM,
                                                   s->page.height * POINTS_PER_MM);
    cairo_pdf_surface_set_metadata(*surface, CAIRO_PDF_METADATA_TITLE, s->plan->title);
    cairo_pdf_surface_set_metadata(*surface, CAIRO_PDF_METADATA_SUBJECT, _("Set-up sheet"));
    cairo_pdf_surface_set_metadata(*surface, CAIRO_PDF_METADATA_CREATOR, "backcloth");
  }
  return cairo_surface_status(*surface) == CAIRO_STATUS_SUCCESS ? BC_OK : bc_fail_memory(s->context);
}

static bc_status write_sheet(setup *s, const char *path, bool png) {
  bc_file_writer *writer = NULL;
  cairo_surface_t *surface = NULL;
  bc_status status = bc_file_writer_open(&writer, s->context, path);
  if (status != BC_OK) return status;
  status = make_surface(s, writer, png, &surface);
  if (status == BC_OK) status = draw_on(s, surface, png ? s->options.dots_per_mm : POINTS_PER_MM, png);
  if (status == BC_OK && png && cairo_surface_write_to_png_stream(surface, stream, writer) != CAIRO_STATUS_SUCCESS)
    status = bc_fail_memory(s->context);
  if (surface) cairo_surface_finish(surface);
  if (status == BC_OK && cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) status = bc_fail_memory(s->context);
  if (surface) cairo_surface_destroy(surface);
  if (status == BC_OK) return bc_file_writer_commit(writer, s->context);
  bc_file_writer_abandon(writer);
  return status;
}

bc_status bc_setup_sheet(bc_context *context, const bc_plan *plan, bc_study *const *studies, const bc_loads *loads,
                         const bc_packing *packing, const bc_setup_sheet_options *options, const char *path) {
  const bool png = bc_path_has_suffix(path, "png");
  if (!png && !bc_path_has_suffix(path, "pdf"))
    return bc_fail(context, BC_BAD_USAGE, _("%s: the name of a set-up sheet must end in .pdf or .png."), path);
  setup s = {.context = context,
             .plan = plan,
             .studies = studies,
             .loads = loads,
             .packing = packing,
             .options = options ? *options : bc_setup_sheet_options_default()};
  const bool letter = s.options.paper == BC_PAPER_LETTER;
  s.page.width = letter ? 215.9 : 210;
  s.page.height = letter ? 279.4 : 297;
  s.page.mirrored = bc_language_right_to_left();
  char *code = NULL;
  bc_status status = bc_setup_sheet_code_text(&code, context, plan);
  s.code = code;
  if (status == BC_OK) status = write_sheet(&s, path, png);
  free(code);
  return status;
}
