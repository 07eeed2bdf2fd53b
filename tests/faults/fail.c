/* SPDX-License-Identifier: MIT */
/* Preloaded into the program: the n-th allocation, or the n-th call that writes, fails once. In: the environment.
 *   BC_FAIL_ALLOCATION=N  the N-th allocation gives NULL
 *   BC_FAIL_CALL=N        the N-th open for writing, write, fsync, close, rename … fails
 *   BC_FAIL_ERROR=E       with this errno (ENOSPC without it)
 *   BC_FAIL_LIST=FILE     nothing fails; FILE takes, for each that could, a hash of where it was called from
 *   BC_FAIL_TELL=1        says on standard error where it failed
 * Counting begins with the program's own work (bindtextdomain), not with the loader's. Whoever crashes says where.
 * One processor is shown, so that the count is the same each time. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <fcntl.h>
#include <libintl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

#define EXPORT __attribute__((visibility("default")))
#define DEEP 14 /* callers that tell one place from another */

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);
void *__libc_memalign(size_t alignment, size_t size);

static atomic_long allocations, calls;
static long fail_allocation, fail_call;
static int list = -1, fail_error = ENOSPC;
static bool counting, tell;
static _Thread_local bool inside;

static void say_where(void) {
  void *frame[64];
  const int count = backtrace(frame, 64);
  backtrace_symbols_fd(frame, count, STDERR_FILENO);
}

static void crashed(int sign) {
  inside = true;
  say_where();
  signal(sign, SIG_DFL);
  raise(sign);
}

static long number_of(const char *name) {
  const char *text = getenv(name);
  return text ? atol(text) : 0;
}

static void begin(void) {
  static const int signs[] = {SIGSEGV, SIGABRT, SIGTRAP, SIGBUS, SIGFPE, SIGILL};
  void *frame[4];
  inside = true;
  backtrace(frame, 4); /* loads the unwinder, which allocates */
  fail_allocation = number_of("BC_FAIL_ALLOCATION");
  fail_call = number_of("BC_FAIL_CALL");
  if (number_of("BC_FAIL_ERROR")) fail_error = (int)number_of("BC_FAIL_ERROR");
  tell = number_of("BC_FAIL_TELL") != 0;
  const char *path = getenv("BC_FAIL_LIST");
  if (path) list = (int)syscall(SYS_openat, AT_FDCWD, path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) signal(signs[i], crashed);
  inside = false;
  counting = true;
}

/* The place in a page of each caller's address: that much is the same wherever the program is loaded. */
static void note(char kind) {
  void *frame[DEEP + 3];
  inside = true;
  const int count = backtrace(frame, DEEP + 3);
  uint64_t hash = 14695981039346656037u; /* FNV-1a */
  for (int i = 2; i < count; i++) hash = (hash ^ ((uintptr_t)frame[i] & 0xfff)) * 1099511628211u;
  char line[32];
  const int length = snprintf(line, sizeof line, "%c %016llx\n", kind, (unsigned long long)hash);
  syscall(SYS_write, list, line, (size_t)length);
  inside = false;
}

static bool told(bool fails) {
  if (fails && tell) {
    inside = true;
    say_where();
    inside = false;
  }
  return fails;
}

static bool allocation_fails(void) {
  if (!counting || inside) return false;
  const long at = atomic_fetch_add(&allocations, 1) + 1;
  if (list >= 0) note('a');
  return told(at == fail_allocation);
}

static bool call_fails(void) {
  if (!counting || inside) return false;
  const long at = atomic_fetch_add(&calls, 1) + 1;
  if (list >= 0) note('c');
  if (!told(at == fail_call)) return false;
  errno = fail_error;
  return true;
}

/* ---- allocations: below the program's malloc, which every library uses ---- */

#define REAL(name) ((__typeof__(&(name)))dlsym(RTLD_NEXT, #name))

EXPORT void *__libc_malloc(size_t size) {
  static void *(*real)(size_t);
  if (!real) real = REAL(__libc_malloc);
  if (!allocation_fails()) return real(size);
  errno = ENOMEM;
  return NULL;
}

EXPORT void *__libc_calloc(size_t count, size_t size) {
  static void *(*real)(size_t, size_t);
  if (!real) real = REAL(__libc_calloc);
  if (!allocation_fails()) return real(count, size);
  errno = ENOMEM;
  return NULL;
}

