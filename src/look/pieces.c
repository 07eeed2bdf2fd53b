/* SPDX-License-Identifier: MIT */
/* The pieces on a straightened wall: parts that differ from the bare wall, cut out exactly on a crop of their own,
 * measured in cm. In: the wall and its ground. Out: bc_look.pieces in reading order. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BORDER 2     /* cells along the wall's border where its own edge shows */
#define LEAST_CM 1.5 /* smaller things are nails and sockets */
#define LEAST_CELLS 9
#define MOST_SHARE 0.4  /* of the wall: larger parts are cloths or walls themselves */
#define SURE_SHARE 0.06 /* of a part that must differ by more than shade */
#define MOST_PIECES 200

typedef struct part {
  int left, top, right, bottom; /* cells, inclusive */
  int area, sure;
} part;

typedef struct search {
  bc_look *look;
  bc_context *context;
  const look_ground *ground;
  int32_t *label; /* of each cell, -1: none */
  int32_t *queue;
  part *parts;
  size_t count;
} search;

/* ---- connected parts ---- */

/* One cell of closing, so that a striped or open piece stays in one. */
static uint8_t *closed_mask(const look_ground *g) {
  const size_t count = (size_t)g->width * (size_t)g->height;
  uint8_t *wide = bc_allocate(count, 1), *mask = bc_allocate(count, 1);
  for (int pass = 0; wide && mask && pass < 2; pass++)
    for (int y = 0; y < g->height; y++)
      for (int x = 0; x < g->width; x++) {
        bool any = false, all = true;
        for (int dy = -1; dy <= 1; dy++)
          for (int dx = -1; dx <= 1; dx++) {
            const int to_x = x + dx, to_y = y + dy;
            const bool inside = to_x >= 0 && to_y >= 0 && to_x < g->width && to_y < g->height;
            const size_t at = inside ? (size_t)to_y * (size_t)g->width + (size_t)to_x : 0;
            const bool set = inside && (pass ? wide[at] : g->class[at] != LOOK_GROUND);
            any = any || set;
            all = all && (set || !inside);
          }
        const bool border = x < BORDER || y < BORDER || x >= g->width - BORDER || y >= g->height - BORDER;
        const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
        if (pass)
          mask[i] = all && !border;
        else
          wide[i] = any;
      }
  free(wide);
  return mask;
}

static void flood(search *s, const uint8_t *mask, size_t start) {
  const look_ground *const g = s->ground;
  const int32_t number = (int32_t)s->count;
  part p = {g->width, g->height, 0, 0, 0, 0};
  size_t first = 0, last = 0;
  s->queue[last++] = (int32_t)start;
  s->label[start] = number;
  while (first < last) {
    const int at = s->queue[first++], x = at % g->width, y = at / g->width;
    p.left = x < p.left ? x : p.left;
    p.right = x > p.right ? x : p.right;
    p.top = y < p.top ? y : p.top;
    p.bottom = y > p.bottom ? y : p.bottom;
    p.area++;
    p.sure += g->class[at] == LOOK_PIECE;
    for (int d = 0; d < 4; d++) {
      const int to_x = x + (d == 0) - (d == 1), to_y = y + (d == 2) - (d == 3);
      if (to_x < 0 || to_y < 0 || to_x >= g->width || to_y >= g->height) continue;
      const size_t to = (size_t)to_y * (size_t)g->width + (size_t)to_x;
      if (!mask[to] || s->label[to] >= 0) continue;
      s->label[to] = number;
      s->queue[last++] = (int32_t)to;
    }
  }
  s->parts[s->count++] = p;
}

static bool find_parts(search *s) {
  const size_t count = (size_t)s->ground->width * (size_t)s->ground->height;
  uint8_t *mask = closed_mask(s->ground);
  s->label = bc_allocate(count, sizeof *s->label);
  s->queue = bc_allocate(count, sizeof *s->queue);
  s->parts = bc_allocate(count / 2 + 1, sizeof *s->parts);
  const bool room = mask && s->label && s->queue && s->parts;
  for (size_t i = 0; room && i < count; i++) s->label[i] = -1;
  for (size_t i = 0; room && i < count; i++)
    if (mask[i] && s->label[i] < 0) flood(s, mask, i);
  free(mask);
  return room;
}

