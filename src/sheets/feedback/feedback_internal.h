/* SPDX-License-Identifier: MIT */
/* What the files of the feedback sheet share: the cache, a maker's folder, the sheet while it is being written, and
 * its renderings. */
#ifndef BC_SRC_SHEETS_FEEDBACK_INTERNAL_H
#define BC_SRC_SHEETS_FEEDBACK_INTERNAL_H

#include "base/base.h"
#include "base/kept/kept.h"
#include <backcloth/feedback.h>

/* --- what was made in the output folder: one handle a process, never carried over a fork --- */

#define FEEDBACK_HASH KEPT_KEY
typedef struct feedback_cache feedback_cache;
bc_status feedback_cache_open(feedback_cache **out, bc_context *context, const char *path);
void feedback_cache_close(feedback_cache *cache);
/* The hash of a file's content; a file whose size and times are those of last time isn't read again. `cache` may be
 * NULL. */
bc_status feedback_file_hash(char out[FEEDBACK_HASH], feedback_cache *cache, bc_context *context, const char *path);
void feedback_text_hash(char out[FEEDBACK_HASH], const char *text, size_t size);

/* What is kept of a photo. */
typedef struct feedback_entry {
  char *json; /* bc_reading_to_stored_json */
  void *cut;  /* the cut-out as WebP */
  size_t cut_size;
  double place[4]; /* left, top, wide, high as in bc_kept_piece */
} feedback_entry;
void feedback_entry_clear(feedback_entry *entry);
/* In the context's store. */
bool feedback_entry_recall(feedback_entry *out, bc_context *context, const char *key);
bool feedback_entry_is_kept(bc_context *context, const char *key);
void feedback_entry_store(bc_context *context, const char *key, const feedback_entry *entry);
/* A maker's sheet: what it was made from, and what is told of it. The texts are malloc'd. */
typedef struct feedback_made {
  char *inputs, *line, *complaints;
  char *others; /* files outside the folder that it depends on, one per line */
} feedback_made;
void feedback_made_clear(feedback_made *made);
bool feedback_cache_get_maker(feedback_made *out, feedback_cache *cache, const char *name);
bool feedback_cache_put_maker(feedback_cache *cache, const char *name, const feedback_made *made);

/* --- a photo --- */

/* The key under which it is kept: content, mask, version. `mask` may be NULL. */
bc_status feedback_photo_key(char out[FEEDBACK_HASH], feedback_cache *cache, bc_context *context, const char *path,
                             const char *mask);
/* Reads the photo itself. */
bc_status feedback_entry_read(feedback_entry *out, bc_context *context, const char *path, const char *mask);
/* What is kept of a study. */
bc_status feedback_entry_keep(feedback_entry *out, bc_context *context, const bc_study *study);
/* The reading as it was, under the photo's present name. */
bc_status feedback_entry_reading(bc_reading **out, bc_context *context, const feedback_entry *entry, const char *path);
/* A study of the small cut-out, for drawing only; its rim is the reading's own. */
bc_status feedback_entry_study(bc_study **out, bc_context *context, const feedback_entry *entry, const char *path);

/* --- a maker's folder --- */

typedef struct feedback_photo {
  char *path, *mask; /* mask: or NULL */
  char *title;
  size_t piece;        /* in the plan, or SIZE_MAX */
  bool size_unknown;   /* the plan's size is only a stand-in */
  bc_reading *reading; /* NULL: it could not be read */
  feedback_entry entry;
  char *message; /* why not */
} feedback_photo;

typedef struct feedback_maker {
  bc_context *context;
  feedback_cache *cache; /* or NULL */
  const char *folder;
  char *name;
  char *plan_path, *cloths_path, *notes_path; /* NULL: there is none */
  bc_plan *plan;
  bc_cloth_list cloths; /* candidates; empty: to be searched for */
  const bc_cloth *wall; /* the plan's cloth, measured already; NULL: found by the plan */
  char *plan_message, *cloths_message;
  char *notes;
  feedback_photo *photos;
  size_t photo_count;
  char **files; /* all that the sheet depends on: those in the folder, then others */
  size_t file_count, listed_count;
  bool cloths_lent; /* they are those for makers without their own */
  bool unchanged;   /* since the sheet that is there: only name and files are filled in */
} feedback_maker;

/* The cloths for makers without a file of their own. Measuring cloths takes longer than reading a photo, so it is done
 * once and not once per maker. `path` NULL: there are none. */
typedef struct feedback_cloths {
  const char *path;
  bc_cloth_list list;
} feedback_cloths;

/* Looks through the folder, opens plan and cloths; reads no photo. `cloths` must outlive the maker. */
bc_status feedback_maker_open(feedback_maker *out, bc_context *context, feedback_cache *cache, const char *folder,
                              const feedback_cloths *cloths);
/* Looks through the folder only, and at what the sheet was made from last time: sets `unchanged`. Neither plan nor
 * cloths are opened for it, so that it takes a thousandth of the time. */
