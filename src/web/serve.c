/* SPDX-License-Identifier: MIT */
/* From options to a running server and back: data folder, nursery before any thread, database, HTTP. */
#include "web/calls/found_photos.h"
#include "web/http/http.h"
#include "web/http/request_words.h"
#include "web/jobs/jobs.h"
#include "web/store/access.h"
#include "web/store/backup.h"
#include "web/store/calendar.h"

#include <arpa/inet.h>
#include <backcloth/file.h>
#include <backcloth/sentences.h>
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
                   "%s, or leave out --bind."),
                 options->bind);
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
  return wanted < BC_APART_WORKERS ? wanted : BC_APART_WORKERS - 1;
}

static void tell(const web_server *server) {
  const bool v6 = strchr(server->options.bind, ':') != NULL;
  char *url = bc_format("http://%s%s%s:%u/", v6 ? "[" : "", server->options.bind, v6 ? "]" : "", server->port);
  if (url && server->options.listening) server->options.listening(server->options.listening_data, url);
  free(url);
}

#define SWEEP_EVERY_MS 3000 /* a question about the time; the work is done once a day */

static void wait_for_end(web_server *server) {
  web_calendar calendar;
  web_calendar_start(&calendar);
  struct pollfd one = {.fd = stop_event, .events = POLLIN};
  for (;;) {
    const int ready = poll(&one, 1, SWEEP_EVERY_MS);
    if (ready > 0 || (ready < 0 && errno != EINTR)) return;
    if (ready == 0 && web_calendar_follow(&calendar, server->store))
      web_sweep(server->store, &server->folder); /* what fails is tried again */
  }
}

/* Whoever came in by a password that is no longer the password must enter the new one. */
static bool end_visits_of_old_password(web_server *server) {
  const char *hash = server->password_hash, *given = server->options.password;
  char *known = NULL;
  size_t size;
  if (!given) return true;
  if (web_state_get(server->store, "password", &known, &size) == WEB_FAILED) return false;
  const bool same = known && (strcmp(known, hash) == 0 || crypto_pwhash_str_verify(known, given, strlen(given)) == 0);
  free(known);
  return same || (web_visits_end_all(server->store) && web_state_put_text(server->store, "password", hash));
}

/* With it the check values of a page stay good when the server starts anew. */
static bool take_secret(web_server *server) {
  char *known = NULL;
  size_t size;
  web_found found = web_state_get(server->store, "secret", &known, &size);
  if (found == WEB_FOUND && size == sizeof server->secret)
    memcpy(server->secret, known, size);
  else if (found != WEB_FAILED) {
    randombytes_buf(server->secret, sizeof server->secret);
    if (!web_state_put(server->store, "secret", server->secret, sizeof server->secret)) found = WEB_FAILED;
  }
  free(known);
  return found != WEB_FAILED;
}

static void tell_of_strangers(const web_server *server, const web_strangers *strangers) {
  char *text = strangers->put_aside
                   ? bc_format(bc_text_plural("%zu photo that the database does not know was put into %s. Start with "
                                              "--recover to make pieces of it.",
                                              "%zu photos that the database does not know were put into %s. Start with "
                                              "--recover to make pieces of them.",
                                              strangers->put_aside),
                               strangers->put_aside, server->folder.aside)
                   : NULL;
  if (text && server->options.notice) server->options.notice(server->options.listening_data, text);
  free(text);
}

static void tell_of_rescue(const web_server *server, size_t rows, size_t taken, size_t left) {
  char *text =
      bc_format(_("Recovered: %zu entries of a damaged database, %zu photos that no entry knew; %zu that cannot "
                  "be opened stay in %s. Look through what is there: what lay in damaged places is lost."),
                rows, taken, left, server->folder.aside);
  if (text && server->options.notice) server->options.notice(server->options.listening_data, text);
  free(text);
}

static bc_status recover(web_server *server, bc_context *context, size_t rows) {
  size_t taken, left;
  if (!web_take_found_photos(server, &taken, &left))
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), server->folder.data);
  tell_of_rescue(server, rows, taken, left);
  return BC_OK;
}

