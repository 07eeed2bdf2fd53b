/* SPDX-License-Identifier: MIT */
/* The command line's own frame: a table of commands, a table of options for each. Parsing, --help
 * and the manual come from these tables; a command only turns options into library calls. */
#ifndef BC_SRC_CLI_H
#define BC_SRC_CLI_H

#include <backcloth/backcloth.h>
#include <backcloth/program.h>
#include <stdio.h>

/* How an option's text is understood, and the type of the field that its offset names. */
typedef enum cli_kind {
  CLI_FLAG,   /* bool */
  CLI_TEXT,   /* const char *, borrowed from argv */
  CLI_TEXTS,  /* cli_texts: may be repeated */
  CLI_NUMBER, /* double, more than 0 */
  CLI_COUNT,  /* int, 0 or more */
  CLI_BOX,    /* cli_box: X,Y,W,H */
  CLI_POINTS, /* cli_points: X,Y, may be repeated */
  CLI_UNITS,  /* bc_units */
  CLI_SCALE,  /* double: 1:20 gives 20 */
  CLI_LENGTH, /* double, in the unit that the help names */
  CLI_BOXES,  /* cli_boxes: X,Y,W,H, may be repeated */
  CLI_CM,     /* double, cm: "300", "3 m", "9 ft 10 in"; more than 0 */
  CLI_FORMAT, /* const char *: one of the words in the value that help names, a|b */
  /* What is read or written; from here on all but CLI_SPECS are texts as CLI_TEXT. No output of a run may be what the
   * run reads, nor another output of it, nor have a name of another kind (outputs.c). */
  CLI_SPECS,   /* cli_texts: cloths; photo:FILE is read; may be repeated */
  CLI_FILE,    /* a file or folder that is read */
  CLI_SPEC,    /* a cloth */
  CLI_CLOTHS,  /* a file of cloths, which may name photos */
  CLI_MASKS,   /* a folder of masks */
  CLI_PICTURE, /* written: .png, .pdf, .svg */
  CLI_SHEET,   /* written: .pdf, .png */
  CLI_MASK,    /* written: .png, with --split several */
  CLI_PLAN,    /* written: .json */
  CLI_FOLDER,  /* written into */
  CLI_CACHE    /* kept from run to run */
} cli_kind;

/* Without --units a plan's own come first. */
#define CLI_UNITS_OF_PLAN ((bc_units)(BC_UNITS_METRIC + BC_UNITS_IMPERIAL + 1))
static inline bc_units cli_units_of(bc_units chosen, const bc_plan *plan) {
  return chosen == CLI_UNITS_OF_PLAN ? plan->units : chosen;
}

typedef struct cli_texts {
  const char **text;
  size_t count;
} cli_texts;

typedef struct cli_box {
  bool given;
  bc_box box;
} cli_box;

typedef struct cli_boxes {
  bc_box *box;
  size_t count;
} cli_boxes;

typedef struct cli_points {
  bc_point_px *point;
  size_t count;
} cli_points;

typedef struct cli_option {
  const char *name; /* long name */
  char letter;      /* short name, or 0 */
  cli_kind kind;
  size_t offset;     /* of the field in the command's values */
  const char *value; /* what --help writes for the value, or NULL for a flag */
  const char *help;  /* English, translated when shown */
} cli_option;

/* Without such a rule an option is honoured beside every other. */
typedef enum cli_bond { CLI_NOT_WITH, CLI_NEEDS } cli_bond;
typedef struct cli_rule {
  const char *option;
  cli_bond bond;
  const char *others; /* "box keep": not with any of them; needs one of them */
} cli_rule;

typedef struct cli_command cli_command;

/* What every command is given. */
typedef struct cli {
  bc_context *context;
  const cli_command *command;
  const void *values; /* of its options */
  const char *const *files;
  size_t file_count;
  uint64_t given; /* a bit an option, in the table's order */
  bool no_store;
} cli;
/* Whether an option of the command was written on the command line. */
bool cli_given(const cli *command_line, const char *option);
/* Refuses options that do not go together, by the command's rules, with a sentence in the context. */
bc_status cli_check_rules(const cli *command_line);

struct cli_command {
  const char *name;
  const char *arguments; /* as shown after the name in --help */
  const char *summary;   /* English, one line */
  const char *details;   /* English, a paragraph with an example */
  const cli_option *options;
  size_t option_count;
  const cli_rule *rules; /* what goes together and what does not, or NULL; ends with an empty one */
  size_t values_size;
  size_t least_files, most_files;
  bool opens_photos;  /* in processes that are shut off, unless --trust is given */
  bool keeps;         /* what it reads, unless --no-store is given */
  bool counts_itself; /* what it has done, and shows it (progress.h) */
  void (*defaults)(void *values);
  int (*run)(const cli *command_line, const void *values);
};

