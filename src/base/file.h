/* SPDX-License-Identifier: MIT */
/* Reading whole files under a limit, and writing so that nothing is ever half written. */
#ifndef BC_SRC_BASE_FILE_H
#define BC_SRC_BASE_FILE_H

#include <backcloth/base.h>
#include <stdio.h>

/* Reads a whole file ("-" = standard input) of at most `most` bytes. The caller frees *out with
 * free(). One NUL follows the last byte, so text can be used as a string. Sentences name the path. */
bc_status bc_file_read(uint8_t **out, size_t *size, bc_context *context, const char *path, uint64_t most);

/* Writing: a neighbouring temporary file, flushed, fsynced, checked, then renamed over the target, whose mode it takes
 * over; a symbolic link stays and what it leads to is written. A pipe or device is written straight. Standard output is
 * written as bc_path_is_standard_output says. Errors are remembered and told once, by commit. */
typedef struct bc_file_writer bc_file_writer;
bc_status bc_file_writer_open(bc_file_writer **out, bc_context *context, const char *path);
FILE *bc_file_writer_stream(bc_file_writer *writer);
void bc_file_writer_write(bc_file_writer *writer, const void *bytes, size_t size);
/* Consumes the writer, whatever the outcome. */
bc_status bc_file_writer_commit(bc_file_writer *writer, bc_context *context);
/* Gives up: removes the temporary file. NULL is fine. */
void bc_file_writer_abandon(bc_file_writer *writer);

/* "folder/name" for a name relative to a folder; an absolute name is returned as it is. malloc'd. */
char *bc_path_join(const char *folder, const char *name);
/* Where a path leads when the symbolic links in its last part are followed; what it leads to need not be there.
 * malloc'd; NULL when they go round in a circle or there is no memory (errno tells). */
char *bc_path_followed(const char *path);
/* The folder of a path, "." if it has none. malloc'd. */
char *bc_path_folder(const char *path);
/* The last part of a path, borrowed. */
const char *bc_path_name(const char *path);
/* "-"; and "-.png", "-.pdf", "-.svg", by which a picture for standard output says its format. */
bool bc_path_is_standard_output(const char *path);
/* A path as a sentence for people may hold it: without control characters; malloc'd, NULL without memory. */
char *bc_path_shown(const char *path);
/* true when the path ends in .suffix, whatever the case: bc_path_has_suffix("a.PNG", "png"). */
bool bc_path_has_suffix(const char *path, const char *suffix);
/* true when a relative path never climbs above its start and is not absolute. */
bool bc_path_stays_inside(const char *path);

#endif
