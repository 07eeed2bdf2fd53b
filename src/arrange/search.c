/* SPDX-License-Identifier: MIT */
/* Looks for the best layout of a style: all forms from a sensible order, then better orders by
 * annealing, then repair and polish. Work is counted, not timed, so the answer never depends on the
 * machine. Annealing: Kirkpatrick, Gelatt and Vecchi, Science 220, 1983. */
#include "search.h"

#include "compose.h"
#include "nearest_place.h"
#include "rules.h"
#include "score.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A trial of the search: an order and a form, and what they are worth. */
typedef struct trial {
  arr_form form;
  int *order;
  double value;
} trial;

typedef struct search {
  const arr_problem *problem;
  bc_arrange_style style;
  arr_layout base, work; /* leaders and carried pieces; a layout being tried */
  int *order;            /* free items in the first order */
  size_t count;
  arr_random random;
  size_t budget; /* layouts that may still be judged */
} search;

/* Pairs looked at in all are bounded, so that large plans take no longer. */
static size_t budget_for(const arr_problem *problem) {
  const double pairs = (double)problem->count * (double)problem->count / 2 + 50;
  const double tries = fmin(6000, fmax(60, 3.0e6 / pairs));
  return (size_t)fmax(60, tries * problem->options.effort);
}

/* --- the first order: groups together, larger first ------------------------------------------------------- */

typedef struct sort_key {
  int item, group;
  double group_size, size;
} sort_key;

static int by_size(const void *a, const void *b) {
  const sort_key *first = a, *second = b;
  if (first->group_size != second->group_size) return first->group_size > second->group_size ? -1 : 1;
  if (first->group != second->group) return first->group < second->group ? -1 : 1;
  if (first->size != second->size) return first->size > second->size ? -1 : 1;
  return first->item - second->item;
}

static bool hangs_free(const arr_problem *problem, size_t i) {
  const arr_item *item = &problem->items[i];
  return !item->kept && item->where == ARR_HANGING && arr_lane_on(problem, item, 0) >= 0;
}

/* Left to right with the right half the mirror image of the left: runs of a group go in turn to the
 * shorter side, from the outside (left: from the front, right: from the back) inwards. */
static void mirror_order(search *s, const sort_key *keys) {
  size_t left = 0, right = s->count;
  double left_area = 0, right_area = 0;
  for (size_t i = 0; i < s->count;) {
    size_t end = i + 1;
    while (keys[i].group >= 0 && end < s->count && keys[end].group == keys[i].group) end++;
    const bool to_left = left_area <= right_area;
    for (; i < end; i++) {
      *(to_left ? &left_area : &right_area) += keys[i].size;
      if (to_left)
        s->order[left++] = keys[i].item;
      else
        s->order[--right] = keys[i].item;
    }
  }
}

static void first_order(search *s) {
  const arr_problem *problem = s->problem;
  sort_key *keys = malloc((problem->count + 1) * sizeof *keys);
  s->count = 0;
  if (!keys) return;
  for (size_t i = 0; i < problem->count; i++) {
    if (!hangs_free(problem, i) || s->base.spot[i].lane >= 0) continue;
    const arr_item *item = &problem->items[i];
    sort_key key = {.item = (int)i, .group = item->group, .size = item->area, .group_size = item->area};
    int members = 0;
    double area = 0;
    for (size_t j = 0; item->group >= 0 && j < problem->count; j++) {
      if (problem->items[j].group != item->group) continue;
      members++;
      area += problem->items[j].area;
    }
    if (members > 0) key.group_size = area / members;
    keys[s->count++] = key;
  }
  qsort(keys, s->count, sizeof *keys, by_size);
  if (s->style == BC_ARRANGE_LEVEL_ROWS)
    for (size_t i = 0; i < s->count; i++) s->order[i] = keys[i].item;
  else
    mirror_order(s, keys);
  free(keys);
}

/* --- trying ---------------------------------------------------------------------------------------------------- */

static double try_out(search *s, const arr_form *form, const int *order) {
  arr_layout_copy(&s->work, &s->base, s->problem);
  arr_compose(s->problem, &s->work, form, order, s->count);
  if (s->budget > 0) s->budget--;
  return arr_value(s->problem, &s->work, s->style);
}

#define TRIALS 4

