/* SPDX-License-Identifier: MIT */
/* A study from the store where it is kept, else from its photo. In: a path. Out: bc_study. */
#include "study.h"

#include <stdlib.h>

bc_status bc_study_open_each(bc_study ***out, size_t *count, bc_context *context, const char *path,
                             const bc_study_options *options) {
  const bc_study_options defaults = bc_study_options_default();
  if (!options) options = &defaults;
  if (bc_context_store(context)) return study_open_kept(out, count, context, path, options);
  return study_compute(out, count, context, &(study_source){.name = path}, options);
}

bc_status bc_study_open(bc_study **out, bc_context *context, const char *path, const bc_study_options *options) {
  bc_study_options whole = options ? *options : bc_study_options_default();
  bc_study **list = NULL;
  size_t count;
  whole.split = false;
  const bc_status status = bc_study_open_each(&list, &count, context, path, &whole);
  *out = status == BC_OK ? list[0] : NULL;
  free(list);
  return status;
}
