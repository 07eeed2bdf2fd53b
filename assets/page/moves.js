// SPDX-License-Identifier: MIT
// Where a dragged or nudged piece comes to rest: hanging ones are drawn to lines, standing ones stay on what carries them.
import { defaults } from "./defaults.js";
import { isMeasured } from "./drawing.js";
import { stands, standOn, surfaceOf, surfaces } from "./held.js";

const SNAP = 3; // cm
const round = (v) => Math.round(v * 10) / 10;
const half = (piece) => (isMeasured(piece) ? [piece.width / 2, piece.height / 2] : [0, 0]);

/** Lines that a piece would rather keep: [its middle, where the line is drawn]. */
function lines(plan, piece) {
  const gap = plan.gap ?? defaults().gap;
  const [w0, h0] = half(piece);
  const xs = [[plan.stand.width / 2, plan.stand.width / 2]];
  const ys = [];
  for (const one of plan.pieces) {
    if (one.id === piece.id || !one.at || !isMeasured(one)) continue;
    const [x, y] = one.at;
    const [w, t] = half(one);
    xs.push([x, x], [x + w + gap + w0, x + w + gap / 2], [x - w - gap - w0, x - w - gap / 2]);
    ys.push([y, y], [y + t - h0, y + t], [y - t + h0, y - t]);
  }
  return { xs, ys };
}
const nearest = (list, v, within) => {
  const best = list.reduce((so, one) => (Math.abs(one[0] - v) < Math.abs((so?.[0] ?? Infinity) - v) ? one : so), null);
  return best && Math.abs(best[0] - v) <= within ? best : [v, null];
};

/** Where a piece would rather be: centre lines, tops, bottoms and gaps of its neighbours, and the wall's middle. */
export function snap(plan, piece, [x, y], within = SNAP) {
  const { xs, ys } = lines(plan, piece);
  const [sx, lineX] = nearest(xs, x, within);
  if (stands(piece)) {
    const under = below(plan, piece, [sx, y]);
    return { at: [round(sx), round(under.y + half(piece)[1])], lineX, lineY: under.y, under };
  }
  const [sy, lineY] = nearest(ys, y, within);
  return { at: [round(sx), round(sy)], lineX, lineY };
}

/** The surface nearest to the foot of a piece that is held here. */
function below(plan, piece, [x, y]) {
  const foot = y - half(piece)[1];
  const far = (one) => Math.abs(one.y - foot) + 3 * Math.max(0, one.left - x, x - one.right);
  return surfaces(plan).sort((a, b) => far(a) - far(b))[0];
}

/** Puts a piece where `snap` said. */
export function place(plan, piece, result) {
  piece.at = result.at;
  if (result.under) standOn(plan, piece, result.under);
}

/** By keys and buttons: a standing piece goes sideways, and up or down to the next thing that it can stand on. */
export function nudge(plan, piece, dx, dy) {
  const [x, y] = piece.at ?? [plan.stand.width / 2, plan.stand.wall_height / 2];
  if (!stands(piece)) return void (piece.at = [round(x + dx), round(y + dy)]);
  piece.at = [round(x + dx), y];
  const now = surfaceOf(plan, piece);
  const others = surfaces(plan)
    .filter((one) => (one.y - (now?.y ?? 0)) * dy > 0 && one.left <= x && x <= one.right)
    .sort((a, b) => dy * (a.y - b.y));
  standOn(plan, piece, dy && others.length ? others[0] : (now ?? surfaces(plan).at(-1)));
}

/** A piece that had no place gets one: in the middle at eye height, or on its surface. */
export function putUp(plan, piece) {
  piece.at = [plan.stand.width / 2, round(Math.min(plan.stand.wall_height - piece.height / 2, 137))];
  const under = stands(piece) && surfaceOf(plan, piece);
  if (under) standOn(plan, piece, under);
}