static bool is_piece(const search *s, const part *p) {
  const double cm = s->ground->cell / s->look->pixels_per_cm;
  const int width = p->right - p->left + 1, height = p->bottom - p->top + 1;
  if (fmin(width, height) * cm < LEAST_CM || p->area < LEAST_CELLS) return false;
  if (p->sure < SURE_SHARE * p->area) return false; /* a shadow */
  if (p->area > MOST_SHARE * s->ground->width * s->ground->height) return false;
  return width < s->ground->width - 2 * BORDER || height < s->ground->height - 2 * BORDER;
}

/* ---- one piece, cut out ---- */

/* What the ground says of a crop: handed to the cut-out as its first guess. */
typedef struct guess {
  const search *s;
  bc_box crop; /* pixels of the wall */
  int32_t number;
} guess;

static bool first_guess(void *data, const bc_image *image, int width, int height, float *probability) {
  const guess *const from = data;
  const look_ground *const g = from->s->ground;
  const bc_image *const wall = from->s->look->wall;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const double at_x = from->crop.x + (x + 0.5) * from->crop.width / width;
      const double at_y = from->crop.y + (y + 0.5) * from->crop.height / height;
      int cx = (int)(at_x * g->width / wall->width), cy = (int)(at_y * g->height / wall->height);
      cx = cx < 0 ? 0 : cx >= g->width ? g->width - 1 : cx;
      cy = cy < 0 ? 0 : cy >= g->height ? g->height - 1 : cy;
      const size_t i = (size_t)cy * (size_t)g->width + (size_t)cx;
      const bool own = from->number < 0 || from->s->label[i] == from->number;
      probability[y * width + x] = !own                          ? 0.02f
                                   : g->class[i] == LOOK_PIECE   ? 0.95f
                                   : g->class[i] == LOOK_PERHAPS ? 0.40f
                                   : from->number < 0            ? 0.05f
                                                                 : 0.60f; /* enclosed by the closing */
    }
  return true;
}

/* The mask as the ground has it, where the cut-out finds nothing it can trust. */
static bc_status mask_of_ground(bc_cutout **out, bc_context *context, const guess *from) {
  bc_cutout *cut = bc_allocate(1, sizeof *cut);
  const size_t count = (size_t)from->crop.width * (size_t)from->crop.height;
  float *chance = bc_allocate(count, sizeof *chance);
  *out = cut;
  if (cut) cut->alpha = bc_allocate(count, 1);
  if (!cut || !chance || !cut->alpha) {
    bc_cutout_free(cut);
    free(chance);
    *out = NULL;
    return bc_fail_memory(context);
  }
  cut->width = from->crop.width;
  cut->height = from->crop.height;
  cut->confidence = 0.5;
  first_guess((void *)from, NULL, cut->width, cut->height, chance);
  bool any = false;
  for (size_t i = 0; i < count; i++) {
    cut->alpha[i] = chance[i] < 0.5f ? 0 : 255;
    any = any || cut->alpha[i];
  }
  free(chance);
  return any ? BC_OK : bc_fail(context, BC_BAD_DATA, _("Nothing was found in this box."));
}

static double agreement(const bc_cutout *one, const bc_cutout *other) {
  double both = 0, any = 0;
  for (size_t i = 0; i < (size_t)one->width * (size_t)one->height; i++) {
    const bool a = one->alpha[i] >= 128, b = other->alpha[i] >= 128;
    both += a && b;
    any += a || b;
  }
  return any > 0 ? both / any : 0;
}

#define NOTCH_CM 2.3 /* half the width of the notches that light stripes leave at a piece's border */

/* Closes notches of the mask where the ground, too, sees the piece. `d` and `wide` are for work. */
static void close_notches(bc_cutout *cut, const bc_cutout *ground, double reach, int *d, uint8_t *wide) {
  const size_t count = (size_t)cut->width * (size_t)cut->height;
  look_distances(d, cut->alpha, true, cut->width, cut->height, 128);
  for (size_t i = 0; i < count; i++) wide[i] = d[i] <= 3 * reach ? 255 : 0;
  look_distances(d, wide, false, cut->width, cut->height, 128);
  for (size_t i = 0; i < count; i++)
    if (d[i] > 3 * reach && ground->alpha[i] >= 128) cut->alpha[i] = 255;
}

/* What the ground is sure of belongs to the piece, too: light stripes are near the wall's colour, and the cut-out,
 * which knows only colours, leaves them out. Along the border, where a photo's compression smears colours, only notches
 * are filled. */
