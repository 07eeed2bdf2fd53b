/* SPDX-License-Identifier: MIT */
/* Whatever a cloths file holds: what is accepted keeps the promises of match.h and can be ranked for a
 * piece; what is refused leaves a sentence. No photo is opened: other targets do that. */
#include <backcloth/match.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void promise(bool kept) {
  if (!kept) abort();
}

static void check_cloth(const bc_cloth *cloth) {
  promise(cloth->spec && cloth->name && cloth->name[0] != '\0');
  promise(isfinite(cloth->colour.lab.L) && isfinite(cloth->colour.lab.a) && isfinite(cloth->colour.lab.b));
  promise(isfinite(cloth->colour.luminance) && cloth->spread_l >= 0);
}

/* A piece without an outline, in one grey: enough to reach every step of the ranking. */
static void rank(const bc_cloth_list *list, bc_context *context) {
  static char photo[] = "piece.jpg", profile[] = "made";
  const bc_colour grey = bc_colour_from_lab((bc_lab){60, 0, 0});
  const bc_reading piece = {.photo = photo,
                            .profile = profile,
                            .mean = grey,
                            .mixed = grey.lab,
                            .colours = {{.lab = grey.lab, .share = 1}},
                            .colour_count = 1,
                            .uncertainty = bc_uncertainty_unknown};
  bc_collected collected = {.reading = &piece};
  const bc_collection all = {.piece = &collected, .count = 1, .statement = SIZE_MAX, .cloths = *list};
  bc_match *match = NULL;
  const bc_status status = bc_match_rank(&match, context, &all, NULL);
  promise(list->count ? status == BC_OK : status == BC_BAD_USAGE);
  if (status != BC_OK) return;
  char *text = NULL;
  promise(match->cloths[0].rank == 1);
  for (size_t i = 0; i < match->cloth_count; i++) {
    promise(match->cloths[i].score >= 0 && match->cloths[i].score <= 100 && match->cloths[i].score_sd >= 0);
    promise(match->cloths[i].pairs[0].contrast_ratio >= 1 && match->cloths[i].pairs[0].contrast_ratio <= 21.001);
  }
  promise(bc_match_to_json(&text, context, match) == BC_OK);
  free(text);
  promise(bc_match_to_words(&text, context, match) == BC_OK);
  free(text);
  bc_match_free(match);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (memchr(data, '/', size) || memmem(data, size, "\\u", 2)) return 0; /* might name a file that exists */
  bc_context *context = NULL;
  promise(bc_context_new(&context) == BC_OK);
  bc_cloth_list list = {0};
  const bc_status status =
      bc_cloths_parse(&list, context, (const char *)data, size, "/nonexistent-folder-of-cloths/cloths.json");
  if (status == BC_OK) {
    for (size_t i = 0; i < list.count; i++) check_cloth(list.cloth[i]);
    rank(&list, context);
  } else {
    promise((status == BC_BAD_DATA || status == BC_NO_INPUT) && !list.count && bc_context_message(context)[0] != '\0');
  }
  bc_cloths_clear(&list);
  bc_context_free(context);
  return 0;
}
