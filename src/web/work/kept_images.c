/* SPDX-License-Identifier: MIT */
/* Reduced images of the photos whose cut-outs were corrected last, so that the next stroke need not decode again.
 * They lie in sealed files in memory, nowhere on disk; the one that was not asked for longest gives way. */
#include "kept_images.h"

#include <backcloth/program.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

void web_kept_start(web_kept *kept) {
  *kept = (web_kept){0};
  pthread_mutex_init(&kept->lock, NULL);
}

static void drop(web_kept_image *image) {
  if (image->key) close(image->file);
  free(image->key);
  *image = (web_kept_image){0};
}

void web_kept_stop(web_kept *kept) {
  for (size_t i = 0; i < WEB_KEPT; i++) drop(&kept->image[i]);
  pthread_mutex_destroy(&kept->lock);
}

/* Nobody can change it afterwards, not even a decoder that a photo has taken over. */
static int sealed_file(const bc_apart_part *part) {
  const int file = memfd_create("image", MFD_CLOEXEC | MFD_ALLOW_SEALING);
  size_t at = 0;
  while (file >= 0 && at < part->size) {
    const ssize_t done = write(file, part->bytes + at, part->size - at);
    if (done <= 0) break;
    at += (size_t)done;
  }
  if (file >= 0 && at == part->size &&
      fcntl(file, F_ADD_SEALS, F_SEAL_WRITE | F_SEAL_GROW | F_SEAL_SHRINK | F_SEAL_SEAL) == 0)
    return file;
  if (file >= 0) close(file);
  return -1;
}

static web_kept_image *oldest(web_kept *kept) {
  web_kept_image *found = &kept->image[0];
  for (size_t i = 1; i < WEB_KEPT; i++)
    if (kept->image[i].used < found->used) found = &kept->image[i];
  return found;
}

static web_kept_image *find(web_kept *kept, const char *key) {
  for (size_t i = 0; i < WEB_KEPT; i++)
    if (kept->image[i].key && strcmp(kept->image[i].key, key) == 0) return &kept->image[i];
  return NULL;
}

void web_kept_put(web_kept *kept, const char *key, const bc_apart_part *part) {
  const int file = part->size <= WEB_KEPT_BYTES ? sealed_file(part) : -1;
  char *copy = file >= 0 ? bc_copy_text(key) : NULL;
  if (!copy) {
    if (file >= 0) close(file);
    return; /* the next stroke decodes once more */
  }
  pthread_mutex_lock(&kept->lock);
  web_kept_image *place = find(kept, key);
  if (!place) place = oldest(kept);
  drop(place);
  *place = (web_kept_image){copy, file, part->size, ++kept->clock};
  pthread_mutex_unlock(&kept->lock);
}

int web_kept_open(web_kept *kept, const char *key, uint64_t *bytes) {
  int file = -1;
  char path[32];
  pthread_mutex_lock(&kept->lock);
  web_kept_image *image = find(kept, key);
  if (image) {
    image->used = ++kept->clock;
    *bytes = image->size;
    snprintf(path, sizeof path, "/proc/self/fd/%d", image->file);
    file = open(path, O_RDONLY | O_CLOEXEC); /* with a place of its own: two may read at once */
  }
  pthread_mutex_unlock(&kept->lock);
  return file;
}
