/* SPDX-License-Identifier: MIT */
/* The nursery: a small process without threads from which workers are forked, since forking a process with
 * threads is unsafe. It hands back a socket to the worker and a pidfd that names its process for good. */
#include "work.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/pidfd.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

static bool send_pair(int socket, int first, int second) {
  union {
    char room[CMSG_SPACE(2 * sizeof(int))];
    struct cmsghdr align;
  } control = {0};
  char sign = 'w';
  struct iovec piece = {&sign, 1};
  struct msghdr wrapped = {
      .msg_iov = &piece, .msg_iovlen = 1, .msg_control = control.room, .msg_controllen = sizeof control.room};
  struct cmsghdr *rights = CMSG_FIRSTHDR(&wrapped);
  *rights = (struct cmsghdr){.cmsg_level = SOL_SOCKET, .cmsg_type = SCM_RIGHTS, .cmsg_len = CMSG_LEN(2 * sizeof(int))};
  memcpy(CMSG_DATA(rights), (int[2]){first, second}, 2 * sizeof(int));
  return sendmsg(socket, &wrapped, MSG_NOSIGNAL) == 1;
}

static bool receive_pair(int socket, int pair[2]) {
  union {
    char room[CMSG_SPACE(2 * sizeof(int))];
    struct cmsghdr align;
  } control;
  char sign = 0;
  struct iovec piece = {&sign, 1};
  struct msghdr wrapped = {
      .msg_iov = &piece, .msg_iovlen = 1, .msg_control = control.room, .msg_controllen = sizeof control.room};
  ssize_t got;
  do got = recvmsg(socket, &wrapped, MSG_CMSG_CLOEXEC);
  while (got < 0 && errno == EINTR);
  struct cmsghdr *rights = got == 1 ? CMSG_FIRSTHDR(&wrapped) : NULL;
  if (sign != 'w' || !rights || rights->cmsg_len != CMSG_LEN(2 * sizeof(int))) return false;
  memcpy(pair, CMSG_DATA(rights), 2 * sizeof(int));
  return true;
}

/* Everything that was open in the server stays outside. */
static void keep_only(int socket) {
  if (socket > 3) close_range(3, (unsigned)socket - 1, 0);
  close_range((unsigned)socket + 1, ~0u, 0);
}

static bool fork_worker(int server, web_worker_kind kind, const web_nursery_options *options) {
  int ends[2];
  if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) != 0) return false;
  const pid_t child = fork();
  if (child == 0) {
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    signal(SIGCHLD, SIG_DFL);
    keep_only(ends[1]);
    web_worker_live(kind, ends[1], options);
  }
  const int process = child > 0 ? pidfd_open(child, 0) : -1;
  const bool sent = process >= 0 && send_pair(server, ends[0], process);
  if (child > 0 && !sent) kill(child, SIGKILL);
  if (process >= 0) close(process);
  close(ends[0]);
  close(ends[1]);
  return sent;
}

static _Noreturn void live(int server, const web_nursery_options *options) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  prctl(PR_SET_NAME, "backcloth-nurse");
  signal(SIGCHLD, SIG_IGN); /* workers that end leave nothing behind */
  signal(SIGINT, SIG_IGN);  /* the server decides when to end, also on Ctrl-C */
  signal(SIGTERM, SIG_IGN);
  keep_only(server);
  for (;;) {
    uint8_t kind;
    const ssize_t got = read(server, &kind, 1);
    if (got < 0 && errno == EINTR) continue;
    if (got != 1) _exit(0); /* the server is gone */
    if (!fork_worker(server, kind ? WEB_DESK : WEB_DECODER, options)) {
      const char sign = 'n';
      if (write(server, &sign, 1) != 1) _exit(0);
    }
  }
}

bool web_nursery_start(web_nursery *nursery, const web_nursery_options *options) {
  *nursery = (web_nursery){.socket = -1, .pidfd = -1};
  pthread_mutex_init(&nursery->lock, NULL);
  int ends[2];
  if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) != 0) return false;
  const pid_t child = fork();
  if (child == 0) live(ends[1], options);
  close(ends[1]);
  nursery->socket = ends[0];
  if (child > 0) nursery->pidfd = pidfd_open(child, 0);
  return nursery->pidfd >= 0;
}

void web_nursery_stop(web_nursery *nursery) {
  if (nursery->socket >= 0) close(nursery->socket); /* it reads the end and ends */
  siginfo_t how;
  if (nursery->pidfd >= 0) {
    waitid(P_PIDFD, (id_t)nursery->pidfd, &how, WEXITED);
    close(nursery->pidfd);
  }
  pthread_mutex_destroy(&nursery->lock);
}

bool web_nursery_fork(web_nursery *nursery, web_worker_kind kind, web_worker *out) {
  *out = (web_worker){-1, -1, 0};
  const uint8_t wanted = kind == WEB_DESK;
  int pair[2];
  pthread_mutex_lock(&nursery->lock);
  const bool done = send(nursery->socket, &wanted, 1, MSG_NOSIGNAL) == 1 && receive_pair(nursery->socket, pair);
  pthread_mutex_unlock(&nursery->lock);
  if (done) *out = (web_worker){pair[0], pair[1], 0};
  return done;
}

bool web_worker_lives(const web_worker *worker) {
  return pidfd_send_signal(worker->pidfd, 0, NULL, 0) == 0;
}

void web_worker_end(web_worker *worker) {
  if (worker->pidfd >= 0) {
    pidfd_send_signal(worker->pidfd, SIGKILL, NULL, 0);
    close(worker->pidfd);
  }
  if (worker->socket >= 0) close(worker->socket);
  *worker = (web_worker){-1, -1, 0};
}
