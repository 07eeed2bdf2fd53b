/* SPDX-License-Identifier: MIT */
/* How words reach a person: control characters as \x1b, lines wrapped and colours shown where a terminal is. */
#ifndef BC_SRC_CLI_TERMINAL_H
#define BC_SRC_CLI_TERMINAL_H

#include <stdbool.h>
#include <stdio.h>

/* Whether colours may be shown: a terminal that is not "dumb", and NO_COLOR is not set (https://no-color.org). */
bool terminal_colours(FILE *stream);
/* Writes words: every control character but the end of a line and the tab is written as \x1b, and so is each byte that
 * is no UTF-8. On a terminal lines are wrapped at COLUMNS, or where it
 * says, by the columns that their letters take, under the first letter of the
 * line's last column, and a colour written as #1f2430 has a swatch before it. `column`: where the text
 * begins. Needs no memory. */
void terminal_words(FILE *stream, const char *text, int column);
/* Writes figures for programs. JSON: what a terminal would obey is written as \u007f, which is the same to a program.
 * Else it is written as \x7f. Nothing is wrapped. */
void terminal_data(FILE *stream, const char *text, bool json);

#endif
