/* SPDX-License-Identifier: MIT */
/* Three suggestions in order of effect: what each would add to the mean clarity of the collection.
 * In: facts. Out: sentences with figures. Source: docs/method/feedback.md. */
#include "feedback_internal.h"

#include <backcloth/colour.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SUGGESTED 3
#define CLOTHS 2   /* so that there is room for what can be done without a new cloth */
#define WORTH 0.01 /* a smaller gain isn't worth a maker's work */

typedef enum kind { TRY_CLOTH, TRY_CARD_LIGHT, TRY_CARD_DARK, TRY_LAMP, TRY_PLACE, TRY_KEEP } kind;
typedef struct idea {
  kind kind;
  double gain;                   /* of the mean clarity */
  const bc_ranked_cloth *ranked; /* TRY_CLOTH; NULL for what is done on the wall as it is */
  size_t *pieces, piece_count;   /* for cards, lamps, places */
} idea;
enum { most_ideas = 12 };
typedef struct ideas {
  idea list[most_ideas];
  size_t count;
} ideas;

static void add(ideas *all, idea one) {
  if (all->count < most_ideas)
    all->list[all->count++] = one;
  else
    free(one.pieces);
}

/* To a maker in a shop two cloths of one name are one cloth. */
static bool is_named_before(const feedback_facts *facts, size_t i) {
  const char *name = feedback_cloth(facts, &facts->match->cloths[facts->best[i]])->name;
  for (size_t k = 0; k < i; k++)
    if (strcmp(feedback_cloth(facts, &facts->match->cloths[facts->best[k]])->name, name) == 0) return true;
  return false;
}

/* More pieces that stand out, or fewer that get lost, on a cloth that isn't ranked below: worth naming, even where the
 * mean hardly moves. So the wall is never praised beside a cloth with better counts. */
static bool is_better(const feedback_facts *facts, const bc_ranked_cloth *other, const bc_ranked_cloth *here,
                      double gain) {
  if (gain > WORTH) return true;
  return other->rank <= here->rank &&
         (feedback_count(facts, other, BC_STANDS_OUT) > feedback_count(facts, here, BC_STANDS_OUT) ||
          feedback_count(facts, other, BC_GETS_LOST) < feedback_count(facts, here, BC_GETS_LOST));
}

static void think_of_cloths(ideas *all, const feedback_facts *facts) {
  const bc_ranked_cloth *here = feedback_now(facts);
  const double now = feedback_mean_clarity(facts, here);
  for (size_t i = 0; i < facts->best_count && i < CLOTHS; i++) {
    const bc_ranked_cloth *ranked = &facts->match->cloths[facts->best[i]];
    const double gain = feedback_mean_clarity(facts, ranked) - now;
    if (is_better(facts, ranked, here, gain) && !is_named_before(facts, i))
      add(all, (idea){.kind = TRY_CLOTH, .gain = gain, .ranked = ranked});
  }
}

static kind kind_of(const bc_advice *advice) {
  if (advice->remedy == BC_REMEDY_LAMP) return TRY_LAMP;
  if (advice->remedy == BC_REMEDY_MOUNT) return advice->light_mount ? TRY_CARD_LIGHT : TRY_CARD_DARK;
  return TRY_PLACE;
}

/* Pieces that the same change helps are one suggestion. On the wall as it is, no other cloth is offered. */
static bool think_of_pieces(ideas *all, const feedback_facts *facts) {
  idea by_kind[TRY_KEEP] = {0};
  for (size_t i = 0; i < facts->count; i++) {
    const bc_pair *pair = &facts->alone->cloths[0].pairs[i];
    if (pair->verdict == BC_STANDS_OUT) continue;
    if (facts->all.piece[i].reading->confidence < BC_CUTOUT_SURE) continue; /* first its photo, then what to try */
    const bc_advice advice = bc_match_advice(facts->alone, 0, i);
    idea *one = &by_kind[kind_of(&advice)];
    one->kind = kind_of(&advice);
    size_t *grown = bc_reallocate(one->pieces, one->piece_count + 1, sizeof *grown);
    if (!grown) break;
    one->pieces = grown;
    one->pieces[one->piece_count++] = i;
    one->gain += (advice.clarity - pair->clarity) / (double)facts->count;
  }
  for (size_t i = 0; i < TRY_KEEP; i++)
    if (by_kind[i].piece_count) add(all, by_kind[i]);
  return true;
}

