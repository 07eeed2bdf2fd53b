/* SPDX-License-Identifier: MIT */
/* The page itself: its files are part of the program (pages.h, made by the build) or, for those who work on them,
 * read from a folder. References to /page/ in the shell get the bundle's hash, so that files never change. */
#include "request.h"
#include "web/bundle/bundle.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
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

static web_answer send_from_folder(const web_request *r, const char *name) {
  bc_context *context = NULL;
  uint8_t *bytes = NULL;
  size_t size = 0;
  if (!r->server->options.page || !bc_path_stays_inside(name) || bc_context_new(&context) != BC_OK) return WEB_GO_ON;
  char *path = bc_format("%s/%s", r->server->options.page, name);
  const bool found = path && bc_file_read(&bytes, &size, context, path, (uint64_t)8 << 20) == BC_OK;
  bc_context_free(context);
  free(path);
  return found ? web_text(200, type_of(name), (char *)bytes, size) : WEB_GO_ON;
}

static web_answer send_bundled(const web_request *r, const web_bundled *file, bool immutable) {
  const char *accepted = web_header(r, "Accept-Encoding");
  const bool gzip = file->gzip_size > 0 && accepted && strstr(accepted, "gzip");
  return (web_answer){.status = 200,
                      .type = type_of(file->name),
                      .fixed = gzip ? file->gzip : file->bytes,
                      .out_size = gzip ? file->gzip_size : file->size,
                      .encoding = gzip ? "gzip" : NULL,
                      .cache = immutable ? "public, max-age=31536000, immutable" : "no-cache"};
}

/* "/page/HASH/name" and "/page/name?v=…" never change; "/page/name" alone may. */
static web_answer send_page_file(const web_request *r, const char *name) {
  const size_t hash = strlen(web_bundle_hash);
  const bool versioned = strncmp(name, web_bundle_hash, hash) == 0 && name[hash] == '/';
  if (versioned) name += hash + 1;
  const web_answer answer = send_from_folder(r, name);
  const web_bundled *file = find_bundled(name);
  if (answer.status) return answer;
  return file ? send_bundled(r, file, versioned || web_argument(r, "v")) : web_refuse_gone(r);
}

web_answer web_refuse_address(const web_request *r) {
  const char *english = N_("This address is incomplete. Open the page again.");
  if (strncmp(r->path, "/api/", 5) == 0) return web_refuse(r, 404, NULL, english);
  char *text = bc_format("<!doctype html><meta charset=utf-8><title>backcloth</title><p>%s <a href=/>backcloth</a>",
                         web_words_in(r->language, english));
  return web_text(404, "text/html; charset=utf-8", text, text ? strlen(text) : 0);
}

static web_answer send_shell(const web_request *r) {
  const web_bundled *shell = find_bundled("shell.html");
  web_answer answer = send_from_folder(r, "shell.html");
  if (!answer.status)
    answer = shell ? send_bundled(r, shell, false)
                   : (web_answer){.status = 200,
                                  .type = "text/html; charset=utf-8",
                                  .fixed = placeholder,
                                  .out_size = sizeof placeholder - 1};
  web_look_ahead(r, &answer);
  return answer;
}

/* A worker serves only what lies below its own place; both ask again for their newest. */
static bool is_at_the_root(const char *path) {
  return strcmp(path, "/worker.js") == 0 || strcmp(path, "/app.webmanifest") == 0;
}

web_answer web_serve_page(web_request *r) {
  if (strncmp(r->path, "/api/", 5) == 0) return web_refuse(r, 404, NULL, N_("There is no such call."));
  if (strcmp(r->method, "GET") != 0) return web_refuse(r, 405, NULL, N_("There is no such call."));
  if (is_at_the_root(r->path)) return send_page_file(r, r->path + 1);
  return strncmp(r->path, "/page/", 6) == 0 ? send_page_file(r, r->path + 6) : send_shell(r);
}
