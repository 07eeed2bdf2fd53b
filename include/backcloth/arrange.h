/* SPDX-License-Identifier: MIT */
/**
 * @file arrange.h
 * Seventh stage: places what a plan leaves unplaced, as someone who hangs exhibitions would: the
 * statement piece in the focus, the rest composed round it, nothing hidden, nothing overloaded.
 *
 * Lengths cm, wall coordinates as in plan.h. docs/method/arrange.md gives every rule and constant.
 * Hard rules are never broken: pieces keep the plan's gap, stay on the wall and within reach, clear
 * of posts and no-fix zones, and on carriers that hold them. What cannot be placed under them is
 * left off, and a sentence says why. The same plan, options and seed give the same answer.
 */
#ifndef BACKCLOTH_ARRANGE_H
#define BACKCLOTH_ARRANGE_H

#include <backcloth/plan.h>
#include <backcloth/reading.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Three ways to compose a wall. */
typedef enum bc_arrange_style {
  BC_ARRANGE_CENTRED_GROUP = 0, /**< one tight group about the focus */
  BC_ARRANGE_LEVEL_ROWS,        /**< level rows that share centre lines */
  BC_ARRANGE_SATELLITES         /**< one dominant piece with much clear space, the rest in two wings */
} bc_arrange_style;
#define BC_ARRANGE_STYLES 3

/** What a score is made of; each part is 0 (bad) to 1 (as good as it can be). */
typedef enum bc_arrange_part {
  BC_PART_FOCUS = 0, /**< the statement piece is in the focus */
  BC_PART_CLEAR,     /**< clear space round the statement piece */
  BC_PART_SIGHT,     /**< visual weight within the sight band */
  BC_PART_BALANCE,   /**< visual weight balanced about the wall's middle */
  BC_PART_SYMMETRY,  /**< left mirrors right */
  BC_PART_LINES,     /**< shared centre lines, tops or bottoms */
  BC_PART_GAPS,      /**< equal visual gaps */
  BC_PART_SPACING,   /**< near enough to read as one display, not pressed against an edge */
  BC_PART_ORDER,     /**< larger high, smaller low */
  BC_PART_TOGETHER,  /**< groups kept together */
  BC_PART_SEEN,      /**< not hidden by tables and what stands on them */
  BC_PART_STYLE      /**< true to its way of composing; not counted when styles are compared */
} bc_arrange_part;
#define BC_ARRANGE_PARTS 12

/** The part's name for a person, translated. */
BC_API const char *bc_arrange_part_text(bc_arrange_part part);
/** The part's key in JSON: "focus", "clear", … ; never translated. */
BC_API const char *bc_arrange_part_word(bc_arrange_part part);
/** "centred group", "level rows" or "satellites": the JSON word, never translated. */
BC_API const char *bc_arrange_style_word(bc_arrange_style style);
/** The same for a person, translated. */
BC_API const char *bc_arrange_style_text(bc_arrange_style style);

/** A part of the wall that must stay free. */
typedef struct bc_arrange_zone {
  double x, y, width, height; /**< lower left corner and size, cm */
  bool post;                  /**< true: a post that stands out; pieces on shelves and floor avoid it too */
} bc_arrange_zone;

/** Which pieces that already have a place stay where they are. Pinned pieces always do. */
typedef enum bc_arrange_keep {
  BC_ARRANGE_KEEP_PLACED = 0, /**< all that have a place stay, unless every piece has one: then only pinned ones do */
  BC_ARRANGE_KEEP_PINNED      /**< only pinned ones stay */
} bc_arrange_keep;

typedef struct bc_arrange_options {
  uint64_t seed;                /**< default 1 */
  bc_arrange_keep keep;         /**< default BC_ARRANGE_KEEP_PLACED */
  const double *contrast;       /**< one per piece, 0..1, for example bc_pair.clarity on the chosen cloth: visual weight
                                     is area x contrast. NULL: 1 each. Borrowed. */
  const bc_arrange_zone *zones; /**< no-fix zones and posts beside those of the plan. Borrowed. */
  size_t zone_count;
  double reach;      /**< cm: highest hanging point reached from the floor; default BC_ARRANGE_OF_PLAN */
  double step;       /**< cm: height of the step that may be used; default BC_ARRANGE_OF_PLAN; 0 = none */
  double table_back; /**< cm between the wall and a table's back edge, added to the table's own `from_wall`; default 0.
                          Used for the line of sight. */
  double effort;     /**< share of the usual search, 0.01..10; default 1. Less is faster and rougher. */
  double grid;       /**< cm: places are multiples of this; default 0.1 */
} bc_arrange_options;

