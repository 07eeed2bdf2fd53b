/* SPDX-License-Identifier: MIT */
/**
 * @file loads.h
 * Statics of the wall: the load on each hanging point, cord tensions, rods as beams, shelves; and
 * the cautions that go with them. Forces N, moments N m, deflection mm.
 *
 * This is planning help. Local codes, the venue and a licensed person decide.
 */
#ifndef BACKCLOTH_LOADS_H
#define BACKCLOTH_LOADS_H

#include <backcloth/plan.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Standard acceleration of free fall, m/s2 (ISO 80000-3, 3rd CGPM 1901). */
#define BC_STANDARD_GRAVITY 9.80665

/** Whether something holds: a missing rating is neither a pass nor a failure. */
typedef enum bc_holds { BC_HOLDS_YES = 0, BC_HOLDS_NO, BC_HOLDS_UNKNOWN } bc_holds;

typedef struct bc_load_point {
  const char *piece; /**< id, borrowed from the plan; "cloth" for the cloth's own clips */
  int point;         /**< 1-based */
  bc_mount_kind kind;
  const char *on;      /**< rod or shelf id, borrowed, or NULL for the wall */
  double x, y;         /**< where on the wall, cm */
  double vertical_n;   /**< downward pull on the point */
  double horizontal_n; /**< sideways pull, + to the right */
  double tension_n;    /**< in the cord's leg that ends here (the greater if two); vertical_n when no cord */
  double demand_n;     /**< resultant on the point, compared with the rating */
  double rated_n;      /**< 0 = not known */
  double needed_n;     /**< demand x design factor: what the point must be rated for */
  double utilisation;  /**< demand x design factor / rated; 0 when the rating is not known */
  bool tips;           /**< the centre of mass lies outside the points: the piece would tip about this one */
  bc_holds holds;
} bc_load_point;

/** Reactions, moment and deflection are those of what hangs on the rod; the rod's own weight comes on
 *  top in the `_total` figures, from which stress, sag and supports are judged. */
typedef struct bc_load_rod {
  const char *id;
  double reaction_left_n, reaction_right_n;  /**< at the outermost supports, upward positive */
  double reactions_n[BC_ROD_SUPPORTS];       /**< at every support, in the plan's order */
  double reactions_total_n[BC_ROD_SUPPORTS]; /**< with the rod's own weight */
  size_t support_count;
  double own_weight_n; /**< from section and published density */
  double rated_n;      /**< of a support; 0 = not known */
  double needed_n;     /**< greatest total reaction x design factor: what a support must be rated for */
  double utilisation;  /**< of the worst support; 0 when its rating is not known */
  double max_moment_nm, max_deflection_mm;
  double max_moment_total_nm, max_deflection_total_mm;
  double max_stress_mpa, allowed_stress_mpa; /**< of the total; allowed = published strength / design factor */
  double allowed_deflection_mm;              /**< longest span / 200, common practice */
  double tip_left_mm, tip_right_mm;          /**< at the free ends of overhangs, total, down positive */
  bool lifts;                                /**< a support is pulled upwards: it must hold the rod down */
  bc_holds holds;
} bc_load_rod;

typedef struct bc_load_shelf {
  const char *id;
  double load_n, rated_n, needed_n, utilisation;
  bc_holds holds;
} bc_load_shelf;

/** Borrows ids from the plan: free it before the plan. */
typedef struct bc_loads {
  double design_factor;
  double total_kg; /**< everything that hangs, cloth included */
  double cloth_kg;
  bc_load_point *points;
  size_t point_count;
  bc_load_rod *rods;
  size_t rod_count;
  bc_load_shelf *shelves;
  size_t shelf_count;
  bool overloaded;   /**< something does not hold: exit code 1 */
  bc_notes cautions; /**< whole sentences, translated */
  bc_notes notes;    /**< what is missing: weights, ratings */
} bc_loads;

BC_API bc_status bc_loads_of(bc_loads **out, bc_context *context, const bc_plan *plan);
BC_API void bc_loads_free(bc_loads *loads);
/** The contract's JSON object; the caller frees it with free(). */
BC_API bc_status bc_loads_to_json(char **out, bc_context *context, const bc_loads *loads);
/** The points, rods and shelves as CSV (RFC 4180) with a heading; empty where not known. The caller frees it with
 * free(). */
BC_API bc_status bc_loads_to_csv(char **out, bc_context *context, const bc_loads *loads);
/** The hanging-load notes as plain text; the caller frees it with free(). */
BC_API bc_status bc_loads_to_words(char **out, bc_context *context, const bc_loads *loads, bc_units units);

/** Tension in N in each leg of a symmetric two-leg cord that carries `load_n`, legs at
 *  `degrees` above the horizontal: load / (2 sin angle). */
BC_API double bc_loads_cord_tension_n(double load_n, double degrees);

/** Shares a weight over the hanging points of a stiff piece. `x` are the points' places, ascending;
 *  `centre` is the place of the centre of mass. One point carries all; two share by the lever rule; for
 *  more, which statics alone cannot tell, points that give alike are assumed, so that loads change
 *  evenly along the piece, and a point that would push instead of pull goes slack. `stiffness` are
 *  relative stiffnesses of the points, NULL for equal ones. Returns false when the centre of mass lies
 *  outside the points, so that the piece would tip; all is then on the last point. */
BC_API bool bc_loads_share_n(double *load_n, const double *x, const double *stiffness, size_t count, double weight_n,
                             double centre);

#ifdef __cplusplus
}
#endif
#endif
