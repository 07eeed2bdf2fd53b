/* SPDX-License-Identifier: MIT */
/* What a worker may not do. Source: seccomp(2), landlock(7), setrlimit(2).
 * A call that is not on the list ends the process: nothing a photo contains can talk its way round. */
#include "apart.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/capability.h>
#include <linux/landlock.h>
#include <sched.h>
#include <seccomp.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <unistd.h>

#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1 /* its shadow memory is larger than any limit, and its reports open files */
#else
#define SANITIZED 0
#endif

static bool limit(__rlimit_resource_t what, uint64_t value) {
  return setrlimit(what, &(struct rlimit){value, value}) == 0;
}

/* The capabilities of root, also for what might be executed. Source: capabilities(7). */
static bool drop_capabilities(void) {
  struct __user_cap_header_struct header = {.version = _LINUX_CAPABILITY_VERSION_3};
  const struct __user_cap_data_struct none[_LINUX_CAPABILITY_U32S_3] = {0};
  for (int which = 0; prctl(PR_CAPBSET_READ, which, 0, 0, 0) >= 0; which++)
    (void)prctl(PR_CAPBSET_DROP, which, 0, 0, 0); /* only who has CAP_SETPCAP may, and needs to */
  (void)prctl(PR_CAP_AMBIENT, PR_CAP_AMBIENT_CLEAR_ALL, 0, 0, 0);
  return syscall(SYS_capset, &header, none) == 0;
}

bool apart_sandbox_limits(uint64_t memory_bytes, unsigned cpu_seconds) {
  bool done = limit(RLIMIT_CORE, 0) && limit(RLIMIT_CPU, cpu_seconds) && limit(RLIMIT_FSIZE, (uint64_t)256 << 20) &&
              limit(RLIMIT_NOFILE, 512);
  if (!SANITIZED)
    done = done && limit(RLIMIT_AS, memory_bytes + ((uint64_t)256 << 20)) && limit(RLIMIT_DATA, memory_bytes);
  return done && prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) == 0 && drop_capabilities();
}

static bool allow(scmp_filter_ctx filter, const int *calls, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (seccomp_rule_add(filter, SCMP_ACT_ALLOW, calls[i], 0) != 0) return false;
  return true;
}

/* Memory may be written or run, not made to run; threads are fine, processes are not. */
static bool allow_memory_and_threads(scmp_filter_ctx filter) {
  const uint64_t thread = CLONE_VM | CLONE_SIGHAND | CLONE_THREAD;
  return seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mmap), 1, SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0)) == 0 &&
         seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mprotect), 1, SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0)) ==
             0 &&
         seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(clone), 1, SCMP_A0(SCMP_CMP_MASKED_EQ, thread, thread)) ==
             0 &&
         /* dav1d's threads give themselves names */
         (SANITIZED ||
          seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(prctl), 1, SCMP_A0(SCMP_CMP_EQ, PR_SET_NAME, 0)) == 0) &&
         /* its flags lie in memory, where no filter sees them: glibc then falls back to clone */
         seccomp_rule_add(filter, SCMP_ACT_ERRNO(ENOSYS), SCMP_SYS(clone3), 0) == 0;
}

static const int computing[] = {
    SCMP_SYS(read),
    SCMP_SYS(write),
    SCMP_SYS(readv),
    SCMP_SYS(writev),
    SCMP_SYS(sendmsg),
    SCMP_SYS(recvmsg),
    SCMP_SYS(close),
    SCMP_SYS(munmap),
    SCMP_SYS(mremap),
    SCMP_SYS(brk),
    SCMP_SYS(madvise),
    SCMP_SYS(futex),
    SCMP_SYS(clock_gettime),
    SCMP_SYS(gettimeofday),
    SCMP_SYS(clock_nanosleep),
    SCMP_SYS(getrandom),
    SCMP_SYS(exit),
    SCMP_SYS(exit_group),
    SCMP_SYS(rt_sigreturn),
    SCMP_SYS(rt_sigprocmask),
    SCMP_SYS(rt_sigaction),
    SCMP_SYS(sigaltstack),
    SCMP_SYS(sched_yield),
    SCMP_SYS(sched_getaffinity),
    SCMP_SYS(set_robust_list),
    SCMP_SYS(rseq),
    SCMP_SYS(gettid),
    SCMP_SYS(getpid),
    SCMP_SYS(tgkill),
    SCMP_SYS(restart_syscall),
    SCMP_SYS(sysinfo), /* qsort asks how much memory there is */
};

/* The sanitizers' run-time asks about files (the process's map, its own name for symbols) when it makes a thread or
 * a report. There too nothing is opened: such a question is answered with "no" rather than with death, and reports
 * come without names. Only what touches no file is allowed beyond the list. */