/* Keeps the best few, one for each number of lines, so that what is refined later really differs. */
static void offer(trial trials[TRIALS], const arr_form *form, const int *order, size_t count, double value) {
  int from = TRIALS - 1;
  for (int i = 0; i < TRIALS; i++)
    if (trials[i].value > -1e8 && trials[i].form.lines == form->lines) from = i;
  if (value <= trials[from].value + 1e-12) return;
  int *reused = trials[from].order;
  for (; from > 0 && value > trials[from - 1].value + 1e-12; from--) trials[from] = trials[from - 1];
  memcpy(reused, order, count * sizeof *order);
  trials[from] = (trial){*form, reused, value};
}

static int base_gap(const arr_problem *problem) {
  return problem->gap > 20 ? problem->gap : 20;
}

static bool has_groups(const search *s) {
  for (size_t i = 0; i < s->count; i++)
    if (s->problem->items[s->order[i]].group >= 0) return true;
  return false;
}

/* The v-th variant of a form; false when there is none. */
static bool variant(const search *s, arr_form *form, int v) {
  switch (s->style) {
  case BC_ARRANGE_LEVEL_ROWS: /* a row on the focus, or the block; groups as slices or row by row */
    form->shift = v / 2 - 1;
    form->bend = v % 2;
    return v / 2 <= form->lines && (form->bend == 0 || has_groups(s));
  case BC_ARRANGE_SATELLITES: { /* bends and falls, the odd one above or below */
    static const int bends[] = {0, 80, 160, 0, 0, 0}, drops[] = {0, 0, 0, 100, 200, -150};
    form->bend = bends[v % 6];
    form->drop = drops[v % 6];
    form->shift = v / 6;
    return v < 12;
  }
  default:
    form->bend = v;
    return v < 2;
  }
}

/* Without groups the pieces of each of `lines` rows are mirrored about its middle: the larger outside. */
static void mirror_rows(const search *s, int lines, int *order) {
  for (int r = 0; r < lines; r++) {
    const size_t first = s->count * (size_t)r / (size_t)lines, end = s->count * ((size_t)r + 1) / (size_t)lines;
    size_t left = first, right = end;
    for (size_t i = first; i < end; i++) {
      if ((i - first) % 2 == 0)
        order[left++] = s->order[i];
      else
        order[--right] = s->order[i];
    }
  }
}

static void all_forms(search *s, trial trials[TRIALS]) {
  int *mirrored = malloc((s->count + 1) * sizeof *mirrored);
  const bool mirror = mirrored && s->style == BC_ARRANGE_LEVEL_ROWS && !has_groups(s);
  static const double widths[] = {1, 1.5, 2, 3};
  const int lines = s->style == BC_ARRANGE_LEVEL_ROWS ? 8 : 6;
  for (int n = 1; n <= lines && (size_t)n <= s->count; n++) {
    if (mirror) mirror_rows(s, n, mirrored);
    for (size_t w = 0; w < sizeof widths / sizeof widths[0]; w++)
      for (int v = 0; v < 2 * (lines + 2); v++) {
        arr_form form = {.style = s->style,
                         .lines = n,
                         .gap = (int)lround(widths[w] * base_gap(s->problem)),
                         .shift = -1,
                         .tilt = 100};
        if (!variant(s, &form, v)) continue;
        offer(trials, &form, s->order, s->count, try_out(s, &form, s->order));
        if (mirror) offer(trials, &form, mirrored, s->count, try_out(s, &form, mirrored));
      }
  }
  if (s->count == 0) {
    const arr_form form = {.style = s->style, .lines = 1, .gap = s->problem->gap, .shift = -1, .tilt = 100};
    offer(trials, &form, s->order, 0, try_out(s, &form, s->order));
  }
  free(mirrored);
}

/* The run of one group round place `at` of an order; a piece without a group is a run of its own. */
static void run_of(const search *s, const int *order, size_t at, size_t *first, size_t *end) {
  const int group = s->problem->items[order[at]].group;
  *first = at;
  *end = at + 1;
  if (group < 0) return;
  while (*first > 0 && s->problem->items[order[*first - 1]].group == group) --*first;
  while (*end < s->count && s->problem->items[order[*end]].group == group) ++*end;
}

