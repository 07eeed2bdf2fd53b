/* SPDX-License-Identifier: MIT */
/* Zones, posts, grid panels, risers and chairs: in their place, and nothing fixed, hung or stood where it cannot be. */
#include "check_internal.h"

#include <math.h>

static bool crosses(span a, span b) {
  return a.left < b.right - SLACK_CM && b.left < a.right - SLACK_CM && a.bottom < b.top - SLACK_CM &&
         b.bottom < a.top - SLACK_CM;
}

static bool holds(span box, bc_point_cm point) {
  return point.x > box.left + SLACK_CM && point.x < box.right - SLACK_CM && point.y > box.bottom + SLACK_CM &&
         point.y < box.top - SLACK_CM;
}

static span span_of(double x, double y, double width, double height) {
  return (span){x, x + width, y, y + height};
}

/* --- the things themselves ---------------------------------------------------------------------------- */
static void check_risers(checker *check) {
  const bc_plan *plan = check->plan;
  for (size_t i = 0; i < plan->riser_count; i++) {
    const bc_riser *riser = &plan->risers[i];
    const bc_table *table = bc_plan_riser_table(plan, riser);
    if (!table) {
      check_add(check, true, NULL,
                plan->table_count == 0
                    ? _("The riser \"%s\" stands on a table, but the plan has none. Add the table first.")
                    : _("The riser \"%s\" stands on a table, but the plan does not say which. Choose the table."),
                riser->id);
      continue;
    }
    const double over = fmax(table->x - riser->x, riser->x + riser->width - table->x - table->width);
    if (over > SLACK_CM)
      check_add(check, true, NULL, _("The riser \"%s\" reaches %s past the edge of the table \"%s\". Move it inwards."),
                riser->id, check_cm(over), table->id);
    if (riser->depth > table->depth + SLACK_CM)
      check_add(check, true, NULL,
                _("The riser \"%s\" is %s deep, the table \"%s\" only %s. Turn it, or bring another."), riser->id,
                check_cm(riser->depth), table->id, check_cm(table->depth));
  }
}

static void past_wall(checker *check, span box, const char *text, const char *id) {
  const bc_stand *stand = &check->plan->stand;
  const double sides = fmax(-box.left, box.right - stand->width),
               ends = fmax(-box.bottom, box.top - stand->wall_height);
  const double far = fmax(sides, ends);
  if (far > SLACK_CM) check_add(check, true, NULL, text, id, check_cm(far));
}

static void check_edges(checker *check) {
  const bc_plan *plan = check->plan;
  for (size_t i = 0; i < plan->grid_count; i++) {
    const bc_grid *grid = &plan->grids[i];
    past_wall(check, span_of(grid->x, grid->y, grid->width, grid->height),
              _("The grid panel \"%s\" passes the wall's edge by %s. Move it, or bring a smaller one."), grid->id);
  }
  for (size_t i = 0; i < plan->post_count; i++) {
    const bc_post *post = &plan->posts[i];
    past_wall(check, span_of(post->x, post->y, post->width, post->height),
              _("The post \"%s\" passes the wall's edge by %s. Measure it again."), post->id);
  }
  for (size_t i = 0; i < plan->zone_count; i++) {
    const bc_zone *zone = &plan->zones[i];
    past_wall(check, span_of(zone->x, zone->y, zone->width, zone->height),
              _("The zone \"%s\" passes the wall's edge by %s. Measure it again."), zone->id);
  }
}

/* Someone who comes in from the aisle needs a way of 91.4 cm (36 in): 2010 ADA Standards, 403.5.1, from memory. */
#define WAY_IN_CM 91.4

static void check_chair_in_way(checker *check, const bc_chair *chair) {
  const bc_stand *stand = &check->plan->stand;
  const double left = chair->x, right = stand->width - chair->x - chair->width;
  const bool open_left = stand->open_side == BC_OPEN_LEFT || stand->open_side == BC_OPEN_BOTH;
  const bool open_right = stand->open_side == BC_OPEN_RIGHT || stand->open_side == BC_OPEN_BOTH;
  if ((open_left && left < WAY_IN_CM) || (open_right && right < WAY_IN_CM))
    check_add(check, false, NULL,
              _("The chair \"%s\" stands on the open side, where visitors come in. Put it at least %s inside."),
              chair->id, check_cm(WAY_IN_CM));
}

static void check_chairs(checker *check) {
  const bc_plan *plan = check->plan;
  for (size_t i = 0; i < plan->chair_count; i++) {
    const bc_chair *chair = &plan->chairs[i];
    const double sides = fmax(-chair->x, chair->x + chair->width - plan->stand.width);
    const double out = fmax(sides, chair->from_wall + chair->depth - plan->stand.depth);
    if (out > SLACK_CM)
      check_add(check, true, NULL, _("The chair \"%s\" stands %s outside the stand. Move it inwards."), chair->id,
                check_cm(out));
    check_chair_in_way(check, chair);
    for (size_t k = 0; k < plan->table_count; k++) {
      const bc_table *table = &plan->tables[k];
      const span seat = span_of(chair->x, chair->from_wall, chair->width, chair->depth);
      if (crosses(seat, span_of(table->x, table->from_wall, table->width, table->depth)))
        check_add(check, true, NULL, _("The chair \"%s\" and the table \"%s\" stand in one place. Move one of them."),
                  chair->id, table->id);
    }
  }
}

