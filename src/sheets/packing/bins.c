/* SPDX-License-Identifier: MIT */
/* Things over as few bags as possible. Best fit decreasing gives a first answer, the bound L2 (Martello
 * and Toth 1990) may prove it; else branch and bound, and for few things a search over all subsets. */
#include <backcloth/packing.h>

#include "base/base.h"
#include <stdlib.h>
#include <string.h>

typedef struct thing {
  uint64_t grams;
  size_t index; /* in the caller's order */
} thing;

typedef struct search {
  const thing *things; /* heaviest first */
  size_t count;
  uint64_t limit;
  uint64_t *room; /* of each open bag */
  size_t *at;     /* bag of each thing, so far */
  size_t *best_at;
  size_t best;  /* bags of the best answer so far */
  size_t least; /* no answer has fewer */
  uint64_t steps, steps_most;
} search;

static int heaviest_first(const void *first, const void *second) {
  const thing *a = first, *b = second;
  if (a->grams != b->grams) return a->grams < b->grams ? 1 : -1;
  return (a->index > b->index) - (a->index < b->index);
}

/* Bound for one threshold k: things over limit - k are alone, those over half the limit are apart, and
 * what is left beside the latter must take the mass of those from k to half. */
static size_t bound_at(const thing *things, size_t count, uint64_t limit, uint64_t k) {
  size_t alone = 0, apart = 0;
  uint64_t apart_mass = 0, small_mass = 0;
  for (size_t i = 0; i < count; i++) {
    const uint64_t w = things[i].grams;
    if (w > limit - k) {
      alone++;
    } else if (2 * w > limit) {
      apart++;
      apart_mass += w;
    } else if (w >= k) {
      small_mass += w;
    }
  }
  const uint64_t beside = apart * limit - apart_mass;
  const size_t more = small_mass > beside ? (size_t)((small_mass - beside + limit - 1) / limit) : 0;
  return alone + apart + more;
}

/* L2 is the greatest of these bounds; only the masses up to half the limit, and 0, are thresholds. */
static size_t lower_bound(const thing *things, size_t count, uint64_t limit) {
  size_t best = bound_at(things, count, limit, 0);
  for (size_t i = 0; i < count; i++) {
    if (2 * things[i].grams > limit || (i > 0 && things[i].grams == things[i - 1].grams)) continue;
    const size_t here = bound_at(things, count, limit, things[i].grams);
    if (here > best) best = here;
  }
  return best;
}

/* Each thing, heaviest first, into the open bag with the least room that takes it. */
static void best_fit(search *s) {
  size_t bags = 0;
  for (size_t i = 0; i < s->count; i++) {
    size_t chosen = bags;
    for (size_t b = 0; b < bags; b++)
      if (s->room[b] >= s->things[i].grams && (chosen == bags || s->room[b] < s->room[chosen])) chosen = b;
    if (chosen == bags) s->room[bags++] = s->limit;
    s->room[chosen] -= s->things[i].grams;
    s->best_at[i] = chosen;
  }
  s->best = bags;
}

static bool same_room_before(const search *s, size_t bag) {
  for (size_t b = 0; b < bag; b++)
    if (s->room[b] == s->room[bag]) return true;
  return false;
}

/* Places thing i and those after it; `bags` are open, `left` is the mass still to place. Stops at once when
 * the bound is reached or the steps are used up. */
static void branch(search *s, size_t i, size_t bags, uint64_t left) {
  if (s->best <= s->least || s->steps >= s->steps_most) return;
  s->steps += 1 + bags; /* what a step costs */
  if (i == s->count) {
    s->best = bags;
    memcpy(s->best_at, s->at, s->count * sizeof *s->at);
    return;
  }
  uint64_t room = 0;
  for (size_t b = 0; b < bags; b++) room += s->room[b];
  const size_t more = left > room ? (size_t)((left - room + s->limit - 1) / s->limit) : 0;
  if (bags + more >= s->best) return;
  /* Alike things go into bags in order, so that swapping them is not tried. */
  const size_t from = i > 0 && s->things[i].grams == s->things[i - 1].grams ? s->at[i - 1] : 0;
  const uint64_t grams = s->things[i].grams;
  for (size_t b = from; b < bags; b++) {
    if (s->room[b] < grams || same_room_before(s, b)) continue;
    s->room[b] -= grams;
    s->at[i] = b;
    branch(s, i + 1, bags, left - grams);
    s->room[b] += grams;
  }
  if (bags + 1 >= s->best) return;
  s->room[bags] = s->limit - grams;
  s->at[i] = bags;
  branch(s, i + 1, bags + 1, left - grams);
}

