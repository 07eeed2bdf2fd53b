/* SPDX-License-Identifier: MIT */
/* Preloaded before the program: its calendar, and the clock that counts from the machine's start, run ahead or behind
 * by as many seconds as the file $MOVED_CLOCK holds (8 bytes each, shared, so that a test moves the clocks of a running
 * program). Where time passes both move; where somebody sets the calendar only that does. The program has no such
 * thing. */
#include <dlfcn.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static const volatile int64_t *ahead;

__attribute__((constructor)) static void begin(void) {
  const char *path = getenv("MOVED_CLOCK");
  const int file = path ? open(path, O_RDONLY | O_CLOEXEC) : -1;
  void *map = file >= 0 ? mmap(NULL, 2 * sizeof *ahead, PROT_READ, MAP_SHARED, file, 0) : MAP_FAILED;
  if (map != MAP_FAILED) ahead = map;
  if (file >= 0) close(file);
}

__attribute__((visibility("default"))) int clock_gettime(clockid_t clock, struct timespec *out) {
  const int done = (int)syscall(SYS_clock_gettime, clock, out);
  if (done == 0 && clock == CLOCK_REALTIME && ahead) out->tv_sec += ahead[0];
  if (done == 0 && clock == CLOCK_BOOTTIME && ahead) out->tv_sec += ahead[1];
  return done;
}

__attribute__((visibility("default"))) time_t time(time_t *out) {
  struct timespec now;
  clock_gettime(CLOCK_REALTIME, &now);
  if (out) *out = now.tv_sec;
  return now.tv_sec;
}
