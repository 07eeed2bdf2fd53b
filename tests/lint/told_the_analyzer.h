/* SPDX-License-Identifier: MIT */
/* What clang's analyzer cannot see from one file alone: a function that says what went wrong never returns BC_OK. Each
 * file is read with this in front of it (tidy.py), and only there. */
#include "base/base.h"

#define bc_fail_memory(context) ((void)bc_fail_memory(context), BC_OUR_FAULT)
#define bc_fail(context, status, ...) ((void)bc_fail(context, status, __VA_ARGS__), status)
