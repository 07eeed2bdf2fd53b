/* SPDX-License-Identifier: MIT */
/* Photos opened behind the filter are those opened here; whatever dies is replaced within a second; where the system
 * gives no filter that is said; and run as root the workers have none of its capabilities (capabilities(7)). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include <dirent.h>
#include <errno.h>
#include <seccomp.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "../../../src/base/apart/apart.h"

#include "../../../src/photo/photo_internal.h"
#include <backcloth/photo_apart.h>

static bc_status say_done(bc_context *context, const bc_apart_message *in, bc_apart_message *out) {
  (void)context;
  (void)in;
  return bc_apart_message_add_text(out, strdup("done")) ? BC_OK : BC_OUR_FAULT;
}

static const bc_apart_options usual = {
    .work = {say_done, say_done}, .memory_bytes = (uint64_t)256 << 20, .cpu_seconds = 20};

static pid_t pid_of(int pidfd) {
  char path[64], line[128];
  int pid = -1;
  snprintf(path, sizeof path, "/proc/self/fdinfo/%d", pidfd);
  FILE *file = fopen(path, "r");
  while (file && fgets(line, sizeof line, file)) sscanf(line, "Pid: %d", &pid);
  if (file) fclose(file);
  return pid;
}

static pid_t child_of(pid_t parent) {
  char path[64];
  int pid = -1;
  snprintf(path, sizeof path, "/proc/%d/task/%d/children", parent, parent);
  FILE *file = fopen(path, "r");
  if (file && fscanf(file, "%d", &pid) != 1) pid = -1;
  if (file) fclose(file);
  return pid;
}

static bool does_one(bc_apart_nursery *nursery) {
  const bc_apart_message in = {.kind = 1};
  bc_apart_message out;
  const bc_apart_outcome outcome = apart_do_once(nursery, BC_APART_DECODER, &in, &out, 10000, 1 << 20);
  bc_apart_message_clear(&out);
  return outcome == BC_APART_DONE;
}

static void the_nursery_is_replaced(void **state) {
  (void)state;
  bc_apart_nursery *nursery;
  assert_true(bc_apart_nursery_start(&nursery, &usual));
  assert_true(does_one(nursery));
  for (int i = 0; i < 5; i++) {
    const pid_t nurse = child_of(pid_of(nursery->pidfd));
    assert_true(nurse > 1);
    kill(nurse, SIGKILL);
    assert_true(does_one(nursery));
  }
  bc_apart_nursery_stop(nursery);
}

static void a_worker_that_waits_is_replaced(void **state) {
  (void)state;
  bc_apart_nursery *nursery;
  bc_apart_pool *pool;
  assert_true(bc_apart_nursery_start(&nursery, &usual));
  assert_true(bc_apart_pool_start(&pool, nursery, BC_APART_DECODER, 2, 1));
  pthread_mutex_lock(&pool->lock);
  const pid_t before = pid_of(pool->worker[0].pidfd);
  pthread_mutex_unlock(&pool->lock);
  assert_true(before > 1);
  kill(before, SIGKILL);
  pid_t after = before;
  for (int i = 0; i < 500 && (after == before || after < 1); i++) { /* a second on a machine at rest */
    usleep(10000);
    pthread_mutex_lock(&pool->lock);
    after = pid_of(pool->worker[0].pidfd);
    pthread_mutex_unlock(&pool->lock);
  }
  assert_true(after > 1 && after != before);
  assert_int_equal(bc_apart_pool_alive(pool), 2);
  bc_apart_pool_stop(pool);
  bc_apart_nursery_stop(nursery);
}

static void workers_have_no_capabilities(void **state) {
  (void)state;
  bc_apart_nursery *nursery;
  apart_worker worker;
  char path[64], line[128];
  assert_true(bc_apart_nursery_start(&nursery, &usual));
  assert_true(apart_nursery_fork(nursery, BC_APART_DECODER, &worker));
  snprintf(path, sizeof path, "/proc/%d/status", pid_of(worker.pidfd));
  unsigned long long left = 1;
  for (int i = 0; i < 500 && left; i++, usleep(10000)) { /* it drops them as it begins */
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    left = 0;
    unsigned long long set;
    while (fgets(line, sizeof line, file))
      if (sscanf(line, "CapInh: %llx", &set) == 1 || sscanf(line, "CapPrm: %llx", &set) == 1 ||
          sscanf(line, "CapEff: %llx", &set) == 1 || (geteuid() == 0 && sscanf(line, "CapBnd: %llx", &set) == 1))
        left |= set;
    fclose(file);
  }
  assert_int_equal(left, 0);
  apart_worker_end(&worker);
  bc_apart_nursery_stop(nursery);
}

