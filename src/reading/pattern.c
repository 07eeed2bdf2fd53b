/* SPDX-License-Identifier: MIT */
/* How coarse a textile's pattern is and how busy: power by size, and subband entropy.
 * In: image of a textile. Out: bc_textile.pattern_share and busy_bits. Source: Rosenholtz, Li and Nakano 2007;
 * Portilla and Simoncelli 2000 (the subbands); docs/method/reading.md. */
#include "reading_internal.h"

#include <kiss_fftr.h>
#include <math.h>
#include <stdlib.h>

#define SIDE READING_PATTERN_SIDE
#define COLUMNS (SIDE / 2 + 1) /* of a half spectrum */
#define PIXELS ((size_t)SIDE * SIDE)
#define SPECTRUM ((size_t)SIDE * COLUMNS)
#define LEVELS 3
#define ORIENTATIONS 4
#define MARGIN (SIDE / 8)    /* the picture's opposite edges meet in the transform: what they make is left out */
#define CHROMA_WEIGHT 0.0625 /* of a* and of b* against L*, as Rosenholtz et al. have it */
#define QUANTUM 2.0          /* about two just noticeable steps of L* (our choice) */
#define BINS 401             /* -200 to 200 in quanta, the ends open */

typedef struct bench {
  float *plane;        /* SIDE x SIDE, in and out; Debian's Kiss FFT computes in float */
  kiss_fft_cpx *whole; /* half spectrum of the plane */
  kiss_fft_cpx *band;
  kiss_fftr_cfg rows, rows_back;
  kiss_fft_cfg columns, columns_back;
} bench;

static void close_bench(bench *b) {
  kiss_fftr_free(b->rows);
  kiss_fftr_free(b->rows_back);
  kiss_fft_free(b->columns);
  kiss_fft_free(b->columns_back);
  free(b->plane);
  free(b->whole);
  free(b->band);
}

static bool open_bench(bench *b) {
  b->plane = bc_allocate(PIXELS, sizeof *b->plane);
  b->whole = bc_allocate(SPECTRUM, sizeof *b->whole);
  b->band = bc_allocate(SPECTRUM, sizeof *b->band);
  b->rows = kiss_fftr_alloc(SIDE, 0, NULL, NULL);
  b->rows_back = kiss_fftr_alloc(SIDE, 1, NULL, NULL);
  b->columns = kiss_fft_alloc(SIDE, 0, NULL, NULL);
  b->columns_back = kiss_fft_alloc(SIDE, 1, NULL, NULL);
  return b->plane && b->whole && b->band && b->rows && b->rows_back && b->columns && b->columns_back;
}

static void transform_columns(kiss_fft_cfg how, kiss_fft_cpx *spectrum) {
  kiss_fft_cpx column[SIDE], done[SIDE];
  for (int x = 0; x < COLUMNS; x++) {
    for (int y = 0; y < SIDE; y++) column[y] = spectrum[y * COLUMNS + x];
    kiss_fft(how, column, done);
    for (int y = 0; y < SIDE; y++) spectrum[y * COLUMNS + x] = done[y];
  }
}

/* plane -> whole */
static void transform(bench *b) {
  for (int y = 0; y < SIDE; y++) kiss_fftr(b->rows, b->plane + (size_t)y * SIDE, b->whole + (size_t)y * COLUMNS);
  transform_columns(b->columns, b->whole);
}

/* band -> plane, PIXELS times as large */
static void transform_back(bench *b) {
  transform_columns(b->columns_back, b->band);
  for (int y = 0; y < SIDE; y++) kiss_fftri(b->rows_back, b->band + (size_t)y * COLUMNS, b->plane + (size_t)y * SIDE);
}

/* Cycles across the side, signed, of row or column i of the transform. */
static double cycles(int i) {
  return i <= SIDE / 2 ? i : i - SIDE;
}

/* --- how coarse --------------------------------------------------------------------------------------- */

/* Hann's window keeps the picture's border from counting as a pattern. */
static void window_plane(float *plane) {
  double mean = 0, weight = 0;
  double hann[SIDE];
  for (int i = 0; i < SIDE; i++) hann[i] = 0.5 - 0.5 * cos(2 * M_PI * (i + 0.5) / SIDE);
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) {
      mean += plane[y * SIDE + x] * hann[y] * hann[x];
      weight += hann[y] * hann[x];
    }
  mean /= weight;
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) plane[y * SIDE + x] = (float)((plane[y * SIDE + x] - mean) * hann[y] * hann[x]);
}

