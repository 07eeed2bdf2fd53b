/* SPDX-License-Identifier: MIT */
/* What it costs to open photos behind the filter: each photo in this process and in one of its own, interleaved, best
 * of many, at full size and at the size that readings are made of. */
#include "bench.h"

#include "photo/photo_internal.h"
#include <stdlib.h>
#include <string.h>

#define ROUNDS 9

static double time_one(bool apart, bc_context *context, const photo_source *source) {
  bc_photo *photo = NULL;
  const double begun = bench_seconds();
  const bc_status status = (apart ? photo_decode_apart : photo_decode_here)(&photo, context, source, source->name);
  const double taken = bench_seconds() - begun;
  bc_photo_free(photo);
  return status == BC_OK ? taken : -1;
}

static int measure(bc_context *context, const char *path, int side) {
  static uint8_t bytes[64 << 20];
  FILE *file = fopen(path, "rb");
  if (!file) return fprintf(stderr, "%s: cannot be read\n", path), 66;
  const photo_source source = {bytes, fread(bytes, 1, sizeof bytes, file), path, side};
  fclose(file);
  double best[2] = {1e9, 1e9};
  for (int i = 0; i < ROUNDS; i++)
    for (int apart = 0; apart < 2; apart++) {
      const double taken = time_one(apart, context, &source);
      if (taken < 0) return fprintf(stderr, "%s\n", bc_context_message(context)), 65;
      if (taken < best[apart]) best[apart] = taken;
    }
  printf("%s side %d: here %.1f ms, apart %.1f ms, %.1f ms more, ratio %.2f\n", path, side, best[0] * 1e3,
         best[1] * 1e3, (best[1] - best[0]) * 1e3, best[1] / best[0]);
  return 0;
}

int bench_apart(int argc, char **argv) {
  bc_context *context = NULL;
  int code = bc_context_new(&context) == BC_OK && argc > 1 ? 0 : 64;
  if (code == 0) photo_decode_apart(&(bc_photo *){NULL}, context, &(photo_source){.name = ""}, ""); /* starts it all */
  for (int i = 1; i < argc && code == 0; i++) {
    code = measure(context, argv[i], 0);
    if (code == 0) code = measure(context, argv[i], 1024);
  }
  bc_context_free(context);
  return code;
}
