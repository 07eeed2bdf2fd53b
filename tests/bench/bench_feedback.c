/* SPDX-License-Identifier: MIT */
/* A mentor's evening: makers' folders of photos that are variations (size, crop, exposure, quality) of the JPEGs of
 * any folders, read and written up once, and once more with nothing changed. Photos a second, memory, second run. */
#include "bench.h"

#include <backcloth/feedback.h>
#include <dirent.h>
#include <ftw.h>
#include <setjmp.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <jpeglib.h>

#define MOST_SOURCES 4096
#define PATH_ROOM 4200

static uint32_t state = 1;

static double between(double low, double high) {
  state = state * 1664525u + 1013904223u;
  return low + (high - low) * (double)(state >> 8) / (double)(1u << 24);
}

/* ---- a variation of a photo ---- */

typedef struct fault {
  struct jpeg_error_mgr manager;
  jmp_buf back;
} fault;

static void jump_back(j_common_ptr info) {
  longjmp(((fault *)(void *)info->err)->back, 1);
}

typedef struct variation {
  unsigned eighths;       /* size */
  double left, top, keep; /* part that is kept */
  double gain;            /* exposure */
  int quality;
} variation;

static variation vary(void) {
  const double keep = between(0.94, 1);
  return (variation){.eighths = (unsigned)between(6, 8.99),
                     .left = between(0, 1 - keep),
                     .top = between(0, 1 - keep),
                     .keep = keep,
                     .gain = between(0.85, 1.08),
                     .quality = (int)between(80, 95)};
}

static void open_output(struct jpeg_compress_struct *to, const struct jpeg_decompress_struct *from, FILE *stream,
                        const variation *how) {
  jpeg_stdio_dest(to, stream);
  to->image_width = (JDIMENSION)(how->keep * from->output_width);
  to->image_height = (JDIMENSION)(how->keep * from->output_height);
  to->input_components = 3;
  to->in_color_space = JCS_RGB;
  jpeg_set_defaults(to);
  jpeg_set_quality(to, how->quality, TRUE);
  jpeg_start_compress(to, TRUE);
}

static void copy_rows(struct jpeg_compress_struct *to, struct jpeg_decompress_struct *from, uint8_t *row,
                      const variation *how) {
  const JDIMENSION top = (JDIMENSION)(how->top * from->output_height);
  uint8_t *first = row + 3 * (size_t)(how->left * from->output_width);
  while (to->next_scanline < to->image_height) {
    jpeg_read_scanlines(from, &row, 1);
    if (from->output_scanline <= top) continue;
    for (size_t i = 0; i < 3 * (size_t)to->image_width; i++) {
      const double value = how->gain * first[i];
      first[i] = (uint8_t)(value > 255 ? 255 : value);
    }
    jpeg_write_scanlines(to, &first, 1);
  }
}

/* The colour profile is left behind: phones' photos are sRGB. */
static bool write_variation(const char *source, const char *path, const variation *how) {
  FILE *in = fopen(source, "rb"), *out = in ? fopen(path, "wb") : NULL;
  struct jpeg_decompress_struct from = {0};
  struct jpeg_compress_struct to = {0};
  fault wrong;
  uint8_t *volatile row = NULL;
  from.err = to.err = jpeg_std_error(&wrong.manager);
  wrong.manager.error_exit = jump_back;
  volatile bool done = false;
  if (out && !setjmp(wrong.back)) {
    jpeg_create_decompress(&from);
    jpeg_create_compress(&to);
    jpeg_stdio_src(&from, in);
    jpeg_read_header(&from, TRUE);
    from.out_color_space = JCS_RGB;
    from.scale_num = how->eighths;
    from.scale_denom = 8;
    jpeg_start_decompress(&from);
    row = malloc(3 * (size_t)from.output_width + 3);
    open_output(&to, &from, out, how);
    if (row) copy_rows(&to, &from, row, how);
    jpeg_finish_compress(&to);
    done = row != NULL;
  }
  jpeg_destroy_compress(&to);
  jpeg_destroy_decompress(&from);
  free(row);
  if (in) fclose(in);
  if (out && fclose(out) != 0) done = false;
  return done;
}

/* ---- folders ---- */

static char *source[MOST_SOURCES];
static size_t source_count;

static int take(const char *path, const struct stat *about, int kind, struct FTW *where) {
  (void)about, (void)where;
  const char *dot = strrchr(path, '.');
  if (kind == FTW_F && dot && (strcmp(dot, ".jpg") == 0 || strcmp(dot, ".jpeg") == 0) && source_count < MOST_SOURCES)
    source[source_count++] = strdup(path);
  return 0;
}

static int by_name(const void *a, const void *b) {
  return strcmp(*(char *const *)a, *(char *const *)b);
}

