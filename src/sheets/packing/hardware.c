/* SPDX-License-Identifier: MIT */
/* Small hardware with spares, cord, and the tools that they ask for. */
#include "packing_internal.h"

#include <math.h>
#include <stdlib.h>

#define KNOTS_CM 30 /* more for two knots a leg: common practice, no source */
#define LADDER_CM BC_REACH_CM
#define FEWEST_SPARES 2

/* Kinds of hardware in the order of the list. Grams of one: weighed ranges differ by maker, so this is an
 * estimate of ours for the bag's total only, and the list says so. */
typedef enum hardware_kind {
  NAILS,
  PINS,
  HOOKS,
  CORD_HOOKS,
  CLIPS,
  CLOTH_CLIPS,
  ROD_BRACKETS,
  SHELF_BRACKETS,
  KINDS
} hardware_kind;
static const double estimate_g[KINDS] = {5, 2, 30, 30, 15, 25, 150, 250};
static const bool may_get_lost[KINDS] = {true, true, true, true, true, true, false, false};

static const char *words(hardware_kind kind) {
  switch (kind) {
  case NAILS:
    return _("nails");
  case PINS:
    return _("pins");
  case HOOKS:
    return _("hooks");
  case CORD_HOOKS:
    return _("hooks for cords");
  case CLIPS:
    return _("clips");
  case CLOTH_CLIPS:
    return _("clips for the cloth");
  case ROD_BRACKETS:
    return _("rod brackets");
  default:
    return _("shelf brackets");
  }
}

static hardware_kind kind_of(bc_mount_kind mount) {
  switch (mount) {
  case BC_MOUNT_PIN:
    return PINS;
  case BC_MOUNT_HOOK:
    return HOOKS;
  case BC_MOUNT_CORD:
    return CORD_HOOKS;
  case BC_MOUNT_CLIP:
    return CLIPS;
  default:
    return NAILS;
  }
}

static void count_pieces(const packer *pack, size_t *count) {
  for (size_t i = 0; i < pack->plan->piece_count; i++) {
    const bc_mount *mount = &pack->plan->pieces[i].mount;
    if (bc_mount_hangs(mount->kind)) count[kind_of(mount->kind)] += (size_t)mount->points;
  }
}

static void count_fittings(const packer *pack, size_t *count) {
  const bc_plan *plan = pack->plan;
  if (plan->cloth.given && !bc_plan_cloth_rod(plan)) count[CLOTH_CLIPS] += (size_t)plan->cloth.points;
  for (size_t i = 0; i < plan->rod_count; i++)
    if (!plan->rods[i].lent) count[ROD_BRACKETS] += plan->rods[i].support_count;
  for (size_t i = 0; i < plan->shelf_count; i++)
    if (!plan->shelves[i].lent) count[SHELF_BRACKETS] += (size_t)plan->shelves[i].brackets;
}

static size_t spares(hardware_kind kind, size_t count, int per_cent) {
  if (count == 0 || !may_get_lost[kind] || per_cent == 0) return 0;
  const size_t share = (size_t)ceil((double)count * per_cent / 100 - 1e-9);
  return share < FEWEST_SPARES ? FEWEST_SPARES : share;
}

static void count_all(const packer *pack, size_t count[KINDS]) {
  for (int i = 0; i < KINDS; i++) count[i] = 0;
  count_pieces(pack, count);
  count_fittings(pack, count);
}

double packing_kit_grams(const packer *pack) {
  size_t count[KINDS];
  count_all(pack, count);
  double grams = 0;
  for (size_t i = 0; i < pack->plan->shelf_count; i++) { /* a shelf's weight has its brackets in it */
    const bc_shelf *shelf = &pack->plan->shelves[i];
    if (!shelf->lent && shelf->weight_g > 0) grams -= estimate_g[SHELF_BRACKETS] * shelf->brackets;
  }
  for (int i = 0; i < KINDS; i++)
    grams += estimate_g[i] * (double)(count[i] + spares((hardware_kind)i, count[i], pack->plan->packing.spares));
  return grams;
}

/* Two legs from the quarter points up to where the plan's geometry puts the hanging points. */
static double cord_cm(const bc_plan *plan, const bc_piece *piece) {
  double length = 0;
  for (int leg = 0; leg < 2; leg++) {
    const bc_point_cm top = bc_plan_hanging_point(plan, piece, piece->at, piece->mount.points == 1 ? 0 : leg);
    const bool one_eye = piece->mount.cord_angle_count == 2;
    const double x = piece->at.x + (one_eye ? 0 : (leg == 0 ? -1 : 1) * piece->width / 4);
    length += hypot(top.x - x, top.y - piece->at.y - piece->height / 2) + KNOTS_CM;
  }
  return length;
}

static bc_status add_tool(packer *pack, const char *words_of_tool) {
  bc_packing *out = pack->out;
  char **grown = bc_reallocate(out->tools, out->tool_count + 1, sizeof *grown);
  if (!grown) return bc_fail_memory(pack->context);
  out->tools = grown;
  grown[out->tool_count] = bc_copy_text(words_of_tool);
  return grown[out->tool_count++] ? BC_OK : bc_fail_memory(pack->context);
}

static bool above_reach(const packer *pack) {
  for (size_t i = 0; i < pack->loads->point_count; i++)
    if (pack->loads->points[i].y > LADDER_CM) return true;
  for (size_t i = 0; i < pack->plan->rod_count; i++)
    if (pack->plan->rods[i].y > LADDER_CM) return true;
  return pack->plan->cloth.given && pack->plan->cloth.top > LADDER_CM;
}

static bc_status list_tools(packer *pack, const size_t *count) {
  const char *tools[] = {
      _("tape measure, spirit level, pencil"),
      _("this plan on paper"),
      count[NAILS] + count[PINS] > 0 ? _("hammer, and pliers to take nails out") : NULL,
      count[HOOKS] + count[CORD_HOOKS] + count[ROD_BRACKETS] + count[SHELF_BRACKETS] > 0
          ? _("screwdriver, and screws that suit the venue's wall")
          : NULL,
      pack->out->cord_cm > 0 ? _("scissors for the cord") : NULL,
      pack->plan->cloth.given ? _("steamer or iron for the cloth, if the venue allows it") : NULL,
      above_reach(pack) ? _("step ladder (ask whether the venue lends one)") : NULL,
      _("gloves, wipes, repair tape"),
  };
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < sizeof tools / sizeof *tools; i++)
    if (tools[i]) status = add_tool(pack, tools[i]);
  return status;
}

bc_status packing_count_hardware(packer *pack) {
  size_t count[KINDS];
  count_all(pack, count);
  bc_packing *out = pack->out;
  out->hardware = bc_allocate(KINDS, sizeof *out->hardware);
  if (!out->hardware) return bc_fail_memory(pack->context);
  for (int i = 0; i < KINDS; i++) {
    if (count[i] == 0) continue;
    const size_t more = spares((hardware_kind)i, count[i], pack->plan->packing.spares);
    out->hardware[out->hardware_count++] = (bc_packing_hardware){i, words((hardware_kind)i), count[i] + more, more};
  }
  for (size_t i = 0; i < pack->plan->piece_count; i++)
    if (pack->plan->pieces[i].mount.kind == BC_MOUNT_CORD) out->cord_cm += cord_cm(pack->plan, &pack->plan->pieces[i]);
  return list_tools(pack, count);
}
