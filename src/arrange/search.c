/* SPDX-License-Identifier: MIT */
/* Looks for the best layout of a style: all forms from a sensible order, then better orders by
 * annealing, then repair and polish. Work is counted, not timed, so the answer never depends on the
 * machine. Annealing: Kirkpatrick, Gelatt and Vecchi, Science 220, 1983. */
#include "arrange_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* splitmix64: Steele, Lea and Flood, OOPSLA 2014. */
uint64_t arr_random_next(arr_random *random) {
  uint64_t z = (random->state += 0x9e3779b97f4a7c15u);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

size_t arr_random_below(arr_random *random, size_t count) { return (size_t)(arr_random_next(random) % count); }

double arr_random_unit(arr_random *random) { return (double)(arr_random_next(random) >> 11) * 0x1p-53; }

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
  size_t budget;         /* layouts that may still be judged */
} search;

/* Pairs looked at in all are bounded, so that large plans take no longer. */
static size_t budget_for(const arr_problem *problem) {
  const double pairs = (double)problem->count * (double)problem->count / 2 + 50;
  const double tries = 6.0e6 / pairs;
  return (size_t)fmin(12000, fmax(60, tries));
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
  for (size_t i = 0; i < s->count; i++) s->order[i] = keys[i].item;
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

/* Keeps the best few. */
static void offer(trial trials[TRIALS], const arr_form *form, const int *order, size_t count, double value) {
  int at = TRIALS;
  while (at > 0 && value > trials[at - 1].value + 1e-12) at--;
  if (at == TRIALS) return;
  int *reused = trials[TRIALS - 1].order;
  for (int i = TRIALS - 1; i > at; i--) trials[i] = trials[i - 1];
  memcpy(reused, order, count * sizeof *order);
  trials[at] = (trial){*form, reused, value};
}

static void all_forms(search *s, trial trials[TRIALS]) {
  static const double widths[] = {1, 1.5, 2, 3};
  const int lines = s->style == BC_ARRANGE_LEVEL_ROWS ? 9 : 6;
  for (int n = 1; n <= lines; n++)
    for (size_t w = 0; w < sizeof widths / sizeof widths[0]; w++) {
      const int gap = (int)lround(widths[w] * (s->problem->gap > 20 ? s->problem->gap : 20));
      const int variants = s->style == BC_ARRANGE_LEVEL_ROWS ? n + 1 : s->style == BC_ARRANGE_SATELLITES ? 6 : 2;
      for (int v = 0; v < variants; v++) {
        arr_form form = {.style = s->style, .lines = n, .gap = gap, .shift = v - 1, .bend = v};
        if (s->style == BC_ARRANGE_SATELLITES) { /* three bends, the odd one above or below */
          form.bend = v % 3 * 80;
          form.shift = v / 3;
        }
        offer(trials, &form, s->order, s->count, try_out(s, &form, s->order));
      }
    }
}

/* A neighbouring order: two pieces change places, or one moves elsewhere in the list. */
static void change_order(search *s, int *order) {
  const size_t a = arr_random_below(&s->random, s->count), b = arr_random_below(&s->random, s->count);
  if (arr_random_below(&s->random, 3) > 0) {
    const int kept = order[a];
    order[a] = order[b];
    order[b] = kept;
    return;
  }
  const int moved = order[a];
  if (a < b) memmove(order + a, order + a + 1, (b - a) * sizeof *order);
  if (b < a) memmove(order + b + 1, order + b, (a - b) * sizeof *order);
  order[b] = moved;
}

static void change_form(search *s, arr_form *form) {
  static const double widths[] = {1, 1.25, 1.5, 1.75, 2, 2.5, 3};
  switch (arr_random_below(&s->random, 3)) {
  case 0: {
    const int gap = s->problem->gap > 20 ? s->problem->gap : 20;
    form->gap = (int)lround(widths[arr_random_below(&s->random, 7)] * gap);
    return;
  }
  case 1:
    form->lines += arr_random_below(&s->random, 2) ? 1 : -1;
    if (form->lines < 1) form->lines = 1;
    return;
  default:
    if (s->style == BC_ARRANGE_LEVEL_ROWS) form->shift = (int)arr_random_below(&s->random, 5) - 1;
    if (s->style == BC_ARRANGE_SATELLITES) form->bend = (int)arr_random_below(&s->random, 6) * 40;
    if (s->style == BC_ARRANGE_CENTRED_GROUP) form->bend = !form->bend;
    return;
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
      if (arr_random_below(&s->random, 8) == 0) change_form(s, &changed);
      else change_order(s, next);
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

static bool better(double value, double than) { return value > than + 1e-12; }

/* Repairs and polishes a layout, and keeps it when it beats the best. */
static void finish(search *s, arr_layout *layout, arr_layout *spare, arr_layout *best, double *best_value) {
  arr_repair(s->problem, layout);
  const size_t movable = s->problem->count;
  const bool coarse = s->problem->grid > 1;
  const size_t tries = coarse ? 40 * budget_for(s->problem) / 10 : budget_for(s->problem) / 4;
  arr_polish(s->problem, layout, spare, s->style, &s->random, movable > 0 ? tries : 0, coarse ? 0.02 : 0);
  const double value = arr_value(s->problem, layout, s->style);
  if (!better(value, *best_value)) return;
  *best_value = value;
  arr_layout_copy(best, layout, s->problem);
}

/* The number of tight packings that are tried before a piece is left off. */
#define PACKINGS 12

static void pack_if_needed(search *s, arr_layout *best, double *best_value) {
  for (int i = 0; i < PACKINGS && arr_lost(s->problem, best) > 0; i++) {
    if (s->problem->count > 300 && i > 0) return;
    arr_pack(s->problem, &s->work, i);
    const double value = arr_value(s->problem, &s->work, s->style);
    if (!better(value, *best_value)) continue;
    *best_value = value;
    arr_layout_copy(best, &s->work, s->problem);
  }
}

static bc_status run(search *s, bc_context *context, arr_layout *best) {
  trial trials[TRIALS] = {0};
  arr_layout spare = {0}, layout = {0};
  bool ready = arr_layout_new(&spare, s->problem) && arr_layout_new(&layout, s->problem);
  for (int i = 0; i < TRIALS; i++) {
    trials[i].value = -1e9;
    trials[i].order = bc_allocate(s->count + 1, sizeof(int));
    ready = ready && trials[i].order;
  }
  if (ready) {
    double best_value = -1e9;
    all_forms(s, trials);
    const size_t tries = s->count > 1 ? s->budget / 2 : 0;
    for (int round = 0; round < 2; round++) {
      trial from = trials[round];
      int *order = malloc((s->count + 1) * sizeof *order);
      if (!order || from.value < -1e8) { free(order); break; }
      memcpy(order, from.order, s->count * sizeof *order);
      from.order = order;
      anneal(s, &from, trials, tries);
      free(order);
    }
    for (int i = 0; i < TRIALS && trials[i].value > -1e8; i++) {
      arr_layout_copy(&layout, &s->base, s->problem);
      arr_compose(s->problem, &layout, &trials[i].form, trials[i].order, s->count);
      finish(s, &layout, &spare, best, &best_value);
    }
    pack_if_needed(s, best, &best_value);
  }
  for (int i = 0; i < TRIALS; i++) free(trials[i].order);
  arr_layout_free(&spare);
  arr_layout_free(&layout);
  return ready ? BC_OK : bc_fail_memory(context);
}

bc_status arr_search(const arr_problem *problem, bc_context *context, arr_layout *best, bc_arrange_style style) {
  search s = {.problem = problem, .style = style, .budget = budget_for(problem)};
  s.random.state = problem->options.seed * 1000003u + (uint64_t)style;
  s.order = bc_allocate(problem->count + 1, sizeof *s.order);
  bc_status status = BC_OK;
  if (!s.order || !arr_layout_new(&s.base, problem) || !arr_layout_new(&s.work, problem)) {
    status = bc_fail_memory(context);
  } else {
    arr_place_leaders(problem, &s.base);
    arr_place_carried(problem, &s.base, style);
    first_order(&s);
    status = run(&s, context, best);
  }
  free(s.order);
  arr_layout_free(&s.base);
  arr_layout_free(&s.work);
  return status;
}
