/* SPDX-License-Identifier: MIT */
/* Three ways to lay out the pieces that hang free, each from an order of the pieces and a form:
 * level rows, a centred group of columns, and wings of satellites about the leader. */
#include "compose.h"

#include "line.h"
#include "rules.h"
#include "score.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

/* Heights are rounded to 5 mm: a person with a tape measure finds them more easily. */
static int easy(const arr_problem *problem, int y) {
  return problem->grid > 1 ? arr_on_grid(problem, y) : (y + 2) / 5 * 5;
}

static int moat_of(const arr_problem *problem, bc_arrange_style style) {
  int moat = problem->gap;
  for (size_t i = 0; i < problem->count; i++)
    if (problem->items[i].leader) moat = base_most(moat, arr_moat(problem, &problem->items[i], style));
  return moat;
}

/* The box of all leaders that have a place; false when there is none. */
static bool leader_box(const arr_problem *problem, const arr_layout *layout, int *x0, int *x1, int *y0, int *y1) {
  *x0 = *y0 = INT32_MAX;
  *x1 = *y1 = INT32_MIN;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    const arr_spot *spot = &layout->spot[i];
    if (!item->leader || item->where != ARR_HANGING || spot->lane < 0) continue;
    *x0 = base_least(*x0, spot->x - item->half_w);
    *x1 = base_most(*x1, spot->x + item->half_w);
    *y0 = base_least(*y0, spot->y - item->half_h);
    *y1 = base_most(*y1, spot->y + item->half_h);
  }
  return *x0 <= *x1;
}

/* --- level rows ----------------------------------------------------------------------------------------- */

#define ROWS_MOST 16

typedef struct rows {
  int height[ROWS_MOST];
  int at[ROWS_MOST];
  int count;
  int *row_of; /* of each item of the order */
} rows;

static arr_line row_line(const arr_problem *problem, const arr_form *form, int at) {
  return (arr_line){.level = true,
                    .at = at,
                    .lo = problem->region_x0,
                    .hi = problem->region_x1,
                    .gap = form->gap,
                    .anchor = problem->focus_x,
                    .moat = moat_of(problem, form->style)};
}

static int height_of(const arr_problem *problem, int item) {
  return 2 * problem->items[item].half_h + problem->items[item].rise;
}

/* Stacks the rows' centre lines about the focus, or with one of them on it, within reach and above
 * the tables. */
static void stack_rows(const arr_problem *problem, const arr_form *form, rows *r) {
  int total = 0;
  for (int i = 0; i < r->count; i++) total += r->height[i];
  int gap = form->gap;
  const int room = base_least(problem->top, problem->region_y1) - problem->low;
  if (r->count > 1) gap = base_most(problem->gap, base_least(gap, (room - total) / (r->count - 1)));
  total += gap * (r->count - 1);
  int up = problem->focus_y + total / 2; /* upper edge of the block */
  if (form->shift >= 0 && form->shift < r->count) {
    up = problem->focus_y + r->height[form->shift] / 2;
    for (int i = 0; i < form->shift; i++) up += r->height[i] + gap;
  }
  up = base_least(base_least(problem->top, problem->region_y1), base_most(up, problem->low + total));
  for (int i = 0; i < r->count; i++) {
    r->at[i] = easy(problem, up - r->height[i] / 2);
    up -= r->height[i] + gap;
  }
}

/* Deals a run of the order, [first, end), out over the rows in proportion to their free length. */
static void deal_run(const arr_problem *problem, const int *order, size_t first, size_t end, const double *room,
                     rows *r) {
  double rooms = 0, widths = 0, used = 0, goal = 0;
  for (int i = 0; i < r->count; i++) rooms += room[i];
  for (size_t k = first; k < end; k++) widths += 2 * problem->items[order[k]].half_w + problem->gap;
  size_t next = first;
  for (int i = 0; i < r->count; i++) {
    goal += rooms > 0 ? widths * room[i] / rooms : widths / r->count;
    for (; next < end; next++) {
      const double width = 2 * problem->items[order[next]].half_w + problem->gap;
      if (i + 1 < r->count && used + width / 2 > goal) break;
      used += width;
      r->row_of[next] = i;
    }
  }
}

