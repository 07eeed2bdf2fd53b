/* SPDX-License-Identifier: MIT */
/* Another's first guess: asked for once, at the size of the image; heard as a word for each cell by all steps on grids
 * and for each pixel by those on pixels. Where it leaves no doubt they obey it, elsewhere colours and edges say the
 * rest. Also a mask as such a guess. */
#include "guess.h"
#include "base/base.h"

#include <math.h>
#include <stdlib.h>

static const float most_word = 4.0f;
static const float reach_of_doubt = 0.25f, shaken = 0.3f; /* of the picture; what is left of being sure */
static const float jump = 0.4f; /* of a map that tells pixels apart; one of a cell for ten pixels has 0.1 at most */

/* The mean alpha of the mask over one cell. */
static float cell_mean(const bc_cutout *mask, int x, int y, int width, int height) {
  const int left = (int)((int64_t)x * mask->width / width), top = (int)((int64_t)y * mask->height / height);
  int right = (int)((int64_t)(x + 1) * mask->width / width), bottom = (int)((int64_t)(y + 1) * mask->height / height);
  if (right <= left) right = left + 1;
  if (bottom <= top) bottom = top + 1;
  double sum = 0;
  for (int row = top; row < bottom; row++)
    for (int column = left; column < right; column++)
      sum += mask->alpha[(size_t)row * (size_t)mask->width + (size_t)column];
  return (float)(sum / (255.0 * (right - left) * (bottom - top)));
}

/* A picture of chances has few greys and hardly ever quite 0 or 1: from 24 : 1 on it is taken at its word (our choice).
 */
static float said(float chance) {
  return chance >= 0.96f ? 1 : chance <= 0.04f ? 0 : chance;
}

bool bc_cutout_guess_of_mask(void *data, const bc_image *image, int width, int height, float *probability) {
  const bc_cutout *mask = data;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      probability[(size_t)y * (size_t)width + (size_t)x] = said(cell_mean(mask, x, y, width, height));
  return true;
}

float cutout_guess_word(float probability, float hearing) {
  if (probability >= 0.998f) return CUTOUT_SURE_WORD;
  if (probability <= 0.002f) return -CUTOUT_SURE_WORD;
  const float word = hearing * logf(probability / (1 - probability));
  return word > most_word ? most_word : word < -most_word ? -most_word : word;
}

bool cutout_guess_is_sharp(const float *guess, const bc_image *image, int x, int y) {
  float least = 1, most = 0;
  for (int row = y > 0 ? y - 1 : 0; row <= y + 1 && row < image->height; row++)
    for (int column = x > 0 ? x - 1 : 0; column <= x + 1 && column < image->width; column++) {
      const float value = guess[(size_t)row * (size_t)image->width + (size_t)column];
      least = value < least ? value : least;
      most = value > most ? value : most;
    }
  return most - least >= jump;
}

bool cutout_guess_doubt(float *guess, const bc_image *image, bc_point_px at, bool keep) {
  const int width = image->width, height = image->height, longest = width > height ? width : height;
  const int reach = (int)(reach_of_doubt * (float)longest);
  const int x = (int)((int64_t)at.x * width / image->full_width);
  const int y = (int)((int64_t)at.y * height / image->full_height);
  const float here = guess[(size_t)y * (size_t)width + (size_t)x];
  if (!cutout_guess_is_sure(here) || (here > 0.5f) == keep) return false;
  for (int row = y > reach ? y - reach : 0; row <= y + reach && row < height; row++)
    for (int column = x > reach ? x - reach : 0; column <= x + reach && column < width; column++) {
      float *of = &guess[(size_t)row * (size_t)width + (size_t)column];
      if (keep && *of < shaken) *of = shaken;
      if (!keep && *of > 1 - shaken) *of = 1 - shaken;
    }
  return true;
}

bc_status cutout_guess_ask(float **out, bc_context *context, const bc_image *image, const bc_cutout_options *options) {
  *out = NULL;
  if (!options->first_guess) return BC_OK;
  const size_t count = (size_t)image->width * (size_t)image->height;
  float *guess = base_allocate_large(count, sizeof *guess);
  if (!guess) return bc_fail_memory(context);
  if (!options->first_guess(options->first_guess_data, image, image->width, image->height, guess)) {
    free(guess);
    return BC_OK;
  }
  for (size_t i = 0; i < count; i++) {
    if (isnan(guess[i])) guess[i] = 0.5f;
    guess[i] = guess[i] > 1 ? 1 : guess[i] < 0 ? 0 : guess[i];
  }
  *out = guess;
  return BC_OK;
}

bc_status cutout_guess_tell(cutout_scene *scene, bc_context *context, const bc_image *image, const float *guess) {
  if (!scene->word) scene->word = bc_allocate(scene->grid.count, sizeof *scene->word);
  if (!scene->word) return bc_fail_memory(context);
  const bc_status status = cutout_grid_reduce(scene->prior, context, &scene->grid, guess, image);
  if (status != BC_OK) return status;
  for (size_t i = 0; i < scene->grid.count; i++) {
    const float value = scene->prior[i];
    scene->word[i] = cutout_guess_word(value, scene->hearing);
    scene->prior[i] = value >= 0.02f ? (value <= 0.98f ? value : 0.98f) : 0.02f; /* the models learn from all */
    if (scene->fixed[i] == CUTOUT_IS_BACKGROUND) scene->prior[i] = 0;
  }
  return BC_OK;
}