static int more_gain(const void *a, const void *b) {
  const idea *first = a, *second = b;
  if (first->gain != second->gain) return first->gain < second->gain ? 1 : -1;
  return (int)first->kind - (int)second->kind;
}

static void say_cloth(feedback_pen *pen, const feedback_facts *facts, const idea *one, bool serves, bool first) {
  const bc_ranked_cloth *now = feedback_now(facts), *then = one->ranked;
  const char *name = feedback_cloth(facts, then)->name;
  if (serves)
    feedback_say(pen, _("If you wish to go further: “%s” would be clearer still."), name);
  else if (first)
    feedback_say(pen, _("Hang “%s” behind the pieces."), name);
  else
    feedback_say(pen, _("Or hang “%s”, if that is easier to come by."), name);
  const size_t clear_now = feedback_count(facts, now, BC_STANDS_OUT),
               clear = feedback_count(facts, then, BC_STANDS_OUT);
  const size_t lost_now = feedback_count(facts, now, BC_GETS_LOST), lost = feedback_count(facts, then, BC_GETS_LOST);
  feedback_figure(pen, "stand_out", (double)clear, _("stand out: %zu now, %zu then"), clear_now, clear);
  feedback_figure(pen, "lost", (double)lost, _("get lost: %zu now, %zu then"), lost_now, lost);
}

static void say_pieces(feedback_pen *pen, const feedback_facts *facts, const idea *one) {
  char *names = feedback_names(facts, one->pieces, one->piece_count);
  if (!names) {
    pen->failed = true;
    return;
  }
  if (one->kind == TRY_CARD_LIGHT)
    feedback_say(pen, _("Put a plain light card or board behind: %s."), names);
  else if (one->kind == TRY_CARD_DARK)
    feedback_say(pen, _("Put a plain dark card or board behind: %s."), names);
  else if (one->kind == TRY_LAMP)
    feedback_say(pen, _("Point a small cool lamp, well away from cloth, at: %s."), names);
  else
    feedback_say(pen, _("Show these against something else, for example flat on the table: %s."), names);
  feedback_figure(pen, "pieces", (double)one->piece_count, bc_text_plural("%zu piece", "%zu pieces", one->piece_count),
                  one->piece_count);
  free(names);
}

static void say_gain(feedback_pen *pen, const feedback_facts *facts, const idea *one) {
  const double now = feedback_mean_clarity(facts, feedback_now(facts));
  feedback_figure(pen, "clarity_after", now + one->gain, _("clarity of all pieces together: %.0f %% now, %.0f %% then"),
                  100 * now, 100 * (now + one->gain));
}

static void say_keep(feedback_pen *pen, const feedback_facts *facts) {
  const bc_ranked_cloth *now = feedback_now(facts);
  const size_t clear = feedback_count(facts, now, BC_STANDS_OUT);
  feedback_say(pen, _("Keep the wall as it is: “%s” serves these pieces."), feedback_cloth(facts, now)->name);
  feedback_figure(pen, "stand_out", (double)clear, _("%zu of %zu stand out"), clear, facts->count);
  if (!facts->best_count) return;
  const bc_ranked_cloth *next = &facts->match->cloths[facts->best[0]];
  const size_t other = feedback_count(facts, next, BC_STANDS_OUT);
  feedback_figure(pen, "stand_out_on_next", (double)other, _("on “%s”: %zu"), feedback_cloth(facts, next)->name, other);
}

void feedback_try(feedback_pen *pen, const feedback_facts *facts) {
  ideas all = {0};
  think_of_cloths(&all, facts);
  const bool serves = all.count == 0 || feedback_count(facts, feedback_now(facts), BC_STANDS_OUT) == facts->count;
  bool first = true;
  pen->sheet->summary.serves = serves;
  think_of_pieces(&all, facts);
  qsort(all.list, all.count, sizeof all.list[0], more_gain);
  feedback_section(pen, BC_FEEDBACK_TRY, NULL, "%s", _("What to try, the most effective first"));
  if (serves) say_keep(pen, facts);
  const size_t left = serves ? SUGGESTED - 1 : SUGGESTED;
  for (size_t i = 0; i < all.count; i++) {
    const idea *one = &all.list[i];
    if (i < left && one->kind == TRY_CLOTH) {
      say_cloth(pen, facts, one, serves, first);
      first = false;
    }
    if (i < left && one->kind != TRY_CLOTH) say_pieces(pen, facts, one);
    if (i < left) say_gain(pen, facts, one);
    free(one->pieces);
  }
}
