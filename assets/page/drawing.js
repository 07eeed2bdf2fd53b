// SPDX-License-Identifier: MIT
// The wall drawn to scale as SVG: one unit is one centimetre, y turned so that up is up.
// In: a maker and a plan. Out: an <svg> whose pieces can be found by id.
import { _, length, runsRightToLeft } from "./words.js";
import { s } from "./dom.js";
import { address } from "./server.js";

export const MARGIN = { left: 48, right: 12, top: 12, bottom: 22 };

/** The photo of a plan's piece: its path holds the photo's id. */
export const photoOf = (maker, piece) => maker.photos.find((photo) => photo.id === piece.id || (piece.photo && piece.photo.includes(photo.id)));
/** A size that nobody told is "?" in the plan; its place is marked by a dashed square, as large on every screen. */
export const isMeasured = (piece) => Number(piece.width) > 0 && Number(piece.height) > 0;
export const extentOf = (piece, cmPerPx) => (isMeasured(piece) ? [piece.width, piece.height] : [30 * cmPerPx, 30 * cmPerPx]);
export const stands = (piece) => ["shelf", "table", "floor"].includes(piece.mount?.kind);
export const numberOf = (plan, piece) => plan.pieces.indexOf(piece) + 1;

const box = (x, y, width, height, gifts) => s("rect", { x, y, width, height, ...gifts });

function cloth(maker, plan, up, look) {
  const c = plan.cloth;
  if (!c) return null;
  const width = c.width ?? plan.stand.width;
  const top = c.top ?? plan.stand.wall_height;
  const height = c.height ?? top;
  const left = c.left ?? (plan.stand.width - width) / 2;
  const shape = box(left, up(top), width, height, { fill: look.colour ?? "#dcd6c8", stroke: "#000", "stroke-width": 0.3 });
  return look.href ? [shape, s("image", { href: look.href, x: left, y: up(top), width, height, preserveAspectRatio: "xMidYMid slice" })] : shape;
}

// A figure of the stature that the plan's viewers have, beside the wall.
function figure(plan, up) {
  const tall = plan.viewers?.stature ?? 165;
  const head = tall / 7.5;
  return s("g", { fill: "#3a3a3a", transform: `translate(-24 ${up(tall)})` },
    s("ellipse", { cx: 0, cy: head / 2, rx: head * 0.36, ry: head / 2 }),
    s("path", { d: `M${-tall * 0.1} ${head * 1.25}q${tall * 0.1} ${-head * 0.35} ${tall * 0.2} 0l${tall * 0.03} ${tall * 0.33}l${-tall * 0.035} ${tall * 0.02}l${-tall * 0.02} ${-tall * 0.2}l${-tall * 0.005} ${tall * 0.66 - head * 0.1}h${-tall * 0.055}l${-tall * 0.015} ${-tall * 0.4}l${-tall * 0.015} ${tall * 0.4}h${-tall * 0.055}l${-tall * 0.005} ${-tall * 0.66 + head * 0.1}l${-tall * 0.02} ${tall * 0.2}l${-tall * 0.035} ${-tall * 0.02}z` }));
}

function sight(plan, up, width) {
  const low = plan.viewers?.sight_low ?? 98;
  const high = plan.viewers?.sight_high ?? 175;
  const line = (y) => s("path", { d: `M${-MARGIN.left + 4} ${up(y)}H${width}`, stroke: "#fff", "stroke-width": 1.6, opacity: 0.75 });
  const dash = (y) => s("path", { d: `M${-MARGIN.left + 4} ${up(y)}H${width}`, stroke: "#000", "stroke-width": 0.7, "stroke-dasharray": "4 3" });
  return s("g", { "pointer-events": "none" }, [low, high].flatMap((y) => [line(y), dash(y)]));
}

function furniture(plan, up, floor) {
  const wood = { fill: "#d9d9d9", stroke: "#000", "stroke-width": 0.5 };
  return [
    ...(plan.rods ?? []).map((rod) => box(rod.x ?? 0, up((rod.y ?? plan.stand.wall_height) + 1.25), rod.length ?? plan.stand.width, 2.5, wood)),
    ...(plan.shelves ?? []).map((shelf) => box(shelf.x ?? 0, up(shelf.y ?? 120), shelf.width ?? 80, 2.5, wood)),
    ...(plan.tables ?? []).flatMap((table) => {
      const [x, wide, high] = [table.x ?? 0, table.width ?? 180, table.height ?? 74];
      return [box(x, up(high), wide, 4, wood), box(x + 4, up(high) + 4, 4, floor - up(high) - 4, wood), box(x + wide - 8, up(high) + 4, 4, floor - up(high) - 4, wood)];
    }),
  ];
}

