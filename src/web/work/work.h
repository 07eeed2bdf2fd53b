/* SPDX-License-Identifier: MIT */
/* The server's names for the workers of src/base/apart, which it shares with the command line. */
#ifndef BC_SRC_WEB_WORK_H
#define BC_SRC_WEB_WORK_H

#include "base/apart/apart.h"

#define WEB_DECODER APART_DECODER
#define WEB_DESK APART_PLANNER
#define WEB_FILES APART_FILES
#define WEB_WORKERS APART_WORKERS
#define WEB_PARTS APART_PARTS
#define WEB_DONE APART_DONE
#define WEB_DIED APART_DIED
#define WEB_LATE APART_LATE
#define WEB_NO_WORKER APART_NO_WORKER
#define WEB_NO_SANDBOX APART_NO_SANDBOX

#define web_part apart_part
#define web_message apart_message
#define web_message_add apart_message_add
#define web_message_add_text apart_message_add_text
#define web_message_clear apart_message_clear
#define web_message_text apart_message_text
#define web_work apart_work
#define web_worker apart_worker
#define web_worker_kind apart_worker_kind
#define web_outcome apart_outcome
#define web_now_ms apart_now_ms
#define web_nursery apart_nursery
#define web_nursery_options apart_nursery_options
#define web_nursery_start apart_nursery_start
#define web_nursery_stop apart_nursery_stop
#define web_pool apart_pool
#define web_pool_start apart_pool_start
#define web_pool_stop apart_pool_stop
#define web_pool_run apart_pool_run
#define web_pool_alive apart_pool_alive

#endif