/** Stands for the plan's own bc_hanging.reach and step. */
#define BC_ARRANGE_OF_PLAN (-1.0)
/** Overhead reach of a person hanging: 1.2 x stature of a small woman (152.5 cm, 5th percentile,
 *  ANSUR II 2012). The stature is published; the factor 1.2 is common practice, no source. */
#define BC_ARRANGE_REACH 183.0
/** The standing height of a two-tread step, common practice, no source. */
#define BC_ARRANGE_STEP 46.0

BC_API bc_arrange_options bc_arrange_options_default(void);

/** Why a piece is left off. */
typedef enum bc_left_cause {
  BC_LEFT_ROOM = 0, /**< nowhere has it the room, the depth or the reach that it needs */
  BC_LEFT_RATING,   /**< its hardware, or what would carry it, is rated for less */
  BC_LEFT_UNKNOWN   /**< somebody has to be asked first */
} bc_left_cause;

/** What became of a piece. */
typedef enum bc_place_state {
  BC_PLACE_KEPT = 0, /**< stays where the plan has it */
  BC_PLACE_PLACED,   /**< has a (new) place */
  BC_PLACE_LEFT_OFF  /**< does not fit under the hard rules */
} bc_place_state;

typedef struct bc_place {
  bc_place_state state;
  bc_point_cm at;      /**< centre; meaningless when left off */
  const char *on;      /**< rod, shelf or table that carries it, borrowed from the plan, or NULL */
  char *why;           /**< when left off: a sentence with what would help; else NULL */
  bc_left_cause cause; /**< when left off */
} bc_place;

/** One composed wall. Borrows ids from the plan: free it before the plan. */
typedef struct bc_arrangement {
  bc_arrange_style style;
  double score; /**< 0..100, parts weighted by bc_arrange_weight(); 0 when nothing has a place */
  double part[BC_ARRANGE_PARTS];
  bc_place *places; /**< one per piece of the plan, in the plan's order */
  size_t place_count, left_off;
  bc_notes reasons;  /**< why it looks as it does, in plain words */
  bc_notes cautions; /**< steps, overloads among pinned pieces, what is partly hidden */
} bc_arrangement;

typedef struct bc_arrangements {
  bc_arrangement *arrangement[BC_ARRANGE_STYLES]; /**< best first: fewest left off, then `score` */
  size_t count;                                   /**< fewer than three when two would be the same */
  size_t of_style[BC_ARRANGE_STYLES]; /**< which of them to take for each style: where two came out the same, the better
                                       */
  bc_notes notes; /**< how full the wall is and what would fill it; why there are fewer than three */
} bc_arrangements;

/** The share of the score that a part carries; they sum to 1. BC_PART_STYLE carries none: it guides the search for each
 *  style, and styles are compared without it. */
BC_API double bc_arrange_weight(bc_arrange_part part);

/** Arranges a plan in up to three ways. The plan is not changed. `options` may be NULL.
 *  Errors: BC_BAD_USAGE (an option makes no sense), BC_OUR_FAULT. A plan that cannot be satisfied is
 *  not an error: pieces are left off, with their reasons. */
BC_API bc_status bc_arrange(bc_arrangements **out, bc_context *context, const bc_plan *plan,
                            const bc_arrange_options *options);
BC_API void bc_arrangements_free(bc_arrangements *arrangements);
/** Puts an arrangement's places into the plan: `at`, `placed` and, for pieces that were given a shelf or table,
 *  `mount.on`. Pieces left off lose their place. The arrangement stays valid. */
