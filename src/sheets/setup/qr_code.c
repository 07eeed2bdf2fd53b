/* SPDX-License-Identifier: MIT */
/* The QR code of the set-up sheet (ISO/IEC 18004, by libqrencode) and the text that it carries. */
#include "setup_sheet.h"

#include <qrencode.h>
#include <stdlib.h>
#include <string.h>

/* Version 15 (77 modules) takes 520 bytes at level L: on the sheet's 45 mm a module is then 0.53 mm, three dots and
 * more of a scan or a photo with 150 dots an inch, and readers want three. Denser codes are left out. */
#define BYTES_MOST 520

/* How much is told of each piece: shorter when there are many. */
typedef enum detail { NUMBERS, IDS, TITLES } detail;

static void piece_name(bc_buffer *text, const bc_piece *piece, size_t number, detail how) {
  bc_buffer_add(text, "%zu", number);
  if (how == TITLES) bc_buffer_add(text, " %s", piece->title);
  if (how == IDS) bc_buffer_add(text, " %s", piece->id);
}

static void piece_line(bc_buffer *text, const bc_plan *plan, size_t i, detail how) {
  const bc_piece *piece = &plan->pieces[i];
  piece_name(text, piece, i + 1, how);
  if (!piece->placed) {
    bc_buffer_add(text, "\n");
    return;
  }
  if (how == TITLES) bc_buffer_add(text, " %s", bc_mount_word(piece->mount.kind));
  if (!bc_mount_hangs(piece->mount.kind)) {
    bc_buffer_add(text, " x%ld\n", (long)(piece->at.x + 0.5));
    return;
  }
  bc_buffer_add(text, " y%ld", (long)(bc_plan_hanging_point(plan, piece, piece->at, 0).y + 0.5));
  for (int n = 0; n < piece->mount.points; n++)
    bc_buffer_add(text, "%s%ld", n ? "," : " x", (long)(bc_plan_hanging_point(plan, piece, piece->at, n).x + 0.5));
  bc_buffer_add(text, "\n");
}

static bc_status compact(char **out, bc_context *context, const bc_plan *plan, detail how) {
  bc_buffer text = {0};
  bc_buffer_add(&text, "%s\nwall %ld x %ld cm\n", plan->title, (long)(plan->stand.width + 0.5),
                (long)(plan->stand.wall_height + 0.5));
  for (size_t i = 0; i < plan->rod_count; i++) {
    bc_buffer_add(&text, "%s y%ld x", plan->rods[i].id, (long)(plan->rods[i].y + 0.5));
    for (size_t s = 0; s < plan->rods[i].support_count; s++)
      bc_buffer_add(&text, "%s%ld", s ? "," : "", (long)(plan->rods[i].supports[s] + 0.5));
    bc_buffer_add(&text, "\n");
  }
  for (size_t i = 0; i < plan->shelf_count; i++)
    bc_buffer_add(&text, "%s y%ld x%ld\n", plan->shelves[i].id, (long)(plan->shelves[i].y + 0.5),
                  (long)(plan->shelves[i].x + 0.5));
  for (size_t i = 0; i < plan->piece_count; i++) piece_line(&text, plan, i, how);
  return bc_buffer_finish(&text, out, context);
}

bc_status bc_setup_sheet_code_text(char **out, bc_context *context, const bc_plan *plan) {
  bc_status status = bc_plan_to_json(out, context, plan);
  for (int how = TITLES; status == BC_OK && strlen(*out) > BYTES_MOST && how >= NUMBERS; how--) {
    free(*out);
    *out = NULL;
    status = compact(out, context, plan, (detail)how);
  }
  if (status == BC_OK && strlen(*out) > BYTES_MOST) (*out)[0] = '\0';
  return status;
}

bool sheet_code(cairo_t *cairo, const char *text, double x, double y, double side) {
  if (!text[0]) return false;
  QRcode *const code = QRcode_encodeString8bit(text, 0, QR_ECLEVEL_L);
  if (!code) return false;
  const double module = side / (code->width + 8); /* four modules of quiet all round: ISO/IEC 18004 */
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_rectangle(cairo, x, y, side, side);
  cairo_fill(cairo);
  cairo_set_source_rgb(cairo, 0, 0, 0);
  for (int row = 0; row < code->width; row++)
    for (int column = 0; column < code->width; column++)
      if (code->data[row * code->width + column] & 1)
        cairo_rectangle(cairo, x + (column + 4) * module, y + (row + 4) * module, module, module);
  const cairo_antialias_t before = cairo_get_antialias(cairo);
  cairo_set_antialias(cairo, CAIRO_ANTIALIAS_NONE);
  cairo_fill(cairo);
  cairo_set_antialias(cairo, before);
  QRcode_free(code);
  return true;
}