/* --- pieces against them ------------------------------------------------------------------------------ */
static const char *reason_of(const char *reason, const char *id) {
  return reason ? reason : id;
}

static void check_zones(checker *check, const bc_piece *piece) {
  const bc_plan *plan = check->plan;
  const bool bare = bc_mount_hangs(piece->mount.kind) && !piece->mount.on;
  for (size_t i = 0; i < plan->zone_count; i++) {
    const bc_zone *zone = &plan->zones[i];
    const span box = span_of(zone->x, zone->y, zone->width, zone->height);
    if (zone->kind == BC_ZONE_KEEP_CLEAR && crosses(check_span(piece), box))
      check_add(check, true, piece->id, _("\"%s\" covers \"%s\", which must stay clear. Move it."), piece->title,
                reason_of(zone->reason, zone->id));
    for (int k = 0; bare && k < piece->mount.points; k++) {
      const bc_point_cm point = bc_plan_hanging_point(plan, piece, piece->at, k);
      if (!holds(box, point)) continue;
      check_add(
          check, true, piece->id,
          _("A hanging point of \"%s\", at %s from the left and %s up, is in \"%s\", where nothing may be fixed. Move "
            "the piece, or hang it from a rod."),
          piece->title, check_cm(point.x), check_cm(point.y), reason_of(zone->reason, zone->id));
      break;
    }
  }
}

static void check_posts(checker *check, const bc_piece *piece) {
  const bc_plan *plan = check->plan;
  const bc_post *own = bc_plan_post_of(plan, piece);
  if (own && !own->hang)
    check_add(check, true, piece->id,
              _("\"%s\" hangs on \"%s\", where nothing may be fixed. Hang it elsewhere, or ask the venue and note in "
                "the plan that things may hang there."),
              piece->title, reason_of(own->reason, own->id));
  for (int k = 0; own && k < piece->mount.points; k++) {
    const bc_point_cm point = bc_plan_hanging_point(plan, piece, piece->at, k);
    const double past = fmax(own->x - point.x, point.x - own->x - own->width);
    const double above = fmax(own->y - point.y, point.y - own->y - own->height);
    if (fmax(past, above) <= SLACK_CM) continue;
    check_add(
        check, true, piece->id,
        _("A hanging point of \"%s\" is %s beside \"%s\", which carries it. Move the piece, or give it one point."),
        piece->title, check_cm(fmax(past, above)), own->id);
    break;
  }
  if (piece->mount.kind == BC_MOUNT_TABLE) return;
  for (size_t i = 0; i < plan->post_count; i++) {
    const bc_post *post = &plan->posts[i];
    if (post != own && crosses(check_span(piece), span_of(post->x, post->y, post->width, post->height)))
      check_add(check, true, piece->id, _("\"%s\" is where \"%s\" stands %s out of the wall. Move it aside."),
                piece->title, reason_of(post->reason, post->id), check_cm(post->depth));
  }
}

/* A hook slides along a wire; half a centimetre is bent away. */
#define MESH_SLACK_CM 0.5

static double off_wires(double at, double from, double mesh) {
  return fabs(at - from - round((at - from) / mesh) * mesh);
}

static void check_mesh(checker *check, const bc_piece *piece, const bc_grid *grid) {
  const bc_point_cm point = bc_plan_hanging_point(check->plan, piece, piece->at, 0);
  const double step = piece->mount.points > 1 ? grid->mesh / 2 : grid->mesh;
  const double across = off_wires(piece->at.x, grid->x, step), up = off_wires(point.y, grid->y, grid->mesh);
  if (across <= MESH_SLACK_CM && up <= MESH_SLACK_CM) return;
  const double x = grid->x + round((piece->at.x - grid->x) / step) * step;
  const double y = piece->at.y + grid->y + round((point.y - grid->y) / grid->mesh) * grid->mesh - point.y;
  check_add(
      check, true, piece->id,
      _("The hooks of \"%s\" are not where the wires of \"%s\" cross. Put its middle at %s from the left and %s up."),
      piece->title, grid->id, check_cm(x), check_cm(y));
}

static void check_one_wire(checker *check, const bc_piece *piece, const bc_grid *grid) {
  if (bc_plan_points_coincide(check->plan, piece, piece->at))
    check_add(check, true, piece->id,
              _("Two hooks of \"%s\" would share one wire of \"%s\". Move it aside by half a mesh, %s, or give it one "
                "hanging point."),
              piece->title, grid->id, check_cm(grid->mesh / 2));
}

