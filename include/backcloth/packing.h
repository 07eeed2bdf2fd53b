/* SPDX-License-Identifier: MIT */
/**
 * @file packing.h
 * What to cut, buy and bring: the cloth's cut size and panels, hardware with spares, tools, and the
 * load of each bag. Lengths cm, masses g.
 */
#ifndef BACKCLOTH_PACKING_H
#define BACKCLOTH_PACKING_H

#include <backcloth/loads.h>

#ifdef __cplusplus
extern "C" {
#endif

/** The cloth as it is cut and sewn. */
typedef struct bc_packing_cloth {
  bool needed;                  /**< the plan has a cloth */
  double cut_width, cut_height; /**< whole, with hems, sleeve, seams and shrinkage */
  int panels;                   /**< sewn side by side; 1 when the bolt is wide enough */
  double panel_width;           /**< of each panel as cut */
  bool sideways;                /**< the bolt's width becomes the height: no seam, but the pattern lies on its side */
  double buy_length;            /**< off the bolt */
  double mass_g;                /**< of the cut cloth; 0 when its weight is not known */
  double folded_width, folded_height, folded_thick; /**< a bundle for a bag */
} bc_packing_cloth;

/** Small things, counted. */
typedef struct bc_packing_hardware {
  int kind; /**< nails, pins, hooks, hooks for cords, clips, clips for the cloth, rod brackets, shelf brackets: 0..7 */
  const char *what; /**< translated words, borrowed from the program */
  size_t count;     /**< with spares */
  size_t spares;    /**< of these */
} bc_packing_hardware;

typedef enum bc_packing_place { BC_PACKING_BAG = 0, BC_PACKING_APART, BC_PACKING_LENT } bc_packing_place;

/** A line of the list: alike things in the same place. */
typedef struct bc_packing_item {
  char *what;
  char *brief;       /**< the same without sizes, for a narrow column; NULL: `what` is brief enough */
  const char *piece; /**< id, borrowed from the plan, or NULL */
  size_t count;
  double mass_g;     /**< of one, with its padding; 0 = not known */
  double wrapped[3]; /**< its sides as it is wrapped: width, height, depth; 0 = not known */
  bc_packing_place place;
  size_t bag; /**< 1-based when place is BC_PACKING_BAG, else 0 */
} bc_packing_item;

/** Borrows ids from the plan: free it before the plan. */
typedef struct bc_packing {
  bc_packing_cloth cloth;
  bc_packing_hardware *hardware;
  size_t hardware_count;
  char **tools;
  size_t tool_count;
  bc_packing_item *items;
  size_t item_count;
  double *bags_g;
  size_t bag_count;   /**< what each bag weighs */
  double bag_limit_g; /**< of a packed bag, with the bag itself */
  double bag_own_g;   /**< of an empty one */
  double bag_size[3]; /**< its sides inside; 0 = not given */
  bool sizes_known;   /**< bags and all that goes into them have sizes, and all fits */
  bool too_large;     /**< something does not go into a bag: exit code 1 */
  bool bags_proven;   /**< no packing into fewer bags exists; false while something is not weighed */
  size_t unweighed;   /**< things to pack that have no weight */
  double cord_cm;     /**< cord to bring in all, with knots */
  double pieces_g;    /**< the pieces themselves, all that are brought */
  double padding_g;
  double total_g; /**< all that is brought and whose mass is known, with the bags; what is lent is left out */
  bool too_heavy; /**< something is heavier than a bag may be: exit code 1 */
  bc_holds holds; /**< whether all of the wall holds; else exit code 1, too */
  char *warning;  /**< what does not hold or is not known, by name, as bc_loads_warning says it; "" */
  bc_notes notes;
} bc_packing;

BC_API bc_status bc_packing_of(bc_packing **out, bc_context *context, const bc_plan *plan);
BC_API void bc_packing_free(bc_packing *packing);
/** The contract's JSON object; the caller frees it with free(). */
BC_API bc_status bc_packing_to_json(char **out, bc_context *context, const bc_packing *packing);
/** The packing list as plain text; the caller frees it with free(). */
BC_API bc_status bc_packing_to_words(char **out, bc_context *context, const bc_packing *packing, bc_units units);
/** The list as CSV (RFC 4180) with a heading: list,what,count,mass_g,bag. The caller frees it with free(). */
BC_API bc_status bc_packing_to_csv(char **out, bc_context *context, const bc_packing *packing);

/** At most so many things are split with a proof that no fewer bags do. */
#define BC_PACKING_PROVEN 20

/** How many bags things were split over. */
typedef struct bc_packing_bags {
  size_t count;
  bool proven; /**< fewer bags do not do; always known up to BC_PACKING_PROVEN things */
} bc_packing_bags;

/** Splits things over as few bags as possible: best-fit decreasing, then branch and bound with the
 *  bound L2 (Martello and Toth, Knapsack Problems, 1990, ch. 8). `bag_of[i]` becomes 0-based.
 *  Errors: BC_BAD_USAGE when one thing exceeds the limit; BC_OUR_FAULT. */
BC_API bc_status bc_packing_split(size_t *bag_of, bc_packing_bags *bags, bc_context *context, const uint64_t *grams,
                                  size_t count, uint64_t limit);

#ifdef __cplusplus
}
#endif
#endif