// A name inside a box without a photo: in as many lines as make it largest; its number where no name can be read.
function caption(words, number, w, h, look) {
  const wrap = (count) => {
    const least = Math.ceil(words.length / count);
    return words.split(" ").reduce((lines, word) => ((lines.at(-1) + word).length <= least + 3 && lines.at(-1) ? (lines[lines.length - 1] += ` ${word}`) : lines.push(word), lines), [""]).filter(Boolean);
  };
  const ways = [1, 2, 3].map((count) => {
    const lines = wrap(count);
    return { lines, size: Math.min((0.92 * w) / (0.62 * Math.max(...lines.map((one) => one.length))), (0.9 * h) / (1.2 * lines.length)) };
  });
  let best = ways.reduce((a, b) => (b.size > a.size ? b : a));
  if (best.size < 9 * look.cmPerPx) best = { lines: [String(number)], size: Math.min(0.8 * h, 12 * look.cmPerPx) };
  const size = Math.min(best.size, 13 * look.cmPerPx);
  return s("g", { "font-size": size, "text-anchor": "middle", "dominant-baseline": "central", fill: "#000" },
    best.lines.map((line, i) => s("text", { y: (i - (best.lines.length - 1) / 2) * 1.2 * size }, line)));
}

function piece(maker, one, number, look) {
  const known = isMeasured(one);
  const [w, h] = extentOf(one, look.cmPerPx);
  const photo = photoOf(maker, one);
  const reach = Math.max(0, (24 * look.cmPerPx - Math.min(w, h)) / 2); // small pieces still fit a finger
  const words = _("%1$s, number %2$s. Middle %3$s from the left, %4$s above the floor.", one.title ?? one.id, number, length(one.at[0]), length(one.at[1])) + (known ? "" : ` ${_("Its size is missing. Measure it.")}`);
  return s("g", { class: "piece", "data-id": one.id, ...(look.live ? { role: "button", tabindex: 0, "aria-label": words } : {}) },
    !known
      ? [box(-w / 2, -h / 2, w, h, { fill: "#f6f6f6", stroke: "#000", "stroke-width": 1.5 * look.cmPerPx, "stroke-dasharray": `${4 * look.cmPerPx} ${3 * look.cmPerPx}` }), caption("?", number, w, h, look)]
      : photo
      // As in the library's drawings: a photo of other proportions keeps a standing piece's foot, a hanging one's top.
      ? s("image", { href: address(photo.urls.cutout), x: -w / 2, y: -h / 2, width: w, height: h, preserveAspectRatio: stands(one) ? "xMidYMax meet" : "xMidYMin meet" })
      : box(-w / 2, -h / 2, w, h, { fill: "#f6f6f6", stroke: "#000", "stroke-width": 0.6 }),
    photo || !known ? null : caption(one.title ?? one.id, number, w, h, look),
    box(-w / 2 - reach, -h / 2 - reach, w + 2 * reach, h + 2 * reach, { fill: "transparent" }),
    box(-w / 2 - 1.5, -h / 2 - 1.5, w + 3, h + 3, { class: "ring" }), box(-w / 2 - 1.5, -h / 2 - 1.5, w + 3, h + 3, { class: "ring" }));
}

/** The drawing's own width in cm, margins included. */
export const widthDrawn = (plan, live = true) => plan.stand.width + (live ? MARGIN.left + MARGIN.right : 8);

/** `look`: {colour, href} of the cloth; `live` makes the pieces buttons; `cmPerPx` keeps words readable at any size. */
export function drawWall(maker, plan, look = {}) {
  const { width, wall_height: high } = plan.stand;
  const up = (y) => high - y;
  look = { cmPerPx: 0.5, ...look };
  const spare = look.live ? MARGIN : { left: 4, right: 4, top: 4, bottom: 4 };
  const svg = s("svg", { viewBox: `${-spare.left} ${-spare.top} ${width + spare.left + spare.right} ${high + spare.top + spare.bottom}`, direction: "ltr", role: look.live ? "group" : "img", "aria-label": look.words ?? _("The wall to scale") },
    box(0, 0, width, high, { fill: plan.stand.wall_colour ?? "#ffffff", stroke: "#000", "stroke-width": 0.6 }),
    [cloth(maker, plan, up, look)].flat(), look.live ? figure(plan, up) : null, look.live ? sight(plan, up, width) : null,
    furniture(plan, up, high),
    s("path", { d: `M${-spare.left + 2} ${high}H${width + spare.right - 2}`, stroke: "#000", "stroke-width": 1.2 }));
  const places = new Map();
  for (const one of plan.pieces ?? []) {
    if (!one.at) continue;
    const group = piece(maker, one, numberOf(plan, one), look);
    group.setAttribute("transform", `translate(${one.at[0]} ${up(one.at[1])})`);
    places.set(one.id, group);
    svg.append(group);
  }
  if (look.live) svg.append(scale(high, look), s("g", { class: "guides", "pointer-events": "none" }));
  return { svg, places, up, cmPerPx: look.cmPerPx };
}

function scale(high, look) {
  const y = high + 8;
  return s("g", { "font-size": Math.min(14, 13 * look.cmPerPx), "dominant-baseline": "central" }, [0, 1, 2, 3].map((i) => box(25 * i, y, 25, 3, { fill: i % 2 ? "#fff" : "#000", stroke: "#000", "stroke-width": 0.4 })), s("text", { x: 104, y: y + 1.5, fill: "#000", ...(runsRightToLeft() ? { direction: "rtl", "text-anchor": "end" } : {}) }, length(100)));
}