/* All of them, in the order in which help and manual name them. */
const cli_command *const *cli_commands(size_t *count);

/* What every command takes besides its own options; their offsets mean nothing. */
extern const cli_option cli_common_options[];
enum { CLI_COMMON_TRUST, CLI_COMMON_NO_STORE, CLI_COMMON_HELP, CLI_COMMON_VERSION, CLI_COMMON_COUNT };
bool cli_takes_common(const cli_command *command, int common);

extern const cli_command cli_command_serve;
extern const cli_command cli_command_read;
extern const cli_command cli_command_match;
extern const cli_command cli_command_look;
extern const cli_command cli_command_elevation;
extern const cli_command cli_command_loads;
extern const cli_command cli_command_plan;
extern const cli_command cli_command_arrange;
extern const cli_command cli_command_packing;
extern const cli_command cli_command_sheet;
extern const cli_command cli_command_feedback;

/* The whole program but for `main`, so that tests can call it. */
int cli_run(int argc, char **argv);

/* Fills `values` from argv. Returns 0, or an exit code after saying what was wrong. *first is the
 * index of the first file. `wish` says whether --help or --version was asked for instead. `trust`: photos may be opened
 * in this process. `no_store`: nothing is kept, nor taken from what was kept. */
typedef enum cli_wish { CLI_WISH_WORK, CLI_WISH_HELP, CLI_WISH_VERSION } cli_wish;
typedef struct cli_parsed {
  int first;
  cli_wish wish;
  bool trust, no_store;
  uint64_t given;
} cli_parsed;
int cli_parse(const cli_command *command, void *values, int argc, char **argv, cli_parsed *out);
/* Frees what CLI_TEXTS and CLI_POINTS options hold. */
void cli_release(const cli_command *command, void *values);
void cli_print_help(const cli_command *command);

/* Refuses what this run may not write, with a sentence in the context; before any work. */
bc_status cli_check_outputs(const cli *command_line);
/* Opens a plan as bc_plan_open does, and refuses outputs that are photos of it. */
bc_status cli_open_plan(bc_plan **out, const cli *command_line, const char *path, const bc_plan_options *how);
/* A picture or sheet that goes to standard output ("-") gets the name of its format: "-.png", or what --format says. */
void cli_name_streams(const cli_command *command, void *values);
/* One mask goes to `path` itself; of several, the second piece's goes to NAME-2.png. malloc'd. */
char *cli_mask_path(const char *path, size_t number, size_t count);

/* "backcloth: sentence" on standard error. Here and below control characters are written as \x1b, and on a terminal
 * lines are wrapped (terminal.h). */
void cli_complain(const char *format, ...) __attribute__((format(printf, 1, 2)));
/* Says the context's sentence and returns the status as an exit code. */
int cli_fail(const cli *command_line, bc_status status);
/* The same where there is no memory even for a context. */
int cli_fail_memory(void);
/* On standard error, without the program's name; with its own line's end. */
void cli_tell(const char *format, ...) __attribute__((format(printf, 1, 2)));
/* A result in words, with its own line's end: to standard output, or to standard error where a picture, mask or plan
 * of this run goes to standard output. Whether standard output took everything is checked once, when the command has
 * ended. */
void cli_print(const char *format, ...) __attribute__((format(printf, 1, 2)));
/* The same for a whole text, which is freed, with a line's end if it has none; figures always go to standard output. */
typedef enum cli_form { CLI_WORDS, CLI_JSON, CLI_CSV } cli_form;
void cli_print_and_free(char *text, cli_form form);
/* An output of this run is standard output. */
void cli_take_output(void);

/* Studies of many photos, made on all cores, in the order of the paths; with `options->split` a photo may give
 * several, one after the other. A photo that cannot be read
 * gives a NULL study, its sentence on standard error, and the first such status as the exit code. */
typedef struct cli_studies {
  bc_study **study;
  size_t *path; /* of each study the place of its path in the list that was given; NULL for stored readings */
  size_t count;
  int exit_code;
} cli_studies;
/* A NULL path gives a NULL study and no complaint. `masks` is a folder, or NULL: a photo NAME.jpg takes
 * the mask NAME.mask.png from it where there is one. False only when memory is lacking. */
bool cli_studies_open(cli_studies *out, const char *const *paths, size_t count, const bc_study_options *options,
                      const char *masks);
/* The same for pictures: their cut-outs are made ready and kept. */
bool cli_studies_open_to_draw(cli_studies *out, const char *const *paths, size_t count, const bc_study_options *options,
                              const char *masks);
