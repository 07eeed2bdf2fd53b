/* SPDX-License-Identifier: MIT */
/* Any bytes as the message of a worker that a photo has taken over: broken, or a message within its bounds. */
#include "base/apart/apart.h"

#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#define PROMISE(condition)                                                                                             \
  if (!(condition)) abort()
enum { MOST = 4096, SENT_MOST = 65536 };

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  int end[2];
  if (size > SENT_MOST || socketpair(AF_UNIX, SOCK_STREAM, 0, end) != 0) return 0;
  PROMISE(size == 0 || send(end[0], data, size, MSG_NOSIGNAL) == (ssize_t)size);
  close(end[0]);
  bc_apart_message message;
  const int done = apart_wire_receive(end[1], &message, bc_now_ms() + 5000, MOST);
  PROMISE(done == 1 || done == -1);
  PROMISE(message.parts <= BC_APART_PARTS && message.files == 0 && (done == 1 || message.parts == 0));
  PROMISE(memchr(message.language, 0, sizeof message.language));
  uint64_t all = 0;
  for (uint32_t i = 0; i < message.parts; i++) {
    PROMISE(message.part[i].bytes && message.part[i].bytes[message.part[i].size] == 0);
    all += message.part[i].size;
  }
  PROMISE(all <= MOST);
  bc_apart_message_clear(&message);
  close(end[1]);
  return 0;
}
