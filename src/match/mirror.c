/* SPDX-License-Identifier: MIT */
/* Silver and other polish: what it mirrors at the stand, and what of a photo is a lamp's sparkle.
 * In: a prepared piece, a cloth; a rim. Out: clarity; the rim without sparkle. Source: law of reflection;
 * docs/method/match.md. */
#include "match_internal.h"

#include <backcloth/file.h>
#include <math.h>
#include <stdlib.h>

/* A mirror ball shows every direction in an equal share of its disk: half of it what lies behind its own plane, a
 * quarter what lies before and below it, a quarter what is before and above. */
#define SHARE_OF_CLOTH 0.75 /* the wall's behind, and the same below: what else lies on the table isn't known */
#define SHARE_OF_HALL 0.125 /* each of people and dark corners, and of a lit ceiling or awning (our choice) */
#define DARK_HALL 0.18      /* mean reflectance of scenes, as photographers' grey cards have it (common practice) */
#define LIT_CEILING 0.7     /* EN 12464-1 recommends ceilings of 0.7 to 0.9, from memory */
#define BEST_MIRROR 0.95    /* polished silver in visible light, handbooks' rounded figure, from memory */

#define SCENES 3

/* A colour as a mirror of that metal shows it. */
static bc_colour mirrored(const double metal[3], const double light[3]) {
  double seen[3];
  for (int c = 0; c < 3; c++) seen[c] = fmax(0, light[c]) * metal[c];
  return bc_colour_from_linear_srgb(seen);
}

/* Reflectances of the metal: the hue of its mean light in the photo, in its strongest channel a good mirror. */
static void metal_of(double metal[3], const match_prepared *piece) {
  double most = 0;
  bc_lab_to_linear_srgb(piece->metal.lab, metal);
  for (int c = 0; c < 3; c++) most = fmax(most, metal[c] = fmax(0, metal[c]));
  for (int c = 0; c < 3; c++) metal[c] = most > 0 ? BEST_MIRROR * metal[c] / most : BEST_MIRROR;
}

double match_mirror_clarity(const match_prepared *piece, const bc_cloth *cloth) {
  static const double share[SCENES] = {SHARE_OF_CLOTH, SHARE_OF_HALL, SHARE_OF_HALL};
  double metal[3], light[SCENES][3], clarity[SCENES], sum = 0;
  bc_colour seen[SCENES];
  metal_of(metal, piece);
  bc_lab_to_linear_srgb(cloth->colour.lab, light[0]);
  for (int c = 0; c < 3; c++) light[1][c] = DARK_HALL, light[2][c] = LIT_CEILING;
  for (int i = 0; i < SCENES; i++) seen[i] = mirrored(metal, light[i]);
  match_clarities_on(clarity, seen, SCENES, 0, cloth);
  for (int i = 0; i < SCENES; i++) sum += share[i] * clarity[i];
  return fmin(1, sum);
}

/* --- sparkle ------------------------------------------------------------------------------------------ */

/* Our choices: from so light on a place may be a lamp in the mirror or glaze, and is one when a small part of the
 * outline at most is like it and both its neighbours are so much darker. Each begins gently, so that no small step of
 * a colour changes much. */
#define LAMP_FROM 92.0
#define LAMP_FULL 98.0
#define DARKER_FROM 10.0
#define DARKER_FULL 20.0
#define SPARKLE_MOST 16 /* a sixteenth of the outline */

static double ramp(double value, double from, double full) {
  return fmin(1, fmax(0, (value - from) / (full - from)));
}

/* Places of the outline that holds `at`: [*first, *end). */
static void outline_of(size_t *first, size_t *end, const bc_reading *reading, size_t at) {
  const int contour = reading->rim[at].contour;
  for (*first = at; *first > 0 && reading->rim[*first - 1].contour == contour;) --*first;
  for (*end = at + 1; *end < reading->rim_count && reading->rim[*end].contour == contour;) ++*end;
}

static void dull(bc_rim_place *place, const bc_rim_place *before, const bc_rim_place *after) {
  const double darker = (double)place->L - (double)fmaxf(before->L, after->L);
  const float by = (float)(ramp((double)place->L, LAMP_FROM, LAMP_FULL) * ramp(darker, DARKER_FROM, DARKER_FULL));
  place->L += by * ((before->L + after->L) / 2 - place->L);
  place->a += by * ((before->a + after->a) / 2 - place->a);
  place->b += by * ((before->b + after->b) / 2 - place->b);
  place->luminance += by * ((before->luminance + after->luminance) / 2 - place->luminance);
}

void match_rim_without_sparkle(bc_rim_place *out, const bc_reading *reading) {
  const size_t count = reading->rim_count < BC_READING_RIM ? reading->rim_count : BC_READING_RIM;
  size_t first = 0, end = 0;
  for (size_t i = 0; i < count; i++) {
    out[i] = reading->rim[i];
    if (!((double)out[i].L > LAMP_FROM)) continue;
    if (i >= end) outline_of(&first, &end, reading, i);
    const size_t length = end - first, most = length / SPARKLE_MOST;
    size_t back = 0, on = 0; /* to the next place that isn't as light */
    while (back <= most && (double)reading->rim[first + (i - first + length - back) % length].L > LAMP_FROM) back++;
    while (on <= most && (double)reading->rim[first + (i - first + on) % length].L > LAMP_FROM) on++;
    if (back + on - 1 > most) continue;
    dull(&out[i], &reading->rim[first + (i - first + length - back) % length],
         &reading->rim[first + (i - first + on) % length]);
  }
}

/* --- said ------------------------------------------------------------------------------------------------ */

bc_status match_note_polished(bc_match *match, bc_context *context) {
  bc_buffer names = {0};
  size_t count = 0;
  for (size_t p = 0; p < match->piece_count; p++) {
    const bc_reading *reading = match_reading(match, p);
    if (!(reading->polished > 0)) continue;
    char *title = bc_path_title(reading->photo);
    names.failed |= !title;
    /* TRANSLATORS: a piece and how much of it mirrors; the second is the next of a list */
    if (title) bc_buffer_add(&names, count++ ? _(", %s (%.0f %%)") : _("%s (%.0f %%)"), title, 100 * reading->polished);
    free(title);
  }
  if (!count && !names.failed) return BC_OK;
  char *text = NULL;
  bc_status status = bc_buffer_finish(&names, &text, context);
  if (status == BC_OK)
    status = bc_note(&match->notes, context,
                     _("Polished, with the share of each that mirrors: %s. In the photo such a piece shows the room it "
                       "was photographed in; at the stand it will show the cloth, the people and the lamps. It is "
                       "judged for both, and the mean counts."),
                     text);
  free(text);
  return status;
}
