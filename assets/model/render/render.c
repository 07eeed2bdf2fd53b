/* SPDX-License-Identifier: MIT */
/* Training pictures with their true alpha, made by chance: the same picture for the same number.
 *   cc -std=c17 -O2 -o render render.c -lm -pthread         ./render FIRST COUNT SIDE FOLDER
 *   nvcc -O3 -arch=sm_90 -x cu -shared -Xcompiler -fPIC -o librender.so render.c       (used by train.py)
 * writes FOLDER/NUMBER.ppm in sRGB coding and FOLDER/NUMBER.pgm, the alpha. Every sixth picture is bare. */
#include "setting.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>

#ifdef __cplusplus
#define SHOWN extern "C"
#else
#define SHOWN
#endif

typedef struct work {
  scene *scenes;
  uint64_t first;
  int count, side, threads, number;
  uint8_t *rgba; /* NULL: only the scenes */
} work;

static void *do_share(void *cargo) {
  const work *w = (const work *)cargo;
  for (int i = w->number; i < w->count; i += w->threads) {
    make_scene(&w->scenes[i], w->first + (uint64_t)i);
    for (int y = 0; w->rgba && y < w->side; y++)
      for (int x = 0; x < w->side; x++)
        picture_pixel(&w->scenes[i], w->side, x, y,
                      w->rgba + 4 * (((size_t)i * (size_t)w->side + (size_t)y) * (size_t)w->side + (size_t)x));
  }
  return NULL;
}

enum { MOST_THREADS = 64 };
static int share_out(work all) {
  pthread_t thread[MOST_THREADS];
  work share[MOST_THREADS];
  int started = 0;
  for (int k = 0; k < all.threads; k++) {
    share[k] = all;
    share[k].number = k;
  }
  while (started < all.threads - 1 && pthread_create(&thread[started], NULL, do_share, &share[started]) == 0) started++;
  for (int k = started; k < all.threads; k++) do_share(&share[k]);
  for (int k = 0; k < started; k++) pthread_join(thread[k], NULL);
  return 0;
}

static work work_of(scene *scenes, uint64_t first, int count, int side, int threads, uint8_t *rgba) {
  work all;
  all.scenes = scenes;
  all.first = first;
  all.count = count;
  all.side = side;
  all.threads = threads < 1 ? 1 : threads > MOST_THREADS ? MOST_THREADS : threads;
  all.number = 0;
  all.rgba = rgba;
  return all;
}

/* Pictures `first` to `first + count - 1` on the processor: count * side * side * 4 bytes. 0 when done. */
SHOWN int render_on_processor(uint64_t first, int count, int side, int threads, uint8_t *rgba) {
  scene *scenes = (scene *)malloc((size_t)count * sizeof(scene));
  if (!scenes) return 1;
  share_out(work_of(scenes, first, count, side, threads, rgba));
  free(scenes);
  return 0;
}

#ifdef __CUDACC__
__global__ void render_kernel(const scene *scenes, int side, uint8_t *rgba) {
  const int x = (int)(blockIdx.x * blockDim.x + threadIdx.x), y = (int)(blockIdx.y * blockDim.y + threadIdx.y);
  const size_t i = blockIdx.z;
  if (x < side && y < side)
    picture_pixel(&scenes[i], side, x, y, rgba + 4 * ((i * (size_t)side + (size_t)y) * (size_t)side + (size_t)x));
}

/* The same on the GPU: `rgba` lies there. 0 when done, else CUDA's error. */
SHOWN int render_on_gpu(uint64_t first, int count, int side, int threads, uint8_t *rgba) {
  static scene *there = NULL;
  static int room = 0;
  static cudaStream_t stream;
  scene *scenes = (scene *)malloc((size_t)count * sizeof(scene));
  if (!scenes) return 9999;
  if (room == 0 && cudaStreamCreateWithFlags(&stream, cudaStreamNonBlocking) != cudaSuccess) return 9998;
  if (room < count) {
    cudaFree(there);
    const cudaError_t status = cudaMalloc((void **)&there, (size_t)count * sizeof(scene));
    if (status != cudaSuccess) return (int)status;
    room = count;
  }
  share_out(work_of(scenes, first, count, side, threads, NULL));
  cudaError_t status = cudaMemcpyAsync(there, scenes, (size_t)count * sizeof(scene), cudaMemcpyHostToDevice, stream);
  const dim3 block(8, 8, 1), grid((unsigned)(side + 7) / 8, (unsigned)(side + 7) / 8, (unsigned)count);
  if (status == cudaSuccess) render_kernel<<<grid, block, 0, stream>>>(there, side, rgba);
  if (status == cudaSuccess) status = cudaGetLastError();
  if (status == cudaSuccess) status = cudaStreamSynchronize(stream);
  free(scenes);
  return (int)status;
}
#endif

/* ---- as a program ---- */

static uint8_t srgb_byte(uint8_t root) {
  const float k = (float)root / 255, light = fminf(4 * k * k, 1);
  const float coded = light <= 0.0031308f ? 12.92f * light : 1.055f * powf(light, 1 / 2.4f) - 0.055f;
  return (uint8_t)(255 * coded + 0.5f);
}

static int write_picture(const char *folder, uint64_t number, int side, const uint8_t *rgba) {
  char path[4096];
  for (int alpha = 0; alpha < 2; alpha++) {
    snprintf(path, sizeof path, "%s/%06llu.%s", folder, (unsigned long long)number, alpha ? "pgm" : "ppm");
    FILE *out = fopen(path, "wb");
    if (!out) return 0;
    fprintf(out, "P%d\n%d %d\n255\n", alpha ? 5 : 6, side, side);
    for (int i = 0; i < side * side; i++)
      for (int k = alpha ? 3 : 0; k < (alpha ? 4 : 3); k++)
        fputc(alpha ? rgba[4 * i + k] : srgb_byte(rgba[4 * i + k]), out);
    if (fclose(out) != 0) return 0;
  }
  return 1;
}

int main(int count_of_words, char **words) {
  if (count_of_words != 5) {
    fprintf(stderr, "render FIRST COUNT SIDE FOLDER: writes COUNT pictures and their alpha into FOLDER\n");
    return 64;
  }
  const uint64_t first = strtoull(words[1], NULL, 10);
  const int count = atoi(words[2]), side = atoi(words[3]);
  if (count < 1 || count > 100000 || side < 16 || side > 2048) {
    fprintf(stderr, "render: 1 to 100000 pictures of 16 to 2048 pixels\n");
    return 64;
  }
  uint8_t *rgba = (uint8_t *)malloc((size_t)side * (size_t)side * 4);
  int done = rgba != NULL;
  for (int i = 0; done && i < count; i++)
    done = render_on_processor(first + (uint64_t)i, 1, side, 1, rgba) == 0 &&
           write_picture(words[4], first + (uint64_t)i, side, rgba);
  free(rgba);
  if (!done) fprintf(stderr, "render: the pictures could not be written\n");
  return done ? 0 : 73;
}
