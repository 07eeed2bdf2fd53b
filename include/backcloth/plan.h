/* SPDX-License-Identifier: MIT */
/**
 * @file plan.h
 * Sixth stage: the plan file, which describes stand, wall, cloth, pieces, tables and viewers.
 * docs/plan.md explains the file, docs/plan.schema.json is its JSON Schema.
 *
 * Lengths cm, masses g. Wall coordinates: origin at the wall's lower left corner, x right, y up.
 */
#ifndef BACKCLOTH_PLAN_H
#define BACKCLOTH_PLAN_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum bc_role { BC_ROLE_SUPPORT = 0, BC_ROLE_STATEMENT, BC_ROLE_SMALL, BC_ROLE_SIGN, BC_ROLE_MIRROR } bc_role;
typedef enum bc_mount_kind {
  BC_MOUNT_NAIL = 0,
  BC_MOUNT_PIN,
  BC_MOUNT_HOOK,
  BC_MOUNT_CORD,
  BC_MOUNT_CLIP, /* hang */
  BC_MOUNT_SHELF,
  BC_MOUNT_TABLE,
  BC_MOUNT_FLOOR /* stand */
} bc_mount_kind;

/** What the wall is made of. */
typedef enum bc_wall_kind {
  BC_WALL_UNKNOWN = 0,
  BC_WALL_SOLID,
  BC_WALL_PLASTERBOARD,
  BC_WALL_FOAM_BOARD,
  BC_WALL_STRETCHED_FABRIC,
  BC_WALL_PIPE_AND_DRAPE,
  BC_WALL_HIRED_PANEL, /**< of a shell scheme */
  BC_WALL_OWN_FRAME
} bc_wall_kind;
#define BC_WALL_KINDS 8
/** What holds a hanging point, a bracket or a clip in or on the wall. */
typedef enum bc_fixing {
  BC_FIXING_UNKNOWN = 0,
  BC_FIXING_SCREW,
  BC_FIXING_NAIL,
  BC_FIXING_ADHESIVE_HOOK,
  BC_FIXING_OVER_PANEL_HOOK,
  BC_FIXING_CLAMP,
  BC_FIXING_MAGNET
} bc_fixing;
#define BC_FIXINGS 7

/** How a piece is held. */
typedef struct bc_mount {
  bool given; /**< false: the plan says nothing; kind is then the default, a nail */
  bc_mount_kind kind;
  int points;              /**< hanging points, default 1 (cord: 1 or 2) */
  double cord_angle;       /**< degrees above the horizontal of each leg of a cord; default 60 */
  double cord_angles[2];   /**< a wire from one eye to two points at unequal heights: left and right leg */
  size_t cord_angle_count; /**< 2 when cord_angles is given, else 0 */
  char *on;                /**< id of the rod, post, grid panel, shelf, table or riser that carries it, or NULL */
  double rated_kg;         /**< what each hanging point is rated for, from its packaging; 0 = not known */
  double off_centre;       /**< cm from the middle of the piece to its centre of mass, + to the right; default 0 */
  bc_fixing fixing;        /**< default the stand's; a nail or pin is a nail */
  bool second_fixing;      /**< a second, independent one catches it when the first fails; default false */
  bool out_of_reach;       /**< no child gets at it, however low it hangs: something stands before it; default false */
} bc_mount;

typedef struct bc_piece {
  char *id, *title;     /**< title defaults to the id */
  char *photo;          /**< path as resolved against the plan's folder, or NULL */
  char *photo_written;  /**< the same as the plan has it, or NULL */
  double width, height; /**< cm */
  double depth;         /**< cm, 0 = not given */
  double weight_g;      /**< 0 = not given */
  bc_role role;
  char *group;                           /**< or NULL */
  char *material, *technique, *function; /**< in the maker's own words, by which groups can be proposed; or NULL */
  int count;                             /**< how many alike are brought, default 1; one is drawn */
  bc_mount mount;
  bool placed;     /**< `at` was given */
  bc_point_cm at;  /**< the piece's centre on the wall */
  bool pinned;     /**< arranging must not move it */
  bool polished;   /**< it mirrors what is round it: judged for the photo's room and for the stand; default false */
  bool nests;      /**< several alike stand in one another, as bowls do; default false */
  bool unmeasured; /**< its width or height is marked as missing; only with bc_plan_options.allow_missing */
} bc_piece;

