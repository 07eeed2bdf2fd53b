/* SPDX-License-Identifier: MIT */
/**
 * @file collection.h
 * What a match is about, as one value: the pieces, each with its size and where it stands, the candidate cloths of
 * wall and table, and the light that all of it is seen under.
 */
#ifndef BACKCLOTH_COLLECTION_H
#define BACKCLOTH_COLLECTION_H

#include <backcloth/reading.h>

#ifdef __cplusplus
extern "C" {
#endif

/* --- cloths --------------------------------------------------------------------------------------- */

/** One of the colours of a patterned cloth. */
typedef struct bc_cloth_part {
  bc_colour colour;
  double share; /**< of the cloth's area */
} bc_cloth_part;

/** A candidate backdrop. Plain data. */
typedef struct bc_cloth {
  char *spec;       /**< as the user gave it: a CSS colour or "photo:FILE" */
  char *name;       /**< the user's name for it, or a plain-word colour name */
  bool pile;        /**< velvet and its like; `colour` is then what the cloth shows, darker than its chip */
  bc_colour colour; /**< mean colour */
  double spread_l;  /**< standard deviation of L* over the cloth, 0 for a plain colour */
  /** A photo cloth's main colours: what lies behind a place of a piece's rim is one of them, as often as its
   *  share says. 0 parts: all of it has `colour`. */
  bc_cloth_part parts[BC_READING_COLOURS];
  size_t part_count;
  bc_textile textile; /**< of the photo, as photographed; all zero for a plain colour */
} bc_cloth;

/** Reads a cloth SPEC: a CSS Color 4 colour, one with a word for a cloth with a pile behind it ("black velvet",
 *  "#22432f corduroy"), or "photo:FILE". `name` may be NULL; it is copied. */
BC_API bc_status bc_cloth_parse(bc_cloth **out, bc_context *context, const char *spec, const char *name);
/** A cloth from the bytes of a photo, which are not kept; `path` takes the file's place: the spec is "photo:PATH". */
BC_API bc_status bc_cloth_decode(bc_cloth **out, bc_context *context, const void *bytes, size_t size, const char *path,
                                 const char *name);
/** Gives a cloth that has no parts yet the colours and spread of its `textile`. */
BC_API void bc_cloth_take_textile(bc_cloth *cloth);
/** Tells that a cloth has a pile. A colour given as a chip becomes that of the pile, darker and deeper; a photo shows
 *  the pile already. Once only. Source: Sumpner 1892, docs/method/match.md. */
BC_API void bc_cloth_make_pile(bc_cloth *cloth);
BC_API void bc_cloth_free(bc_cloth *cloth);
/** A copy: what was measured isn't measured again. */
BC_API bc_status bc_cloth_copy(bc_cloth **out, bc_context *context, const bc_cloth *cloth);
/** The cloth as it appears under a light at the stand. */
BC_API bc_status bc_cloth_under_light(bc_cloth **out, bc_context *context, const bc_cloth *cloth,
                                      const bc_light *light);

typedef struct bc_cloth_list {
  bc_cloth **cloth;
  size_t count;
} bc_cloth_list;
/** Reads a cloths file: {"cloths":[{"name":…,"colour":…,"pile":true}|{"name":…,"photo":…},…]}; paths are relative to
 * the file's folder. */
BC_API bc_status bc_cloths_open(bc_cloth_list *out, bc_context *context, const char *path);
/** The same from text; `path` names it in messages and gives the folder for relative paths. */
BC_API bc_status bc_cloths_parse(bc_cloth_list *out, bc_context *context, const char *text, size_t size,
                                 const char *path);
/** Puts a cloth at the list's end and takes it over, whatever the outcome. */
BC_API bc_status bc_cloths_add(bc_cloth_list *list, bc_context *context, bc_cloth *cloth);
/** Puts a copy at the list's end. */
BC_API bc_status bc_cloths_add_copy(bc_cloth_list *list, bc_context *context, const bc_cloth *cloth);
BC_API void bc_cloths_clear(bc_cloth_list *list);

/* --- the collection ------------------------------------------------------------------------------- */

/** A piece on a table has the table's cloth behind its lower part and the wall's behind the rest. */
typedef struct bc_standing {
  bool on_table;
  double table_share; /**< lower share of the piece's height that is seen against the table cloth, 0..1 */
} bc_standing;
/** One piece of a collection. */
typedef struct bc_collected {
  const bc_reading *reading; /**< as it is seen under the collection's light */
  bc_reading *own;           /**< the same when the collection owns it; NULL: it is lent */
  double width_cm;           /**< true width, 0: not known */
  bc_standing standing;
  const char *title; /**< what people call it, borrowed; NULL: its photo's name is made into one */
} bc_collected;

/** A collection. Start it with bc_collection_start, end it with bc_collection_clear. */
typedef struct bc_collection {
  bc_collected *piece;
  size_t count;
  size_t statement;      /**< index of the statement piece; SIZE_MAX: none */
  bc_cloth_list cloths;  /**< candidates for the wall, owned; bc_cloths_add puts more in */
  bc_cloth_list tables;  /**< candidates for the table, owned */
  const bc_light *light; /**< that everything in it is seen under; NULL: daylight as photographed (D50) */
} bc_collection;

/** An empty collection: no piece, no cloth, no statement piece, daylight. */
BC_API bc_collection bc_collection_start(void);
/** Frees what it owns; it is then empty. */
BC_API void bc_collection_clear(bc_collection *collection);
/** Adds a piece whose reading is lent: it must live until the collection is cleared, and isn't changed. */
BC_API bc_status bc_collection_lend(bc_collection *collection, bc_context *context, const bc_reading *reading);
/** Adds a piece and takes its reading over, whatever the outcome. */
BC_API bc_status bc_collection_take(bc_collection *collection, bc_context *context, bc_reading *reading);
/** Puts all of it, which is as photographed, under a light at the stand: lent readings are replaced by copies of its
 *  own. D50 leaves the colours as they are. On failure the collection can only be cleared. */
BC_API bc_status bc_collection_put_under_light(bc_collection *collection, bc_context *context, const bc_light *light);
/** What piece `piece` is called, malloc'd; NULL without memory. */
BC_API char *bc_collection_title(const bc_collection *collection, size_t piece);
/** "D50", "A", …: the name of its light, never NULL. */
BC_API const char *bc_collection_light_name(const bc_collection *collection);

#ifdef __cplusplus
}
#endif
#endif
