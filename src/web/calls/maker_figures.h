/* SPDX-License-Identifier: MIT */
/* What the list of makers says of each: its weakest piece and its need for help. */
#ifndef BC_SRC_WEB_FIGURES_H
#define BC_SRC_WEB_FIGURES_H

#include "calls.h"

/* {"weakest","need"} as they are known; NULL: they are to be found. */
json_t *web_figures_kept(const web_maker *maker);
/* Found and kept. The request's maker is `maker`. */
web_answer web_figures_found(const web_request *r, const web_maker *maker, json_t **out);

#endif