static bc_status add_sure(bc_cutout *cut, bc_context *context, const bc_cutout *ground, double cell, double px_per_cm) {
  const size_t count = (size_t)cut->width * (size_t)cut->height;
  int *depth = bc_allocate(count, sizeof *depth);
  uint8_t *wide = bc_allocate(count, 1);
  const bool room = depth && wide;
  if (room) {
    look_distances(depth, ground->alpha, false, cut->width, cut->height, 128);
    for (size_t i = 0; i < count; i++)
      if (depth[i] > 3 * 2.0 * cell) cut->alpha[i] = 255;
    close_notches(cut, ground, NOTCH_CM * px_per_cm, depth, wide);
  }
  free(depth);
  free(wide);
  return room ? BC_OK : bc_fail_memory(context);
}

/* The smallest box round what is covered by half or more. */
static void set_box(bc_cutout *cut) {
  int left = cut->width, top = cut->height, right = -1, bottom = -1;
  for (int y = 0; y < cut->height; y++)
    for (int x = 0; x < cut->width; x++) {
      if (cut->alpha[(size_t)y * (size_t)cut->width + (size_t)x] < 128) continue;
      left = x < left ? x : left;
      right = x > right ? x : right;
      top = y < top ? y : top;
      bottom = y;
    }
  if (right >= 0) cut->box = (bc_box){left, top, right - left + 1, bottom - top + 1};
}

/* Takes over `image`. `inner` is the box that the piece lies in, in pixels of the crop. */
static bc_status cut_piece(bc_study **out, bc_context *context, bc_image *image, const guess *from, bc_box inner,
                           const char *name) {
  bc_study *study = bc_allocate(1, sizeof *study);
  *out = study;
  if (!study) {
    bc_image_free(image);
    return bc_fail_memory(context);
  }
  study->image = image;
  bc_cutout *ground = NULL;
  bc_status status = mask_of_ground(&ground, context, from);
  bc_cutout_options how = bc_cutout_options_default();
  how.has_box = true;
  how.box = inner;
  how.first_guess = first_guess;
  how.first_guess_data = (void *)from;
  const bool nothing = status == BC_BAD_DATA; /* a box that a person gave round something like the wall */
  if (status == BC_OK || nothing) {
    const bc_status cut = bc_cutout_find(&study->cutout, context, image, &how);
    if (cut == BC_OUR_FAULT || (nothing && cut != BC_OK))
      status = cut;
    else
      status = BC_OK;
    if (!nothing && status == BC_OK && (cut != BC_OK || agreement(study->cutout, ground) < 0.55)) {
      bc_cutout_free(study->cutout);
      study->cutout = ground;
      ground = NULL;
    }
  }
  if (status == BC_OK && ground && from->number >= 0 && !nothing)
    status = add_sure(study->cutout, context, ground, from->s->ground->cell, from->s->look->pixels_per_cm);
  if (status == BC_OK) status = look_place_edge(study->cutout, context, image);
  if (status == BC_OK) status = look_fill_holes(study->cutout, context, from->s->look->pixels_per_cm);
  if (status == BC_OK) set_box(study->cutout);
  if (status == BC_OK) status = bc_reading_of(&study->reading, context, image, study->cutout, name);
  bc_cutout_free(ground);
  if (status == BC_OK) return BC_OK;
  bc_study_free(study);
  *out = NULL;
  return status;
}

/* ---- size and tilt ---- */

static int greatest(const bc_cutout *cut, int i, bool column) {
  const int m = column ? cut->height : cut->width;
  int most = 0;
  for (int k = 0; k < m; k++) {
    const size_t at = column ? (size_t)k * (size_t)cut->width + (size_t)i : (size_t)i * (size_t)cut->width + (size_t)k;
    most = cut->alpha[at] > most ? cut->alpha[at] : most;
  }
  return most;
}

/* First and last place where the greatest alpha of columns (or rows) crosses one half, between pixels' middles. */
static void extent(double *low, double *high, const bc_cutout *cut, bool columns) {
  const int n = columns ? cut->width : cut->height;
  int before = 0;
  *low = n;
  *high = 0;
  for (int i = 0; i <= n; i++) {
    const int here = i < n ? greatest(cut, i, columns) : 0;
    const double crossing = i - 0.5 + (127.5 - before) / (here - before + (here == before));
    if (before < 128 && here >= 128) *low = fmin(*low, crossing);
    if (before >= 128 && here < 128) *high = crossing;
    before = here;
  }
}

