/* SPDX-License-Identifier: MIT */
/* What stays out of the bags: frame and ballast, rods, shelves, tables, grid panels, risers and chairs, each
 * brought or lent. One of a kind has its plain name; several are told apart by their ids. */
#include "packing_internal.h"

#include <stdio.h>

enum { WORDS = 64, NAME = 160 };

/* What is brought counts in the total when its weight is known; `unknown` names what is not. */
typedef struct fittings {
  packer *pack;
  bc_buffer unknown;
} fittings;

static void add_unknown(fittings *f, const char *what) {
  if (what) bc_buffer_add(&f->unknown, f->unknown.length > 0 ? ", %s" : "%s", what);
}

/* `brief` is what, without sizes; NULL: what is brief. */
static bc_status list(fittings *f, bool lent, double mass_g, char *what, const char *brief) {
  if (!lent) {
    f->pack->out->total_g += mass_g;
    if (!(mass_g > 0)) add_unknown(f, brief ? brief : what);
  }
  const bc_status status =
      packing_add_item(f->pack, what, NULL, 1, lent ? 0 : mass_g, lent ? BC_PACKING_LENT : BC_PACKING_APART, 0);
  if (status != BC_OK || !brief) return status;
  bc_packing_item *item = &f->pack->out->items[f->pack->out->item_count - 1];
  item->brief = bc_copy_text(brief);
  return item->brief ? BC_OK : bc_fail_memory(f->pack->context);
}

static void name(char out[NAME], const char *alone, const char *one_of, const char *id, size_t count) {
  if (count == 1)
    snprintf(out, NAME, "%s", alone);
  else
    snprintf(out, NAME, one_of, id);
}

static void length(const fittings *f, char out[WORDS], double cm) {
  bc_length_words(out, WORDS, cm, f->pack->plan->units);
}

static bc_status list_frame(fittings *f) {
  const bc_frame *frame = &f->pack->plan->frame;
  if (!frame->given) return BC_OK;
  bc_status status = list(f, false, frame->weight_g, bc_copy_text(_("the frame, with its feet")), NULL);
  if (status == BC_OK && frame->ballast_g > 0)
    status = list(f, false, frame->ballast_g, bc_copy_text(_("ballast for the frame's feet")), NULL);
  return status;
}

static bc_status list_rods(fittings *f) {
  const bc_plan *plan = f->pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->rod_count; i++) {
    const bc_rod *rod = &plan->rods[i];
    char called[NAME], how_long[WORDS];
    name(called, _("the rod"), _("the rod \"%.90s\""), rod->id, plan->rod_count);
    length(f, how_long, rod->length);
    const double mass_g = f->pack->loads->rods[i].own_weight_n / BC_STANDARD_GRAVITY * 1000;
    status = list(f, rod->lent, mass_g, bc_format(_("%s: %s, %s long"), called, _(rod->material), how_long), called);
  }
  return status;
}

static bc_status list_shelves(fittings *f) {
  const bc_plan *plan = f->pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->shelf_count; i++) {
    const bc_shelf *shelf = &plan->shelves[i];
    char called[NAME], wide[WORDS], deep[WORDS];
    name(called, _("the shelf"), _("the shelf \"%.90s\""), shelf->id, plan->shelf_count);
    length(f, wide, shelf->width), length(f, deep, shelf->depth);
    status = list(f, shelf->lent, shelf->weight_g, bc_format(_("%s: %s wide, %s deep"), called, wide, deep), called);
  }
  return status;
}

static bc_status list_tables(fittings *f) {
  const bc_plan *plan = f->pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->table_count; i++) {
    const bc_table *table = &plan->tables[i];
    char called[NAME], wide[WORDS], deep[WORDS];
    name(called, _("the table"), _("the table \"%.90s\""), table->id, plan->table_count);
    length(f, wide, table->width), length(f, deep, table->depth);
    status = list(f, table->lent, 0, bc_format(_("%s: %s wide, %s deep"), called, wide, deep), called);
  }
  return status;
}

static bc_status list_grids(fittings *f) {
  const bc_plan *plan = f->pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->grid_count; i++) {
    const bc_grid *grid = &plan->grids[i];
    char called[NAME], wide[WORDS], high[WORDS];
    name(called, _("the grid panel"), _("the grid panel \"%.90s\""), grid->id, plan->grid_count);
    length(f, wide, grid->width), length(f, high, grid->height);
    status = list(f, grid->lent, grid->weight_g, bc_format(_("%s: %s wide, %s high"), called, wide, high), called);
  }
  return status;
}

static bc_status list_risers(fittings *f) {
  const bc_plan *plan = f->pack->plan;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->riser_count; i++) {
    const bc_riser *riser = &plan->risers[i];
    char called[NAME], wide[WORDS], high[WORDS];
    name(called, _("the riser"), _("the riser \"%.90s\""), riser->id, plan->riser_count);
    length(f, wide, riser->width), length(f, high, riser->height);
    status = list(f, riser->lent, 0, bc_format(_("%s: %s wide, %s high"), called, wide, high), called);
  }
  return status;
}

/* Chairs are alike: those that are brought in one line, those that are lent in another. */
static bc_status list_chairs(fittings *f) {
  const bc_plan *plan = f->pack->plan;
  size_t count[2] = {0};
  for (size_t i = 0; i < plan->chair_count; i++) count[plan->chairs[i].lent]++;
  if (count[false] > 0) add_unknown(f, _("chair"));
  bc_status status = BC_OK;
  for (int lent = 0; status == BC_OK && lent < 2; lent++)
    if (count[lent] > 0)
      status = packing_add_item(f->pack, bc_copy_text(_("chair")), NULL, count[lent], 0,
                                lent ? BC_PACKING_LENT : BC_PACKING_APART, 0);
  return status;
}

bc_status packing_list_fittings(packer *pack) {
  fittings f = {.pack = pack};
  bc_status status = list_frame(&f);
  if (status == BC_OK) status = list_rods(&f);
  if (status == BC_OK) status = list_shelves(&f);
  if (status == BC_OK) status = list_tables(&f);
  if (status == BC_OK) status = list_grids(&f);
  if (status == BC_OK) status = list_risers(&f);
  if (status == BC_OK) status = list_chairs(&f);
  if (status == BC_OK && f.unknown.length > 0)
    status = bc_note(&pack->out->notes, pack->context,
                     _("No weight is given for these, so they are missing in the total: %s."), f.unknown.text);
  bc_buffer_clear(&f.unknown);
  return status;
}
