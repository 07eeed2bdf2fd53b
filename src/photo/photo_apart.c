/* SPDX-License-Identifier: MIT */
/* Photos decoded behind the filter. In: bytes that may be anybody's. Out: the same photo as photo.c would have made, or
 * its sentence. A worker decodes one photo and ends; what it answers is trusted in nothing: sizes, ranges and
 * lengths are proved here, since a photo may have taken the worker over. */
#include "base/apart/apart.h"
#include "photo_internal.h"
#include <backcloth/photo_apart.h>

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { JOB_SETTINGS = 0, JOB_NAME, JOB_BYTES };
enum { MADE_FACTS = 0, MADE_SAMPLES, MADE_ALPHA, MADE_PROFILE, MADE_NOTES };

#define DEADLINE_MS 120000
#define CPU_SECONDS 120
#define BESIDES ((uint64_t)64 << 20) /* of a worker's memory: the program and its libraries */

typedef struct settings {
  bc_limits limits;
  int wanted_side;
} settings;

typedef struct facts {
  bc_raster raster; /* its pointers mean nothing outside */
  int full_width, full_height, focal_35_mm;
  bc_profile_source profile_source;
  bc_declared_colour declared;
  char format[8], declared_name[PHOTO_DECLARED_NAME];
} facts;

static struct {
  bool wanted;
  pid_t owner; /* a process that was forked meanwhile has a nursery of its own */
  bc_apart_nursery nursery;
  bc_apart_options options;
  pthread_mutex_t lock;
} rooms = {.lock = PTHREAD_MUTEX_INITIALIZER};

/* ---- the worker's side ---- */

static bool add_copy(bc_apart_message *out, const void *bytes, size_t size) {
  char *copy = bc_allocate(size + 1, 1);
  if (copy && size) memcpy(copy, bytes, size);
  return bc_apart_message_add(out, copy, size);
}

/* Hands a block over to the message, or an empty part where there is none. */
static bool add_block(bc_apart_message *out, void *block, size_t size) {
  return block ? bc_apart_message_add(out, block, size) : add_copy(out, "", 0);
}

static bool add_notes(bc_apart_message *out, const bc_notes *notes) {
  bc_buffer all = {0};
  for (size_t i = 0; i < notes->count; i++) bc_buffer_add_bytes(&all, notes->text[i], strlen(notes->text[i]) + 1);
  const bool done = !all.failed && add_copy(out, all.text, all.length);
  bc_buffer_clear(&all);
  return done;
}

static bool answer(bc_apart_message *out, bc_photo *photo) {
  facts told = {.raster = photo->raster,
                .full_width = photo->full_width,
                .full_height = photo->full_height,
                .focal_35_mm = photo->focal_35_mm,
                .profile_source = photo->profile_source,
                .declared = photo->declared};
  const size_t pixels = (size_t)photo->raster.width * (size_t)photo->raster.height;
  strncpy(told.format, photo->format, sizeof told.format - 1);
  if (photo->declared.name) strncpy(told.declared_name, photo->declared.name, sizeof told.declared_name - 1);
  void *const samples = photo->samples, *const alpha = photo->alpha;
  photo->samples = NULL;
  photo->alpha = NULL;
  return add_copy(out, &told, sizeof told) &
         add_block(out, samples, photo->raster.row_bytes * (size_t)photo->raster.height) &
         add_block(out, alpha, alpha ? pixels : 0) & add_copy(out, photo->profile, photo->profile_size) &
         add_notes(out, &photo->notes);
}

/* The work of a decoder (bc_apart_work). */
static bc_status decode_here(bc_context *context, const bc_apart_message *in, bc_apart_message *out) {
  if (in->parts != 3 || in->part[JOB_SETTINGS].size != sizeof(settings)) return bc_fail_memory(context);
  settings how;
  memcpy(&how, in->part[JOB_SETTINGS].bytes, sizeof how);
  *bc_context_limits(context) = how.limits;
  rooms.wanted = false; /* this is the room */
  bc_photo *photo = NULL;
  const photo_source source = {.bytes = in->part[JOB_BYTES].bytes,
                               .size = in->part[JOB_BYTES].size,
                               .name = bc_apart_message_text(in, JOB_NAME),
                               .wanted_side = how.wanted_side};
  bc_status status = photo_decode_here(&photo, context, &source, source.name);
  if (status == BC_OK && !answer(out, photo)) status = bc_fail_memory(context);
  bc_photo_free(photo);
  return status;
}

