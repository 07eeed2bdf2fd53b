/* SPDX-License-Identifier: MIT */
/* Lengths and masses as a person reads them, metric and imperial side by side.
 * 1 in = 2.54 cm and 1 lb = 453.59237 g exactly (international yard and pound agreement, 1959). */
#include "plan_internal.h"

#include <math.h>
#include <stdio.h>

#define CM_PER_INCH 2.54
#define GRAMS_PER_OUNCE 28.349523125

/* Small lengths to a millimetre, others to a centimetre: as a tape is read. */
static void metric_length(char *out, size_t size, double cm) {
  const bool whole = fabs(cm) >= 99.95 || fabs(cm - round(cm)) < 0.05;
  snprintf(out, size, whole ? _("%.0f cm") : _("%.1f cm"), cm + 0.0);
}

static void imperial_length(char *out, size_t size, double cm) {
  static const char *const usual[] = {"", "¼", "½", "¾"};
  /* With left-to-right marks, so that they stay at their number's right. */
  static const char *const mirrored[] = {"", "\u200e¼\u200e", "\u200e½\u200e", "\u200e¾\u200e"};
  const char *const *const quarter = bc_language_right_to_left() ? mirrored : usual;
  const long quarters = lround(fabs(cm) / CM_PER_INCH * 4);
  const char *sign = cm < 0 && quarters > 0 ? "-" : "";
  const long inches = quarters / 4;
  if (quarters == 0 && fabs(cm) >= 0.005 * CM_PER_INCH) /* a sag is not "0 in" */
    snprintf(out, size, _("%.2f in"), cm / CM_PER_INCH);
  else if (inches >= 36)
    snprintf(out, size, _("%s%ld ft %ld%s in"), sign, inches / 12, inches % 12, quarter[quarters % 4]);
  else if (inches == 0 && quarters > 0)
    snprintf(out, size, _("%s%s in"), sign, quarter[quarters % 4]);
  else
    snprintf(out, size, _("%s%ld%s in"), sign, inches, quarter[quarters % 4]);
}

static void metric_mass(char *out, size_t size, double grams) {
  if (grams < 999.5)
    snprintf(out, size, _("%.0f g"), grams);
  else
    snprintf(out, size, grams < 99950 ? _("%.1f kg") : _("%.0f kg"), grams / 1000);
}

static void imperial_mass(char *out, size_t size, double grams) {
  const long ounces = lround(grams / GRAMS_PER_OUNCE);
  if (grams < GRAMS_PER_OUNCE * 0.95)
    snprintf(out, size, _("%.1f oz"), grams / GRAMS_PER_OUNCE);
  else if (ounces < 16)
    snprintf(out, size, _("%ld oz"), ounces);
  else if (ounces < 16 * 20)
    snprintf(out, size, _("%ld lb %ld oz"), ounces / 16, ounces % 16);
  else
    snprintf(out, size, _("%.0f lb"), grams / GRAMS_PER_OUNCE / 16);
}

typedef void speak(char *out, size_t size, double value);

static void both(char *out, size_t size, double value, bc_units first, speak *metric, speak *imperial) {
  char one[64], other[64];
  (first == BC_UNITS_METRIC ? metric : imperial)(one, sizeof one, value);
  (first == BC_UNITS_METRIC ? imperial : metric)(other, sizeof other, value);
  snprintf(out, size, "%s (%s)", one, other);
}

void bc_length_words(char *out, size_t size, double cm, bc_units first) {
  both(out, size, cm, first, metric_length, imperial_length);
}

void bc_mass_words(char *out, size_t size, double grams, bc_units first) {
  both(out, size, grams, first, metric_mass, imperial_mass);
}
