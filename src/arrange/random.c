/* SPDX-License-Identifier: MIT */
/* The random numbers of the search: the same seed gives the same answer everywhere. */
#include "search.h"

/* splitmix64: Steele, Lea and Flood, OOPSLA 2014. */
static uint64_t arr_random_next(arr_random *random) {
  uint64_t z = (random->state += 0x9e3779b97f4a7c15u);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

size_t arr_random_below(arr_random *random, size_t count) {
  return (size_t)(arr_random_next(random) % count);
}

double arr_random_unit(arr_random *random) {
  return (double)(arr_random_next(random) >> 11) * 0x1p-53;
}
