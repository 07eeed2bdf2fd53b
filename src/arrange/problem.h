/* SPDX-License-Identifier: MIT */
/* The plan turned into rectangles in whole millimetres, places where each may lie, and layouts. Whole numbers, so
 * that overlap tests are exact everywhere. */
#ifndef BC_SRC_ARRANGE_PROBLEM_H
#define BC_SRC_ARRANGE_PROBLEM_H

#include <backcloth/arrange.h>

#include "base/base.h"

/* Millimetres to a cm: lengths below are mm unless a name says otherwise. */
#define ARR_MM 10.0

typedef enum arr_where { ARR_HANGING = 1, ARR_SHELF = 2, ARR_TABLE = 4, ARR_FLOOR = 8 } arr_where;

/* What bears a piece: the bare wall (carrier 0), a rod, a shelf, a table, the floor. */
typedef struct arr_carrier {
  arr_where where;
  const char *id; /* NULL for wall and floor */
  int x0, x1;     /* extent */
  double rated_g; /* a shelf's rating divided by the design factor; 0 = not known */
} arr_carrier;

/* Where the centre of an item may lie. On a carrier the height is fixed: y_lo == y_hi. */
typedef struct arr_lane {
  int x_lo, x_hi, y_lo, y_hi;
  int carrier;
  double y_exact;      /* cm; the centre on a carrier, not rounded to mm */
  double mesh, mesh_x; /* mm; centres lie only at mesh_x + k x mesh; mesh 0: anywhere from x_lo to x_hi */
} arr_lane;

/* Where an item is. lane < 0: nowhere (left off, or not yet placed). */
typedef struct arr_spot {
  int x, y, lane;
} arr_spot;

/* A piece as the search sees it: a rectangle (rounded up to even mm) with a cord above. */
typedef struct arr_item {
  size_t piece;
  arr_where where;
  int half_w, half_h;
  int half_span; /* hanging: half the span of the hanging points on the bare wall */
  int reach_up;  /* hanging: from the centre up to the hanging points, rounded up */
  int rise;      /* what stays free above the piece for its cord, or for hook or nail beyond the gap kept anyway */
  int reach_w;   /* half the breadth of piece and cord: a slack cord's nails lie wider than the piece */
  double weight; /* visual weight, cm2 x contrast */
  double area;   /* cm2 */
  int importance;
  bool leader; /* statement piece, or the one that stands in for it */
  bool statement;
  bool kept;   /* must not move */
  bool weak;   /* where a child reaches it, it would not hold a child's pull */
  int group;   /* number of its group, -1 alone */
  bool family; /* nobody named the group: its pieces are alike */
  int lane_first, lane_count;
  arr_spot home; /* where it is kept; lane < 0 when not kept */
} arr_item;

/* What pieces must not touch: boards, rods, tables, zones. Their clearance is already added. */
typedef struct arr_block {
  int x0, y0, x1, y1;
  unsigned stops; /* bits of arr_where */
  int carrier;    /* items on this carrier may touch it; -1 none */
} arr_block;

/* How strictly the pieces are held to the cloth and above the tables; tried in this order. */
typedef enum arr_room {
  ARR_ROOM_HIGH = 0, /* as the next, and what would not hold a child's pull is out of a child's reach */
  ARR_ROOM_EASY,     /* half a gap from the cloth's edges and the tables */
  ARR_ROOM_CLOTH,    /* up to the edges */
  ARR_ROOM_LOW       /* small pieces below table height, where no table stands */
} arr_room;
#define ARR_ROOMS 4

