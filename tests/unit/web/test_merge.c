/* SPDX-License-Identifier: MIT */
/* Two people change one plan at once: what either changed is kept; of one value that both changed, the later save
 * stands and its path is told; what one took away and the other changed stays. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "web/store/plans.h"

static const struct {
  const char *base, *mine, *theirs, *merged, *overruled;
} cases[] = {
    /* each changed something else */
    {"{'gap':8,'title':'T'}", "{'gap':9,'title':'T'}", "{'gap':8,'title':'U'}", "{'gap':9,'title':'U'}", "[]"},
    /* both changed one value: the later save, mine, stands, and the path is told */
    {"{'stand':{'width':300}}", "{'stand':{'width':280}}", "{'stand':{'width':250}}", "{'stand':{'width':280}}",
     "['stand.width']"},
    {"{'at':[1,2]}", "{'at':[3,2]}", "{'at':[1,4]}", "{'at':[3,2]}", "['at']"},
    /* both changed it to the same */
    {"{'gap':8}", "{'gap':3}", "{'gap':3}", "{'gap':3}", "[]"},
    /* things are told apart by id: both added one, one was moved by them, one taken away by me */
    {"[{'id':'a','x':1},{'id':'b','x':1}]", "[{'id':'a','x':1},{'id':'c','x':5}]",
     "[{'id':'a','x':2},{'id':'b','x':1},{'id':'d','x':6}]", "[{'id':'a','x':2},{'id':'c','x':5},{'id':'d','x':6}]",
     "[]"},
    /* taken away by me, changed by them: it stays as they have it */
    {"[{'id':'a','x':1}]", "[]", "[{'id':'a','x':2}]", "[{'id':'a','x':2}]", "['a']"},
    /* taken away by them, changed by me */
    {"[{'id':'a','x':1}]", "[{'id':'a','x':2}]", "[]", "[{'id':'a','x':2}]", "['a']"},
    /* taken away by them, left alone by me */
    {"{'gap':8,'title':'T'}", "{'gap':8,'title':'T'}", "{'title':'T'}", "{'title':'T'}", "[]"},
};

static json_t *value(const char *text) {
  char json[256];
  strncpy(json, text, sizeof json - 1);
  json[sizeof json - 1] = '\0';
  for (char *c = json; *c; c++)
    if (*c == '\'') *c = '"';
  json_t *made = json_loads(json, 0, NULL);
  assert_non_null(made);
  return made;
}

static void assert_value(json_t *got, const char *wanted, size_t number) {
  json_t *truth = value(wanted);
  char *said = json_dumps(got, JSON_COMPACT);
  if (!json_equal(got, truth)) fail_msg("case %zu: %s instead of %s", number, said ? said : "nothing", wanted);
  free(said);
  json_decref(truth);
}

static void both_are_kept(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
    json_t *base = value(cases[i].base), *mine = value(cases[i].mine), *theirs = value(cases[i].theirs);
    json_t *overruled = json_array(), *merged = web_merge(base, mine, theirs, overruled);
    assert_value(merged, cases[i].merged, i);
    assert_value(overruled, cases[i].overruled, i);
    json_decref(merged);
    json_decref(overruled);
    json_decref(base);
    json_decref(mine);
    json_decref(theirs);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(both_are_kept)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