/** Sides of a stand that have no wall but an aisle: a corner stand has one, the end of a row both. */
typedef enum bc_open_side { BC_OPEN_NONE = 0, BC_OPEN_LEFT, BC_OPEN_RIGHT, BC_OPEN_BOTH } bc_open_side;
/** Where most visitors come from, seen by someone who faces the back wall. */
typedef enum bc_side { BC_FROM_FRONT = 0, BC_FROM_LEFT, BC_FROM_RIGHT } bc_side;

typedef struct bc_stand {
  double width, depth, wall_height; /**< cm; depth defaults to 300 */
  bc_colour wall_colour;            /**< default #ffffff */
  char *wall_css;                   /**< as written */
  bc_open_side open_side;           /**< default none; left and right as one faces the back wall */
  bc_side visitors_from;            /**< default the front */
  bc_wall_kind wall;                /**< what the wall is made of; default not known */
  bc_fixing fixing;                 /**< how things are fixed to it; default not known */
  bool unmeasured;                  /**< a size is marked as missing; only with bc_plan_options.allow_missing */
} bc_stand;

/** What a plan takes where it says nothing, and what a photo of a wall is judged by. The sight band runs from the
 * median woman's waist (97.8 cm) to the top of the median man's head (175.5 cm), rounded inwards, so that both look at
 * all of it. Standing eye height over stature: medians 151.7 / 162.6 cm of women, 164.0 / 175.5 cm of men; eye height
 * is stature - sitting height + sitting eye height. Source: 2012 Anthropometric Survey of U.S. Army Personnel (ANSUR
 * II), NATICK/TR-15/007, percentiles computed from the public data. */
#define BC_PLAN_SIGHT_LOW_CM 98.0
#define BC_PLAN_SIGHT_HIGH_CM 175.0
#define BC_PLAN_STATURE_CM 165.0
#define BC_PLAN_EYE_OF_STATURE 0.934
/** Flat cloth that a cloth's photo shows across: what a phone shows held an arm's length over a table, our choice. */
#define BC_PLAN_PHOTO_WIDTH_CM 50.0

/** The cloth that hangs on the wall. */
typedef struct bc_wall_cloth {
  bool given;
  char *colour_css;    /**< or NULL when it is a photo */
  bc_colour colour;    /**< of colour_css */
  char *photo;         /**< resolved path, or NULL */
  char *photo_written; /**< the same as the plan has it, or NULL */
  double photo_width;  /**< cm of flat cloth that the photo shows across; default 50, our choice */
  bool photo_width_given;
  double width, height; /**< as it hangs, cm; default the wall's width, and from `top` to the floor */
  double left;          /**< x of its left edge; default centred */
  double top;           /**< y of its top edge; default the wall's height */
  double fullness;      /**< flat width / hung width, default 1 (flat) */
  double grams_per_m2;  /**< 0 = not given */
  char *on;        /**< id of the rod that carries it, or NULL: a rod at its top edge if there is one, else clips */
  int points;      /**< clips or nails along the top edge when no rod carries it; default one each 50 cm at most */
  double rated_kg; /**< what each of these points is rated for; 0 = not known */
} bc_wall_cloth;

/** At most so many supports of a rod: a bracket every half metre over a wall of 8 m. */
#define BC_ROD_SUPPORTS 16

/** How a batten of wood was chosen. */
typedef enum bc_wood_grade { BC_WOOD_KNOTTY = 0, BC_WOOD_CLEAR } bc_wood_grade;

