/* SPDX-License-Identifier: MIT */
/* Two halves of a work at the same time, where a second processor is there for it. */
#ifndef BC_BASE_PARALLEL_H
#define BC_BASE_PARALLEL_H

#include <stdbool.h>

/* Whether two halves would be done at the same time. */
bool base_can_do_both(void);
/* Calls work(cargo, 0) and work(cargo, 1), at the same time where that is possible, and returns when both are done.
 * They must not write the same places nor use the same bc_context, and nothing may depend on which is done first.
 * Within them nothing more is divided. */
void base_do_both(void (*work)(void *cargo, int half), void *cargo);

#endif
