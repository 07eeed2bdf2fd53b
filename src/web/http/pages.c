/* SPDX-License-Identifier: MIT */
/* The page itself: its files are part of the program (pages.h, made by the build) or, for those who work on them,
 * read from a folder. References to /page/ in the shell get the bundle's hash, so that files never change. */
#include "web/bundle/bundle.h"
#include "web/server.h"

#include "base/file.h"
#include <stdlib.h>
#include <string.h>

static const char placeholder[] = "<!doctype html><html lang=en><meta charset=utf-8><title>backcloth</title>"
                                  "<p>The page's files are not part of this program. Build it with assets/page.";

static const char *type_of(const char *name) {
  static const char *const types[][2] = {{"html", "text/html; charset=utf-8"},
                                         {"js", "text/javascript; charset=utf-8"},
                                         {"css", "text/css; charset=utf-8"},
                                         {"svg", "image/svg+xml"},
                                         {"png", "image/png"},
                                         {"json", "application/json"},
                                         {"woff2", "font/woff2"},
                                         {"wasm", "application/wasm"},
                                         {"webmanifest", "application/manifest+json"}};
  for (size_t i = 0; i < sizeof types / sizeof *types; i++)
    if (bc_path_has_suffix(name, types[i][0])) return types[i][1];
  return "application/octet-stream";
}

static const web_bundled *find_bundled(const char *name) {
  for (size_t i = 0; i < web_bundle_count; i++)
    if (strcmp(web_bundle[i].name, name) == 0) return &web_bundle[i];
  return NULL;
}

static bool send_from_folder(web_request *r, const char *name) {
  bc_context *context = NULL;
  uint8_t *bytes = NULL;
  size_t size = 0;
  if (!r->server->options.page || !bc_path_stays_inside(name) || bc_context_new(&context) != BC_OK) return false;
  char *path = bc_format("%s/%s", r->server->options.page, name);
  const bool found = path && bc_file_read(&bytes, &size, context, path, (uint64_t)8 << 20) == BC_OK;
  bc_context_free(context);
  free(path);
  if (found) web_answer_text(r, 200, type_of(name), (char *)bytes, size);
  return found;
}

static void send_bundled(web_request *r, const web_bundled *file, bool immutable) {
  const char *accepted = web_header(r, "Accept-Encoding");
  const bool gzip = file->gzip_size > 0 && accepted && strstr(accepted, "gzip");
  r->status = 200;
  r->type = type_of(file->name);
  r->fixed = gzip ? file->gzip : file->bytes;
  r->out_size = gzip ? file->gzip_size : file->size;
  r->encoding = gzip ? "gzip" : NULL;
  r->cache = immutable ? "public, max-age=31536000, immutable" : "no-cache";
}

/* "/page/HASH/name" and "/page/name?v=…" never change; "/page/name" alone may. */
static void send_page_file(web_request *r, const char *name) {
  const size_t hash = strlen(web_bundle_hash);
  const bool versioned = strncmp(name, web_bundle_hash, hash) == 0 && name[hash] == '/';
  if (versioned) name += hash + 1;
  if (send_from_folder(r, name)) return;
  const web_bundled *file = find_bundled(name);
  if (file)
    send_bundled(r, file, versioned || web_argument(r, "v"));
  else
    web_refuse(r, 404, NULL, N_("This is not here any more. Load the page again."));
}

static void send_shell(web_request *r) {
  const web_bundled *shell = find_bundled("shell.html");
  web_look_ahead(r);
  if (send_from_folder(r, "shell.html")) return;
  if (shell) {
    send_bundled(r, shell, false);
    return;
  }
  r->status = 200;
  r->type = "text/html; charset=utf-8";
  r->fixed = placeholder;
  r->out_size = sizeof placeholder - 1;
}

void web_serve_page(web_request *r) {
  if (strncmp(r->path, "/api/", 5) == 0)
    web_refuse(r, 404, NULL, N_("There is no such call."));
  else if (strcmp(r->method, "GET") != 0)
    web_refuse(r, 405, NULL, N_("There is no such call."));
  else if (strncmp(r->path, "/page/", 6) == 0)
    send_page_file(r, r->path + 6);
  else
    send_shell(r);
}
