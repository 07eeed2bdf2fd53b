/* SPDX-License-Identifier: MIT */
/* backcloth-bench: measurements, reported as figures and as ratios to a reference run in the same
 * process or side by side; never timed assertions. One file and one function a subject. */
#ifndef BC_TESTS_BENCH_H
#define BC_TESTS_BENCH_H

#include <stdio.h>
#include <time.h>

/* Each gets the arguments after its own name (argv[0] is the subject) and returns an exit code.
 * A subject is weak until its file exists, so that the table can be complete from the first day. */
int bench_read(int argc, char **argv);       /* file -> reading of a 12-megapixel JPEG against djpeg */
int bench_apart(int argc, char **argv);      /* photos: what opening them behind the filter costs */
int bench_cutout(int argc, char **argv);     /* folders of NAME.jpg + NAME.mask.png */
int bench_confidence(int argc, char **argv); /* such folders: its confidence against what is found */
int bench_prior(int argc, char **argv);      /* such folders: the weights of the prior of a cell */
int bench_trust(int argc, char **argv);      /* such folders: the weights that rank suppositions */
int bench_scenes(int argc, char **argv);     /* PIECES GROUNDS OUT: such a folder, made */
int bench_hard(int argc, char **argv);       /* OUT: hard photos with their true alpha, made */
int bench_guess(int argc, char **argv);      /* such folders: the truth as the first guess */
int bench_strokes(int argc, char **argv);    /* such a folder: time from a stroke to the mask */
int bench_store(int argc, char **argv);      /* the demo from the store, against computing and against Cairo */
int bench_match(int argc, char **argv);      /* 50 pieces x 1,000 cloths */
int bench_csf(int argc, char **argv);        /* FILE of published detection thresholds */
int bench_choices(int argc, char **argv);    /* rank changes by constant of the score */
int bench_arrange(int argc, char **argv);    /* 60 pieces */
int bench_plan(int argc, char **argv);       /* plan check of many overlapping pieces */
int bench_elevation(int argc, char **argv);  /* 40 pieces, against Cairo painting the same images */
int bench_feedback(int argc, char **argv);   /* a programme of makers, twice */
int bench_look(int argc, char **argv);       /* rendered stands of known geometry, and photos without a wall */
int bench_spreads(int argc, char **argv);    /* errors of colours against the spreads that are told */
int bench_sheets(int argc, char **argv);     /* made photos with a white sheet and without: what is found */
int bench_polish(int argc, char **argv);     /* the share of a polished piece that mirrors, estimated */
int bench_light(int argc, char **argv);      /* rendered charts under several lights, with and without reference */
int bench_by_eye(int argc, char **argv);     /* pairs judged by eye: recipes, sheets to judge */
/* published scales against these answers */
int bench_by_eye_scales(int argc, char **argv);

static inline double bench_seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

#endif
