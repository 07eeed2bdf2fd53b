/* SPDX-License-Identifier: MIT */
/* Proposes groups by colour, size, mount and by what the plan says of function, material and technique; the maker
 * chooses. Colour by complete linkage on CIEDE2000, so that any two members of a group are alike; size where sorted
 * areas leap. */
#include "problem.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Areas that grow by half from one piece to the next start a new size: our choice. */
#define SIZE_LEAP 1.5

static bc_status begin(bc_grouping *g, bc_context *context, bc_group_by by, size_t count) {
  *g = (bc_grouping){.by = by, .group = bc_allocate(count + 1, sizeof *g->group)};
  if (!g->group) return bc_fail_memory(context);
  for (size_t i = 0; i < count; i++) g->group[i] = -1;
  return BC_OK;
}

/* Numbers groups of two and more from 0 by their first piece; the rest become -1. Returns how many. */
static size_t renumber(int *group, size_t count) {
  int *number = calloc(count + 1, sizeof *number), *members = calloc(count + 1, sizeof *members);
  size_t groups = 0;
  if (number && members) {
    for (size_t i = 0; i < count; i++)
      if (group[i] >= 0) members[group[i]]++;
    for (size_t i = 0; i < count; i++) {
      if (group[i] < 0) continue;
      const int old = group[i];
      if (members[old] > 1 && number[old] == 0) number[old] = (int)++groups;
      group[i] = number[old] - 1;
    }
  }
  free(number);
  free(members);
  return groups;
}

/* --- colour -------------------------------------------------------------------------------------------------- */

/* Greatest difference between members of two clusters. */
static double linkage(const bc_reading *const *readings, const int *cluster, size_t count, int a, int b) {
  double worst = 0;
  for (size_t i = 0; i < count; i++)
    for (size_t j = 0; j < count && cluster[i] == a; j++)
      if (cluster[j] == b) // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): in a cluster is only what was read
        worst = fmax(worst, bc_delta_e00(readings[i]->mean.lab, readings[j]->mean.lab));
  return worst;
}

static bool merge_nearest(const bc_reading *const *readings, int *cluster, size_t count) {
  double best = BC_GROUP_COLOUR_WITHIN;
  int from = -1, to = -1;
  for (int a = 0; a < (int)count; a++)
    for (int b = a + 1; b < (int)count; b++) {
      bool has_a = false, has_b = false;
      for (size_t i = 0; i < count; i++) {
        has_a = has_a || cluster[i] == a;
        has_b = has_b || cluster[i] == b;
      }
      if (!has_a || !has_b) continue;
      const double far = linkage(readings, cluster, count, a, b);
      if (far > best || (far == best && from >= 0)) continue;
      best = far;
      from = b;
      to = a;
    }
  if (from < 0) return false;
  for (size_t i = 0; i < count; i++)
    if (cluster[i] == from) cluster[i] = to;
  return true;
}

/* Proposals are for a maker's wall: past so many pieces none is made by colour (the work grows fast). */
#define COLOUR_MOST 120

static void by_colour(bc_grouping *g, size_t count, const bc_reading *const *readings) {
  if (!readings || count > COLOUR_MOST) return;
  for (size_t i = 0; i < count; i++)
    if (readings[i]) g->group[i] = (int)i;
  while (merge_nearest(readings, g->group, count)) {
  }
  g->group_count = renumber(g->group, count);
}

static char *colour_name(const bc_grouping *g, int group, size_t count, const bc_reading *const *readings) {
  const bc_reading *shown = NULL; /* the piece nearest to the group's mean speaks for it */
  bc_lab mean = {0};
  int n = 0;
  for (size_t i = 0; i < count; i++) {
    if (g->group[i] != group) continue;
    mean.L += readings[i]->mean.lab.L;
    mean.a += readings[i]->mean.lab.a;
    mean.b += readings[i]->mean.lab.b;
    n++;
  }
  mean = (bc_lab){mean.L / n, mean.a / n, mean.b / n};
  double nearest = INFINITY;
  for (size_t i = 0; i < count; i++) {
    if (g->group[i] != group) continue;
    const double far = bc_delta_e00(mean, readings[i]->mean.lab);
    if (far >= nearest) continue;
    nearest = far;
    shown = readings[i];
  }
  if (shown && shown->colour_count > 0) return bc_copy_text(shown->colours[0].name);
  return bc_format(_("colour %d"), group + 1);
}

/* --- size ------------------------------------------------------------------------------------------------------- */

