/* SPDX-License-Identifier: MIT */
/* Many makers on all cores: first every photo is read into the store, then every maker's sheet is made from it. Forked
 * processes take the next item each; one that dies costs only the item it had in hand. In: folders. Out: files. */
#include "feedback_job.h"

#include <backcloth/file.h>
#include <errno.h>
#include <jansson.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define MOST_JOBS 256
#define WAIT_NS 20000000 /* between looks at the workers */

/* Shared by all processes. */
typedef struct board {
  atomic_size_t next, done;
  atomic_bool told;                 /* that something could not be kept */
  atomic_size_t in_hand[MOST_JOBS]; /* item + 1; 0: none */
  atomic_uchar outcome[];
} board;

static double seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* ---- workers ---- */

typedef feedback_outcome (*work)(feedback_job *all, feedback_cache *cache, size_t i);

/* Once, whichever process met it. */
static void tell_trouble(const feedback_job *all, board *shared) {
  const char *trouble = bc_store_trouble(all->store);
  if (*trouble && all->options->complain && !atomic_exchange(&shared->told, true))
    all->options->complain(all->options->data, trouble);
}

/* A process of its own has a context and a cache of its own: neither may be carried over a fork. */
static _Noreturn void be_worker(feedback_job *all, board *shared, size_t number, size_t count, work what) {
  feedback_cache *cache = NULL;
  all->context = NULL;
  if (bc_context_new(&all->context) != BC_OK || feedback_cache_open(&cache, all->context, all->cache_path) != BC_OK)
    _exit(BC_OUR_FAULT);
  bc_context_use_store(all->context, all->store);
  for (;;) {
    const size_t i = atomic_fetch_add(&shared->next, 1);
    if (i >= count) break;
    atomic_store(&shared->in_hand[number], i + 1);
    atomic_store(&shared->outcome[i], (unsigned char)what(all, cache, i));
    atomic_store(&shared->in_hand[number], 0);
    atomic_fetch_add(&shared->done, 1);
  }
  feedback_cache_close(cache);
  tell_trouble(all, shared);
  fflush(NULL);
  _exit(0);
}

static pid_t start_worker(feedback_job *all, board *shared, size_t number, size_t count, work what) {
  fflush(NULL);
  const pid_t child = fork();
  if (child == 0) be_worker(all, shared, number, count, what);
  return child;
}

static size_t wanted_jobs(const feedback_job *all, size_t count) {
  const long cores = sysconf(_SC_NPROCESSORS_ONLN);
  size_t jobs = all->options->jobs > 0 ? (size_t)all->options->jobs : cores > 0 ? (size_t)cores : 1;
  if (jobs > MOST_JOBS) jobs = MOST_JOBS;
  return jobs > count ? count : jobs;
}

static void tell_progress(feedback_job *all, const board *shared, bool photos) {
  if (!all->options->progress) return;
  bc_feedback_progress *p = &all->progress;
  const size_t done = atomic_load(&shared->done);
  *(photos ? &p->photos_done : &p->makers_done) = done;
  const size_t of = photos ? p->photos : p->makers;
  const double passed = seconds() - all->photos_started;
  p->seconds_left = done > 1 && passed > 1 ? passed * (double)(of - done) / (double)done : -1;
  all->options->progress(all->options->data, p);
}

/* Takes up a worker that ended. True when another must take its place: it died with something in hand. */
static bool bury(board *shared, size_t number, size_t count) {
  const size_t held = atomic_exchange(&shared->in_hand[number], 0);
  if (held) {
    atomic_store(&shared->outcome[held - 1], ITEM_FAILED);
    atomic_fetch_add(&shared->done, 1);
  }
  return held && atomic_load(&shared->next) < count;
}

