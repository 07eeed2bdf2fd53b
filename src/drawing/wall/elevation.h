/* SPDX-License-Identifier: MIT */
/* What the layers of the elevation share: the sheet's layout and the scene. Each layer is a function
 * of the scene; none knows the file format. */
#ifndef BC_ELEVATION_INTERNAL_H
#define BC_ELEVATION_INTERNAL_H

#include "drawing/paper/paper.h"

/* ---- label placing ---- */

/* A label that wants to stand close to its anchor. */
typedef struct drawing_label {
  drawing_rect anchor;
  double width, height;
  drawing_rect placed; /* result */
  bool away;           /* result: not beside its anchor, so a leader line is drawn */
} drawing_label;
/* Places labels so that none overlaps another or a `hard` rectangle, and as few as possible cover
 * `soft` ones (pieces). All stay inside `bounds`. Returns how many found no place (width 0). */
typedef struct drawing_rects {
  const drawing_rect *rect;
  size_t count;
} drawing_rects;
size_t drawing_labels_place(drawing_label *labels, size_t count, drawing_rects hard, drawing_rects soft,
                            drawing_rect bounds);
/* Moves wanted positions (ascending) apart to at least `gap`, as little as possible in the
 * least-squares sense (pool adjacent violators), within low..high. False when they cannot fit. */
bool drawing_spread(double *out, const double *wanted, size_t count, double gap, double low, double high);

/* ---- the scene ---- */

/* A hanging point of a piece. */
typedef struct elevation_point {
  size_t piece; /* index into the plan's pieces */
  bc_mount_kind kind;
  bc_point_cm at; /* on the wall */
} elevation_point;

/* How far below its box's top edge a piece begins, cm, at the left quarter, the middle and the right
 * quarter of its width: where a cord takes hold of a basket's handle. */
typedef struct elevation_outline {
  double drop[3];
  bc_point_cm grip[2]; /* where a loop from the hook above takes hold, left and right: from the middle of the box's
                          top edge, y down; both at 0, 0 when the hook is right there */
} elevation_outline;

/* How many people stand beside the wall, and how closely; what the sheet has room for. */
typedef enum elevation_company { ELEVATION_APART, ELEVATION_CLOSE, ELEVATION_ALONE } elevation_company;
#define ELEVATION_COMPANIES 3

typedef struct elevation_layout {
  const char *sheet;    /* "A4" */
  double width, height; /* mm */
  double scale;         /* 20 = 1:20 */
  double k;             /* mm of paper for a cm of wall */
  double type;          /* factor on all type sizes */
  drawing_rect frame, title, wall, legend, foot;
  double band_left; /* where the figures' zone begins */
  elevation_company company;
  bool dense;      /* the wall fills the sheet: title and block stand over the person, distances are in the table */
  bool list_below; /* the list stands below the wall, not beside it */
  int legend_columns;
  double legend_column; /* breadth of one */
} elevation_layout;

/* Heights of the list's lines, which layouts ask for again and again; measured for one breadth and type. */
typedef struct elevation_list_cache {
  double column, type;
  double *height; /* a line each, 0 = not yet measured; NULL: nothing is kept */
} elevation_list_cache;

/* Sheets of one paper that together carry a larger drawing; 0 by 0 when one sheet carries it. */
typedef struct elevation_tiles {
  int across, down;
  double paper_width, paper_height; /* mm */
} elevation_tiles;

typedef struct elevation {
  bc_context *context;
  const bc_plan *plan;
  bc_study *const *studies;
  const bc_loads *loads; /* for marks; may be NULL */
  bc_elevation_options options;
  elevation_layout layout;
  elevation_tiles tiles;
  drawing_canvas *canvas;
  double cloth_luminance; /* as painted; set with the wall */
  elevation_point *points;
  size_t point_count;
  elevation_outline *outlines; /* tops of the cut-outs, for cords; one per piece */
  drawing_rect *shown;         /* where each piece's picture really is, mm; width 0 = not placed */
  bool crowded;                /* some dimensions found no room: the list has a table of hanging points */
  bool several_sheets;         /* the format can have them */
  bool list_apart;             /* the list and the cautions have sheets of their own (PDF) */
  int sheet, sheets;           /* which of how many; 0 of 0 when there is one only */
  elevation_list_cache *list;  /* or NULL */
  char *warning;               /* what does not hold or is not known, by name; "" */
  bc_notes notes;              /* what the reader of the sheet must know */
} elevation;

static inline double elevation_x(const elevation *e, double x_cm) {
  return e->layout.wall.x + x_cm * e->layout.k;
}
static inline double elevation_y(const elevation *e, double y_cm) {
  return e->layout.wall.y + e->layout.wall.height - y_cm * e->layout.k;
}
static inline drawing_rect elevation_rect(const elevation *e, double x, double y, double width, double height) {
  return (drawing_rect){elevation_x(e, x), elevation_y(e, y + height), width * e->layout.k, height * e->layout.k};
}

