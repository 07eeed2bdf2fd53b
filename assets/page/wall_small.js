// SPDX-License-Identifier: MIT
// A wall as large as a stamp: the cloth, what stands before it, and each piece as a spot of its main colour. Nothing is
// fetched for it but the plan and the colours (GET /api/makers/M/glance).
import { defaults } from "./defaults.js";
import { s } from "./dom.js";
import { isMeasured } from "./drawing.js";
import { stands, surfaces } from "./held.js";

const UNKNOWN = "#f6f6f6"; // a piece without a photo, as on the wall itself
const idIn = (path) => path?.replace(/^photos\//, "");

function clothRect(plan, colours, up) {
  const c = plan.cloth;
  if (!c) return null;
  const width = c.width ?? plan.stand.width;
  const top = c.top ?? plan.stand.wall_height;
  const fill = c.colour ?? colours[idIn(c.photo)] ?? "#dcd6c8";
  return s("rect", { x: c.left ?? (plan.stand.width - width) / 2, y: up(top), width, height: c.height ?? top, fill });
}

function spot(piece, colours, up) {
  const [w, t] = isMeasured(piece) ? [piece.width, piece.height] : [20, 20];
  const round = Math.min(w, t) * (stands(piece) ? 0.3 : 0.15);
  const place = { x: piece.at[0] - w / 2, y: up(piece.at[1]) - t / 2, width: w, height: t, rx: round };
  return s("rect", { ...place, fill: colours[idIn(piece.photo)] ?? UNKNOWN, stroke: "#0006", "stroke-width": 1.5 });
}

/** A board; under a table's one its legs. */
function board(one, up) {
  const leg = (x) => s("rect", { x, y: up(one.y) + 4, width: 5, height: one.y - 4 });
  const legs = one.kind === "table" ? [leg(one.left + 5), leg(one.right - 10)] : [];
  return [s("rect", { x: one.left, y: up(one.y), width: one.wide, height: 4 }), legs];
}

export function wallInSmall({ plan, colours }) {
  const { width, wall_height: high, wall_colour: colour = defaults().stand.wall_colour } = plan.stand;
  const up = (y) => high - y;
  const boards = surfaces(plan).filter((one) => one.kind !== "floor");
  return s(
    "svg",
    { viewBox: `0 0 ${width} ${high}`, "aria-hidden": "true" },
    s("rect", { width, height: high, fill: colour }),
    clothRect(plan, colours, up),
    s(
      "g",
      { fill: "#a87f52", stroke: "#3d2a17", "stroke-width": 1 },
      boards.map((one) => board(one, up)),
    ),
    plan.pieces.filter((one) => one.at).map((one) => spot(one, colours, up)),
  );
}
