/* SPDX-License-Identifier: MIT */
/* A sheet from studies that the caller has already, for a server that must not open photos itself. They go the same way
 * as photos of a folder. In: plan, studies, cloths. Out: bc_feedback_sheet, or a PDF of it. */
#include "feedback_internal.h"

static bc_status take_study(feedback_photo *photo, bc_context *context, const bc_study *study) {
  bc_status status = feedback_entry_keep(&photo->entry, context, study);
  photo->path = bc_copy_text(study->reading->photo);
  if (status == BC_OK && !photo->path) status = bc_fail_memory(context);
  return status == BC_OK ? feedback_entry_reading(&photo->reading, context, &photo->entry, photo->path) : status;
}

static bc_status take_piece(feedback_maker *maker, const bc_feedback_subject *subject, size_t piece) {
  bc_study *study = NULL;
  bc_status status = subject->study(&study, maker->context, subject->data, piece);
  if (status != BC_OK || !study) return status;
  feedback_photo *photo = &maker->photos[maker->photo_count++];
  *photo = (feedback_photo){.piece = piece, .size_unknown = subject->size_known && !subject->size_known[piece]};
  photo->title = bc_copy_text(subject->plan->pieces[piece].title);
  status = photo->title ? take_study(photo, maker->context, study) : bc_fail_memory(maker->context);
  bc_study_free(study);
  return status;
}

static bc_status take_cloths(feedback_maker *maker, const bc_feedback_subject *subject) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < subject->cloth_count; i++)
    status = bc_cloths_add_copy(&maker->cloths, maker->context, subject->cloths[i]);
  return status;
}

bc_status bc_feedback_sheet_from(bc_feedback_sheet **out, bc_context *context, const bc_feedback_subject *subject,
                                 const bc_feedback_options *options, bool pictures) {
  *out = NULL;
  feedback_maker maker = {.context = context, .folder = "", .plan = subject->plan, .wall = subject->wall};
  maker.name = bc_copy_text(subject->name);
  maker.notes = subject->notes ? bc_copy_utf8(subject->notes) : NULL;
  maker.photos = bc_allocate(subject->plan->piece_count, sizeof *maker.photos);
  bc_status status = maker.name && maker.photos ? take_cloths(&maker, subject) : bc_fail_memory(context);
  for (size_t i = 0; status == BC_OK && i < subject->plan->piece_count; i++) status = take_piece(&maker, subject, i);
  if (status == BC_OK) status = feedback_write(out, &maker, options, pictures);
  maker.plan = NULL; /* the caller's */
  feedback_maker_clear(&maker);
  return status;
}

bc_status bc_feedback_to_pdf(bc_context *context, const bc_feedback_sheet *sheet, bc_paper paper, const char *path) {
  return feedback_pdf(context, sheet, NULL, paper, path);
}
