/* SPDX-License-Identifier: MIT */
/* The collection as other eyes see it: about one man in twelve confuses reds and greens.
 * In: a ranked match. Out: scores to such eyes, and cloths that they can't tell apart. Source: Machado et al. 2009. */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

#define EYES_LIST 12
#define ALIKE_LIST 24
/* Side by side on the roll, cloths nearer than 5 are taken for one another; from 10 on nobody with usual
 * eyes would (our choice). */
#define ALIKE_BELOW 5.0
#define TOLD_FROM 10.0

static size_t at_most(size_t count, size_t limit) {
  return count < limit ? count : limit;
}

static void see(match_prepared *piece, bc_vision vision) {
  for (size_t i = 0; i < piece->rim_patches; i++)
    piece->rim[i].colour = bc_colour_as_seen(piece->rim[i].colour, vision);
  for (size_t i = 0; i < piece->body_patches; i++)
    piece->body[i].colour = bc_colour_as_seen(piece->body[i].colour, vision);
  piece->mean = bc_colour_as_seen(piece->mean, vision);
  if (piece->polished > 0) piece->metal = bc_colour_as_seen(piece->metal, vision);
  match_prepared_settle(piece);
}

static void tell_score(bc_match *match, bc_ranked_cloth *cloth, bc_vision vision, const bc_pair *pairs) {
  cloth->eyes[vision].score = match_collection_score(pairs, match->piece_count, NULL);
  cloth->eyes[vision].lost = match_count_verdict(pairs, match->piece_count, BC_GETS_LOST);
}

/* `piece` is room for one prepared piece. */
static void judge_as_seen(bc_match *match, match_prepared *piece, bc_vision vision) {
  const size_t count = at_most(match->cloth_count, EYES_LIST);
  for (size_t p = 0; p < match->piece_count; p++) {
    match_prepare(piece, match_reading(match, p));
    see(piece, vision);
    for (size_t c = 0; c < count; c++) {
      const bc_cloth cloth = match_cloth_to_eyes(match_cloth_of(match, &match->cloths[c]), vision);
      match->cloths[c].pairs_to_eyes[vision][p] = match_prepared_on(piece, &cloth);
    }
  }
  for (size_t c = 0; c < count; c++)
    tell_score(match, &match->cloths[c], vision, match->cloths[c].pairs_to_eyes[vision]);
}

static bc_status make_room(bc_match *match, bc_context *context) {
  for (size_t c = 0; c < at_most(match->cloth_count, EYES_LIST); c++)
    for (int v = BC_VISION_PROTAN; v < BC_EYES; v++) {
      match->cloths[c].pairs_to_eyes[v] = bc_allocate(match->piece_count, sizeof(bc_pair));
      if (!match->cloths[c].pairs_to_eyes[v]) return bc_fail_memory(context);
    }
  return BC_OK;
}

static bool alike(const bc_cloth *first, const bc_cloth *second, bc_vision vision) {
  if (bc_delta_e00(first->colour.lab, second->colour.lab) < TOLD_FROM) return false;
  return bc_delta_e00(bc_colour_as_seen(first->colour, vision).lab, bc_colour_as_seen(second->colour, vision).lab) <
         ALIKE_BELOW;
}

static bc_status find_alike(bc_match *match, bc_context *context) {
  const size_t count = at_most(match->cloth_count, ALIKE_LIST);
  match->alike = bc_allocate(3 * count * count / 2 + 1, sizeof *match->alike);
  if (!match->alike) return bc_fail_memory(context);
  for (int v = BC_VISION_PROTAN; v < BC_EYES; v++)
    for (size_t i = 0; i < count; i++)
      for (size_t j = i + 1; j < count; j++)
        if (alike(match_cloth_of(match, &match->cloths[i]), match_cloth_of(match, &match->cloths[j]), (bc_vision)v))
          match->alike[match->alike_count++] = (bc_alike){(bc_vision)v, i, j};
  return BC_OK;
}

/* The best cloth must be good for everybody, or be told not to be. Red and green are confused by about
 * 8 % of men and 0.5 % of women of northern European descent (Birch 2012); blue and yellow very rarely. */
static bc_status note_best(bc_match *match, bc_context *context) {
  const bc_ranked_cloth *best = &match->cloths[0];
  const size_t usual = match_count_verdict(best->pairs, match->piece_count, BC_GETS_LOST);
  const size_t protan = best->eyes[BC_VISION_PROTAN].lost, deutan = best->eyes[BC_VISION_DEUTAN].lost;
  const size_t lost = protan > deutan ? protan : deutan;
  if (lost <= usual) return BC_OK;
  return bc_note(
      &match->notes, context,
      bc_text_plural("For people who confuse red and green (about one man in twelve), %zu piece gets lost on “%s”.",
                     "For people who confuse red and green (about one man in twelve), %zu pieces get lost on “%s”.",
                     lost),
      lost, match_cloth_of(match, best)->name);
}

bc_status match_find_eyes(bc_match *match, bc_context *context) {
  for (size_t c = 0; c < match->cloth_count; c++)
    for (int v = 0; v < BC_EYES; v++) match->cloths[c].eyes[v].score = -1;
  bc_status status = make_room(match, context);
  if (status != BC_OK) return status;
  match_prepared *piece = malloc(sizeof *piece);
  if (!piece) return bc_fail_memory(context);
  for (size_t c = 0; c < at_most(match->cloth_count, EYES_LIST); c++)
    tell_score(match, &match->cloths[c], BC_VISION_USUAL, match->cloths[c].pairs);
  for (int v = BC_VISION_PROTAN; v < BC_EYES; v++) judge_as_seen(match, piece, (bc_vision)v);
  free(piece);
  status = find_alike(match, context);
  return status == BC_OK ? note_best(match, context) : status;
}
