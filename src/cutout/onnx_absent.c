/* SPDX-License-Identifier: MIT */
/* What stands in for onnx.c in a build without ONNX Runtime: it says so. */
#include "base/base.h"
#include "onnx.h"

#ifndef BC_ONNXRUNTIME

bc_status cutout_onnx_open(cutout_onnx **out, bc_context *context, const char *name, const void *bytes, size_t size) {
  *out = NULL;
  (void)bytes;
  (void)size;
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: a learned model needs ONNX Runtime, and this build of backcloth is without it. DEVELOPERS.md "
                   "says how to build with it; or give a grey picture of where the piece probably is."),
                 name);
}

void cutout_onnx_free(cutout_onnx *network) {
  (void)network; /* there is none */
}

void cutout_onnx_size(const cutout_onnx *network, int *width, int *height) {
  (void)network;
  *width = *height = 0;
}

bc_status cutout_onnx_word(char **out, bc_context *context, const cutout_onnx *network, const char *key) {
  (void)context;
  (void)network;
  (void)key;
  *out = NULL;
  return BC_OUR_FAULT;
}

bc_status cutout_onnx_run(float **out, int *width, int *height, bc_context *context, const cutout_onnx *network,
                          const float *input) {
  (void)width;
  (void)height;
  (void)context;
  (void)network;
  (void)input;
  *out = NULL;
  return BC_OUR_FAULT;
}

#endif
