/* SPDX-License-Identifier: MIT */
/* Whole files in, under a limit; and out through a temporary neighbour that is renamed at the end. */
#include "base.h"

#include <backcloth/file.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- reading ---- */

static bc_status fail_open(bc_context *context, const char *path, int error) {
  if (error == ENOENT || error == ENOTDIR)
    return bc_fail(context, BC_NO_INPUT, _("%s: there is no such file. Check the name and the folder."), path);
  if (error == EACCES || error == EPERM)
    return bc_fail(context, BC_NO_INPUT, _("%s: this file may not be read. Check its permissions."), path);
  return bc_fail(context, BC_NO_INPUT, _("%s: cannot be opened (%s)."), path, strerror(error));
}

static bc_status fail_size(bc_context *context, const char *path, uint64_t most) {
  return bc_fail(context, BC_BAD_DATA, _("%s: the file is larger than the %.1f MB that are accepted here."), path,
                 (double)most / 1048576.0);
}

/* What is read. The size told by stat is only a hint, since the file may be a pipe or may grow meanwhile. */
typedef struct opened {
  const char *path;
  FILE *stream;
  size_t hint;
} opened;

/* Reads until the end or one byte past the limit. */
static bc_status read_all(uint8_t **out, size_t *size, bc_context *context, const opened *from, uint64_t most) {
  FILE *const stream = from->stream;
  size_t capacity = from->hint < 4096 ? 4096 : from->hint + 2;
  size_t length = 0;
  uint8_t *bytes = bc_allocate(capacity, 1);
  if (!bytes) return bc_fail_memory(context);
  for (;;) {
    length += fread(bytes + length, 1, capacity - 1 - length, stream);
    if (length > most) {
      free(bytes);
      return fail_size(context, from->path, most);
    }
    if (length < capacity - 1) break;
    uint8_t *grown = bc_reallocate(bytes, capacity * 2, 1);
    if (!grown) {
      free(bytes);
      return bc_fail_memory(context);
    }
    bytes = grown;
    capacity *= 2;
  }
  if (ferror(stream)) {
    free(bytes);
    return bc_fail(context, BC_NO_INPUT, _("%s: reading failed part way (%s). Copy the file again."), from->path,
                   strerror(errno));
  }
  bytes[length] = 0;
  *out = bytes;
  *size = length;
  return BC_OK;
}

bc_status bc_file_read(uint8_t **out, size_t *size, bc_context *context, const char *path, uint64_t most) {
  *out = NULL;
  *size = 0;
  if (strcmp(path, "-") == 0) return read_all(out, size, context, &(opened){_("standard input"), stdin, 0}, most);
  FILE *stream = fopen(path, "rbe");
  if (!stream) return fail_open(context, path, errno);
  struct stat about;
  bc_status status;
  if (fstat(fileno(stream), &about) != 0)
    status = fail_open(context, path, errno);
  else if (S_ISDIR(about.st_mode))
    status = bc_fail(context, BC_NO_INPUT, _("%s: this is a folder; name a file in it."), path);
  else if (about.st_size > 0 && (uint64_t)about.st_size > most)
    status = fail_size(context, path, most);
  else
    status = read_all(out, size, context, &(opened){path, stream, about.st_size > 0 ? (size_t)about.st_size : 0}, most);
  fclose(stream);
  return status;
}

/* ---- writing ---- */

struct bc_file_writer {
  char *named; /* what the user calls it; NULL for standard output */
  char *path;  /* the target */
  char *aside; /* the temporary neighbour; NULL where the target itself is written */
  FILE *stream;
  int error; /* first errno, 0 = fine */
};

static void writer_free(bc_file_writer *writer) {
  free(writer->named);
  free(writer->path);
  free(writer->aside);
  free(writer);
}

static bc_status fail_write(bc_context *context, const char *path, int error) {
  return bc_fail(context, BC_CANNOT_WRITE, _("%s: cannot be written (%s). Choose another place for the output."), path,
                 strerror(error));
}

/* An output has the permissions of the file that it takes the place of, or those that the user's umask gives: mkostemp
 * makes files private. */
static bool take_mode(int descriptor, const struct stat *there) {
  const mode_t mask = umask(0);
  umask(mask);
  if (there && there->st_gid != getegid()) (void)!fchown(descriptor, (uid_t)-1, there->st_gid);
  if (there && there->st_uid != geteuid()) (void)!fchown(descriptor, there->st_uid, (gid_t)-1);
  return fchmod(descriptor, there ? there->st_mode & 0777 : 0666 & ~mask) == 0;
}

/* The temporary neighbour of what is at `path`. Fails with errno. */
static int open_aside(bc_file_writer *writer, const struct stat *there) {
  if (there && access(writer->path, W_OK) != 0) return -1; /* protected against writing: so it stays */
  writer->aside = bc_format("%s.XXXXXX", writer->path);
  const int descriptor = writer->aside ? mkostemp(writer->aside, O_CLOEXEC) : -1;
  if (descriptor < 0) {
    const int error = errno;
    free(writer->aside);
    writer->aside = NULL;
    errno = error;
  } else if (!take_mode(descriptor, there)) {
    writer->error = errno;
  }
  return descriptor;
}

static int open_target(bc_file_writer *writer, const char *path) {
  struct stat there;
  writer->named = bc_copy_text(path);
  writer->path = writer->named ? bc_path_followed(path) : NULL;
  if (!writer->path) return -1;
  if (stat(writer->path, &there) != 0) return errno == ENOENT ? open_aside(writer, NULL) : -1;
  if (S_ISREG(there.st_mode)) return open_aside(writer, &there);
  return open(writer->path, O_WRONLY | O_CLOEXEC | O_NOCTTY); /* nothing is there to be kept whole */
}

