/* SPDX-License-Identifier: MIT */
/* Many photos at once: a thread a core, a context a thread, results in the order of the paths. */
#include "cli.h"

#include "progress.h"

#include <backcloth/file.h>
#include <backcloth/program.h>
#include <backcloth/sentences.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef struct work {
  const char *const *paths;
  size_t count;
  const bc_study_options *options;
  const char *masks;
  bool to_draw;
  bc_study ***study; /* of each path a list of piece_count studies; NULL when it could not be read */
  size_t *piece_count;
  bc_status *status;
  char **message;
  atomic_size_t next, done;
  bool together; /* several threads work: each stays single */
} work;

/* FOLDER/NAME.mask.png for a photo .../NAME.jpg, or NULL when there is no such file. malloc'd. */
static char *find_mask(const char *folder, const char *photo) {
  const char *name = bc_path_name(photo);
  const char *dot = strrchr(name, '.');
  char *path = bc_format("%s/%.*s.mask.png", folder, dot ? (int)(dot - name) : (int)strlen(name), name);
  if (path && access(path, R_OK) == 0) return path;
  free(path);
  return NULL;
}

/* What will be drawn is cut out now, on all cores; then the pixels can go, as the store brings them back. */
static void keep_cuts(const work *all, bc_context *context, size_t i) {
  for (size_t k = 0; all->to_draw && k < all->piece_count[i]; k++)
    (void)bc_drawing_keep_cut(context,
                              all->study[i][k]); /* what fails here fails again, and is told, when it is drawn */
  bc_study_rest(all->study[i], all->piece_count[i]);
}

static void open_one(work *all, bc_context *context, size_t i) {
  if (!all->paths[i]) return;
  bc_study_options options = all->options ? *all->options : bc_study_options_default();
  char *mask = all->masks ? find_mask(all->masks, all->paths[i]) : NULL;
  if (mask) options.mask_path = mask;
  all->status[i] = bc_study_open_each(&all->study[i], &all->piece_count[i], context, all->paths[i], &options);
  if (all->status[i] == BC_OK) keep_cuts(all, context, i);
  if (all->status[i] != BC_OK) all->message[i] = bc_copy_text(bc_context_message(context));
  free(mask);
}

static void *open_some(void *argument) {
  work *all = argument;
  const bool before = bc_stay_single(all->together);
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return NULL;
  bc_context_use_store(context, cli_store());
  for (;;) {
    const size_t i = atomic_fetch_add(&all->next, 1);
    if (i >= all->count) break;
    open_one(all, context, i);
    progress_photos(atomic_fetch_add(&all->done, 1) + 1, all->count);
  }
  bc_context_free(context);
  bc_stay_single(before);
  return NULL;
}

/* The calling thread works too, so that a machine that gives no threads still finishes. */
static void open_all(work *all) {
  enum { most_threads = 64 };
  pthread_t thread[most_threads];
  const long cores = sysconf(_SC_NPROCESSORS_ONLN);
  size_t wanted = cores > 1 ? (size_t)cores - 1 : 0;
  if (wanted > most_threads) wanted = most_threads;
  if (wanted >= all->count) wanted = all->count ? all->count - 1 : 0;
  progress_photos(0, all->count);
  all->together = wanted > 0;
  size_t started = 0;
  while (started < wanted && pthread_create(&thread[started], NULL, open_some, all) == 0) started++;
  open_some(all);
  for (size_t i = 0; i < started; i++) pthread_join(thread[i], NULL);
}

static void tell_failures(const work *all, int *exit_code) {
  for (size_t i = 0; i < all->count; i++) {
    if (all->study[i] || !all->paths[i]) continue;
    /* No status: no thread had the memory to try. */
    if (*exit_code == 0) *exit_code = all->status[i] ? (int)all->status[i] : BC_OUR_FAULT;
    const char *said = all->message[i] ? all->message[i] : _("there is not enough memory to read this photo.");
    if (strstr(said, bc_path_name(all->paths[i]))) /* with many photos each sentence must name its own */
      cli_complain("%s", said);
    else
      cli_complain("%s: %s", all->paths[i], said);
  }
}

/* All studies one after the other; a path without any keeps its place with NULL. */
static bool flatten(cli_studies *out, const work *all) {
  size_t total = 0;
  for (size_t i = 0; i < all->count; i++) total += all->study[i] ? all->piece_count[i] : 1;
  out->study = bc_allocate(total, sizeof *out->study);
  out->path = bc_allocate(total, sizeof *out->path);
  if (!out->study || !out->path) return false;
  for (size_t i = 0; i < all->count; i++)
    for (size_t k = 0; k < (all->study[i] ? all->piece_count[i] : 1); k++) {
      out->path[out->count] = i;
      out->study[out->count++] = all->study[i] ? all->study[i][k] : NULL;
    }
  return true;
}

static void free_work(work *all, bool with_studies) {
  for (size_t i = 0; i < all->count; i++) {
    for (size_t k = 0; with_studies && all->study && all->study[i] && k < all->piece_count[i]; k++)
      bc_study_free(all->study[i][k]);
    if (all->study) free(all->study[i]);
    if (all->message) free(all->message[i]);
  }
  free(all->study);
  free(all->piece_count);
  free(all->status);
  free(all->message);
}

