/* SPDX-License-Identifier: MIT */
/* What a run may write. In: the options and files of a run, and what a plan names. Out: a refusal, before any work,
 * of an output that is something the run reads, that another output goes to as well, or whose name says that it is
 * of another kind. Files are told apart by device and inode, so links of both kinds are seen through. */
#include "cli.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MASK_SUFFIX ".mask.png"
#define CLOTHS_MOST ((uint64_t)4 << 20) /* bytes of a file of cloths that are looked through for photos */
#define SPLIT_MOST 100                  /* masks of one photo whose names are looked at */

/* A file that is there, or the place in a folder where one would be made. */
typedef struct place {
  bool known, there;
  dev_t device;
  ino_t inode; /* of the file, or of the folder */
  char *name;  /* in that folder; NULL when the file is there */
} place;

char *cli_mask_path(const char *path, size_t number, size_t count) {
  const char *dot = strrchr(bc_path_name(path), '.');
  if (count == 1 || strcmp(path, "-") == 0) return bc_copy_text(path);
  const int length = dot ? (int)(dot - path) : (int)strlen(path);
  return bc_format("%.*s-%zu%s", length, path, number, dot ? dot : "");
}

static place place_of_standard_output(void) {
  struct stat about;
  const bool file = fstat(STDOUT_FILENO, &about) == 0 && S_ISREG(about.st_mode);
  return file ? (place){true, true, about.st_dev, about.st_ino, NULL} : (place){0};
}

/* Pipes and devices take from many without loss: they have no place. */
static place place_of(const char *path) {
  struct stat about;
  if (bc_path_is_standard_output(path)) return (place){0};
  char *followed = bc_path_followed(path);
  char *folder = followed ? bc_path_folder(followed) : NULL;
  place out = {0};
  if (followed && stat(followed, &about) == 0) {
    if (S_ISREG(about.st_mode) || S_ISDIR(about.st_mode)) out = (place){true, true, about.st_dev, about.st_ino, NULL};
  } else if (folder && stat(folder, &about) == 0) {
    out = (place){true, false, about.st_dev, about.st_ino, bc_copy_text(bc_path_name(followed))};
  }
  free(folder);
  free(followed);
  return out;
}

static bool same(const place *one, const place *other) {
  if (!one->known || !other->known || one->there != other->there) return false;
  if (one->device != other->device || one->inode != other->inode) return false;
  return one->there || (one->name && other->name && strcmp(one->name, other->name) == 0);
}

static bool leads_to(const place *wanted, const char *path) {
  place there = place_of(path);
  const bool found = same(wanted, &there);
  free(there.name);
  return found;
}

static const char *text_of(const cli_option *option, const void *values) {
  return *(const char *const *)((const char *)values + option->offset);
}

/* ---- kinds by name ---- */

static bool is_output(cli_kind kind) {
  return kind >= CLI_PICTURE && kind <= CLI_CACHE;
}

static const char *const *suffixes_of(cli_kind kind) {
  static const char *const picture[] = {"png", "pdf", "svg", NULL}, *const sheet[] = {"pdf", "png", NULL};
  static const char *const mask[] = {"png", NULL}, *const plan[] = {"json", NULL};
  return kind == CLI_PICTURE ? picture
         : kind == CLI_SHEET ? sheet
         : kind == CLI_MASK  ? mask
         : kind == CLI_PLAN  ? plan
                             : NULL;
}

/* A plan or a mask may go to standard output, to a pipe or to a device; their names say nothing. */
static bool is_stream(const char *path) {
  struct stat about;
  return bc_path_is_standard_output(path) ||
         (stat(path, &about) == 0 && !S_ISREG(about.st_mode) && !S_ISDIR(about.st_mode));
}

void cli_name_streams(const cli_command *command, void *values) {
  static char name[8]; /* one format is asked for in a run */
  const char *format = NULL;
  for (size_t i = 0; i < command->option_count; i++)
    if (command->options[i].kind == CLI_FORMAT) format = text_of(&command->options[i], values);
  for (size_t i = 0; i < command->option_count; i++) {
    const cli_option *option = &command->options[i];
    const char *const *usual = suffixes_of(option->kind);
    if ((option->kind != CLI_PICTURE && option->kind != CLI_SHEET) || !text_of(option, values)) continue;
    if (strcmp(text_of(option, values), "-") != 0) continue;
    snprintf(name, sizeof name, "-.%.3s", format ? format : usual[0]);
    *(const char **)((char *)values + option->offset) = name;
  }
}