/* What this run keeps and finds again; NULL: nothing. */
bc_store *cli_store(void);
void cli_open_store(const cli *command_line, bool wanted);
void cli_close_store(void);
void cli_studies_clear(cli_studies *studies);
/* Draws what a plan needs its pieces' photos for; `failing` says that something in the plan fails a check. Returns the
 * exit code: a photo that could not be read has been told, and its piece is drawn as an outline. */
typedef bc_status cli_drawing(const cli *command_line, const void *values, const bc_plan *plan,
                              const cli_studies *studies, bool *failing);
int cli_draw_with_photos(const cli *command_line, const void *values, const bc_plan *plan, const char *masks,
                         cli_drawing *draw);
/* Readings from a file with one JSON object a line ("-": standard input), as studies without pictures. A line that
 * is no reading is told and left out. Clear `out` in any case. */
bc_status cli_stored_readings(cli_studies *out, bc_context *context, const char *path);

/* Option rows that several commands share. */
#define CLI_FORMAT_OPTION(values, formats)                                                                             \
  {                                                                                                                    \
    "format", 0, CLI_FORMAT, offsetof(values, format), formats,                                                        \
        N_("of a picture that goes to standard output (-o -); without it, the first of these")                         \
  }
#define CLI_UNITS_OPTION(values)                                                                                       \
  { "units", 0, CLI_UNITS, offsetof(values, units), "metric|imperial", N_("which unit is written first") }
#define CLI_JSON_OPTION(values)                                                                                        \
  { "json", 0, CLI_FLAG, offsetof(values, json), NULL, N_("figures for programs: one JSON object") }

#define CLI_MASKS_OPTION(values)                                                                                       \
  {                                                                                                                    \
    "masks", 0, CLI_MASKS, offsetof(values, masks), "FOLDER",                                                          \
        N_("masks made by hand: NAME.mask.png in this folder is used for the photo NAME.jpg")                          \
  }

/* Option rows that several commands share. */
#define CLI_STUDY_OPTIONS(values)                                                                                      \
  {"box",     0,                                                                                                       \
   CLI_BOX,   offsetof(values, study.box),                                                                             \
   "X,Y,W,H", N_("a box round the piece, in pixels of the upright photo from its top left corner")},                   \
      {"mask",     0,                                                                                                  \
       CLI_FILE,   offsetof(values, study.mask),                                                                       \
       "MASK.png", N_("a black-and-white picture that is white where the piece is")},                                  \
      {"guess",                                                                                                        \
       0,                                                                                                              \
       CLI_TEXT,                                                                                                       \
       offsetof(values, study.guess),                                                                                  \
       "MAP.png",                                                                                                      \
       N_("a rough mask, a grey map of where the piece probably is, or a learned model that makes one "                \
          "(MODEL.onnx): the search starts from it")},                                                                 \
      {"split",  0,                                                                                                    \
       CLI_FLAG, offsetof(values, study.split),                                                                        \
       NULL,     N_("each piece that lies apart from the others becomes a piece of its own: PHOTO#1, PHOTO#2 ...")},   \
      {"keep",     0,                                                                                                  \
       CLI_POINTS, offsetof(values, study.keep),                                                                       \
       "X,Y",      N_("a point that belongs to the piece; may be repeated")},                                          \
      {"drop",     0,                                                                                                  \
       CLI_POINTS, offsetof(values, study.drop),                                                                       \
       "X,Y",      N_("a point that does not belong to the piece; may be repeated")},                                  \
      {"white",   0,                                                                                                   \
       CLI_BOX,   offsetof(values, study.white),                                                                       \
       "X,Y,W,H", N_("a white sheet or grey card seen in the photo, by which its light is corrected")},                \
      {"white-is", 0,                                                                                                  \
       CLI_TEXT,   offsetof(values, study.white_is),                                                                   \
       "COLOUR",   N_("the true colour of that sheet or card (a CSS colour); without it, matt white paper")},          \
  {                                                                                                                    \
    "as-shot", 0, CLI_FLAG, offsetof(values, study.as_shot), NULL,                                                     \
        N_("leave the photo's light as it is: do not look for a white sheet")                                          \
  }

typedef struct cli_study_values {
  cli_box box;
  const char *mask, *guess;
  bool split;
  cli_points keep, drop;
  cli_box white;
  const char *white_is;
  bool as_shot;
} cli_study_values;
/* Options for the library, which borrow from `values`; says what is wrong (more than one photo with a
 * box) and returns an exit code, or 0. */
int cli_study_options(const cli *command_line, bc_study_options *out, const cli_study_values *values,
                      size_t photo_count);
/* Closes what they opened. */
void cli_study_options_clear(bc_study_options *options);

#endif