/* Does `all` and hands it over. */
static bool open_work(cli_studies *out, work all) {
  const size_t count = all.count;
  *out = (cli_studies){0};
  all.study = bc_allocate(count, sizeof(bc_study **));
  all.piece_count = bc_allocate(count, sizeof(size_t));
  all.status = bc_allocate(count, sizeof(bc_status));
  all.message = bc_allocate(count, sizeof(char *));
  bool room = all.study && all.piece_count && all.status && all.message;
  if (room) open_all(&all);
  room = room && flatten(out, &all);
  if (!room) {
    free(out->study);
    free(out->path);
    *out = (cli_studies){0};
  }
  if (room) tell_failures(&all, &out->exit_code);
  free_work(&all, !room);
  return room;
}

bool cli_studies_open(cli_studies *out, const char *const *paths, size_t count, const bc_study_options *options,
                      const char *masks) {
  return open_work(out, (work){.paths = paths, .count = count, .options = options, .masks = masks});
}

bool cli_studies_open_to_draw(cli_studies *out, const char *const *paths, size_t count, const bc_study_options *options,
                              const char *masks) {
  return open_work(out, (work){.paths = paths, .count = count, .options = options, .masks = masks, .to_draw = true});
}

/* One sentence for all: a maker reads one, not ten. */
static void tell_unsure(const cli_studies *studies, const bc_plan *plan) {
  bc_buffer titles = {0};
  for (size_t i = 0; i < studies->count && i < plan->piece_count; i++) {
    const bc_study *study = studies->study[i];
    if (!study || !bc_reading_is_doubtful(study->reading)) continue;
    bc_buffer_add(&titles, titles.length > 0 ? ", \"%s\"" : "\"%s\"", plan->pieces[i].title);
  }
  if (titles.text && titles.length > 0)
    cli_complain(_("The outlines of these pieces are unsure, so their pictures and what is said of them may be wrong: "
                   "%s. Cut each out with 'backcloth read PHOTO --box X,Y,W,H --mask-out masks/NAME.mask.png', look "
                   "at the mask, and add --masks masks here."),
                 titles.text);
  bc_buffer_clear(&titles);
}

/* The photos of a plan's pieces, in the plan's order. */
static bool open_plan(cli_studies *out, const bc_plan *plan, const char *masks) {
  const char **paths = bc_allocate(plan->piece_count, sizeof *paths);
  if (!paths) return false;
  for (size_t i = 0; i < plan->piece_count; i++) paths[i] = plan->pieces[i].photo;
  const bool room = cli_studies_open_to_draw(out, paths, plan->piece_count, NULL, masks);
  free(paths);
  for (size_t i = 0; room && i < out->count && i < plan->piece_count; i++)
    if (plan->pieces[i].polished && out->study[i]) bc_reading_polish(out->study[i]->reading, 0);
  if (room) tell_unsure(out, plan);
  return room;
}

void cli_studies_clear(cli_studies *studies) {
  for (size_t i = 0; i < studies->count; i++) bc_study_free(studies->study[i]);
  free(studies->study);
  free(studies->path);
  *studies = (cli_studies){0};
}

int cli_study_options(const cli *command_line, bc_study_options *out, const cli_study_values *values,
                      size_t photo_count) {
  *out = bc_study_options_default();
  const bool has_model = values->guess && bc_cutout_is_model(values->guess); /* which serves any number of photos */
  const bool for_one = values->box.given || values->mask || (values->guess && !has_model) || values->white.given ||
                       values->keep.count > 0 || values->drop.count > 0;
  if (photo_count != 1 && for_one) {
    cli_complain(_(
        "--box, --mask, --guess, --keep, --drop and --white belong to one photo; name one photo at a time with them."));
    return BC_BAD_USAGE;
  }
  out->cutout.has_box = values->box.given;
  out->cutout.box = values->box.box;
  out->cutout.keep = values->keep.point;
  out->cutout.keep_count = values->keep.count;
  out->cutout.drop = values->drop.point;
  out->cutout.drop_count = values->drop.count;
  out->mask_path = values->mask;
  out->guess_path = has_model ? NULL : values->guess;
  out->split = values->split;
  out->image.has_white = values->white.given;
  out->image.white = values->white.box;
  out->image.find_white = !values->as_shot;
  bc_status status = BC_OK;
  if (values->white_is) status = bc_white_parse(&out->image.white_is, command_line->context, values->white_is);
  if (status == BC_OK && has_model) {
    bc_cutout_model *model = NULL;
    status = bc_cutout_model_open(&model, command_line->context, values->guess);
    out->guess_model = model;
  }
  return status == BC_OK ? 0 : cli_fail(command_line, status);
}

void cli_study_options_clear(bc_study_options *options) {
  bc_cutout_model_free((bc_cutout_model *)options->guess_model); /* opened above */
  options->guess_model = NULL;
}

int cli_draw_with_photos(const cli *command_line, const void *values, const bc_plan *plan, const char *masks,
                         cli_drawing *draw) {
  cli_studies studies;
  if (!open_plan(&studies, plan, masks)) return cli_fail(command_line, bc_fail_memory(command_line->context));
  bool failing = false;
  const bc_status status = draw(command_line, values, plan, &studies, &failing);
  const int code = status != BC_OK ? cli_fail(command_line, status) : studies.exit_code ? studies.exit_code : failing;
  cli_studies_clear(&studies);
  return code;
}
