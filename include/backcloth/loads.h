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

/** Whether something holds. What rests on a weight, rating or material that nobody gave is not known: neither a pass
 *  nor a failure, unless what is known is too much already. */
typedef enum bc_holds { BC_HOLDS_YES = 0, BC_HOLDS_NO, BC_HOLDS_UNKNOWN } bc_holds;

/** Why something does not hold, or why that is not known. Several come together, as bits. */
typedef enum bc_load_reason {
  BC_WHY_OVERLOADED = 1 << 0,       /**< load x design factor is more than the rating */
  BC_WHY_TIPS = 1 << 1,             /**< its mass lies outside its points, or the frame falls over */
  BC_WHY_LIFTS = 1 << 2,            /**< it is lifted off a support */
  BC_WHY_SAGS = 1 << 3,             /**< more than a span over 200 */
  BC_WHY_WEAK = 1 << 4,             /**< bends more than its material may */
  BC_WHY_BEYOND = 1 << 5,           /**< past the end of what should carry it */
  BC_WHY_FIXING = 1 << 6,           /**< such a fixing does not hold in such a wall, or may not go into it */
  BC_WHY_CARRIER_FAILS = 1 << 7,    /**< what carries it does not hold */
  BC_WHY_NO_WEIGHT = 1 << 8,        /**< a weight is not given */
  BC_WHY_NO_RATING = 1 << 9,        /**< a rating is not given */
  BC_WHY_NO_MATERIAL = 1 << 10,     /**< a rod's material or thickness is not given or not known here */
  BC_WHY_NO_BEAM = 1 << 11,         /**< a rod's supports make no beam */
  BC_WHY_NO_BRACKET = 1 << 12,      /**< the height of a shelf's brackets is not given */
  BC_WHY_CARRIER_UNKNOWN = 1 << 13, /**< whether what carries it holds is not known */
  BC_WHY_PULLED = 1 << 14           /**< a child can reach it, and it does not hold a child's pull */
} bc_load_reason;
#define BC_WHY_REASONS 15
/** Those that mean a failure. */
#define BC_WHY_FAILS (0xffu | (unsigned)BC_WHY_PULLED)
/** Those that less weight on it may mend. */
#define BC_WHY_LOAD ((unsigned)(BC_WHY_OVERLOADED | BC_WHY_LIFTS | BC_WHY_SAGS | BC_WHY_WEAK))
/** The word of the reason with that number, for programs: "overloaded". */
BC_API const char *bc_load_reason_word(int number);

typedef struct bc_load_point {
  const char *piece; /**< id, borrowed from the plan; "cloth" for the cloth's own clips */
  const char *title; /**< for a person, borrowed from the plan; of the cloth: translated words */
  int point, of;     /**< 1-based, of so many points */
  bc_mount_kind kind;
  const char *on;      /**< rod or shelf id, borrowed, or NULL for the wall */
  double x, y;         /**< where on the wall, cm */
  bool weighed;        /**< false: the weight is not given, and no force below is known; all are 0 */
  double vertical_n;   /**< downward pull on the point */
  double horizontal_n; /**< sideways pull, + to the right */
  double tension_n;    /**< in the cord's leg that ends here (the greater if two); vertical_n when no cord */
  double outward_n;    /**< pull out of the wall: a piece that stands out bears on the wall at its lower edge, and its
                          point holds it back by weight x half the depth / height of the point above that edge */
  double demand_n;     /**< resultant of the three, compared with the rating */
  double most_n;       /**< three or more stiff points: what this one carries when those that help it hang slack, the
                          most that statics allows; else demand_n */
  double rated_n;      /**< 0 = not known */
  double needed_n;     /**< demand x design factor: what the point must be rated for */
  double utilisation;  /**< demand x design factor / rated; 0 when the rating is not known */
  bool tips;           /**< the centre of mass lies outside the points: the piece would tip about this one */
  bool in_reach;       /**< a child can pull here: see BC_CHILD_REACH_CM, and bc_mount.out_of_reach */
  double pulled_n;     /**< the load case of a child's pull: the resultant on the point; 0 out of reach */
  bc_holds pulled;     /**< whether the rating itself, without design factor, holds that */
  bc_holds alone;      /**< the point by its own rating */
  bc_holds holds;      /**< with what carries it, its place and its fixing */
  unsigned why;        /**< bc_load_reason; 0 when it holds */
} bc_load_point;

/** A child pulls straight down with so much on what it reaches (our choice, as the push on a frame: common practice, no
 *  source). */
#define BC_CHILD_PULL_N 100.0
/** A child of six stands about 116 cm high (WHO growth reference 2007, median of boys, from memory) and reaches 1.2
 *  times as high (common practice, no source). */
#define BC_CHILD_REACH_CM 139.0
/** Below so much it is the piece that suffers, not the child (our choice). */
#define BC_CHILD_PIECE_G 500.0

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
  double sag_mm; /**< what is judged: the total, of wood with what it goes on sagging (EN 1995-1-1 Table 3.2) */
  double tip_left_mm, tip_right_mm; /**< at the free ends of overhangs, total, down positive */
  bool lifts;                       /**< a support is pulled upwards: it must hold the rod down */
  bool unweighed;                   /**< something on it has no weight: the figures are too small */
  bool solved;                      /**< its material, thickness and supports make a beam */
  bc_holds holds;
  unsigned why; /**< bc_load_reason */
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
  bool unweighed;            /**< something on it has no weight: the figures are too small */
  unsigned shelf_why, fixings_why;
  bc_holds holds; /**< both */
} bc_load_shelf;

