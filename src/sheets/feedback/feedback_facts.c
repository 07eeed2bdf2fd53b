/* SPDX-License-Identifier: MIT */
/* What the sentences of a feedback sheet are found from: the collection ranked on the candidate cloths and on the
 * wall as it is. In: a maker's folder, read. Out: feedback_facts. */
#include "feedback_internal.h"

#include <backcloth/colour.h>
#include <stdlib.h>
#include <string.h>

#define SEARCHED 3 /* cloths that are searched for when the maker has no candidates */

static bc_status add_cloth(bc_cloth_list *list, bc_context *context, const char *spec, const char *name) {
  bc_cloth *cloth = NULL;
  const bc_status status = bc_cloth_parse(&cloth, context, spec, name);
  return status == BC_OK ? bc_cloths_add(list, context, cloth) : status;
}

static bc_status add_wall(feedback_facts *facts) {
  const bc_plan *plan = facts->maker->plan;
  bc_context *context = facts->maker->context;
  if (facts->maker->wall) return bc_cloths_add_copy(&facts->all.cloths, context, facts->maker->wall);
  if (plan && plan->cloth.given && plan->cloth.photo) {
    char *spec = bc_format("photo:%s", plan->cloth.photo);
    const bc_status status = spec ? add_cloth(&facts->all.cloths, context, spec, NULL) : bc_fail_memory(context);
    free(spec);
    if (status == BC_OK || status == BC_OUR_FAULT) return status;
    facts->wall_message = bc_copy_text(bc_context_message(context)); /* the wall behind it is judged instead */
    if (!facts->wall_message) return bc_fail_memory(context);
  } else if (plan && plan->cloth.given) {
    return add_cloth(&facts->all.cloths, context, plan->cloth.colour_css, NULL);
  }
  const bc_colour colour = plan ? plan->stand.wall_colour : (bc_colour){{100, 0, 0}, 1};
  char *name = bc_format(_("bare wall (%s)"), bc_colour_name(colour.lab));
  const bc_status status = name ? add_cloth(&facts->all.cloths, context,
                                            plan && plan->stand.wall_css ? plan->stand.wall_css : "#ffffff", name)
                                : bc_fail_memory(context);
  free(name);
  return status;
}

/* Candidates are copied: the list that is ranked ends with the wall as it is. */
static bc_status add_candidates(feedback_facts *facts) {
  const bc_cloth_list *from = &facts->maker->cloths;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < from->count; i++)
    status = bc_cloths_add_copy(&facts->all.cloths, facts->maker->context, from->cloth[i]);
  return status;
}

static bc_status lend_pieces(bc_collection *to, bc_context *context, const bc_collection *from) {
  bc_status status = BC_OK;
  *to = bc_collection_start();
  for (size_t i = 0; status == BC_OK && i < from->count; i++)
    status = bc_collection_lend(to, context, from->piece[i].reading);
  for (size_t i = 0; status == BC_OK && i < from->count; i++) {
    to->piece[i].width_cm = from->piece[i].width_cm;
    to->piece[i].standing = from->piece[i].standing;
  }
  to->statement = from->statement;
  return status;
}

static bc_status search(feedback_facts *facts) {
  bc_context *context = facts->maker->context;
  bc_match *match = NULL;
  bc_collection pieces;
  bc_status status = lend_pieces(&pieces, context, &facts->all);
  /* A match needs a cloth; the search doesn't look at it. */
  if (status == BC_OK) status = add_cloth(&pieces.cloths, context, "#ffffff", NULL);
  if (status == BC_OK) status = bc_match_rank(&match, context, &pieces, NULL);
  if (status == BC_OK) status = bc_match_suggest(match, context, SEARCHED);
  for (size_t i = 0; status == BC_OK && i < match->suggested_count; i++)
    status = add_cloth(&facts->all.cloths, context, match->suggested[i].css, NULL);
  bc_match_free(match);
  bc_collection_clear(&pieces);
  return status;
}

/* Candidates that are the wall as it is under another name don't count as an alternative. */
static bool is_wall(const feedback_facts *facts, size_t cloth) {
  const bc_cloth *wall = facts->all.cloths.cloth[facts->all.cloths.count - 1], *other = facts->all.cloths.cloth[cloth];
  if (cloth + 1 == facts->all.cloths.count || strcmp(wall->spec, other->spec) == 0) return true;
  return wall->spread_l <= 0 && other->spread_l <= 0 && bc_delta_e00(wall->colour.lab, other->colour.lab) < 1;
}

static void find_places(feedback_facts *facts) {
  for (size_t i = 0; i < facts->match->cloth_count; i++) {
    const size_t cloth = facts->match->cloths[i].cloth;
    if (cloth + 1 == facts->all.cloths.count) facts->present = i;
    if (!is_wall(facts, cloth) && facts->best_count < 3) facts->best[facts->best_count++] = i;
  }
}

