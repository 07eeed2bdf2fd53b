/* SPDX-License-Identifier: MIT */
/* The cautions that name what they are about: flat cords, what hangs overhead, depths and
 * tables that nobody measured, wood, walls and fixings. */
#include "loads_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { WORDS = 64, NAME = 160 };

#define FLAT_CORD 30 /* degrees; under it sling practice (ASME B30.9) asks for a qualified person, from memory */
#define TOO_FLAT 20  /* common practice, no source: a small slip of the knot doubles the pull */
/* Lifting gear for goods, not for people below: 4 for chains, 5 for wire, 7 for textiles, Directive 2006/42/EC, Annex
 * I, 4.1.2.5 (from memory). */
#define LOW_FACTOR 3
/* What falls so far or is so heavy hurts: over the shoulder of a small woman; our choice. */
#define OVERHEAD_CM BC_SHOULDER_CM
#define HEAVY_G 2000.0

/* --- names, one after another ------------------------------------------------------------------------------------ */
static void add_name(bc_buffer *names, const char *title) {
  bc_buffer_add(names, names->length > 0 ? ", %s" : "%s", title);
}

/* One sentence about all the names; none, no sentence. */
static bc_status say_names(bc_loads *loads, bc_context *context, bc_buffer *names, const char *format) {
  bc_status status = names->failed ? bc_fail_memory(context) : BC_OK;
  if (status == BC_OK && names->length > 0) {
    char *said = bc_format("%s: %s", names->text, format);
    status = said ? bc_note(&loads->cautions, context, "%s", said) : bc_fail_memory(context);
    free(said);
  }
  bc_buffer_clear(names);
  return status;
}

/* --- pieces --------------------------------------------------------------------------------------------------------
 */
static double flattest(const bc_mount *mount) {
  if (mount->cord_angle_count == 2) return fmin(mount->cord_angles[0], mount->cord_angles[1]);
  return mount->cord_angle;
}

static bc_status add_cord(bc_loads *loads, bc_context *context, const bc_piece *piece) {
  const double angle = flattest(&piece->mount);
  if (piece->mount.kind != BC_MOUNT_CORD || angle >= FLAT_CORD) return BC_OK;
  const double times = 2 * bc_loads_cord_tension_n(1, angle);
  return bc_note(
      &loads->cautions, context,
      angle < TOO_FLAT
          ? bc_text_safety(
                "%s: its cord is FAR TOO FLAT (%.0f degrees) and pulls %.1f times as hard as its share of the "
                "weight. Do not hang it so: make the cord longer.")
          : bc_text_safety(
                "%s: its cord is so flat (%.0f degrees) that it pulls %.1f times as hard as its share of the "
                "weight. Use a longer cord."),
      piece->title, angle, times);
}

static bool has_word(const char *text, const char *word) {
  const size_t length = strlen(word);
  for (; text && *text; text++)
    if (strncasecmp(text, word, length) == 0) return true;
  return false;
}

static bool is_fragile(const bc_piece *piece) {
  static const char *const words[] = {"glass", "ceramic", "stoneware", "porcelain", "earthenware", "clay", "mirror"};
  if (piece->role == BC_ROLE_MIRROR) return true;
  for (size_t i = 0; i < sizeof words / sizeof *words; i++)
    if (has_word(piece->material, words[i])) return true;
  return false;
}

static bool wants_second(const bc_piece *piece) {
  const bool over = piece->placed && bc_mount_hangs(piece->mount.kind) &&
                    piece->at.y + piece->height / 2 > OVERHEAD_CM && !piece->mount.second_fixing;
  return over && (piece->weight_g > HEAVY_G || is_fragile(piece));
}

