/* SPDX-License-Identifier: MIT */
/* backcloth serve: the page, for those who do not open a terminal twice. */
#include "cli.h"

#include "base/file.h"
#include <backcloth/web.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

typedef struct values {
  int port;
  const char *bind, *data, *password_file, *public_url, *page, *export, *import;
  bool recover;
} values;

static const cli_option options[] = {
    {"port", 0, CLI_COUNT, offsetof(values, port), "N", N_("the port; without it, 8137; 0 takes a free one")},
    {"bind", 0, CLI_TEXT, offsetof(values, bind), "ADDRESS",
     N_("the address to listen on; without it, 127.0.0.1, this computer alone")},
    {"data", 0, CLI_TEXT, offsetof(values, data), "FOLDER",
     N_("where photos and plans are kept; without it, backcloth in your data folder")},
    {"password-file", 0, CLI_FILE, offsetof(values, password_file), "FILE",
     N_("a file whose first line is the owner's password")},
    {"public-url", 0, CLI_TEXT, offsetof(values, public_url), "URL",
     N_("the address under which a reverse proxy shows the page")},
    {"export", 0, CLI_CACHE, offsetof(values, export), "FILE",
     N_("write all that the data folder holds into one archive, a .zip, also while the page is being served, and end")},
    {"import", 0, CLI_FILE, offsetof(values, import), "FILE",
     N_("make the data folder, which must be empty or not there yet, of such an archive, and end")},
    {"recover", 0, CLI_FLAG, offsetof(values, recover), NULL,
     N_("keep what can still be read of a damaged database, and make pieces of photos that it does not know; then "
        "serve")},
    {"page", 0, CLI_TEXT, offsetof(values, page), "FOLDER",
     N_("read the page's files from here; for those who change them")},
};

static void defaults(void *into) {
  *(values *)into = (values){.port = 8137, .bind = "127.0.0.1"};
}

static void say_address(void *data, const char *url) {
  (void)data;
  puts(url);
  fflush(stdout);
}

static void say_notice(void *data, const char *sentence) {
  (void)data;
  fprintf(stderr, "%s\n", sentence);
}

/* XDG Base Directory Specification. */
static char *usual_folder(void) {
  const char *data = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
  if (data && data[0] == '/') return bc_format("%s/backcloth", data);
  if (!home) return NULL;
  char *parent = bc_format("%s/.local", home);
  if (parent) mkdir(parent, 0700);
  free(parent);
  parent = bc_format("%s/.local/share", home);
  if (parent) mkdir(parent, 0700);
  free(parent);
  return bc_format("%s/.local/share/backcloth", home);
}

static bc_status read_password(char **out, bc_context *context, const char *path) {
  uint8_t *bytes = NULL;
  size_t size = 0;
  if (!path) return BC_OK;
  const bc_status status = bc_file_read(&bytes, &size, context, path, 4096);
  if (status != BC_OK) return status;
  ((char *)bytes)[strcspn((char *)bytes, "\r\n")] = '\0';
  *out = (char *)bytes;
  return BC_OK;
}

/* An archive in or out instead of a page. */
static bc_status back_up(bc_context *context, const char *folder, const values *chosen) {
  bc_web_backup told;
  const bc_status status = chosen->export ? bc_web_export(&told, context, folder, chosen->export)
                                          : bc_web_import(&told, context, folder, chosen->import);
  if (status != BC_OK) return status;
  printf(_("%s: makers %zu, photos %zu."), chosen->export ? chosen->export : folder, told.makers, told.photos);
  if (told.missing)
    printf(bc_text_plural(" The file of %zu photo is missing.", " The files of %zu photos are missing.", told.missing),
           told.missing);
  printf("\n");
  return BC_OK;
}

static bc_status check_archive(bc_context *context, const values *chosen) {
  if (chosen->export && chosen->import) return bc_fail(context, BC_BAD_USAGE, _("Give either --export or --import."));
  if (chosen->export && !bc_path_has_suffix(chosen->export, "zip"))
    return bc_fail(context, BC_BAD_USAGE, _("%s: the name of the archive must end in .zip."), chosen->export);
  return BC_OK;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  bc_web_options serve = bc_web_options_default();
  char *password = NULL, *folder = chosen->data ? bc_copy_text(chosen->data) : usual_folder();
  bc_status status = folder ? read_password(&password, command_line->context, chosen->password_file)
                            : bc_fail(command_line->context, BC_BAD_USAGE, _("Say with --data where photos are kept."));
  if (status == BC_OK && chosen->port > 65535)
    status = bc_fail(command_line->context, BC_BAD_USAGE, _("--port: a port is a number up to 65535."));
  if (status == BC_OK) status = check_archive(command_line->context, chosen);
  if (status == BC_OK && (chosen->export || chosen->import)) {
    status = back_up(command_line->context, folder, chosen);
  } else if (status == BC_OK) {
    serve.recover = chosen->recover;
    serve.bind = chosen->bind;
    serve.port = (uint16_t)chosen->port;
    serve.data = folder;
    serve.password = password;
    serve.public_url = chosen->public_url;
    serve.page = chosen->page;
    serve.listening = say_address;
    serve.notice = say_notice;
    status = bc_web_serve(command_line->context, &serve);
  }
  free(password);
  free(folder);
  return status == BC_OK ? 0 : cli_fail(command_line, status);
}

const cli_command cli_command_serve = {
    .name = "serve",
    .arguments = "",
    .summary = N_("the page: photos, cloths and the wall in a browser"),
    .details = N_("Example: backcloth serve --data ~/stand\n"
                  "Prints the page's address. End it with Ctrl-C; everything that the page called saved is kept."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .values_size = sizeof(values),
    .least_files = 0,
    .most_files = 0,
    .defaults = defaults,
    .run = run,
};
