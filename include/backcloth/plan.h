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

/** How a piece is held. */
typedef struct bc_mount {
  bool given; /**< false: the plan says nothing; kind is then the default, a nail */
  bc_mount_kind kind;
  int points;              /**< hanging points, default 1 (cord: 1 or 2) */
  double cord_angle;       /**< degrees above the horizontal of each leg of a cord; default 60 */
  double cord_angles[2];   /**< a wire from one eye to two points at unequal heights: left and right leg */
  size_t cord_angle_count; /**< 2 when cord_angles is given, else 0 */
  char *on;                /**< id of the rod, shelf or table that carries it, or NULL */
  double rated_kg;         /**< what each hanging point is rated for, from its packaging; 0 = not known */
  double off_centre;       /**< cm from the middle of the piece to its centre of mass, + to the right; default 0 */
} bc_mount;

typedef struct bc_piece {
  char *id, *title;     /**< title defaults to the id */
  char *photo;          /**< path as resolved against the plan's folder, or NULL */
  char *photo_written;  /**< the same as the plan has it, or NULL */
  double width, height; /**< cm */
  double depth;         /**< cm, 0 = not given */
  double weight_g;      /**< 0 = not given */
  bc_role role;
  char *group; /**< or NULL */
  int count;   /**< how many alike are brought, default 1; one is drawn */
  bc_mount mount;
  bool placed;    /**< `at` was given */
  bc_point_cm at; /**< the piece's centre on the wall */
  bool pinned;    /**< arranging must not move it */
} bc_piece;

typedef struct bc_stand {
  double width, depth, wall_height; /**< cm; depth defaults to 300 */
  bc_colour wall_colour;            /**< default #ffffff */
  char *wall_css;                   /**< as written */
} bc_stand;

/** The cloth that hangs on the wall. */
typedef struct bc_wall_cloth {
  bool given;
  char *colour_css;     /**< or NULL when it is a photo */
  bc_colour colour;     /**< of colour_css */
  char *photo;          /**< resolved path, or NULL */
  char *photo_written;  /**< the same as the plan has it, or NULL */
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

typedef struct bc_rod {
  char *id;
  double x, y; /**< left end and height of the axis */
  double length;
  char *material;                   /**< "steel", "aluminium", "pine", … ; docs/plan.md lists them */
  double outer_mm, wall_mm;         /**< height of the section (round: diameter) and wall; wall 0 = solid */
  double breadth_mm;                /**< of a batten with a rectangular section; 0 = round */
  double supports[BC_ROD_SUPPORTS]; /**< x of the supports, ascending; at least two */
  size_t support_count;
  double rated_kg; /**< what each support is rated for; 0 = not known */
  bool lent;       /**< the venue has it there; default false */
} bc_rod;

typedef struct bc_table {
  char *id;                       /**< default "table-1", "table-2", … */
  double x, width, depth, height; /**< x of the left edge */
  bool lent;                      /**< the venue has it there; default true */
} bc_table;

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
  bool given;        /**< false: the wall is the venue's and does not tip */
  double base_depth; /**< cm, from the front end of the feet to their back end */
  double front;      /**< cm from the front end of the feet back to the cloth; default half the depth */
  double weight_g;   /**< 0 = not given */
  double ballast_g;  /**< on the feet, all together; default none */
  double ballast_at; /**< cm from the front end of the feet back to the ballast; default their middle */
} bc_frame;

/** Who looks, from where. */
typedef struct bc_viewers {
  double distance;              /**< cm from the wall, default 400 */
  double stature;               /**< cm of the drawn figure, default 165 */
  double sight_low, sight_high; /**< the sight band, cm above the floor: waist to top of head */
} bc_viewers;