static void deal_rows(const arr_problem *problem, const arr_layout *layout, const arr_form *form, const int *order,
                      size_t count, rows *r) {
  double room[ROWS_MOST];
  for (int i = 0; i < r->count; i++) {
    const arr_line line = row_line(problem, form, r->at[i]);
    room[i] = arr_line_room(problem, layout, &line, r->height[i] / 2, r->height[i] / 2, ARR_HANGING);
    r->height[i] = 0;
  }
  room[0] *= form->tilt / 100.0;
  for (size_t first = 0; first < count;) {
    /* As slices every group spreads over all rows and keeps to its own stretch of the wall. */
    size_t end = form->bend ? first + 1 : count;
    const int group = problem->items[order[first]].group;
    while (end < count && problem->items[order[end]].group == group) end++;
    deal_run(problem, order, first, end, room, r);
    first = end;
  }
  for (size_t k = 0; k < count; k++)
    r->height[r->row_of[k]] = base_most(r->height[r->row_of[k]], height_of(problem, order[k]));
}

static void arr_compose_rows(const arr_problem *problem, arr_layout *layout, const arr_form *form, const int *order,
                             size_t count) {
  int *memory = malloc((2 * count + 1) * sizeof *memory);
  if (!memory) return; /* pieces without a place are seen to by the caller */
  rows r = {.count = base_least(base_most(1, form->lines), ROWS_MOST), .row_of = memory};
  int *row = memory + count;
  int tallest = 0;
  for (size_t i = 0; i < count; i++) tallest = base_most(tallest, height_of(problem, order[i]));
  for (int i = 0; i < r.count; i++) r.height[i] = tallest;
  stack_rows(problem, form, &r);
  for (int turn = 0; turn < 2; turn++) { /* heights follow from the dealing, and the dealing from heights */
    deal_rows(problem, layout, form, order, count, &r);
    stack_rows(problem, form, &r);
  }
  for (int i = 0; i < r.count; i++) {
    const arr_line line = row_line(problem, form, r.at[i]);
    size_t n = 0;
    for (size_t k = 0; k < count; k++)
      if (r.row_of[k] == i) row[n++] = order[k];
    arr_line_fill(problem, layout, &line, row, n);
  }
  free(memory);
}

/* --- centred group: columns either side of the leader ----------------------------------------------------- */

/* Deals items in order over `columns` by height; first[] has columns + 1 entries. The right half gets
 * as many a column as the left half has in its mirror image; the middle column, or the last one, gets the rest. */
static void deal_columns(const arr_problem *problem, const int *order, size_t count, int columns, int gap, int *first) {
  double total = 0, used = 0;
  const int half = columns / 2;
  int in_column[2 * ROWS_MOST + 1] = {0};
  for (size_t i = 0; i < count; i++) total += height_of(problem, order[i]) + gap;
  size_t next = 0;
  for (int c = 0; c < half; c++) {
    for (; next < count / 2; next++) {
      const double height = height_of(problem, order[next]) + gap;
      if (used + height / 2 > total * (c + 1) / columns) break;
      used += height;
      in_column[c]++;
    }
  }
  int left = (int)next, rest = (int)count - 2 * left;
  for (int c = 0; c < half; c++) in_column[columns - 1 - c] = in_column[c];
  in_column[columns % 2 ? half : columns - 1] += base_most(0, rest);
  first[0] = 0;
  for (int c = 0; c < columns; c++) first[c + 1] = first[c] + in_column[c];
}

static int column_width(const arr_problem *problem, const int *order, int first, int end) {
  int half = 0;
  for (int i = first; i < end; i++) half = base_most(half, problem->items[order[i]].reach_w);
  return 2 * half;
}

static int column_height(const arr_problem *problem, const int *order, int first, int end, int gap) {
  int total = 0;
  for (int i = first; i < end; i++) total += height_of(problem, order[i]) + (i > first ? gap : 0);
  return total;
}

/* A column of the group: its items, from the top, and its centre line. */
typedef struct column {
  const int *order;
  int count, x;
} column;

