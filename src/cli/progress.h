/* SPDX-License-Identifier: MIT */
/* One line on a terminal's standard error while work goes on for longer than two seconds; nothing elsewhere. */
#ifndef BC_SRC_CLI_PROGRESS_H
#define BC_SRC_CLI_PROGRESS_H

#include <stddef.h>

/* Work begins. Where standard error is a terminal a thread draws the line four times a second, from the third second
 * on: what is being done, a bar as far as it is known how far the work is, and the seconds. */
void progress_begin(void);
/* `done` of `total` photos are read; any thread. */
void progress_photos(size_t done, size_t total);
/* The line for a program that counts for itself; drawn at once, without a thread, and only on a terminal. */
void progress_line(double share, const char *words);
/* Takes the line away, before something else is written, and keeps it away until progress_resume. */
void progress_pause(void);
void progress_resume(void);
/* Work ends: the line goes and does not come again. */
void progress_end(void);

#endif
