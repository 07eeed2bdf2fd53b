/* SPDX-License-Identifier: MIT */
/* From options to a running server and back: data folder, nursery before any thread, database, HTTP. */
#include "web/http/http.h"
#include "web/http/request_words.h"

#include "base/file.h"
#include <arpa/inet.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/eventfd.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static int stop_event = -1;

bc_web_options bc_web_options_default(void) {
  return (bc_web_options){.bind = "127.0.0.1", .port = 8137};
}

void bc_web_stop(void) {
  const uint64_t one = 1;
  if (stop_event >= 0 && write(stop_event, &one, sizeof one) < 0) return;
}

static void on_signal(int number) {
  (void)number;
  const int kept = errno;
  bc_web_stop();
  errno = kept;
}

/* --- address ------------------------------------------------------------------------------------------------ */

static bool parse_address(struct sockaddr_storage *out, const bc_web_options *options) {
  struct sockaddr_in *v4 = (struct sockaddr_in *)out;
  struct sockaddr_in6 *v6 = (struct sockaddr_in6 *)out;
  memset(out, 0, sizeof *out);
  if (inet_pton(AF_INET, options->bind, &v4->sin_addr) == 1) {
    v4->sin_family = AF_INET;
    v4->sin_port = htons(options->port);
    return true;
  }
  v6->sin6_family = AF_INET6;
  v6->sin6_port = htons(options->port);
  return inet_pton(AF_INET6, options->bind, &v6->sin6_addr) == 1;
}

static bool is_loopback(const struct sockaddr_storage *address) {
  if (address->ss_family == AF_INET)
    return (ntohl(((const struct sockaddr_in *)address)->sin_addr.s_addr) >> 24) == 127;
  return IN6_IS_ADDR_LOOPBACK(&((const struct sockaddr_in6 *)address)->sin6_addr);
}

static bc_status check_address(struct sockaddr_storage *address, bc_context *context, const bc_web_options *options) {
  if (!parse_address(address, options))
    return bc_fail(context, BC_BAD_USAGE, _("%s is not an address to listen on. Use for example 127.0.0.1."),
                   options->bind);
  if (is_loopback(address) || options->password) return BC_OK;
  return bc_fail(context, BC_BAD_USAGE,
                 _("Without a password the page is served on this computer alone. Give --password-file to listen on "
                   "%s, or leave --bind away."),
                 options->bind);
}

/* --- data folder ---------------------------------------------------------------------------------------------- */

static bool make_folder(char **out, const char *data, const char *name) {
  *out = bc_format("%s%s%s", data, *name ? "/" : "", name);
  return *out && (mkdir(*out, 0700) == 0 || errno == EEXIST);
}

/* What an earlier run left half done was never told to be saved. */
static void empty_folder(const char *path) {
  DIR *folder = opendir(path);
  const struct dirent *entry;
  while (folder && (entry = readdir(folder)))
    if (entry->d_name[0] != '.') unlinkat(dirfd(folder), entry->d_name, 0);
  if (folder) closedir(folder);
}

static bc_status open_data(web_server *server, bc_context *context) {
  const char *data = server->options.data;
  if (!make_folder(&server->data, data, "") || !make_folder(&server->photos, data, "photos") ||
      !make_folder(&server->made, data, "made") || !make_folder(&server->incoming, data, "incoming") ||
      !make_folder(&server->scratch, data, "scratch"))
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: the data folder cannot be made (%s)."), data, strerror(errno));
  server->database = bc_format("%s/backcloth.sqlite", data);
  char *lock = bc_format("%s/lock", data);
  server->lock_file = lock ? open(lock, O_RDWR | O_CREAT | O_CLOEXEC, 0600) : -1;
  free(lock);
  if (!server->database || server->lock_file < 0)
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), data);
  if (flock(server->lock_file, LOCK_EX | LOCK_NB) != 0)
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: another server uses this data folder. End it first."), data);
  empty_folder(server->incoming);
  empty_folder(server->scratch);
  return BC_OK;
}

static bc_status take_password(web_server *server, bc_context *context) {
  const char *password = server->options.password;
  if (!password) return BC_OK;
  if (strncmp(password, "$argon2id$", 10) == 0 && strlen(password) < sizeof server->password_hash) {
    strcpy(server->password_hash, password);
    return BC_OK;
  }
  if (strlen(password) < 8)
    return bc_fail(context, BC_BAD_USAGE, _("The password is too short. Use at least 8 characters."));
  return crypto_pwhash_str(server->password_hash, password, strlen(password), crypto_pwhash_OPSLIMIT_INTERACTIVE,
                           crypto_pwhash_MEMLIMIT_INTERACTIVE) == 0
             ? BC_OK
             : bc_fail_memory(context);
}