static bc_status prepare(web_server *server, bc_context *context) {
  web_strangers strangers;
  size_t rows = 0;
  bc_status status = server->options.recover ? web_store_rescue(&server->store, context, &server->folder, &rows)
                                             : web_store_open(&server->store, context, server->folder.database);
  if (status != BC_OK) return status;
  if (!take_secret(server) || !end_visits_of_old_password(server) || !web_sweep(server->store, &server->folder) ||
      !web_folder_tidy(&server->folder, server->store, &strangers))
    return bc_fail(context, BC_CANNOT_WRITE,
                   _("%s: the data folder cannot be read or written as a whole. Check the disk and its permissions."),
                   server->folder.data);
  if (server->options.recover) return recover(server, context, rows);
  tell_of_strangers(server, &strangers);
  return BC_OK;
}

static bc_status run(web_server *server, bc_context *context, const struct sockaddr *address) {
  const bc_status status = prepare(server, context);
  if (status != BC_OK) return status;
  if (!web_http_start(server, address))
    return bc_fail(context, BC_NO_INPUT,
                   _("Port %u cannot be used (%s). Choose another with --port, or --port 0 for a free one."),
                   server->options.port, strerror(errno));
  tell(server);
  wait_for_end(server);
  return BC_OK;
}

static void stop_workers(web_server *server) {
  bc_apart_pool_stop(server->decoders);
  bc_apart_pool_stop(server->planners);
  bc_apart_nursery_stop(server->nursery);
}

static bc_status start_workers(web_server *server, bc_context *context) {
  const bc_apart_options options = {.work = {web_decoder_work, web_order_work},
                                    .memory_bytes = (uint64_t)1 << 30,
                                    .cpu_seconds = 120,
                                    .scratch = server->folder.scratch};
  const unsigned workers = worker_count(&server->options);
  /* One place more than there are cores, for whoever corrects a cut-out while others send photos. */
  if (bc_apart_nursery_start(&server->nursery, &options) &&
      bc_apart_pool_start(&server->decoders, server->nursery, BC_APART_DECODER, workers + 1, workers) &&
      bc_apart_pool_start(&server->planners, server->nursery, BC_APART_PLANNER, workers + 1, workers))
    return BC_OK;
  const bc_status status =
      bc_fail(context, BC_OUR_FAULT, _("The worker processes cannot be started (%s)."), strerror(errno));
  stop_workers(server);
  return status;
}

static bc_status run_with_workers(web_server *server, bc_context *context, const struct sockaddr *address) {
  bc_status status = start_workers(server, context);
  if (status != BC_OK) return status;
  web_kept_start(&server->kept);
  status = run(server, context, address);
  web_http_stop(server);
  web_patience_stop(server);
  web_store_close(server->store);
  stop_workers(server);
  web_kept_stop(&server->kept);
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
  web_server server = {.options = *options, .folder = {.lock = -1}, .port = options->port};
  pthread_mutex_init(&server.entering, NULL);
  stop_event = eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK);
  bc_status status = sodium_init() < 0 || stop_event < 0 ? BC_OUR_FAULT : check_address(&address, context, options);
  if (status == BC_OK) status = web_folder_open(&server.folder, context, options->data, options->recover);
  if (status == BC_OK) status = take_password(&server, context);
  if (status == BC_OK) {
    catch_signals();
    web_words_load();
    status = run_with_workers(&server, context, (const struct sockaddr *)&address);
    web_words_forget();
  }
  web_folder_close(&server.folder);
  close(stop_event);
  stop_event = -1;
  return status;
}

/* --- backups ------------------------------------------------------------------------------------------------------ */

typedef bc_status backing_up(web_backup *out, bc_context *context, const char *data, const char *file);

static bc_status back_up(backing_up *act, bc_web_backup *out, bc_context *context, const char *data, const char *file) {
  web_backup told = {0};
  const bc_status status = sodium_init() < 0
                               ? bc_fail(context, BC_OUR_FAULT, _("There is no source of random numbers."))
                               : act(&told, context, data, file);
  *out = (bc_web_backup){told.makers, told.photos, told.missing};
  return status;
}

bc_status bc_web_export(bc_web_backup *out, bc_context *context, const char *data, const char *file) {
  return back_up(web_export, out, context, data, file);
}

bc_status bc_web_import(bc_web_backup *out, bc_context *context, const char *data, const char *file) {
  return back_up(web_import, out, context, data, file);
}
