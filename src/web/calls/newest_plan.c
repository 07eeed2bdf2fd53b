/* SPDX-License-Identifier: MIT */
/* The plan that a maker has now, or the one that every maker begins with. */
#include "calls.h"

/* The stand that most markets let: three metres of wall and one table. */
json_t *web_first_plan(void) {
  return json_pack("{s:i,s:s,s:{s:i,s:i,s:i},s:[{s:i,s:i,s:i,s:i}],s:[]}", "backcloth", 1, "title", "Stand", "stand",
                   "width", 300, "depth", 300, "wall_height", 240, "tables", "x", 60, "width", 180, "depth", 75,
                   "height", 74, "pieces");
}

web_answer web_newest_plan(const web_request *r, web_revision *out) {
  if (web_plan_head(r->server->store, r->maker, out) != WEB_FOUND) return web_refuse_store(r);
  if (!out->plan) out->plan = web_first_plan();
  return out->plan ? WEB_GO_ON : web_refuse_store(r);
}