typedef struct bc_rod {
  char *id;
  double x, y; /**< left end and height of the axis */
  double length;
  char *material;                   /**< "steel", "aluminium", "pine", … ; docs/plan.md lists them; NULL = not told */
  double outer_mm, wall_mm;         /**< height of the section (round: diameter) and wall; wall 0 = solid */
  bool outer_given;                 /**< false: outer_mm is only how thick it is drawn */
  double breadth_mm;                /**< of a batten with a rectangular section; 0 = round */
  double supports[BC_ROD_SUPPORTS]; /**< x of the supports, ascending; at least two */
  bool supports_given;              /**< false: they are a tenth of the length in from either end */
  size_t support_count;
  double rated_kg;     /**< what each support is rated for; 0 = not known */
  bc_wood_grade grade; /**< of wood; default knotty */
  bool damp;           /**< wood that hangs in damp air; default false */
  bool lent;           /**< the venue has it there; default false */
} bc_rod;

typedef struct bc_table {
  char *id;                       /**< default "table-1", "table-2", … */
  double x, width, depth, height; /**< x of the left edge */
  double from_wall;               /**< cm from the wall to its back edge; default 0 */
  double rated_kg;                /**< what it may carry, spread over its top; 0 = not known */
  bool lent;                      /**< the venue has it there; default true */
} bc_table;

/** A block, box or stand on a table that lifts what stands on it. It stands at the table's back edge. */
typedef struct bc_riser {
  char *id;
  char *on;            /**< id of its table, or NULL: the only one */
  double x;            /**< left edge; default centred on its table */
  double width, depth; /**< default 30, 20 */
  double height;       /**< above the table top; default 15 */
  bool lent;           /**< default false */
} bc_riser;

/** Breadth of a chair's legs and thickness of its seat and back, cm, where chairs are drawn or hide something. */
#define BC_CHAIR_LEG_CM 3.5
#define BC_CHAIR_THICK_CM 4.0

/** A chair in the stand, seen from the front. */
typedef struct bc_chair {
  char *id;
  double x, width, depth, height; /**< left edge; height of the back; default 45 x 45 x 85 */
  double seat;                    /**< height of the seat, default 45 */
  double from_wall;               /**< cm from the wall to its back, default 90: behind it one can pass */
  bool lent;                      /**< default true */
} bc_chair;

typedef struct bc_shelf {
  char *id;
  double x, y, width, depth; /**< left edge, height of the top, cm */
  double rated_kg;           /**< 0 = not known */
  int brackets;              /**< evenly spaced, each in the middle of its strip; default 2 */
  double bracket_height;     /**< cm from where a bracket's lower end bears on the wall up to its upper fixing; 0 = not
                                given */
  double fixing_rated_kg;    /**< what the upper fixing of each bracket is rated for; 0 = not known */
  double weight_g;           /**< of the shelf with its brackets; 0 = not given */
  bool lent;                 /**< the venue has it there; default false */
} bc_shelf;

/** A freestanding frame in place of a wall: it can tip. Depths are measured from the front end of its feet. */
typedef struct bc_frame {
  bool given;          /**< false: the wall is the venue's and does not tip */
  double base_depth;   /**< cm, from the front end of the feet to their back end */
  double front;        /**< cm from the front end of the feet back to the cloth; default half the depth */
  double weight_g;     /**< 0 = not given */
  double ballast_g;    /**< on the feet, all together; default none */
  double ballast_at;   /**< cm from the front end of the feet back to the ballast; default their middle */
  double tie_rated_kg; /**< what the ties from its top to the building are rated for, all together; 0 = not tied */
} bc_frame;
/** What a zone of the wall must be spared from. */
typedef enum bc_zone_kind {
  BC_ZONE_NO_FIX = 0, /**< no nail, hook or pin goes into the wall here; what hangs from above may pass in front */
  BC_ZONE_KEEP_CLEAR  /**< nothing covers it: an alarm, an extinguisher, a switch, an exit sign */
} bc_zone_kind;

/** A rectangle of the wall with a restriction. */
typedef struct bc_zone {
  char *id;
  bc_zone_kind kind;
  double x, y, width, height; /**< lower left corner and size; x and y default 0 */
  char *reason;               /**< "light switch", or NULL */
} bc_zone;

/** A post that stands out from the wall. */
typedef struct bc_post {
  char *id;
  double x, width;  /**< left edge; default width 10 */
  double depth;     /**< how far it stands out of the wall, default 10 */
  double y, height; /**< lower end and length; default the floor, and up to the wall's top */
  bool hang;        /**< things may be fixed to its front; default false */
  char *reason;     /**< "pipe", or NULL */
} bc_post;

