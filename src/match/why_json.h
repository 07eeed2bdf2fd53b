/* SPDX-License-Identifier: MIT */
/* The reasons of a cloth's verdicts as JSON, for ranking_json.c. */
#ifndef BC_SRC_MATCH_WHY_JSON_H
#define BC_SRC_MATCH_WHY_JSON_H

#include <backcloth/match.h>
#include <jansson.h>

/* What a piece is called. */
json_t *match_title_json(const bc_match *match, size_t piece);
/* Of the cloth that match->explained names; null when none does. NULL when there is no memory. */
json_t *match_why_json(const bc_match *match);

#endif
