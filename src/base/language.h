/* SPDX-License-Identifier: MIT */
/* The catalogue in use, for what keeps sentences from run to run. */
#ifndef BC_SRC_BASE_LANGUAGE_H
#define BC_SRC_BASE_LANGUAGE_H

#define BC_CATALOGUE_MARK 128 /* room for a mark */

/* The language of sentences now and which edition of its catalogue is there: "en", or "es", its size, time and inode.
 */
void base_catalogue_mark(char out[BC_CATALOGUE_MARK]);

#endif