/** A panel of wire mesh that stands or hangs before the wall. Wires run from its lower left corner at every
 *  `mesh`; hooks go where two cross. */
typedef struct bc_grid {
  char *id;
  double x, y, width, height; /**< lower left corner and size; default centred, 30 above the floor, 60 x 180 */
  double mesh;                /**< from wire to wire, default 7.5 */
  double rated_kg;            /**< what the whole panel is rated for; 0 = not known */
  double weight_g;            /**< of the panel itself; 0 = not known */
  bool lent;                  /**< default false */
} bc_grid;

/** A person who is drawn beside the wall. */
typedef struct bc_figure {
  bool wheelchair; /**< sits in a wheelchair; default false */
  double stature;  /**< top of the head above the floor as the person stands or sits, cm; default 165, seated 131 */
  double eye;      /**< eyes above the floor; default 0.934 x stature, seated 119 */
  char *label;     /**< or NULL */
} bc_figure;

/** Who looks, from where. */
typedef struct bc_viewers {
  double distance;              /**< cm from the wall, default 400 */
  double stature;               /**< cm of the visitor in the aisle, default 165 */
  double sight_low, sight_high; /**< the sight band, cm above the floor: waist to top of head */
  int crowd;                    /**< people standing in the stand, 0 to 6, default 0 */
  bc_figure *figures;           /**< see bc_plan_figures */
  size_t figure_count;
} bc_viewers;

/** The person who hangs the wall. */
typedef struct bc_hanging {
  double stature; /**< cm, default 152.5: 5th percentile of women, ANSUR II (2012) */
  double reach;   /**< highest point reached from the floor; default 1.2 x stature (common practice, no source) */
  double step;    /**< height of the step that may be used; default 46, two treads; 0 = none */
} bc_hanging;

/** How the cloth is cut and what may be carried. Allowances are of the cut cloth, cm. */
typedef struct bc_packing_wishes {
  double hem;            /**< cloth that each hem takes, default 4 (a double turn of 2) */
  double sleeve;         /**< cloth that the sleeve for the rod takes; default from the rod's thickness */
  double shrinkage;      /**< per cent that the cloth shrinks when washed, default 3 */
  double bolt_width;     /**< width of the cloth as sold, default 150 */
  double bag_kg;         /**< most that one bag may weigh packed, default 23 (a usual flight limit, common practice) */
  bool bag_kg_usual;     /**< nobody gave it: the list asks for the carrier's own */
  double bag_size[3];    /**< what fits into a bag, its three sides inside, cm, in any order */
  size_t bag_side_count; /**< 3 when they are given, else 0: what fits is then not known, and said */
  double bag_own_kg;     /**< of a bag that is empty, which its limit includes; default 0 */
  double wrap;           /**< wrapping on each side of a piece, cm; default 2: our choice */
  double padding;        /**< wrapping and box, per cent of a piece's weight, default 25: our choice */
  int spares;            /**< per cent more of small hardware, at least two of each kind; default 10: our choice */
} bc_packing_wishes;

/** Fields of a drawing's title block that only its people know (names after ISO 7200). NULL: unknown, left blank. */
typedef struct bc_title_block {
  char *author;
  char *date;
  char *number;
  char *revision;
} bc_title_block;

/** What was sold of one piece so far, kept so that it can be brought or made again. */
typedef struct bc_sale {
  char *id; /**< of the piece, which is no longer in the plan when the last was sold */
  char *title;
  int count;
} bc_sale;