typedef struct sized {
  size_t piece;
  double area;
} sized;

static int larger_first(const void *a, const void *b) {
  const sized *first = a, *second = b;
  if (first->area != second->area) return first->area > second->area ? -1 : 1;
  return (first->piece > second->piece) - (first->piece < second->piece);
}

static bc_status by_size(bc_grouping *g, bc_context *context, const bc_plan *plan) {
  sized *list = bc_allocate(plan->piece_count + 1, sizeof *list);
  if (!list) return bc_fail_memory(context);
  for (size_t i = 0; i < plan->piece_count; i++) list[i] = (sized){i, plan->pieces[i].width * plan->pieces[i].height};
  qsort(list, plan->piece_count, sizeof *list, larger_first);
  int group = 0;
  for (size_t i = 0; i < plan->piece_count; i++) {
    if (i > 0 && list[i - 1].area > SIZE_LEAP * list[i].area) group++;
    g->group[list[i].piece] = group;
  }
  free(list);
  g->group_count = renumber(g->group, plan->piece_count);
  return BC_OK;
}

static char *size_name(const bc_grouping *g, int group, const bc_plan *plan) {
  double width = 0, height = 0;
  for (size_t i = 0; i < plan->piece_count; i++) {
    if (g->group[i] != group) continue;
    width = fmax(width, plan->pieces[i].width);
    height = fmax(height, plan->pieces[i].height);
  }
  return bc_format(_("up to %s by %s"), arr_cm(plan, width), arr_cm(plan, height));
}

/* --- mount ------------------------------------------------------------------------------------------------------- */

static const char *mount_text(bc_mount_kind kind) {
  switch (kind) {
  case BC_MOUNT_SHELF:
    return _("on shelves");
  case BC_MOUNT_TABLE:
    return _("on tables");
  case BC_MOUNT_FLOOR:
    return _("on the floor");
  case BC_MOUNT_CORD:
    return _("on cords");
  case BC_MOUNT_CLIP:
    return _("on clips");
  case BC_MOUNT_HOOK:
    return _("on hooks");
  case BC_MOUNT_PIN:
    return _("on pins");
  default:
    return _("on nails");
  }
}

static void by_mount(bc_grouping *g, const bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++)
    for (size_t j = 0; j <= i; j++)
      if (plan->pieces[j].mount.kind == plan->pieces[i].mount.kind) {
        g->group[i] = (int)j; /* the first with this mount */
        break;
      }
  g->group_count = renumber(g->group, plan->piece_count);
}

static char *mount_name(const bc_grouping *g, int group, const bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++)
    if (g->group[i] == group) return bc_copy_text(mount_text(plan->pieces[i].mount.kind));
  return NULL;
}

/* --- what the plan says ---------------------------------------------------------------------------------------- */

static const char *said(const bc_piece *piece, bc_group_by by) {
  return by == BC_GROUP_BY_FUNCTION ? piece->function : by == BC_GROUP_BY_MATERIAL ? piece->material : piece->technique;
}

static void by_words(bc_grouping *g, const bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    const char *own = said(&plan->pieces[i], g->by);
    for (size_t j = 0; own && j <= i; j++) {
      const char *other = said(&plan->pieces[j], g->by);
      if (!other || strcasecmp(own, other) != 0) continue;
      g->group[i] = (int)j;
      break;
    }
  }
  g->group_count = renumber(g->group, plan->piece_count);
}

static char *word_name(const bc_grouping *g, int group, const bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++)
    if (g->group[i] == group) return bc_copy_text(said(&plan->pieces[i], g->by));
  return NULL;
}

/* --- all -----------------------------------------------------------------------------------------------------------
 */

