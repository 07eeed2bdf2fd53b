/* SPDX-License-Identifier: MIT */
/* A network from an ONNX file, run by ONNX Runtime on one thread. Only in builds that have it; model.c knows what goes
 * in and out. The interface is that of onnxruntime_c_api.h. */
#include "onnx.h"
#include "base/base.h"

#ifdef BC_ONNXRUNTIME

#include <onnxruntime_c_api.h>
#include <stdlib.h>
#include <string.h>

struct cutout_onnx {
  const OrtApi *api;
  OrtEnv *env;
  OrtSession *session;
  OrtMemoryInfo *memory;
  char *name, *input, *output; /* of the file, and what the network calls its input and its first output */
  int width, height;           /* 0: any */
};

/* ---- failing ---- */

/* Frees `bad`, which is NULL when all is well. */
static bc_status check(const cutout_onnx *n, bc_context *context, OrtStatus *bad) {
  if (!bad) return BC_OK;
  const char *said = n->api->GetErrorMessage(bad);
  size_t length = strlen(said);
  while (length > 0 && strchr(".\n ", said[length - 1])) length--; /* our sentence goes on */
  char *reason = bc_format("%.*s", (int)length, said);
  const bc_status status =
      reason ? bc_fail(context, BC_BAD_DATA,
                       _("%s: ONNX Runtime cannot use this model: %s. Export it again, or do without it."), n->name,
                       reason)
             : bc_fail_memory(context);
  free(reason);
  n->api->ReleaseStatus(bad);
  return status;
}

static bc_status fail_shape(const cutout_onnx *n, bc_context *context) {
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: this model does not fit. It must take one picture of 1 x 3 x height x width floats and give a "
                   "map of 1 x 1 x height x width floats; docs/model.md describes it."),
                 n->name);
}

/* ---- opening ---- */

static OrtStatus *set_options(const OrtApi *api, OrtSessionOptions *options) {
  OrtStatus *bad = api->SetIntraOpNumThreads(options, 1); /* photos already have a thread each */
  if (!bad) bad = api->SetInterOpNumThreads(options, 1);
  if (!bad) bad = api->SetSessionLogSeverityLevel(options, ORT_LOGGING_LEVEL_FATAL);
  return bad;
}

static bc_status load(cutout_onnx *n, bc_context *context, const void *bytes, size_t size) {
  const OrtApi *api = n->api;
  OrtSessionOptions *options = NULL;
  OrtStatus *bad = api->CreateEnv(ORT_LOGGING_LEVEL_FATAL, "backcloth", &n->env);
  if (!bad) bad = api->DisableTelemetryEvents(n->env);
  if (!bad) bad = api->CreateCpuMemoryInfo(OrtArenaAllocator, OrtMemTypeDefault, &n->memory);
  if (!bad) bad = api->CreateSessionOptions(&options);
  if (!bad) bad = set_options(api, options);
  if (!bad) bad = api->CreateSessionFromArray(n->env, bytes, size, options, &n->session);
  if (options) api->ReleaseSessionOptions(options);
  return check(n, context, bad);
}

/* Takes a text from the runtime over as our own; NULL stays NULL. */
static bc_status take_text(char **out, const cutout_onnx *n, bc_context *context, OrtAllocator *allocator, char *text) {
  *out = bc_copy_text(text);
  if (!text) return BC_OK;
  const bc_status status = check(n, context, n->api->AllocatorFree(allocator, text));
  return *out ? status : bc_fail_memory(context);
}

static bc_status read_names(cutout_onnx *n, bc_context *context) {
  const OrtApi *api = n->api;
  OrtAllocator *allocator = NULL;
  char *input = NULL, *output = NULL;
  size_t inputs = 0, outputs = 0;
  OrtStatus *bad = api->GetAllocatorWithDefaultOptions(&allocator);
  if (!bad) bad = api->SessionGetInputCount(n->session, &inputs);
  if (!bad) bad = api->SessionGetOutputCount(n->session, &outputs);
  if (!bad && (inputs != 1 || outputs < 1)) return fail_shape(n, context);
  if (!bad) bad = api->SessionGetInputName(n->session, 0, allocator, &input);
  if (!bad) bad = api->SessionGetOutputName(n->session, 0, allocator, &output);
  bc_status status = take_text(&n->input, n, context, allocator, input);
  if (status == BC_OK) status = take_text(&n->output, n, context, allocator, output);
  return status == BC_OK ? check(n, context, bad) : status;
}

enum { most_dimensions = 4 };

/* Dimensions of a tensor of floats, -1 where they are free; *count is 0 for anything else. */
static OrtStatus *read_shape(const OrtApi *api, const OrtTensorTypeAndShapeInfo *info, int64_t size[most_dimensions],
                             size_t *count) {
  ONNXTensorElementDataType type = ONNX_TENSOR_ELEMENT_DATA_TYPE_UNDEFINED;
  size_t dimensions = 0;
  *count = 0;
  OrtStatus *bad = api->GetTensorElementType(info, &type);
  if (!bad) bad = api->GetDimensionsCount(info, &dimensions);
  if (bad || type != ONNX_TENSOR_ELEMENT_DATA_TYPE_FLOAT || dimensions > most_dimensions) return bad;
  *count = dimensions;
  return api->GetDimensions(info, size, dimensions);
}

static bool fits(int64_t side) {
  return side == -1 || (side >= 1 && side <= CUTOUT_ONNX_SIDE);
}

