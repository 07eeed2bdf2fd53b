/* SPDX-License-Identifier: MIT */
/* A collection as one value: it owns its cloths and, where it is told to, its readings, and can be put under a light.
 * In: readings and cloths. Out: bc_collection. Source: the light is that of <backcloth/colour.h>. */
#include "match_internal.h"

#include <stdlib.h>

bc_collection bc_collection_start(void) {
  return (bc_collection){.statement = SIZE_MAX};
}

void bc_collection_clear(bc_collection *all) {
  for (size_t i = 0; i < all->count; i++) bc_reading_free(all->piece[i].own);
  free(all->piece);
  bc_cloths_clear(&all->cloths);
  bc_cloths_clear(&all->tables);
  *all = bc_collection_start();
}

static bc_status add(bc_collection *all, bc_context *context, bc_collected piece) {
  bc_collected *grown = bc_reallocate(all->piece, all->count + 1, sizeof *grown);
  if (!grown) {
    bc_reading_free(piece.own);
    return bc_fail_memory(context);
  }
  all->piece = grown;
  all->piece[all->count++] = piece;
  return BC_OK;
}

bc_status bc_collection_lend(bc_collection *all, bc_context *context, const bc_reading *reading) {
  return add(all, context, (bc_collected){.reading = reading});
}

bc_status bc_collection_take(bc_collection *all, bc_context *context, bc_reading *reading) {
  return add(all, context, (bc_collected){.reading = reading, .own = reading});
}

char *bc_collection_title(const bc_collection *all, size_t piece) {
  const bc_collected *of = &all->piece[piece];
  return of->title ? bc_copy_printable(of->title) : bc_path_title(of->reading->photo);
}

static bc_status light_piece(bc_collected *piece, bc_context *context, const bc_light *light) {
  bc_reading *lit = NULL;
  const bc_status status = bc_reading_under_light(&lit, context, piece->reading, light);
  if (status != BC_OK) return status;
  bc_reading_free(piece->own);
  piece->reading = piece->own = lit;
  return BC_OK;
}

static bc_status light_cloths(bc_cloth_list *list, bc_context *context, const bc_light *light) {
  for (size_t i = 0; i < list->count; i++) {
    bc_cloth *lit = NULL;
    const bc_status status = bc_cloth_under_light(&lit, context, list->cloth[i], light);
    if (status != BC_OK) return status;
    bc_cloth_free(list->cloth[i]);
    list->cloth[i] = lit;
  }
  return BC_OK;
}

bc_status bc_collection_put_under_light(bc_collection *all, bc_context *context, const bc_light *light) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < all->count; i++) status = light_piece(&all->piece[i], context, light);
  if (status == BC_OK) status = light_cloths(&all->cloths, context, light);
  if (status == BC_OK) status = light_cloths(&all->tables, context, light);
  if (status == BC_OK) all->light = light;
  return status;
}

const char *bc_collection_light_name(const bc_collection *all) {
  return all->light ? all->light->name : "D50";
}
