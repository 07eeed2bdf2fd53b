/* SPDX-License-Identifier: MIT */
/* A textile's photo as one repeat that meets itself at all four edges. The two shifts under which the photo
 * is most like itself become the repeat's sides, so a printed motif goes on unbroken; the seam is blended. */
#include "paper.h"

#include <backcloth/colour.h>
#include <backcloth/photo.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIDE 1024     /* of the photo as it is read */
#define COARSE 96     /* of the copy in which the shifts are looked for */
#define SEAM 0.06     /* of a side: where the two ends are blended */
#define NEAREST 0.45  /* no shift is shorter, so that a repeat of the photo isn't seen as a small stamp */
#define FURTHEST 0.88 /* of a side; leaves the seam something to blend with */
#define TILT 0.06     /* a hand-held photo is turned by so much at most */

typedef struct picture {
  int width, height;
  drawing_v4 *pixels;
} picture;

/* ---- light ---- */

/* Least squares for light = c0 + c1 x + c2 y + c3 x2 + c4 xy + c5 y2: lens shading and a lamp to one side. */
static void terms_of(double x, double y, double out[6]) {
  const double terms[6] = {1, x, y, x * x, x * y, y * y};
  memcpy(out, terms, sizeof terms);
}

static bool solve(double a[6][7]) {
  for (int i = 0; i < 6; i++) {
    int best = i;
    for (int k = i + 1; k < 6; k++)
      if (fabs(a[k][i]) > fabs(a[best][i])) best = k;
    if (fabs(a[best][i]) < 1e-12) return false;
    for (int c = 0; c < 7; c++) {
      const double held = a[i][c];
      a[i][c] = a[best][c];
      a[best][c] = held;
    }
    for (int k = 0; k < 6; k++) {
      const double factor = k == i ? 0 : a[k][i] / a[i][i];
      for (int c = i; c < 7; c++) a[k][c] -= factor * a[i][c];
    }
  }
  return true;
}

static bool fit_light(const picture *p, double light[6]) {
  double sums[6][7] = {{0}};
  for (int y = 0; y < p->height; y += 4)
    for (int x = 0; x < p->width; x += 4) {
      double t[6];
      terms_of((double)x / p->width - 0.5, (double)y / p->height - 0.5, t);
      const drawing_v4 v = p->pixels[(size_t)y * (size_t)p->width + (size_t)x];
      const double Y = 0.2126 * (double)v[0] + 0.7152 * (double)v[1] + 0.0722 * (double)v[2];
      for (int i = 0; i < 6; i++) {
        for (int k = 0; k < 6; k++) sums[i][k] += t[i] * t[k];
        sums[i][6] += t[i] * Y;
      }
    }
  if (!solve(sums)) return false;
  for (int i = 0; i < 6; i++) light[i] = sums[i][6] / sums[i][i];
  return true;
}

static drawing_v4 mean_of(const picture *p) {
  double sum[3] = {0};
  const size_t count = (size_t)p->width * (size_t)p->height;
  for (size_t i = 0; i < count; i++)
    for (int c = 0; c < 3; c++) sum[c] += (double)p->pixels[i][c];
  const double n = (double)count;
  return (drawing_v4){(float)(sum[0] / n), (float)(sum[1] / n), (float)(sum[2] / n), 1};
}

/* Divides the uneven light out; the mean stays. */
static void even_the_light(picture *p) {
  double light[6];
  if (!fit_light(p, light)) return;
  const drawing_v4 before = mean_of(p);
  const double level = 0.2126 * (double)before[0] + 0.7152 * (double)before[1] + 0.0722 * (double)before[2];
  for (int y = 0; y < p->height; y++)
    for (int x = 0; x < p->width; x++) {
      double t[6], here = 0;
      terms_of((double)x / p->width - 0.5, (double)y / p->height - 0.5, t);
      for (int i = 0; i < 6; i++) here += light[i] * t[i];
      p->pixels[(size_t)y * (size_t)p->width + (size_t)x] *= (float)fmin(2, fmax(0.5, level / fmax(here, 1e-6)));
    }
  const drawing_v4 after = mean_of(p);
  drawing_v4 back = {1, 1, 1, 1};
  for (int c = 0; c < 3; c++)
    if (after[c] > 1e-6f) back[c] = before[c] / after[c];
  for (size_t i = 0; i < (size_t)p->width * (size_t)p->height; i++) p->pixels[i] *= back;
}