static char *sentence(const bc_grouping *g) {
  const unsigned long n = g->group_count;
  switch (g->by) {
  case BC_GROUP_BY_COLOUR:
    return bc_format(n == 0 ? _("No two pieces are near enough in colour to group.")
                            : bc_text_plural("By colour: %lu group of pieces that look alike.",
                                             "By colour: %lu groups of pieces that look alike.", n),
                     n);
  case BC_GROUP_BY_SIZE:
    return bc_format(n == 0 ? _("No two pieces are near enough in size to group.")
                            : bc_text_plural("By size: %lu group of pieces of like size.",
                                             "By size: %lu groups of pieces of like size.", n),
                     n);
  case BC_GROUP_BY_FUNCTION:
    return bc_format(
        n == 0 ? _("By function: no two pieces are for the same use. Say in the plan what each is for (\"function\").")
               : bc_text_plural("By function: %lu group of pieces that are for the same use.",
                                "By function: %lu groups of pieces that are for the same use.", n),
        n);
  case BC_GROUP_BY_MATERIAL:
    return bc_format(
        n == 0 ? _("By material: no two pieces are of one material. Say in the plan of what each is (\"material\").")
               : bc_text_plural("By material: %lu group of pieces of one material.",
                                "By material: %lu groups of pieces of one material.", n),
        n);
  case BC_GROUP_BY_TECHNIQUE:
    return bc_format(
        n == 0 ? _("By technique: no two pieces are made alike. Say in the plan how each is made (\"technique\").")
               : bc_text_plural("By technique: %lu group of pieces made alike.",
                                "By technique: %lu groups of pieces made alike.", n),
        n);
  default:
    return bc_format(n == 0 ? _("No two pieces are mounted alike.")
                            : bc_text_plural("By mount: %lu group of pieces that hang or stand alike.",
                                             "By mount: %lu groups of pieces that hang or stand alike.", n),
                     n);
  }
}

/* Two groups may get one name (two pale blues); in the plan they would become one. */
static bool tell_apart(bc_grouping *g, int group) {
  int alike = 1;
  for (int k = 0; k < group; k++) {
    const size_t length = strlen(g->name[group]);
    alike +=
        strncmp(g->name[k], g->name[group], length) == 0 && (g->name[k][length] == '\0' || g->name[k][length] == ' ');
  }
  if (alike == 1) return true;
  char *numbered = bc_format("%s %d", g->name[group], alike);
  free(g->name[group]);
  g->name[group] = numbered;
  return numbered != NULL;
}

static bc_status name_groups(bc_grouping *g, bc_context *context, const bc_plan *plan,
                             const bc_reading *const *readings) {
  g->name = bc_allocate(g->group_count + 1, sizeof *g->name);
  g->text = sentence(g);
  if (!g->name || !g->text) return bc_fail_memory(context);
  for (int k = 0; k < (int)g->group_count; k++) {
    g->name[k] = g->by == BC_GROUP_BY_COLOUR  ? colour_name(g, k, plan->piece_count, readings)
                 : g->by == BC_GROUP_BY_SIZE  ? size_name(g, k, plan)
                 : g->by == BC_GROUP_BY_MOUNT ? mount_name(g, k, plan)
                                              : word_name(g, k, plan);
    if (!g->name[k] || !tell_apart(g, k)) return bc_fail_memory(context);
  }
  return BC_OK;
}

bc_status bc_arrange_groupings(bc_grouping out[BC_GROUPINGS], bc_context *context, const bc_plan *plan,
                               const bc_reading *const *readings) {
  bc_status status = BC_OK;
  memset(out, 0, BC_GROUPINGS * sizeof *out);
  for (int by = 0; status == BC_OK && by < BC_GROUPINGS; by++) {
    status = begin(&out[by], context, (bc_group_by)by, plan->piece_count);
    if (status != BC_OK) break;
    if (by == BC_GROUP_BY_COLOUR) by_colour(&out[by], plan->piece_count, readings);
    if (by == BC_GROUP_BY_SIZE) status = by_size(&out[by], context, plan);
    if (by == BC_GROUP_BY_MOUNT) by_mount(&out[by], plan);
    if (by >= BC_GROUP_BY_FUNCTION) by_words(&out[by], plan);
    if (status == BC_OK) status = name_groups(&out[by], context, plan, readings);
  }
  if (status != BC_OK) bc_groupings_clear(out);
  return status;
}

void bc_groupings_clear(bc_grouping groupings[BC_GROUPINGS]) {
  for (int by = 0; by < BC_GROUPINGS; by++) {
    bc_grouping *g = &groupings[by];
    for (size_t k = 0; g->name && k < g->group_count; k++) free(g->name[k]);
    free(g->name);
    free(g->group);
    free(g->text);
    *g = (bc_grouping){0};
  }
}

bc_status bc_arrange_apply_grouping(bc_plan *plan, bc_context *context, const bc_grouping *grouping) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    if (grouping->group[i] < 0) continue;
    char *name = bc_copy_text(grouping->name[grouping->group[i]]);
    if (!name) return bc_fail_memory(context);
    free(plan->pieces[i].group);
    plan->pieces[i].group = name;
  }
  return BC_OK;
}