/* A picture's bytes would be obeyed by a terminal, not shown. A plan is text. */
static bc_status check_stream(const cli *run, const cli_option *option, const char *path) {
  const bool written = option->kind >= CLI_PICTURE && option->kind <= CLI_PLAN;
  if (!written || !bc_path_is_standard_output(path)) return BC_OK;
  cli_take_output();
  if (cli_given(run, "json") || cli_given(run, "csv"))
    return bc_fail(
        run->context, BC_BAD_USAGE,
        _("%s: --%s and the figures would both go to standard output. Give one of them a file: --%s FILE, or "
          "leave out --json."),
        run->command->name, option->name, option->name);
  if (option->kind == CLI_PLAN || !isatty(STDOUT_FILENO)) return BC_OK;
  return bc_fail(run->context, BC_BAD_USAGE,
                 _("%s: a terminal cannot show a picture. Send it to a file or to another program: --%s - > FILE"),
                 run->command->name, option->name);
}

/* --format without anything that it is the format of. */
static bc_status check_format(const cli *run) {
  if (!cli_given(run, "format")) return BC_OK;
  for (size_t i = 0; i < run->command->option_count; i++) {
    const cli_option *option = &run->command->options[i];
    const bool picture = option->kind == CLI_PICTURE || option->kind == CLI_SHEET;
    const char *path = picture ? text_of(option, run->values) : NULL;
    if (path && bc_path_is_standard_output(path)) return BC_OK;
  }
  return bc_fail(run->context, BC_BAD_USAGE,
                 _("%s: --format is for a picture that goes to standard output (-o -); a file's name says its own."),
                 run->command->name);
}

static bc_status check_suffix(const cli *run, const cli_option *option, const char *path) {
  const char *const *suffix = suffixes_of(option->kind);
  if (!suffix) return BC_OK;
  for (; *suffix; suffix++)
    if (bc_path_has_suffix(path, *suffix)) return BC_OK;
  if (option->kind == CLI_PICTURE) return bc_drawing_check_name(run->context, path);
  if (option->kind == CLI_SHEET)
    return bc_fail(run->context, BC_BAD_USAGE, _("%s: the name of a set-up sheet must end in .pdf or .png."), path);
  if (is_stream(path)) return BC_OK;
  return option->kind == CLI_MASK
             ? bc_fail(run->context, BC_BAD_USAGE, _("%s: a mask is a PNG picture; its name must end in .png."), path)
             : bc_fail(run->context, BC_BAD_USAGE, _("%s: the name of a plan must end in .json."), path);
}

/* ---- what is read ---- */

/* The photos of a file of cloths; that the file may be wrong is said by whoever reads it in earnest. */
static bool read_by_cloths(const place *wanted, bc_context *context, const char *path) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  bool found = leads_to(wanted, path);
  if (found || is_stream(path) || bc_file_read(&bytes, &size, context, path, CLOTHS_MOST) != BC_OK) return found;
  json_t *root = json_loadb((const char *)bytes, size, 0, NULL), *cloth;
  char *folder = bc_path_folder(path);
  size_t i;
  json_array_foreach(json_object_get(root, "cloths"), i, cloth) {
    const char *photo = json_string_value(json_object_get(cloth, "photo"));
    char *whole = photo && folder ? bc_path_join(folder, photo) : NULL;
    found = found || (whole && leads_to(wanted, whole));
    free(whole);
  }
  free(folder);
  free(bytes);
  json_decref(root);
  return found;
}

static bool read_by_spec(const place *wanted, const char *spec) {
  static const char prefix[] = "photo:";
  return strncmp(spec, prefix, sizeof prefix - 1) == 0 && leads_to(wanted, spec + sizeof prefix - 1);
}

/* A mask in the folder from which this run takes masks. */
static bool read_by_masks(const char *folder, const char *path) {
  const place masks = place_of(folder);
  const size_t length = strlen(path), suffix = sizeof MASK_SUFFIX - 1;
  char *own = bc_path_folder(path);
  const bool found = own && length > suffix && strcmp(path + length - suffix, MASK_SUFFIX) == 0 &&
                     access(path, F_OK) == 0 && leads_to(&masks, own);
  free(own);
  return found;
}