static void take_sizes(feedback_facts *facts) {
  const bc_plan *plan = facts->maker->plan;
  for (size_t i = 0; i < facts->count; i++) {
    const size_t piece = facts->photos[i]->piece;
    if (!plan || piece == SIZE_MAX) continue;
    if (!facts->photos[i]->size_unknown) facts->all.piece[i].width_cm = plan->pieces[piece].width;
    if (plan->pieces[piece].role == BC_ROLE_STATEMENT && facts->all.statement == SIZE_MAX) facts->all.statement = i;
  }
}

static bc_status rank(feedback_facts *facts) {
  bc_context *context = facts->maker->context;
  const bc_plan *plan = facts->maker->plan;
  const bc_cloth_list *cloths = &facts->all.cloths;
  bc_view view = bc_view_default();
  if (plan) view.distance_m = plan->viewers.distance / 100;
  take_sizes(facts);
  bc_status status = bc_match_rank(&facts->match, context, &facts->all, &view);
  if (status == BC_OK) status = lend_pieces(&facts->all_on_wall, context, &facts->all);
  if (status == BC_OK)
    status = bc_cloths_add_copy(&facts->all_on_wall.cloths, context, cloths->cloth[cloths->count - 1]);
  if (status == BC_OK) status = bc_match_rank(&facts->alone, context, &facts->all_on_wall, &view);
  if (status == BC_OK) find_places(facts);
  return status;
}

static bc_status gather(feedback_facts *facts) {
  const feedback_maker *maker = facts->maker;
  facts->photos = bc_allocate(maker->photo_count, sizeof *facts->photos);
  facts->studies = bc_allocate(maker->photo_count, sizeof *facts->studies);
  if (!facts->photos || !facts->studies) return bc_fail_memory(maker->context);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < maker->photo_count; i++) {
    const feedback_photo *photo = &maker->photos[i];
    if (!photo->reading) continue;
    if (facts->pictures)
      status = feedback_entry_study(&facts->studies[facts->count], maker->context, &photo->entry, photo->path);
    facts->photos[facts->count++] = photo;
    if (status == BC_OK) status = bc_collection_lend(&facts->all, maker->context, photo->reading);
  }
  return status;
}

bc_status feedback_facts_find(feedback_facts *out, const feedback_maker *maker, const bc_feedback_options *options,
                              bool pictures) {
  *out = (feedback_facts){.maker = maker,
                          .options = options,
                          .pictures = pictures,
                          .all = bc_collection_start(),
                          .all_on_wall = bc_collection_start()};
  bc_status status = gather(out);
  if (status != BC_OK || !out->count) return status;
  status = maker->cloths.count ? add_candidates(out) : search(out);
  if (status == BC_OK) status = add_wall(out);
  return status == BC_OK ? rank(out) : status;
}

void feedback_facts_clear(feedback_facts *facts) {
  for (size_t i = 0; facts->studies && i < facts->count; i++) bc_study_free(facts->studies[i]);
  free(facts->studies);
  free(facts->photos);
  free(facts->wall_message);
  bc_match_free(facts->match);
  bc_match_free(facts->alone);
  bc_collection_clear(&facts->all);
  bc_collection_clear(&facts->all_on_wall);
}

const bc_ranked_cloth *feedback_now(const feedback_facts *facts) {
  return &facts->match->cloths[facts->present];
}

const bc_cloth *feedback_cloth(const feedback_facts *facts, const bc_ranked_cloth *ranked) {
  return facts->all.cloths.cloth[ranked->cloth];
}

size_t feedback_count(const feedback_facts *facts, const bc_ranked_cloth *ranked, bc_verdict verdict) {
  size_t count = 0;
  for (size_t i = 0; i < facts->count; i++) count += ranked->pairs[i].verdict == verdict;
  return count;
}

double feedback_mean_clarity(const feedback_facts *facts, const bc_ranked_cloth *ranked) {
  double sum = 0;
  for (size_t i = 0; i < facts->count; i++) sum += ranked->pairs[i].clarity;
  return sum / (double)facts->count;
}

char *feedback_names(const feedback_facts *facts, const size_t *index, size_t count) {
  enum { named = 4 };
  bc_buffer text = {0};
  for (size_t i = 0; i < count && i < named; i++)
    bc_buffer_add(&text, i ? _(", %s") : "%s", facts->photos[index[i]]->title);
  if (count > named)
    bc_buffer_add(&text, bc_text_plural(" and %zu more", " and %zu more", count - named), count - named);
  if (text.failed || !text.text) return bc_buffer_clear(&text), NULL;
  return text.text;
}