static bc_status add_pieces(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  bc_buffer flat = {0}, second = {0};
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!piece->placed || !bc_mount_hangs(piece->mount.kind)) continue;
    status = add_cord(loads, context, piece);
    if (!(piece->depth > 0)) add_name(&flat, piece->title);
    if (wants_second(piece)) add_name(&second, piece->title);
  }
  if (status == BC_OK)
    status =
        say_names(loads, context, &second,
                  bc_text_safety(
                      "heavy or fragile, and above people. Give each a second, independent fixing that catches it when "
                      "the first one fails."));
  if (status == BC_OK)
    status = say_names(
        loads, context, &flat,
        bc_text_safety("no depth is given, so each is judged as if it were flat. What stands out from the wall pulls "
                       "its point outwards, too: the real load is higher."));
  bc_buffer_clear(&flat);
  bc_buffer_clear(&second);
  return status;
}

/* --- tables, rods ----------------------------------------------------------------------------------------------------
 */
static bc_status add_tables(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  bc_buffer names = {0};
  for (size_t i = 0; i < loads->table_count; i++) {
    if (loads->tables[i].rated_n > 0 || (!(loads->tables[i].load_n > 0) && !loads->tables[i].unweighed)) continue;
    bc_carrier on = {.kind = BC_CARRIER_TABLE, .id = loads->tables[i].id};
    char name[NAME], load[WORDS];
    bc_carrier_name(name, sizeof name, plan, &on);
    bc_mass_words(load, sizeof load, loads_kg_of_newton(loads->tables[i].load_n) * 1000, plan->units);
    bc_buffer_add(&names, "%s%s (%s)", names.length > 0 ? ", " : "", name, load);
  }
  return say_names(
      loads, context, &names,
      bc_text_safety("what it may carry is not known. Ask who lends it, and set what is heavy over its legs."));
}

static bc_status add_wood(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  bc_buffer names = {0};
  for (size_t i = 0; i < plan->rod_count; i++) {
    const bc_rod *rod = &plan->rods[i];
    const loads_material *material = rod->material ? loads_material_named(rod->material) : NULL;
    if (material && material->wood && rod->grade == BC_WOOD_KNOTTY) add_name(&names, rod->id);
  }
  return say_names(
      loads, context, &names,
      bc_text_safety(
          "of wood, and judged with knots, which leave less than half the strength, and with the sag after months, "
          "which is more in damp air. If it is straight and free of knots, write \"grade\": \"clear\" into the plan."));
}

/* --- walls and fixings
 * -------------------------------------------------------------------------------------------------- */
static bc_status add_fixings(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  if (plan->frame.given) return BC_OK; /* its own bars */
  const bc_wall_kind wall = plan->stand.wall;
  bool used[BC_FIXINGS] = {[BC_FIXING_UNKNOWN] = false};
  bool any = plan->rod_count > 0 || plan->shelf_count > 0;
  if (any) used[plan->stand.fixing] = true;
  for (size_t i = 0; i < loads->point_count; i++) any = any || !loads->points[i].on;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (piece->placed && bc_mount_hangs(piece->mount.kind) && !piece->mount.on)
      used[bc_plan_fixing_of(plan, piece)] = true;
  }
  bc_status status = BC_OK;
  if (any && wall == BC_WALL_UNKNOWN)
    status = bc_note(
        &loads->cautions, context, "%s",
        bc_text_safety("What the wall is made of is not given, and not every fixing holds in every wall. Ask the "
                       "venue, and write it into the plan as \"wall\" and \"fixing\" of the stand."));
  const char *last = NULL;
  for (int i = 0; status == BC_OK && i < BC_FIXINGS; i++) {
    const char *text = used[i] ? bc_fixing_caution(wall, (bc_fixing)i) : NULL;
    if (text && text != last) status = bc_note(&loads->cautions, context, "%s", text);
    if (text) last = text;
  }
  return status;
}

bc_status loads_add_named_cautions(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  bc_status status = BC_OK;
  if (plan->design_factor < LOW_FACTOR)
    status =
        bc_note(&loads->cautions, context,
                bc_text_safety(
                    "A design factor of %g is low: 5 is common practice, and less than 3 is for a licensed person to "
                    "decide."),
                plan->design_factor);
  if (status == BC_OK) status = add_fixings(loads, context, plan);
  if (status == BC_OK) status = add_pieces(loads, context, plan);
  if (status == BC_OK) status = add_tables(loads, context, plan);
  return status == BC_OK ? add_wood(loads, context, plan) : status;
}