static int drop(const char *path, const struct stat *about, int kind, struct FTW *where) {
  (void)about, (void)kind, (void)where;
  return remove(path);
}

static bool make_maker(const char *folder, size_t photos) {
  char path[PATH_ROOM];
  if (mkdir(folder, 0777) != 0) return false;
  for (size_t i = 0; i < photos; i++) {
    snprintf(path, sizeof path, "%s/photo-%02zu.jpg", folder, i + 1);
    const variation how = vary();
    const size_t at = (size_t)between(0, (double)source_count);
    if (!write_variation(source[at], path, &how))
      return fprintf(stderr, "%s: could not be copied\n", source[at]), false;
  }
  return true;
}

/* ---- measuring ---- */

static double cpu_seconds(const struct timeval *time) {
  return (double)time->tv_sec + 1e-6 * (double)time->tv_usec;
}

static double cpu(int who) {
  struct rusage used;
  getrusage(who, &used);
  return cpu_seconds(&used.ru_utime) + cpu_seconds(&used.ru_stime);
}

typedef struct run {
  double wall, cpu;
  bc_feedback_result result;
} run;

static bc_status go(run *out, bc_context *context, char *const *folders, size_t count, const bc_feedback_options *how) {
  const double start = bench_seconds(), used = cpu(RUSAGE_SELF) + cpu(RUSAGE_CHILDREN);
  const bc_status status = bc_feedback_run(&out->result, context, (const char *const *)folders, count, how);
  out->wall = bench_seconds() - start;
  out->cpu = cpu(RUSAGE_SELF) + cpu(RUSAGE_CHILDREN) - used;
  return status;
}

static int measure(bc_context *context, char *const *folders, size_t count, const bc_feedback_options *how) {
  run first = {0}, second = {0};
  bc_status status = go(&first, context, folders, count, how);
  struct rusage children;
  getrusage(RUSAGE_CHILDREN, &children);
  if (status == BC_OK) status = go(&second, context, folders, count, how);
  if (status != BC_OK) return fprintf(stderr, "%s\n", bc_context_message(context)), (int)status;
  const double photos = (double)first.result.photos;
  printf("%zu makers, %zu photos from %zu, %ld cores\n", count, first.result.photos, source_count,
         sysconf(_SC_NPROCESSORS_ONLN));
  printf("  first run   %8.2f s, %8.2f s of processor: %.1f photos/s, %zu sheets, %zu not read\n", first.wall,
         first.cpu, photos / first.wall, first.result.written, first.result.not_read);
  printf("  second run  %8.2f s, %8.2f s of processor: %.2f %% of the first, %zu unchanged\n", second.wall, second.cpu,
         100 * second.wall / first.wall, second.result.unchanged);
  printf("  memory      %8.1f MB at most in one process\n", (double)children.ru_maxrss / 1024);
  return 0;
}

static int make_and_measure(bc_context *context, const char *at, size_t makers, size_t photos, const char *cloths) {
  char **folder = calloc(makers, sizeof *folder), output[PATH_ROOM];
  bool made = folder != NULL;
  for (size_t i = 0; made && i < makers; i++) {
    folder[i] = malloc(PATH_ROOM);
    if (folder[i]) snprintf(folder[i], PATH_ROOM, "%s/maker-%03zu", at, i + 1);
    made = folder[i] && make_maker(folder[i], photos);
  }
  snprintf(output, sizeof output, "%s/sheets", at);
  bc_feedback_options how = bc_feedback_options_default();
  how.output = output;
  how.cloths = cloths;
  const int code = made ? measure(context, folder, makers, &how) : 73;
  for (size_t i = 0; folder && i < makers; i++) free(folder[i]);
  free(folder);
  return code;
}

int bench_feedback(int argc, char **argv) {
  const long makers = argc > 4 ? atol(argv[1]) : 0, photos = argc > 4 ? atol(argv[2]) : 0;
  if (makers < 1 || makers > 10000 || photos < 1 || photos > 1000)
    return fprintf(stderr, "usage: backcloth-bench feedback MAKERS PHOTOS CLOTHS.json FOLDER...\n"), 64;
  for (int i = 4; i < argc; i++) nftw(argv[i], take, 16, FTW_PHYS);
  if (!source_count) return fprintf(stderr, "no .jpg in these folders\n"), 66;
  qsort(source, source_count, sizeof source[0], by_name);
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  char at[] = "/tmp/backcloth-bench-XXXXXX";
  const int code = mkdtemp(at) ? make_and_measure(context, at, (size_t)makers, (size_t)photos, argv[3]) : 73;
  nftw(at, drop, 16, FTW_DEPTH | FTW_PHYS);
  for (size_t i = 0; i < source_count; i++) free(source[i]);
  bc_context_free(context);
  return code;
}
