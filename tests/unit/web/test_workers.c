/* SPDX-License-Identifier: MIT */
/* A worker that opens a file, a socket or a program dies; one that hangs is given up; memory is bounded; and the
 * next order is done as if nothing had happened. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include <fcntl.h>
#include <sys/socket.h>
#include <unistd.h>

#include <backcloth/apart.h>
#include <backcloth/program.h>

enum { FINE = 1, OPENS, CONNECTS, RUNS, HANGS, GRABS };

static bc_status misbehave(bc_context *context, const bc_apart_message *in, bc_apart_message *out) {
  if (in->kind == OPENS) { /* the filter ends it, or, built with sanitizers, says no */
    if (open("/etc/hostname", O_RDONLY) >= 0) return BC_OK;
    _exit(1);
  }
  if (in->kind == CONNECTS && socket(AF_INET, SOCK_STREAM, 0) >= 0) return BC_OK;
  if (in->kind == RUNS) execl("/bin/true", "true", NULL);
  for (volatile int i = 0; in->kind == HANGS; i = 1 - i) continue;
  for (size_t i = 0; in->kind == GRABS && i < 4096; i++) {
    char *block = malloc((size_t)1 << 20);
    if (!block) return bc_fail_memory(context);
    memset(block, 1, (size_t)1 << 20);
  }
  return bc_apart_message_add_text(out, strdup("done")) ? BC_OK : BC_OUR_FAULT;
}

static bc_apart_nursery *nursery;
static bc_apart_pool *pool;

static int set_up(void **state) {
  (void)state;
  const bc_apart_options options = {
      .work = {misbehave, misbehave}, .memory_bytes = (uint64_t)256 << 20, .cpu_seconds = 20};
  if (!bc_apart_nursery_start(&nursery, &options)) return -1;
  return bc_apart_pool_start(&pool, nursery, BC_APART_DECODER, 1, 1) ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_apart_pool_stop(pool);
  bc_apart_nursery_stop(nursery);
  return 0;
}

static bc_apart_outcome order(uint32_t kind, uint32_t *status) {
  const bc_apart_message in = {.kind = kind, .language = "en"};
  bc_apart_message out;
  const bc_apart_outcome outcome = bc_apart_pool_run(pool, &in, &out, kind == HANGS ? 1500 : 20000, false, 0);
  *status = out.kind;
  bc_apart_message_clear(&out);
  return outcome;
}

static void assert_still_works(void) {
  uint32_t status = 1;
  assert_int_equal(order(FINE, &status), BC_APART_DONE);
  assert_int_equal(status, BC_OK);
}

static void forbidden_calls_end_the_worker(void **state) {
  (void)state;
  uint32_t status;
  for (uint32_t kind = OPENS; kind <= RUNS; kind++) {
    assert_int_equal(order(kind, &status), BC_APART_DIED);
    assert_still_works();
  }
}

static void a_hang_meets_its_deadline(void **state) {
  (void)state;
  uint32_t status;
  const int64_t before = bc_now_ms();
  assert_int_equal(order(HANGS, &status), BC_APART_LATE);
  assert_in_range(bc_now_ms() - before, 1400, 10000);
  assert_still_works();
}

static void memory_is_bounded(void **state) {
  (void)state;
#if !defined(__SANITIZE_ADDRESS__) /* which takes more memory than any limit */
  uint32_t status = 0;
  const bc_apart_outcome outcome = order(GRABS, &status); /* told, or ended: four gigabytes are never given */
  assert_true(outcome == BC_APART_DIED || (outcome == BC_APART_DONE && status == BC_OUR_FAULT));
#endif
  assert_still_works();
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(forbidden_calls_end_the_worker),
                                     cmocka_unit_test(a_hang_meets_its_deadline), cmocka_unit_test(memory_is_bounded)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