/* ---- this side ---- */

static bool start_nursery(void) {
  rooms.options = (bc_apart_options){.work = {decode_here, NULL},
                                     .memory_bytes = UINT64_C(3) << 30,
                                     .order_most = (uint64_t)512 << 20,
                                     .cpu_seconds = CPU_SECONDS,
                                     .single = true};
  if (!apart_nursery_open(&rooms.nursery, &rooms.options)) return false;
  rooms.owner = getpid();
  return true;
}

static bool has_nursery(void) {
  pthread_mutex_lock(&rooms.lock);
  const bool there = rooms.owner == getpid() || start_nursery();
  pthread_mutex_unlock(&rooms.lock);
  return there;
}

static bc_status fail_no_room(bc_context *context) {
  return bc_fail(context, BC_OUR_FAULT,
                 _("This system does not let photos be opened in a process that is shut off from everything else, so "
                   "none is opened. If you made the photos yourself, add --trust."));
}

bc_status bc_photo_keep_apart(bc_context *context) {
  rooms.wanted = true;
  return has_nursery() ? BC_OK : fail_no_room(context);
}

bool photo_is_kept_apart(void) {
  return rooms.wanted;
}

/* ---- what came back ---- */

static bool raster_holds(const facts *told, const bc_apart_message *back, const bc_limits *limits) {
  const bc_raster *raster = &told->raster;
  const bool model = raster->model == BC_PHOTO_GREY || raster->model == BC_PHOTO_RGB || raster->model == BC_PHOTO_CMYK;
  if (!model || (raster->bits != 8 && raster->bits != 16) || raster->width < 1 || raster->height < 1) return false;
  if (told->full_width < raster->width || told->full_height < raster->height) return false;
  if ((uint64_t)told->full_width > limits->photo_side || (uint64_t)told->full_height > limits->photo_side) return false;
  const uint64_t row = (uint64_t)raster->width * (uint64_t)raster->model * (uint64_t)raster->bits / 8;
  const uint64_t pixels = (uint64_t)raster->width * (uint64_t)raster->height;
  uint64_t whole;
  return raster->row_bytes >= row && raster->row_bytes % ((uint64_t)raster->bits / 8) == 0 &&
         !__builtin_mul_overflow((uint64_t)raster->row_bytes, (uint64_t)raster->height, &whole) &&
         back->part[MADE_SAMPLES].size == whole &&
         (back->part[MADE_ALPHA].size == 0 || back->part[MADE_ALPHA].size == pixels);
}

static void *take_block(bc_apart_message *back, int part) {
  bc_apart_part *block = &back->part[part];
  if (!block->size) return NULL;
  void *const bytes = block->bytes;
  block->bytes = NULL;
  return bytes;
}