/* ---- the shifts ---- */

/* Mean squared difference between the picture and itself moved by dx, dy (dx >= 0, or dy >= 0). */
static double unlike(const picture *p, int dx, int dy, int step) {
  const int x0 = dx > 0 ? dx : 0, x1 = dx < 0 ? p->width + dx : p->width;
  const int y0 = dy > 0 ? dy : 0, y1 = dy < 0 ? p->height + dy : p->height;
  double sum = 0;
  long count = 0;
  for (int y = y0; y < y1; y += step)
    for (int x = x0; x < x1; x += step) {
      const drawing_v4 d = p->pixels[(size_t)y * (size_t)p->width + (size_t)x] -
                           p->pixels[(size_t)(y - dy) * (size_t)p->width + (size_t)(x - dx)];
      sum += (double)(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
      count++;
    }
  return count > 0 ? sum / (double)count : INFINITY;
}

typedef struct shift {
  int x, y;
} shift;

static shift find_shift(const picture *p, bool across) {
  const int along = across ? p->width : p->height, tilt = (int)(TILT * along);
  shift best = {across ? (int)(FURTHEST * along) : 0, across ? 0 : (int)(FURTHEST * along)};
  double least = INFINITY;
  for (int far = (int)(FURTHEST * along); far >= (int)(NEAREST * along); far--)
    for (int side = -tilt; side <= tilt; side++) {
      const shift s = across ? (shift){far, side} : (shift){side, far};
      const double cost = unlike(p, s.x, s.y, 1);
      if (cost >= least) continue;
      least = cost;
      best = s;
    }
  return best;
}

/* The same shift in the picture itself, within what a pixel of the coarse copy is. */
static shift refine(const picture *p, shift coarse, double factor) {
  const int reach = (int)ceil(factor), x = (int)lrint(coarse.x * factor), y = (int)lrint(coarse.y * factor);
  shift best = {x, y};
  double least = INFINITY;
  for (int dy = -reach; dy <= reach; dy += 2)
    for (int dx = -reach; dx <= reach; dx += 2) {
      const double cost = unlike(p, x + dx, y + dy, 9);
      if (cost >= least) continue;
      least = cost;
      best = (shift){x + dx, y + dy};
    }
  return best;
}

/* ---- the repeat ---- */

static drawing_v4 at(const picture *p, double x, double y) {
  const double cx = fmin(fmax(x, 0), p->width - 1.001), cy = fmin(fmax(y, 0), p->height - 1.001);
  const int ix = (int)cx, iy = (int)cy;
  const float fx = (float)(cx - ix), fy = (float)(cy - iy);
  const drawing_v4 *const q = p->pixels + (size_t)iy * (size_t)p->width + (size_t)ix;
  const drawing_v4 upper = q[0] + (q[1] - q[0]) * fx;
  const drawing_v4 lower = q[p->width] + (q[p->width + 1] - q[p->width]) * fx;
  return upper + (lower - upper) * fy;
}

static float ease(double t) {
  const double c = fmin(1, fmax(0, t));
  return (float)(c * c * (3 - 2 * c));
}

/* The photo at the shares a and b of the two shifts; near a = 0 and b = 0 it is blended with what lies one
 * shift on, so that the end of a repeat leads into its beginning. */
static drawing_v4 blended(const picture *p, const shift s[2], double origin_x, double origin_y, double a, double b) {
  drawing_v4 sum = {0};
  const float across = ease(a / SEAM), down = ease(b / SEAM);
  for (int i = 0; i < 4; i++) {
    const int over = i & 1, under = i >> 1;
    const float share = (over ? 1 - across : across) * (under ? 1 - down : down);
    if (share <= 0) continue;
    const double u = a + over, v = b + under;
    sum += at(p, origin_x + u * s[0].x + v * s[1].x, origin_y + u * s[0].y + v * s[1].y) * share;
  }
  return sum;
}

static bc_status make_repeat(drawing_textile *out, bc_context *context, const picture *p, const shift s[2]) {
  out->width = s[0].x;
  out->height = s[1].y;
  out->pixels = bc_allocate((size_t)out->width * (size_t)out->height, sizeof *out->pixels);
  if (!out->pixels) return bc_fail_memory(context);
  const double origin_x = fmax(0, -s[1].x * (1 + SEAM)), origin_y = fmax(0, -s[0].y * (1 + SEAM));
  for (int y = 0; y < out->height; y++)
    for (int x = 0; x < out->width; x++)
      out->pixels[(size_t)y * (size_t)out->width + (size_t)x] =
          blended(p, s, origin_x, origin_y, (x + 0.5) / out->width, (y + 0.5) / out->height);
  out->repeat_width = (double)out->width / p->width;
  out->repeat_height = (double)out->height / p->width;
  return BC_OK;
}

static bc_status repeat_of(drawing_textile *out, bc_context *context, picture *p) {
  even_the_light(p);
  const double factor = fmax(1, fmax(p->width, p->height) / (double)COARSE);
  picture coarse = {(int)(p->width / factor), (int)(p->height / factor), NULL};
  if (coarse.width < 8 || coarse.height < 8)
    return bc_fail(context, BC_BAD_DATA, _("The photo of a cloth has %d × %d pixels, too few to show it."), p->width,
                   p->height);
  coarse.pixels = bc_allocate((size_t)coarse.width * (size_t)coarse.height, sizeof *coarse.pixels);
  if (!coarse.pixels) return bc_fail_memory(context);
  bc_status status =
      drawing_resample(coarse.pixels, context, (drawing_pixels){p->pixels, p->width, p->height},
                       (drawing_axis){coarse.width, 1 / factor, 0}, (drawing_axis){coarse.height, 1 / factor, 0});
  if (status == BC_OK) {
    const shift s[2] = {refine(p, find_shift(&coarse, true), factor), refine(p, find_shift(&coarse, false), factor)};
    out->mean = mean_of(p);
    status = make_repeat(out, context, p, s);
  }
  free(coarse.pixels);
  return status;
}

bc_status drawing_textile_of(drawing_textile *out, bc_context *context, const bc_image *image) {
  *out = (drawing_textile){0};
  picture p = {image->width, image->height, NULL};
  p.pixels = bc_allocate((size_t)p.width * (size_t)p.height, sizeof *p.pixels);
  if (!p.pixels) return bc_fail_memory(context);
  const drawing_lab_matrix matrix = drawing_lab_matrix_make();
  for (size_t i = 0; i < (size_t)p.width * (size_t)p.height; i++) {
    p.pixels[i] = drawing_lab_to_linear(&matrix, image->L[i], image->a[i], image->b[i]);
    p.pixels[i][3] = 1;
  }
  const bc_status status = repeat_of(out, context, &p);
  free(p.pixels);
  return status;
}

bc_status drawing_textile_open(drawing_textile *out, bc_context *context, const char *path) {
  *out = (drawing_textile){0};
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_photo_options options = bc_photo_options_default();
  options.wanted_side = SIDE;
  bc_image_options how = bc_image_options_default();
  how.side = SIDE;
  bc_status status = bc_photo_open(&photo, context, path, &options);
  if (status == BC_OK) status = bc_image_from_photo(&image, context, photo, &how);
  bc_photo_free(photo);
  if (status == BC_OK) status = drawing_textile_of(out, context, image);
  bc_image_free(image);
  return status;
}

void drawing_textile_clear(drawing_textile *textile) {
  free(textile->pixels);
  *textile = (drawing_textile){0};
}