BC_API bc_status bc_arrange_apply(bc_plan *plan, bc_context *context, const bc_arrangement *arrangement);
/** The arrangements in plain words; the caller frees it with free(). */
BC_API bc_status bc_arrange_to_words(char **out, bc_context *context, const bc_plan *plan,
                                     const bc_arrangements *arrangements);
/** {"arrangements":[{"style","score","parts":{…},"places":[{"piece","state","at","on","why","cause"}],"reasons","cautions"}],
 *  "notes"}; the caller frees it with free(). */
BC_API bc_status bc_arrange_to_json(char **out, bc_context *context, const bc_plan *plan,
                                    const bc_arrangements *arrangements);

/** Scores a wall as it stands: pieces without a place are not counted. Fills part[] and returns 0..100. */
BC_API bc_status bc_arrange_score(double *score, double part[BC_ARRANGE_PARTS], bc_context *context,
                                  const bc_plan *plan, bc_arrange_style style, const bc_arrange_options *options);

/** How full the wall is. */
typedef enum bc_fullness { BC_WALL_EMPTY = 0, BC_WALL_EASY, BC_WALL_CROWDED } bc_fullness;
/** Bounds on the share of the usable wall that is covered: below the first it looks empty, above the
 *  second crowded. Common practice, no source. */
#define BC_ARRANGE_EMPTY_BELOW 0.15
#define BC_ARRANGE_CROWDED_ABOVE 0.45

typedef struct bc_wall_fill {
  double usable_cm2;    /**< cloth (or wall) above table height and within reach, less no-fix zones and posts */
  double covered_share; /**< by placed pieces, of the usable area */
  bc_fullness fullness;
  bc_arrange_zone space; /**< the largest free rectangle, the gap already taken off */
  bc_notes notes;        /**< what the figure means and what would fill (or thin) the wall */
} bc_wall_fill;
/** Judges the wall as the plan has it. Free the notes with bc_wall_fill_clear. */
BC_API bc_status bc_arrange_fill(bc_wall_fill *out, bc_context *context, const bc_plan *plan,
                                 const bc_arrange_options *options);
BC_API void bc_wall_fill_clear(bc_wall_fill *fill);

/** By what pieces can be grouped. */
typedef enum bc_group_by {
  BC_GROUP_BY_COLOUR = 0,
  BC_GROUP_BY_SIZE,
  BC_GROUP_BY_MOUNT,
  BC_GROUP_BY_FUNCTION, /**< these three by what the plan says of the pieces, letter case aside */
  BC_GROUP_BY_MATERIAL,
  BC_GROUP_BY_TECHNIQUE
} bc_group_by;
#define BC_GROUPINGS 6
/** The word on the command line and in JSON: "colour", "size", "mount", "function", "material", "technique". */
BC_API const char *bc_group_by_word(bc_group_by by);
/** A proposal that the maker may take or leave. */
typedef struct bc_grouping {
  bc_group_by by;
  size_t group_count; /**< groups of at least two pieces; 0: nothing to propose */
  int *group;         /**< one per piece: 0..group_count-1, or -1 when it stays by itself */
  char **name;        /**< group_count plain words, translated */
  char *text;         /**< one sentence that says what the proposal is */
} bc_grouping;
/** Proposes groupings by colour, size, mount, function, material and technique. `readings` has one entry a piece (NULL
 * entries: no photo) or is NULL: then none by colour. Colours go together when their means differ by at most
 *  BC_GROUP_COLOUR_WITHIN in CIEDE2000. */
#define BC_GROUP_COLOUR_WITHIN 18.0
BC_API bc_status bc_arrange_groupings(bc_grouping out[BC_GROUPINGS], bc_context *context, const bc_plan *plan,
                                      const bc_reading *const *readings);
BC_API void bc_groupings_clear(bc_grouping groupings[BC_GROUPINGS]);
/** The proposals in plain words, with the pieces' titles; the caller frees it with free(). */
BC_API bc_status bc_groupings_to_words(char **out, bc_context *context, const bc_plan *plan,
                                       const bc_grouping groupings[BC_GROUPINGS]);