/* In a process in which no filter can be loaded any more. */
static void a_missing_sandbox_is_told(void **state) {
  (void)state;
  const pid_t child = fork();
  if (child == 0) {
    scmp_filter_ctx filter = seccomp_init(SCMP_ACT_ALLOW);
    if (seccomp_rule_add(filter, SCMP_ACT_ERRNO(EPERM), SCMP_SYS(seccomp), 0) != 0 || seccomp_load(filter) != 0)
      _exit(9);
    bc_context *context = NULL;
    bc_photo *photo = NULL;
    if (bc_context_new(&context) != BC_OK || bc_photo_keep_apart(context) != BC_OK) _exit(8);
    if (bc_photo_open(&photo, context, BC_TEST_DATA "/../../assets/demo/photos/ring.jpg", NULL) != BC_OUR_FAULT)
      _exit(7);
    _exit(strstr(bc_context_message(context), "--trust") ? 0 : 6);
  }
  int how = 0;
  assert_int_equal(waitpid(child, &how, 0), child);
  assert_int_equal(WEXITSTATUS(how), 0);
}

/* Both ways give the same photo, or the same sentence. */
static void compare(const char *path, int wanted) {
  bc_context *context = NULL;
  bc_photo *here = NULL, *apart = NULL;
  uint8_t *bytes = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  bytes = malloc((size_t)32 << 20);
  assert_non_null(bytes);
  const photo_source source = {bytes, fread(bytes, 1, (size_t)32 << 20, file), path, wanted};
  fclose(file);
  const bc_status first = photo_decode_here(&here, context, &source, path);
  char said[400];
  snprintf(said, sizeof said, "%s", bc_context_message(context));
  const bc_status second = photo_decode_apart(&apart, context, &source, path);
  assert_int_equal(first, second);
  if (first != BC_OK) assert_string_equal(said, bc_context_message(context));
  if (first == BC_OK) {
    const bc_raster a = bc_photo_raster(here), b = bc_photo_raster(apart);
    size_t profile_a, profile_b;
    const void *icc_a = bc_photo_profile(here, &profile_a), *icc_b = bc_photo_profile(apart, &profile_b);
    assert_string_equal(bc_photo_format(here), bc_photo_format(apart));
    assert_int_equal(a.width, b.width);
    assert_int_equal(a.height, b.height);
    assert_int_equal(a.model, b.model);
    assert_int_equal(a.bits, b.bits);
    assert_int_equal(a.row_bytes, b.row_bytes);
    for (int y = 0; y < a.height; y++)
      assert_memory_equal((const char *)a.samples + (size_t)y * a.row_bytes,
                          (const char *)b.samples + (size_t)y * b.row_bytes,
                          (size_t)a.width * (size_t)a.model * (size_t)a.bits / 8);
    assert_int_equal(!a.alpha, !b.alpha);
    if (a.alpha) assert_memory_equal(a.alpha, b.alpha, (size_t)a.width * (size_t)a.height);
    assert_int_equal(profile_a, profile_b);
    if (profile_a) assert_memory_equal(icc_a, icc_b, profile_a);
    assert_int_equal(bc_photo_profile_source(here), bc_photo_profile_source(apart));
    const bc_declared_colour *declared_a = bc_photo_declared_colour(here),
                             *declared_b = bc_photo_declared_colour(apart);
    if (declared_a) assert_string_equal(declared_a->name, declared_b->name);
    if (declared_a) assert_memory_equal(declared_a, declared_b, offsetof(bc_declared_colour, name));
    assert_true(bc_photo_focal_35_mm(here) == bc_photo_focal_35_mm(apart));
    assert_int_equal(bc_photo_notes(here)->count, bc_photo_notes(apart)->count);
    for (size_t i = 0; i < bc_photo_notes(here)->count; i++)
      assert_string_equal(bc_photo_notes(here)->text[i], bc_photo_notes(apart)->text[i]);
  }
  bc_photo_free(here);
  bc_photo_free(apart);
  free(bytes);
  bc_context_free(context);
}

static void photos_are_the_same(void **state) {
  (void)state;
  static const char corpus[] = BC_TEST_DATA "/../fuzz/corpus/photo";
  compare(BC_TEST_DATA "/../../assets/demo/photos/ring.jpg", 0);
  compare(BC_TEST_DATA "/../../assets/demo/photos/ring.jpg", 400);
  DIR *folder = opendir(corpus);
  assert_non_null(folder);
  const struct dirent *entry;
  while ((entry = readdir(folder))) {
    if (entry->d_name[0] == '.') continue;
    char path[600];
    snprintf(path, sizeof path, "%s/%s", corpus, entry->d_name);
    compare(path, 0);
  }
  closedir(folder);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_nursery_is_replaced),      cmocka_unit_test(a_worker_that_waits_is_replaced),
      cmocka_unit_test(workers_have_no_capabilities), cmocka_unit_test(a_missing_sandbox_is_told),
      cmocka_unit_test(photos_are_the_same),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