static bc_status spread(feedback_job *all, board *shared, size_t count, work what, bool photos) {
  pid_t worker[MOST_JOBS];
  const size_t jobs = wanted_jobs(all, count);
  size_t alive = 0, started = 0;
  for (size_t i = 0; i < jobs; i++) {
    worker[i] = start_worker(all, shared, i, count, what);
    if (worker[i] > 0) alive++, started++;
  }
  if (count && !started)
    return bc_fail(all->context, BC_OUR_FAULT, _("No worker process could be started (%s)."), strerror(errno));
  while (alive) {
    bool ended = false;
    for (size_t i = 0; i < jobs; i++) {
      if (worker[i] <= 0 || waitpid(worker[i], NULL, WNOHANG) != worker[i]) continue;
      ended = true;
      alive--;
      worker[i] = bury(shared, i, count) ? start_worker(all, shared, i, count, what) : -1;
      if (worker[i] > 0) alive++;
    }
    tell_progress(all, shared, photos);
    if (!ended) nanosleep(&(struct timespec){.tv_nsec = WAIT_NS}, NULL);
  }
  if (atomic_load(&shared->done) >= count) return BC_OK;
  return bc_fail(all->context, BC_OUR_FAULT, _("The worker processes ended before their work was done."));
}

static board *open_board(size_t count) {
  void *shared = mmap(NULL, sizeof(board) + count, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  return shared == MAP_FAILED ? NULL : shared;
}

/* ---- the whole ---- */

static bc_status choose_languages(feedback_job *all) {
  if (!all->options->language) return BC_OK;
  char *copy = bc_copy_text(all->options->language), *rest = copy, *one;
  bc_status status = copy ? BC_OK : bc_fail_memory(all->context);
  while (status == BC_OK && (one = strsep(&rest, ","))) {
    if (all->language_count == 2)
      status = bc_fail(all->context, BC_BAD_USAGE, _("A sheet has room for two languages; --language names more."));
    else if (!bc_language_use(one))
      status = bc_fail(all->context, BC_BAD_USAGE, _("There is no catalogue for the language '%s'. Try en."), one);
    else
      all->languages[all->language_count++] = bc_copy_text(one);
  }
  free(copy);
  if (status == BC_OK && !bc_language_use(all->languages[0])) status = bc_fail_memory(all->context);
  return status;
}

/* Readings go from those who read to those who write through the store; where the caller has none, through one for
 * now. */
static bc_status open_store(feedback_job *all) {
  all->store = bc_context_store(all->context);
  if (all->store) return BC_OK;
  const bc_status status = bc_store_open_for_now(&all->now, all->context, all->options->output);
  all->store = all->now;
  bc_context_use_store(all->context, all->store);
  return status;
}

static void close_store(feedback_job *all) {
  kept_note_others(all->context);
  if (!all->now) return;
  bc_context_use_store(all->context, NULL);
  bc_store_close(all->now);
}

static bc_status prepare_output(feedback_job *all) {
  const char *output = all->options->output;
  if (mkdir(output, 0777) != 0 && errno != EEXIST)
    return bc_fail(all->context, BC_CANNOT_WRITE, _("%s: this folder cannot be made (%s)."), output, strerror(errno));
  all->cache_path = bc_path_join(output, ".cache.sqlite");
  if (!all->cache_path) return bc_fail_memory(all->context);
  feedback_cache *cache = NULL;
  const bc_status status = feedback_cache_open(&cache, all->context, all->cache_path);
  feedback_cache_close(cache);
  return status == BC_OK ? open_store(all) : status;
}

/* Sheets are told apart by their folder's name, whatever the case, as some file systems do. */
static const char *same_name(const feedback_job *all, size_t i) {
  for (size_t k = 0; k < i; k++)
    if (!all->trouble[k] && strcasecmp(all->makers[k].name, all->makers[i].name) == 0) return all->makers[k].folder;
  return NULL;
}

/* What was told of an unchanged maker last time: its photos are counted as they were. Notices when a file is gone. */
static void take_up(const feedback_job *all, feedback_cache *cache, feedback_maker *maker, bc_feedback_result *result) {
  feedback_made made;
  json_t *told = feedback_cache_get_maker(&made, cache, maker->name) ? json_loads(made.line, 0, NULL) : NULL;
  maker->unchanged = told && feedback_job_is_there(all, maker, told);
  if (maker->unchanged) {
    result->photos += (size_t)json_integer_value(json_object_get(told, "photos"));
    result->not_read += (size_t)json_integer_value(json_object_get(told, "not_read"));
  }
  json_decref(told);
  feedback_made_clear(&made);
}

static bc_status trouble_with(feedback_job *all, size_t i, bc_status why, bc_feedback_result *result) {
  if (why == BC_OK) return BC_OK;
  if (result->first_failure == BC_OK) result->first_failure = why;
  all->trouble[i] = bc_copy_text(bc_context_message(all->context));
  return all->trouble[i] ? BC_OK : bc_fail_memory(all->context);
}

/* Which makers' sheets are still what they should be. The cache is closed before anything is forked. */
static bc_status compare_makers(feedback_job *all, const char *const *folders, bc_feedback_result *result) {
  feedback_cache *cache = NULL;
  bc_status status = feedback_cache_open(&cache, all->context, all->cache_path);
  for (size_t i = 0; status == BC_OK && i < all->count; i++) {
    feedback_maker *maker = &all->makers[i];
    bc_status here = feedback_maker_compare(maker, all->context, cache, folders[i], all->options);
    const char *other = here == BC_OK ? same_name(all, i) : NULL;
    if (other)
      here = bc_fail(all->context, BC_BAD_USAGE,
                     _("%s: has the same name as %s. Give each maker's folder its own name."), folders[i], other);
    maker->unchanged = here == BC_OK && maker->unchanged;
    if (maker->unchanged) take_up(all, cache, maker, result);
    maker->cache = NULL;
    status = trouble_with(all, i, here, result);
  }
  feedback_cache_close(cache);
  return status;
}

static bool is_to_make(const feedback_job *all, size_t i) {
  return !all->trouble[i] && !all->makers[i].unchanged;
}

static bc_status measure_cloths(feedback_job *all) {
  bc_status status = BC_OK;
  const size_t count = all->language_count ? all->language_count : 1;
  for (size_t i = 0; status == BC_OK && all->options->cloths && i < count; i++) {
    if (all->language_count && !bc_language_use(all->languages[i])) return bc_fail_memory(all->context);
    all->cloths[i].path = all->options->cloths;
    status = bc_cloths_open(&all->cloths[i].list, all->context, all->options->cloths);
  }
  if (all->language_count) bc_language_use(all->languages[0]);
  return status;
}

static bc_status open_makers(feedback_job *all, const char *const *folders, bc_feedback_result *result) {
  size_t to_make = 0;
  for (size_t i = 0; i < all->count; i++) to_make += is_to_make(all, i);
  bc_status status = to_make ? measure_cloths(all) : BC_OK;
  for (size_t i = 0; status == BC_OK && i < all->count; i++) {
    if (!is_to_make(all, i)) continue;
    feedback_maker_clear(&all->makers[i]);
    status = trouble_with(all, i, feedback_maker_open(&all->makers[i], all->context, NULL, folders[i], &all->cloths[0]),
                          result);
    all->item_count += all->makers[i].photo_count;
  }
  return status;
}

static bc_status list_items(feedback_job *all) {
  all->items = bc_allocate(all->item_count, sizeof *all->items);
  if (!all->items) return bc_fail_memory(all->context);
  size_t n = 0;
  for (size_t i = 0; i < all->count; i++)
    for (size_t k = 0; is_to_make(all, i) && k < all->makers[i].photo_count; k++)
      all->items[n++] = (feedback_item){all->makers[i].photos[k].path, all->makers[i].photos[k].mask};
  all->item_count = n;
  return BC_OK;
}

static bc_status do_photos(feedback_job *all, bc_feedback_result *result) {
  board *shared = open_board(all->item_count);
  if (!shared) return bc_fail_memory(all->context);
  all->photos_started = seconds();
  const bc_status status = spread(all, shared, all->item_count, feedback_job_read, true);
  for (size_t i = 0; i < all->item_count; i++) {
    result->photos_read += shared->outcome[i] == ITEM_READ;
    result->not_read += shared->outcome[i] == ITEM_FAILED;
  }
  result->photos += all->item_count;
  munmap(shared, sizeof(board) + all->item_count);
  return status;
}

static void complain(const feedback_job *all, char *sentences) {
  char *rest = sentences, *one;
  while (all->options->complain && (one = strsep(&rest, "\n")))
    if (*one) all->options->complain(all->options->data, one);
}

/* Tells what was made, in the order of the folders, whoever made it. */
static bc_status tell(feedback_job *all, char **lines, const board *shared, bc_feedback_result *result) {
  feedback_cache *cache = NULL;
  const bc_status status = feedback_cache_open(&cache, all->context, all->cache_path);
  for (size_t i = 0; status == BC_OK && i < all->count; i++) {
    feedback_made made = {0};
    const feedback_outcome here = shared->outcome[i];
    if (all->trouble[i]) complain(all, all->trouble[i]);
    if (here == ITEM_FAILED || !feedback_cache_get_maker(&made, cache, all->makers[i].name)) {
      result->failed++;
      if (result->first_failure == BC_OK) result->first_failure = BC_OUR_FAULT;
      continue;
    }
    result->written += here == ITEM_READ;
    result->unchanged += here == ITEM_KNOWN;
    if (*made.complaints && result->first_failure == BC_OK) result->first_failure = BC_BAD_DATA;
    complain(all, made.complaints);
    lines[i] = made.line;
    made.line = NULL;
    feedback_made_clear(&made);
    if (all->options->line) all->options->line(all->options->data, lines[i]);
  }
  feedback_cache_close(cache);
  return status;
}

static bc_status do_makers(feedback_job *all, bc_feedback_result *result) {
  board *shared = open_board(all->count);
  char **lines = bc_allocate(all->count, sizeof *lines);
  all->photos_started = seconds();
  bc_status status =
      shared && lines ? spread(all, shared, all->count, feedback_job_make, false) : bc_fail_memory(all->context);
  if (status == BC_OK) status = tell(all, lines, shared, result);
  if (status == BC_OK) status = feedback_index(all->context, lines, all->count, all->options->output);
  for (size_t i = 0; lines && i < all->count; i++) free(lines[i]);
  free(lines);
  if (shared) munmap(shared, sizeof(board) + all->count);
  return status;
}

static void job_clear(feedback_job *all) {
  for (size_t i = 0; all->makers && i < all->count; i++) feedback_maker_clear(&all->makers[i]);
  for (size_t i = 0; all->trouble && i < all->count; i++) free(all->trouble[i]);
  for (size_t i = 0; i < all->language_count; i++) free(all->languages[i]);
  for (size_t i = 0; i < 2; i++) bc_cloths_clear(&all->cloths[i].list);
  free(all->makers);
  free(all->trouble);
  free(all->items);
  free(all->cache_path);
}

bc_status bc_feedback_run(bc_feedback_result *out, bc_context *context, const char *const *folders, size_t folder_count,
                          const bc_feedback_options *options) {
  *out = (bc_feedback_result){.makers = folder_count};
  feedback_job all = {.context = context, .options = options, .count = folder_count, .started = seconds()};
  all.makers = bc_allocate(folder_count, sizeof *all.makers);
  all.trouble = bc_allocate(folder_count, sizeof *all.trouble);
  bc_status status = all.makers && all.trouble ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = choose_languages(&all);
  if (status == BC_OK) status = prepare_output(&all);
  if (status == BC_OK) status = compare_makers(&all, folders, out);
  if (status == BC_OK) status = open_makers(&all, folders, out);
  if (status == BC_OK) status = list_items(&all);
  all.progress = (bc_feedback_progress){.photos = all.item_count, .makers = folder_count, .seconds_left = -1};
  if (status == BC_OK) status = do_photos(&all, out);
  if (status == BC_OK) status = do_makers(&all, out);
  close_store(&all);
  job_clear(&all);
  return status;
}