bc_status bc_file_writer_open(bc_file_writer **out, bc_context *context, const char *path) {
  *out = NULL;
  bc_file_writer *writer = bc_allocate(1, sizeof *writer);
  if (!writer) return bc_fail_memory(context);
  if (bc_path_is_standard_output(path)) {
    writer->stream = stdout;
    *out = writer;
    return BC_OK;
  }
  const int descriptor = open_target(writer, path);
  writer->stream = descriptor >= 0 ? fdopen(descriptor, "wb") : NULL;
  if (writer->stream) {
    *out = writer;
    return BC_OK;
  }
  const bc_status status = errno == ENOMEM ? bc_fail_memory(context) : fail_write(context, path, errno);
  if (descriptor >= 0) close(descriptor);
  if (writer->aside) unlink(writer->aside);
  writer_free(writer);
  return status;
}

FILE *bc_file_writer_stream(bc_file_writer *writer) {
  return writer->stream;
}

void bc_file_writer_write(bc_file_writer *writer, const void *bytes, size_t size) {
  if (writer->error) return;
  if (fwrite(bytes, 1, size, writer->stream) != size) writer->error = errno ? errno : EIO;
}

/* Makes the rename itself durable. Some file systems refuse to sync folders; the file is whole anyway. */
static void sync_folder(const char *path) {
  char *folder = bc_path_folder(path);
  if (!folder) return;
  const int descriptor = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor >= 0) {
    (void)fsync(descriptor);
    close(descriptor);
  }
  free(folder);
}

bc_status bc_file_writer_commit(bc_file_writer *writer, bc_context *context) {
  if (writer->path && bc_memory_lacked()) { /* something may be missing in what was written */
    bc_file_writer_abandon(writer);
    return bc_fail_memory(context);
  }
  if (!writer->error && ferror(writer->stream)) writer->error = EIO;
  if (fflush(writer->stream) != 0 && !writer->error) writer->error = errno;
  if (writer->aside && !writer->error && fsync(fileno(writer->stream)) != 0) writer->error = errno;
  if (writer->path && fclose(writer->stream) != 0 && !writer->error) writer->error = errno;
  if (writer->aside && !writer->error && rename(writer->aside, writer->path) != 0) writer->error = errno;
  const bc_status status =
      writer->error ? fail_write(context, writer->named ? writer->named : _("standard output"), writer->error) : BC_OK;
  if (writer->aside && writer->error) unlink(writer->aside);
  if (writer->aside && writer->path && !writer->error) sync_folder(writer->path);
  writer_free(writer);
  return status;
}

void bc_file_writer_abandon(bc_file_writer *writer) {
  if (!writer) return;
  if (writer->path) fclose(writer->stream);
  if (writer->aside) unlink(writer->aside);
  writer_free(writer);
}

/* ---- paths ---- */

/* What a symbolic link says, as a path from here. NULL when `path` is none, with errno 0, or on failure. */
static char *link_target(const char *path) {
  char said[PATH_MAX];
  const ssize_t length = readlink(path, said, sizeof said - 1);
  if (length < 0) {
    if (errno == EINVAL || errno == ENOENT || errno == ENOTDIR || errno == EACCES) errno = 0;
    return NULL;
  }
  said[length] = '\0';
  char *folder = bc_path_folder(path);
  char *target = folder ? bc_path_join(folder, said) : NULL;
  free(folder);
  if (!target) errno = ENOMEM;
  return target;
}

char *bc_path_followed(const char *path) {
  enum { most = 40 }; /* as Linux follows */
  struct stat about;
  char *here = strdup(path);
  for (int i = 0; here && i < most; i++) {
    char *next = link_target(here);
    if (!next && errno == 0) return here;
    /* The links of /proc to what has no name, as a pipe, lead where their text does not. */
    if (next && lstat(next, &about) != 0 && stat(here, &about) == 0) {
      free(next);
      return here;
    }
    free(here);
    here = next;
    if (!next) return NULL;
  }
  free(here);
  errno = here ? ELOOP : ENOMEM;
  return NULL;
}

char *bc_path_folder(const char *path) {
  const char *slash = strrchr(path, '/');
  if (!slash) return strdup(".");
  if (slash == path) return strdup("/");
  return strndup(path, (size_t)(slash - path));
}

const char *bc_path_name(const char *path) {
  const char *slash = strrchr(path, '/');
  return slash ? slash + 1 : path;
}

char *bc_path_join(const char *folder, const char *name) {
  if (name[0] == '/' || strcmp(folder, ".") == 0) return strdup(name);
  return bc_format("%s/%s", folder, name);
}

bool bc_path_has_suffix(const char *path, const char *suffix) {
  const char *dot = strrchr(bc_path_name(path), '.');
  return dot && strcasecmp(dot + 1, suffix) == 0;
}

bool bc_path_is_standard_output(const char *path) {
  static const char *const names[] = {"-", "-.png", "-.pdf", "-.svg"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
    if (strcmp(path, names[i]) == 0) return true;
  return false;
}

char *bc_path_shown(const char *path) {
  return bc_copy_printable(bc_path_is_standard_output(path) ? _("standard output") : path);
}

bool bc_path_stays_inside(const char *path) {
  if (path[0] == '/') return false;
  int depth = 0;
  while (*path) {
    const size_t length = strcspn(path, "/");
    if (length == 2 && path[0] == '.' && path[1] == '.')
      depth--;
    else if (length > 0 && !(length == 1 && path[0] == '.'))
      depth++;
    if (depth < 0) return false;
    path += length;
    if (*path == '/') path++;
  }
  return true;
}
