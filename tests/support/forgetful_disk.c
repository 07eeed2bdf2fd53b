/* SPDX-License-Identifier: MIT */
/* Preloaded before the server: writes down, in order, what it does to the files under $DISK_ROOT, into $DISK_LOG. From
 * that, tests/web/crashes.py makes the disk as a power cut at any moment would leave it, everything forgotten that was
 * not synchronised: of files what no fsync followed, of folders the names that no fsync of the folder followed.
 *
 *   record: operation, inode, offset, sizes of two paths and of data; then those
 *   C new file, W write, T truncate, S fsync of a file, D fsync of a folder, R rename, L link, U unlink, M mkdir */
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

#define SHOWN __attribute__((visibility("default")))

typedef struct record {
  char operation[8];
  uint64_t inode, offset;
  uint32_t first, second, data, unused;
} record;

static char root[PATH_MAX];
static int log_file = -1;
static pid_t self; /* workers write only what may be lost */
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;

__attribute__((constructor)) static void begin(void) {
  const char *at = getenv("DISK_ROOT"), *to = getenv("DISK_LOG");
  if (!at || !to) return;
  snprintf(root, sizeof root, "%s/", at);
  log_file = (int)syscall(SYS_openat, AT_FDCWD, to, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  self = getpid();
}

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

static const char *inside(const char *path) {
  if (log_file < 0 || getpid() != self) return NULL;
  const size_t length = strlen(root);
  if (strncmp(path, root, length) == 0) return path + length;
  return strlen(path) == length - 1 && strncmp(path, root, length - 1) == 0 ? "" : NULL;
}

/* The path of an open file below the root; NULL. -shm is memory, not disk; what is drawn may be lost. */
static const char *path_of(int file, char room[PATH_MAX]) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", file);
  const ssize_t length = readlink(link, room, PATH_MAX - 1);
  if (length < 0) return NULL;
  room[length] = '\0';
  return inside(room);
}

static void note(char operation, uint64_t inode, uint64_t offset, const char *first, const char *second,
                 const void *data, size_t size) {
  record r = {.operation = {operation},
              .inode = inode,
              .offset = offset,
              .first = (uint32_t)strlen(first),
              .second = (uint32_t)strlen(second),
              .data = (uint32_t)size};
  struct iovec parts[4] = {{&r, sizeof r},
                           {(void *)(uintptr_t)first, r.first},
                           {(void *)(uintptr_t)second, r.second},
                           {(void *)(uintptr_t)data, size}};
  if (syscall(SYS_writev, log_file, parts, 4) < 0) abort();
}

static uint64_t inode_of(int file) {
  struct stat about;
  return fstat(file, &about) == 0 ? about.st_ino : 0;
}

/* --- what changes bytes ------------------------------------------------------------------------------------ */

static void note_write(int file, const void *bytes, ssize_t done, off_t at) {
  char room[PATH_MAX];
  const int kept = errno;
  const char *path = done > 0 ? path_of(file, room) : NULL;
  if (path) note('W', inode_of(file), (uint64_t)at, path, "", bytes, (size_t)done);
  errno = kept;
}

SHOWN ssize_t pwrite64(int file, const void *bytes, size_t size, off_t at) {
  pthread_mutex_lock(&lock);
  const ssize_t done = (ssize_t)syscall(SYS_pwrite64, file, bytes, size, at);
  note_write(file, bytes, done, at);
  pthread_mutex_unlock(&lock);
  return done;
}

SHOWN ssize_t pwrite(int file, const void *bytes, size_t size, off_t at) {
  return pwrite64(file, bytes, size, at);
}

SHOWN ssize_t write(int file, const void *bytes, size_t size) {
  char room[PATH_MAX];
  if (log_file < 0 || file == log_file || !path_of(file, room)) return (ssize_t)syscall(SYS_write, file, bytes, size);
  pthread_mutex_lock(&lock);
  const off_t at = (off_t)syscall(SYS_lseek, file, 0, SEEK_CUR);
  const ssize_t done = (ssize_t)syscall(SYS_write, file, bytes, size);
  note_write(file, bytes, done, at);
  pthread_mutex_unlock(&lock);
  return done;
}

SHOWN int ftruncate64(int file, off_t size) {
  char room[PATH_MAX];
  pthread_mutex_lock(&lock);
  const int done = (int)syscall(SYS_ftruncate, file, size);
  const char *path = done == 0 ? path_of(file, room) : NULL;
  if (path) note('T', inode_of(file), (uint64_t)size, path, "", "", 0);
  pthread_mutex_unlock(&lock);
  return done;
}

SHOWN int ftruncate(int file, off_t size) {
  return ftruncate64(file, size);
}

