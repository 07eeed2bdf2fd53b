/* SPDX-License-Identifier: MIT */
/* Zones, posts, grid panels, risers, chairs, people and open sides: defaults as docs/plan.md has them, carriers,
 * places. */
#include <backcloth/plan.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

#define HEAD "{\"backcloth\":1,\"title\":\"Stand\",\"stand\":{\"width\":300,\"wall_height\":240}"
#define PIECE "{\"id\":\"a\",\"width\":20,\"height\":30,\"at\":[100,100],\"mount\":"

static bc_plan *parse(const char *text) {
  bc_plan *plan = NULL;
  const bc_status status = bc_plan_parse(&plan, context, text, strlen(text), "shop/market.json", NULL);
  if (status != BC_OK) print_message("%s\n", bc_context_message(context));
  assert_int_equal(status, BC_OK);
  return plan;
}

static void refused(const char *text, const char *says, const char *and) {
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "shop/market.json", NULL), BC_BAD_DATA);
  assert_null(plan);
  if (!strstr(bc_context_message(context), says) || !strstr(bc_context_message(context), and))
    fail_msg("'%s' and '%s' are not in: %s", says, and, bc_context_message(context));
}

static void defaults(void **state) {
  (void)state;
  bc_plan *plan = parse(HEAD ",\"tables\":[{\"x\":0,\"width\":100}],\"zones\":[{\"width\":9,\"height\":8}],"
                             "\"posts\":[{\"x\":50}],\"grids\":[{}],\"risers\":[{}],\"chairs\":[{}]}");
  const bc_zone *zone = plan->zones;
  assert_true(zone->kind == BC_ZONE_NO_FIX && zone->x == 0 && zone->y == 0 && !zone->reason);
  assert_string_equal(zone->id, "zone-1");
  const bc_post *post = plan->posts;
  assert_true(post->width == 10 && post->depth == 10 && post->y == 0 && post->height == 240 && !post->hang);
  const bc_grid *grid = plan->grids;
  assert_true(grid->x == 120 && grid->y == 30 && grid->width == 60 && grid->height == 180 && grid->mesh == 7.5);
  const bc_riser *riser = plan->risers;
  assert_true(riser->x == 35 && riser->width == 30 && riser->depth == 20 && riser->height == 15);
  assert_true(bc_plan_riser_table(plan, riser) == plan->tables && bc_plan_riser_top(plan, riser) == 74 + 15);
  const bc_chair *chair = plan->chairs;
  assert_true(chair->x == 127.5 && chair->seat == 45 && chair->height == 85 && chair->from_wall == 90 && chair->lent);
  assert_true(plan->tables->from_wall == 0 && plan->viewers.crowd == 0);
  assert_true(plan->hanging.stature == 152.5 && plan->hanging.reach == 183 && plan->hanging.step == 46);
  bc_plan_free(plan);
}

/* Stature: 5th percentile of women, 95th of men, ANSUR II (NATICK/TR-15/007, 2014): 152.5 and 187.0 cm; their standing
 * eye heights there (derived) are 142.1 and 175.3 cm. A seated eye: 109.2 to 129.5 cm, 1991 ADA Standards A4.2.4. */
static void people(void **state) {
  (void)state;
  bc_plan *plan = parse(HEAD "}");
  size_t count = 0;
  const bc_figure *figure = bc_plan_figures(plan, &count);
  assert_int_equal(count, 3);
  assert_true(figure[0].stature == 152.5 && fabs(figure[0].eye - 142.1) < 1);
  assert_true(figure[1].stature == 187 && fabs(figure[1].eye - 175.3) < 1);
  assert_true(figure[2].wheelchair && figure[2].eye > 109.2 && figure[2].eye < 129.5);
  bc_plan_free(plan);
  plan = parse(HEAD ",\"viewers\":{\"crowd\":4,\"figures\":[{\"stature\":180},{\"wheelchair\":true},{\"eye\":150}]}}");
  figure = bc_plan_figures(plan, &count);
  assert_int_equal(count, 3);
  assert_int_equal(plan->viewers.crowd, 4);
  assert_true(figure[0].eye == 168 && figure[1].eye == 119 && figure[1].stature == 131);
  assert_true(figure[2].eye == 150 && figure[2].stature == 161);
  char *text = NULL;
  assert_int_equal(bc_plan_to_json(&text, context, plan), BC_OK);
  assert_non_null(strstr(text, "[{\"stature\": 180}, {\"wheelchair\": true}, {\"eye\": 150}]")); /* as given */
  free(text);
  bc_plan_free(plan);
}

