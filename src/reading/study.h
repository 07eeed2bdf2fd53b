/* SPDX-License-Identifier: MIT */
/* Between study.c, which computes studies, and kept_study.c, which finds them in the store. */
#ifndef BC_SRC_READING_STUDY_H
#define BC_SRC_READING_STUDY_H

#include "base/kept/kept.h"
#include "reading_internal.h"

/* Where the photo comes from: the file of that name, or bytes in memory when `bytes` is given. `owned`, if given, is
 * what is to be freed as soon as the photo is decoded, and then set to NULL. */
typedef struct study_source {
  const char *name;
  const void *bytes;
  size_t size;
  uint8_t **owned;
} study_source;

/* Photo and colour alone. */
bc_status study_read_image(bc_image **out, bc_context *context, const study_source *from, const bc_image_options *how);
/* All of it; several studies with `options->split`. `options` not NULL. */
bc_status study_compute(bc_study ***out, size_t *count, bc_context *context, const study_source *from,
                        const bc_study_options *options);
/* The same through the context's store. */
bc_status study_open_kept(bc_study ***out, size_t *count, bc_context *context, const char *path,
                          const bc_study_options *options);
/* PHOTO, or PHOTO#2 where there are several; malloc'd. */
char *study_name(const char *photo, size_t number, size_t of);

/* What a study of a file is made from, so that its pixels can be had again. */
struct bc_study_origin {
  char *path, *mask_path, *guess_path;
  bc_point_px *points;      /* those kept, then those dropped */
  bc_study_options options; /* points to the above */
  size_t part;
  char photo[KEPT_KEY]; /* the file's content */
  char key[KEPT_KEY];   /* content and options: of the entry in the store */
  char cut[KEPT_KEY];   /* of this study's own cut-out */
  bool kept;            /* the entry is there, or was */
};
void study_origin_free(struct bc_study_origin *origin);

#endif
