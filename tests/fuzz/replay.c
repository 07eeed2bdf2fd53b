/* SPDX-License-Identifier: MIT */
/* Replays saved inputs through a fuzz target without a fuzzing compiler: arguments are files or folders. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay_file(const char *path) {
  FILE *stream = fopen(path, "rb");
  if (!stream) return 0;
  fseek(stream, 0, SEEK_END);
  const long length = ftell(stream);
  rewind(stream);
  uint8_t *bytes = malloc(length > 0 ? (size_t)length : 1);
  const size_t size = bytes && length > 0 ? fread(bytes, 1, (size_t)length, stream) : 0;
  fclose(stream);
  if (bytes) LLVMFuzzerTestOneInput(bytes, size);
  free(bytes);
  return bytes != NULL;
}

static int replay_folder(const char *path) {
  DIR *folder = opendir(path);
  if (!folder) return 0;
  int count = 0;
  const struct dirent *entry;
  while ((entry = readdir(folder))) {
    char name[4096];
    struct stat about;
    snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
    if (stat(name, &about) == 0 && S_ISREG(about.st_mode)) count += replay_file(name);
  }
  closedir(folder);
  return count;
}

int main(int argc, char **argv) {
  int count = 0;
  for (int i = 1; i < argc; i++) {
    struct stat about;
    if (stat(argv[i], &about) != 0) continue;
    count += S_ISDIR(about.st_mode) ? replay_folder(argv[i]) : replay_file(argv[i]);
  }
  printf("%d inputs replayed\n", count);
  return count > 0 ? 0 : 1; /* an empty corpus would be a test that cannot fail */
}