bc_status elevation_find_points(elevation *e);
bc_status elevation_choose_layout(elevation *e, const char *path); /* `path` for the sentence */
/* PDF and SVG carry the raster at this resolution: 300 dots an inch. */
#define ELEVATION_RASTER_PIXELS_PER_MM (300 / 25.4)
/* The picture's rectangle on the wall, cm (left, bottom, width, height); `fitted` when it is not the size given. */
void elevation_fit(const bc_piece *piece, const bc_box *box, double rect[4], bool *fitted);
/* How far a piece stands off what is behind it, cm, for its shadow. */
double elevation_lift(const bc_piece *piece);
void elevation_draw_rod(const elevation *e, const bc_rod *rod);
void elevation_draw_cord(const elevation *e, const elevation_point *point); /* nothing for other mounts */
void elevation_draw_point(const elevation *e, const elevation_point *point);
/* How the wall is put together in linear light. */
typedef struct elevation_composed {
  drawing_ink paper; /* beside the wall */
  /* Adds the cut-outs; there is room for one per piece. */
  bc_status (*add_sprites)(void *scene, const drawing_raster *raster, drawing_scene *out, drawing_sprite *sprites);
  void (*draw_underlay)(void *scene); /* zones, posts and grid panels, which lie behind the pieces */
  void *scene;                        /* for both */
} elevation_composed;
bc_status elevation_compose(elevation *e, const drawing_raster *raster, const elevation_composed *how);
/* Raster layer: wall, cloth, cut-outs. */
bc_status elevation_paint_wall(elevation *e);
void elevation_draw_fittings(elevation *e); /* rods, shelves, tables, cords, hooks, outlines */
void elevation_draw_underlay(void *scene);  /* zones, posts and grid panels of an elevation */
void elevation_draw_zone(const elevation *e, const bc_zone *zone);
void elevation_draw_grid(const elevation *e, const bc_grid *grid);
#define ELEVATION_GRID_Z 4.0 /* how far a panel of mesh stands before the wall, cm: our choice */
void elevation_draw_holds_marks(const elevation *e); /* at what does not hold, or is not known to */
void elevation_draw_things(const elevation *e);      /* risers, chairs, the zones' words */
void elevation_draw_open_sides(const elevation *e);
void elevation_draw_sight(elevation *e); /* floor, sight band, focus, the standing figure */
void elevation_draw_dimensions(elevation *e);
bc_status elevation_draw_numbers(elevation *e);
void elevation_draw_frame(elevation *e); /* title, title block, scale bar, cautions */
void elevation_draw_list_frame(elevation *e);
/* Below the wall at type factor 1, mm: the dimension of its width (in a dense layout, which has no running distances,
 * nearer), then the scale bars. */
#define ELEVATION_WIDTH_BELOW 27.4
#define ELEVATION_WIDTH_BELOW_DENSE 11.4
#define ELEVATION_BARS_BELOW 29.4
/* Diameter of a number mark, mm at type factor 1. */
#define ELEVATION_NUMBER_SIZE 3.9
bool elevation_legend_fits(const elevation *e);
/* Whether the running dimensions find no room in the present layout. */
bool elevation_dimensions_crowded(const elevation *e);
/* Sheets of a list apart: how many there are in the present layout, and all of them drawn. */
int elevation_list_sheets(elevation *e);
void elevation_draw_list_sheets(elevation *e);
/* A piece whose picture's outline isn't sure, and its mark on the wall. */
bool elevation_is_doubtful(const elevation *e, size_t piece);
void elevation_draw_doubts(const elevation *e);
void elevation_number_mark(const elevation *e, size_t piece, double x, double y);
void elevation_draw_legend(elevation *e);
/* The list from its `first` line on, within layout.legend: the first line that found no room. */
double elevation_list_height(const elevation *e); /* of all its lines in one column, mm */
double elevation_foot_height(const elevation *e, double width, double type);
/* What the title block takes, mm: in the foot, or over the person in a dense layout. */
double elevation_block_height(const elevation *e, double type);
double elevation_title_height(const elevation *e, double width, double type);
/* The breadth that the people beside the wall take, mm; and their drawing. */
double elevation_figures_width(const elevation *e, elevation_company company, double k, double type);
void elevation_draw_figures(const elevation *e);
void elevation_draw_chain(const elevation *e); /* from centre to centre, below the wall */
/* Where cords and hooks take hold of a piece's picture; `box` is the piece's box in raster pixels. */
void elevation_find_outline(elevation *e, size_t piece, const drawing_sprite *sprite, drawing_place box,
                            double pixels_per_cm);

/* The drawing's frame that so many sheets carry, mm. */
double elevation_tiles_width(const elevation_tiles *tiles);
double elevation_tiles_height(const elevation_tiles *tiles);
/* Lays a recorded drawing on the key and the tiles. */
void elevation_draw_tiles(const elevation *e, drawing_canvas *sheet, cairo_surface_t *drawn);

/* A standing person as a silhouette: feet at x, y; `height` mm. Leaves the path to be filled. */
void drawing_figure(cairo_t *cairo, double x, double y, double height);
/* A wheelchair user, `height` mm from the floor to the top of the head, painted. */
void drawing_figure_seated(cairo_t *cairo, double x, double y, double height, drawing_ink fill, drawing_ink edge);
/* Breadths in heights of the figure. */
#define DRAWING_FIGURE_BREADTH 0.262
#define DRAWING_SEATED_BREADTH 0.50

#endif