/* The angle, within 45 degrees, of the smallest rectangle round the outline, and its area in square pixels. */
static double smallest_rectangle(double *angle, const bc_study *study) {
  const bc_reading *const reading = study->reading;
  double best = HUGE_VAL;
  for (int step = -450; step < 450; step += 2) {
    const double radians = step * M_PI / 1800, c = cos(radians), s = sin(radians);
    double low[2] = {HUGE_VAL, HUGE_VAL}, high[2] = {-HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < reading->rim_count; i++) {
      const double x = (double)reading->rim[i].x * study->image->width,
                   y = (double)reading->rim[i].y * study->image->height;
      const double along = c * x + s * y, down = c * y - s * x;
      low[0] = fmin(low[0], along);
      high[0] = fmax(high[0], along);
      low[1] = fmin(low[1], down);
      high[1] = fmax(high[1], down);
    }
    const double area = (high[0] - low[0]) * (high[1] - low[1]);
    if (area >= best) continue;
    best = area;
    *angle = step / 10.0;
  }
  return best;
}

static void measure(bc_look_piece *piece, const bc_look *look) {
  const bc_cutout *const cut = piece->study->cutout;
  double left, right, top, bottom, area = 0, angle = 0;
  extent(&left, &right, cut, true);
  extent(&top, &bottom, cut, false);
  for (size_t i = 0; i < (size_t)cut->width * (size_t)cut->height; i++) area += cut->alpha[i] / 255.0;
  const double s = look->pixels_per_cm;
  piece->width_cm = (right - left) / s;
  piece->height_cm = (bottom - top) / s;
  piece->x_cm = (piece->left + (left + right) / 2) / s;
  piece->y_cm = look->height_cm - (piece->top + (top + bottom) / 2) / s;
  piece->area_cm2 = area / (s * s);
  const double round = smallest_rectangle(&angle, piece->study);
  /* An ellipse fills 0.785 of its rectangle; only straight sides tell how a piece hangs. */
  piece->has_tilt = area / round > 0.9 && fabs(angle) <= 20 && fmin(right - left, bottom - top) >= 40;
  piece->tilt = piece->has_tilt ? angle : 0;
}

static bc_box inside(bc_box box, const bc_image *image) {
  const int left = box.x < 0 ? 0 : box.x, top = box.y < 0 ? 0 : box.y;
  const int right = box.x + box.width > image->width ? image->width : box.x + box.width;
  const int bottom = box.y + box.height > image->height ? image->height : box.y + box.height;
  return (bc_box){left, top, right - left, bottom - top};
}

/* Cuts what lies in `box` (pixels of the wall) and adds it to the pieces. `number`: its part, or -1. */
static bc_status add_piece(search *s, bc_box box, int32_t number) {
  bc_look *const look = s->look;
  const int margin = (int)(0.3 * fmax(box.width, box.height) + 5 * look->pixels_per_cm);
  const bc_box crop =
      inside((bc_box){box.x - margin, box.y - margin, box.width + 2 * margin, box.height + 2 * margin}, look->wall);
  const bc_box inner = {box.x - crop.x, box.y - crop.y, box.width, box.height};
  bc_image *image = NULL;
  bc_status status = look_crop(&image, s->context, look->wall, crop);
  char *name = status == BC_OK ? bc_format("%s#%zu", look->photo, look->piece_count + 1) : NULL;
  if (status == BC_OK && !name) {
    bc_image_free(image);
    return bc_fail_memory(s->context);
  }
  bc_look_piece piece = {.left = crop.x, .top = crop.y, .boxed = number < 0};
  const guess from = {s, crop, number};
  if (status == BC_OK) status = cut_piece(&piece.study, s->context, image, &from, inner, name);
  free(name);
  if (status != BC_OK) return status;
  measure(&piece, look);
  look->pieces[look->piece_count++] = piece;
  return BC_OK;
}

static int before(const void *first, const void *second) {
  const bc_look_piece *const a = first, *const b = second;
  return a->y_cm > b->y_cm ? -1 : a->y_cm < b->y_cm;
}

/* Rows from the top, each from left to right: a row holds the pieces whose middles lie above the lower edge of its
 * first. */
static void set_reading_order(bc_look *look) {
  qsort(look->pieces, look->piece_count, sizeof *look->pieces, before);
  for (size_t first = 0; first < look->piece_count;) {
    size_t last = first + 1;
    const double edge = look->pieces[first].y_cm - look->pieces[first].height_cm / 2;
    while (last < look->piece_count && look->pieces[last].y_cm >= edge) last++;
    for (size_t i = first + 1; i < last; i++)
      for (size_t k = i; k > first && look->pieces[k - 1].x_cm > look->pieces[k].x_cm; k--) {
        const bc_look_piece keep = look->pieces[k];
        look->pieces[k] = look->pieces[k - 1];
        look->pieces[k - 1] = keep;
      }
    first = last;
  }
}

