/* SPDX-License-Identifier: MIT */
/* What the checks of a plan's geometry share. Each check adds findings and stops on lack of memory. */
#ifndef BC_SRC_PLAN_CHECK_INTERNAL_H
#define BC_SRC_PLAN_CHECK_INTERNAL_H

#include "plan_internal.h"

typedef struct checker {
  bc_context *context;
  const bc_plan *plan;
  bc_plan_findings *out;
  bc_status status;
} checker;

/* A rectangle on the wall, cm. */
typedef struct span {
  double left, right, bottom, top;
} span;

/* Tapes are read to a millimetre: less than this is not a fault of the plan. */
#define SLACK_CM 0.1

/* So many findings are told; a plan with more is told about the rest in one sentence. */
#define FINDINGS_MOST 400

void check_add(checker *check, bool serious, const char *piece, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* The units of what is checked from here on, in this thread. */
void check_words_in(bc_units units);
/* A length in both units, in one of a few buffers that are used in turn. */
const char *check_cm(double cm);
span check_span(const bc_piece *piece);

void check_wall(checker *check);     /* cloth, rods, tables, shelves, pieces against the wall */
void check_stands(checker *check);   /* shelf, table, floor */
void check_hangs(checker *check);    /* rods, clips, weights */
void check_fixings(checker *check);  /* what the wall refuses */
void check_pairs(checker *check);    /* overlaps and gaps */
void check_fittings(checker *check); /* zones, posts, grid panels, risers, chairs, open sides */
void check_sight(checker *check);    /* statement piece, sight band, tables in the way */

#endif
