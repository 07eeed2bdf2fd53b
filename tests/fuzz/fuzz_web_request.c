/* SPDX-License-Identifier: MIT */
/* Any bytes as what a browser sends: the server itself, in this process, with a data folder of its own. Whatever comes,
 * it answers with a status that it has, never 500, or hangs up; and it answers the next. In an input MAKER___________
 * and sixty-four C stand for a maker that is there and for the check value, which differ from run to run. */
#include <backcloth/web.h>

#include <arpa/inet.h>
#include <pthread.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#define PROMISE(condition)                                                                                             \
  if (!(condition)) abort()
#define MAKER "MAKER___________"
#define SURE 70 /* seconds: that is answered */
#define CHECK "CCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCC"

static char folder[] = "/tmp/backcloth-fuzz-XXXXXX";
static char maker[sizeof MAKER], check[sizeof CHECK];
static struct sockaddr_in address = {.sin_family = AF_INET};
static pthread_t thread;
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static pthread_cond_t listens = PTHREAD_COND_INITIALIZER;

/* --- the server -------------------------------------------------------------------------------------------------- */

static void listening(void *data, const char *url) {
  (void)data;
  pthread_mutex_lock(&lock);
  address.sin_port = htons((uint16_t)atoi(strrchr(url, ':') + 1));
  pthread_cond_signal(&listens);
  pthread_mutex_unlock(&lock);
}

static void *serve(void *data) {
  (void)data;
  bc_context *context = NULL;
  bc_web_options options = bc_web_options_default();
  options.port = 0;
  options.data = folder;
  options.listening = listening;
  PROMISE(bc_context_new(&context) == BC_OK);
  PROMISE(bc_web_serve(context, &options) == BC_OK);
  bc_context_free(context);
  return NULL;
}

static void end(void) {
  bc_web_stop();
  pthread_join(thread, NULL);
  char command[64];
  snprintf(command, sizeof command, "rm -rf %s", folder);
  PROMISE(system(command) == 0);
}

/* Sends all of it, and says how much of an answer came within so many seconds: a request that is not whole gets none.
 */
static size_t ask(char *answer, size_t most, const char *bytes, size_t size, int seconds) {
  const int way = socket(AF_INET, SOCK_STREAM, 0);
  const struct timeval patience = {.tv_sec = seconds};
  PROMISE(way >= 0);
  setsockopt(way, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
  PROMISE(connect(way, (const struct sockaddr *)&address, sizeof address) == 0);
  for (size_t sent = 0; sent < size;) {
    const ssize_t done = send(way, bytes + sent, size - sent, MSG_NOSIGNAL);
    if (done <= 0) break; /* hung up on */
    sent += (size_t)done;
  }
  shutdown(way, SHUT_WR);
  size_t come = 0;
  /* The connection stays open for a next request; what has come is enough. */
  const ssize_t got = recv(way, answer, most - 1, 0);
  if (got > 0) come = (size_t)got;
  answer[come] = '\0';
  close(way);
  return come;
}

static void take(char *to, size_t size, const char *answer, const char *after) {
  const char *at = strstr(answer, after);
  PROMISE(at);
  snprintf(to, size, "%s", at + strlen(after));
}

static void start(void) {
  char answer[8192], request[512];
  PROMISE(mkdtemp(folder));
  inet_pton(AF_INET, "127.0.0.1", &address.sin_addr);
  pthread_mutex_lock(&lock);
  PROMISE(pthread_create(&thread, NULL, serve, NULL) == 0);
  while (!address.sin_port) pthread_cond_wait(&listens, &lock);
  pthread_mutex_unlock(&lock);
  atexit(end);
  static const char me[] = "GET /api/me HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";
  ask(answer, sizeof answer, me, sizeof me - 1, SURE);
  take(check, sizeof check, answer, "\"csrf\":\"");
  snprintf(
      request, sizeof request,
      "POST /api/makers HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Backcloth: %s\r\nContent-Length: 12\r\n\r\n{\"name\":\"a\"}",
      check);
  ask(answer, sizeof answer, request, strlen(request), SURE);
  take(maker, sizeof maker, answer, "\"id\":\"");
}

/* --- an input ---------------------------------------------------------------------------------------------------- */

static void put(char *bytes, size_t size, const char *mark, const char *value) {
  const size_t length = strlen(mark);
  for (char *at = bytes; (at = memmem(at, size - (size_t)(at - bytes), mark, length)); at += length)
    memcpy(at, value, length);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (!thread) start();
  char *bytes = malloc(size + 1), answer[4096];
  PROMISE(bytes);
  if (size) memcpy(bytes, data, size);
  put(bytes, size, MAKER, maker);
  put(bytes, size, CHECK, check);
  const size_t come = ask(answer, sizeof answer, bytes, size, 1);
  free(bytes);
  if (come == 0) return 0;
  PROMISE(strncmp(answer, "HTTP/1.", 7) == 0);
  const int status = atoi(answer + 9);
  PROMISE(status >= 100 && status < 600 && status != 500);
  static const char health[] = "GET /api/health HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n";
  ask(answer, sizeof answer, health, sizeof health - 1, SURE);
  PROMISE(strncmp(answer, "HTTP/1.1 200", 12) == 0);
  return 0;
}