static void carriers(void **state) {
  (void)state;
  bc_plan *plan =
      parse(HEAD ",\"tables\":[{\"id\":\"t\"},{\"id\":\"u\"}],\"risers\":[{\"id\":\"r\",\"on\":\"u\"}],"
                 "\"grids\":[{\"id\":\"g\"}],\"posts\":[{\"id\":\"p\",\"x\":9,\"hang\":true}],\"pieces\":[" PIECE
                 "{\"kind\":\"table\",\"on\":\"r\"}},{\"id\":\"b\",\"width\":2,\"height\":3,"
                 "\"mount\":{\"kind\":\"hook\",\"on\":\"g\"}},{\"id\":\"c\",\"width\":2,\"height\":3,"
                 "\"mount\":{\"kind\":\"nail\",\"on\":\"p\"}}]}");
  assert_ptr_equal(bc_plan_riser_of(plan, &plan->pieces[0]), plan->risers);
  assert_ptr_equal(bc_plan_table_of(plan, &plan->pieces[0]), &plan->tables[1]);
  assert_ptr_equal(bc_plan_grid_of(plan, &plan->pieces[1]), plan->grids);
  assert_ptr_equal(bc_plan_post_of(plan, &plan->pieces[2]), plan->posts);
  assert_null(bc_plan_rod_of(plan, &plan->pieces[1]));
  bc_plan_free(plan);
  refused(HEAD ",\"grids\":[{\"id\":\"g\"}],\"pieces\":[" PIECE "{\"kind\":\"nail\",\"on\":\"g\"}}]}", "mount.on",
          "hook");
  refused(HEAD ",\"risers\":[{\"id\":\"r\"}],\"tables\":[{}],\"pieces\":[" PIECE "{\"kind\":\"hook\",\"on\":\"r\"}}]}",
          "mount.on", "risers");
  refused(HEAD ",\"risers\":[{\"on\":\"nowhere\"}]}", "risers[0].on", "nowhere");
  refused(HEAD ",\"grids\":[{\"mesh\":70}]}", "grids[0].mesh", "wider");
  refused(HEAD ",\"chairs\":[{\"seat\":95}]}", "chairs[0].seat", "higher");
  refused(HEAD ",\"zones\":[{\"width\":5}]}", "zones[0]", "height");
  refused(HEAD ",\"viewers\":{\"crowd\":7}}", "viewers.crowd", "6");
  refused(HEAD ",\"viewers\":{\"figures\":[{\"stature\":150,\"eye\":160}]}}", "figures[0].eye", "below");
  refused(HEAD ",\"chair\":[]}", "chair", "\"chairs\"");
}

/* Hooks go to the wires, evenly about the middle of the piece. Wires at 120 + 7.5 n. */
static void hooks_on_wires(void **state) {
  (void)state;
  bc_plan *plan =
      parse(HEAD ",\"grids\":[{\"id\":\"g\",\"x\":120}],\"pieces\":[{\"id\":\"a\",\"width\":40,\"height\":30,"
                 "\"mount\":{\"kind\":\"hook\",\"points\":2,\"on\":\"g\"}}]}");
  const bc_piece *piece = plan->pieces;
  const double middles[] = {150, 153.75}; /* on a wire, and half way between two */
  const double outer[] = {7.5, 11.25};    /* 10 cm from the middle, drawn to the nearest: 7.5, or 11.25 */
  for (int k = 0; k < 2; k++)
    for (int i = 0; i < 2; i++) {
      const bc_point_cm point = bc_plan_hanging_point(plan, piece, (bc_point_cm){middles[k], 100}, i);
      assert_true(fabs(point.x - (middles[k] + (i ? 1 : -1) * outer[k])) < 1e-9);
      const double wires = (point.x - 120) / 7.5;
      assert_true(fabs(wires - round(wires)) < 1e-9);
    }
  bc_plan_free(plan);
}

