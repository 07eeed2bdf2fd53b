/* SPDX-License-Identifier: MIT */
/* Boxes into bags in three dimensions: extreme points (Crainic, Perboli and Tadei, INFORMS Journal on Computing 20,
 * 2008). In a few orders, largest first, each into the first bag that takes its weight and has a corner where it fits,
 * turned any of six ways, lowest corner first; the faces of what lies there already make the next corners. */
#include "packing_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct box {
  double at[3], size[3];
} box;

typedef struct bag {
  box *inside;
  double (*corner)[3];
  size_t count, corners;
  double mass_g, volume;
} bag;

typedef struct stowing {
  const packing_box *boxes;
  const double *sides;
  double limit_g;
  bag *bags;
  size_t bag_count;
  size_t most; /* boxes in all */
} stowing;

#define TOUCH 1e-9

static bool overlap(const box *a, const box *b) {
  for (int i = 0; i < 3; i++)
    if (a->at[i] >= b->at[i] + b->size[i] - TOUCH || b->at[i] >= a->at[i] + a->size[i] - TOUCH) return false;
  return true;
}

static bool fits_at(const bag *in, const double *sides, const box *one) {
  for (int i = 0; i < 3; i++)
    if (one->at[i] + one->size[i] > sides[i] + TOUCH) return false;
  for (size_t i = 0; i < in->count; i++)
    if (overlap(one, &in->inside[i])) return false;
  return true;
}

static bool lower(const double *a, const double *b) {
  for (int i = 2; i >= 0; i--)
    if (fabs(a[i] - b[i]) > TOUCH) return a[i] < b[i];
  return false;
}

static const int turns[6][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};

static bool find_place(box *out, const bag *in, const double *sides, const double *size) {
  bool found = false;
  for (size_t c = 0; c < in->corners; c++) {
    bool here_too = found && !lower(in->corner[c], out->at);
    for (int t = 0; t < 6 && !here_too; t++) {
      box here;
      for (int i = 0; i < 3; i++) here.at[i] = in->corner[c][i], here.size[i] = size[turns[t][i]];
      if (!fits_at(in, sides, &here)) continue;
      *out = here;
      found = here_too = true;
    }
  }
  return found;
}

/* A corner inside of what lies there takes nothing any more; one that stands there already is not listed again. */
static void drop_corners(bag *in, const box *one) {
  size_t kept = 0;
  for (size_t c = 0; c < in->corners; c++) {
    bool inside = true;
    for (int i = 0; i < 3; i++)
      inside = inside && in->corner[c][i] >= one->at[i] - TOUCH && in->corner[c][i] < one->at[i] + one->size[i] - TOUCH;
    if (inside) continue;
    memcpy(in->corner[kept++], in->corner[c], sizeof in->corner[c]);
  }
  in->corners = kept;
}

static bool has_corner(const bag *in, const double *at) {
  for (size_t c = 0; c < in->corners; c++)
    if (fabs(in->corner[c][0] - at[0]) + fabs(in->corner[c][1] - at[1]) + fabs(in->corner[c][2] - at[2]) < TOUCH)
      return true;
  return false;
}

/* Slides a corner back along one axis until it meets a face of what lies there, or the bag's wall. */
static void add_corner(bag *in, const double *from, int along) {
  double corner[3], face = 0;
  for (size_t i = 0; i < in->count; i++) {
    const box *other = &in->inside[i];
    bool before = other->at[along] + other->size[along] <= from[along] + TOUCH;
    for (int k = 0; k < 3; k++)
      before = before &&
               (k == along || (from[k] >= other->at[k] - TOUCH && from[k] < other->at[k] + other->size[k] - TOUCH));
    if (before) face = fmax(face, other->at[along] + other->size[along]);
  }
  for (int k = 0; k < 3; k++) corner[k] = k == along ? face : from[k];
  if (!has_corner(in, corner)) memcpy(in->corner[in->corners++], corner, sizeof corner);
}

static void put(bag *in, const box *one) {
  for (int i = 0; i < 3; i++) {
    double edge[3] = {one->at[0], one->at[1], one->at[2]};
    edge[i] += one->size[i];
    for (int k = 0; k < 3; k++)
      if (k != i) add_corner(in, edge, k);
  }
  drop_corners(in, one);
  in->inside[in->count++] = *one;
  in->volume += one->size[0] * one->size[1] * one->size[2];
}

