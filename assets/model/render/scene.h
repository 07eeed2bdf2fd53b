/* SPDX-License-Identifier: MIT */
/* What a scene is: parts of a piece, clutter, ground, light and camera, as plain values that can be copied to a GPU. */
#ifndef RENDER_SCENE_H
#define RENDER_SCENE_H

#include "vec.h"

enum { MOST_PARTS = 44, MOST_POINTS = 10, MOST_MATERIALS = 16 };

typedef enum shape {
  BALL = 0, /* size: half axes */
  BLOCK,    /* size: half sides, rounding, [4] how much narrower the top is */
  DRUM,     /* round, standing: radius below, radius above, half height, rounding */
  HOOP,     /* lying: radius, half height of the band, half thickness, half of the gap's angle */
  TURNED,   /* a wall round the upright axis along a profile of (radius, height): half thickness, flutes, their depth */
  OPENWORK, /* the same with a lattice: half thickness, bars round, bars' half width, pitch upwards, lean */
  CORD,     /* along a quadratic Bezier curve: radius, cord_kind, links or turns, [3] flatness */
  SHEET,    /* hanging, in x and y: half width, half height, half thickness, depth of folds, folds, fringe */
  MEDAL,    /* lying, flat: radius, half height, lobes, their depth, rounding, hole */
  NET       /* hanging net of cords: half width, half height, cord, mesh, how far it tapers */
} shape;
enum { CORD_PLAIN = 0, CORD_LINKS, CORD_BEADS, CORD_TWISTED };
enum { JOIN = 0, JOIN_SOFTLY, CUT_AWAY };

typedef struct part {
  int shape, material, join, points;
  float blend;
  vec at, row[3]; /* to the part's own frame: row[k] . (p - at) */
  float size[6];
  vec bend[3];                   /* CORD, in its own frame */
  float profile[MOST_POINTS][2]; /* TURNED, OPENWORK */
  float bump, bump_scale;        /* relief */
  vec ball;                      /* all of it lies in this ball */
  float radius;
} part;

enum { MATT = 0, METAL, GLASS };
typedef struct material {
  int kind, pattern, wrapped; /* wrapped: the pattern goes round the upright axis */
  vec colour[3];
  float scale, turn, stretch, gloss, rough, relief;
  int seed;
} material;

typedef struct lamp {
  vec towards, colour;
  float hardness; /* of its shadows */
} lamp;

/* Planes: the floor or table top y = 0 up to the table's edge, a wall behind, and what is beyond. */
typedef struct ground {
  int has_floor, has_wall, sweeps; /* sweeps: floor and wall are one sheet, bent */
  float wall, edge, drop; /* z of the wall, z of the table's near edge (or far away), how far down the floor is */
  float far_edge;         /* z of the table's far edge, where what is beyond begins */
  int floor_material, wall_material, beyond_material;
  float mirror;   /* how much the floor mirrors */
  float skirting; /* height of a board along the wall; 0 without */
} ground;

typedef struct surroundings {
  int kind; /* 0 room, 1 studio, 2 outdoors */
  vec low, middle, high;
  vec box[3]; /* towards windows or soft boxes */
  float box_size[3], box_light[3];
  int seed;
} surroundings;

typedef struct scene {
  int piece_parts, parts, bare, materials;
  part part_of[MOST_PARTS];
  material material_of[MOST_MATERIALS];
  vec ball[2]; /* round the piece and round the clutter */
  float radius[2];
  ground floor;
  surroundings around;
  int lamps;
  lamp lamp_of[3];
  vec ambient;
  vec eye, right, up, forward;
  float across, down, shift_x, shift_y; /* half a picture at distance 1, and where its middle looks */
  uint32_t seed;
} scene;

#endif
