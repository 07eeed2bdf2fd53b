/* SPDX-License-Identifier: MIT */
/* The line of progress. Its thread writes from a buffer of its own and asks for no memory, so that it may run beside
 * anything. */
#include "progress.h"

#include "terminal.h"
#include <backcloth/program.h>
#include <backcloth/sentences.h>

#include <pthread.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define BAR 24
#define FIRST_S 2.0 /* nothing is said of shorter work */
#define TICK_NS 250000000

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER; /* of all below */
static pthread_cond_t ended;
static pthread_t thread;
static bool running, shown, on_terminal;
static size_t photos_done, photos;
static struct timespec began;

static double passed(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)(now.tv_sec - began.tv_sec) + 1e-9 * (double)(now.tv_nsec - began.tv_nsec);
}

static void put(const char *text) {
  (void)!write(STDERR_FILENO, text, strlen(text));
}

static void wipe(void) {
  if (shown) put("\r\033[K");
  shown = false;
}

/* [######··················] words; `share` below 0: not known. */
static void draw(double share, const char *words) {
  char line[400], bar[BAR + 1];
  for (int i = 0; i < BAR; i++) bar[i] = (i + 0.5) / BAR < share ? '#' : '.';
  bar[BAR] = '\0';
  if (share < 0)
    snprintf(line, sizeof line, "\r\033[K%s", words);
  else
    snprintf(line, sizeof line, "\r\033[K[%s] %s", bar, words);
  put(line);
  shown = true;
}

static void draw_work(void) {
  char words[300];
  const double seconds = passed();
  if (photos > 1 && photos_done < photos) {
    const double left = seconds / (double)photos_done * (double)(photos - photos_done);
    if (photos_done > 0)
      snprintf(words, sizeof words, _("photos read: %zu of %zu, about %.0f s left"), photos_done, photos, left);
    else
      snprintf(words, sizeof words, _("photos read: %zu of %zu"), photos_done, photos);
    draw((double)photos_done / (double)photos, words);
  } else {
    snprintf(words, sizeof words, _("at work for %.0f s"), seconds);
    draw(-1, words);
  }
}

static void *watch(void *unused) {
  (void)unused;
  pthread_mutex_lock(&lock);
  while (running) {
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += TICK_NS;
    until.tv_sec += until.tv_nsec / 1000000000;
    until.tv_nsec %= 1000000000;
    pthread_cond_timedwait(&ended, &lock, &until);
    if (running && passed() > FIRST_S) draw_work();
  }
  pthread_mutex_unlock(&lock);
  return NULL;
}

void progress_begin(void) {
  on_terminal = isatty(STDERR_FILENO);
  if (!on_terminal || running) return;
  pthread_condattr_t by_steady_clock;
  pthread_condattr_init(&by_steady_clock);
  pthread_condattr_setclock(&by_steady_clock, CLOCK_MONOTONIC);
  pthread_cond_init(&ended, &by_steady_clock);
  pthread_condattr_destroy(&by_steady_clock);
  clock_gettime(CLOCK_MONOTONIC, &began);
  photos = photos_done = 0;
  running = true;
  running = pthread_create(&thread, NULL, watch, NULL) == 0; /* without one the work goes on unseen */
}

void progress_photos(size_t done, size_t total) {
  pthread_mutex_lock(&lock);
  photos_done = done > photos_done || total != photos ? done : photos_done;
  photos = total;
  pthread_mutex_unlock(&lock);
}

void progress_line(double share, const char *words) {
  if (!isatty(STDERR_FILENO)) return;
  pthread_mutex_lock(&lock);
  draw(share, words);
  pthread_mutex_unlock(&lock);
}

void progress_pause(void) {
  pthread_mutex_lock(&lock);
  wipe();
}

void progress_resume(void) {
  pthread_mutex_unlock(&lock);
}

void progress_end(void) {
  pthread_mutex_lock(&lock);
  const bool had_thread = running;
  running = false;
  wipe();
  pthread_mutex_unlock(&lock);
  if (!had_thread) return;
  pthread_cond_signal(&ended);
  pthread_join(thread, NULL);
}