bc_status feedback_maker_compare(feedback_maker *out, bc_context *context, feedback_cache *cache, const char *folder,
                                 const bc_feedback_options *options);
/* Files outside the folder; malloc'd, or NULL. */
char *feedback_maker_others(const feedback_maker *maker);
/* Readings of all photos, from the cache where they are there. */
bc_status feedback_maker_read(feedback_maker *maker);
void feedback_maker_clear(feedback_maker *maker);
/* What the sheet is made from, options included. */
bc_status feedback_maker_hash(char out[FEEDBACK_HASH], const feedback_maker *maker, const bc_feedback_options *options);

#define FEEDBACK_SMALL "picture.jpg" /* in a maker's folder of the output, for the index page */

/* --- writing a sheet --- */

bc_status feedback_write(bc_feedback_sheet **out, const feedback_maker *maker, const bc_feedback_options *options,
                         bool pictures);

typedef struct feedback_pen {
  bc_context *context;
  bc_feedback_sheet *sheet;
  bool failed; /* no memory: told once, at the end */
} feedback_pen;
void feedback_section(feedback_pen *pen, bc_feedback_part part, const char *css, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
void feedback_say(feedback_pen *pen, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Adds a figure to the sentence said last. */
void feedback_figure(feedback_pen *pen, const char *what, double value, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* Puts a picture beside the sentence said last; takes the JPEG over. */
void feedback_picture(feedback_pen *pen, bc_feedback_picture picture);

/* All that the sentences are found from. */
typedef struct feedback_facts {
  const feedback_maker *maker;
  const bc_feedback_options *options;
  bool pictures;
  bc_collection all;             /* pieces that could be read; cloths: candidates, then the wall as it is */
  bc_collection all_on_wall;     /* the same pieces; the wall as it is alone */
  const feedback_photo **photos; /* one per piece */
  bc_study **studies;            /* small ones; NULL without pictures */
  size_t count;
  bc_match *match, *alone; /* of these two */
  size_t present;          /* place of the wall as it is in rank order of match */
  size_t best[3];          /* places of the three best candidates */
  size_t best_count;
  char *wall_message; /* why the photo of the cloth on the wall could not be read; NULL: it could, or there is none */
} feedback_facts;
bc_status feedback_facts_find(feedback_facts *out, const feedback_maker *maker, const bc_feedback_options *options,
                              bool pictures);
void feedback_facts_clear(feedback_facts *facts);
const bc_ranked_cloth *feedback_now(const feedback_facts *facts);
const bc_cloth *feedback_cloth(const feedback_facts *facts, const bc_ranked_cloth *ranked);
size_t feedback_count(const feedback_facts *facts, const bc_ranked_cloth *ranked, bc_verdict verdict);
/* How many pieces' outlines are not sure. */
size_t feedback_unsure(const feedback_facts *facts);
double feedback_mean_clarity(const feedback_facts *facts, const bc_ranked_cloth *ranked);
/* "ring, cuff and 3 more"; malloc'd, or NULL. */
char *feedback_names(const feedback_facts *facts, const size_t *index, size_t count);

void feedback_try(feedback_pen *pen, const feedback_facts *facts);
void feedback_pieces_now(feedback_pen *pen, const feedback_facts *facts);
void feedback_pieces_on(feedback_pen *pen, const feedback_facts *facts, size_t which);
bc_status feedback_wall(feedback_pen *pen, const feedback_facts *facts);
void feedback_photos(feedback_pen *pen, const feedback_facts *facts);

/* A piece on a cloth, and a wall, as JPEG; `small` (or NULL) gets the same for the index page, which loads over poor
 * connections. */
bc_status feedback_piece_picture(bc_feedback_picture *out, bc_feedback_picture *small, bc_context *context,
                                 const bc_study *study, const bc_cloth *cloth);
bc_status feedback_wall_picture(bc_feedback_picture *out, bc_feedback_picture *small, bc_context *context,
                                const bc_plan *plan, bc_study *const *studies);
void feedback_picture_clear(bc_feedback_picture *picture);

/* True when the sentence before stands on the same figures, which then needn't be shown twice. */
bool feedback_same_figures(const bc_feedback_section *section, size_t line);

/* What the mark on the pictures means, in the language of sheet[side]; malloc'd, or NULL. */
char *feedback_mark_key(const bc_feedback_sheet *const sheet[2], int side);

/* --- renderings; `second` is the same sheet in another language, or NULL --- */

bc_status feedback_html(bc_context *context, const bc_feedback_sheet *sheet, const bc_feedback_sheet *second,
                        const char *path);
bc_status feedback_pdf(bc_context *context, const bc_feedback_sheet *sheet, const bc_feedback_sheet *second,
                       bc_paper paper, const char *path);
/* `lines` are makers' JSON lines, sorted by need here. */
bc_status feedback_index(bc_context *context, char *const *lines, size_t count, const char *output);

#endif