static void swap_two(int *order, size_t a, size_t b) {
  const int kept = order[a];
  order[a] = order[b];
  order[b] = kept;
}

static void reverse(int *order, size_t first, size_t end) {
  for (; first + 1 < end; first++, end--) swap_two(order, first, end - 1);
}

/* A neighbouring order: two pieces change places within a group, or two whole runs do, so that groups
 * never come apart. Three reversals exchange two runs and keep what lies between. */
static void change_order(search *s, int *order) {
  const size_t a = arr_random_below(&s->random, s->count), b = arr_random_below(&s->random, s->count);
  size_t a0, a1, b0, b1;
  run_of(s, order, a, &a0, &a1);
  if (a1 - a0 > 1 && arr_random_below(&s->random, 3) > 0) {
    swap_two(order, a, a0 + arr_random_below(&s->random, a1 - a0));
    return;
  }
  run_of(s, order, b, &b0, &b1);
  if (a0 == b0) return;
  const bool forward = a0 < b0;
  const size_t first0 = forward ? a0 : b0, first1 = forward ? a1 : b1, last0 = forward ? b0 : a0,
               last1 = forward ? b1 : a1;
  const size_t between = last0 - first1, last = last1 - last0;
  reverse(order, first0, last1); /* last, between, first, each reversed */
  reverse(order, first0, first0 + last);
  if (arr_random_below(&s->random, 3) > 0) { /* exchange; otherwise what lies between goes along and is turned */
    reverse(order, first0 + last, first0 + last + between);
  }
  reverse(order, first0 + last + between, last1);
}

static void change_form(search *s, arr_form *form) {
  static const double widths[] = {1, 1.25, 1.5, 1.75, 2, 2.5, 3};
  switch (arr_random_below(&s->random, 3)) {
  case 0:
    form->gap = (int)lround(widths[arr_random_below(&s->random, 7)] * base_gap(s->problem));
    return;
  case 1:
    form->lines += arr_random_below(&s->random, 2) ? 1 : -1;
    if (form->lines < 1) form->lines = 1;
    return;
  default:
    break;
  }
  if (s->style == BC_ARRANGE_CENTRED_GROUP) form->bend = !form->bend;
  if (s->style == BC_ARRANGE_LEVEL_ROWS) {
    form->shift = (int)arr_random_below(&s->random, 5) - 1;
    form->bend = (int)arr_random_below(&s->random, 2);
    form->tilt = 50 + 25 * (int)arr_random_below(&s->random, 7);
  }
  if (s->style == BC_ARRANGE_SATELLITES) {
    form->bend = (int)arr_random_below(&s->random, 2) * (int)arr_random_below(&s->random, 6) * 40;
    form->drop = form->bend ? 0 : (int)arr_random_below(&s->random, 9) * 50 - 150;
  }
}

static void anneal(search *s, trial *from, trial trials[TRIALS], size_t tries) {
  int *now = malloc((s->count + 1) * sizeof *now), *next = malloc((s->count + 1) * sizeof *next);
  arr_form form = from->form;
  double value = from->value;
  const double cooling = tries > 1 ? pow(0.02, 1.0 / (double)tries) : 1;
  double heat = 0.03;
  if (now && next && s->count > 0) {
    memcpy(now, from->order, s->count * sizeof *now);
    for (size_t i = 0; i < tries; i++, heat *= cooling) {
      arr_form changed = form;
      memcpy(next, now, s->count * sizeof *next);
      if (arr_random_below(&s->random, 8) == 0)
        change_form(s, &changed);
      else
        change_order(s, next);
      const double tried = try_out(s, &changed, next);
      if (tried < value && arr_random_unit(&s->random) >= exp((tried - value) / heat)) continue;
      int *kept = now;
      now = next;
      next = kept;
      form = changed;
      value = tried;
      offer(trials, &form, now, s->count, value);
    }
  }
  free(now);
  free(next);
}

/* --- from trials to the answer --------------------------------------------------------------------------------- */

static bool better(double value, double than) {
  return value > than + 1e-12;
}

