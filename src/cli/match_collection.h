/* SPDX-License-Identifier: MIT */
/* The collection that `backcloth match` judges, from studies of photos and the plan's facts about them. */
#ifndef BC_SRC_CLI_MATCH_COLLECTION_H
#define BC_SRC_CLI_MATCH_COLLECTION_H

#include "cli.h"
#include "match_plan.h"

typedef struct cli_collection {
  bc_collection all; /* its readings are lent by the studies */
  bc_study **study;  /* one per piece, borrowed; without pictures for stored readings */
  size_t count;
} cli_collection;

/* The photos that could be read, without gaps, then the readings made before. Clear it in any case. */
bc_status cli_collection_gather(cli_collection *out, bc_context *context, const cli_studies *studies,
                                const cli_studies *stored, const cli_subjects *subjects);
/* The candidates: the cloths file, those named, the plan's own, and those for the table. `plan` may be NULL. */
bc_status cli_collection_add_cloths(cli_collection *to, bc_context *context, const char *cloths_file,
                                    const cli_texts *wall, const cli_texts *table, const bc_plan *plan);
/* Without a candidate: the `wanted` best colours found by search become the candidates. */
bc_status cli_collection_search_cloths(cli_collection *to, bc_context *context, size_t wanted);
/* "vase.jpg=60" or "vase.jpg": the cloth shows through this piece. Changes its study. */
bc_status cli_collection_see_through(cli_collection *of, bc_context *context, const char *text);
/* "ring.jpg=60" or "ring.jpg": so much of this piece mirrors, or as the photo tells. Changes its study. */
bc_status cli_collection_polished(cli_collection *of, bc_context *context, const char *text);
/* Makes the piece of this photo the statement piece. */
bc_status cli_collection_choose_statement(cli_collection *of, bc_context *context, const char *photo);
void cli_collection_clear(cli_collection *collection);

#endif
