/* SPDX-License-Identifier: MIT */
/* Clear glass in an opaque photo: the photo's own backdrop is taken out of the piece, so that another cloth
 * can show through it. In: a study. Out: the same with the piece's own light. Source: docs/method/match.md.
 *
 *   seen = own + t x backdrop       (linear light; t: the share of what is behind that comes through)  */
#include "study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_THROUGH 0.95 /* glass always keeps some light of its own: what it reflects */
#define DARK_TENTH 0.1    /* share of the piece that may be darker than the light coming through (our choice) */

static bool is_piece(const bc_cutout *cutout, size_t i) {
  return cutout->alpha[i] >= 128;
}

static void linear_at(const bc_image *image, size_t i, double rgb[3]) {
  bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, rgb);
  for (int c = 0; c < 3; c++) rgb[c] = fmax(0, rgb[c]);
}

/* Mean light round the piece, within a quarter of its size of the box. False: nothing is left round it. */
static bool backdrop_of(double rgb[3], const bc_study *study) {
  const bc_cutout *const cutout = study->cutout;
  const bc_box box = cutout->box;
  const int margin = (box.width > box.height ? box.width : box.height) / 4 + 1;
  size_t count = 0;
  rgb[0] = rgb[1] = rgb[2] = 0;
  for (int y = box.y - margin; y < box.y + box.height + margin; y++)
    for (int x = box.x - margin; x < box.x + box.width + margin; x++) {
      if (x < 0 || y < 0 || x >= cutout->width || y >= cutout->height) continue;
      const size_t i = (size_t)y * (size_t)cutout->width + (size_t)x;
      if (cutout->alpha[i] != 0) continue;
      double here[3];
      linear_at(study->image, i, here);
      for (int c = 0; c < 3; c++) rgb[c] += here[c];
      count++;
    }
  for (int c = 0; c < 3; c++) rgb[c] /= (double)(count ? count : 1);
  return count > 0 && rgb[0] > 1e-4 && rgb[1] > 1e-4 && rgb[2] > 1e-4;
}

static int ascending(const void *first, const void *second) {
  const float a = *(const float *)first, b = *(const float *)second;
  return (a > b) - (a < b);
}

/* The most that can come through: the piece's own light is nowhere below nothing, but for its darkest tenth. */
static bc_status most_through(double *out, bc_context *context, const bc_study *study, const double backdrop[3]) {
  const size_t pixels = (size_t)study->image->width * (size_t)study->image->height;
  float *const ratio = bc_allocate(pixels, sizeof *ratio);
  if (!ratio) return bc_fail_memory(context);
  size_t count = 0;
  for (size_t i = 0; i < pixels; i++) {
    if (!is_piece(study->cutout, i)) continue;
    double rgb[3];
    linear_at(study->image, i, rgb);
    ratio[count++] = (float)fmin(rgb[0] / backdrop[0], fmin(rgb[1] / backdrop[1], rgb[2] / backdrop[2]));
  }
  qsort(ratio, count, sizeof *ratio, ascending);
  *out = count ? fmin(MOST_THROUGH, (double)ratio[(size_t)(DARK_TENTH * (double)count)]) : 0;
  free(ratio);
  return BC_OK;
}

/* Only what is shown of it: the colours as they came. */
static bc_status keep_photographed(bc_study *study, bc_context *context) {
  const bc_image *image = study->image;
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  bc_image *kept = bc_allocate(1, sizeof *kept);
  float *planes = bc_allocate(4 * pixels, sizeof *planes);
  if (!kept || !planes) {
    free(kept);
    free(planes);
    return bc_fail_memory(context);
  }
  memcpy(planes, image->L, 4 * pixels * sizeof *planes); /* one block of four planes */
  *kept = (bc_image){.width = image->width,
                     .height = image->height,
                     .full_width = image->full_width,
                     .full_height = image->full_height,
                     .L = planes,
                     .a = planes + pixels,
                     .b = planes + 2 * pixels,
                     .Y = planes + 3 * pixels};
  study->photographed = kept;
  return BC_OK;
}

static void take_out(bc_study *study, const double backdrop[3], double through) {
  bc_image *const image = study->image;
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  for (size_t i = 0; i < pixels; i++) {
    if (study->cutout->alpha[i] == 0) continue;
    double rgb[3];
    linear_at(image, i, rgb);
    for (int c = 0; c < 3; c++) rgb[c] = fmax(0, (rgb[c] - through * backdrop[c]) / (1 - through));
    const bc_colour own = bc_colour_from_linear_srgb(rgb);
    image->L[i] = (float)own.lab.L;
    image->a[i] = (float)own.lab.a;
    image->b[i] = (float)own.lab.b;
    image->Y[i] = (float)own.luminance;
  }
}

bc_status bc_study_see_through(bc_study *study, bc_context *context, double through) {
  double backdrop[3], most = 0;
  if (study->see_through > 0) return BC_OK; /* done already */
  const bc_status loaded = bc_study_load(study, context);
  if (loaded != BC_OK) return loaded;
  if (study->image->width != study->cutout->width || study->image->height != study->cutout->height)
    return bc_fail(context, BC_OUR_FAULT, _("%s: the photo and its cut-out differ in size."), study->reading->photo);
  if (!backdrop_of(backdrop, study))
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: nothing light enough is seen round the piece, so nobody can say how much shows through it."),
                   study->reading->photo);
  const bc_status status = most_through(&most, context, study, backdrop);
  if (status != BC_OK) return status;
  const bool too_much = through > most + 0.005;
  const double taken = through > 0 ? fmin(through, most) : most;
  if (!(taken > 0.02)) return BC_OK; /* as good as opaque */
  const bc_status kept = keep_photographed(study, context);
  if (kept != BC_OK) return kept;
  take_out(study, backdrop, taken);
  study_origin_free(study->origin); /* from here on it is another than the file gives */
  study->origin = NULL;
  bc_reading *reading = NULL;
  const bc_status read = bc_reading_of(&reading, context, study->image, study->cutout, study->reading->photo);
  if (read != BC_OK) return read;
  bc_reading_free(study->reading);
  study->reading = reading;
  reading->see_through = study->see_through = taken;
  if (too_much)
    return bc_note(&reading->notes, context,
                   _("If %.0f %% showed through, the piece would have no light of its own left in this photo; so %.0f "
                     "%% is taken."),
                   100 * through, 100 * taken);
  return bc_note(&reading->notes, context, _("The cloth is taken to show through by %.0f %%."), 100 * taken);
}
