/* SPDX-License-Identifier: MIT */
/**
 * @file file.h
 * Whole files: read under a limit, written so that nothing is ever half written; and the parts of a path. For programs
 * built on the library, which read and write their own files as it does.
 */
#ifndef BACKCLOTH_FILE_H
#define BACKCLOTH_FILE_H

#include <backcloth/base.h>
#include <stdio.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Reads a whole file ("-": standard input) of at most `most` bytes. The caller frees *out with free(). A NUL follows
 *  the last byte, so that text can be used as a string. Errors: BC_NO_INPUT, BC_BAD_DATA (too large); the sentence
 * names the path. */
BC_API bc_status bc_file_read(uint8_t **out, size_t *size, bc_context *context, const char *path, uint64_t most);

/** A file that is being written: a temporary one beside it, flushed, synchronised, checked, then renamed over the
 *  target, whose mode it takes over; a symbolic link stays and what it leads to is written. A pipe or device is written
 *  straight; "-" is standard output. Errors are remembered and told once, by commit. */
typedef struct bc_file_writer bc_file_writer;
/** Begins. Errors: BC_CANNOT_WRITE. */
BC_API bc_status bc_file_writer_open(bc_file_writer **out, bc_context *context, const char *path);
/** The stream to print into; borrowed until the writer ends. */
BC_API FILE *bc_file_writer_stream(bc_file_writer *writer);
BC_API void bc_file_writer_write(bc_file_writer *writer, const void *bytes, size_t size);
/** Ends the writer, whatever the outcome. Errors: BC_CANNOT_WRITE, and then the target is as it was. */
BC_API bc_status bc_file_writer_commit(bc_file_writer *writer, bc_context *context);
/** Gives up: removes the temporary file. NULL is fine. */
BC_API void bc_file_writer_abandon(bc_file_writer *writer);

/** "folder/name" for a name relative to a folder; an absolute name as it is. malloc'd; NULL without memory. */
BC_API char *bc_path_join(const char *folder, const char *name);
/** Where a path leads when the symbolic links in its last part are followed; what it leads to need not be there.
 *  malloc'd; NULL when they go round in a circle or there is no memory (errno tells). */
BC_API char *bc_path_followed(const char *path);
/** The folder of a path, "." if it has none. malloc'd; NULL without memory. */
BC_API char *bc_path_folder(const char *path);
/** The last part of a path, borrowed. */
BC_API const char *bc_path_name(const char *path);
/** "-"; and "-.png", "-.pdf", "-.svg", by which a picture for standard output says its format. */
BC_API bool bc_path_is_standard_output(const char *path);
/** A path as a sentence for people may hold it: without control characters; malloc'd, NULL without memory. */
BC_API char *bc_path_shown(const char *path);
/** True when the path ends in .suffix, whatever the case: bc_path_has_suffix("a.PNG", "png"). */
BC_API bool bc_path_has_suffix(const char *path, const char *suffix);
/** True when a relative path never climbs above its start; an absolute one never stays. */
BC_API bool bc_path_stays_inside(const char *path);

#ifdef __cplusplus
}
#endif
#endif
