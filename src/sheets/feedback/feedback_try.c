/* SPDX-License-Identifier: MIT */
/* Three suggestions in order of effect: what each would add to the score of the collection, which orders the cloths of
 * match, too, so that no two answers disagree.
 * In: facts. Out: sentences with figures. Source: docs/method/feedback.md. */
#include "feedback_internal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SUGGESTED 3
#define CLOTHS 2  /* so that there is room for what can be done without a new cloth */
#define WORTH 1.0 /* points of score; a smaller gain isn't worth a maker's work */

typedef enum kind { TRY_CLOTH, TRY_CARD_LIGHT, TRY_CARD_DARK, TRY_LAMP, TRY_PLACE, TRY_KEEP } kind;
typedef struct idea {
  kind kind;
  double gain;                   /* of the score, in points */
  double mean_gain;              /* of the mean clarity: what decides where the score stays */
  size_t helped;                 /* for cards, lamps, places: pieces that stand out then */
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

static void think_of_cloths(ideas *all, const feedback_facts *facts) {
  const bc_ranked_cloth *here = feedback_now(facts);
  for (size_t i = 0; i < facts->best_count && i < CLOTHS; i++) {
    const bc_ranked_cloth *ranked = &facts->match->cloths[facts->best[i]];
    const double gain = ranked->score - here->score;
    if (gain >= WORTH && !is_named_before(facts, i))
      add(all, (idea){.kind = TRY_CLOTH,
                      .gain = gain,
                      .mean_gain = feedback_mean_clarity(facts, ranked) - feedback_mean_clarity(facts, here),
                      .ranked = ranked});
  }
}

static kind kind_of(const bc_advice *advice) {
  if (advice->remedy == BC_REMEDY_LAMP) return TRY_LAMP;
  if (advice->remedy == BC_REMEDY_MOUNT) return advice->light_mount ? TRY_CARD_LIGHT : TRY_CARD_DARK;
  return TRY_PLACE;
}

static bool add_piece(idea *to, size_t piece, const bc_advice *advice, double clarity) {
  size_t *grown = bc_reallocate(to->pieces, to->piece_count + 1, sizeof *grown);
  if (!grown) return false;
  to->kind = kind_of(advice);
  to->pieces = grown;
  to->pieces[to->piece_count++] = piece;
  to->mean_gain += advice->clarity - clarity;
  to->helped += advice->verdict == BC_STANDS_OUT;
  return true;
}

/* Score of the wall as it is with the pieces of an idea changed as advised. */
static bool find_gain(idea *one, const feedback_facts *facts) {
  double *clarity = bc_allocate(facts->count, sizeof *clarity);
  if (!clarity) return false;
  for (size_t i = 0; i < facts->count; i++) clarity[i] = facts->alone->cloths[0].pairs[i].clarity;
  for (size_t i = 0; i < one->piece_count; i++)
    clarity[one->pieces[i]] = bc_match_advice(facts->alone, 0, one->pieces[i]).clarity;
  one->gain = bc_match_score_of(clarity, facts->count) - facts->alone->cloths[0].score;
  one->mean_gain /= (double)facts->count;
  free(clarity);
  return true;
}

/* Pieces that the same change helps are one suggestion. On the wall as it is, no other cloth is offered. */
static bool think_of_pieces(ideas *all, const feedback_facts *facts) {
  idea by_kind[TRY_KEEP] = {0};
  bool room = true;
  for (size_t i = 0; room && i < facts->count; i++) {
    const bc_pair *pair = &facts->alone->cloths[0].pairs[i];
    if (pair->verdict == BC_STANDS_OUT) continue;
    if (bc_reading_is_doubtful(facts->all.piece[i].reading)) continue; /* first its photo, then what to try */
    const bc_advice advice = bc_match_advice(facts->alone, 0, i);
    room = add_piece(&by_kind[kind_of(&advice)], i, &advice, pair->clarity);
  }
  for (size_t i = 0; i < TRY_KEEP; i++) {
    if (room && by_kind[i].piece_count) room = find_gain(&by_kind[i], facts);
    if (room && by_kind[i].piece_count)
      add(all, by_kind[i]);
    else
      free(by_kind[i].pieces);
  }
  return room;
}

static int more_gain(const void *a, const void *b) {
  const idea *first = a, *second = b;
  if (fabs(first->gain - second->gain) >= 0.5) return first->gain < second->gain ? 1 : -1;
  if (first->mean_gain != second->mean_gain) return first->mean_gain < second->mean_gain ? 1 : -1;
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
  const double now = feedback_now(facts)->score;
  const size_t clear = feedback_count(facts, feedback_now(facts), BC_STANDS_OUT);
  if (one->kind != TRY_CLOTH && one->helped)
    feedback_figure(pen, "stand_out", (double)(clear + one->helped), _("stand out: %zu now, %zu then"), clear,
                    clear + one->helped);
  feedback_figure(pen, "score", now + one->gain, _("the wall as a whole: %.0f of 100 now, %.0f then"), now,
                  now + one->gain);
}

/* A cloth with better counts than the wall, which is praised all the same: why. */
static void say_why(feedback_pen *pen, const feedback_facts *facts) {
  const bc_ranked_cloth *now = feedback_now(facts);
  for (size_t i = 0; i < facts->best_count && !pen->failed; i++) {
    char *why = NULL;
    pen->failed = bc_match_why_ahead(&why, pen->context, facts->match, facts->present, facts->best[i]) != BC_OK;
    if (!why) continue;
    const bc_ranked_cloth *other = &facts->match->cloths[facts->best[i]];
    feedback_say(pen, "%s", why);
    feedback_figure(pen, "score", now->score, _("“%s”: %.0f of 100"), feedback_cloth(facts, now)->name, now->score);
    feedback_figure(pen, "score_of_other", other->score, _("“%s”: %.0f of 100"), feedback_cloth(facts, other)->name,
                    other->score);
    free(why);
    return;
  }
}

static void say_keep(feedback_pen *pen, const feedback_facts *facts) {
  const bc_ranked_cloth *now = feedback_now(facts);
  const size_t clear = feedback_count(facts, now, BC_STANDS_OUT);
  feedback_say(pen, _("Keep the wall as it is: “%s” serves these pieces."), feedback_cloth(facts, now)->name);
  feedback_figure(pen, "stand_out", (double)clear, _("standing out: %zu of %zu"), clear, facts->count);
  if (!facts->best_count) return;
  const bc_ranked_cloth *next = &facts->match->cloths[facts->best[0]];
  const size_t other = feedback_count(facts, next, BC_STANDS_OUT);
  feedback_figure(pen, "stand_out_on_next", (double)other, _("on “%s”: %zu"), feedback_cloth(facts, next)->name, other);
  say_why(pen, facts);
}

void feedback_try(feedback_pen *pen, const feedback_facts *facts) {
  ideas all = {0};
  think_of_cloths(&all, facts);
  const bool serves = all.count == 0 || feedback_count(facts, feedback_now(facts), BC_STANDS_OUT) == facts->count;
  bool first = true;
  pen->sheet->summary.serves = serves;
  pen->failed |= !think_of_pieces(&all, facts);
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
