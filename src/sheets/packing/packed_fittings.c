/* SPDX-License-Identifier: MIT */
/* What stays out of the bags: frame and ballast, rods, shelves, tables, grid panels, risers and chairs, each
 * brought or lent. One of a kind has its plain name; several are told apart by their ids. */
#include "packing_internal.h"

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
  const bc_status status = packing_add_item(
      f->pack,
      (bc_packing_item){
          .what = what, .count = 1, .mass_g = lent ? 0 : mass_g, .place = lent ? BC_PACKING_LENT : BC_PACKING_APART});
  if (status != BC_OK || !brief) return status;
  bc_packing_item *item = &f->pack->out->items[f->pack->out->item_count - 1];
  item->brief = bc_copy_text(brief);
  return item->brief ? BC_OK : bc_fail_memory(f->pack->context);
}

static void length(const fittings *f, char out[WORDS], double cm) {
  bc_length_words(out, WORDS, cm, f->pack->plan->units);
}

static bc_status list_frame(fittings *f) {
  const bc_frame *frame = &f->pack->plan->frame;
  const bc_status status = list(f, false, frame->weight_g, bc_copy_text(_("the frame, with its feet")), NULL);
  if (status != BC_OK || !(frame->ballast_g > 0)) return status;
  return list(f, false, frame->ballast_g, bc_copy_text(_("ballast for the frame's feet")), NULL);
}

static bc_status list_rod(fittings *f, const bc_carrier *on, const char *called, const char *how_long) {
  const double mass_g = f->pack->loads->rods[on->index].own_weight_n / BC_STANDARD_GRAVITY * 1000;
  const char *material = f->pack->plan->rods[on->index].material;
  char *what = material ? bc_format(_("%s: %s, %s long"), called, _(material), how_long)
                        : bc_format(_("%s: %s long"), called, how_long);
  return list(f, on->lent, mass_g, what, called);
}

static bc_status list_carrier(fittings *f, const bc_carrier *on) {
  if (on->kind == BC_CARRIER_POST) return BC_OK; /* it stays in its wall */
  if (on->kind == BC_CARRIER_FRAME) return list_frame(f);
  char called[NAME], wide[WORDS], other[WORDS];
  bc_carrier_name(called, sizeof called, f->pack->plan, on);
  const bool high = on->kind == BC_CARRIER_GRID || on->kind == BC_CARRIER_RISER;
  length(f, wide, on->width), length(f, other, high ? on->height : on->depth);
  if (on->kind == BC_CARRIER_ROD) return list_rod(f, on, called, wide);
  return list(f, on->lent, on->weight_g,
              bc_format(high ? _("%s: %s wide, %s high") : _("%s: %s wide, %s deep"), called, wide, other), called);
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
      status = packing_add_item(f->pack, (bc_packing_item){.what = bc_copy_text(_("chair")),
                                                           .count = count[lent],
                                                           .place = lent ? BC_PACKING_LENT : BC_PACKING_APART});
  return status;
}

bc_status packing_list_fittings(packer *pack) {
  fittings f = {.pack = pack};
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < bc_plan_carrier_count(pack->plan); i++) {
    const bc_carrier on = bc_plan_carrier(pack->plan, i);
    status = list_carrier(&f, &on);
  }
  if (status == BC_OK) status = list_chairs(&f);
  if (status == BC_OK && f.unknown.length > 0)
    status = bc_note(&pack->out->notes, pack->context,
                     _("No weight is given for these, so they are missing in the total: %s."), f.unknown.text);
  bc_buffer_clear(&f.unknown);
  return status;
}