/** {"groupings":[{"by","text","groups":[{"name","pieces":[id]}]}]}; the caller frees it with free(). */
BC_API bc_status bc_groupings_to_json(char **out, bc_context *context, const bc_plan *plan,
                                      const bc_grouping groupings[BC_GROUPINGS]);
/** Writes a grouping into the plan's `group` keys; pieces that stay by themselves keep theirs. */
BC_API bc_status bc_arrange_apply_grouping(bc_plan *plan, bc_context *context, const bc_grouping *grouping);

/** What is wrong with a piece at a place; bits. */
typedef enum bc_snap_fault {
  BC_SNAP_OVERLAP = 1,  /**< overlaps a piece or stands nearer than the gap */
  BC_SNAP_OFF_WALL = 2, /**< beyond the wall or cloth */
  BC_SNAP_BLOCKED = 4,  /**< in a no-fix zone, a post, a shelf, a rod, or behind a table */
  BC_SNAP_REACH = 8,    /**< its hanging point is beyond reach */
  BC_SNAP_CARRIER = 16, /**< not on its rod, shelf or table, or too deep for it */
  BC_SNAP_SIGHT = 32    /**< a statement piece whose centre is outside the sight band */
} bc_snap_fault;
#define BC_SNAP_COLLISIONS 16

/** Answer to "what if the piece were here". Plain data, nothing to free. */
typedef struct bc_snap {
  bc_point_cm asked, at;                 /**< as given, and after snapping to lines, equal gaps and carriers */
  bool on_vertical, on_level;            /**< x, or y, was drawn to a line or an equal gap */
  double vertical, level;                /**< x of the vertical line and y of the level line it was drawn to, cm */
  unsigned faults_asked, faults;         /**< bc_snap_fault bits before and after snapping */
  size_t collisions[BC_SNAP_COLLISIONS]; /**< pieces it collides with at `at`, by index */
  size_t collision_count;                /**< may exceed BC_SNAP_COLLISIONS: only so many are listed */
} bc_snap;
/** A piece, by index, where a person holds it. */
typedef struct bc_snap_wish {
  size_t piece;
  bc_point_cm at;
  double within; /**< cm that snapping reaches; 0: none */
} bc_snap_wish;
/** Tries a piece at a place. Allocates a little; takes microseconds for a wall of 60 pieces, so a page may call it for
 *  every finger movement. */
BC_API bc_status bc_arrange_snap(bc_snap *out, bc_context *context, const bc_plan *plan, const bc_snap_wish *wish,
                                 const bc_arrange_options *options);

/** A change during the market. Borrows nothing from the plan. */
typedef struct bc_change_move {
  size_t piece; /**< index in the changed plan */
  bc_point_cm from, to;
  char *text; /**< what to do, one sentence */
} bc_change_move;
typedef struct bc_change {
  bc_change_move *moves; /**< in the order in which they can be done without two pieces in one place */
  size_t move_count;
  double score_before, score_after;
  bc_notes steps;   /**< everything to do, in order, in plain words */
  bc_notes restock; /**< what to bring or make again: all that was sold so far, with what is left */
} bc_change;
/** One piece `id` was sold: takes one off its count, or the piece off the wall when it was the last;
 *  then moves as few pieces as it takes to look right again (see docs/method/arrange.md).
 *  Changes the plan. Errors: BC_BAD_DATA when there is no such piece. */
BC_API bc_status bc_arrange_sold(bc_change **out, bc_context *context, bc_plan *plan, const char *id,
                                 const bc_arrange_options *options);
/** Finds a place for the piece `id` of the plan that has none, moving as few others as possible. Changes the plan. */
BC_API bc_status bc_arrange_add(bc_change **out, bc_context *context, bc_plan *plan, const char *id,
                                const bc_arrange_options *options);
/** {"moves":[{"piece","from":[x,y],"to":[x,y],"text"}],"steps":[…],"sold":[{"piece","title","sold","left"}],
 *  "restock":[…],"score_before","score_after"} of a change that was made in `plan`. The caller frees it with free(). */
BC_API bc_status bc_change_to_json(char **out, bc_context *context, const bc_plan *plan, const bc_change *change);
BC_API void bc_change_free(bc_change *change);

#ifdef __cplusplus
}
#endif
#endif