static bool open_bag(stowing *s) {
  bag *in = &s->bags[s->bag_count];
  in->inside = bc_allocate(s->most, sizeof *in->inside);
  in->corner = bc_allocate(6 * s->most + 1, sizeof *in->corner);
  s->bag_count++;
  in->corners = 1; /* at 0, 0, 0 */
  return in->inside && in->corner;
}

static double volume(const packing_box *one) {
  return one->known ? one->size[0] * one->size[1] * one->size[2] : 0;
}

#define TRIED_IN_ALL 200 /* of more things each is tried only in */
#define LOOK_BACK 4      /* the latest bags: time grows with their number alone */

/* What has no box lies in the gaps: its weight alone counts. */
static bool stow(stowing *s, size_t number, size_t *bag_of) {
  const packing_box *one = &s->boxes[number];
  const double room = s->sides[0] * s->sides[1] * s->sides[2];
  size_t b = s->most > TRIED_IN_ALL && s->bag_count > LOOK_BACK ? s->bag_count - LOOK_BACK : 0;
  for (; b <= s->bag_count && b < s->most; b++) {
    if (b == s->bag_count && !open_bag(s)) return false;
    bag *in = &s->bags[b];
    box place;
    if (in->mass_g + one->mass_g > s->limit_g + 1e-6) continue;
    if (one->known && in->volume + volume(one) > room * (1 + TOUCH)) continue;
    if (one->known && !find_place(&place, in, s->sides, one->size)) continue;
    if (one->known) put(in, &place);
    in->mass_g += one->mass_g;
    bag_of[number] = b;
    return true;
  }
  return true;
}

bool packing_box_fits(const double *size, const double *sides) {
  for (int t = 0; t < 6; t++)
    if (size[turns[t][0]] <= sides[0] + TOUCH && size[turns[t][1]] <= sides[1] + TOUCH &&
        size[turns[t][2]] <= sides[2] + TOUCH)
      return true;
  return false;
}

static double longest(const packing_box *one) {
  return one->known ? fmax(one->size[0], fmax(one->size[1], one->size[2])) : 0;
}
static double base(const packing_box *one) {
  const double shortest = fmin(one->size[0], fmin(one->size[1], one->size[2]));
  return one->known ? volume(one) / shortest : 0;
}
static double heavy(const packing_box *one) {
  return one->mass_g;
}

typedef double rank(const packing_box *one);
/* Of the orders of Crainic et al. those that stand for one rule each; the fewest bags count. */
static rank *const ranks[] = {volume, base, longest, heavy};

/* Highest rank first, the heavier first where it is the same. */
static void order_boxes(size_t *order, const packing_box *boxes, size_t count, rank *by) {
  for (size_t i = 0; i < count; i++) {
    size_t k = i;
    for (; k > 0; k--) {
      const packing_box *before = &boxes[order[k - 1]];
      const double a = by(before), b = by(&boxes[i]);
      if (a > b || (a == b && before->mass_g >= boxes[i].mass_g)) break;
      order[k] = order[k - 1];
    }
    order[k] = i;
  }
}

static void empty(stowing *s) {
  for (size_t b = 0; s->bags && b < s->bag_count; b++) {
    free(s->bags[b].inside);
    free(s->bags[b].corner);
    s->bags[b] = (bag){0};
  }
  s->bag_count = 0;
}

bc_status packing_stow(size_t *bag_of, size_t *bag_count, bc_context *context, const packing_box *boxes, size_t count,
                       packing_bag_room room) {
  stowing s = {.boxes = boxes, .sides = room.sides, .limit_g = room.limit_g, .most = count};
  size_t *order = bc_allocate(count, sizeof *order), *here = bc_allocate(count, sizeof *here);
  s.bags = bc_allocate(count, sizeof *s.bags);
  bool fine = order && here && s.bags;
  *bag_count = SIZE_MAX;
  for (size_t r = 0; fine && r<sizeof ranks / sizeof *ranks && * bag_count> room.least; r++) {
    order_boxes(order, boxes, count, ranks[r]);
    for (size_t i = 0; fine && i < count; i++) fine = stow(&s, order[i], here);
    if (fine && s.bag_count < *bag_count) {
      *bag_count = s.bag_count;
      memcpy(bag_of, here, count * sizeof *here);
    }
    empty(&s);
  }
  free(s.bags);
  free(here);
  free(order);
  return fine ? BC_OK : bc_fail_memory(context);
}