/** Someone leans or knocks with so much, at a hand's height of 1.2 m (the height of the line loads of
 *  EN 1991-1-1, 6.4, from memory; the force is our choice: common practice, no source). */
#define BC_FRAME_PUSH_N 100.0
#define BC_FRAME_PUSH_CM 120.0
/** Side load on each m2 of a wall in a hall, at the middle of its height, whoever leans on it: 0.125 kN/m2 up to 4 m in
 *  the technical guidelines of German trade fair halls (from memory). */
#define BC_FRAME_SIDE_N_M2 125.0
/** Its own loads must be held so many times (common practice, no source). */
#define BC_FRAME_FACTOR 1.5

/** Whether a freestanding frame tips, by moments about the front and the back end of its feet. Goods are sold: they
 *  never count as ballast, only where they pull it over. Judged full and sold out; the figures are of the worse. */
typedef struct bc_load_frame {
  bool given;
  double weight_n;          /**< frame, ballast and all that is on it */
  double restoring_nm[2];   /**< full: about the front end, about the back end; negative: it tips by itself */
  double sold_out_nm[2];    /**< the same without goods */
  double side_n;            /**< on its whole area */
  double wanted_nm;         /**< what it must withstand: the push or the side load, whichever is more */
  double tie_nm;            /**< what rated ties at its top withstand, with the design factor */
  bool unweighed;           /**< something that may pull it over has no weight */
  unsigned why;             /**< bc_load_reason */
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
  bool unweighed;     /**< something on it has no weight: the figures are too small */
  bc_holds holds;
  unsigned why; /**< bc_load_reason */
} bc_load_grid;

/** What stands on a table, with its risers. A table's rating is what its maker says it may carry: no design factor. */
typedef struct bc_load_table {
  const char *id; /**< borrowed from the plan */
  double load_n, rated_n;
  bool unweighed;
  bc_holds holds;
  unsigned why; /**< bc_load_reason */
} bc_load_table;

/** What a finding is about. */
typedef enum bc_load_subject {
  BC_LOAD_POINTS = 0, /**< `count` points from `first` on that carry alike and hold alike */
  BC_LOAD_ROD,        /**< `first` is the number in the list of the kind */
  BC_LOAD_SHELF,
  BC_LOAD_FIXINGS, /**< the upper fixings of that shelf's brackets */
  BC_LOAD_GRID,
  BC_LOAD_TABLE,
  BC_LOAD_FRAME
} bc_load_subject;
/** One finding. Words, CSV, JSON, drawings, sheets and the page tell these and no other: what does not hold first, then
 *  what is not known, then what holds. */
typedef struct bc_load_finding {
  bc_load_subject subject;
  size_t first, count;
  bc_holds holds;
  unsigned why; /**< bc_load_reason */
} bc_load_finding;

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
  double total_kg;     /**< everything that hangs, cloth included, but for pieces without a weight or a place */
  size_t unweighed;    /**< pieces that hang or stand on a shelf and have no weight */
  size_t unplaced;     /**< pieces without a place: they load nothing */
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
  bc_load_table *tables;
  size_t table_count;
  bc_load_frame frame;
  bc_load_finding *findings; /**< what fails first, then what is not known, then what holds */
  size_t finding_count;
  bc_load_step *steps;
  size_t step_count;
  bool overloaded;   /**< something does not hold: exit code 1 */
  bool uncertain;    /**< whether something holds is not known: exit code 1 */
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

/** What a finding is about, for a person: "Mirror, points 4 to 5 of 8", "the rod". `plan` is the one of the loads. */
BC_API void bc_load_finding_name(char *out, size_t size, const bc_loads *loads, const bc_plan *plan,
                                 const bc_load_finding *finding);
/** A finding that fails or is not known as one sentence with its name and reasons; the caller frees it with free(). */
BC_API bc_status bc_load_finding_text(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                                      const bc_load_finding *finding, bc_units units);
/** The warning that stands on everything made from the plan: STOP and what does not hold, then what is not known, by
 *  name, at most so many of either; "" when all holds. The caller frees it with free(). */
BC_API bc_status bc_loads_warning(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                                  size_t most);
/** The greatest load on one hanging point, bracket or upper fixing, N, without design factor; of what has a weight. */
BC_API double bc_loads_worst_point_n(const bc_loads *loads);
/** A statement that a venue's officer can sign, lines of plain text: wall, fixings, masses, blanks for what the plan
 * does not say, for the cloth's flame certificate, date and names. The caller frees it with free(). */
BC_API bc_status bc_loads_statement(char **out, bc_context *context, const bc_loads *loads, const bc_plan *plan,
                                    bc_units units);
/** The worst of a placed piece's points, or of what it stands on; false when nothing is judged: no place, a table that
 *  is not rated, the floor. */
BC_API bool bc_loads_of_piece(bc_holds *out, const bc_loads *loads, const bc_plan *plan, size_t piece);

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