/* --- running ---------------------------------------------------------------------------------------------------- */

static unsigned worker_count(const bc_web_options *options) {
  const long cores = sysconf(_SC_NPROCESSORS_ONLN);
  const unsigned wanted = options->workers ? options->workers : cores > 2 ? (unsigned)cores : 2;
  return wanted < WEB_WORKERS ? wanted : WEB_WORKERS - 1;
}

static void tell(const web_server *server) {
  const bool v6 = strchr(server->options.bind, ':') != NULL;
  char *url = bc_format("http://%s%s%s:%u/", v6 ? "[" : "", server->options.bind, v6 ? "]" : "", server->port);
  if (url && server->options.listening) server->options.listening(server->options.listening_data, url);
  free(url);
}

static void wait_for_end(void) {
  struct pollfd one = {.fd = stop_event, .events = POLLIN};
  while (poll(&one, 1, -1) < 0 && errno == EINTR) continue;
}

/* Whoever came in by a password that is no longer the password must enter the new one. */
static bool end_visits_of_old_password(web_server *server) {
  const char *hash = server->password_hash, *given = server->options.password;
  sqlite3_stmt *row = web_sql(server, "SELECT value FROM state WHERE key='password'", "");
  const char *known = row && sqlite3_step(row) == SQLITE_ROW ? web_column(row, 0) : NULL;
  const bool same =
      known && given && (strcmp(known, hash) == 0 || crypto_pwhash_str_verify(known, given, strlen(given)) == 0);
  sqlite3_finalize(row);
  return same || !given ||
         (web_do(server, "DELETE FROM visits", "") &&
          web_do(server, "INSERT OR REPLACE INTO state VALUES('password',?)", "t", hash));
}

static bc_status run(web_server *server, bc_context *context, const struct sockaddr *address) {
  if (!web_store_open(server, context)) return BC_CANNOT_WRITE;
  if (!end_visits_of_old_password(server)) return bc_fail_memory(context);
  web_forget_trash(server);
  web_sweep(server);
  if (!web_http_start(server, address))
    return bc_fail(context, BC_NO_INPUT,
                   _("Port %u cannot be used (%s). Choose another with --port, or --port 0 for a free one."),
                   server->options.port, strerror(errno));
  tell(server);
  wait_for_end();
  return BC_OK;
}

static bc_status run_with_workers(web_server *server, bc_context *context, const struct sockaddr *address) {
  const web_nursery_options nursery = {.work = {web_decoder_work, web_desk_work},
                                       .memory_bytes = (uint64_t)1 << 30,
                                       .cpu_seconds = 120,
                                       .scratch = server->scratch};
  if (!web_nursery_start(&server->nursery, &nursery))
    return bc_fail(context, BC_OUR_FAULT, _("The worker processes cannot be started (%s)."), strerror(errno));
  const unsigned workers = worker_count(&server->options);
  /* One place more than there are cores, for whoever corrects a cut-out while others send photos. */
  web_pool_start(&server->decoders, &server->nursery, WEB_DECODER, workers + 1, workers);
  web_kept_start(&server->kept);
  web_pool_start(&server->desks, &server->nursery, WEB_DESK, workers + 1, workers);
  const bc_status status = run(server, context, address);
  web_http_stop(server);
  web_patience_stop(server);
  web_store_close(server);
  web_pool_stop(&server->decoders);
  web_pool_stop(&server->desks);
  web_kept_stop(&server->kept);
  web_nursery_stop(&server->nursery);
  return status;
}

static void catch_signals(void) {
  const struct sigaction end = {.sa_handler = on_signal};
  sigaction(SIGTERM, &end, NULL);
  sigaction(SIGINT, &end, NULL);
  signal(SIGPIPE, SIG_IGN);
}

bc_status bc_web_serve(bc_context *context, const bc_web_options *options) {
  struct sockaddr_storage address;
  web_server server = {.options = *options, .lock_file = -1, .port = options->port};
  pthread_mutex_init(&server.entering, NULL);
  pthread_mutex_init(&server.handles, NULL);
  stop_event = eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK);
  bc_status status = sodium_init() < 0 || stop_event < 0 ? BC_OUR_FAULT : check_address(&address, context, options);
  if (status == BC_OK) status = open_data(&server, context);
  if (status == BC_OK) status = take_password(&server, context);
  if (status == BC_OK) {
    catch_signals();
    web_words_load();
    status = run_with_workers(&server, context, (const struct sockaddr *)&address);
    web_words_forget();
  }
  if (server.lock_file >= 0) close(server.lock_file);
  close(stop_event);
  stop_event = -1;
  free(server.data);
  free(server.photos);
  free(server.made);
  free(server.incoming);
  free(server.scratch);
  free(server.database);
  return status;
}