/** A checked plan. Plain data; free with bc_plan_free. */
typedef struct bc_plan {
  char *path;   /**< the file, for messages */
  char *folder; /**< the plan's folder */
  int version;  /**< of the plan file: 1 */
  char *title;
  bc_units units; /**< of plain numbers in the file, and what a person reads first; values here are always cm and g */
  bc_stand stand;
  bc_wall_cloth cloth;
  bc_frame frame;
  bc_rod *rods;
  size_t rod_count;
  bc_table *tables;
  size_t table_count;
  bc_shelf *shelves;
  size_t shelf_count;
  bc_zone *zones;
  size_t zone_count;
  bc_post *posts;
  size_t post_count;
  bc_grid *grids;
  size_t grid_count;
  bc_riser *risers;
  size_t riser_count;
  bc_chair *chairs;
  size_t chair_count;
  bc_piece *pieces;
  size_t piece_count;
  bc_sale *sales; /**< in the order of the first sale of each */
  size_t sale_count;
  double gap;           /**< least gap between pieces, cm, default 8 */
  double design_factor; /**< default 5, common practice */
  bc_viewers viewers;
  bc_hanging hanging;
  bc_packing_wishes packing;
  bc_title_block drawing;
  bc_notes missing; /**< one sentence for each size that is marked "?"; empty unless options.allow_missing */
  void *document;   /**< private: what the file had, so that writing keeps the keys it gave */
} bc_plan;

typedef struct bc_plan_options {
  /** Refuse photo paths that leave the plan's folder (absolute, or climbing out by ..). The web
   *  sets it; the command line does not. Default false. */
  bool keep_in_folder;
  /** Accept a plan in which sizes are marked as missing ("?"), for listing them: bc_plan.missing. Stands and pieces
   *  without a size are `unmeasured` and hold no figure that means anything. Default false: such a plan is refused. */
  bool allow_missing;
  /** The plan comes from a form rather than from a file that somebody writes: sentences name a thing by its title or
   *  id instead of file, line and key, and a piece whose size is marked "?" is accepted as `unmeasured`
   *  (bc_plan_check tells of it); any other missing size is refused. Default false. */
  bool from_form;
} bc_plan_options;

BC_API bc_plan_options bc_plan_options_default(void);

/** Reads and checks a plan file; "-" is standard input. `options` may be NULL. Errors: BC_NO_INPUT,
 *  BC_BAD_DATA with file, line, column, the key's path and a remedy. */
BC_API bc_status bc_plan_open(bc_plan **out, bc_context *context, const char *path, const bc_plan_options *options);
/** The same from text; `path` names it in messages and gives the folder for relative paths. */
BC_API bc_status bc_plan_parse(bc_plan **out, bc_context *context, const char *text, size_t size, const char *path,
                               const bc_plan_options *options);
BC_API void bc_plan_free(bc_plan *plan);

/** The plan as text: every key that the file gave or whose value is not the default, in the order
 *  of docs/plan.md. Reading the text again gives the same plan. The caller frees it with free(). */
BC_API bc_status bc_plan_to_json(char **out, bc_context *context, const bc_plan *plan);
/** Writes the plan to a file ("-": standard output). When the file lies in another folder than the
 *  plan came from, the photos' paths are rewritten so that they still lead to the same photos.
 *  Errors: BC_CANNOT_WRITE. */
BC_API bc_status bc_plan_write(bc_context *context, const bc_plan *plan, const char *path);

typedef struct bc_plan_start_options {
  const char *title; /**< default "My stand" */
  bc_units units;    /**< of plain numbers in answers and in the file */
  /** Asks a person one question and returns a malloc'd answer: a number or a text with a unit, "" to skip, NULL to
   *  skip all that follow. NULL: nobody is asked, and every size is marked as missing ("?"). */
  char *(*ask)(void *data, const char *question);
  void *data;
} bc_plan_start_options;
BC_API bc_plan_start_options bc_plan_start_options_default(void);
/** A starting plan from a folder of photos (not those below it): a piece for each photo, by name, with sizes and
 * weights asked for or marked as missing, never guessed, and explanations in its notes. `options` may be NULL. Write it
 * with bc_plan_write. Errors: BC_NO_INPUT (no such folder, no photo in it), BC_BAD_DATA (more photos than the limit).
 */
BC_API bc_status bc_plan_start(bc_plan **out, bc_context *context, const char *folder,
                               const bc_plan_start_options *options);

/** Something in a plan that is readable but wrong: a collision, a piece off the wall, a missing carrier. */
typedef struct bc_plan_finding {
  bool serious; /**< true: exit code 1 of the commands */
  char *piece;  /**< id, or NULL when it concerns the whole */
  char *text;   /**< one sentence with a remedy */
} bc_plan_finding;
typedef struct bc_plan_findings {
  bc_plan_finding *finding;
  size_t count;
} bc_plan_findings;
/** Checks the geometry of a plan: overlaps, off the wall or cloth, hidden behind a table, low, out of the sight band.
 */
