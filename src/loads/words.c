/* SPDX-License-Identifier: MIT */
/* The hanging-load notes for a person. A mark by shape stands before each line, beside the words. */
#include "loads_internal.h"

#include <math.h>
#include <string.h>

enum { WORDS = 64 };

static const char *mark(bc_holds holds) {
  return holds == BC_HOLDS_YES ? "✓" : holds == BC_HOLDS_NO ? "✗" : "?";
}

static void mass(char *out, double newton, bc_units units) {
  bc_mass_words(out, WORDS, loads_kg_of_newton(newton) * 1000, units);
}

/* "uses 34 % of its rating of 20 kg" or "must be rated for at least 6 kg". */
static void add_rating(bc_buffer *out, bc_holds holds, double rated_n, double needed_n, double utilisation,
                       bc_units units) {
  char rated[WORDS], needed[WORDS];
  mass(rated, rated_n, units);
  mass(needed, needed_n, units);
  if (holds == BC_HOLDS_UNKNOWN)
    bc_buffer_add(out, _("rating not given: it must be rated for %s or more"), needed);
  else if (holds == BC_HOLDS_YES)
    bc_buffer_add(out, _("holds: rated %s, %.0f %% of it used"), rated, 100 * utilisation);
  else
    bc_buffer_add(out, _("DOES NOT HOLD: rated %s, but %s is needed"), rated, needed);
}

static bool alike(const bc_load_point *a, const bc_load_point *b) {
  return strcmp(a->piece, b->piece) == 0 && fabs(a->demand_n - b->demand_n) < 0.005 && a->rated_n == b->rated_n;
}

/* Points of a piece that carry the same are told in one line. */
static size_t add_points(bc_buffer *out, const bc_loads *loads, size_t first, bc_units units) {
  const bc_load_point *point = &loads->points[first];
  size_t count = 1;
  while (first + count < loads->point_count && alike(point, &loads->points[first + count])) count++;
  char load[WORDS];
  mass(load, point->demand_n, units);
  bc_buffer_add(out, "  %s %s, ", mark(point->holds),
                strcmp(point->piece, "cloth") == 0 ? _("the cloth") : point->piece);
  if (count > 1)
    bc_buffer_add(out, _("%zu points alike (%s): each carries %s; "), count, bc_mount_text(point->kind), load);
  else
    bc_buffer_add(out, _("point %d (%s): carries %s; "), point->point, bc_mount_text(point->kind), load);
  if (fabs(point->horizontal_n) > 0.005) {
    char side[WORDS];
    mass(side, fabs(point->horizontal_n), units);
    bc_buffer_add(out, _("pulled sideways by %s of that; "), side);
  }
  add_rating(out, point->holds, point->rated_n, point->needed_n, point->utilisation, units);
  bc_buffer_add(out, "\n");
  return count;
}

static void add_rod(bc_buffer *out, const bc_load_rod *rod, bc_units units) {
  if (rod->support_count == 0) return; /* a note says why */
  char left[WORDS], right[WORDS];
  mass(left, rod->reactions_total_n[0], units);
  mass(right, rod->reactions_total_n[rod->support_count - 1], units);
  bc_buffer_add(out,
                _("  %s rod %s: with its own weight its outer supports carry %s and %s; it sags %.1f mm (at most %.1f "
                  "mm) and bends to %.1f MPa "
                  "(at most %.1f MPa); "),
                mark(rod->holds), rod->id, left, right, rod->max_deflection_total_mm, rod->allowed_deflection_mm,
                rod->max_stress_mpa, rod->allowed_stress_mpa);
  char needed[WORDS];
  mass(needed, rod->needed_n, units);
  if (rod->holds == BC_HOLDS_NO)
    bc_buffer_add(out, _("DOES NOT HOLD: take a thicker rod or another support\n"));
  else if (rod->holds == BC_HOLDS_YES)
    bc_buffer_add(out, _("holds\n"));
  else
    bc_buffer_add(out, _("rating of its supports not given: each must be rated for %s or more\n"), needed);
}

static void add_shelf(bc_buffer *out, const bc_load_shelf *shelf, bc_units units) {
  char load[WORDS];
  mass(load, shelf->load_n, units);
  bc_buffer_add(out, _("  %s shelf %s: carries %s; "), mark(shelf->holds), shelf->id, load);
  add_rating(out, shelf->holds, shelf->rated_n, shelf->needed_n, shelf->utilisation, units);
  bc_buffer_add(out, "\n");
}

static void add_notes(bc_buffer *out, const char *heading, const bc_notes *notes) {
  if (notes->count == 0) return;
  bc_buffer_add(out, "\n%s\n", heading);
  for (size_t i = 0; i < notes->count; i++) bc_buffer_add(out, "  - %s\n", notes->text[i]);
}

bc_status bc_loads_to_words(char **out, bc_context *context, const bc_loads *loads, bc_units units) {
  bc_buffer text = {0};
  char total[WORDS], cloth[WORDS];
  bc_mass_words(total, sizeof total, loads->total_kg * 1000, units);
  bc_mass_words(cloth, sizeof cloth, loads->cloth_kg * 1000, units);
  bc_buffer_add(&text, _("Hanging loads. %s hang on this wall; the cloth is %s of that.\n"), total, cloth);
  bc_buffer_add(&text,
                _("Design factor %.3g: every point must be rated for %.3g times what it carries.\n"
                  "✓ holds   ✗ does not hold   ? rating not known\n\n"),
                loads->design_factor, loads->design_factor);
  for (size_t i = 0; i < loads->point_count;) i += add_points(&text, loads, i, units);
  for (size_t i = 0; i < loads->rod_count; i++) add_rod(&text, &loads->rods[i], units);
  for (size_t i = 0; i < loads->shelf_count; i++) add_shelf(&text, &loads->shelves[i], units);
  add_notes(&text, _("Not known"), &loads->notes);
  add_notes(&text, _("Take care"), &loads->cautions);
  return bc_buffer_finish(&text, out, context);
}