typedef struct arr_problem {
  const bc_plan *plan;
  bc_arrange_options options;
  arr_room room;
  int width, height, gap, grid;
  int region_x0, region_x1, region_y1; /* where free pieces hang: cloth or wall */
  int table, low, top;                 /* table height, least bottom edge, highest hanging point */
  int inset;                           /* kept from the region's edges where a piece's size allows */
  int focus_x, focus_y, sight_low, sight_high;
  int eye_height, eye_distance;
  arr_item *items;
  size_t count;
  arr_lane *lanes;
  size_t lane_count;
  arr_carrier *carriers;
  size_t carrier_count;
  arr_block *blocks;
  size_t block_count;
  arr_block *unfixed; /* no nail goes in here: only the hanging points on the bare wall mind */
  size_t unfixed_count;
  arr_block *bars;    /* room for all that arr_bars can say: 4 an item, 2 a block, 1 a zone without nails */
  bool any_weak;      /* and not kept */
  int open_way;       /* -1, +1: the side that has no wall; 0 none, or both */
  int *item_of_piece; /* -1: none */
  int leader_count;
  char **reason;                             /* one per piece: why it has no lane, owned */
  bool *unasked;                             /* one per piece: it has none because somebody must first be asked */
  const arr_spot *unlike[BC_ARRANGE_STYLES]; /* layouts of other styles from which the next should differ, borrowed */
  int unlike_count;
} arr_problem;

typedef struct arr_layout {
  arr_spot *spot; /* one an item */
} arr_layout;

/* `left_off` has one flag a piece (or is NULL): pieces that are out already, by their loads. */
bc_status arr_problem_new(arr_problem **out, bc_context *context, const bc_plan *plan,
                          const bc_arrange_options *options, arr_room room, const bool *left_off);
void arr_problem_free(arr_problem *problem);
/* A pair has no leader: beside it in the focus the other would pull all to one side. */
#define ARR_LED 3
/* Parts of arr_problem_new, each in its own file. */
bc_status arr_problem_blocks(arr_problem *problem, bc_context *context);
bc_status arr_problem_lanes(arr_problem *problem, bc_context *context, const bool *left_off);
/* Which pieces are weak, and whether one would be within reach there: out_of_reach.c. */
bc_status arr_problem_weak(arr_problem *problem, bc_context *context);
bool arr_is_weak_in_reach(const arr_item *item, const arr_spot *spot);
int arr_above_reach(void); /* mm: the least height of a lower edge that a child does not reach */
/* cm between the piece's top edge and its hanging point. */
double arr_rise_cm(const bc_piece *piece);
/* Half the span of the hanging points on a rod, cm. */
double arr_half_span_cm(const bc_piece *piece);
/* mm of a length in cm, to the nearest, and rounded up to the next even number and halved. */
int arr_mm(double cm);
int arr_half(double cm);
/* What a piece must be taken larger on each side because its centre is rounded to mm: 0 or 1 mm. */
int arr_rounding(double cm);

bool arr_layout_new(arr_layout *layout, const arr_problem *problem);
void arr_layout_free(arr_layout *layout);
void arr_layout_copy(arr_layout *to, const arr_layout *from, const arr_problem *problem);
/* Only kept items have a place. */
void arr_layout_reset(arr_layout *layout, const arr_problem *problem);

/* --- lengths.c --- */
int arr_on_grid(const arr_problem *problem, int value);
/* The place of a lane's mesh nearest to x; x itself where there is no mesh. */
int arr_on_mesh(const arr_lane *lane, int x);
/* A length in both units, the plan's first, in one of a few buffers that are used in turn. */
const char *arr_cm(const bc_plan *plan, double cm);
bc_point_cm arr_at_cm(const arr_problem *problem, const arr_spot *spot);
/* --- carrier_index.c --- */
/* The place of a plan's carrier in the list of carriers, and that of the floor. */
int arr_carrier_of(const arr_problem *problem, bc_carrier_kind kind, size_t index);
int arr_floor_carrier(const arr_problem *problem);
/* From this one on they are grid panels and posts, at which heights can be chosen. */
size_t arr_first_grid(const arr_problem *problem);
/* The table, or the riser's table, that carrier stands for, and the height of its top; NULL: neither. */
const bc_table *arr_carrier_table(const arr_problem *problem, int carrier);

/* --- options.c --- */
/* A copy of the pieces (strings borrowed) in which all that have a place are pinned; NULL without memory. */
bc_piece *arr_pinned_pieces(const bc_plan *plan);
/* Checks the options and fills in the defaults when `options` is NULL. */
bc_status arr_options(bc_arrange_options *out, bc_context *context, const bc_plan *plan,
                      const bc_arrange_options *options);

#endif
