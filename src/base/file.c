/* SPDX-License-Identifier: MIT */
/* Whole files in, under a limit; and out through a temporary neighbour that is renamed at the end. */
#include "file.h"
#include "base.h"

#include <errno.h>
#include <fcntl.h>
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

/* Reads until the end or one byte past the limit; the size told by stat is only a hint, since the
 * file may be a pipe or may grow meanwhile. */
static bc_status read_all(uint8_t **out, size_t *size, bc_context *context, const char *path, FILE *stream,
                          uint64_t most, size_t hint) {
  size_t capacity = hint < 4096 ? 4096 : hint + 2;
  size_t length = 0;
  uint8_t *bytes = bc_allocate(capacity, 1);
  if (!bytes) return bc_fail_memory(context);
  for (;;) {
    length += fread(bytes + length, 1, capacity - 1 - length, stream);
    if (length > most) {
      free(bytes);
      return fail_size(context, path, most);
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
    return bc_fail(context, BC_NO_INPUT, _("%s: reading failed part way (%s). Copy the file again."), path,
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
  if (strcmp(path, "-") == 0) return read_all(out, size, context, _("standard input"), stdin, most, 0);
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
    status = read_all(out, size, context, path, stream, most, about.st_size > 0 ? (size_t)about.st_size : 0);
  fclose(stream);
  return status;
}

/* ---- writing ---- */

struct bc_file_writer {
  char *path;  /* the target; NULL for standard output */
  char *aside; /* the temporary neighbour */
  FILE *stream;
  int error; /* first errno, 0 = fine */
};

static void writer_free(bc_file_writer *writer) {
  free(writer->path);
  free(writer->aside);
  free(writer);
}

static bc_status fail_write(bc_context *context, const char *path, int error) {
  return bc_fail(context, BC_CANNOT_WRITE, _("%s: cannot be written (%s). Choose another place for the output."), path,
                 strerror(error));
}

bc_status bc_file_writer_open(bc_file_writer **out, bc_context *context, const char *path) {
  *out = NULL;
  bc_file_writer *writer = bc_allocate(1, sizeof *writer);
  if (!writer) return bc_fail_memory(context);
  if (strcmp(path, "-") == 0) {
    writer->stream = stdout;
    *out = writer;
    return BC_OK;
  }
  writer->path = bc_copy_text(path);
  writer->aside = bc_format("%s.XXXXXX", path);
  if (!writer->path || !writer->aside) {
    writer_free(writer);
    return bc_fail_memory(context);
  }
  const int descriptor = mkostemp(writer->aside, O_CLOEXEC);
  if (descriptor < 0) {
    const bc_status status = fail_write(context, path, errno);
    writer_free(writer);
    return status;
  }
  /* mkstemp makes files private; an output should have the permissions the user's umask gives. */
  const mode_t mask = umask(0);
  umask(mask);
  if (fchmod(descriptor, 0666 & ~mask) != 0) writer->error = errno;
  writer->stream = fdopen(descriptor, "wb");
  if (!writer->stream) {
    const bc_status status = fail_write(context, path, errno);
    close(descriptor);
    unlink(writer->aside);
    writer_free(writer);
    return status;
  }
  *out = writer;
  return BC_OK;
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
  if (!writer->error && ferror(writer->stream)) writer->error = EIO;
  if (fflush(writer->stream) != 0 && !writer->error) writer->error = errno;
  if (!writer->path) {
    const int error = writer->error;
    writer_free(writer);
    return error ? fail_write(context, _("standard output"), error) : BC_OK;
  }
  if (!writer->error && fsync(fileno(writer->stream)) != 0) writer->error = errno;
  if (fclose(writer->stream) != 0 && !writer->error) writer->error = errno;
  if (!writer->error && rename(writer->aside, writer->path) != 0) writer->error = errno;
  bc_status status = BC_OK;
  if (writer->error) {
    unlink(writer->aside);
    status = fail_write(context, writer->path, writer->error);
  } else {
    sync_folder(writer->path);
  }
  writer_free(writer);
  return status;
}

void bc_file_writer_abandon(bc_file_writer *writer) {
  if (!writer) return;
  if (writer->path) {
    fclose(writer->stream);
    unlink(writer->aside);
  }
  writer_free(writer);
}

/* ---- paths ---- */

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
