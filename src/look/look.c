/* SPDX-License-Identifier: MIT */
/* From a photo of a wall to all that can be said of it: the stage's own flow, step by step.
 * In: a path and the wall's width. Out: bc_look. */
#include "look_internal.h"

#include <backcloth/plan.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIDE 2400             /* longer side of the photo as it is worked on */
#define WALL_PIXELS 3000000.0 /* of the straightened wall, at most */
#define WALL_SIDE 2400.0
#define WALL_MOST_CM 5000.0
#define CERTAIN 0.9 /* of the corners: rendered walls that nothing hides are above 0.96 */
#define WALL_LEAST_CM 20.0

bc_look_options bc_look_options_default(void) {
  return (bc_look_options){.sight_low = BC_PLAN_SIGHT_LOW_CM,
                           .sight_high = BC_PLAN_SIGHT_HIGH_CM,
                           .eye = BC_PLAN_EYE_OF_STATURE * BC_PLAN_STATURE_CM};
}

/* ---- options ---- */

static bc_status check_options(bc_context *context, const bc_look_options *options) {
  if (!(options->width_cm >= WALL_LEAST_CM && options->width_cm <= WALL_MOST_CM))
    return bc_fail(context, BC_BAD_USAGE,
                   _("The wall's width is needed, between 20 cm and 50 m: it sets the scale of everything."));
  if (options->height_cm != 0 && !(options->height_cm >= WALL_LEAST_CM && options->height_cm <= WALL_MOST_CM))
    return bc_fail(context, BC_BAD_USAGE, _("The wall's height must lie between 20 cm and 50 m."));
  return BC_OK;
}

/* Any order becomes top left, top right, bottom right, bottom left: by angle about their middle, from the corner
 * that lies farthest to the upper left. */
static bc_status sort_corners(bc_look_outline *outline, bc_context *context, const bc_look *look) {
  bc_look_point *const c = outline->corner;
  bc_look_point middle = {0, 0};
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const double spare = 0.5 * fmax(look->full_width, look->full_height);
    if (!(c[i].x >= -spare && c[i].y >= -spare && c[i].x <= look->full_width + spare &&
          c[i].y <= look->full_height + spare))
      return bc_fail(context, BC_BAD_USAGE, _("%s: the corner %.0f,%.0f lies far outside the photo (%d × %d pixels)."),
                     look->photo, c[i].x, c[i].y, look->full_width, look->full_height);
    middle.x += c[i].x / 4;
    middle.y += c[i].y / 4;
  }
  for (int i = 1; i < BC_LOOK_CORNERS; i++)
    for (int k = i; k > 0; k--) {
      if (atan2(c[k - 1].y - middle.y, c[k - 1].x - middle.x) <= atan2(c[k].y - middle.y, c[k].x - middle.x)) break;
      const bc_look_point keep = c[k];
      c[k] = c[k - 1];
      c[k - 1] = keep;
    }
  int first = 0;
  for (int i = 1; i < BC_LOOK_CORNERS; i++)
    if (c[i].x + c[i].y < c[first].x + c[first].y) first = i;
  bc_look_point turned[BC_LOOK_CORNERS];
  for (int i = 0; i < BC_LOOK_CORNERS; i++) turned[i] = c[(first + i) % BC_LOOK_CORNERS];
  memcpy(c, turned, sizeof turned);
  return BC_OK;
}

/* ---- the steps ---- */

static bc_status open_photo(bc_look *look, bc_context *context, const char *path, double *focal_35_mm) {
  bc_photo_options photo_options = bc_photo_options_default();
  photo_options.wanted_side = SIDE;
  bc_photo *photo = NULL;
  bc_status status = bc_photo_open(&photo, context, path, &photo_options);
  if (status != BC_OK) return status;
  bc_image_options image_options = bc_image_options_default();
  image_options.side = SIDE;
  image_options.find_white = false; /* the wall itself would be taken for a white sheet */
  *focal_35_mm = bc_photo_focal_35_mm(photo);
  status = bc_image_from_photo(&look->shot, context, photo, &image_options);
  bc_photo_free(photo);
  if (status != BC_OK) return status;
  look->full_width = look->shot->full_width;
  look->full_height = look->shot->full_height;
  look->photo = bc_copy_text(path);
  if (!look->photo) return bc_fail_memory(context);
  return base_notes_copy(&look->notes, context, &look->shot->notes);
}

static bc_status set_outline(bc_look *look, bc_context *context, const bc_look_options *options) {
  if (!options->has_corners) {
    const bc_status status = bc_look_find_outline(&look->outline, context, look->shot, look->photo);
    if (status == BC_BAD_DATA && options->guess) *options->guess = look->outline;
    if (status != BC_OK || look->outline.confidence >= CERTAIN) return status;
    return bc_note(&look->notes, context,
                   _("The wall's edges show only in part, so its corners may be wrong (%.0f %% sure). Look at the "
                     "picture that -o draws, or give the corners with --corners."),
                   floor(100 * look->outline.confidence));
  }
  memcpy(look->outline.corner, options->corner, sizeof look->outline.corner);
  look->outline.confidence = 1;
  const bc_status status = look_bend_find(&look->outline.bend, context, look->shot);
  if (status != BC_OK) return status;
  return sort_corners(&look->outline, context, look);
}

static bc_look_view view_of(const bc_look *look, double focal_35_mm) {
  bc_look_view view = {.full_width = look->full_width,
                       .full_height = look->full_height,
                       .width_cm = look->width_cm,
                       .focal_35_mm = focal_35_mm};
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    view.corner[i] = look_unbend(look->outline.corner[i], look->full_width, look->full_height, look->outline.bend);
  return view;
}