/* What stdio wrote went past us, so that a picture's bytes are noted here. */
static void note_sync(int file, const char *path) {
  struct stat about;
  if (fstat(file, &about) != 0) return;
  if (S_ISDIR(about.st_mode)) {
    note('D', about.st_ino, 0, path, "", "", 0);
    return;
  }
  char link[64], *bytes = strncmp(path, "made/", 5) == 0 ? malloc((size_t)about.st_size + 1) : NULL;
  snprintf(link, sizeof link, "/proc/self/fd/%d", file);
  const int again = bytes ? (int)syscall(SYS_openat, AT_FDCWD, link, O_RDONLY | O_CLOEXEC) : -1;
  if (again >= 0 && syscall(SYS_pread64, again, bytes, about.st_size, 0) == about.st_size)
    note('W', about.st_ino, 0, path, "", bytes, (size_t)about.st_size);
  if (again >= 0) close(again);
  free(bytes);
  note('S', about.st_ino, 0, path, "", "", 0);
}

static int sync_file(int file, long call) {
  char room[PATH_MAX];
  pthread_mutex_lock(&lock);
  const char *path = path_of(file, room);
  const int done = path ? 0 : (int)syscall(call, file); /* the disk is ours: nothing needs to reach the real one */
  if (path) note_sync(file, path);
  pthread_mutex_unlock(&lock);
  return done;
}

SHOWN int fsync(int file) {
  return sync_file(file, SYS_fsync);
}

SHOWN int fdatasync(int file) {
  return sync_file(file, SYS_fdatasync);
}

/* --- what changes names -------------------------------------------------------------------------------------- */

static int open_noted(const char *path, int flags, mode_t mode) {
  const char *name = inside(path);
  if (!name) return (int)syscall(SYS_openat, AT_FDCWD, path, flags, mode);
  pthread_mutex_lock(&lock);
  const int there = (int)syscall(SYS_access, path, F_OK);
  const int file = (int)syscall(SYS_openat, AT_FDCWD, path, flags, mode);
  if (file >= 0 && there != 0 && (flags & O_CREAT)) note('C', inode_of(file), 0, name, "", "", 0);
  if (file >= 0 && there == 0 && (flags & O_TRUNC)) note('T', inode_of(file), 0, name, "", "", 0);
  pthread_mutex_unlock(&lock);
  return file;
}

SHOWN int open64(const char *path, int flags, ...) {
  va_list more;
  va_start(more, flags);
  const mode_t mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, mode_t) : 0;
  va_end(more);
  return open_noted(path, flags, mode);
}

SHOWN int open(const char *path, int flags, ...) {
  va_list more;
  va_start(more, flags);
  const mode_t mode = flags & (O_CREAT | O_TMPFILE) ? va_arg(more, mode_t) : 0;
  va_end(more);
  return open_noted(path, flags, mode);
}

SHOWN int mkostemp(char *path, int flags) {
  pthread_mutex_lock(&lock);
  const int file = REAL(mkostemp)(path, flags);
  const char *name = file >= 0 ? inside(path) : NULL;
  if (name) note('C', inode_of(file), 0, name, "", "", 0);
  pthread_mutex_unlock(&lock);
  return file;
}

SHOWN int mkdir(const char *path, mode_t mode) {
  pthread_mutex_lock(&lock);
  const int done = (int)syscall(SYS_mkdir, path, mode);
  const char *name = done == 0 ? inside(path) : NULL;
  const int kept = errno;
  if (name) note('M', 0, 0, name, "", "", 0);
  pthread_mutex_unlock(&lock);
  errno = kept;
  return done;
}

static int two_names(char operation, long call, const char *from, const char *to) {
  pthread_mutex_lock(&lock);
  const int done = (int)syscall(call, from, to), kept = errno;
  const char *first = done == 0 ? inside(from) : NULL, *second = done == 0 ? inside(to) : NULL;
  if (first && second) note(operation, 0, 0, first, second, "", 0);
  pthread_mutex_unlock(&lock);
  errno = kept;
  return done;
}

SHOWN int rename(const char *from, const char *to) {
  return two_names('R', SYS_rename, from, to);
}

SHOWN int link(const char *from, const char *to) {
  return two_names('L', SYS_link, from, to);
}

SHOWN int unlink(const char *path) {
  pthread_mutex_lock(&lock);
  const int done = (int)syscall(SYS_unlink, path), kept = errno;
  const char *name = done == 0 ? inside(path) : NULL;
  if (name) note('U', 0, 0, name, "", "", 0);
  pthread_mutex_unlock(&lock);
  errno = kept;
  return done;
}

SHOWN int unlinkat(int folder, const char *name, int flags) {
  char room[PATH_MAX], whole[PATH_MAX];
  const char *at = path_of(folder, room);
  if (!at) return (int)syscall(SYS_unlinkat, folder, name, flags);
  snprintf(whole, sizeof whole, "%.3000s%.1000s/%.90s", root, at, name);
  return unlink(whole);
}
