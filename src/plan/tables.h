/* SPDX-License-Identifier: MIT */
/* How the tables of keys are written down: a line a key. Offsets lead into the struct that a table fills. What follows
 * the named arguments goes into the field as it stands, for example `.required = true`. */
#ifndef BC_SRC_PLAN_TABLES_H
#define BC_SRC_PLAN_TABLES_H

#include "plan_internal.h"

#define AT(type, member) offsetof(type, member)
#define COUNT(array) (sizeof(array) / sizeof *(array))
#define TABLE(name, type, fields, ...) const plan_table name = {fields, COUNT(fields), sizeof(type), __VA_ARGS__}

/* A number within bounds, both of them allowed; FROM_0: 0 is allowed; ABOVE_0: it is not. */
#define WITHIN(word, type, member, least, most, of, about, help, ...)                                                  \
  {                                                                                                                    \
    .key = word, .kind = PLAN_NUMBER, .offset = AT(type, member), .low = least, .high = most, .unit = of,              \
    .what = about, .remedy = help, __VA_ARGS__                                                                         \
  }
#define FROM_0(word, type, member, most, of, about, help, ...)                                                         \
  WITHIN(word, type, member, 0, most, of, about, help, __VA_ARGS__)
#define ABOVE_0(word, type, member, most, of, about, help, ...)                                                        \
  WITHIN(word, type, member, 0, most, of, about, help, .above = true, __VA_ARGS__)

/* A length in cm: a place may be anywhere, a size is more than nothing, a distance may be nothing. */
#define PLACE(word, type, member, about, help, ...)                                                                    \
  WITHIN(word, type, member, -WALL_CM, WALL_CM, "cm", about, help, __VA_ARGS__)
#define SIZE(word, type, member, about, help, ...) ABOVE_0(word, type, member, WALL_CM, "cm", about, help, __VA_ARGS__)
#define DISTANCE(word, type, member, about, help, ...)                                                                 \
  FROM_0(word, type, member, WALL_CM, "cm", about, help, __VA_ARGS__)

/* A rating in kg and a weight in g; `other` is the key without a unit in its name. */
#define RATED(word, other, type, member, about, help)                                                                  \
  ABOVE_0(word, type, member, RATED_KG, "kg", about, help, .also = other)
#define WEIGHT(word, other, type, member, about, help)                                                                 \
  ABOVE_0(word, type, member, MASS_G, "g", about, help, .also = other)

#define COUNTED(word, type, member, least, most, of, about, help, ...)                                                 \
  {                                                                                                                    \
    .key = word, .kind = PLAN_WHOLE, .offset = AT(type, member), .low = least, .high = most, .unit = of,               \
    .what = about, .remedy = help, __VA_ARGS__                                                                         \
  }
#define TEXT(word, type, member, about, ...)                                                                           \
  { .key = word, .kind = PLAN_TEXT, .offset = AT(type, member), .what = about, __VA_ARGS__ }
#define ID(type) TEXT("id", type, id, N_("an id"))
#define REASON(type) TEXT("reason", type, reason, N_("a reason"))
#define TRUTH(word, type, member)                                                                                      \
  { .key = word, .kind = PLAN_TRUTH, .offset = AT(type, member) }
#define WORD(word, type, member, list)                                                                                 \
  { .key = word, .kind = PLAN_WORD, .offset = AT(type, member), .words = list }
#define COLOUR(word, type, member, colour)                                                                             \
  { .key = word, .kind = PLAN_COLOUR, .offset = AT(type, member), .second = AT(type, colour) }
#define PHOTO(word, type, member, written)                                                                             \
  { .key = word, .kind = PLAN_PHOTO, .offset = AT(type, member), .second = AT(type, written) }

/* A group of the plan, and one of which the plan remembers whether it was given. */
#define GROUP(word, type, member, of, ...)                                                                             \
  { .key = word, .kind = PLAN_OBJECT, .offset = AT(type, member), .table = &of, __VA_ARGS__ }
#define GIVEN(word, type, member, of) GROUP(word, type, member, of, .second = AT(type, member.given))
#define LIST(word, type, member, counter, of, limit)                                                                   \
  {                                                                                                                    \
    .key = word, .kind = PLAN_LIST, .offset = AT(type, member), .second = AT(type, counter), .table = &of,             \
    .most = limit                                                                                                      \
  }

/* tables_stand.c, tables_carriers.c, tables_pieces.c, tables_fittings.c */
extern const plan_table plan_stand_table, plan_cloth_table, plan_rod_table, plan_table_table, plan_shelf_table,
    plan_frame_table, plan_piece_table, plan_zone_table, plan_post_table, plan_grid_table, plan_riser_table,
    plan_chair_table, plan_sale_table, plan_figure_table, plan_hanging_table;

#endif
