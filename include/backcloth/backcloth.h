/* SPDX-License-Identifier: MIT */
/** @file backcloth.h  The whole library, stage by stage in the order in which data flows. */
#ifndef BACKCLOTH_BACKCLOTH_H
#define BACKCLOTH_BACKCLOTH_H

#include <backcloth/aisle.h>
#include <backcloth/apart.h>
#include <backcloth/arrange.h>
#include <backcloth/base.h>
#include <backcloth/collection.h>
#include <backcloth/colour.h>
#include <backcloth/cutout.h>
#include <backcloth/drawing.h>
#include <backcloth/feedback.h>
#include <backcloth/file.h>
#include <backcloth/loads.h>
#include <backcloth/look.h>
#include <backcloth/match.h>
#include <backcloth/packing.h>
#include <backcloth/photo.h>
#include <backcloth/plan.h>
#include <backcloth/program.h>
#include <backcloth/reading.h>
#include <backcloth/sheet.h>
#include <backcloth/store.h>

#endif