/* Power by whole cycles across the side; `ring` has SIDE entries. */
static void power_by_cycles(const bench *b, double *ring) {
  for (int i = 0; i < SIDE; i++) ring[i] = 0;
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < COLUMNS; x++) {
      const double real = b->whole[y * COLUMNS + x].r, imaginary = b->whole[y * COLUMNS + x].i;
      const double twice = x == 0 || x == SIDE / 2 ? 1 : 2; /* the half that is not stored */
      const long radius = lround(hypot(cycles(y), cycles(x)));
      if (radius < SIDE) ring[radius] += twice * (real * real + imaginary * imaginary);
    }
}

/* The wavelength, as a share of the side, that halves the power: half of it is finer. Below two cycles
 * it is uneven light. */
static double half_power_wavelength(const double *ring) {
  double all = 0, sum = 0;
  for (int i = 2; i < SIDE; i++) all += ring[i];
  for (int i = 2; i < SIDE && all > 0; i++) {
    if (sum + ring[i] >= all / 2) return 1 / (i - 0.5 + (all / 2 - sum) / ring[i]);
    sum += ring[i];
  }
  return 0;
}

static double wavelength(bench *b, const double *lightness) {
  double ring[SIDE];
  for (size_t i = 0; i < PIXELS; i++) b->plane[i] = (float)lightness[i];
  window_plane(b->plane);
  transform(b);
  power_by_cycles(b, ring);
  return half_power_wavelength(ring);
}

/* --- how busy ----------------------------------------------------------------------------------------- */

/* Raised cosine over the octave below `edge` (log2 of frequency, 0 = Nyquist): 0 under it, 1 above. */
static double high_pass(double octave, double edge) {
  if (octave >= edge) return 1;
  if (octave <= edge - 1) return 0;
  return cos(M_PI / 2 * (edge - octave));
}

double reading_pattern_band_gain(double cycles_x, double cycles_y, int level, int orientation) {
  const double radius = hypot(cycles_x, cycles_y) / (SIDE / 2);
  if (!(radius > 0)) return 0;
  const double octave = log2(radius), high = high_pass(octave, -1 - level), low_below = high_pass(octave, -level);
  const double along = cos(atan2(cycles_y, cycles_x) - M_PI * orientation / ORIENTATIONS);
  return high * sqrt(1 - low_below * low_below) * sqrt(0.8) * along * along * along;
}

/* The gain is odd in frequency, so the band is real when multiplied by i. */
static void take_band(bench *b, int level, int orientation) {
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < COLUMNS; x++) {
      const size_t i = (size_t)y * COLUMNS + (size_t)x;
      const bool own_mirror = y == SIDE / 2 || x == SIDE / 2; /* has no sign, so no odd gain */
      const double gain =
          own_mirror ? 0 : reading_pattern_band_gain(cycles(x), cycles(y), level, orientation) / (double)PIXELS;
      b->band[i].r = (float)(-gain * b->whole[i].i);
      b->band[i].i = (float)(gain * b->whole[i].r);
    }
  transform_back(b);
}

/* Bits a sample that the band costs when it is kept to a quantum. */
static double band_entropy(const float *band) {
  double count[BINS] = {0}, all = 0, bits = 0;
  for (int y = MARGIN; y < SIDE - MARGIN; y++)
    for (int x = MARGIN; x < SIDE - MARGIN; x++) {
      const double level = band[y * SIDE + x] / QUANTUM, limit = (BINS - 1) / 2.0;
      count[lround(fmax(-limit, fmin(limit, level)) + limit)]++;
      all++;
    }
  for (int i = 0; i < BINS; i++)
    if (count[i] > 0) bits -= count[i] / all * log2(count[i] / all);
  return bits;
}

static double plane_entropy(bench *b, const double *plane) {
  double sum = 0;
  for (size_t i = 0; i < PIXELS; i++) b->plane[i] = (float)plane[i];
  transform(b);
  for (int level = 0; level < LEVELS; level++)
    for (int orientation = 0; orientation < ORIENTATIONS; orientation++) {
      take_band(b, level, orientation);
      sum += band_entropy(b->plane);
    }
  return sum / (LEVELS * ORIENTATIONS);
}

bc_status reading_pattern_measure(double *pattern_share, double *busy_bits, bc_context *context,
                                  const double *lightness, const double *a, const double *b) {
  bench work = {0};
  const bool ready = open_bench(&work);
  if (ready) {
    *pattern_share = wavelength(&work, lightness);
    *busy_bits =
        (plane_entropy(&work, lightness) + CHROMA_WEIGHT * (plane_entropy(&work, a) + plane_entropy(&work, b))) /
        (1 + 2 * CHROMA_WEIGHT);
  }
  close_bench(&work);
  return ready ? BC_OK : bc_fail_memory(context);
}