EXPORT void *__libc_realloc(void *block, size_t size) {
  static void *(*real)(void *, size_t);
  if (!real) real = REAL(__libc_realloc);
  if (!allocation_fails()) return real(block, size);
  errno = ENOMEM;
  return NULL;
}

EXPORT void *__libc_memalign(size_t alignment, size_t size) {
  static void *(*real)(size_t, size_t);
  if (!real) real = REAL(__libc_memalign);
  if (!allocation_fails()) return real(alignment, size);
  errno = ENOMEM;
  return NULL;
}

/* ---- calls that write ---- */

static bool writes(int flags) {
  return (flags & O_ACCMODE) != O_RDONLY;
}

static int open_really(int folder, const char *path, int flags, mode_t mode) {
  if (writes(flags) && call_fails()) return -1;
  return (int)syscall(SYS_openat, folder, path, flags, mode);
}

#define MODE_OF(flags, mode)                                                                                           \
  mode_t mode = 0;                                                                                                     \
  if ((flags) & (O_CREAT | O_TMPFILE)) {                                                                               \
    va_list rest;                                                                                                      \
    va_start(rest, flags);                                                                                             \
    mode = va_arg(rest, mode_t);                                                                                       \
    va_end(rest);                                                                                                      \
  }

EXPORT int open(const char *path, int flags, ...) {
  MODE_OF(flags, mode)
  return open_really(AT_FDCWD, path, flags, mode);
}

EXPORT int open64(const char *path, int flags, ...) {
  MODE_OF(flags, mode)
  return open_really(AT_FDCWD, path, flags, mode);
}

EXPORT int mkostemp(char *name, int flags) {
  return call_fails() ? -1 : REAL(mkostemp)(name, flags);
}

EXPORT ssize_t write(int file, const void *bytes, size_t size) {
  return call_fails() ? -1 : (ssize_t)syscall(SYS_write, file, bytes, size);
}

EXPORT ssize_t pwrite64(int file, const void *bytes, size_t size, off64_t at) {
  return call_fails() ? -1 : (ssize_t)syscall(SYS_pwrite64, file, bytes, size, at);
}

EXPORT ssize_t pwrite(int file, const void *bytes, size_t size, off_t at) {
  return pwrite64(file, bytes, size, at);
}

/* stdio's own writes don't pass through write(): they are failed where the stream is given something. */
EXPORT size_t fwrite(const void *bytes, size_t size, size_t count, FILE *stream) {
  if (stream != stderr && call_fails()) return stream->_flags |= 0x20, 0; /* glibc: the stream has failed */
  return REAL(fwrite)(bytes, size, count, stream);
}

EXPORT int fflush(FILE *stream) {
  if (!stream || stream == stderr || !call_fails()) return REAL(fflush)(stream);
  stream->_flags |= 0x20;
  return EOF;
}

EXPORT int fclose(FILE *stream) {
  if (!writes(fcntl(fileno(stream), F_GETFL)) || !call_fails()) return REAL(fclose)(stream);
  REAL(fclose)(stream);
  errno = fail_error;
  return EOF;
}

EXPORT FILE *fdopen(int file, const char *mode) {
  return mode[0] != 'r' && call_fails() ? NULL : REAL(fdopen)(file, mode);
}

EXPORT int fsync(int file) {
  return call_fails() ? -1 : (int)syscall(SYS_fsync, file);
}

EXPORT int fdatasync(int file) {
  return call_fails() ? -1 : (int)syscall(SYS_fdatasync, file);
}

EXPORT int rename(const char *from, const char *to) {
  return call_fails() ? -1 : REAL(rename)(from, to);
}

EXPORT int fchmod(int file, mode_t mode) {
  return call_fails() ? -1 : (int)syscall(SYS_fchmod, file, mode);
}

EXPORT int ftruncate64(int file, off64_t size) {
  return call_fails() ? -1 : (int)syscall(SYS_ftruncate, file, size);
}

EXPORT int ftruncate(int file, off_t size) {
  return ftruncate64(file, size);
}

EXPORT int mkdir(const char *path, mode_t mode) {
  return call_fails() ? -1 : REAL(mkdir)(path, mode);
}

/* ---- the beginning, and one processor ---- */

EXPORT char *bindtextdomain(const char *domain, const char *folder) {
  if (!counting && strcmp(domain, "backcloth") == 0) begin(); /* GLib has one, too */
  return REAL(bindtextdomain)(domain, folder);
}

EXPORT long sysconf(int name) {
  return name == _SC_NPROCESSORS_ONLN ? 1 : REAL(sysconf)(name);
}