static bool read_by_option(const cli *run, const cli_option *option, const place *wanted, const char *path) {
  const cli_texts *texts = (const cli_texts *)((const char *)run->values + option->offset);
  if (option->kind == CLI_SPECS) {
    for (size_t i = 0; i < texts->count; i++)
      if (read_by_spec(wanted, texts->text[i])) return true;
    return false;
  }
  if (option->kind < CLI_FILE || option->kind > CLI_MASKS) return false;
  const char *text = text_of(option, run->values);
  if (!text) return false;
  if (option->kind == CLI_CLOTHS) return read_by_cloths(wanted, run->context, text);
  if (option->kind == CLI_MASKS) return read_by_masks(text, path);
  return option->kind == CLI_SPEC ? read_by_spec(wanted, text) : leads_to(wanted, text);
}

static bool is_read(const cli *run, const place *wanted, const char *path) {
  for (size_t i = 0; i < run->file_count; i++)
    if (leads_to(wanted, run->files[i])) return true;
  for (size_t i = 0; i < run->command->option_count; i++)
    if (read_by_option(run, &run->command->options[i], wanted, path)) return true;
  return false;
}

static bool named_by_plan(const place *wanted, const bc_plan *plan) {
  if (plan->cloth.photo && leads_to(wanted, plan->cloth.photo)) return true;
  for (size_t i = 0; i < plan->piece_count; i++)
    if (plan->pieces[i].photo && leads_to(wanted, plan->pieces[i].photo)) return true;
  return false;
}

/* ---- the outputs of a run ---- */

static bc_status refuse_read(const cli *run, const char *path) {
  return bc_fail(run->context, BC_BAD_USAGE,
                 _("%s: this is read in the same run, so nothing is written over it. Choose another name."), path);
}

/* `plan`: NULL before one is open. */
static bc_status check_place(const cli *run, const char *path, const bc_plan *plan) {
  place wanted = bc_path_is_standard_output(path) ? place_of_standard_output() : place_of(path);
  const bool taken = wanted.known && (plan ? named_by_plan(&wanted, plan) : is_read(run, &wanted, path));
  free(wanted.name);
  return taken ? refuse_read(run, path) : BC_OK;
}

/* With --split a mask's name is the start of several. */
static bc_status check_masks(const cli *run, const char *path, const bc_plan *plan) {
  bc_status status = check_place(run, path, plan);
  for (size_t i = 1; status == BC_OK && i <= SPLIT_MOST; i++) {
    char *numbered = cli_mask_path(path, i, 2);
    if (!numbered) return bc_fail_memory(run->context);
    if (access(numbered, F_OK) == 0) status = check_place(run, numbered, plan);
    free(numbered);
  }
  return status;
}

static bc_status check_twins(const cli *run, size_t option, const char *path) {
  place wanted = place_of(path);
  bool twin = false;
  for (size_t i = 0; i < option; i++) {
    const char *other =
        is_output(run->command->options[i].kind) ? text_of(&run->command->options[i], run->values) : NULL;
    twin = twin || (other && (strcmp(other, path) == 0 || leads_to(&wanted, other)));
  }
  free(wanted.name);
  return twin ? bc_fail(run->context, BC_BAD_USAGE,
                        _("%s: two results of this run would go into one file. Give each a name of its own."), path)
              : BC_OK;
}

static bc_status check_outputs(const cli *run, const bc_plan *plan) {
  bc_status status = check_place(run, "-", plan);
  for (size_t i = 0; status == BC_OK && i < run->command->option_count; i++) {
    const cli_option *option = &run->command->options[i];
    const char *path = is_output(option->kind) ? text_of(option, run->values) : NULL;
    if (!path) continue;
    if (!plan) status = check_suffix(run, option, path);
    if (status == BC_OK && !plan) status = check_twins(run, i, path);
    if (status == BC_OK && !plan) status = check_stream(run, option, path);
    if (status == BC_OK)
      status = option->kind == CLI_MASK ? check_masks(run, path, plan) : check_place(run, path, plan);
  }
  return status;
}

bc_status cli_check_outputs(const cli *run) {
  const bc_status status = check_format(run);
  return status == BC_OK ? check_outputs(run, NULL) : status;
}

bc_status cli_open_plan(bc_plan **out, const cli *run, const char *path, const bc_plan_options *how) {
  bc_status status = bc_plan_open(out, run->context, path, how);
  if (status != BC_OK) return status;
  status = check_outputs(run, *out);
  if (status == BC_OK) return BC_OK;
  bc_plan_free(*out);
  *out = NULL;
  return status;
}