/* ---- given boxes ---- */

static bc_status add_boxed(search *s, const bc_look_options *options) {
  bc_look *const look = s->look;
  bc_homography to_wall;
  if (!bc_homography_invert(&to_wall, &look->to_photo)) return bc_fail_memory(s->context);
  for (size_t i = 0; i < options->box_count; i++) {
    const bc_box b = options->boxes[i];
    double left = HUGE_VAL, right = -HUGE_VAL, low = HUGE_VAL, high = -HUGE_VAL;
    for (int k = 0; k < 4; k++) {
      const bc_look_point corner = {b.x + (k % 2 ? (double)b.width : 0), b.y + (k / 2 ? (double)b.height : 0)};
      const bc_look_point at = bc_homography_apply(&to_wall, corner);
      left = fmin(left, at.x);
      right = fmax(right, at.x);
      low = fmin(low, at.y);
      high = fmax(high, at.y);
    }
    const bool off = b.x + (long)b.width > look->full_width || b.y + (long)b.height > look->full_height;
    if (off || !(right > 0 && high > 0 && left < look->width_cm && low < look->height_cm))
      return bc_fail(s->context, BC_BAD_DATA, _("%s: the box %d,%d,%d,%d does not lie on the wall."), look->photo, b.x,
                     b.y, b.width, b.height);
    const double px = look->pixels_per_cm;
    const bc_box box = inside((bc_box){(int)floor(fmax(0, left) * px), (int)floor(fmax(0, look->height_cm - high) * px),
                                       (int)ceil((fmin(right, look->width_cm) - fmax(0, left)) * px),
                                       (int)ceil((fmin(high, look->height_cm) - fmax(0, low)) * px)},
                              look->wall);
    if (box.width < 8 || box.height < 8)
      return bc_fail(s->context, BC_BAD_DATA, _("%s: the box %d,%d,%d,%d is too small."), look->photo, b.x, b.y,
                     b.width, b.height);
    const bc_status status = add_piece(s, box, -1);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status add_found(search *s) {
  const look_ground *const g = s->ground;
  const bc_image *const wall = s->look->wall;
  for (size_t i = 0; i < s->count && s->look->piece_count < MOST_PIECES; i++) {
    const part *const p = &s->parts[i];
    if (!is_piece(s, p)) continue;
    const double sx = (double)wall->width / g->width, sy = (double)wall->height / g->height;
    /* A cell more on each side: the edge lies within the cells beside. */
    const bc_box box =
        inside((bc_box){(int)floor((p->left - 1) * sx), (int)floor((p->top - 1) * sy),
                        (int)ceil((p->right - p->left + 3) * sx), (int)ceil((p->bottom - p->top + 3) * sy)},
               wall);
    const bc_status status = add_piece(s, box, (int32_t)i);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

bc_status look_pieces_find(bc_look *look, bc_context *context, const look_ground *ground,
                           const bc_look_options *options) {
  search s = {.look = look, .context = context, .ground = ground};
  const size_t room = options->box_count > MOST_PIECES ? options->box_count : MOST_PIECES;
  look->pieces = bc_allocate(room, sizeof *look->pieces);
  bc_status status = look->pieces && find_parts(&s) ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = options->box_count ? add_boxed(&s, options) : add_found(&s);
  free(s.label);
  free(s.queue);
  free(s.parts);
  if (status == BC_OK && !options->box_count) set_reading_order(look);
  return status;
}

void look_piece_clear(bc_look_piece *piece) {
  bc_study_free(piece->study);
  bc_cloth_free(piece->behind);
}

uint8_t *look_cover(const bc_look *look) {
  uint8_t *cover = bc_allocate((size_t)look->wall->width * (size_t)look->wall->height, 1);
  for (size_t i = 0; cover && i < look->piece_count; i++) {
    const bc_look_piece *const piece = &look->pieces[i];
    const bc_cutout *const cut = piece->study->cutout;
    for (int y = 0; y < cut->height; y++)
      for (int x = 0; x < cut->width; x++) {
        uint8_t *at = &cover[(size_t)(y + piece->top) * (size_t)look->wall->width + (size_t)(x + piece->left)];
        const uint8_t alpha = cut->alpha[(size_t)y * (size_t)cut->width + (size_t)x];
        *at = alpha > *at ? alpha : *at;
      }
  }
  return cover;
}