BC_API bc_status bc_plan_check(bc_plan_findings *out, bc_context *context, const bc_plan *plan);
/** {"findings":[{"serious":…,"piece":id or null,"text":…},…],"serious":how many}; freed with free(). */
BC_API bc_status bc_plan_findings_to_json(char **out, bc_context *context, const bc_plan_findings *findings);
BC_API void bc_plan_findings_clear(bc_plan_findings *findings);

/** The focus: the middle of the back wall at the visitor's eye height, kept within the sight band and the wall, since
 *  it is what visitors see first. An open side, or visitors who come from one side, moves it by a twelfth of the width:
 *  docs/method/arrange.md. */
BC_API bc_point_cm bc_plan_focus(const bc_plan *plan);
/** The visitor's eye height, cm: 0.934 x viewers.stature, the medians of ANSUR II (2012). */
BC_API double bc_plan_eye_height(const bc_plan *plan);
/** The carrier a standing or hanging piece is on: named by `on`, or the only one there is. NULL: none,
 *  or several and none named. */
BC_API const bc_rod *bc_plan_rod_of(const bc_plan *plan, const bc_piece *piece);
/** The rod that carries the cloth: named by `on`, or one within 10 cm of the cloth's top edge that
 *  crosses its middle; NULL: clips or nails on the wall. */
BC_API const bc_rod *bc_plan_cloth_rod(const bc_plan *plan);
BC_API const bc_shelf *bc_plan_shelf_of(const bc_plan *plan, const bc_piece *piece);
/** The table a piece stands on; when it stands on a riser, the riser's table. */
BC_API const bc_table *bc_plan_table_of(const bc_plan *plan, const bc_piece *piece);
/** The riser a piece stands on, named by `on`, or NULL. */
BC_API const bc_riser *bc_plan_riser_of(const bc_plan *plan, const bc_piece *piece);
/** The table a riser stands on, or NULL: none, or several and none named. */
BC_API const bc_table *bc_plan_riser_table(const bc_plan *plan, const bc_riser *riser);
/** Height of a riser's top above the floor, cm; of the riser alone when it has no table. */
BC_API double bc_plan_riser_top(const bc_plan *plan, const bc_riser *riser);
/** The grid panel, or the post, that a hanging piece is on, named by `on`, or NULL. */
BC_API const bc_grid *bc_plan_grid_of(const bc_plan *plan, const bc_piece *piece);
BC_API const bc_post *bc_plan_post_of(const bc_plan *plan, const bc_piece *piece);
/** What carries pieces, whatever it is: the order is that in which it is put up and listed. */
typedef enum bc_carrier_kind {
  BC_CARRIER_FRAME = 0,
  BC_CARRIER_ROD,
  BC_CARRIER_SHELF,
  BC_CARRIER_TABLE,
  BC_CARRIER_GRID,
  BC_CARRIER_RISER,
  BC_CARRIER_POST
} bc_carrier_kind;
#define BC_CARRIER_KINDS 7
/** Any carrier seen as one kind of thing. A value; its id is borrowed from the plan. */
typedef struct bc_carrier {
  bc_carrier_kind kind;
  size_t index;               /**< in the plan's list of its kind; of the frame: 0 */
  const char *id;             /**< of the frame: "frame" */
  double x, y, width, height; /**< left and lower edge on the wall, and size, cm; of a rod its axis, of a shelf its
                                 top: height 0 */
  double depth;               /**< cm; 0 of a rod and of a grid panel */
  double rated_kg;            /**< as its kind says; 0 = not known */
  double weight_g;            /**< 0 = not known here: a rod's follows from its material, see loads.h */
  bool lent;                  /**< the venue has it there */
  double top;       /**< of a shelf, table or riser: where pieces stand, cm above the floor; else its upper edge */
  double from_wall; /**< its back's distance from the wall, cm; a riser's is its table's */
} bc_carrier;
BC_API size_t bc_plan_carrier_count(const bc_plan *plan);
/** The carrier of that number, below bc_plan_carrier_count: all of one kind, then those of the next. */
BC_API bc_carrier bc_plan_carrier(const bc_plan *plan, size_t number);
/** What carries a piece: a hanging piece that names nothing is on the frame, if there is one. False: it is on the wall
 *  or on the floor, or the plan does not say on which of several. */
