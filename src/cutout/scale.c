/* SPDX-License-Identifier: MIT */
/* Masks change size: enlarged bilinearly, reduced by area averaging; one output row at a time, so
 * that a mask of the photo's full size never has to be in memory. */
#include "scale.h"

#include <math.h>
#include <stdlib.h>

/* The source samples that make up one output sample, with the weight of the first and the last;
 * those between weigh 1. */
typedef struct span {
  int first, last;
  double first_weight, last_weight, total;
} span;

static span span_area(int index, int from, int to) {
  const double start = (double)index * from / to, end = (double)(index + 1) * from / to;
  span s = {.first = (int)start, .last = (int)ceil(end) - 1};
  if (s.last >= from) s.last = from - 1;
  if (s.last < s.first) s.last = s.first;
  s.total = end - start;
  s.first_weight = s.first == s.last ? s.total : s.first + 1 - start;
  s.last_weight = s.first == s.last ? 0 : end - s.last;
  return s;
}

static span span_linear(int index, int from, int to) {
  double at = (index + 0.5) * from / to - 0.5;
  if (at < 0) at = 0;
  if (at > from - 1) at = from - 1;
  const int first = (int)at;
  const double part = at - first;
  return (span){.first = first,
                .last = first + 1 < from ? first + 1 : first,
                .first_weight = first + 1 < from ? 1 - part : 1,
                .last_weight = first + 1 < from ? part : 0,
                .total = 1};
}

static span span_of(int index, int from, int to) {
  return to < from ? span_area(index, from, to) : span_linear(index, from, to);
}

static double weight_in(const span *s, int i) {
  if (i == s->first) return s->first_weight;
  return i == s->last ? s->last_weight : 1;
}

/* Output sample `x` from a row of sums. */
static double across(const float *sums, int x, int width, int to_width) {
  const span columns = span_of(x, width, to_width);
  double sum = 0;
  for (int i = columns.first; i <= columns.last; i++) sum += weight_in(&columns, i) * (double)sums[i];
  return sum / columns.total;
}

void cutout_scale_row_of_floats(float *row, int y, const float *from, cutout_scaling sizes, float *scratch) {
  const int width = sizes.width, to_width = sizes.to_width;
  const span rows = span_of(y, sizes.height, sizes.to_height);
  for (int x = 0; x < width; x++) scratch[x] = 0;
  for (int i = rows.first; i <= rows.last; i++) {
    const float weight = (float)(weight_in(&rows, i) / rows.total);
    const float *line = from + (size_t)i * (size_t)width;
    for (int x = 0; x < width; x++) scratch[x] += weight * line[x];
  }
  for (int x = 0; x < to_width; x++) row[x] = (float)across(scratch, x, width, to_width);
}

void cutout_scale_row(uint8_t *row, int y, const uint8_t *from, cutout_scaling sizes, float *scratch) {
  const int width = sizes.width, to_width = sizes.to_width;
  const span rows = span_of(y, sizes.height, sizes.to_height);
  for (int x = 0; x < width; x++) scratch[x] = 0;
  for (int i = rows.first; i <= rows.last; i++) {
    const float weight = (float)(weight_in(&rows, i) / rows.total);
    const uint8_t *line = from + (size_t)i * (size_t)width;
    for (int x = 0; x < width; x++) scratch[x] += weight * line[x];
  }
  for (int x = 0; x < to_width; x++) {
    const double value = across(scratch, x, width, to_width) + 0.5;
    row[x] = (uint8_t)(value > 255 ? 255 : value);
  }
}
