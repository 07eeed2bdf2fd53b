/* SPDX-License-Identifier: MIT */
/* The program: everything is in cli_run, so that tests can call it too. */
#include "cli.h"

int main(int argc, char **argv) {
  return cli_run(argc, argv);
}
