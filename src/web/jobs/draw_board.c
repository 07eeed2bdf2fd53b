/* SPDX-License-Identifier: MIT */
/* Pieces on cloths for download: every piece on every cloth, or two cloths side by side.
 * In: readings, cloths and studies. Out: the file's bytes. */
#include "orders.h"

#include <backcloth/drawing.h>
#include <stdlib.h>
#include <string.h>

typedef struct board {
  const bc_match *match;
  bc_study *const *studies;
} board;

static size_t place_of(const bc_match *match, const json_t *cloth) {
  const size_t wanted = (size_t)json_integer_value(cloth);
  size_t i = 0;
  while (i < match->cloth_count && match->cloths[i].cloth != wanted) i++;
  return i;
}

static bc_status draw(bc_context *context, const json_t *order, const char *path, void *data) {
  const board *b = data;
  const json_t *two = json_object_get(order, "compare");
  if (!two) return bc_drawing_board(context, b->match, b->studies, path);
  const size_t first = place_of(b->match, json_array_get(two, 0)), second = place_of(b->match, json_array_get(two, 1));
  return bc_drawing_compare(context, b->match, b->studies, first, second, path);
}

static bc_status draw_collection(bc_collection *all, bc_context *context, const bc_apart_message *in,
                                 const json_t *order, bc_apart_message *out) {
  bc_match *match = NULL;
  bc_study **studies = NULL;
  char **files = bc_allocate(all->cloths.count, sizeof *files);
  bc_status status = files ? web_collection_rank(&match, all, context, order) : bc_fail_memory(context);
  if (status == BC_OK) status = web_order_studies(&studies, context, in, json_object_get(order, "studies"), all->count);
  if (status == BC_OK) status = web_order_put_cloths(all, context, in, order, files);
  board b = {match, studies};
  if (status == BC_OK) status = web_order_made(context, order, out, draw, &b);
  for (size_t i = 0; files && i < all->cloths.count; i++) web_order_cloth_file_end(files[i]);
  free(files);
  web_order_studies_free(studies, all->count);
  bc_match_free(match);
  return status;
}

bc_status web_order_draw_board(bc_context *context, const bc_apart_message *in, const json_t *order,
                               bc_apart_message *out) {
  bc_collection all = bc_collection_start();
  bc_status status = in->parts > 1 ? web_collection_take(&all, context, order, &in->part[1]) : BC_OUR_FAULT;
  if (status == BC_OK) status = draw_collection(&all, context, in, order, out);
  bc_collection_clear(&all);
  return status;
}
