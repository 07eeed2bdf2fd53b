/* SPDX-License-Identifier: MIT */
/* Answers under several suppositions (suppose.c), and which of them to trust (trust.c). */
#ifndef BC_CUTOUT_SUPPOSE_H
#define BC_CUTOUT_SUPPOSE_H

#include "scene.h"

/* Carries one supposition through, without a box. The models know nothing of it afterwards: they are those by which its
 * answer is judged. */
enum { CUTOUT_SUPPOSITIONS = 6 };
bc_status cutout_suppose_one(cutout_scene *scene, bc_context *context, size_t which);
/* Solves the scene under several suppositions and keeps the most trusted answer. */
bc_status cutout_suppose(cutout_scene *scene, bc_context *context, bool in_box);

/* ---- trust.c ---- */
/* What can be seen of an answer without knowing the truth. Another sign needs a line here, its name and its measure
 * there; `backcloth-bench trust` then fits the weights. */
typedef enum cutout_trust_sign {
  CUTOUT_TRUST_MARGIN = 0,     /* mean of 2 P - 1, P = probability that models and prior give to the answer */
  CUTOUT_TRUST_MARGIN_SQUARED, /* its square, and so on */
  CUTOUT_TRUST_CONTACT,        /* share of the picture's border that the answer touches */
  CUTOUT_TRUST_CONTACT_SQUARED,
  CUTOUT_TRUST_LEFT_OVER_SQUARED, /* of the mean prior of what is not in the answer */
  CUTOUT_TRUST_WEAK,              /* share of the outline that lies where hardly any edge is */
  CUTOUT_TRUST_MIRROR,            /* share of the answer that is there again when its box is mirrored left to right */
  CUTOUT_TRUST_SIDE,              /* square root of the share of the picture */
  CUTOUT_TRUST_OFF, /* distance of its centre of area from the picture's middle, in sides of the picture */
  CUTOUT_TRUST_SIGNS
} cutout_trust_sign;
extern const char *const cutout_trust_name[CUTOUT_TRUST_SIGNS];
extern const double cutout_trust_weight[CUTOUT_TRUST_SIGNS];
void cutout_trust_measure(double sign[CUTOUT_TRUST_SIGNS], const cutout_scene *scene);
/* Ranks a scene's answers under several suppositions: more is better. */
double cutout_trust(const cutout_scene *scene);

#endif
