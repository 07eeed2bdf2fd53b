/* SPDX-License-Identifier: MIT */
/* Limits of the photo stage that no caller needs to change; those that one may are in bc_limits.
 * docs/limits.md says what each counts, why this number, and how to raise it. */
#ifndef BC_SRC_PHOTO_LIMITS_H
#define BC_SRC_PHOTO_LIMITS_H

/* Scans of a progressive JPEG. Encoders write 3 to 12; each scan costs a pass over the whole picture,
 * so that a small file with thousands of scans could keep the program busy for hours. */
#define PHOTO_JPEG_SCANS 100

/* Bytes of EXIF data that are looked at. A JPEG segment holds at most 65,527; other formats set no limit. */
#define PHOTO_EXIF_BYTES (1024UL * 1024)

#endif
