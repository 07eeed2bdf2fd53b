/* SPDX-License-Identifier: MIT */
/* Small arithmetic that every room needs. */
#ifndef BC_BASE_MATHS_H
#define BC_BASE_MATHS_H

static inline int base_least(int a, int b) {
  return a < b ? a : b;
}
static inline int base_most(int a, int b) {
  return a > b ? a : b;
}
/* Brought between two ends; `low` is not above `high`. */
static inline int base_bounded_int(int value, int low, int high) {
  return value < low ? low : value > high ? high : value;
}
static inline double base_bounded(double value, double low, double high) {
  return value < low ? low : value > high ? high : value;
}
/* Brought into 0..1. */
static inline double base_unit(double value) {
  return value < 0 ? 0 : value > 1 ? 1 : value;
}

#endif
