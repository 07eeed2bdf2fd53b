/* SPDX-License-Identifier: MIT */
/* The fixture of most tests: one context for the whole group, made by set_up and freed by tear_down. */
#ifndef BC_TESTS_SUPPORT_CONTEXT_H
#define BC_TESTS_SUPPORT_CONTEXT_H

#include <backcloth/base.h>

static bc_context *context;

static int set_up(void **state) {
  (void)state;
  return bc_context_new(&context) == BC_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_context_free(context);
  return 0;
}

#endif
