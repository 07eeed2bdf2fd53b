/* SPDX-License-Identifier: MIT */
/* The keys of a piece and of how it is held. */
#include "tables.h"

static const char *const plan_role_words[] = {"support", "statement", "small", "sign", "mirror", NULL};
static const char *const plan_mount_words[] = {"nail", "pin", "hook", "cord", "clip", "shelf", "table", "floor", NULL};

/* --- pieces -------------------------------------------------------------------------------------------- */
#define TWO_ANGLES                                                                                                     \
  N_("two angles, left and right, go with a cord on 2 points. Give both angles and two hanging points (\"points\": "   \
     "2).")
static const plan_field mount_fields[] = {
    WORD("kind", bc_mount, kind, plan_mount_words),
    COUNTED("points", bc_mount, points, 1, 64, "", N_("the number of hanging points"),
            N_("Count the nails, hooks or clips that hold the piece.")),
    WITHIN("cord_angle", bc_mount, cord_angle, 1, 90, "degrees", N_("the cord's angle"),
           N_("90° is straight down. Keep 45° or more; a flatter cord pulls much harder.")),
    {.key = "cord_angles",
     .kind = PLAN_SPOTS,
     .offset = AT(bc_mount, cord_angles),
     .second = AT(bc_mount, cord_angle_count),
     .low = 1,
     .high = 90,
     .unit = "degrees",
     .what = N_("the angle of one side of the cord"),
     .remedy = N_("90° is straight down. The flatter this side of the cord, the harder it pulls."),
     .most = 2,
     .least = 2,
     .few = TWO_ANGLES},
    TEXT("on", bc_mount, on, N_("the carrier")),
    RATED("rated_kg", "rated", bc_mount, rated_kg, N_("the rating of a hanging point"),
          N_("Take it from the packaging; leave it out if it is not known.")),
    WITHIN("off_centre", bc_mount, off_centre, -PIECE_CM, PIECE_CM, "cm", N_("the off-centre distance"),
           N_("Balance the piece on a finger and measure how far that is from its middle.")),
    WORD("fixing", bc_mount, fixing, plan_fixing_words),
    TRUTH("second_fixing", bc_mount, second_fixing),
    TRUTH("out_of_reach", bc_mount, out_of_reach),
};
static bool prepare_mount(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_mount *mount = target;
  mount->kind = BC_MOUNT_NAIL;
  mount->points = 1;
  mount->cord_angle = 60;
  return true;
}
static bc_status finish_mount(plan_reader *reader, void *target, const plan_place *place) {
  const bc_mount *mount = target;
  const plan_place points = {.up = place, .key = "points"};
  if (mount->kind == BC_MOUNT_CORD && mount->points > 2)
    return plan_fail(reader, &points, _("a cord hangs from 1 or 2 points; it is %d. Use hooks for more."),
                     mount->points);
  const plan_place angles = {.up = place, .key = "cord_angles"};
  if (mount->cord_angle_count > 0 && (mount->kind != BC_MOUNT_CORD || mount->points != 2))
    return plan_fail(reader, &angles, "%s", _(TWO_ANGLES));
  return BC_OK;
}
static TABLE(mount_table, bc_mount, mount_fields, prepare_mount, NULL, finish_mount);

static const plan_field piece_fields[] = {
    TEXT("id", bc_piece, id, N_("an id"), .required = true, .remedy = N_("Give each piece a short name of its own.")),
    TEXT("title", bc_piece, title, N_("a title"), .like = 1 + AT(bc_piece, id)),
    PHOTO("photo", bc_piece, photo, photo_written),
    ABOVE_0("width", bc_piece, width, PIECE_CM, "cm", N_("a width"), N_("Measure the piece at its widest."),
            .required = true),
    ABOVE_0("height", bc_piece, height, PIECE_CM, "cm", N_("a height"), N_("Measure the piece at its tallest."),
            .required = true),
    ABOVE_0("depth", bc_piece, depth, PIECE_CM, "cm", N_("a depth"),
            N_("Measure the piece from back to front, or leave it out.")),
    WEIGHT("weight_g", "weight", bc_piece, weight_g, N_("a weight"), N_("Weigh the piece, in grams, or leave it out.")),
    WORD("role", bc_piece, role, plan_role_words),
    TEXT("group", bc_piece, group, N_("a group")),
    TEXT("material", bc_piece, material, N_("a material")),
    TEXT("technique", bc_piece, technique, N_("a technique")),
    TEXT("function", bc_piece, function, N_("a function")),
    COUNTED("count", bc_piece, count, 1, 10000, "", N_("the count"), N_("Say how many alike you bring.")),
    GIVEN("mount", bc_piece, mount, mount_table),
    {.key = "at",
     .kind = PLAN_POINT,
     .offset = AT(bc_piece, at),
     .second = AT(bc_piece, placed),
     .low = -WALL_CM,
     .high = WALL_CM,
     .unit = "cm",
     .what = N_("a place"),
     .remedy =
         N_("Give two numbers, like [150, 160]: from the wall's left edge and from the floor to the piece's centre.")},
    TRUTH("pinned", bc_piece, pinned),
    TRUTH("polished", bc_piece, polished),
    TRUTH("nests", bc_piece, nests),
};
static bool prepare_piece(void *target, const bc_plan *plan, size_t index) {
  (void)plan;
  (void)index;
  bc_piece *piece = target;
  piece->count = 1;
  return true;
}
static bc_status finish_piece(plan_reader *reader, void *target, const plan_place *place) {
  bc_piece *piece = target;
  piece->unmeasured = !(piece->width > 0) || !(piece->height > 0);
  if (!(piece->width > 0)) piece->width = PLAN_STAND_IN_CM;
  if (!(piece->height > 0)) piece->height = PLAN_STAND_IN_CM;
  const plan_place pinned = {.up = place, .key = "pinned"};
  if (piece->pinned && !piece->placed)
    return plan_fail(
        reader, &pinned,
        _("a pinned piece stays where it is, but this one has no place. Give it a place, or let it move."));
  if (!piece->title) piece->title = bc_copy_text(piece->id);
  return piece->title ? BC_OK : bc_fail_memory(reader->context);
}
TABLE(plan_piece_table, bc_piece, piece_fields, prepare_piece, NULL, finish_piece);

bool bc_mount_hangs(bc_mount_kind kind) {
  return kind < BC_MOUNT_SHELF;
}

const char *bc_role_word(bc_role role) {
  return plan_role_words[role];
}

const char *bc_mount_word(bc_mount_kind kind) {
  return plan_mount_words[kind];
}

const char *bc_mount_text(bc_mount_kind kind) {
  static const char *const texts[] = {N_("nail"), N_("pin"),          N_("hook"),         N_("cord"),
                                      N_("clip"), N_("on the shelf"), N_("on the table"), N_("on the floor")};
  return _(texts[kind]);
}