static void check_grids(checker *check, const bc_piece *piece) {
  const bc_plan *plan = check->plan;
  const bc_grid *own = bc_plan_grid_of(plan, piece);
  for (int k = 0; own && k < piece->mount.points; k++) {
    const bc_point_cm point = bc_plan_hanging_point(plan, piece, piece->at, k);
    const double past = fmax(own->x - point.x, point.x - own->x - own->width);
    const double above = fmax(own->y - point.y, point.y - own->y - own->height);
    if (fmax(past, above) <= SLACK_CM) continue;
    check_add(check, true, piece->id, _("A hook of \"%s\" is %s off the grid panel \"%s\". Move the piece onto it."),
              piece->title, check_cm(fmax(past, above)), own->id);
    return;
  }
  if (own) check_mesh(check, piece, own);
  if (own) check_one_wire(check, piece, own);
  if (own || !bc_mount_hangs(piece->mount.kind)) return;
  for (size_t i = 0; i < plan->grid_count; i++) {
    const bc_grid *grid = &plan->grids[i];
    if (crosses(check_span(piece), span_of(grid->x, grid->y, grid->width, grid->height)))
      check_add(check, true, piece->id,
                _("\"%s\" hangs behind the grid panel \"%s\". Hang it on the panel itself, or move it aside."),
                piece->title, grid->id);
  }
}

/* What the eye loses behind a chair: the line of sight over the chair's back, carried on to the wall. */
static double hidden_by(const bc_plan *plan, const bc_chair *chair) {
  const double eye = bc_plan_eye_height(plan), distance = plan->viewers.distance;
  double hidden = 0;
  for (int edge = 0; edge < 2; edge++) {
    const double z = chair->from_wall + edge * chair->depth;
    if (z < distance) hidden = fmax(hidden, chair->height - (eye - chair->height) * z / (distance - z));
  }
  return hidden;
}

static void check_behind_chairs(checker *check, const bc_piece *piece) {
  const bc_plan *plan = check->plan;
  const span box = check_span(piece);
  for (size_t i = 0; i < plan->chair_count; i++) {
    const bc_chair *chair = &plan->chairs[i];
    if (box.right < chair->x + SLACK_CM || box.left > chair->x + chair->width - SLACK_CM) continue;
    if (piece->mount.kind == BC_MOUNT_TABLE) continue;
    const double hidden = fmin(hidden_by(plan, chair), box.top) - box.bottom;
    if (hidden > SLACK_CM)
      check_add(check, false, piece->id,
                _("The chair \"%s\" hides the lower %s of \"%s\" from visitors. Move the chair, or raise the piece."),
                chair->id, check_cm(hidden), piece->title);
  }
}

static void check_risers_in_way(checker *check, const bc_piece *piece) {
  const bc_plan *plan = check->plan;
  if (piece->mount.kind != BC_MOUNT_TABLE) return;
  for (size_t i = 0; i < plan->riser_count; i++) {
    const bc_riser *riser = &plan->risers[i];
    const double top = bc_plan_riser_top(plan, riser);
    if (bc_plan_riser_of(plan, piece) == riser) continue;
    const bool room =
        piece->depth + riser->depth <= (bc_plan_riser_table(plan, riser) ? bc_plan_riser_table(plan, riser)->depth : 0);
    if (crosses(check_span(piece), span_of(riser->x, top - riser->height, riser->width, riser->height)))
      check_add(check, !room, piece->id,
                room ? _("\"%s\" stands in front of the riser \"%s\". See that it hides nothing, or move it aside.")
                     : _("\"%s\" and the riser \"%s\" stand in one place. Move one of them."),
                piece->title, riser->id);
  }
}

/* Between 68.6 and 203.2 cm above the floor nothing stands out more than 10.2 cm beside a way that people walk:
 * 2010 ADA Standards, 307.2, from memory. Within 30 cm of the edge a passer-by brushes it: our choice. */
#define STICKS_OUT_CM 10.2
#define BESIDE_WAY_CM 30

static void check_open_side(checker *check, const bc_piece *piece) {
  const bc_stand *stand = &check->plan->stand;
  const span box = check_span(piece);
  const bool left = stand->open_side == BC_OPEN_LEFT || stand->open_side == BC_OPEN_BOTH;
  const bool right = stand->open_side == BC_OPEN_RIGHT || stand->open_side == BC_OPEN_BOTH;
  const bool beside = (left && box.left < BESIDE_WAY_CM) || (right && box.right > stand->width - BESIDE_WAY_CM);
  if (!beside || !bc_mount_hangs(piece->mount.kind) || piece->depth <= STICKS_OUT_CM) return;
  if (box.top < 68.6 || box.bottom > 203.2) return;
  check_add(
      check, false, piece->id,
      _("\"%s\" stands out %s beside the open side, where people pass. Hang it further inside, so that nobody walks "
        "into it."),
      piece->title, check_cm(piece->depth));
}

void check_fittings(checker *check) {
  check_edges(check);
  check_risers(check);
  check_chairs(check);
  for (size_t i = 0; i < check->plan->piece_count; i++) {
    const bc_piece *piece = &check->plan->pieces[i];
    if (!piece->placed || piece->unmeasured) continue;
    check_zones(check, piece);
    check_posts(check, piece);
    check_grids(check, piece);
    check_behind_chairs(check, piece);
    check_risers_in_way(check, piece);
    check_open_side(check, piece);
  }
}
