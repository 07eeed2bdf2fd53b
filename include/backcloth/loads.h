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
  const char *title; /**< for a person, borrowed from the plan; of the cloth: translated words */
  int point, of;     /**< 1-based, of so many points */
  bc_mount_kind kind;
  const char *on;      /**< rod or shelf id, borrowed, or NULL for the wall */
  double x, y;         /**< where on the wall, cm */
  double vertical_n;   /**< downward pull on the point */
  double horizontal_n; /**< sideways pull, + to the right */
  double tension_n;    /**< in the cord's leg that ends here (the greater if two); vertical_n when no cord */
  double demand_n;     /**< resultant on the point, compared with the rating */
  double most_n;       /**< three or more stiff points: what this one carries when those that help it hang slack, the
                          most that statics allows; else demand_n */
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

/** A bracket turns about its lower end, which bears on the wall; its upper fixing is pulled out of the wall:
 *  pull = weight x its distance from the wall / height of the bracket (moments about the lower end). */
typedef struct bc_load_bracket {
  double x;          /**< where on the wall, cm */
  double vertical_n; /**< down, with the shelf's own weight; negative: the shelf lifts off it */
  double pull_n;     /**< out of the wall at the upper fixing; 0 when the bracket's height is not known */
  double demand_n;   /**< resultant on the upper fixing, which is taken to carry all of it */
} bc_load_bracket;

typedef struct bc_load_shelf {
  const char *id;
  double load_n, rated_n, needed_n, utilisation; /**< of what stands on it, without its own weight */
  double own_weight_n;                           /**< 0 = not given */
  bc_load_bracket brackets[BC_ROD_SUPPORTS];
  size_t bracket_count;
  double fixing_rated_n;     /**< of each upper fixing; 0 = not known */
  double fixing_needed_n;    /**< greatest demand x design factor */
  double fixing_utilisation; /**< 0 when the rating is not known */
  bool lifts;                /**< what stands beyond its last bracket would tip it */
  bc_holds shelf_holds;      /**< what stands on it against the shelf's rating */
  bc_holds fixings_hold;     /**< not known without a rating, or without the bracket's height */
  bc_holds holds;            /**< both */
} bc_load_shelf;

/** Someone leans or knocks with so much, at a hand's height of 1.2 m (the height of the line loads of
 *  EN 1991-1-1, 6.4, from memory; the force is our choice: common practice, no source). */
#define BC_FRAME_PUSH_N 100.0
#define BC_FRAME_PUSH_CM 120.0
/** Its own loads must be held so many times (common practice, no source). */
#define BC_FRAME_FACTOR 1.5

/** Whether a freestanding frame tips, by moments about the front and the back end of its feet. */
typedef struct bc_load_frame {
  bool given;
  double weight_n;          /**< frame, ballast and all that is on it */
  double restoring_nm[2];   /**< about the front end, about the back end; negative: it tips by itself */
  double overturning_nm[2]; /**< the part of its own loads that hangs beyond that end */
  double push_bare_n;       /**< push at 1.2 m (or the top, if lower) that tips it without the ballast */
  double push_n;            /**< the same with the ballast; the weaker direction */
  bool forward;             /**< the weaker direction */
  double push_height_cm;    /**< where the push acts */
  double ballast_g;         /**< what there is */
  double ballast_needed_g;  /**< in all, at the place of the ballast; INFINITY: no ballast there is enough */
  bc_holds holds;
} bc_load_frame;

/** A grid panel: all that hangs on it against the rating of the whole panel. */
typedef struct bc_load_grid {
  const char *id;     /**< borrowed from the plan */
  double load_n;      /**< of all pieces on it, its own weight aside */
  double rated_n;     /**< 0: not known */
  double needed_n;    /**< load x design factor */
  double utilisation; /**< needed / rated, 0 when not rated */
  bc_holds holds;
} bc_load_grid;

/** What is put up, in order: the frame, rods, cloth, grid panels, shelves, what hangs, tables, what stands. Among
 * pieces those for two people come first, then the highest, then the heaviest: nobody works above what hangs. */
typedef enum bc_step_kind {
  BC_STEP_FRAME = 0,
  BC_STEP_ROD,
  BC_STEP_CLOTH,
  BC_STEP_GRID,
  BC_STEP_SHELF,
  BC_STEP_HANG,
  BC_STEP_TABLE,
  BC_STEP_STAND
} bc_step_kind;
typedef struct bc_load_step {
  bc_step_kind kind;
  size_t index;     /**< of the rod, grid panel, shelf, table or piece in the plan */
  double mass_g;    /**< 0 = not known */
  double height_cm; /**< of the highest point that hands must reach; NAN: no place yet */
  bool two_people;  /**< heavier than BC_LIFT_HIGH_G above the shoulder, BC_LIFT_LOW_G below, or longer than 1.5 m */
  bool ladder;      /**< higher than BC_REACH_CM */
} bc_load_step;
/** One person lifts at most so much close to the body: above shoulder height, and up to it. The filter figures for
 *  women of HSE INDG143 (Great Britain), from memory, so that they suit nearly everyone. */
#define BC_LIFT_HIGH_G 7000.0
#define BC_LIFT_LOW_G 13000.0
/** Shoulder height of a small woman, cm: rounded from the 5th percentile of ANSUR II (2012), from memory. */
#define BC_SHOULDER_CM 125.0
/** What is longer is unwieldy for one (common practice, no source). */
#define BC_LONG_CM 150.0
/** Overhead reach of a small woman, cm: 1.2 x her stature of 152.5 (5th percentile, ANSUR II 2012); the factor is
 *  common practice. */
#define BC_REACH_CM 183.0

/** Borrows ids from the plan: free it before the plan. */
typedef struct bc_loads {
  double design_factor;
  double total_kg;     /**< everything that hangs, cloth included, but for pieces without a weight */
  size_t unweighed;    /**< pieces that hang or stand on a shelf and have no weight */
  double per_metre_kg; /**< the same for each metre of the wall's width */
  double cloth_kg;
  bc_load_point *points;
  size_t point_count;
  bc_load_rod *rods;
  size_t rod_count;
  bc_load_shelf *shelves;
  bc_load_grid *grids; /**< those on which something hangs */
  size_t grid_count;
  size_t shelf_count;
  bc_load_frame frame;
  bc_load_step *steps;
  size_t step_count;
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
/** The hanging-load notes as plain text: points, what is to settle, the order of hanging, cautions. `plan` is the one
 *  that the loads are of. The caller frees it with free(). */
BC_API bc_status bc_loads_to_words(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                                   bc_units units);

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

/** The most that point `number` of a stiff piece on many points can carry while none of them pushes: it and the point
 *  furthest beyond the centre of mass share the weight by the lever rule. */
BC_API double bc_loads_most_n(const double *x, size_t count, size_t number, double weight_n, double centre);

#ifdef __cplusplus
}
#endif
#endif
