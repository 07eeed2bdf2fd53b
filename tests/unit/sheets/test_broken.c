/* SPDX-License-Identifier: MIT */
/* What a mentor is sent may be broken in any place: photos of walls and pieces, plans and lines of readings with bytes
 * changed, cut off or doubled, by a fixed seed. Every one is refused with a sentence or gives sane figures. */
#include <backcloth/drawing.h>
#include <backcloth/feedback.h>
#include <backcloth/file.h>

#include <cairo.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"
#include "support/walls.h"

typedef struct bytes {
  unsigned char *data;
  size_t size;
} bytes;

/* A copy with a few changes, so that most of it is still what a decoder expects. */
static bytes broken(bytes whole) {
  bytes out = {malloc(2 * whole.size + 1), whole.size};
  assert_non_null(out.data);
  memcpy(out.data, whole.data, whole.size);
  for (int changes = 1 + (int)(12 * wall_random()); changes > 0; changes--) {
    const size_t at = (size_t)((double)out.size * wall_random() * (changes % 2 ? 0.1 : 1)); /* half in the head */
    const int bit = 1 << changes % 8;
    out.data[at] = (unsigned char)(wall_random() < 0.3 ? (int)(255 * wall_random()) : out.data[at] ^ bit);
  }
  const double fate = wall_random();
  if (fate < 0.25) out.size = 1 + (size_t)((double)out.size * wall_random() * 0.999);
  if (fate > 0.85) { /* the second half twice */
    memcpy(out.data + out.size, out.data + out.size / 2, out.size - out.size / 2);
    out.size += out.size - out.size / 2;
  }
  return out;
}

static void save(const char *path, bytes what) {
  FILE *to = fopen(path, "wb");
  assert_non_null(to);
  assert_int_equal(fwrite(what.data, 1, what.size, to), what.size);
  assert_int_equal(fclose(to), 0);
}

static bytes load(const char *path) {
  bytes out;
  assert_int_equal(bc_file_read(&out.data, &out.size, context, path, 1 << 24), BC_OK);
  return out;
}

static bool is_told(bc_status status) {
  return status == BC_OK ||
         ((status == BC_BAD_DATA || status == BC_NO_INPUT || status == BC_BAD_USAGE) && *bc_context_message(context));
}

static wall_scene small_wall(void) {
  wall_scene s = wall_usual();
  s.pixels_x = 400;
  s.pixels_y = 300;
  s.focal = 300;
  s.shape[s.shapes++] = (wall_shape){.x = 120, .y = 140, .width = 60, .height = 50, .rgb = {0.05, 0.08, 0.25}};
  return s;
}

static bytes as_jpeg(const wall_scene *s) {
  bytes out;
  uint8_t *pixels = wall_render(s);
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, s->pixels_x, s->pixels_y);
  for (int y = 0; y < s->pixels_y; y++)
    for (int x = 0; x < s->pixels_x; x++) {
      const uint8_t *const p = pixels + 3 * (y * s->pixels_x + x);
      const uint32_t value = (uint32_t)p[0] << 16 | (uint32_t)p[1] << 8 | p[2];
      memcpy(cairo_image_surface_get_data(surface) + y * cairo_image_surface_get_stride(surface) + 4 * x, &value, 4);
    }
  cairo_surface_mark_dirty(surface);
  assert_int_equal(bc_drawing_jpeg(&out.data, &out.size, context, surface, 85), BC_OK);
  cairo_surface_destroy(surface);
  free(pixels);
  return out;
}

static char folder[] = "/tmp/backcloth-broken-XXXXXX";
static char *in_folder(const char *name) {
  char *path = bc_path_join(folder, name);
  assert_non_null(path);
  return path;
}

static void broken_photos_of_walls(void **state) {
  (void)state;
  const wall_scene s = small_wall();
  const bytes whole = as_jpeg(&s);
  char *path = in_folder("wall.jpg");
  bc_look_options options = bc_look_options_default();
  options.width_cm = s.width;
  options.has_corners = true;
  wall_corners(options.corner, &s);
  int seen = 0, refused = 0;
  wall_state = 12;
  for (int round = 0; round < 16; round++) {
    const bytes one = round ? broken(whole) : whole;
    bc_look *look = NULL;
    save(path, one);
    const bc_status status = bc_look_open(&look, context, path, &options);
    assert_true(is_told(status) && (look != NULL) == (status == BC_OK));
    if (look)
      assert_true(isfinite(look->covered_share) && look->covered_share <= 1 && isfinite(look->texture.busy_bits));
    seen += status == BC_OK;
    refused += status != BC_OK;
    bc_look_free(look);
    if (round) free(one.data);
  }
  assert_true(seen > 1 && refused > 1); /* else the changes are too rough or too mild to try anything */
  unlink(path);
  free(path);
  free(whole.data);
}

static void broken_folders_of_makers(void **state) {
  (void)state;
  const wall_scene s = small_wall();
  const bytes photo = as_jpeg(&s), plan = load(BC_ASSETS "/demo/plan-venn.json"),
              cloths = load(BC_ASSETS "/demo/cloths.json");
  char *files[] = {in_folder("piece.jpg"), in_folder("plan.json"), in_folder("cloths.json")};
  const bytes whole[] = {photo, plan, cloths};
  const bc_feedback_options how = bc_feedback_options_default();
  wall_state = 5;
  for (int round = 0; round < 15; round++) {
    bytes kept[3];
    for (int i = 0; i < 3; i++) {
      kept[i] = broken(whole[i]);
      save(files[i], round % 3 == i ? kept[i] : whole[i]);
    }
    bc_feedback_sheet *sheet = NULL;
    assert_int_equal(bc_feedback_sheet_of(&sheet, context, folder, &how, false), BC_OK); /* costs only itself */
    assert_true(sheet->section_count > 0 && sheet->summary.photos >= 1);
    assert_true(sheet->summary.need >= 0 && sheet->summary.need <= 100);
    bc_feedback_sheet_free(sheet);
    for (int i = 0; i < 3; i++) free(kept[i].data);
  }
  for (int i = 0; i < 3; i++) {
    unlink(files[i]);
    free(files[i]);
    free(whole[i].data);
  }
}

static void broken_lines_of_readings(void **state) {
  (void)state;
  char *line = NULL;
  bc_study *study = NULL;
  assert_int_equal(bc_study_open(&study, context, BC_ASSETS "/demo/photos/ring.jpg", NULL), BC_OK);
  assert_int_equal(bc_reading_to_stored_json(&line, context, study->reading), BC_OK);
  bc_study_free(study);
  const bytes whole = {(unsigned char *)line, strlen(line)};
  wall_state = 8;
  for (int round = 0; round < 200; round++) {
    const bytes one = broken(whole);
    bc_reading *reading = NULL;
    const bc_status status = bc_reading_from_json(&reading, context, (const char *)one.data, one.size, "line");
    assert_true(is_told(status) && (reading != NULL) == (status == BC_OK));
    if (reading) assert_true(reading->confidence >= 0 && reading->confidence <= 1 && reading->area_share <= 1);
    bc_reading_free(reading);
    free(one.data);
  }
  free(line);
}

static int open_folder(void **state) {
  return mkdtemp(folder) ? set_up(state) : -1;
}

static int close_folder(void **state) {
  return rmdir(folder) == 0 ? tear_down(state) : -1;
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(broken_photos_of_walls),
                                     cmocka_unit_test(broken_folders_of_makers),
                                     cmocka_unit_test(broken_lines_of_readings)};
  return cmocka_run_group_tests(tests, open_folder, close_folder);
}
