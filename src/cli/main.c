/* SPDX-License-Identifier: MIT */
/* The program: everything is in cli_run, so that tests can call it too. */
#include "cli.h"

#include <malloc.h>

int main(int argc, char **argv) {
  /* Planes of a photo come and go for each photo; given back to the kernel each time, they cost more in page
   * faults than the work on them. */
  mallopt(M_MMAP_THRESHOLD, 64 << 20);
  mallopt(M_TRIM_THRESHOLD, 256 << 20);
  return cli_run(argc, argv);
}