/* Repairs and polishes a layout, and keeps it when it beats the best. */
static void finish(search *s, arr_layout *layout, arr_layout *spare, arr_layout *best, double *best_value) {
  arr_repair(s->problem, layout);
  const size_t movable = s->problem->count;
  const bool coarse = s->problem->grid > 1;
  const size_t tries = coarse ? 8 * budget_for(s->problem) : budget_for(s->problem) / 4;
  const arr_effort effort = {movable > 0 ? tries : 0, coarse ? 0.02 : 0};
  arr_polish(s->problem, layout, spare, s->style, &s->random, effort);
  const double value = arr_value(s->problem, layout, s->style);
  if (!better(value, *best_value)) return;
  *best_value = value;
  arr_layout_copy(best, layout, s->problem);
}

/* The number of tight packings that are tried before a piece is left off. */
#define PACKINGS (12 * ARR_LEADER_PLACES)
/* Between these, pieces are searched from several beginnings: one alone misses now and then what another finds. */
#define FEW 7
#define MANY 36
#define STARTS 3

static void pack_if_needed(search *s, arr_layout *best, arr_layout *spare, double *best_value) {
  bool packed = false;
  for (int i = 0; i < PACKINGS; i++) {
    const int lost = arr_lost(s->problem, best);
    if (lost == 0 || (s->problem->count > 300 && i > 0)) break;
    if (!arr_pack(s->problem, &s->work, i, lost)) continue; /* what is lost counts before all else */
    const double value = arr_value(s->problem, &s->work, s->style);
    if (!better(value, *best_value)) continue;
    *best_value = value;
    packed = true;
    arr_layout_copy(best, &s->work, s->problem);
  }
  if (!packed) return;
  arr_polish(s->problem, best, spare, s->style, &s->random, (arr_effort){budget_for(s->problem) / 2, 0.01});
  *best_value = arr_value(s->problem, best, s->style);
}

static bc_status run(search *s, bc_context *context, arr_layout *best, double *best_value) {
  trial trials[TRIALS] = {0};
  arr_layout spare = {0}, layout = {0};
  bool ready = arr_layout_new(&spare, s->problem) && arr_layout_new(&layout, s->problem);
  for (int i = 0; i < TRIALS; i++) {
    trials[i].value = -1e9;
    trials[i].order = bc_allocate(s->count + 1, sizeof(int));
    ready = ready && trials[i].order;
  }
  if (ready) {
    all_forms(s, trials);
    const size_t tries = s->count > 1 ? s->budget / 3 : 0;
    for (int round = 0; round < 3; round++) {
      trial from = trials[round];
      int *order = malloc((s->count + 1) * sizeof *order);
      if (!order || from.value < -1e8) {
        free(order);
        break;
      }
      memcpy(order, from.order, s->count * sizeof *order);
      from.order = order;
      anneal(s, &from, trials, tries);
      free(order);
    }
    for (int i = 0; i < TRIALS && trials[i].value > -1e8; i++) {
      arr_layout_copy(&layout, &s->base, s->problem);
      arr_compose(s->problem, &layout, &trials[i].form, trials[i].order, s->count);
      finish(s, &layout, &spare, best, best_value);
    }
    pack_if_needed(s, best, &spare, best_value);
  }
  for (int i = 0; i < TRIALS; i++) free(trials[i].order);
  arr_layout_free(&spare);
  arr_layout_free(&layout);
  return ready ? BC_OK : bc_fail_memory(context);
}

bc_status arr_search(const arr_problem *problem, bc_context *context, arr_layout *best, bc_arrange_style style) {
  search s = {.problem = problem, .style = style};
  s.order = bc_allocate(problem->count + 1, sizeof *s.order);
  bc_status status = BC_OK;
  if (!s.order || !arr_layout_new(&s.base, problem) || !arr_layout_new(&s.work, problem)) {
    status = bc_fail_memory(context);
  } else {
    arr_place_leaders(problem, &s.base);
    arr_place_carried(problem, &s.base, style);
    first_order(&s);
    double best_value = -1e9;
    const int starts = problem->count > FEW && problem->count <= MANY ? STARTS : 1;
    for (int start = 0; status == BC_OK && start < starts; start++) {
      s.random.state = (problem->options.seed + (uint64_t)start * 7919u) * 1000003u + (uint64_t)style;
      s.budget = budget_for(problem);
      status = run(&s, context, best, &best_value);
    }
  }
  free(s.order);
  arr_layout_free(&s.base);
  arr_layout_free(&s.work);
  return status;
}
