/* SPDX-License-Identifier: MIT */
/* Keeps a store to its size: what was not used for longest goes first. Only what has a name and a beginning of ours is
 * ever removed. In: the store's folder. Out: less in it. */
#include "kept.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#define BLOCK 4096u      /* of a disk: a small file takes a whole one */
#define ABANDONED_S 3600 /* nobody writes one entry for so long */

typedef struct entry {
  char *name;
  uint64_t size;
  struct timespec used;
} entry;

typedef struct list {
  entry *all;
  size_t count, room;
  uint64_t bytes;
} list;

bool kept_is_name(const char *name) {
  const size_t digits = strspn(name, "0123456789abcdef");
  if (digits != KEPT_KEY - 1 || name[digits] != '.') return false;
  const char *kind = name + digits + 1;
  const size_t letters = strspn(kind, "abcdefghijklmnopqrstuvwxyz");
  return letters > 0 && letters <= 16 && kind[letters] == '\0';
}

bool kept_is_ours(int folder, const char *name) {
  struct stat about;
  char head[16];
  const int file = openat(folder, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (file < 0) return false;
  const bool ours = fstat(file, &about) == 0 && S_ISREG(about.st_mode) &&
                    read(file, head, sizeof head) == sizeof head && memcmp(head, KEPT_MAGIC, sizeof head) == 0;
  close(file);
  return ours;
}

static void remember(list *all, const char *name, const struct stat *about) {
  if (all->count == all->room) {
    entry *grown = bc_reallocate(all->all, all->room ? 2 * all->room : 256, sizeof *grown);
    if (!grown) return; /* what is not looked at stays */
    all->all = grown;
    all->room = all->room ? 2 * all->room : 256;
  }
  char *copy = bc_copy_text(name);
  if (!copy) return;
  const uint64_t size = ((uint64_t)about->st_size + BLOCK) / BLOCK * BLOCK;
  all->all[all->count++] = (entry){copy, size, about->st_mtim};
  all->bytes += size;
}

/* A part of a run that was ended in the middle; its name is ours, and it may be empty. */
static void forget_part(int folder, const char *name, const struct stat *about, time_t now) {
  const size_t start = sizeof KEPT_PART - 1;
  const bool named = strlen(name) == start + 16 && strspn(name + start, "0123456789abcdef") == 16;
  if (named && about->st_mtim.tv_sec < now - ABANDONED_S && (about->st_size == 0 || kept_is_ours(folder, name)))
    unlinkat(folder, name, 0);
}

static void look_through(list *all, int folder) {
  const int copy = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  DIR *names = copy >= 0 ? fdopendir(copy) : NULL;
  if (!names && copy >= 0) close(copy);
  const time_t now = time(NULL);
  const struct dirent *one;
  while (names && (one = readdir(names))) {
    struct stat about;
    const bool part = strncmp(one->d_name, KEPT_PART, sizeof KEPT_PART - 1) == 0;
    if ((!part && !kept_is_name(one->d_name)) || fstatat(folder, one->d_name, &about, AT_SYMLINK_NOFOLLOW) != 0 ||
        !S_ISREG(about.st_mode))
      continue;
    if (part)
      forget_part(folder, one->d_name, &about, now);
    else
      remember(all, one->d_name, &about);
  }
  if (names) closedir(names);
}

static int longest_unused(const void *first, const void *second) {
  const struct timespec a = ((const entry *)first)->used, b = ((const entry *)second)->used;
  if (a.tv_sec != b.tv_sec) return a.tv_sec < b.tv_sec ? -1 : 1;
  return (a.tv_nsec > b.tv_nsec) - (a.tv_nsec < b.tv_nsec);
}

void kept_sweep(int folder, uint64_t most) {
  list all = {0};
  look_through(&all, folder);
  if (all.bytes > most) {
    qsort(all.all, all.count, sizeof *all.all, longest_unused);
    const uint64_t left = most - most / 10; /* so that the next run need not sweep again */
    for (size_t i = 0; i < all.count && all.bytes > left; i++) {
      if (!kept_is_ours(folder, all.all[i].name)) continue;
      if (unlinkat(folder, all.all[i].name, 0) == 0) all.bytes -= all.all[i].size;
    }
  }
  for (size_t i = 0; i < all.count; i++) free(all.all[i].name);
  free(all.all);
}
