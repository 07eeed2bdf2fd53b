/* SPDX-License-Identifier: MIT */
/* Ids are unique, and what a piece hangs or stands on exists and suits its mount. */
#include "plan_internal.h"

#include <stdlib.h>
#include <string.h>

/* A name with the place where it is given. */
typedef struct named {
  const char *id;
  const char *list; /* "rods" */
  size_t index;
  bc_carrier_kind kind; /* unless it is a piece */
} named;

static int by_id(const void *first, const void *second) {
  const named *a = first, *b = second;
  const int order = strcmp(a->id, b->id);
  if (order != 0) return order;
  const int list = strcmp(a->list, b->list);
  return list != 0 ? list : (a->index > b->index) - (a->index < b->index);
}

static bc_status fail_twice(const plan_reader *reader, const named *first, const named *again) {
  const plan_place list = {.key = again->list}, element = {.up = &list, .index = again->index},
                   id = {.up = &element, .key = "id"};
  return plan_fail(reader, &id, _("the id \"%s\" is already used by %s[%zu]. Give each its own id."), again->id,
                   first->list, first->index);
}

/* Sorted, so that 2000 pieces are no trouble. */
static bc_status refuse_twice(plan_reader *reader, named *names, size_t count) {
  qsort(names, count, sizeof *names, by_id);
  bc_status status = BC_OK;
  for (size_t i = 1, first = 0; status == BC_OK && i < count; i++) {
    const bool again = strcmp(names[first].id, names[i].id) == 0;
    if (again) status = plan_go_on(reader, fail_twice(reader, &names[first], &names[i]));
    if (!again) first = i;
  }
  return status;
}

static size_t list_carriers(const bc_plan *plan, named *names) {
  size_t count = 0;
  for (size_t i = 0; i < bc_plan_carrier_count(plan); i++) {
    const bc_carrier carrier = bc_plan_carrier(plan, i);
    if (carrier.kind == BC_CARRIER_FRAME || !carrier.id) continue; /* nothing names it; or its id was not read */
    names[count++] = (named){carrier.id, bc_carrier_list(carrier.kind), carrier.index, carrier.kind};
  }
  return count;
}

static const named *find(const named *names, size_t count, const char *id) {
  const named wanted = {.id = id, .list = ""};
  size_t low = 0, high = count;
  while (low < high) {
    const size_t middle = low + (high - low) / 2;
    if (by_id(&names[middle], &wanted) < 0)
      low = middle + 1;
    else
      high = middle;
  }
  return low < count && strcmp(names[low].id, id) == 0 ? &names[low] : NULL;
}

static bc_status check_on(const plan_reader *reader, size_t index, const named *carriers, size_t count) {
  const bc_mount *mount = &reader->plan->pieces[index].mount;
  if (!mount->on) return BC_OK;
  const plan_place list = {.key = "pieces"}, element = {.up = &list, .index = index},
                   held = {.up = &element, .key = "mount"}, on = {.up = &held, .key = "on"};
  const named *carrier = find(carriers, count, mount->on);
  if (!carrier)
    return plan_fail(reader, &on,
                     _("no rod, grid panel, post, shelf, table or riser has the id \"%s\". Correct it, or leave "
                       "\"on\" out and it hangs on the wall."),
                     mount->on);
  const bool takes = bc_carrier_takes(carrier->kind, mount->kind);
  if (carrier->kind == BC_CARRIER_GRID && !takes && bc_mount_hangs(mount->kind))
    return plan_fail(reader, &on,
                     _("a %s does not hold in the wires of the grid panel \"%s\". Use the kind hook, cord or clip."),
                     bc_mount_text(mount->kind), mount->on);
  if (!takes)
    return plan_fail(reader, &on,
                     _("a mount of the kind \"%s\" cannot be on \"%s\", which is one of the %s. Change how it is held "
                       "(\"kind\") or what carries it (\"on\")."),
                     bc_mount_word(mount->kind), mount->on, carrier->list);
  return BC_OK;
}

static bc_status check_cloth_on(const plan_reader *reader) {
  const bc_plan *plan = reader->plan;
  if (!plan->cloth.on) return BC_OK;
  for (size_t i = 0; i < plan->rod_count; i++)
    if (strcmp(plan->rods[i].id, plan->cloth.on) == 0) return BC_OK;
  const plan_place cloth = {.key = "cloth"}, on = {.up = &cloth, .key = "on"};
  return plan_fail(reader, &on,
                   _("no rod has the id \"%s\". Correct it, or leave out what carries the cloth (\"on\")."),
                   plan->cloth.on);
}

static bc_status check_riser_on(const plan_reader *reader, size_t index) {
  const bc_riser *riser = &reader->plan->risers[index];
  if (!riser->on || bc_plan_riser_table(reader->plan, riser)) return BC_OK;
  const plan_place list = {.key = "risers"}, element = {.up = &list, .index = index},
                   on = {.up = &element, .key = "on"};
  return plan_fail(reader, &on,
                   _("no table has the id \"%s\". Correct it, or leave out what carries the riser (\"on\")."),
                   riser->on);
}

/* What is on what. */
static bc_status check_all_on(plan_reader *reader, const named *carriers, size_t count) {
  const bc_plan *plan = reader->plan;
  bc_status status = plan_go_on(reader, check_cloth_on(reader));
  for (size_t i = 0; status == BC_OK && i < plan->riser_count; i++)
    status = plan_go_on(reader, check_riser_on(reader, i));
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++)
    status = plan_go_on(reader, check_on(reader, i, carriers, count));
  return status;
}

bc_status plan_check_names(plan_reader *reader) {
  const bc_plan *plan = reader->plan;
  named *carriers = bc_allocate(bc_plan_carrier_count(plan), sizeof *carriers);
  named *pieces = bc_allocate(plan->piece_count, sizeof *pieces);
  bc_status status = carriers && pieces ? BC_OK : bc_fail_memory(reader->context);
  if (status == BC_OK) {
    const size_t count = list_carriers(plan, carriers);
    size_t named_pieces = 0;
    for (size_t i = 0; i < plan->piece_count; i++)
      if (plan->pieces[i].id) pieces[named_pieces++] = (named){.id = plan->pieces[i].id, .list = "pieces", .index = i};
    status = refuse_twice(reader, carriers, count);
    if (status == BC_OK) status = refuse_twice(reader, pieces, named_pieces);
    if (status == BC_OK && !reader->names_doubtful) status = check_all_on(reader, carriers, count);
  }
  free(carriers);
  free(pieces);
  return status;
}
