/* SPDX-License-Identifier: MIT */
/**
 * @file feedback.h
 * The feedback sheet: for each maker, what the photos say about the wall as it is, three better cloths, and what to
 * try first; and an index over all makers. A sheet is made as data first, sentences with the figures that they come
 * from; PDF, HTML and JSON are three renderings of it. docs/method/feedback.md says how each sentence is found.
 */
#ifndef BACKCLOTH_FEEDBACK_H
#define BACKCLOTH_FEEDBACK_H

#include <backcloth/match.h>
#include <backcloth/sheet.h>

#ifdef __cplusplus
extern "C" {
#endif

/* --- a sheet as data ---------------------------------------------------------------------------------- */

/** A figure that stands beside a sentence. */
typedef struct bc_feedback_figure {
  const char *what; /**< key in JSON, borrowed for ever: "lost", "outline_clear" … */
  double value;     /**< as in JSON: shares 0..1, counts, kg */
  char *shown;      /**< for a person, translated, with its unit: "58 % of the outline clear" */
} bc_feedback_figure;

#define BC_FEEDBACK_FIGURES 4 /**< at most so many beside a sentence */
typedef struct bc_feedback_line {
  char *text; /**< a sentence, translated */
  bc_feedback_figure figure[BC_FEEDBACK_FIGURES];
  size_t figure_count; /**< at least 1, but for the maker's own words */
  int picture;         /**< index into bc_feedback_sheet.pictures, or -1 */
} bc_feedback_line;

typedef enum bc_feedback_part {
  BC_FEEDBACK_SEEN = 0, /**< how many photos and pieces, and the wall as it is, in short */
  BC_FEEDBACK_TRY,      /**< suggestions, the one with most effect first */
  BC_FEEDBACK_NOW,      /**< clearest and least clear pieces on the wall as it is */
  BC_FEEDBACK_CLOTH,    /**< the same on a better cloth; up to three such sections */
  BC_FEEDBACK_WALL,     /**< the wall drawn, and what in the plan is to settle */
  BC_FEEDBACK_HANGING,  /**< cautions */
  BC_FEEDBACK_PHOTOS,   /**< what to photograph better */
  BC_FEEDBACK_NOT_READ, /**< photos or a plan that could not be read */
  BC_FEEDBACK_NOTES     /**< notes.txt, as it is written: the only lines without figures */
} bc_feedback_part;
/** "seen", "try" …: the key in JSON, never translated. */
BC_API const char *bc_feedback_part_word(bc_feedback_part part);

typedef struct bc_feedback_section {
  bc_feedback_part part;
  char *heading;
  char css[8]; /**< colour of the wall or cloth it is about, or "" */
  bc_feedback_line *lines;
  size_t line_count;
} bc_feedback_section;

typedef struct bc_feedback_picture {
  uint8_t *jpeg;
  size_t size;
  int width, height;
  char *words; /**< what it shows, for those who cannot see it */
  bool wide;   /**< across the page: the wall */
} bc_feedback_picture;

/** What the index page and the CSV tell of a maker. */
typedef struct bc_feedback_summary {
  char *name;
  char *folder;
  size_t photos, not_read, pieces;
  size_t lost, soft, clear; /**< pieces on the wall as it is */
  size_t best_lost;         /**< pieces that get lost on the best cloth */
  double score, best_score; /**< the collection's, 0..100, on the wall as it is and on the best cloth */
  char *present, *best;     /**< their names; best "" without a candidate */
  bool serves;              /**< the wall as it is: no cloth would do clearly better, or every piece stands out on it */
  bool plan_failed, overloaded;
  double need; /**< 0..100, by which makers are sorted: docs/method/feedback.md */
} bc_feedback_summary;

typedef struct bc_feedback_sheet {
  char *language; /**< "en" … */
  bool right_to_left;
  bc_feedback_summary summary;
  bc_feedback_section *sections;
  size_t section_count;
  bc_feedback_picture *pictures;
  size_t picture_count;
  bc_feedback_picture small; /**< for the index page, 480 pixels wide at most: the wall, or the clearest piece; all zero
                                  without pictures */
} bc_feedback_sheet;

BC_API void bc_feedback_sheet_free(bc_feedback_sheet *sheet);
/** The need for help, 0..100: half from the score on the wall as it is, half from the share of pieces that get lost;
 *  100 when no piece could be read. */
BC_API double bc_feedback_need(size_t pieces, size_t lost, double score);

/* --- many makers ---------------------------------------------------------------------------------------- */

typedef struct bc_feedback_progress {
  size_t photos_done, photos; /**< photos whose readings are ready */
  size_t makers_done, makers;
  double seconds_left; /**< an estimate; -1: not known yet */
} bc_feedback_progress;

typedef struct bc_feedback_options {
  const char *output;   /**< folder for the sheets; made when it is not there. Needed */
  const char *cloths;   /**< candidates for makers without a cloths.json of their own, or NULL: searched for */
  const char *language; /**< "es", or "es,en" for two side by side; NULL: the process's own */
  bc_units units;       /**< which unit is written first */
  bc_paper paper;
  int jobs; /**< worker processes; 0: one a core */
  /** Told a maker's JSON line (docs/method/feedback.md), in the order of the folders, at the end. May be NULL. */
  void (*line)(void *data, const char *json);
  /** Told now and then how far it is. May be NULL. */
  void (*progress)(void *data, const bc_feedback_progress *progress);
  /** Told what went wrong with a single photo, plan or maker, which costs only itself. May be NULL. */
  void (*complain)(void *data, const char *sentence);
  void *data;
} bc_feedback_options;
BC_API bc_feedback_options bc_feedback_options_default(void);

typedef struct bc_feedback_result {
  size_t makers, written, unchanged, failed; /**< failed: a folder from which no sheet could be made */
  size_t photos, photos_read, not_read;      /**< photos_read: in this run, the rest came from the store */
  bc_status first_failure;                   /**< of a maker, photo or plan; BC_OK without any */
} bc_feedback_result;

/** Makes NAME/feedback.pdf, NAME/feedback.html and NAME/picture.jpg for every folder, index.html and makers.csv. Work
 * is done in forked processes: call it from a process without other threads. What did not change since the last run
 * into the same output is kept (OUTPUT/.cache.sqlite knows what). Readings are kept in the context's store; without one
 * in one for now inside OUTPUT, which goes at the end. Errors: BC_BAD_USAGE, BC_CANNOT_WRITE; a broken photo, plan or
 * folder is told in `out` instead. */
BC_API bc_status bc_feedback_run(bc_feedback_result *out, bc_context *context, const char *const *folders,
                                 size_t folder_count, const bc_feedback_options *options);

/** One sheet from a folder, in the language chosen, without any file being written: the data that bc_feedback_run
 *  renders. `pictures` false leaves the pictures out. */
BC_API bc_status bc_feedback_sheet_of(bc_feedback_sheet **out, bc_context *context, const char *folder,
                                      const bc_feedback_options *options, bool pictures);
/** What a sheet is made from without a folder, for a caller who has the studies already. All is borrowed. */
typedef struct bc_feedback_subject {
  const char *name; /**< the maker's */
  bc_plan *plan;    /**< its pieces are the ones that the sheet tells of; not changed */
  /** Gives the study of a piece of the plan, which the sheet frees; NULL in `*out`: it has no photo. One is asked for
   *  after the other, so that one at a time is in memory. */
  bc_status (*study)(bc_study **out, bc_context *context, void *data, size_t piece);
  void *data;
  const bool *size_known; /**< one per piece: false where the plan's size is only a stand-in; NULL: all are known */
  const bc_cloth *const *cloths; /**< candidates */
  size_t cloth_count;            /**< 0: searched for */
  const bc_cloth *wall;          /**< the plan's cloth, measured already; NULL: it is found by the plan */
  const char *notes;             /**< or NULL */
} bc_feedback_subject;
/** One sheet from studies, in the language chosen: with the same photos, masks, plan and cloths the one that
 *  bc_feedback_sheet_of makes. Of `options` only units count. */
BC_API bc_status bc_feedback_sheet_from(bc_feedback_sheet **out, bc_context *context,
                                        const bc_feedback_subject *subject, const bc_feedback_options *options,
                                        bool pictures);
/** Writes a sheet as PDF, aside and renamed. Errors: BC_CANNOT_WRITE. */
BC_API bc_status bc_feedback_to_pdf(bc_context *context, const bc_feedback_sheet *sheet, bc_paper paper,
                                    const char *path);
/** The sheet's JSON object on one line; the caller frees it with free(). */
BC_API bc_status bc_feedback_to_json(char **out, bc_context *context, const bc_feedback_sheet *sheet);

#ifdef __cplusplus
}
#endif
#endif
