/* SPDX-License-Identifier: MIT */
/**
 * @file photo_apart.h
 * Photo stage: photos that may be anybody's are opened where they can do no harm.
 */
#ifndef BACKCLOTH_PHOTO_APART_H
#define BACKCLOTH_PHOTO_APART_H

#include <backcloth/photo.h>

#ifdef __cplusplus
extern "C" {
#endif

/** From here on the process decodes every photo in a process of its own that can do nothing but compute: no file, no
 *  network, no other process (seccomp, resource limits; Linux). A photo that takes it over gains nothing, one that ends
 *  it is told as damaged. Call it while the process has one thread. BC_OUR_FAULT when the system gives no such process;
 *  then no photo is opened. */
BC_API bc_status bc_photo_keep_apart(bc_context *context);

#ifdef __cplusplus
}
#endif
#endif
