/* SPDX-License-Identifier: MIT */
/* Makes a reading from an image and its mask, step by step.
 * In: colour and cut-out. Out: bc_reading, from which every cloth can be judged. */
#include "reading_internal.h"

#include <math.h>
#include <stdlib.h>

static bc_box box_in_photo(const bc_image *image, const bc_cutout *cutout) {
  const double sx = (double)image->full_width / image->width, sy = (double)image->full_height / image->height;
  const int x0 = (int)floor(cutout->box.x * sx), y0 = (int)floor(cutout->box.y * sy);
  const int x1 = (int)ceil((cutout->box.x + cutout->box.width) * sx),
            y1 = (int)ceil((cutout->box.y + cutout->box.height) * sy);
  const int right = x1 < image->full_width ? x1 : image->full_width,
            bottom = y1 < image->full_height ? y1 : image->full_height;
  return (bc_box){x0, y0, right - x0, bottom - y0};
}

/* A finished cut-out or flat picture ends where the photo ends; in a photograph the piece goes on. */
static bool photo_edge_is_outline(const bc_cutout *cutout) {
  return cutout->source == BC_CUTOUT_ALPHA;
}

static bc_status note_cut(bc_reading *reading, bc_context *context, const reading_outline *outline) {
  const double all = outline->length + outline->cut_length;
  if (!(outline->cut_length > 0.02 * all)) return BC_OK;
  return bc_note(&reading->notes, context,
                 _("The photo's edge cuts off part of the piece. The outline is judged only where it can be seen "
                   "(%.0f %% of it)."),
                 100 * outline->length / all);
}

/* When hardly any outline is left inside the photo, its border has to serve. */
static bc_status trace(reading_outline *outline, bc_reading *reading, bc_context *context, const bc_cutout *cutout) {
  const bool keep = photo_edge_is_outline(cutout);
  bc_status status = reading_outline_trace(outline, context, cutout, keep);
  if (status != BC_OK || keep) return status;
  if (outline->length >= 0.05 * (outline->length + outline->cut_length)) return note_cut(reading, context, outline);
  reading_outline_clear(outline);
  status = reading_outline_trace(outline, context, cutout, true);
  if (status != BC_OK) return status;
  return bc_note(&reading->notes, context,
                 _("The piece fills the whole photo, so the photo's border is taken for its outline."));
}

static bc_status read_outline(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                              double area) {
  reading_outline outline = {0};
  bc_status status = trace(&outline, reading, context, cutout);
  if (status == BC_OK) {
    reading->outline_length = outline.length / sqrt(area);
    status = reading_rim(reading, context, image, cutout, &outline);
  }
  reading_outline_clear(&outline);
  return status;
}

static bc_status start(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                       const char *name) {
  reading->photo = bc_copy_text(name ? name : "-");
  reading->profile = bc_copy_text(image->profile ? image->profile : "sRGB");
  if (!reading->photo || !reading->profile) return bc_fail_memory(context);
  if (cutout->width != image->width || cutout->height != image->height || image->width < 1 || image->height < 1)
    return bc_fail(context, BC_OUR_FAULT, _("%s: mask and picture differ in size. Please report this."),
                   reading->photo);
  reading->full_width = image->full_width;
  reading->full_height = image->full_height;
  reading->box = box_in_photo(image, cutout);
  reading->confidence = cutout->confidence;
  reading->doubts = cutout->doubts;
  reading->uncertainty = image->uncertainty;
  const bc_status status = base_notes_copy(&reading->notes, context, &image->notes);
  return status == BC_OK ? base_notes_copy(&reading->notes, context, &cutout->notes) : status;
}

static bc_status fill(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                      const char *name) {
  double area = 0;
  bc_status status = start(reading, context, image, cutout, name);
  if (status == BC_OK) status = reading_statistics(reading, &area, context, image, cutout);
  if (status == BC_OK) status = reading_colours(reading, context, image, cutout);
  if (status == BC_OK) status = reading_detail(reading, context, image, cutout);
  if (status == BC_OK) status = read_outline(reading, context, image, cutout, area);
  if (status != BC_OK) return status;
  const double box_area = (double)cutout->box.width * cutout->box.height;
  reading->box_share = box_area > 0 ? fmin(1, area / box_area) : 0;
  return BC_OK;
}

bc_status bc_reading_of(bc_reading **out, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                        const char *name) {
  *out = NULL;
  bc_reading *reading = bc_allocate(1, sizeof *reading);
  if (!reading) return bc_fail_memory(context);
  const bc_status status = fill(reading, context, image, cutout, name);
  if (status != BC_OK) {
    bc_reading_free(reading);
    return status;
  }
  *out = reading;
  return BC_OK;
}

void bc_reading_free(bc_reading *reading) {
  if (!reading) return;
  free(reading->photo);
  free(reading->profile);
  free(reading->rim);
  bc_notes_clear(&reading->notes);
  free(reading);
}

bool bc_reading_is_doubtful(const bc_reading *reading) {
  return bc_cutout_is_doubtful(reading->confidence, &reading->doubts);
}