static const int refused_when_sanitized[] = {SCMP_SYS(openat),     SCMP_SYS(open),  SCMP_SYS(readlink),
                                             SCMP_SYS(readlinkat), SCMP_SYS(stat),  SCMP_SYS(newfstatat),
                                             SCMP_SYS(access),     SCMP_SYS(ioctl), SCMP_SYS(prctl)};
static const int allowed_when_sanitized[] = {SCMP_SYS(fstat), SCMP_SYS(getrlimit), SCMP_SYS(prlimit64),
                                             SCMP_SYS(getppid)};

static const int filing[] = {
    SCMP_SYS(openat),     SCMP_SYS(open),       SCMP_SYS(newfstatat), SCMP_SYS(fstat),      SCMP_SYS(stat),
    SCMP_SYS(lstat),      SCMP_SYS(statx),      SCMP_SYS(statfs),     SCMP_SYS(fstatfs),    SCMP_SYS(lseek),
    SCMP_SYS(pread64),    SCMP_SYS(access),     SCMP_SYS(faccessat),  SCMP_SYS(faccessat2), SCMP_SYS(readlink),
    SCMP_SYS(readlinkat), SCMP_SYS(getdents64), SCMP_SYS(fcntl),      SCMP_SYS(getcwd),     SCMP_SYS(rename),
    SCMP_SYS(renameat2),  SCMP_SYS(unlink),     SCMP_SYS(unlinkat),   SCMP_SYS(fsync),      SCMP_SYS(fdatasync),
    SCMP_SYS(fchmod),     SCMP_SYS(umask),      SCMP_SYS(ftruncate),  SCMP_SYS(fadvise64),  SCMP_SYS(getuid),
    SCMP_SYS(geteuid),    SCMP_SYS(getgid),     SCMP_SYS(getegid),    SCMP_SYS(uname),      SCMP_SYS(getrlimit),
    SCMP_SYS(link),       SCMP_SYS(chmod),      SCMP_SYS(mkdir),      SCMP_SYS(prctl),      SCMP_SYS(poll),
    SCMP_SYS(ppoll),      SCMP_SYS(eventfd2),   SCMP_SYS(utimensat),  SCMP_SYS(ioctl),
};

static bool refuse_when_sanitized(scmp_filter_ctx filter) {
  const size_t count = sizeof refused_when_sanitized / sizeof *refused_when_sanitized;
  for (size_t i = 0; SANITIZED && i < count; i++)
    if (seccomp_rule_add(filter, SCMP_ACT_ERRNO(EACCES), refused_when_sanitized[i], 0) != 0) return false;
  return true;
}

static bool enter(const int *more, size_t count, bool strict) {
  scmp_filter_ctx filter = seccomp_init(SCMP_ACT_KILL_PROCESS);
  if (!filter) return false;
  const bool done = allow(filter, computing, sizeof computing / sizeof *computing) &&
                    allow_memory_and_threads(filter) && allow(filter, more, count) &&
                    (!strict || refuse_when_sanitized(filter)) && seccomp_load(filter) == 0;
  seccomp_release(filter);
  return done;
}

bool apart_sandbox_strict(void) {
  return enter(allowed_when_sanitized, SANITIZED ? sizeof allowed_when_sanitized / sizeof *allowed_when_sanitized : 0,
               true);
}

/* Reading anywhere, writing below `scratch` only. A kernel without Landlock leaves it at the filter and the
 * file permissions. */
static void write_only_in(const char *scratch) {
  const uint64_t writing = LANDLOCK_ACCESS_FS_WRITE_FILE | LANDLOCK_ACCESS_FS_REMOVE_DIR |
                           LANDLOCK_ACCESS_FS_REMOVE_FILE | LANDLOCK_ACCESS_FS_MAKE_DIR | LANDLOCK_ACCESS_FS_MAKE_REG |
                           LANDLOCK_ACCESS_FS_MAKE_SYM | LANDLOCK_ACCESS_FS_MAKE_SOCK | LANDLOCK_ACCESS_FS_MAKE_FIFO |
                           LANDLOCK_ACCESS_FS_MAKE_CHAR | LANDLOCK_ACCESS_FS_MAKE_BLOCK;
  const struct landlock_ruleset_attr rules = {.handled_access_fs = writing};
  const int set = (int)syscall(SYS_landlock_create_ruleset, &rules, sizeof rules, 0);
  const int folder = open(scratch, O_PATH | O_CLOEXEC);
  const struct landlock_path_beneath_attr below = {.allowed_access = writing, .parent_fd = folder};
  if (set >= 0 && folder >= 0 && syscall(SYS_landlock_add_rule, set, LANDLOCK_RULE_PATH_BENEATH, &below, 0) == 0)
    (void)syscall(SYS_landlock_restrict_self, set, 0);
  if (set >= 0) close(set);
  if (folder >= 0) close(folder);
}

bool apart_sandbox_planner(const char *scratch) {
  if (scratch) write_only_in(scratch);
  return enter(filing, sizeof filing / sizeof *filing, false);
}
