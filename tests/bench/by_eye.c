/* SPDX-License-Identifier: MIT */
/* Makes the pairs that are judged by eye, and reads recipes and answers.
 * In: tests/bench/by_eye/pairs.tsv and answers.tsv. Out: studies and cloths. */
#include "by_eye.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static FILE *open_in(const char *folder, const char *name, bool needed) {
  char path[1024];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  FILE *file = fopen(path, "r");
  if (!file && needed) fprintf(stderr, "by-eye: %s cannot be opened\n", path);
  return file;
}

static void read_answers(by_eye_pair *pairs, int count, const char *folder) {
  char line[200];
  FILE *file = open_in(folder, "answers.tsv", false);
  int number, first, second;
  while (file && fgets(line, sizeof line, file))
    if (sscanf(line, "%d\t%d\t%d", &number, &first, &second) == 3 && number >= 0 && number < count) {
      pairs[number].answer[0] = first;
      pairs[number].answer[1] = second;
    }
  if (file) fclose(file);
}

int by_eye_read(by_eye_pair pairs[by_eye_most], const char *folder) {
  char line[400];
  int count = 0, number, pattern;
  FILE *file = open_in(folder, "pairs.tsv", true);
  while (file && fgets(line, sizeof line, file) && count < by_eye_most) {
    by_eye_pair *p = &pairs[count];
    if (sscanf(line, "%d\t%39s\t%lf\t%lf\t%lf\t%lf\t%d\t%lf\t%lf\t%lf\t%d", &number, p->photo, &p->stops, &p->ground.L,
               &p->ground.a, &p->ground.b, &pattern, &p->figure.L, &p->figure.a, &p->figure.b, &p->period) != 11)
      continue; /* the heading */
    p->pattern = (by_eye_pattern)pattern;
    p->answer[0] = p->answer[1] = -1;
    count++;
  }
  if (file) fclose(file);
  read_answers(pairs, count, folder);
  return count;
}

/* The share of each of three colours: ground, the mean of both, figure. */
static const double shares[by_eye_patterns][3] = {{1, 0, 0}, {0.5, 0, 0.5}, {0.25, 0.5, 0.25}, {0.75, 0, 0.25}};

static void make_cloth(bc_cloth *cloth, const by_eye_pair *pair) {
  static char name[] = "cloth";
  const bc_lab g = pair->ground, f = pair->figure;
  const bc_lab colours[3] = {g, {(g.L + f.L) / 2, (g.a + f.a) / 2, (g.b + f.b) / 2}, f};
  const double *share = shares[pair->pattern];
  *cloth = (bc_cloth){.spec = name, .name = name};
  for (int i = 0; i < 3; i++) {
    const bc_colour colour = bc_colour_from_lab(colours[i]);
    cloth->colour.lab.L += share[i] * colour.lab.L;
    cloth->colour.lab.a += share[i] * colour.lab.a;
    cloth->colour.lab.b += share[i] * colour.lab.b;
    cloth->colour.luminance += share[i] * colour.luminance;
    if (share[i] > 0 && pair->pattern != EYE_PLAIN)
      cloth->parts[cloth->part_count++] = (bc_cloth_part){colour, share[i]};
  }
  double squares = 0;
  for (int i = 0; i < 3; i++) squares += share[i] * pow(colours[i].L - cloth->colour.lab.L, 2);
  cloth->spread_l = sqrt(squares);
}

static void light_image(bc_image *image, double stops) {
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  for (size_t i = 0; i < pixels && stops != 0; i++) {
    const bc_colour own = {{(double)image->L[i], (double)image->a[i], (double)image->b[i]}, (double)image->Y[i]};
    const bc_colour lit = bc_colour_with_cast(own, (bc_cast){.stops = stops});
    image->L[i] = (float)lit.lab.L;
    image->a[i] = (float)lit.lab.a;
    image->b[i] = (float)lit.lab.b;
    image->Y[i] = (float)lit.luminance;
  }
}

static bc_status read_piece(bc_study **out, bc_context *context, const by_eye_pair *pair, const char *photos) {
  char photo[1024], mask[1024];
  snprintf(photo, sizeof photo, "%s/photos/%s.jpg", photos, pair->photo);
  snprintf(mask, sizeof mask, "%s/truth/%s.mask.png", photos, pair->photo);
  bc_study_options how = bc_study_options_default();
  how.image.side = 640;
  how.mask_path = mask;
  bc_status status = bc_study_open(out, context, photo, &how);
  if (status != BC_OK) return status;
  bc_study *study = *out;
  light_image(study->image, pair->stops);
  bc_reading_free(study->reading);
  study->reading = NULL;
  return bc_reading_of(&study->reading, context, study->image, study->cutout, pair->photo);
}

bool by_eye_make(bc_study **study, bc_cloth *cloth, bc_context *context, const by_eye_pair *pair, const char *photos) {
  make_cloth(cloth, pair);
  if (read_piece(study, context, pair, photos) == BC_OK) return true;
  fprintf(stderr, "by-eye: %s\n", bc_context_message(context));
  return false;
}
