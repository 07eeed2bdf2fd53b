/* SPDX-License-Identifier: MIT */
/* What fits of weights have in common. */
#include "fits.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static size_t piece_length(const char *name) {
  const char *on = strstr(name, "-on-");
  return on ? (size_t)(on - name) : strlen(name);
}

static int same_piece(const char *first, const char *second) {
  const size_t a = piece_length(first), b = piece_length(second), least = a < b ? a : b;
  if (strncmp(first, second, least) != 0) return 0;
  return a == b || (a < b ? second : first)[least] == '-';
}

int bench_photos_apart(const bench_photo *photo, const bench_photo *other) {
  return photo->folder != other->folder && !same_piece(photo->name, other->name);
}

int bench_left_out_alike(const bench_photo *photo, const bench_photo *other) {
  const size_t length = piece_length(photo->name);
  return photo->folder == other->folder && piece_length(other->name) == length &&
         strncmp(photo->name, other->name, length) == 0;
}

static bench_photo *at(void *first, size_t stride, size_t i) {
  return (bench_photo *)((char *)first + i * stride);
}

/* The sum of the values of a folder's photos; NULL: 1 each. */
static double folder_sum(void *first, size_t stride, size_t count, int folder, const double *values) {
  double sum = 0;
  for (size_t i = 0; i < count; i++)
    if (at(first, stride, i)->folder == folder) sum += values ? values[i] : 1;
  return sum;
}

void *bench_room_for_one_more(void *rows, size_t count, size_t *room, size_t size) {
  if (count < *room) return rows;
  *room = *room ? 2 * *room : 64;
  rows = realloc(rows, *room * size);
  if (!rows) exit(70);
  return rows;
}

void bench_print_folder_means(const char *what, void *first, size_t stride, size_t count, const double *values) {
  const int folders = count ? at(first, stride, count - 1)->folder + 1 : 0;
  double all = 0;
  printf("%-36s", what);
  for (int folder = 0; folder < folders; folder++) {
    const double photos = folder_sum(first, stride, count, folder, NULL);
    const double mean = photos > 0 ? folder_sum(first, stride, count, folder, values) / photos : 0;
    printf(" %.4f", mean);
    all += mean;
  }
  printf("  mean %.4f\n", folders ? all / folders : 0);
}

void bench_weigh_photos(void *first, size_t stride, size_t count, double power) {
  double sum = 0;
  for (size_t i = 0; i < count; i++) {
    bench_photo *photo = at(first, stride, i);
    photo->weight = pow(folder_sum(first, stride, count, photo->folder, NULL), -power);
    sum += photo->weight;
  }
  for (size_t i = 0; i < count; i++) at(first, stride, i)->weight *= (double)count / sum;
}

void bench_print_weight(const char *prefix, const char *name, double weight) {
  printf("  [%s_", prefix);
  for (const char *letter = name; *letter; letter++) putchar(toupper((unsigned char)*letter));
  printf("] = %.3f,\n", weight);
}