/* One column; its gaps are stretched a little so that its ends meet the group's upper and lower edge. */
static void lay_column(const arr_problem *problem, arr_layout *layout, const arr_form *form, column c,
                       int wanted_height) {
  const int bare = column_height(problem, c.order, 0, c.count, 0);
  int gap = form->gap;
  if (c.count > 1) {
    const int stretched = (wanted_height - bare) / (c.count - 1);
    if (stretched >= problem->gap && stretched <= 5 * form->gap / 2) gap = stretched;
  }
  const arr_line line = {.level = false,
                         .at = c.x,
                         .lo = problem->low,
                         .hi = base_least(problem->top, problem->region_y1),
                         .gap = gap,
                         .anchor = easy(problem, problem->focus_y),
                         .moat = moat_of(problem, form->style)};
  arr_line_fill(problem, layout, &line, c.order, (size_t)c.count);
}

static void arr_compose_group(const arr_problem *problem, arr_layout *layout, const arr_form *form, const int *order,
                              size_t count) {
  int x0, x1, y0, y1;
  const bool led = leader_box(problem, layout, &x0, &x1, &y0, &y1);
  const int side = base_least(base_most(1, form->lines), ROWS_MOST);
  /* With a leader the middle column is its own, unless pieces also hang above and below it. */
  const bool middle = form->bend != 0;
  const int columns = 2 * side + (middle ? 1 : 0);
  int first[2 * ROWS_MOST + 2];
  deal_columns(problem, order, count, columns, form->gap, first);
  int height = led ? y1 - y0 : 0, left[2 * ROWS_MOST + 1];
  for (int c = 0; c < columns; c++)
    if (!(middle && c == side && led))
      height = base_most(height, column_height(problem, order, first[c], first[c + 1], form->gap));
  const int moat = led ? moat_of(problem, form->style) : form->gap;
  int half_middle = led ? (x1 - x0) / 2 : 0;
  if (middle) half_middle = base_most(half_middle, column_width(problem, order, first[side], first[side + 1]) / 2);
  const int axis = led ? (x0 + x1) / 2 : problem->focus_x;
  int edge = axis + (half_middle > 0 ? half_middle + moat : (form->gap + 1) / 2);
  for (int s = 0; s < side; s++) { /* both sides step outward alike, by the wider of the two columns */
    const int l = side - 1 - s, rr = side + (middle ? 1 : 0) + s;
    const int width = base_most(column_width(problem, order, first[l], first[l + 1]),
                                column_width(problem, order, first[rr], first[rr + 1]));
    left[rr] = arr_on_grid(problem, edge + width / 2);
    left[l] = arr_on_grid(problem, 2 * axis - edge - width / 2);
    edge += width + form->gap;
  }
  if (middle) left[side] = arr_on_grid(problem, axis);
  for (int c = 0; c < columns; c++)
    lay_column(problem, layout, form, (column){order + first[c], first[c + 1] - first[c], left[c]}, height);
}

/* --- satellites: pairs in two wings about the leader -------------------------------------------------------- */

/* One item of a wing: as near to the leader as the wing's curve and its neighbours let it. */
static void lay_satellite(const arr_problem *problem, arr_layout *layout, int item, int x, int y) {
  const int lane = arr_lane_on(problem, &problem->items[item], 0);
  if (lane < 0) return;
  const arr_lane *l = &problem->lanes[lane];
  arr_spot spot = {arr_on_grid(problem, base_most(l->x_lo, base_least(l->x_hi, x))),
                   arr_on_grid(problem, base_most(l->y_lo, base_least(l->y_hi, y))), lane};
  if (arr_allowed(problem, layout, (size_t)item, &spot)) layout->spot[item] = spot;
}

/* The wings: pair k is order[k] on the left and order[count - 1 - k] on the right; with an odd count the
 * last left one has no partner. */
typedef struct wings {
  const int *order;
  size_t count;
} wings;

static int left_of(const wings *w, size_t k) {
  return w->order[k];
}
static int right_of(const wings *w, size_t k) {
  return w->count - 1 - k > k ? w->order[w->count - 1 - k] : -1;
}