/* --- all subsets: certain for few things, whatever their masses ---------------------------------------------- */
typedef struct state {
  uint32_t bags;  /* fewest bags for a subset */
  uint32_t added; /* the thing that was put in last */
  uint64_t fill;  /* least mass in the last bag with so few bags */
} state;

static bool better(state a, state b) {
  return a.bags != b.bags ? a.bags < b.bags : a.fill < b.fill;
}

/* Things in the order in which the best way put them in: bags follow by filling one after another. */
static bool all_subsets(search *s) {
  const size_t subsets = (size_t)1 << s->count;
  state *states = bc_allocate(subsets, sizeof *states);
  if (!states) return false;
  states[0] = (state){.bags = 1}; /* one bag stands open */
  for (size_t set = 1; set < subsets; set++) {
    states[set].bags = UINT32_MAX;
    for (size_t i = 0; i < s->count; i++) {
      if (!(set >> i & 1)) continue;
      const state before = states[set & ~((size_t)1 << i)];
      const uint64_t grams = s->things[i].grams;
      const bool fits = before.fill + grams <= s->limit;
      const state here = {fits ? before.bags : before.bags + 1, (uint32_t)i, fits ? before.fill + grams : grams};
      if (better(here, states[set])) states[set] = here;
    }
  }
  s->best = states[subsets - 1].bags;
  for (size_t set = subsets - 1; set > 0; set &= ~((size_t)1 << states[set].added))
    s->best_at[states[set].added] = states[set].bags - 1;
  free(states);
  return true;
}

#define STEPS_MOST 2000000 /* about a tenth of a second */
#define BRANCH_MOST 500    /* deeper is not tried: a stand with more things takes the first answer */

static bc_status solve(search *s, bool *proven, bc_context *context) {
  uint64_t mass = 0;
  for (size_t i = 0; i < s->count; i++) mass += s->things[i].grams;
  s->least = lower_bound(s->things, s->count, s->limit);
  best_fit(s);
  const bool tried = s->best > s->least && s->count <= BRANCH_MOST;
  if (tried) branch(s, 0, 0, mass);
  *proven = s->best <= s->least || (tried && s->steps < s->steps_most);
  if (*proven || s->count > BC_PACKING_PROVEN) return BC_OK;
  *proven = true;
  return all_subsets(s) ? BC_OK : bc_fail_memory(context);
}

bc_status bc_packing_split(size_t *bag_of, bc_packing_bags *bags, bc_context *context, const uint64_t *grams,
                           size_t count, uint64_t limit) {
  *bags = (bc_packing_bags){.count = 0, .proven = true};
  for (size_t i = 0; i < count; i++)
    if (grams[i] > limit || limit > UINT64_MAX / 4 / (count + 1))
      return bc_fail(
          context, BC_BAD_USAGE,
          _("One thing is heavier than a bag may be. Raise the bag's limit, or carry that thing separately."));
  thing *things = bc_allocate(count, sizeof *things);
  uint64_t *room = bc_allocate(count, sizeof *room);
  size_t *at = bc_allocate(count, sizeof *at), *best_at = bc_allocate(count, sizeof *best_at);
  bc_status status = things && room && at && best_at ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) {
    for (size_t i = 0; i < count; i++) things[i] = (thing){grams[i], i};
    qsort(things, count, sizeof *things, heaviest_first);
    search s = {.things = things,
                .count = count,
                .limit = limit,
                .room = room,
                .at = at,
                .best_at = best_at,
                .steps_most = STEPS_MOST};
    status = solve(&s, &bags->proven, context);
    for (size_t i = 0; i < count; i++) bag_of[things[i].index] = best_at[i];
    bags->count = s.best;
  }
  free(things);
  free(room);
  free(at);
  free(best_at);
  return status;
}