/* How far off the height may be when the lens is only assumed: 15 % of focal length either way. */
static double height_doubt(const bc_look *look, bc_context *context) {
  double least = look->height_cm, most = look->height_cm;
  for (int side = -1; side <= 1; side += 2) {
    bc_look_camera camera;
    double height = 0;
    const bc_look_view view = view_of(look, look->camera.focal_35_mm * (1 + 0.15 * side));
    const bc_status status = bc_look_solve_camera(&camera, &height, context, &view);
    if (status != BC_OK) continue;
    least = fmin(least, height);
    most = fmax(most, height);
  }
  return (most - least) / 2;
}

static bc_status set_camera(bc_look *look, bc_context *context, const bc_look_options *options, double focal_35_mm) {
  look->width_cm = options->width_cm;
  look->height_cm = options->height_cm;
  look->height_given = options->height_cm > 0;
  const bc_look_view view = view_of(look, focal_35_mm);
  const bc_status status = bc_look_solve_camera(&look->camera, &look->height_cm, context, &view);
  if (status != BC_OK) return status;
  if (!(look->height_cm >= WALL_LEAST_CM && look->height_cm <= WALL_MOST_CM))
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: by its corners the wall would be %.0f cm high. Give its corners, or --wall-height."),
                   look->photo, look->height_cm);
  const double doubt =
      look->height_given || look->camera.focal_source != BC_FOCAL_ASSUMED ? 0 : height_doubt(look, context);
  if (doubt > 0.02 * look->height_cm)
    return bc_note(&look->notes, context,
                   _("The photo does not say which lens it was taken with, so the wall's height is known only to "
                     "within %.0f cm. Measure it and give it with --wall-height."),
                   doubt);
  return BC_OK;
}

static bc_status set_scale(bc_look *look, bc_context *context) {
  const bc_look_point wall[BC_LOOK_CORNERS] = {
      {0, look->height_cm}, {look->width_cm, look->height_cm}, {look->width_cm, 0}, {0, 0}};
  const bc_look_view straight = view_of(look, 0);
  if (!bc_homography_fit(&look->to_photo, wall, straight.corner, BC_LOOK_CORNERS))
    return bc_fail(
        context, BC_BAD_DATA,
        _("The four corners are not a view of a rectangle. Give the wall's corners, one in each direction."));
  /* As fine as the photo shows the wall on the whole. */
  double area = 0;
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const bc_look_point a = look->outline.corner[i], b = look->outline.corner[(i + 1) % BC_LOOK_CORNERS];
    area += (a.x * b.y - b.x * a.y) / 2;
  }
  const double reduced = (double)look->shot->width / look->full_width;
  const double cm2 = look->width_cm * look->height_cm, shown = fabs(area) * reduced * reduced;
  double scale = sqrt(shown / cm2);
  scale = fmin(scale, sqrt(WALL_PIXELS / cm2));
  scale = fmin(scale, WALL_SIDE / fmax(look->width_cm, look->height_cm));
  look->pixels_per_cm = scale;
  if (scale * fmin(look->width_cm, look->height_cm) < 64)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the wall is too small in this photo. Go nearer, or use the camera's full size."),
                   look->photo);
  return BC_OK;
}

static bc_status straighten(bc_look *look, bc_context *context) {
  const double s = look->pixels_per_cm;
  const double rx = (double)look->shot->width / look->full_width, ry = (double)look->shot->height / look->full_height;
  const double to_cm[9] = {1 / s, 0, 0, 0, -1 / s, look->height_cm, 0, 0, 1};
  const double to_image[9] = {rx, 0, 0, 0, ry, 0, 0, 0, 1};
  look_map map = {.bend = look->outline.bend, .width = look->shot->width, .height = look->shot->height};
  bc_homography half;
  look_multiply3(half.m, look->to_photo.m, to_cm);
  look_multiply3(map.straight.m, to_image, half.m);
  const int width = (int)lround(look->width_cm * s), height = (int)lround(look->height_cm * s);
  return look_rectify(&look->wall, context, look->shot, &map, width, height);
}

static bc_status run_steps(bc_look *look, bc_context *context, const char *path, const bc_look_options *options) {
  double focal_35_mm = 0;
  bc_status status = check_options(context, options);
  if (status == BC_OK) status = open_photo(look, context, path, &focal_35_mm);
  if (status == BC_OK) status = set_outline(look, context, options);
  if (status == BC_OK) status = set_camera(look, context, options, focal_35_mm);
  if (status == BC_OK) status = set_scale(look, context);
  if (status == BC_OK) status = straighten(look, context);
  if (status != BC_OK) return status;
  look->cloth = options->cloth;
  look->sight_low = options->sight_low;
  look->sight_high = options->sight_high;
  look->focus = (bc_look_point){look->width_cm / 2, fmin(options->eye, look->height_cm)};
  return look_judge(look, context, options);
}

bc_status bc_look_open(bc_look **out, bc_context *context, const char *path, const bc_look_options *options) {
  *out = NULL;
  bc_look *look = bc_allocate(1, sizeof *look);
  if (!look) return bc_fail_memory(context);
  const bc_status status = run_steps(look, context, path, options);
  if (status == BC_OK)
    *out = look;
  else
    bc_look_free(look);
  return status;
}

void bc_look_free(bc_look *look) {
  if (!look) return;
  for (size_t i = 0; i < look->piece_count; i++) look_piece_clear(&look->pieces[i]);
  free(look->pieces);
  free(look->photo);
  free(look->shade);
  bc_image_free(look->shot);
  bc_image_free(look->wall);
  bc_notes_clear(&look->notes);
  free(look);
}
