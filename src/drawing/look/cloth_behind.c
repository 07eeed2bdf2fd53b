/* SPDX-License-Identifier: MIT */
/* A photographed wall with a cloth put behind its pieces: the cloth in the wall's own light, the pieces' soft shadows,
 * the pieces with rims free of the old wall. All in linear light. */
#include "look_sheet.h"

#include <backcloth/plan.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SHADOW_CM 1.2 /* how far a shadow falls, to the lower right, and how soft it is: our choice */
#define SHADOW 0.28f

bc_status look_wall_pixels(drawing_v4 **out, bc_context *context, const bc_look *look) {
  const size_t count = (size_t)look->wall->width * (size_t)look->wall->height;
  const drawing_lab_matrix matrix = drawing_lab_matrix_make();
  *out = bc_allocate(count, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  for (size_t i = 0; i < count; i++)
    (*out)[i] = drawing_lab_to_linear(&matrix, look->wall->L[i], look->wall->a[i], look->wall->b[i]);
  return BC_OK;
}

/* ---- the cloth ---- */

static drawing_v4 textile_at(const drawing_textile *textile, double x_cm, double y_cm) {
  const double px = textile->width / (BC_PLAN_PHOTO_WIDTH_CM * textile->repeat_width); /* pixels a cm */
  const long x = (long)floor(x_cm * px) % textile->width, y = (long)floor(y_cm * px) % textile->height;
  return textile->pixels[(size_t)y * (size_t)textile->width + (size_t)x];
}

static bc_status lay_cloth(drawing_v4 *pixels, bc_context *context, const bc_look *look) {
  static const char prefix[] = "photo:";
  drawing_textile textile = {0};
  const bool printed = strncmp(look->cloth->spec, prefix, strlen(prefix)) == 0;
  const bc_status status =
      printed ? drawing_textile_open(&textile, context, look->cloth->spec + strlen(prefix)) : BC_OK;
  if (status != BC_OK) return status;
  const drawing_v4 plain = drawing_linear_of(look->cloth->colour);
  for (int y = 0; y < look->wall->height; y++)
    for (int x = 0; x < look->wall->width; x++) {
      const size_t i = (size_t)y * (size_t)look->wall->width + (size_t)x;
      const drawing_v4 base =
          textile.pixels ? textile_at(&textile, x / look->pixels_per_cm, y / look->pixels_per_cm) : plain;
      pixels[i] = base * look->shade[i];
      pixels[i][3] = 1;
    }
  drawing_textile_clear(&textile);
  return BC_OK;
}

/* ---- shadows ---- */

/* Running mean along rows, then along columns: twice makes a soft edge. */
static void blur_line(float *out, const float *in, int count, ptrdiff_t stride, int radius) {
  double sum = 0;
  for (int i = -radius; i < count; i++) {
    if (i + radius < count) sum += (double)in[(i + radius) * stride];
    if (i - radius - 1 >= 0) sum -= (double)in[(i - radius - 1) * stride];
    if (i >= 0) out[i * stride] = (float)(sum / (2 * radius + 1));
  }
}

static void blur(float *plane, float *spare, int width, int height, int radius) {
  for (int pass = 0; pass < 2; pass++) {
    for (int y = 0; y < height; y++)
      blur_line(spare + (size_t)y * (size_t)width, plane + (size_t)y * (size_t)width, width, 1, radius);
    for (int x = 0; x < width; x++) blur_line(plane + x, spare + x, height, width, radius);
  }
}

static bc_status cast_shadows(drawing_v4 *pixels, bc_context *context, const bc_look *look) {
  const int width = look->wall->width, height = look->wall->height;
  const int shift = (int)lround(SHADOW_CM * look->pixels_per_cm);
  float *plane = bc_allocate((size_t)width * (size_t)height, sizeof *plane);
  float *spare = bc_allocate((size_t)width * (size_t)height, sizeof *spare);
  if (!plane || !spare) {
    free(plane);
    free(spare);
    return bc_fail_memory(context);
  }
  for (size_t k = 0; k < look->piece_count; k++) {
    const bc_look_piece *const piece = &look->pieces[k];
    const bc_cutout *const cut = piece->study->cutout;
    for (int y = 0; y < cut->height; y++)
      for (int x = 0; x < cut->width; x++) {
        const int to_x = x + piece->left + shift / 2, to_y = y + piece->top + shift;
        const float alpha = (float)cut->alpha[(size_t)y * (size_t)cut->width + (size_t)x] / 255.0f;
        if (to_x < width && to_y < height && alpha > plane[to_y * width + to_x]) plane[to_y * width + to_x] = alpha;
      }
  }
  blur(plane, spare, width, height, shift > 2 ? shift / 2 : 1);
  for (size_t i = 0; i < (size_t)width * (size_t)height; i++) {
    pixels[i] *= 1 - SHADOW * plane[i];
    pixels[i][3] = 1;
  }
  free(plane);
  free(spare);
  return BC_OK;
}

/* ---- the pieces ---- */

static bc_status lay_piece(drawing_v4 *pixels, bc_context *context, const bc_look *look, const bc_look_piece *piece) {
  drawing_cut cut;
  const bc_status status = drawing_cut_make(&cut, context, piece->study);
  if (status != BC_OK) return status;
  const bc_box box = piece->study->cutout->box;
  const int left = piece->left + box.x - cut.box.x, top = piece->top + box.y - cut.box.y;
  for (int y = 0; y < cut.height; y++)
    for (int x = 0; x < cut.width; x++) {
      const int to_x = left + x, to_y = top + y;
      if (to_x < 0 || to_y < 0 || to_x >= look->wall->width || to_y >= look->wall->height) continue;
      const drawing_v4 over = cut.pixels[(size_t)y * (size_t)cut.width + (size_t)x];
      drawing_v4 *const at = &pixels[(size_t)to_y * (size_t)look->wall->width + (size_t)to_x];
      *at = over + *at * (1 - over[3]);
    }
  drawing_cut_clear(&cut);
  return BC_OK;
}

bc_status look_cloth_pixels(drawing_v4 **out, bc_context *context, const bc_look *look) {
  *out = bc_allocate((size_t)look->wall->width * (size_t)look->wall->height, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  bc_status status = lay_cloth(*out, context, look);
  if (status == BC_OK) status = cast_shadows(*out, context, look);
  for (size_t i = 0; status == BC_OK && i < look->piece_count; i++)
    status = lay_piece(*out, context, look, &look->pieces[i]);
  if (status == BC_OK) return BC_OK;
  free(*out);
  *out = NULL;
  return status;
}

/* ---- onto the sheet ---- */

bc_status look_paint(const look_sheet *sheet, const drawing_v4 *pixels, drawing_rect at) {
  const bc_image *const wall = sheet->look->wall;
  drawing_raster raster;
  bc_status status = drawing_raster_open(&raster, sheet->context, sheet->canvas, at, 8);
  if (status != BC_OK) return status;
  const drawing_place place = drawing_raster_place(&raster, at);
  const drawing_axis across = {raster.width, place.width / wall->width, -place.left / (place.width / wall->width)};
  const drawing_axis down = {raster.height, place.height / wall->height, -place.top / (place.height / wall->height)};
  drawing_v4 *fine = bc_allocate((size_t)raster.width * (size_t)raster.height, sizeof *fine);
  if (!fine) status = bc_fail_memory(sheet->context);
  if (status == BC_OK)
    status = drawing_resample(fine, sheet->context, (drawing_pixels){pixels, wall->width, wall->height}, across, down);
  for (int y = 0; status == BC_OK && y < raster.height; y++) {
    drawing_v4 *const row = fine + (size_t)y * (size_t)raster.width;
    for (int x = 0; x < raster.width; x++)
      if (row[x][3] > 0) row[x] = row[x] / row[x][3]; /* the border's pixels are only partly covered */
    drawing_encode_row(raster.pixels + (size_t)y * raster.stride, row, (size_t)raster.width);
  }
  free(fine);
  drawing_raster_close(&raster, sheet->canvas);
  return status;
}
