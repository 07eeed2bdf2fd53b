/* SPDX-License-Identifier: MIT */
/* Which of two cloths serves a photo better? cc clearest.c $(pkg-config --cflags --libs backcloth) -o clearest */
#include <backcloth/backcloth.h>
#include <stdio.h>

static bc_status rank(bc_context *context, const char *photo, char **text) {
  bc_study *study = NULL;
  bc_cloth *cloth = NULL;
  bc_match *match = NULL;
  bc_collection all = bc_collection_start();
  bc_status status = bc_study_open(&study, context, photo, NULL);
  if (status == BC_OK) status = bc_collection_lend(&all, context, study->reading);
  static const char *const specs[] = {"#22432f", "white"};
  for (int i = 0; status == BC_OK && i < 2; i++) {
    status = bc_cloth_parse(&cloth, context, specs[i], NULL);
    if (status == BC_OK) status = bc_cloths_add(&all.cloths, context, cloth);
  }
  if (status == BC_OK) status = bc_match_rank(&match, context, &all, NULL);
  if (status == BC_OK) status = bc_match_to_json(text, context, match);
  bc_match_free(match);
  bc_collection_clear(&all);
  bc_study_free(study);
  return status;
}

int main(int count, char **words) {
  bc_context *context = NULL;
  char *text = NULL;
  bc_status status = count == 2 ? bc_context_new(&context) : BC_BAD_USAGE;
  if (status == BC_OK) status = rank(context, words[1], &text);
  if (status == BC_OK)
    puts(text);
  else
    fprintf(stderr, "%s\n", context ? bc_context_message(context) : "Name one photo.");
  bc_context_free(context);
  return (int)status;
}
