/* SPDX-License-Identifier: MIT */
/* The table of subjects of backcloth-bench. */
#include "base/base.h"
#include "bench.h"

#include <string.h>

#pragma weak bench_read
#pragma weak bench_apart
#pragma weak bench_cutout
#pragma weak bench_confidence
#pragma weak bench_prior
#pragma weak bench_trust
#pragma weak bench_scenes
#pragma weak bench_hard
#pragma weak bench_guess
#pragma weak bench_strokes
#pragma weak bench_store
#pragma weak bench_match
#pragma weak bench_csf
#pragma weak bench_choices
#pragma weak bench_arrange
#pragma weak bench_elevation
#pragma weak bench_plan
#pragma weak bench_light
#pragma weak bench_spreads
#pragma weak bench_look
#pragma weak bench_sheets
#pragma weak bench_polish
#pragma weak bench_feedback
#pragma weak bench_by_eye
#pragma weak bench_by_eye_scales

typedef struct subject {
  const char *name;
  int (*run)(int argc, char **argv);
  const char *help;
} subject;

int main(int argc, char **argv) {
  const subject subjects[] = {
      {"apart", bench_apart, "PHOTO...  photos opened behind the filter against here"},
      {"read", bench_read, "[PHOTO.jpg]  file to reading, as a ratio to djpeg's full decode"},
      {"cutout", bench_cutout, "FOLDER...  masks against NAME.mask.png: IoU, boundary F, milliseconds"},
      {"confidence", bench_confidence, "FOLDER FOLDER...  what the cut-out says of itself, fitted and left out"},
      {"prior", bench_prior, "FOLDER FOLDER...  the weights of a cell's first guess, fitted and left out"},
      {"trust", bench_trust, "FOLDER FOLDER...  the weights that rank suppositions, fitted and left out"},
      {"scenes", bench_scenes,
       "PIECES GROUNDS OUT [EACH]  makes a folder for cutout: pieces on other grounds, with masks"},
      {"hard", bench_hard,
       "OUT [EACH]  makes folders for cutout: thin, clear, pale on white, dark on dark, with true alpha"},
      {"guess", bench_guess,
       "FOLDER...  what becomes of a first guess that is the truth, at full size and of 64 cells"},
      {"strokes", bench_strokes, "FOLDER  processor time from a stroke to the new mask: median, worst, over 50 ms"},
      {"store", bench_store, "[DEMO]  what was read before: ratios to computing it, and to Cairo painting alone"},
      {"match", bench_match, "ranking 1,000 cloths for 50 pieces"},
      {"csf", bench_csf, "FILE.tsv  predicted against published detection thresholds, RMS in dB"},
      {"choices", bench_choices, "how much the ranking of cloths depends on each constant of the score"},
      {"by-eye", bench_by_eye, "pairs|sheets|order ...  pairs to be judged from their pictures alone"},
      {"by-eye-scales", bench_by_eye_scales, "FOLDER DEMO  published scales of difference against answers by eye"},
      {"arrange", bench_arrange, "placing 60 pieces"},
      {"plan", bench_plan, "plan check of 250 and 2,000 overlapping pieces, in seconds"},
      {"elevation", bench_elevation, "drawing 40 pieces, as a ratio to Cairo painting the same images"},
      {"look", bench_look,
       "[learn|test] [SCENES] [corners]  walls on rendered stands: corners, pieces, sizes, what is refused"},
      {"spreads", bench_spreads, "fit|test|unseen  do the spreads that are told cover the errors, on rendered charts"},
      {"sheets", bench_sheets,
       "learn|test [FOLDER]  made photos with a white sheet and without: found, and taken for one; kept in FOLDER"},
      {"polish", bench_polish, "fit|test  how much of made balls and rings mirrors, by their lightness alone"},
      {"light", bench_light, "charts under several lights, with and without a white reference"},
      {"feedback", bench_feedback,
       "MAKERS PHOTOS CLOTHS.json FOLDER...  makers' sheets from variations of photos, and a second run"},
  };
  bc_widen_heap(); /* as the program does */
  const size_t count = sizeof subjects / sizeof subjects[0];
  for (size_t i = 0; argc > 1 && i < count; i++)
    if (subjects[i].run && strcmp(argv[1], subjects[i].name) == 0) return subjects[i].run(argc - 1, argv + 1);
  fprintf(stderr, "usage: backcloth-bench SUBJECT [ARGUMENTS]\n");
  for (size_t i = 0; i < count; i++)
    if (subjects[i].run) fprintf(stderr, "  %-10s %s\n", subjects[i].name, subjects[i].help);
  return 64;
}
