/* SPDX-License-Identifier: MIT */
/* What the files of the reading stage share: the traced outline and the steps of a reading. */
#ifndef BC_SRC_READING_INTERNAL_H
#define BC_SRC_READING_INTERNAL_H

#include "base/base.h"
#include <backcloth/reading.h>
#include <jansson.h>

/* A vertex of a traced outline in pixels of the mask; a pixel's centre lies at +0.5. */
typedef struct reading_vertex {
  float x, y;
  bool photo_edge; /* the piece goes on beyond the photo here: no outline of the piece's own */
} reading_vertex;

/* One closed outline: vertices [first, first + count), the piece on the right hand. */
typedef struct reading_contour {
  size_t first, count;
  double length;     /* of the piece's own outline, in pixels */
  double cut_length; /* along the photo's edge */
} reading_contour;

typedef struct reading_outline {
  reading_vertex *vertex;
  size_t vertex_count, vertex_room;
  reading_contour *contour; /* longest first */
  size_t contour_count, contour_room;
  double length, cut_length; /* sums over the contours */
} reading_outline;

/* Traces the 50 % line of the mask. With `keep_photo_edge` the photo's border is a real outline
 * (the photo is a finished cut-out or a flat picture). */
bc_status reading_outline_trace(reading_outline *out, bc_context *context, const bc_cutout *cutout,
                                bool keep_photo_edge);
void reading_outline_clear(reading_outline *outline);

/* Area means, percentiles, lightness shares. `area` gets the piece's area in pixels of the mask. */
bc_status reading_statistics(bc_reading *reading, double *area, bc_context *context, const bc_image *image,
                             const bc_cutout *cutout);
/* A textile's pattern is measured on its middle square, brought to this side. */
#define READING_PATTERN_SIDE 256
/* Pattern and busyness of three planes of READING_PATTERN_SIDE squared values: L*, a*, b*. */
bc_status reading_pattern_measure(double *pattern_share, double *busy_bits, bc_context *context,
                                  const double *lightness, const double *a, const double *b);
/* Gain of a subband for a grating of so many cycles across the side: level 0 to 2 from fine to coarse. */
double reading_pattern_band_gain(double cycles_x, double cycles_y, int level, int orientation);

/* Main colours of the pixels that count; `alpha` NULL: all do. */
bc_status reading_main_colours(bc_main_colour colours[BC_READING_COLOURS], size_t *count, bc_context *context,
                               const bc_image *image, const uint8_t *alpha);
/* Main colours. */
bc_status reading_colours(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout);
/* Contrast of the piece's own detail by octave. */
bc_status reading_detail(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout);
/* Places along the outline and the band just inside it. */
bc_status reading_rim(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                      const reading_outline *outline);

/* Where the outline is doubtful: doubts_json.c. */
json_t *reading_doubts_json(const bc_cutout_doubts *doubts);
bool reading_doubts_read(bc_cutout_doubts *out, const json_t *from); /* NULL: none; false: it is none of ours */

#endif
