/* SPDX-License-Identifier: MIT */
/**
 * @file aisle.h
 * What a visitor in the aisle sees of each piece while other people stand in
 * the stand. Geometry only, no pictures.
 *
 * The wall's coordinates (x right, y up, cm) with a third, z, the distance from the wall towards the
 * aisle. Pieces and people are upright planes parallel to the wall, so the shadow that one throws from
 * the visitor's eye upon another is the same outline, larger: its area is found exactly.
 *
 * Sources. Statures, standing eye heights and shoulder breadths (bideltoid): 2012 Anthropometric Survey
 * of U.S. Army Personnel (ANSUR II), NATICK/TR-15/007; normal distributions with the survey's means and
 * standard deviations, women and men in equal numbers, 2.5 cm for shoes. The room a standing person
 * takes: the body ellipse of 61 by 46 cm, Fruin 1971 (from memory). Nobody stands nearer than 120 cm in
 * front of a visitor: Hall's personal distance, 1966 (from memory).
 */
#ifndef BACKCLOTH_AISLE_H
#define BACKCLOTH_AISLE_H

#include <backcloth/plan.h>

#ifdef __cplusplus
extern "C" {
#endif

/** The most people that are put into a stand. */
#define BC_AISLE_CROWD_MOST 6

/** A visitor's eye. */
typedef struct bc_aisle_eye {
  double x, y; /**< cm on the wall's axes */
  double z;    /**< cm from the wall */
} bc_aisle_eye;

/** Somebody who stands in the stand, seen from behind. */
typedef struct bc_aisle_person {
  double x, z;             /**< where, cm */
  double stature, breadth; /**< with shoes; across the shoulders, cm */
} bc_aisle_person;

typedef struct bc_aisle_options {
  int crowd;     /**< people in the stand, 0 to BC_AISLE_CROWD_MOST; default 4 */
  int trials;    /**< how many visitors look, each at another crowd; default 2000 */
  uint64_t seed; /**< the same gives the same figures; default 1 */
} bc_aisle_options;
BC_API bc_aisle_options bc_aisle_options_default(void);

/** What is seen of one piece. */
typedef struct bc_aisle_piece {
  size_t piece;          /**< index into the plan's pieces */
  double visible_share;  /**< of its rectangle, mean over all visitors, 0..1 */
  double standard_error; /**< of that mean */
  double seen_share;     /**< share of the visitors who see at least half of the piece */
} bc_aisle_piece;

/** The outcome. Plain data; free with bc_aisle_free. */
typedef struct bc_aisle {
  int crowd; /**< people for whom there was room; fewer than asked only in a very small stand */
  int asked;
  int trials;
  bc_aisle_piece *pieces; /**< those that have a place, in the plan's order */
  size_t count;
} bc_aisle;

/** Lets `trials` visitors look, each from another place along the front and past another crowd.
 *  Where the viewers stand near, the crowd comes as near to them as 60 cm, or is smaller; see `crowd` of the outcome.
 *  Errors: BC_BAD_USAGE for a crowd out of range. */
BC_API bc_status bc_aisle_of(bc_aisle **out, bc_context *context, const bc_plan *plan, const bc_aisle_options *options);
BC_API void bc_aisle_free(bc_aisle *aisle);

/** Sentences about what is seen least and best, one per line. The caller frees them. */
BC_API bc_status bc_aisle_to_words(char **out, bc_context *context, const bc_plan *plan, const bc_aisle *aisle);

/** For every piece that has a place and every crowd of 0 to BC_AISLE_CROWD_MOST people, the share in view, its
 *  standard error, and the share of visitors who see half of it: {"aisle":{"distance_cm","visitors","pieces":[
 *  {"piece","crowds":[{"crowd","stood","in_view_share","standard_error","half_seen_share"}]}]}}; "stood" are those for
 *  whom there was room. The crowd of `options` (may be NULL) is not used. The caller frees it with free(). */
BC_API bc_status bc_aisle_to_json(char **out, bc_context *context, const bc_plan *plan,
                                  const bc_aisle_options *options);

/** The eye of the plan's own viewer: in the middle, at the viewers' distance, at the eye height of
 *  their stature (ANSUR II: median eye height / median stature of women). */
BC_API bc_aisle_eye bc_aisle_eye_of(const bc_plan *plan);
/** The people of one crowd, those furthest from the wall last; returns how many found room. */
BC_API int bc_aisle_crowd(bc_aisle_person people[BC_AISLE_CROWD_MOST], const bc_plan *plan,
                          const bc_aisle_options *options);
/** How far the middle of a piece is from the wall, cm. */
BC_API double bc_aisle_piece_z(const bc_plan *plan, const bc_piece *piece);
/** How far tables and shelves reach from the wall, cm: nobody stands nearer. */
BC_API double bc_aisle_furniture_reach(const bc_plan *plan);
/** The share of a piece's rectangle that this eye sees past these people, tables, shelves and nearer pieces.
 *  Exact but for rounding. -1 when there is no memory. */
BC_API double bc_aisle_visible_share(const bc_plan *plan, size_t piece, bc_aisle_eye eye, const bc_aisle_person *people,
                                     int count);
/** Half the breadth of a standing figure at a height (0 floor, 1 crown), in shares of half its shoulder
 *  breadth. The gap between the legs counts as covered. */
BC_API double bc_aisle_half_breadth(double height_share);

#ifdef __cplusplus
}
#endif
#endif
