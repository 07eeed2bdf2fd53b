/* SPDX-License-Identifier: MIT */
/**
 * @file look.h
 * A photo of a real wall or stand, looked at with a maker's eyes: its four corners give the camera and bring the wall
 * to true scale; the pieces on it are measured and judged against what is really behind them.
 * Stands after match, and after plan only for the heights that people look at. docs/method/look.md derives the figures.
 *
 * Points of the photo are pixels of the full upright photo, x right, y down, from its top left corner; a pixel's
 * middle lies at +0.5. Points of the wall are cm from its lower left corner, x right, y up.
 */
#ifndef BACKCLOTH_LOOK_H
#define BACKCLOTH_LOOK_H

#include <backcloth/match.h>

#ifdef __cplusplus
extern "C" {
#endif

/** A place in the photo or on the wall; its user says which. */
typedef struct bc_look_point {
  double x, y;
} bc_look_point;

/** A plane-to-plane projection, row by row: (x, y) goes to ((m0 x + m1 y + m2) / w, (m3 x + m4 y + m5) / w) with
 *  w = m6 x + m7 y + m8. */
typedef struct bc_homography {
  double m[9];
} bc_homography;

/** The projection that takes `from` to `to`, `count` >= 4 pairs: normalised direct linear transform, then
 *  Levenberg-Marquardt on the distances in `to`. False when the points fix none (three of four on a line).
 *  Source: Hartley, "In defense of the eight-point algorithm", IEEE PAMI 19(6), 1997 (normalisation); Hartley and
 *  Zisserman, Multiple View Geometry, 2nd ed. 2004, algorithms 4.2 and 4.3. */
BC_API bool bc_homography_fit(bc_homography *out, const bc_look_point *from, const bc_look_point *to, size_t count);
BC_API bc_look_point bc_homography_apply(const bc_homography *homography, bc_look_point point);
/** False when it has no inverse. */
BC_API bool bc_homography_invert(bc_homography *out, const bc_homography *homography);

/** Where the focal length is known from. */
typedef enum bc_focal_source {
  BC_FOCAL_PHOTO = 0, /**< the photo's EXIF data */
  BC_FOCAL_WALL,      /**< the wall's known proportions, or the vanishing points of its edges */
  BC_FOCAL_ASSUMED    /**< a usual phone camera's; where it is assumed, the figures hardly depend on it */
} bc_focal_source;

/** The camera, as the wall's outline shows it. Angles in degrees. */
typedef struct bc_look_camera {
  double focal_px;    /**< in pixels of the full photo */
  double focal_35_mm; /**< as a 35 mm camera would have it, by the diagonal (CIPA DC-008) */
  bc_focal_source focal_source;
  double roll;        /**< + : held turned to the left, so that the wall leans to the right */
  double pitch;       /**< + : pointed upwards */
  double yaw;         /**< + : pointed to the right of straight on */
  double x_cm, y_cm;  /**< where the lens was, in cm of the wall */
  double distance_cm; /**< from the wall's plane */
} bc_look_camera;

/** Corners in this order. */
enum { BC_LOOK_TOP_LEFT = 0, BC_LOOK_TOP_RIGHT, BC_LOOK_BOTTOM_RIGHT, BC_LOOK_BOTTOM_LEFT, BC_LOOK_CORNERS };

/** The wall's outline in a photo. */
typedef struct bc_look_outline {
  bc_look_point corner[BC_LOOK_CORNERS];
  bool found;        /**< by the program; false: given */
  double confidence; /**< 0..1: how likely the corners are right; 1 when given */
  double bend;       /**< of the lens: a place r half diagonals from the middle appears at r (1 + bend r^2) */
} bc_look_outline;

/** Finds the wall in an image: line segments, the lens's bend, the two vanishing points, the quadrilateral that has
 * wall inside and something else outside. BC_BAD_DATA, with a sentence that asks for the corners, when no wall is seen
 * for certain; `out` then holds the best guess, with its confidence (0: there is none). */
BC_API bc_status bc_look_find_outline(bc_look_outline *out, bc_context *context, const bc_image *image,
                                      const char *name);

/** A wall as a photo shows it. */
typedef struct bc_look_view {
  bc_look_point corner[BC_LOOK_CORNERS]; /**< in the order above, pixels of the full photo */
  int full_width, full_height;           /**< of the photo */
  double width_cm;                       /**< of the wall */
  double focal_35_mm;                    /**< 0 when the photo doesn't tell */
} bc_look_view;

/** The camera and the wall's height (cm), from the corners and the wall's width. `height_cm` is in and out: 0 is
 *  filled in. BC_BAD_DATA when the corners are no view of a rectangle.
 *  Source: Zhang and He, "Whiteboard scanning and image enhancement", Digital Signal Processing 17(2), 2007. */
BC_API bc_status bc_look_solve_camera(bc_look_camera *out, double *height_cm, bc_context *context,
                                      const bc_look_view *view);

/** Where a piece hangs against the heights that people look at. */
typedef enum bc_look_height {
  BC_LOOK_IN_BAND = 0,
  BC_LOOK_ABOVE, /**< its middle is above the sight band */
  BC_LOOK_BELOW, /**< its middle is below it */
  BC_LOOK_FLOOR  /**< stands on the floor, or on a table before the wall: its size is then too large by the perspective
                  */
} bc_look_height;
/** "in the band", "above", "below", "on the floor": for JSON, never translated. */
BC_API const char *bc_look_height_word(bc_look_height height);

/** A piece on the wall. */
typedef struct bc_look_piece {
  bc_study *study;            /**< on its own crop of the straightened wall */
  int left, top;              /**< of that crop, in pixels of bc_look.wall */
  bool boxed;                 /**< pointed out by a person */
  double x_cm, y_cm;          /**< its middle on the wall */
  double width_cm, height_cm; /**< of its bounding box on the wall */
  double area_cm2;
  bool has_tilt;
  double tilt; /**< degrees, + : leans to the right (clockwise); only for pieces with straight sides */
  bc_look_height height;
  double focus_cm;  /**< from its middle to the focus */
  bc_cloth *behind; /**< what is seen round its outline */
  bc_pair pair;     /**< on that */
  bc_pair on_cloth; /**< on the cloth asked for; all zero without one */
} bc_look_piece;

/** What is seen before or on the wall and is no piece. */
typedef enum bc_look_thing_kind {
  BC_LOOK_TABLE = 0,
  BC_LOOK_ON_TABLE, /**< stands on it */
  BC_LOOK_BEFORE,   /**< a chair, or whatever else stands on the floor before the wall */
  BC_LOOK_SHELF     /**< its board */
} bc_look_thing_kind;
/** "table", "on the table", "before the wall", "shelf": for JSON, never translated. */
BC_API const char *bc_look_thing_word(bc_look_thing_kind kind);
/** Where it is seen against the wall, cm: lower left corner and size. What stands before the wall looks larger. */
typedef struct bc_look_thing {
  bc_look_thing_kind kind;
  double x, y, width, height;
} bc_look_thing;
#define BC_LOOK_THINGS 32

/** An empty part of the wall: a rectangle, cm, x and y of its lower left corner. */
typedef struct bc_look_gap {
  double x, y, width, height;
} bc_look_gap;
#define BC_LOOK_GAPS 4

typedef struct bc_look_options {
  double width_cm;  /**< of the wall; must be given */
  double height_cm; /**< 0 (default): from the photo's geometry */
  bool has_corners;
  bc_look_point corner[BC_LOOK_CORNERS]; /**< in any order */
  const bc_box *boxes;                   /**< of pieces, pixels of the full photo; none: they are found. Borrowed */
  size_t box_count;
  const bc_cloth *cloth;  /**< to be put behind the pieces, or NULL. Borrowed */
  bc_look_outline *guess; /**< takes the best guess when the wall is not seen for certain, or NULL. Borrowed */
  double sight_low, sight_high, eye; /**< cm above the floor; the defaults are a plan's */
} bc_look_options;
BC_API bc_look_options bc_look_options_default(void);

/** What was seen. Plain data but for the pieces. */
typedef struct bc_look {
  char *photo;
  int full_width, full_height;
  bc_look_outline outline;
  bc_look_camera camera;
  double width_cm, height_cm;
  bool height_given;
  bc_homography to_photo; /**< wall cm to pixels of the full photo, before the lens's bend (`outline.bend`) */
  bc_image *shot;         /**< the photo as it came, colour-managed */
  bc_image *wall;         /**< the wall, straightened; `pixels_per_cm` pixels for each cm */
  double pixels_per_cm;
  float *shade;          /**< width x height of `wall`: light on the bare wall, 1 on average */
  bc_colour wall_colour; /**< of the bare wall */
  double evenness;       /**< least over greatest of `shade` */
  bc_look_piece *pieces; /**< in reading order */
  size_t piece_count;
  double sight_low, sight_high;
  bc_look_point focus;            /**< cm */
  bc_look_gap gaps[BC_LOOK_GAPS]; /**< largest first, apart from one another */
  size_t gap_count;
  bc_look_thing things[BC_LOOK_THINGS];
  size_t thing_count;
  double covered_share;  /**< of the wall's area */
  bc_textile texture;    /**< of the wall as a whole: how busy it is */
  const bc_cloth *cloth; /**< borrowed from the options */
  bc_notes notes;
} bc_look;

/** photo -> colour -> outline -> camera -> straightened wall -> pieces and figures. `options` must give the wall's
 *  width. Errors: those of the stages before; BC_BAD_USAGE for impossible options; BC_BAD_DATA when no wall is found.
 */
BC_API bc_status bc_look_open(bc_look **out, bc_context *context, const char *path, const bc_look_options *options);
BC_API void bc_look_free(bc_look *look);
/** A guess at corners that were not seen for certain, as JSON: {"photo","wall":{"corners","found":false,"confidence"}};
 *  `corners` is null when there is no guess. The caller frees it with free(). */
BC_API bc_status bc_look_guess_to_json(char **out, bc_context *context, const char *photo,
                                       const bc_look_outline *guess);
/** All figures as one JSON object; the caller frees it with free(). */
BC_API bc_status bc_look_to_json(char **out, bc_context *context, const bc_look *look);
/** What is so, and what to try in order of effect: sentences, each with its figures, that are added to the notes. */
BC_API bc_status bc_look_facts(bc_notes *facts, bc_context *context, const bc_look *look, bc_units units);
BC_API bc_status bc_look_tries(bc_notes *tries, bc_context *context, const bc_look *look, bc_units units);
/** Facts in plain words, then what to try. The caller frees it with free(). */
BC_API bc_status bc_look_to_words(char **out, bc_context *context, const bc_look *look, bc_units units);

#ifdef __cplusplus
}
#endif
#endif
