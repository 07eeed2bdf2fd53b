/* SPDX-License-Identifier: MIT */
/* What the files of the plan stage share: the place of a value in the text, tables of keys. */
#ifndef BC_SRC_PLAN_INTERNAL_H
#define BC_SRC_PLAN_INTERNAL_H

#include "base/base.h"
#include <backcloth/plan.h>
#include <jansson.h>

/* --- where a value stands ------------------------------------------------------------------------ */
/* A chain from a value up to the root, kept on the stack: pieces -> [3] -> width. */
typedef struct plan_place {
  const struct plan_place *up; /* NULL at the root */
  const char *key;             /* NULL: an element of a list */
  size_t index;
} plan_place;

#define PLAN_WRONG_MOST 50 /* mistakes that are told */

/* All that reading needs besides the value itself. */
typedef struct plan_reader {
  bc_context *context;
  const char *text; /* already accepted by jansson */
  size_t size;
  const char *name; /* for messages */
  bc_plan_options options;
  bc_plan *plan;
  bc_notes wrong;                   /* a sentence for each mistake so far, */
  size_t wrong_at[PLAN_WRONG_MOST]; /* and where in the text it is */
  size_t *failed_at;                /* where the latest mistake is */
  bool names_doubtful;              /* an id or a whole list could not be read: what is on what cannot be judged */
} plan_reader;

/* Keeps the sentence of a mistake in the plan and goes on, so that all are told at once; anything else is passed on. */
bc_status plan_go_on(plan_reader *reader, bc_status status);
/* BC_OK when nothing is wrong; else fails with all sentences, a line each, in the order of the text. */
bc_status plan_fail_all(plan_reader *reader);

/* Fails with "name, line n, column n, pieces[3].width: sentence". Ends with a remedy of the caller's. */
bc_status plan_fail(const plan_reader *reader, const plan_place *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* The same at the key rather than at its value: for a key that should not be there. */
bc_status plan_fail_key(const plan_reader *reader, const plan_place *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* --- tables of keys -------------------------------------------------------------------------------- */
typedef enum plan_kind {
  PLAN_NUMBER, /* double */
  PLAN_WHOLE,  /* int */
  PLAN_TRUTH,  /* bool */
  PLAN_TEXT,   /* char * */
  PLAN_WORD,   /* an enum as int, one of `words` */
  PLAN_COLOUR, /* char *css with bc_colour at `second` */
  PLAN_PHOTO,  /* char *resolved with char *written at `second` */
  PLAN_POINT,  /* bc_point_cm, with bool given at `second` */
  PLAN_SPOTS,  /* double[], with size_t count at `second` */
  PLAN_OBJECT, /* a struct of its own, described by `table`; bool given at `second` unless that is 0 */
  PLAN_LIST    /* pointer to structs of `size`, described by `table`; size_t count at `second` */
} plan_kind;

typedef struct plan_table plan_table;

typedef struct plan_field {
  const char *key;
  const char *also; /* the same value without a unit in its name: then a plain number is in the file's unit */
  plan_kind kind;
  size_t offset, second; /* in the struct; `second` as the kind says */
  bool required;
  double low, high;         /* numbers, points: the range */
  bool above;               /* more than `low`, not `low` itself */
  const char *unit;         /* "cm", "" */
  const char *what;         /* "a width" */
  const char *remedy;       /* "Measure the piece at its widest." */
  const char *const *words; /* PLAN_WORD: ends with NULL */
  const plan_table *table;
  size_t like;     /* PLAN_TEXT: 1 + offset of the text that is the default (a piece's title is its id); 0 = none */
  size_t most;     /* PLAN_LIST, PLAN_SPOTS: most elements; 0 = the context's limit of pieces */
  size_t least;    /* PLAN_SPOTS: fewest elements, */
  const char *few; /* and the sentence for a list with fewer */
} plan_field;

struct plan_table {
  const plan_field *fields;
  size_t count;
  size_t size; /* of the struct */
  /* Fills in the defaults; false: no memory. */
  bool (*prepare)(void *target, const bc_plan *plan, size_t index);
  /* Defaults that depend on other values: replaces what is still 0 or NaN. May be NULL; allocates nothing. */
  void (*derive)(void *target, const bc_plan *plan);
  /* After reading and deriving: what a table cannot say. May be NULL. */
  bc_status (*finish)(plan_reader *reader, void *target, const plan_place *place);
};

/* The largest sizes that make sense: a wall of 100 m, a piece of 50 m, a mass of one tonne. Beyond
 * them a slip of the unit (mm for cm, g for kg) is far likelier than the thing itself. */
#define WALL_CM 10000.0
#define PIECE_CM 5000.0
#define MASS_G 1e6
#define RATED_KG 10000.0
/* Held in place of a size that is marked "?", so that no figure is 0; told by `unmeasured` and never shown. */
#define PLAN_STAND_IN_CM 1.00048828125 /* no tape shows it */
/* What marks a number as not measured yet. */
#define PLAN_MISSING "?"
/* Explanations for people, allowed in every group and kept on writing. */
#define PLAN_NOTES "notes"

extern const plan_table plan_root;
extern const char *const plan_wall_words[], *const plan_fixing_words[]; /* fixing_names.c */

/* --- numbers with units (amount.c) ------------------------------------------------------------------ */
/* The number of a JSON value in the field's unit (cm, mm, g, kg, g/m2): a plain number in the file's units, or text
 * such as "4 ft 2 in". `by_also`: the value stands under the field's other key. */
typedef enum plan_amount {
  PLAN_AMOUNT_FINE,
  PLAN_AMOUNT_MISSING,   /* "?" */
  PLAN_AMOUNT_NO_NUMBER, /* neither a number nor text */
  PLAN_AMOUNT_NO_UNIT,   /* text without a unit that is known */
  PLAN_AMOUNT_WRONG_UNIT /* a length where a weight is wanted, or the like */
} plan_amount;
plan_amount plan_read_amount(double *out, const json_t *value, const plan_field *field, bool by_also, bc_units units);
/* Back to the number that the file would hold. */
double plan_write_amount(double value, const plan_field *field, bool by_also, bc_units units);
/* The value of a field in a JSON object, under either key; *by_also says which. */
json_t *plan_get(const json_t *object, const plan_field *field, bool *by_also);

/* The nearest of `fields`' keys, or NULL when none is near. */
const char *plan_nearest_key(const plan_table *table, const char *key);
/* Fills `target` from a JSON object. */
bc_status plan_read_object(plan_reader *reader, const json_t *value, const plan_table *table, void *target,
                           const plan_place *place);
/* After reading: ids are unique, `on` names a carrier that suits the mount. Mistakes are kept with the others. */
bc_status plan_check_names(plan_reader *reader);

/* Frees what a struct described by a table owns. */
void plan_clear(const plan_table *table, void *target);

#endif
