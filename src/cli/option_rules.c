/* SPDX-License-Identifier: MIT */
/* Which options go together. In: a command's rules and what was given. Out: a refusal, before any work, of what would
 * otherwise be dropped without a word. */
#include "cli.h"

#include <backcloth/sentences.h>
#include <string.h>

static bool is_given(const cli *run, const char *name, size_t length) {
  for (size_t i = 0; i < run->command->option_count; i++) {
    const char *own = run->command->options[i].name;
    if (strlen(own) == length && strncmp(own, name, length) == 0) return run->given >> i & 1;
  }
  return false;
}

bool cli_given(const cli *run, const char *option) {
  return is_given(run, option, strlen(option));
}

static bc_status refuse_pair(const cli *run, const char *one, const char *other, size_t length) {
  return bc_fail(run->context, BC_BAD_USAGE, _("%s: --%s and --%.*s do not go together; leave one of them out."),
                 run->command->name, one, (int)length, other);
}

static bc_status refuse_alone(const cli *run, const cli_rule *rule) {
  const size_t first = strcspn(rule->others, " ");
  if (!rule->others[first])
    return bc_fail(run->context, BC_BAD_USAGE, _("%s: --%s changes nothing without --%s; add that, or leave it out."),
                   run->command->name, rule->option, rule->others);
  return bc_fail(run->context, BC_BAD_USAGE,
                 _("%s: --%s changes nothing without --%.*s or --%s; add one of these, or leave it out."),
                 run->command->name, rule->option, (int)first, rule->others, rule->others + first + 1);
}

static bc_status check(const cli *run, const cli_rule *rule) {
  if (!cli_given(run, rule->option)) return BC_OK;
  for (const char *other = rule->others; *other;) {
    const size_t length = strcspn(other, " ");
    const bool given = is_given(run, other, length);
    if (given) return rule->bond == CLI_NEEDS ? BC_OK : refuse_pair(run, rule->option, other, length);
    other += length + (other[length] == ' ');
  }
  return rule->bond == CLI_NEEDS ? refuse_alone(run, rule) : BC_OK;
}

bc_status cli_check_rules(const cli *run) {
  bc_status status = BC_OK;
  for (const cli_rule *rule = run->command->rules; status == BC_OK && rule && rule->option; rule++)
    status = check(run, rule);
  return status;
}
