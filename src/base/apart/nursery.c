/* SPDX-License-Identifier: MIT */
/* The nursery: a small process without threads from which workers are forked, since forking a process with
 * threads is unsafe. It hands back a socket to the worker and a pidfd that names its process for good. */
#include "apart.h"
#include "base/late/late.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/pidfd.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#define FORK_MS 400
#define FORK_TRIES 8 /* also on a machine that is very busy */

static bool send_pair(int socket, uint8_t sign, int first, int second) {
  union {
    char room[CMSG_SPACE(2 * sizeof(int))];
    struct cmsghdr align;
  } control = {0};
  struct iovec piece = {&sign, 1};
  struct msghdr wrapped = {
      .msg_iov = &piece, .msg_iovlen = 1, .msg_control = control.room, .msg_controllen = sizeof control.room};
  struct cmsghdr *rights = CMSG_FIRSTHDR(&wrapped);
  *rights = (struct cmsghdr){.cmsg_level = SOL_SOCKET, .cmsg_type = SCM_RIGHTS, .cmsg_len = CMSG_LEN(2 * sizeof(int))};
  memcpy(CMSG_DATA(rights), (int[2]){first, second}, 2 * sizeof(int));
  return sendmsg(socket, &wrapped, MSG_NOSIGNAL) == 1;
}

/* Takes the answer to the order called `sign`; one that comes late, to an order given up, is thrown away. */
static bool receive_pair(int socket, uint8_t wanted, int pair[2]) {
  union {
    char room[CMSG_SPACE(2 * sizeof(int))];
    struct cmsghdr align;
  } control;
  uint8_t sign = 0;
  struct iovec piece = {&sign, 1};
  struct msghdr wrapped = {
      .msg_iov = &piece, .msg_iovlen = 1, .msg_control = control.room, .msg_controllen = sizeof control.room};
  ssize_t got;
  do got = recvmsg(socket, &wrapped, MSG_CMSG_CLOEXEC);
  while (got < 0 && errno == EINTR);
  struct cmsghdr *rights = got == 1 ? CMSG_FIRSTHDR(&wrapped) : NULL;
  if (got != 1) return false;
  const bool whole = rights && rights->cmsg_len == CMSG_LEN(2 * sizeof(int));
  if (whole) memcpy(pair, CMSG_DATA(rights), 2 * sizeof(int));
  if (sign == wanted) return whole;
  if (whole) {
    close(pair[0]);
    close(pair[1]);
  }
  return receive_pair(socket, wanted, pair);
}

/* Everything that was open in the server stays outside. */
static void keep_only(int socket) {
  if (socket > 3) close_range(3, (unsigned)socket - 1, 0);
  close_range((unsigned)socket + 1, ~0u, 0);
}

static bool fork_worker(int server, uint8_t order, bc_apart_kind kind, const bc_apart_options *options) {
  int ends[2];
  if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) != 0) return false;
  const pid_t child = fork();
  if (child == 0) {
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    signal(SIGCHLD, SIG_DFL);
    keep_only(ends[1]);
    apart_worker_live(kind, ends[1], options);
  }
  const int process = child > 0 ? pidfd_open(child, 0) : -1;
  const bool sent = process >= 0 && send_pair(server, order, ends[0], process);
  if (child > 0 && !sent) kill(child, SIGKILL);
  if (process >= 0) close(process);
  close(ends[0]);
  close(ends[1]);
  return sent;
}

static _Noreturn void live(int server, const bc_apart_options *options) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  prctl(PR_SET_NAME, "backcloth-nurse");
  signal(SIGCHLD, SIG_IGN); /* workers that end leave nothing behind */
  signal(SIGINT, SIG_IGN);  /* the server decides when to end, also on Ctrl-C */
  signal(SIGTERM, SIG_IGN);
  keep_only(server);
  for (;;) {
    uint8_t order; /* its last two bits: the kind */
    const ssize_t got = read(server, &order, 1);
    if (got < 0 && errno == EINTR) continue;
    if (got != 1) _exit(0); /* the server is gone */
    const bc_apart_kind kind = order & 3;
    if (kind != APART_PLAIN_DECODER) late_load_all(); /* a worker can open no library */
    if (!fork_worker(server, order, kind, options) && write(server, &order, 1) != 1) _exit(0);
  }
}

