/* SPDX-License-Identifier: MIT */
/**
 * @file base.h
 * What every stage shares: status codes, the context that carries messages and limits, notes, and
 * the small value types. It stands below all stages and depends on none of them.
 *
 * Conventions of the whole library:
 * - A function that can fail returns a bc_status and puts a plain sentence into the context: which
 *   file, what is wrong, what to do. Whoever detects a fault writes the sentence; callers pass it on.
 * - A result through the first `**out` parameter belongs to the caller, who frees it with the
 *   type's own `_free`; freeing NULL is fine. On failure `*out` is NULL. A returned pointer is
 *   borrowed and lives as long as the object it came from.
 * - Option structures are filled by their `_default()` function, then changed.
 * - Units are in the names or the comments: cm, g, N, cd/m2; colours are CIELAB D50 (2 degree
 *   observer, the ICC profile connection space) and relative luminance 0..1 as WCAG 2.2 defines it.
 * - A context serves one thread at a time. Threads use a context each and share nothing else.
 */
#ifndef BACKCLOTH_BASE_H
#define BACKCLOTH_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define BC_API __attribute__((visibility("default")))

/** How a call ended. The values are the exit codes of sysexits.h that the command line uses. */
typedef enum bc_status {
  BC_OK = 0,
  BC_BAD_USAGE = 64,   /**< an argument or option makes no sense */
  BC_BAD_DATA = 65,    /**< the input was found, but is damaged, refused by a limit, or not a kind we read */
  BC_NO_INPUT = 66,    /**< the input is not there or cannot be opened */
  BC_OUR_FAULT = 70,   /**< out of memory, or a fault of the program */
  BC_CANNOT_WRITE = 73 /**< the output cannot be written */
} bc_status;

/** Limits that decoders and parsers obey before they allocate. */
typedef struct bc_limits {
  uint64_t
      file_bytes; /**< the largest input file; default 256 MiB (the largest phone raw-size TIFF is about 150 MiB) */
  uint64_t photo_pixels;  /**< width x height of a photo; default 250 million (a 200-megapixel phone camera) */
  uint32_t photo_side;    /**< the longest side of a photo in pixels; default 30000 */
  uint64_t profile_bytes; /**< an embedded colour profile; default 8 MiB (large CMYK press profiles reach 3 MiB) */
  uint64_t decode_bytes;  /**< memory of one decoded raster; default 1 GiB */
  uint64_t model_bytes;   /**< a learned model for the cut-out; default 512 MiB (large ones have about 200 MiB) */
  uint64_t plan_bytes;    /**< a plan file; default 4 MiB */
  uint32_t plan_pieces;   /**< pieces in a plan; default 2000 */
} bc_limits;

/** Carries the last error sentence, the limits and the chosen units for one thread of work. */
typedef struct bc_context bc_context;

/** Creates a context with default limits. Returns BC_OUR_FAULT when there is no memory. */
BC_API bc_status bc_context_new(bc_context **out);
/** Frees a context; NULL is fine. */
BC_API void bc_context_free(bc_context *context);
/** The sentence that explains the last failure; "" if nothing failed. Borrowed until the next failure. */
BC_API const char *bc_context_message(const bc_context *context);
/** The limits of this context; the caller may change them between calls. */
BC_API bc_limits *bc_context_limits(bc_context *context);

/** Sentences for a person that go with a result: what was assumed, what was not found. */
typedef struct bc_notes {
  char **text; /**< count strings, UTF-8, already translated */
  size_t count;
} bc_notes;

/** A colour as the pipeline carries it. */
typedef struct bc_lab {
  double L; /**< lightness 0..100 */
  double a;
  double b;
} bc_lab;

/** A colour with its relative luminance. */
typedef struct bc_colour {
  bc_lab lab;
  double luminance; /**< relative luminance 0..1, WCAG 2.2 (wide-gamut colours may lie a little outside) */
} bc_colour;

/** A rectangle in pixels; x right, y down, origin at the top left corner. */
typedef struct bc_box {
  int x, y, width, height;
} bc_box;

/** A point on the wall in cm; origin at the wall's lower left corner, x right, y up. */
typedef struct bc_point_cm {
  double x, y;
} bc_point_cm;

/** The units in which lengths and masses are written for a person. Both are always shown where there is room. */
typedef enum bc_units { BC_UNITS_METRIC = 0, BC_UNITS_IMPERIAL = 1 } bc_units;

/** A piece's readable name made from its photo's file name: "photos/rope-basket_2.jpg" is "rope basket 2",
 *  "earrings.jpg#1" is "earrings 1".
 *  malloc'd, valid UTF-8; NULL when there is no memory. */
BC_API char *bc_path_title(const char *photo);

/** A length for a person, both units, the chosen one first: "122 cm (4 ft 0 in)"; centimetres to the millimetre, inches
 *  to the eighth, as a tape is marked. */
BC_API void bc_length_words(char *out, size_t size, double cm, bc_units first);
/** A mass for a person: "850 g (1 lb 14 oz)", "2.4 kg (5 lb 5 oz)". */
BC_API void bc_mass_words(char *out, size_t size, double grams, bc_units first);

/** The version, for example "0.1.0". */
BC_API const char *bc_version(void);

/** Chooses catalogues and language from the environment (LANGUAGE, LC_MESSAGES, LANG), once, at the start
 *  of a program. Catalogues are looked for in the folder `locale` beside the program, else in `installed`: an absolute
 *  folder, or the way to it from the program's own folder, so that an installed program can be moved. */
BC_API void bc_language_start(const char *installed);
/** Chooses the language of all sentences from here on, for the whole process: "en", "es", "pt_BR" … False,
 *  and nothing changes, when there is no catalogue for it. */
BC_API bool bc_language_use(const char *code);
/** True when the chosen language runs from right to left. */
BC_API bool bc_language_right_to_left(void);

#ifdef __cplusplus
}
#endif
#endif