/* The focus moves a twelfth of the width: to the aisle of an open side, away from a closed one. */
static void focus_of_a_corner(void **state) {
  (void)state;
  static const struct {
    const char *open, *from;
    double x;
  } cases[] = {{"none", "front", 150}, {"left", "front", 125}, {"right", "front", 175}, {"both", "front", 150},
               {"none", "left", 175},  {"none", "right", 125}, {"left", "left", 125},   {"left", "right", 125},
               {"both", "left", 125},  {"both", "right", 175}};
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    char *text = NULL;
    assert_true(asprintf(&text,
                         "{\"backcloth\":1,\"title\":\"S\",\"stand\":{\"width\":300,\"wall_height\":240,"
                         "\"open_side\":\"%s\",\"visitors_from\":\"%s\"}}",
                         cases[i].open, cases[i].from) > 0);
    bc_plan *plan = parse(text);
    assert_true(fabs(bc_plan_focus(plan).x - cases[i].x) < 1e-9);
    bc_plan_free(plan);
    free(text);
  }
}

/* One mistake a plan; the check names the piece, or the thing itself, and says what to do. */
static void found(const char *rest, const char *words, bool serious) {
  char *text = NULL;
  assert_true(asprintf(&text,
                       "{\"backcloth\":1,\"title\":\"S\",\"stand\":{\"width\":300,\"wall_height\":240,"
                       "\"open_side\":\"left\"}%s}",
                       rest) > 0);
  bc_plan *plan = parse(text);
  bc_plan_findings findings = {0};
  assert_int_equal(bc_plan_check(&findings, context, plan), BC_OK);
  bool there = false;
  for (size_t i = 0; i < findings.count; i++)
    there = there || (strstr(findings.finding[i].text, words) && findings.finding[i].serious == serious);
  if (!there) fail_msg("'%s' is not found in: %s", words, text);
  bc_plan_findings_clear(&findings);
  bc_plan_free(plan);
  free(text);
}

#define AT(place, mount)                                                                                               \
  ",\"pieces\":[{\"id\":\"a\",\"width\":20,\"height\":30,\"depth\":14,\"weight_g\":9,\"at\":" place                    \
  ",\"mount\":" mount "}]"
#define GRID ",\"grids\":[{\"id\":\"g\",\"x\":120,\"y\":60,\"height\":150}]"

static void checks(void **state) {
  (void)state;
  found(",\"zones\":[{\"x\":95,\"y\":110,\"width\":20,\"height\":20,\"reason\":\"pipe\"}]" AT("[100,100]", "{}"),
        "is in \"pipe\", where nothing may be fixed", true);
  found(",\"zones\":[{\"x\":95,\"y\":90,\"width\":9,\"height\":9,\"kind\":\"keep-clear\"}]" AT("[100,100]", "{}"),
        "must stay clear", true);
  found(",\"posts\":[{\"id\":\"p\",\"x\":100}]" AT("[100,100]", "{}"), "is where \"p\" stands", true);
  found(",\"posts\":[{\"id\":\"p\",\"x\":100}]" AT("[105,100]", "{\"on\":\"p\"}"), "nothing may be fixed", true);
  found(GRID AT("[153,105]", "{\"kind\":\"hook\",\"on\":\"g\"}"), "where the wires of \"g\" cross", true);
  found(GRID AT("[110,105]", "{\"kind\":\"hook\",\"on\":\"g\"}"), "off the grid panel", true);
  found(GRID AT("[150,105]", "{}"), "hangs behind the grid panel", true);
  found(",\"grids\":[{\"x\":280}]", "passes the wall's edge by 40 cm", true);
  found(",\"tables\":[{\"id\":\"t\"}],\"risers\":[{\"id\":\"r\",\"x\":40}]", "past the edge of the table", true);
  found(",\"risers\":[{\"id\":\"r\"}]", "the plan has none", true);
  found(",\"chairs\":[{\"id\":\"c\",\"x\":90,\"from_wall\":20}]" AT("[100,60]", "{}"), "The chair \"c\" hides", false);
  found(",\"chairs\":[{\"id\":\"c\",\"x\":50}]", "on the open side", false);
  found(",\"chairs\":[{\"id\":\"c\",\"from_wall\":40}],\"tables\":[{\"id\":\"t\"}]", "stand in one place", true);
  found(AT("[15,150]", "{}"), "beside the open side", false);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(defaults),          cmocka_unit_test(people),
      cmocka_unit_test(carriers),          cmocka_unit_test(hooks_on_wires),
      cmocka_unit_test(focus_of_a_corner), cmocka_unit_test(checks),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
