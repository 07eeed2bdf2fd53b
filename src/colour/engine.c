/* SPDX-License-Identifier: MIT */
/* LittleCMS at the border: one cmsContext a bc_context, its complaints kept off the terminal, and
 * memory bounded, since a damaged profile may ask for any amount. */
#include "base/base.h"
#include "colour_internal.h"

#include <lcms2_plugin.h>
#include <stdlib.h>

/* The largest table of a real press profile is 17^4 x 3 floats, 1 MB; this leaves room for 33^4 x 4. */
#define BLOCK_MOST ((cmsUInt32Number)32 << 20)

static void *engine_malloc(cmsContext id, cmsUInt32Number size) {
  (void)id;
  return size > BLOCK_MOST ? NULL : malloc(size);
}

static void *engine_realloc(cmsContext id, void *block, cmsUInt32Number size) {
  (void)id;
  return size > BLOCK_MOST ? NULL : realloc(block, size);
}

static void engine_free(cmsContext id, void *block) {
  (void)id;
  free(block);
}

/* What failed is told by the return value of the call, and the sentence for a person is ours. */
static void be_silent(cmsContext id, cmsUInt32Number code, const char *text) {
  (void)id;
  (void)code;
  (void)text;
}

static void free_engine(void *engine) {
  cmsDeleteContext((cmsContext)engine);
}

cmsContext colour_engine(bc_context *context) {
  cmsContext engine = (cmsContext)base_context_engine(context);
  if (engine) return engine;
  static const cmsPluginMemHandler memory = {
      .base = {cmsPluginMagicNumber, 2000, cmsPluginMemHandlerSig, NULL},
      .MallocPtr = engine_malloc,
      .FreePtr = engine_free,
      .ReallocPtr = engine_realloc,
  };
  cmsPluginMemHandler plugin = memory; /* LittleCMS takes it non-const, and copies */
  engine = cmsCreateContext(&plugin, NULL);
  if (!engine) return NULL;
  cmsSetLogErrorHandlerTHR(engine, be_silent);
  base_context_set_engine(context, (void *)engine, free_engine);
  return engine;
}