static bc_status read_input(cutout_onnx *n, bc_context *context) {
  const OrtApi *api = n->api;
  OrtTypeInfo *type = NULL;
  const OrtTensorTypeAndShapeInfo *info = NULL;
  int64_t size[most_dimensions] = {0};
  size_t count = 0;
  OrtStatus *bad = api->SessionGetInputTypeInfo(n->session, 0, &type);
  if (!bad) bad = api->CastTypeInfoToTensorInfo(type, &info);
  if (!bad && info) bad = read_shape(api, info, size, &count);
  if (type) api->ReleaseTypeInfo(type);
  if (bad) return check(n, context, bad);
  if (count != 4 || (size[0] != 1 && size[0] != -1) || size[1] != 3 || !fits(size[2]) || !fits(size[3]))
    return fail_shape(n, context);
  n->height = size[2] > 0 ? (int)size[2] : 0;
  n->width = size[3] > 0 ? (int)size[3] : 0;
  return BC_OK;
}

bc_status cutout_onnx_open(cutout_onnx **out, bc_context *context, const char *name, const void *bytes, size_t size) {
  *out = NULL;
  cutout_onnx *n = bc_allocate(1, sizeof *n);
  if (!n) return bc_fail_memory(context);
  n->api = OrtGetApiBase()->GetApi(ORT_API_VERSION);
  n->name = bc_copy_text(name);
  bc_status status = n->name ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK && !n->api)
    status = bc_fail(context, BC_OUR_FAULT,
                     _("%s: ONNX Runtime cannot use this model: %s. Export it again, or do without it."), name,
                     OrtGetApiBase()->GetVersionString());
  if (status == BC_OK) status = load(n, context, bytes, size);
  if (status == BC_OK) status = read_names(n, context);
  if (status == BC_OK) status = read_input(n, context);
  if (status == BC_OK)
    *out = n;
  else
    cutout_onnx_free(n);
  return status;
}

void cutout_onnx_free(cutout_onnx *n) {
  if (!n) return;
  if (n->session) n->api->ReleaseSession(n->session);
  if (n->memory) n->api->ReleaseMemoryInfo(n->memory);
  if (n->env) n->api->ReleaseEnv(n->env);
  free(n->name);
  free(n->input);
  free(n->output);
  free(n);
}

void cutout_onnx_size(const cutout_onnx *n, int *width, int *height) {
  *width = n->width;
  *height = n->height;
}

bc_status cutout_onnx_word(char **out, bc_context *context, const cutout_onnx *n, const char *key) {
  const OrtApi *api = n->api;
  OrtAllocator *allocator = NULL;
  OrtModelMetadata *about = NULL;
  char *text = NULL;
  *out = NULL;
  OrtStatus *bad = api->GetAllocatorWithDefaultOptions(&allocator);
  if (!bad) bad = api->SessionGetModelMetadata(n->session, &about);
  if (!bad) bad = api->ModelMetadataLookupCustomMetadataMap(about, allocator, key, &text);
  if (about) api->ReleaseModelMetadata(about);
  return bad ? check(n, context, bad) : take_text(out, n, context, allocator, text);
}

/* ---- running ---- */

/* The map's size: its last two dimensions, when all others are 1. */
static bool map_size(const int64_t *size, size_t count, int *width, int *height) {
  if (count < 2) return false;
  for (size_t i = 0; i + 2 < count; i++)
    if (size[i] != 1) return false;
  const int64_t down = size[count - 2], across = size[count - 1];
  if (down < 1 || across < 1 || down > CUTOUT_ONNX_SIDE || across > CUTOUT_ONNX_SIDE) return false;
  *width = (int)across;
  *height = (int)down;
  return true;
}

static bc_status take_map(float **out, int *width, int *height, bc_context *context, const cutout_onnx *n,
                          OrtValue *value) {
  const OrtApi *api = n->api;
  OrtTensorTypeAndShapeInfo *info = NULL;
  int64_t size[most_dimensions] = {0};
  size_t count = 0;
  int is_tensor = 0;
  void *data = NULL;
  OrtStatus *bad = api->IsTensor(value, &is_tensor);
  if (!bad && is_tensor) bad = api->GetTensorTypeAndShape(value, &info);
  if (!bad && info) bad = read_shape(api, info, size, &count);
  if (info) api->ReleaseTensorTypeAndShapeInfo(info);
  if (bad) return check(n, context, bad);
  if (!map_size(size, count, width, height)) return fail_shape(n, context);
  const bc_status status = check(n, context, api->GetTensorMutableData(value, &data));
  if (status != BC_OK) return status;
  const size_t values = (size_t)*width * (size_t)*height;
  *out = bc_allocate(values, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  memcpy(*out, data, values * sizeof **out);
  return BC_OK;
}

bc_status cutout_onnx_run(float **out, int *width, int *height, bc_context *context, const cutout_onnx *n,
                          const float *input) {
  const OrtApi *api = n->api;
  const int64_t shape[4] = {1, 3, *height, *width};
  const size_t bytes = 3 * (size_t)*height * (size_t)*width * sizeof *input;
  OrtValue *picture = NULL, *map = NULL;
  *out = NULL;
  OrtStatus *bad = api->CreateTensorWithDataAsOrtValue(n->memory, (void *)input, bytes, shape, 4,
                                                       ONNX_TENSOR_ELEMENT_DATA_TYPE_FLOAT, &picture);
  if (!bad)
    bad = api->Run(n->session, NULL, (const char *const[]){n->input}, (const OrtValue *const[]){picture}, 1,
                   (const char *const[]){n->output}, 1, &map);
  const bc_status status = bad ? check(n, context, bad) : take_map(out, width, height, context, n, map);
  if (picture) api->ReleaseValue(picture);
  if (map) api->ReleaseValue(map);
  return status;
}

#endif
