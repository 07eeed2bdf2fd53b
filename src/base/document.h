/* SPDX-License-Identifier: MIT */
/* What all documents that the program writes have in common. */
#ifndef BC_SRC_BASE_DOCUMENT_H
#define BC_SRC_BASE_DOCUMENT_H

enum { BC_DOCUMENT_DATE_ROOM = 32 };

/* The date that a document carries. The same input gives the same bytes: no date (""), or the one that reproducible
 * builds agree on, as YYYY-MM-DDTHH:MM:SSZ (reproducible-builds.org/specs/source-date-epoch). */
void base_document_date(char date[BC_DOCUMENT_DATE_ROOM]);

#endif
