/* SPDX-License-Identifier: MIT */
/* Messages between server and workers: a header with sizes, then the parts; open files go with the header.
 * Neither side trusts the other's sizes. */
#include "apart.h"

#include <errno.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

typedef struct header {
  uint32_t kind, parts, patient;
  uint64_t size[BC_APART_PARTS];
  char language[8];
} header;

void bc_apart_message_clear(bc_apart_message *message) {
  for (uint32_t i = 0; i < message->parts; i++) free(message->part[i].bytes);
  for (uint32_t i = 0; i < message->files; i++) close(message->file[i]);
  *message = (bc_apart_message){0};
}

bool bc_apart_message_add(bc_apart_message *message, void *bytes, size_t size) {
  if (!bytes || message->parts == BC_APART_PARTS) {
    free(bytes);
    return false;
  }
  message->part[message->parts++] = (bc_apart_part){bytes, size};
  return true;
}

bool bc_apart_message_add_text(bc_apart_message *message, char *text) {
  return bc_apart_message_add(message, text, text ? strlen(text) : 0);
}

const char *bc_apart_message_text(const bc_apart_message *message, uint32_t part) {
  return part < message->parts ? (const char *)message->part[part].bytes : "";
}

/* 1 when the socket is ready, 0 when it is too late. Without a deadline the call that follows waits. */
static int wait_for(int socket, short events, int64_t deadline) {
  if (deadline == INT64_MAX) return 1;
  for (;;) {
    const int64_t left = deadline - bc_now_ms();
    if (left <= 0) return 0;
    struct pollfd one = {.fd = socket, .events = events};
    const int ready = poll(&one, 1, left > 60000 ? 60000 : (int)left);
    if (ready > 0) return 1;
    if (ready < 0 && errno != EINTR) return -1;
  }
}

static int flags_for(int64_t deadline) {
  return deadline == INT64_MAX ? MSG_NOSIGNAL : MSG_NOSIGNAL | MSG_DONTWAIT;
}

static int send_bytes(int socket, const uint8_t *bytes, size_t size, int64_t deadline) {
  while (size > 0) {
    const int ready = wait_for(socket, POLLOUT, deadline);
    if (ready != 1) return ready;
    struct iovec piece = {(void *)(uintptr_t)bytes, size};
    const struct msghdr message = {.msg_iov = &piece, .msg_iovlen = 1};
    const ssize_t sent = sendmsg(socket, &message, flags_for(deadline));
    if (sent < 0 && (errno == EINTR || errno == EAGAIN)) continue;
    if (sent < 0) return -1;
    bytes += sent;
    size -= (size_t)sent;
  }
  return 1;
}

static int send_header(int socket, const bc_apart_message *message, int64_t deadline) {
  header head = {.kind = message->kind, .parts = message->parts, .patient = message->patient};
  memcpy(head.language, message->language, sizeof head.language);
  for (uint32_t i = 0; i < message->parts; i++) head.size[i] = message->part[i].size;
  union {
    char room[CMSG_SPACE(BC_APART_FILES * sizeof(int))];
    struct cmsghdr align;
  } control = {0};
  struct iovec piece = {&head, sizeof head};
  struct msghdr wrapped = {.msg_iov = &piece, .msg_iovlen = 1};
  if (message->files > 0) {
    wrapped.msg_control = control.room;
    wrapped.msg_controllen = CMSG_SPACE(message->files * sizeof(int));
    struct cmsghdr *rights = CMSG_FIRSTHDR(&wrapped);
    *rights = (struct cmsghdr){
        .cmsg_level = SOL_SOCKET, .cmsg_type = SCM_RIGHTS, .cmsg_len = CMSG_LEN(message->files * sizeof(int))};
    memcpy(CMSG_DATA(rights), message->file, message->files * sizeof(int));
  }
  const int ready = wait_for(socket, POLLOUT, deadline);
  if (ready != 1) return ready;
  ssize_t sent;
  do sent = sendmsg(socket, &wrapped, MSG_NOSIGNAL);
  while (sent < 0 && errno == EINTR);
  return sent == (ssize_t)sizeof head ? 1 : -1; /* the first bytes of an empty socket's buffer go in one piece */
}

int apart_wire_send(int socket, const bc_apart_message *message, int64_t deadline) {
  int done = send_header(socket, message, deadline);
  for (uint32_t i = 0; done == 1 && i < message->parts; i++)
    done = send_bytes(socket, message->part[i].bytes, message->part[i].size, deadline);
  return done;
}

static void take_files(bc_apart_message *message, struct msghdr *wrapped) {
  for (struct cmsghdr *c = CMSG_FIRSTHDR(wrapped); c; c = CMSG_NXTHDR(wrapped, c)) {
    if (c->cmsg_level != SOL_SOCKET || c->cmsg_type != SCM_RIGHTS) continue;
    const size_t count = (c->cmsg_len - CMSG_LEN(0)) / sizeof(int);
    for (size_t i = 0; i < count; i++) {
      int file;
      memcpy(&file, CMSG_DATA(c) + i * sizeof file, sizeof file);
      if (message->files < BC_APART_FILES)
        message->file[message->files++] = file;
      else
        close(file);
    }
  }
}

static int receive_bytes(int socket, uint8_t *bytes, size_t size, int64_t deadline, bc_apart_message *files) {
  while (size > 0) {
    const int ready = wait_for(socket, POLLIN, deadline);
    if (ready != 1) return ready;
    union {
      char room[CMSG_SPACE(BC_APART_FILES * sizeof(int))];
      struct cmsghdr align;
    } control;
    struct iovec piece = {bytes, size};
    struct msghdr wrapped = {.msg_iov = &piece, .msg_iovlen = 1};
    if (files) {
      wrapped.msg_control = control.room;
      wrapped.msg_controllen = sizeof control.room;
    }
    const ssize_t got = recvmsg(socket, &wrapped, flags_for(deadline) | MSG_CMSG_CLOEXEC);
    if (got < 0 && (errno == EINTR || errno == EAGAIN)) continue;
    if (got <= 0) return -1;
    if (files) take_files(files, &wrapped);
    bytes += got;
    size -= (size_t)got;
  }
  return 1;
}

/* Memory is taken as bytes come in, so that a lying header costs nothing. */
static int receive_part(int socket, bc_apart_part *part, size_t size, int64_t deadline) {
  part->size = 0;
  part->bytes = malloc(size + 1);
  if (!part->bytes) return -1;
  const int done = receive_bytes(socket, part->bytes, size, deadline, NULL);
  part->size = size;
  part->bytes[size] = 0;
  return done;
}

int apart_wire_receive(int socket, bc_apart_message *message, int64_t deadline, uint64_t most) {
  *message = (bc_apart_message){0};
  header head = {0}; /* all zero when nothing comes */
  int done = receive_bytes(socket, (uint8_t *)&head, sizeof head, deadline, message);
  if (done == 1 && head.parts > BC_APART_PARTS) done = -1;
  message->kind = head.kind;
  message->patient = head.patient != 0;
  if (done == 1) memcpy(message->language, head.language, sizeof head.language);
  message->language[sizeof message->language - 1] = '\0';
  for (uint32_t i = 0; done == 1 && i < head.parts; i++) {
    if (head.size[i] > most) {
      done = -1;
      break;
    }
    most -= head.size[i];
    message->parts = i + 1;
    done = receive_part(socket, &message->part[i], (size_t)head.size[i], deadline);
  }
  if (done != 1) bc_apart_message_clear(message);
  return done;
}
