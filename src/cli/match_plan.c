/* SPDX-License-Identifier: MIT */
/* What a plan says for matching: the pieces' photos and true widths, which of them stand on a table, which
 * is the statement piece, and from how far people look. */
#include "match_plan.h"

#include <backcloth/program.h>
#include <stdlib.h>

#define USUAL_DEPTH 75.0 /* cm; a table that the plan doesn't name */
#define USUAL_HEIGHT 74.0

static const bc_table *table_of(const bc_plan *plan, const bc_piece *piece) {
  const bc_table *table = bc_plan_table_of(plan, piece);
  return table ? table : plan->table_count ? &plan->tables[0] : NULL;
}

/* The piece stands in the middle of the table's depth. */
static bc_standing standing_of(const bc_plan *plan, const bc_piece *piece) {
  if (piece->mount.kind != BC_MOUNT_TABLE) return (bc_standing){false, 0};
  const bc_table *table = table_of(plan, piece);
  const double depth = table ? table->depth : USUAL_DEPTH, height = table ? table->height : USUAL_HEIGHT;
  const double eye = bc_plan_eye_height(plan) - height;
  return (bc_standing){true, bc_match_table_share(piece->height, depth / 2, eye, plan->viewers.distance)};
}

bool cli_match_subjects(cli_subjects *out, const bc_plan *plan, const char *const *files, size_t file_count,
                        size_t stored) {
  const size_t room = (plan ? plan->piece_count : 0) + file_count + stored;
  *out = (cli_subjects){.statement = SIZE_MAX};
  out->photo = bc_allocate(room, sizeof *out->photo);
  out->width_cm = bc_allocate(room, sizeof *out->width_cm);
  out->standing = bc_allocate(room, sizeof *out->standing);
  out->polished = bc_allocate(room, sizeof *out->polished);
  out->title = bc_allocate(room, sizeof *out->title);
  if (!out->photo || !out->width_cm || !out->standing || !out->polished || !out->title) return false;
  for (size_t i = 0; plan && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!piece->photo) continue;
    if (piece->role == BC_ROLE_STATEMENT && out->statement == SIZE_MAX) out->statement = out->count;
    out->photo[out->count] = piece->photo;
    out->title[out->count] = piece->title;
    out->width_cm[out->count] = piece->width;
    out->polished[out->count] = piece->polished;
    out->standing[out->count++] = standing_of(plan, piece);
  }
  out->planned = out->count;
  for (size_t i = 0; i < file_count; i++) out->photo[out->count++] = files[i];
  out->count += stored;
  return true;
}

void cli_match_subjects_clear(cli_subjects *subjects) {
  free(subjects->photo);
  free(subjects->width_cm);
  free(subjects->standing);
  free(subjects->polished);
  free(subjects->title);
}
