/* SPDX-License-Identifier: MIT */
/* Files and folders are on the disk when these return. */
#include "folder.h"

#include <backcloth/file.h>
#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

static bool sync_path(const char *path, int flags) {
  const int file = path ? open(path, flags | O_CLOEXEC) : -1;
  const bool done = file >= 0 && fsync(file) == 0;
  if (file >= 0) close(file);
  return done;
}

bool store_sync_file(const char *path) {
  return sync_path(path, O_RDONLY);
}

bool store_sync_folder(const char *path) {
  return sync_path(path, O_RDONLY | O_DIRECTORY);
}

bool store_sync_folder_of(const char *path) {
  char *folder = bc_path_folder(path);
  const bool done = store_sync_folder(folder);
  free(folder);
  return done;
}