BC_API bool bc_plan_carrier_of(bc_carrier *out, const bc_plan *plan, const bc_piece *piece);
/** Whether pieces with such a mount can name such a carrier (`on`). */
BC_API bool bc_carrier_takes(bc_carrier_kind carrier, bc_mount_kind mount);
/** The plan's key for the list: "rods". */
BC_API const char *bc_carrier_list(bc_carrier_kind kind);
/** "the rod", or "the rod "left"" where there are several; translated. */
BC_API void bc_carrier_name(char *out, size_t size, const bc_plan *plan, const bc_carrier *carrier);

/** The people to draw beside the wall: those of the plan, or else three that span most adults: a small woman and a
 *  tall man (5th and 95th percentile, ANSUR II 2012) and a wheelchair user (ADA 1991 A4.2.4). Borrowed. */
BC_API const bc_figure *bc_plan_figures(const bc_plan *plan, size_t *count);

/** Where a piece's hanging points are, `number` 0-based from the left, when the piece's centre is
 *  `at`. Stiff mounts share the width evenly, each in the middle of its strip (one point: the middle;
 *  two: a quarter in from either edge). Clips run from corner to corner. The legs of a cord start at
 *  the quarter points: with one point they meet above the middle, with two they lean outwards and
 *  rise a quarter of the piece's width, or up to the rod that carries them. On a grid panel each point is
 *  drawn sideways to the nearest mesh point, evenly about the middle of the piece. */
BC_API bc_point_cm bc_plan_hanging_point(const bc_plan *plan, const bc_piece *piece, bc_point_cm at, int number);
/** Whether two hanging points of a piece whose middle is `at` come to lie in one place, as on a grid panel whose wires
 *  are further apart than they. */
BC_API bool bc_plan_points_coincide(const bc_plan *plan, const bc_piece *piece, bc_point_cm at);

/** True when this kind of mount hangs (loads a hanging point); false when the piece stands. */
BC_API bool bc_mount_hangs(bc_mount_kind kind);
/** The words used in the plan file. */
BC_API const char *bc_mount_word(bc_mount_kind kind);
BC_API const char *bc_role_word(bc_role role);
/** What fixes a piece to the wall: its own, else as a nail or pin is, else the stand's. */
BC_API bc_fixing bc_plan_fixing_of(const bc_plan *plan, const bc_piece *piece);
/** What holds in which wall: whether this fixing may be used in this wall, and what to know about the pair, translated,
 *  NULL for nothing. Common practice, no source; its maker's instructions and the venue go first. */
BC_API bool bc_fixing_holds(bc_wall_kind wall, bc_fixing fixing);
BC_API const char *bc_fixing_caution(bc_wall_kind wall, bc_fixing fixing);
/** Whether this plan's wall refuses such a fixing; a freestanding frame has bars of its own and refuses none. */
BC_API bool bc_plan_refuses(const bc_plan *plan, bc_fixing fixing);
/** Names of walls and fixings, as in the plan file and for a person, translated; of what is not known: "not known". */
BC_API const char *bc_wall_word(bc_wall_kind wall);
BC_API const char *bc_wall_text(bc_wall_kind wall);
BC_API const char *bc_fixing_word(bc_fixing fixing);
BC_API const char *bc_fixing_text(bc_fixing fixing);
/** How the piece is held, for a person, translated: "nail", "cord", "on the shelf". */
BC_API const char *bc_mount_text(bc_mount_kind kind);

/** A length as a plan may write it: "9 ft 10 in", "3 m", "118 1/8 in"; a plain number is cm. False, and `*cm` is left
 *  as it was, when it is none. */
BC_API bool bc_plan_length(double *cm, const char *text);

#ifdef __cplusplus
}
#endif
#endif
