/* SPDX-License-Identifier: MIT */
/* Pairs of a piece and a cloth that were judged from their pictures alone: the recipe of each, and the answers.
 * tests/bench/by_eye/README.md says who judged, how, and what that is worth. */
#ifndef BC_TESTS_BENCH_BY_EYE_H
#define BC_TESTS_BENCH_BY_EYE_H

#include <backcloth/match.h>

enum { by_eye_most = 200 };

typedef enum by_eye_pattern { EYE_PLAIN, EYE_STRIPE, EYE_CHECK, EYE_DOTS, by_eye_patterns } by_eye_pattern;

typedef struct by_eye_pair {
  char photo[40];        /* of assets/demo/photos */
  double stops;          /* the piece is shown in so much more light */
  bc_lab ground, figure; /* of the cloth; `figure` is its second colour */
  by_eye_pattern pattern;
  int period;    /* pixels of the shown cell, of which there are BY_EYE_CELL */
  int answer[2]; /* 0 gets lost, 1 soft, 2 stands out; -1: not judged; first and second time */
} by_eye_pair;

#define BY_EYE_CELL 190

/* The recipes and, where there are any, the answers. Returns how many; 0 after saying what is wrong. */
int by_eye_read(by_eye_pair pairs[by_eye_most], const char *folder);
/* Piece and cloth as they are shown; false after saying what is wrong. Free the study, not the cloth. */
bool by_eye_make(bc_study **study, bc_cloth *cloth, bc_context *context, const by_eye_pair *pair, const char *photos);

#endif