/* Starts the nursery again whenever it dies; small, and without threads, so that it can always fork. */
static _Noreturn void keep(int server, const bc_apart_options *options) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  prctl(PR_SET_NAME, "backcloth-keep");
  signal(SIGINT, SIG_IGN);
  signal(SIGTERM, SIG_IGN);
  keep_only(server);
  for (;;) {
    int how = 0;
    const pid_t child = fork();
    if (child == 0) live(server, options);
    if (child < 0)
      usleep(100000);
    else if (waitpid(child, &how, 0) == child && WIFEXITED(how))
      _exit(0); /* the server is gone */
  }
}

bool apart_nursery_open(bc_apart_nursery *nursery, const bc_apart_options *options) {
  *nursery = (bc_apart_nursery){.socket = -1, .pidfd = -1};
  pthread_mutex_init(&nursery->lock, NULL);
  int ends[2];
  if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) != 0) return false;
  const pid_t child = fork();
  if (child == 0) keep(ends[1], options);
  close(ends[1]);
  const struct timeval patience = {.tv_usec = FORK_MS * 1000L}; /* an order may die with the nursery that took it */
  (void)setsockopt(ends[0], SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
  nursery->socket = ends[0];
  if (child > 0) nursery->pidfd = pidfd_open(child, 0);
  return nursery->pidfd >= 0;
}

bool bc_apart_nursery_start(bc_apart_nursery **out, const bc_apart_options *options) {
  bc_apart_nursery *nursery = calloc(1, sizeof *nursery);
  *out = NULL;
  if (!nursery) return false;
  if (apart_nursery_open(nursery, options)) {
    *out = nursery;
    return true;
  }
  const int why = errno;
  bc_apart_nursery_stop(nursery);
  errno = why;
  return false;
}

void bc_apart_nursery_stop(bc_apart_nursery *nursery) {
  if (!nursery) return;
  if (nursery->socket >= 0) close(nursery->socket); /* it reads the end and ends */
  siginfo_t how;
  if (nursery->pidfd >= 0) {
    waitid(P_PIDFD, (id_t)nursery->pidfd, &how, WEXITED);
    close(nursery->pidfd);
  }
  pthread_mutex_destroy(&nursery->lock);
  free(nursery);
}

bool apart_nursery_fork(bc_apart_nursery *nursery, bc_apart_kind kind, apart_worker *out) {
  *out = (apart_worker){-1, -1, 0};
  int pair[2];
  bool done = false;
  pthread_mutex_lock(&nursery->lock);
  for (int try = 0; !done && try < FORK_TRIES; try++) {
    nursery->last = (uint8_t)(nursery->last + 4);
    const uint8_t order = (uint8_t)((nursery->last & ~3) | (int)kind);
    done = send(nursery->socket, &order, 1, MSG_NOSIGNAL) == 1 && receive_pair(nursery->socket, order, pair);
  }
  pthread_mutex_unlock(&nursery->lock);
  if (done) *out = (apart_worker){pair[0], pair[1], 0};
  return done;
}

bool apart_worker_lives(const apart_worker *worker) {
  return pidfd_send_signal(worker->pidfd, 0, NULL, 0) == 0;
}

void apart_worker_end(apart_worker *worker) {
  if (worker->pidfd >= 0) {
    pidfd_send_signal(worker->pidfd, SIGKILL, NULL, 0);
    close(worker->pidfd);
  }
  if (worker->socket >= 0) close(worker->socket);
  *worker = (apart_worker){-1, -1, 0};
}