/** How the cloth is cut and what may be carried. Allowances are of the cut cloth, cm. */
typedef struct bc_packing_wishes {
  double hem;        /**< cloth that each hem takes, default 4 (a double turn of 2) */
  double sleeve;     /**< cloth that the sleeve for the rod takes; default from the rod's thickness */
  double shrinkage;  /**< per cent that the cloth shrinks when washed, default 3 */
  double bolt_width; /**< width of the cloth as sold, default 150 */
  double bag_kg;     /**< most that one bag may weigh packed, default 23 (a usual flight limit, common practice) */
  double padding;    /**< wrapping and box, per cent of a piece's weight, default 25: our choice */
  int spares;        /**< per cent more of small hardware, at least two of each kind; default 10: our choice */
} bc_packing_wishes;

/** A checked plan. Plain data; free with bc_plan_free. */
typedef struct bc_plan {
  char *path;   /**< the file, for messages */
  char *folder; /**< the plan's folder */
  int version;  /**< of the plan file: 1 */
  char *title;
  bc_stand stand;
  bc_wall_cloth cloth;
  bc_frame frame;
  bc_rod *rods;
  size_t rod_count;
  bc_table *tables;
  size_t table_count;
  bc_shelf *shelves;
  size_t shelf_count;
  bc_piece *pieces;
  size_t piece_count;
  double gap;           /**< least gap between pieces, cm, default 8 */
  double design_factor; /**< default 5, common practice */
  bc_viewers viewers;
  bc_packing_wishes packing;
  void *document; /**< private: what the file had, so that writing keeps the keys it gave */
} bc_plan;

typedef struct bc_plan_options {
  /** Refuse photo paths that leave the plan's folder (absolute, or climbing out by ..). The web
   *  sets it; the command line does not. Default false. */
  bool keep_in_folder;
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
BC_API void bc_plan_findings_clear(bc_plan_findings *findings);

/** The focus: the middle of the back wall, brought into the sight band when the wall is very high or
 *  low, since it is what visitors see first. */
BC_API bc_point_cm bc_plan_focus(const bc_plan *plan);
/** The carrier a standing or hanging piece is on: named by `on`, or the only one there is. NULL: none,
 *  or several and none named. */
BC_API const bc_rod *bc_plan_rod_of(const bc_plan *plan, const bc_piece *piece);
/** The rod that carries the cloth: named by `on`, or one within 10 cm of the cloth's top edge that
 *  crosses its middle; NULL: clips or nails on the wall. */
BC_API const bc_rod *bc_plan_cloth_rod(const bc_plan *plan);
BC_API const bc_shelf *bc_plan_shelf_of(const bc_plan *plan, const bc_piece *piece);
BC_API const bc_table *bc_plan_table_of(const bc_plan *plan, const bc_piece *piece);

/** Where a piece's hanging points are, `number` 0-based from the left, when the piece's centre is
 *  `at`. Stiff mounts share the width evenly, each in the middle of its strip (one point: the middle;
 *  two: a quarter in from either edge). Clips run from corner to corner. The legs of a cord start at
 *  the quarter points: with one point they meet above the middle, with two they lean outwards and
 *  rise a quarter of the piece's width, or up to the rod that carries them. */
BC_API bc_point_cm bc_plan_hanging_point(const bc_plan *plan, const bc_piece *piece, bc_point_cm at, int number);

/** A length for a person, both units, the chosen one first: "122 cm (4 ft 0 in)". Inches to a quarter. */
BC_API void bc_length_words(char *out, size_t size, double cm, bc_units first);
/** A mass for a person: "850 g (1 lb 14 oz)", "2.4 kg (5 lb 5 oz)". */
BC_API void bc_mass_words(char *out, size_t size, double grams, bc_units first);

/** True when this kind of mount hangs (loads a hanging point); false when the piece stands. */
BC_API bool bc_mount_hangs(bc_mount_kind kind);
/** The word used in the plan file. */
BC_API const char *bc_mount_word(bc_mount_kind kind);
/** How the piece is held, for a person, translated: "nail", "cord", "on the shelf". */
BC_API const char *bc_mount_text(bc_mount_kind kind);

#ifdef __cplusplus
}
#endif
#endif
