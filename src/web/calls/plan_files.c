/* SPDX-License-Identifier: MIT */
/* Downloads: listings, and drawings that a planner makes from the plan and the maker's photos. */
#include "drawing_order.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

static const char *type_of(const char *file) {
  static const char *const types[][2] = {{".png", "image/png"},
                                         {".pdf", "application/pdf"},
                                         {".svg", "image/svg+xml"},
                                         {".csv", "text/csv; charset=utf-8"},
                                         {".json", "application/json"}};
  const char *dot = strrchr(file, '.');
  for (size_t i = 0; dot && i < 5; i++)
    if (strcmp(dot, types[i][0]) == 0) return types[i][1];
  return "application/octet-stream";
}

/* --- listings -------------------------------------------------------------------------------------------------- */

static web_answer show_listing(const web_request *r, const char *what, const char *type) {
  web_revision head = {0};
  bc_apart_message out = {0};
  web_answer answer = web_newest_plan(r, &head);
  if (!answer.status) answer = web_ask_planner(r, WEB_JOB_PLAN, json_pack("{s:s}", "what", what), head.plan, &out);
  if (!answer.status) answer = web_text(200, type, bc_copy_text(bc_apart_message_text(&out, 0)), out.part[0].size);
  bc_apart_message_clear(&out);
  json_decref(head.plan);
  return answer;
}

web_answer web_show_packing(web_request *r) {
  return show_listing(r, "packing", "application/json");
}

web_answer web_show_loads(web_request *r) {
  return show_listing(r, "loads", "application/json");
}

static web_answer send_plan(const web_request *r) {
  web_revision head = {0};
  web_answer answer = web_newest_plan(r, &head);
  char *text = answer.status ? NULL : web_plan_text(head.plan);
  if (!answer.status) answer = web_text(200, "application/json", text, text ? strlen(text) : 0);
  json_decref(head.plan);
  return answer;
}

/* --- drawings --------------------------------------------------------------------------------------------------- */

/* Gives the order to a planner and sends its file. */
static web_answer have_drawn(const web_request *r, const char *file, web_drawing *drawing) {
  static const web_task task = {.deadline_ms = 120000};
  bc_apart_message all, out = {0};
  json_object_set_new(drawing->order, "file", json_string(file));
  json_object_set_new(drawing->order, "units", json_string(r->imperial ? "imperial" : "metric"));
  json_object_set_new(drawing->order, "scratch", json_string(r->server->folder.scratch));
  const bool ready = web_order(r, &all, WEB_JOB_FILE, json_incref(drawing->order)) &
                     bc_apart_message_add(&all, drawing->part.bytes, drawing->part.size);
  drawing->part = (bc_apart_part){0};
  memcpy(all.file, drawing->studies.file, drawing->studies.files * sizeof(int));
  all.files = drawing->studies.files;
  drawing->studies.files = 0;
  web_answer answer = ready ? web_have_done(r, &all, &out, &task) : WEB_GO_ON;
  if (!ready) bc_apart_message_clear(&all);
  if (!answer.status && out.parts) {
    answer = web_text(200, type_of(file), (char *)out.part[0].bytes, out.part[0].size);
    out.part[0].bytes = NULL;
  }
  bc_apart_message_clear(&out);
  return answer;
}

static web_answer send_drawing(const web_request *r, const char *file, web_drawing_order *describe) {
  web_drawing drawing = {0};
  web_answer answer = describe(r, file, &drawing);
  if (!answer.status) answer = have_drawn(r, file, &drawing);
  bc_apart_message_clear(&drawing.studies);
  free(drawing.part.bytes);
  json_decref(drawing.order);
  // cppcheck-suppress returnDanglingLifetime ; an answer takes no address of the drawing, which only lends its parts
  return answer;
}

static bool is_one_of(const char *file, const char *const *names) {
  while (*names && strcmp(file, *names) != 0) names++;
  return *names != NULL;
}

static web_answer send_file(const web_request *r, const char *file) {
  static const char *const of_plan[] = {"wall.png", "wall.pdf", "wall.svg", "aisle.png", "sheet.pdf", NULL};
  static const char *const of_cloths[] = {"board.png", "board.pdf", "board.svg", "compare.png", NULL};
  if (strcmp(file, "plan.json") == 0) return send_plan(r);
  if (strcmp(file, "packing.csv") == 0 || strcmp(file, "loads.csv") == 0) return show_listing(r, file, type_of(file));
  if (is_one_of(file, of_plan)) return send_drawing(r, file, web_order_plan);
  if (is_one_of(file, of_cloths)) return send_drawing(r, file, web_order_board);
  if (strcmp(file, "feedback.pdf") == 0) return send_drawing(r, file, web_order_feedback);
  return web_refuse(r, 404, NULL, N_("There is no such file to download."));
}

web_answer web_send_file(web_request *r) {
  const char *file = r->argument[1];
  web_answer answer = send_file(r, file);
  if (web_argument(r, "save") && answer.status < 400)
    answer.save_as = bc_format("attachment; filename=\"%.60s\"", file);
  return answer;
}