static bc_status take_notes(bc_photo *photo, bc_context *context, const bc_apart_part *all) {
  const char *text = (const char *)all->bytes;
  for (size_t at = 0; at < all->size && photo->notes.count < 16; at += strlen(text + at) + 1) {
    char *said = bc_copy_utf8(text + at);
    const bc_status status = said ? bc_note(&photo->notes, context, "%s", said) : bc_fail_memory(context);
    free(said);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static void take_colour(bc_photo *photo, facts *told, bc_apart_message *back) {
  told->declared_name[sizeof told->declared_name - 1] = '\0';
  if (told->profile_source == BC_PROFILE_EMBEDDED && back->part[MADE_PROFILE].size) {
    photo->profile_source = BC_PROFILE_EMBEDDED;
    photo->profile_size = back->part[MADE_PROFILE].size;
    photo->profile = take_block(back, MADE_PROFILE);
  } else if (told->profile_source == BC_PROFILE_DECLARED) {
    memcpy(photo->declared_name, told->declared_name, sizeof photo->declared_name);
    told->declared.name = photo->declared_name;
    photo_take_declared(photo, &told->declared);
  }
}

static bc_status take(bc_photo **out, bc_context *context, bc_apart_message *back, const photo_source *source,
                      const char *name) {
  facts told;
  if (back->parts != 5 || back->part[MADE_FACTS].size != sizeof told) return photo_fail_damaged(context, source);
  memcpy(&told, back->part[MADE_FACTS].bytes, sizeof told);
  told.format[sizeof told.format - 1] = '\0';
  const char *format = photo_format_called(told.format);
  const bc_limits *limits = bc_context_limits(context);
  if (!format || !raster_holds(&told, back, limits) || back->part[MADE_PROFILE].size > limits->profile_bytes)
    return photo_fail_damaged(context, source);
  bc_photo *photo = bc_allocate(1, sizeof *photo);
  if (!photo) return bc_fail_memory(context);
  photo->name = bc_copy_text(name);
  photo->format = format;
  photo->orientation = 1;
  photo->full_width = told.full_width;
  photo->full_height = told.full_height;
  photo->focal_35_mm = told.focal_35_mm > 0 && told.focal_35_mm < 65536 ? told.focal_35_mm : 0;
  photo->raster = told.raster;
  photo->raster.samples = photo->samples = take_block(back, MADE_SAMPLES);
  photo->raster.alpha = photo->alpha = take_block(back, MADE_ALPHA);
  take_colour(photo, &told, back);
  const bc_status status = photo->name ? take_notes(photo, context, &back->part[MADE_NOTES]) : bc_fail_memory(context);
  if (status == BC_OK)
    *out = photo;
  else
    bc_photo_free(photo);
  return status;
}

static bc_status fail_outcome(bc_context *context, const photo_source *source, bc_apart_outcome outcome) {
  if (outcome == BC_APART_NO_SANDBOX || outcome == BC_APART_NO_WORKER) return fail_no_room(context);
  if (outcome == BC_APART_LATE)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: this photo takes too long to open, so it was given up. Save it again as a JPEG, or choose "
                     "another."),
                   source->name);
  return photo_fail_damaged(context, source);
}

/* The worker's sentence, for people: a worker that a photo has taken over may say anything, but only in text. */
static bc_status pass_on(bc_context *context, const photo_source *source, const bc_apart_message *back) {
  const bc_status status = (bc_status)back->kind;
  char *said = bc_copy_utf8(bc_apart_message_text(back, 0));
  for (char *c = said; c && *c; c++)
    if ((unsigned char)*c < ' ' || *c == 0x7f) *c = ' ';
  const bc_status out = !said                    ? bc_fail_memory(context)
                        : status == BC_OUR_FAULT ? bc_fail_memory(context)
                        : status == BC_BAD_DATA  ? bc_fail(context, BC_BAD_DATA, "%s", said)
                                                 : photo_fail_damaged(context, source);
  free(said);
  return out;
}

bc_status photo_decode_apart(bc_photo **out, bc_context *context, const photo_source *source, const char *name) {
  *out = NULL;
  if (!has_nursery()) return fail_no_room(context);
  const settings how = {*bc_context_limits(context), source->wanted_side};
  const uint64_t most = how.limits.decode_bytes + how.limits.profile_bytes + BESIDES;
  const char *language = getenv("LANGUAGE");
  const bc_apart_kind kind = photo_is_plain(source) ? APART_PLAIN_DECODER : BC_APART_DECODER;
  bc_apart_message in = {0}, back = {0};
  if (language) strncpy(in.language, language, sizeof in.language - 1);
  const bool whole = add_copy(&in, &how, sizeof how) & bc_apart_message_add_text(&in, bc_copy_text(source->name)) &
                     add_copy(&in, source->bytes, source->size);
  const bc_apart_outcome outcome =
      whole ? apart_do_once(&rooms.nursery, kind, &in, &back, DEADLINE_MS, most) : BC_APART_NO_WORKER;
  bc_apart_message_clear(&in);
  const bc_status status = !whole                     ? bc_fail_memory(context)
                           : outcome != BC_APART_DONE ? fail_outcome(context, source, outcome)
                           : back.kind == BC_OK       ? take(out, context, &back, source, name)
                                                      : pass_on(context, source, &back);
  bc_apart_message_clear(&back);
  return status;
}