static int pair_height(const arr_problem *problem, const wings *w, size_t k) {
  const int right = right_of(w, k), height = height_of(problem, left_of(w, k));
  return right < 0 ? height : base_most(height, height_of(problem, right));
}

static int pair_width(const arr_problem *problem, const wings *w, size_t k) {
  const int right = right_of(w, k), half = problem->items[left_of(w, k)].reach_w;
  return 2 * (right < 0 ? half : base_most(half, problem->items[right].reach_w));
}

/* One column of either wing: it takes the pairs [first, end), `inner` off the axis and `fall` lower than the focus. */
typedef struct arc {
  size_t first, end;
  int axis, inner, fall;
} arc;

/* The column bulges outward in its middle; returns its width. */
static int lay_arcs(const arr_problem *problem, arr_layout *layout, const arr_form *form, const wings *w, arc a) {
  int total = 0, width = 0;
  for (size_t k = a.first; k < a.end; k++) {
    total += pair_height(problem, w, k);
    width = base_most(width, pair_width(problem, w, k));
  }
  const int n = (int)(a.end - a.first), hi = base_least(problem->top, problem->region_y1);
  const int gap =
      n > 1 ? base_most(problem->gap, base_least(form->gap, (hi - problem->low - total) / (n - 1))) : form->gap;
  total += gap * (n - 1);
  int up = base_least(hi, base_most(problem->focus_y - a.fall + total / 2, problem->low + total));
  const double middle = up - total / 2.0;
  for (size_t k = a.first; k < a.end; k++) {
    const int high = pair_height(problem, w, k), y = easy(problem, up - high / 2);
    const double t = total > 0 ? 2 * (y - middle) / total : 0; /* -1..1 along the wing */
    const int off = a.inner + (int)lround(form->bend * fmax(0, 1 - t * t)) + width / 2;
    lay_satellite(problem, layout, left_of(w, k), a.axis - off, y);
    if (right_of(w, k) >= 0) lay_satellite(problem, layout, right_of(w, k), a.axis + off, y);
    up -= high + gap;
  }
  return width;
}

static void arr_compose_satellites(const arr_problem *problem, arr_layout *layout, const arr_form *form,
                                   const int *order, size_t count) {
  int x0, x1, y0, y1;
  const bool led = leader_box(problem, layout, &x0, &x1, &y0, &y1);
  const int axis = led ? (x0 + x1) / 2 : problem->focus_x;
  const int moat = led ? moat_of(problem, form->style) : problem->gap;
  wings w = {order, count};
  if (count % 2 == 1) { /* the odd one, in the middle of the order, hangs on the axis above or below the leader */
    const int item = order[count / 2], high = height_of(problem, item);
    const int y = !led ? problem->focus_y : form->shift > 0 ? y0 - moat - high / 2 : y1 + moat + high / 2;
    lay_satellite(problem, layout, item, axis, easy(problem, y));
    /* Where there is no room on the axis it stays the last of the left wing. */
  }
  const bool single = count % 2 == 1 && layout->spot[order[count / 2]].lane >= 0;
  const size_t pairs = single ? count / 2 : (count + 1) / 2, columns = (size_t)base_most(1, form->lines);
  int inner = (led ? (x1 - x0) / 2 : single ? problem->items[order[count / 2]].half_w : 0) + moat;
  for (size_t c = 0; c < columns; c++) {
    const size_t first = pairs * c / columns, end = pairs * (c + 1) / columns;
    const int fall = (int)lround(form->drop * ((double)c - (double)(columns - 1) / 2));
    const arc a = {first, end, axis, inner, fall};
    if (first < end) inner += lay_arcs(problem, layout, form, &w, a) + form->gap;
  }
}

void arr_compose(const arr_problem *problem, arr_layout *layout, const arr_form *form, const int *order, size_t count) {
  switch (form->style) {
  case BC_ARRANGE_LEVEL_ROWS:
    arr_compose_rows(problem, layout, form, order, count);
    return;
  case BC_ARRANGE_SATELLITES:
    arr_compose_satellites(problem, layout, form, order, count);
    return;
  default:
    arr_compose_group(problem, layout, form, order, count);
    return;
  }
}
