/* SPDX-License-Identifier: MIT */
/* What a session tells the benches: session.c. */
#ifndef BC_CUTOUT_SESSION_H
#define BC_CUTOUT_SESSION_H

#include <backcloth/cutout.h>

/* The signs (confidence.h) of its last answer, for fitting their weights. */
const double *cutout_session_signs(const bc_cutout_session *session);

#endif
