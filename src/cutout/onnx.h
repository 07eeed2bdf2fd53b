/* SPDX-License-Identifier: MIT */
/* A network with one picture in and one map out: onnx.c, or onnx_absent.c in a build without ONNX Runtime. */
#ifndef BC_CUTOUT_ONNX_H
#define BC_CUTOUT_ONNX_H

#include <backcloth/base.h>

enum { CUTOUT_ONNX_SIDE = 2048 }; /* the longest side of picture and map */
typedef struct cutout_onnx cutout_onnx;
/* `name` is for sentences. Needs `bytes` only while it opens. */
bc_status cutout_onnx_open(cutout_onnx **out, bc_context *context, const char *name, const void *bytes, size_t size);
void cutout_onnx_free(cutout_onnx *network);
/* The size of the picture that it takes; 0: any. */
void cutout_onnx_size(const cutout_onnx *network, int *width, int *height);
/* What the file says under a key of its own, malloc'd; NULL when it says nothing. */
bc_status cutout_onnx_word(char **out, bc_context *context, const cutout_onnx *network, const char *key);
/* Runs on 3 planes of *width x *height; gives the map, malloc'd, and its size. Threads may run it at the same time. */
bc_status cutout_onnx_run(float **out, int *width, int *height, bc_context *context, const cutout_onnx *network,
                          const float *input);

#endif
