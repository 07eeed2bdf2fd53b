/* SPDX-License-Identifier: MIT */
/* The program: everything is in cli_run, so that tests can call it too. */
#include "base/base.h"
#include "cli.h"

int main(int argc, char **argv) {
  bc_widen_heap();
  return cli_run(argc, argv);
}
