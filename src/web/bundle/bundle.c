/* SPDX-License-Identifier: MIT */
/* Build tool: bundle OUT.c FOLDER NAME… writes the page's files as C arrays, plain and gzipped, with a hash over
 * all of them. In the shell "/page/ becomes "/page/HASH/, so that a new program never meets old files. */
#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

typedef struct block {
  unsigned char *bytes;
  size_t size;
} block;

static block read_file(const char *folder, const char *name) {
  char path[4096];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  FILE *file = fopen(path, "rb");
  block whole = {malloc(16u << 20), 0};
  if (!file || !whole.bytes) {
    perror(path);
    exit(1);
  }
  whole.size = fread(whole.bytes, 1, 16u << 20, file);
  fclose(file);
  return whole;
}

/* FNV-1a: tells versions apart, no more. */
static uint64_t mix(uint64_t hash, block b) {
  for (size_t i = 0; i < b.size; i++) hash = (hash ^ b.bytes[i]) * UINT64_C(1099511628211);
  return hash;
}

static block gzipped(block plain) {
  z_stream stream = {0};
  block out = {malloc(plain.size + 1024), 0};
  if (!out.bytes || deflateInit2(&stream, 9, Z_DEFLATED, 15 + 16, 9, Z_DEFAULT_STRATEGY) != Z_OK) exit(1);
  stream.next_in = plain.bytes;
  stream.avail_in = (uInt)plain.size;
  stream.next_out = out.bytes;
  stream.avail_out = (uInt)(plain.size + 1024);
  if (deflate(&stream, Z_FINISH) == Z_STREAM_END && stream.total_out < plain.size) out.size = stream.total_out;
  deflateEnd(&stream);
  return out;
}

static block with_hash(block shell, const char *hash) {
  static const char mark[] = "\"/page/";
  const size_t mark_size = sizeof mark - 1, added = strlen(hash) + 1;
  block out = {malloc(shell.size * (2 + added)), 0};
  if (!out.bytes) exit(1);
  for (size_t i = 0; i < shell.size; i++) {
    out.bytes[out.size++] = shell.bytes[i];
    if (i + 1 < mark_size || memcmp(shell.bytes + i + 1 - mark_size, mark, mark_size) != 0) continue;
    out.size += (size_t)sprintf((char *)out.bytes + out.size, "%s/", hash);
  }
  return out;
}

static void write_array(FILE *out, const char *kind, int number, block b) {
  fprintf(out, "static const unsigned char %s_%d[] = {0", kind, number);
  for (size_t i = 0; i < b.size; i++) fprintf(out, i % 24 ? ",%u" : "\n,%u", b.bytes[i]);
  fprintf(out, "};\n");
}

int main(int argc, char **argv) {
  if (argc < 3) return 64;
  FILE *out = fopen(argv[1], "w");
  if (!out) return 73;
  uint64_t hash = UINT64_C(14695981039346656037);
  for (int i = 3; i < argc; i++) hash = mix(hash, read_file(argv[2], argv[i]));
  char text[17];
  snprintf(text, sizeof text, "%016" PRIx64, hash);
  fprintf(out, "#include \"web/bundle/bundle.h\"\nconst char web_bundle_hash[] = \"%s\";\n", text);
  size_t sizes[2048][2];
  for (int i = 3; i < argc && i < 2048; i++) {
    block plain = read_file(argv[2], argv[i]);
    if (strcmp(argv[i], "shell.html") == 0) plain = with_hash(plain, text);
    const block small = gzipped(plain);
    write_array(out, "plain", i, plain);
    write_array(out, "small", i, small);
    sizes[i][0] = plain.size;
    sizes[i][1] = small.size;
  }
  fprintf(out, "const web_bundled web_bundle[] = {\n");
  for (int i = 3; i < argc; i++)
    fprintf(out, "{\"%s\", plain_%d + 1, %zu, small_%d + 1, %zu},\n", argv[i], i, sizes[i][0], i, sizes[i][1]);
  fprintf(out, "{0}};\nconst size_t web_bundle_count = %d;\n", argc - 3);
  return fclose(out) == 0 ? 0 : 73;
}
