// SPDX-License-Identifier: MIT
// The wall drawn to scale as SVG: one unit is one centimetre, y turned so that up is up.
// In: a maker and a plan. Out: an <svg> whose pieces can be found by id.
import { _, runsRightToLeft } from "./words.js";
import { length } from "./measures.js";
import { defaults } from "./defaults.js";
import { s } from "./dom.js";
import { address } from "./server.js";
import { stands, surfaces } from "./held.js";
import { shadowOf } from "./shadow.js";

export const MARGIN = { left: 48, right: 12, top: 12, bottom: 22 };

/** The photo of a plan's piece: its path holds the photo's id. */
export const photoOf = (maker, piece) =>
  maker.photos.find((photo) => photo.id === piece.id || (piece.photo && piece.photo.includes(photo.id)));
/** A size that nobody told is "?" in the plan; its place is marked by a dashed square, as large on every screen. */
export const isMeasured = (piece) => Number(piece.width) > 0 && Number(piece.height) > 0;
export const extentOf = (piece, cmPerPx) => (isMeasured(piece) ? [piece.width, piece.height] : [30 * cmPerPx, 30 * cmPerPx]);
export const numberOf = (plan, piece) => plan.pieces.indexOf(piece) + 1;

const box = (x, y, width, height, gifts) => s("rect", { x, y, width, height, ...gifts });

/** The cloth's place on the wall: {left, top, width, height}, cm, y downwards from the wall's top. */
function hung(plan, up) {
  const c = plan.cloth;
  const width = c.width ?? plan.stand.width;
  const top = c.top ?? plan.stand.wall_height;
  return { x: c.left ?? (plan.stand.width - width) / 2, y: up(top), width, height: c.height ?? top };
}

// Folds fall every 26 cm, wider and narrower in turn; the threads show as a fine lattice. Light comes from the left.
const FOLD = 26;
const textures = (id) =>
  s(
    "defs",
    null,
    s(
      "linearGradient",
      { id: `fold-${id}`, x1: 0, x2: FOLD, y1: 0, y2: 0, gradientUnits: "userSpaceOnUse", spreadMethod: "repeat" },
      [
        [0, "#000", 0.1],
        [0.18, "#fff", 0.08],
        [0.42, "#fff", 0.02],
        [0.68, "#000", 0.07],
        [0.8, "#000", 0.02],
        [1, "#000", 0.1],
      ].map(([offset, colour, opacity]) => s("stop", { offset, "stop-color": colour, "stop-opacity": opacity })),
    ),
    s(
      "pattern",
      { id: `weave-${id}`, width: 1.2, height: 1.2, patternUnits: "userSpaceOnUse" },
      s("path", { d: "M0 .3h.6M.6 .9h.6M.3 .6v.6M.9 0v.6", stroke: "#fff", "stroke-width": 0.12, opacity: 0.16 }),
      s("path", { d: "M0 .6h1.2M.6 0v1.2", stroke: "#000", "stroke-width": 0.08, opacity: 0.14 }),
    ),
    s(
      "linearGradient",
      { id: `wood-${id}`, x1: 0, x2: 0, y1: 0, y2: 1 },
      [
        [0, "#c9a67a"],
        [0.35, "#b58d5d"],
        [1, "#8c6842"],
      ].map(([offset, colour]) => s("stop", { offset, "stop-color": colour })),
    ),
  );

function cloth(maker, plan, up, look) {
  if (!plan.cloth) return null;
  const place = hung(plan, up);
  const over = (fill) => s("rect", { ...place, fill, "pointer-events": "none" });
  return s(
    "g",
    { class: "cloth" },
    s("rect", { x: place.x + 1.5, y: place.y + 1, width: place.width, height: place.height, fill: "#000", opacity: 0.16 }),
    s("rect", { ...place, fill: look.colour ?? "#dcd6c8" }),
    look.href ? s("image", { href: look.href, ...place, preserveAspectRatio: "xMidYMid slice" }) : over(`url(#weave-${look.id})`),
    plan.cloth.fullness > 1 || !look.href ? over(`url(#fold-${look.id})`) : null,
    s("rect", { ...place, fill: "none", stroke: "#000", "stroke-width": 0.3, opacity: 0.6 }),
  );
}

// A figure of the stature that the plan's viewers have, beside the wall: shoulders, arm, leg, and the same mirrored.
function figure(plan, up) {
  const tall = plan.viewers?.stature ?? defaults().viewers.stature;
  const head = tall / 7.5;
  const t = (share) => share * tall;
  const leg = t(0.66) - head * 0.1;
  const body = [
    `M${t(-0.1)} ${head * 1.25}q${t(0.1)} ${head * -0.35} ${t(0.2)} 0`,
    `l${t(0.03)} ${t(0.33)}l${t(-0.035)} ${t(0.02)}l${t(-0.02)} ${t(-0.2)}`,
    `l${t(-0.005)} ${leg}h${t(-0.055)}l${t(-0.015)} ${t(-0.4)}`,
    `l${t(-0.015)} ${t(0.4)}h${t(-0.055)}l${t(-0.005)} ${-leg}l${t(-0.02)} ${t(0.2)}l${t(-0.035)} ${t(-0.02)}z`,
  ];
  return s(
    "g",
    { fill: "#3a3a3a", transform: `translate(-24 ${up(tall)})` },
    s("ellipse", { cx: 0, cy: head / 2, rx: head * 0.36, ry: head / 2 }),
    s("path", { d: body.join("") }),
  );
}

function sight(plan, up, width) {
  const low = plan.viewers?.sight_low ?? defaults().viewers.sight_low;
  const high = plan.viewers?.sight_high ?? defaults().viewers.sight_high;
  const line = (y) =>
    s("path", { d: `M${-MARGIN.left + 4} ${up(y)}H${width}`, stroke: "#fff", "stroke-width": 1.6, opacity: 0.75 });
  const dash = (y) =>
    s("path", { d: `M${-MARGIN.left + 4} ${up(y)}H${width}`, stroke: "#000", "stroke-width": 0.7, "stroke-dasharray": "4 3" });
  return s(
    "g",
    { "pointer-events": "none" },
    [low, high].flatMap((y) => [line(y), dash(y)]),
  );
}

function furniture(plan, up, floor, look) {
  const wood = { fill: `url(#wood-${look.id})`, stroke: "#3d2a17", "stroke-width": 0.5 };
  return [
    ...(plan.rods ?? []).map((rod) =>
      box(rod.x ?? 0, up((rod.y ?? plan.stand.wall_height) + 1.25), rod.length ?? plan.stand.width, 2.5, wood),
    ),
    ...surfaces(plan)
      .filter((one) => one.kind === "shelf")
      .map((one) => box(one.left, up(one.y), one.wide, 2.5, wood)),
    ...surfaces(plan)
      .filter((one) => one.kind === "table")
      .flatMap((one) => {
        const [x, y] = [one.left, up(one.y)];
        const leg = (at) => box(at, y + 4, 4, floor - y - 4, wood);
        return [leg(x + 4), leg(x + one.wide - 8), box(x, y, one.wide, 4, wood)];
      }),
  ];
}

// A name inside a box without a photo: in as many lines as make it largest; its number where no name can be read.
function caption(words, number, w, h, look) {
  const wrap = (count) => {
    const least = Math.ceil(words.length / count);
    return words
      .split(" ")
      .reduce(
        (lines, word) => (
          (lines.at(-1) + word).length <= least + 3 && lines.at(-1) ? (lines[lines.length - 1] += ` ${word}`) : lines.push(word),
          lines
        ),
        [""],
      )
      .filter(Boolean);
  };
  const ways = [1, 2, 3].map((count) => {
    const lines = wrap(count);
    return {
      lines,
      size: Math.min((0.92 * w) / (0.62 * Math.max(...lines.map((one) => one.length))), (0.9 * h) / (1.2 * lines.length)),
    };
  });
  let best = ways.reduce((a, b) => (b.size > a.size ? b : a));
  if (best.size < 9 * look.cmPerPx) best = { lines: [String(number)], size: Math.min(0.8 * h, 12 * look.cmPerPx) };
  const size = Math.min(best.size, 13 * look.cmPerPx);
  return s(
    "g",
    { "font-size": size, "text-anchor": "middle", "dominant-baseline": "central", fill: "#000" },
    best.lines.map((line, i) => s("text", { y: (i - (best.lines.length - 1) / 2) * 1.2 * size }, line)),
  );
}

const describe = (one, number) =>
  _(
    "%1$s, number %2$s. Middle %3$s from the left, %4$s above the floor.",
    one.title ?? one.id,
    number,
    length(one.at[0]),
    length(one.at[1]),
  ) + (isMeasured(one) ? "" : ` ${_("Its size is missing. Measure it.")}`);

// As in the library's drawings: a photo of other proportions keeps a standing piece's foot, a hanging one's top.
function pictured(photo, one, w, h) {
  const place = { width: w, height: h, preserveAspectRatio: stands(one) ? "xMidYMax meet" : "xMidYMin meet" };
  const shadow = s("image", { x: -w / 2 + 1.4, y: -h / 2 + 1.8, ...place, opacity: 0.42, class: "shade" });
  if (!stands(one)) shadowOf(photo).then((href) => shadow.setAttribute("href", href));
  return [
    stands(one)
      ? s("ellipse", { cx: w * 0.04, cy: h / 2, rx: w * 0.46, ry: Math.min(3, w * 0.08), fill: "#000", opacity: 0.28 })
      : shadow,
    s("image", { href: address(photo.urls.cutout), x: -w / 2, y: -h / 2, ...place }),
  ];
}
function body(maker, one, number, look) {
  const [w, h] = extentOf(one, look.cmPerPx);
  const photo = photoOf(maker, one);
  if (!isMeasured(one))
    return [
      box(-w / 2, -h / 2, w, h, {
        fill: "#f6f6f6",
        stroke: "#000",
        "stroke-width": 1.5 * look.cmPerPx,
        "stroke-dasharray": `${4 * look.cmPerPx} ${3 * look.cmPerPx}`,
      }),
      caption("?", number, w, h, look),
    ];
  if (photo) return pictured(photo, one, w, h);
  return [
    box(-w / 2, -h / 2, w, h, { fill: "#f6f6f6", stroke: "#000", "stroke-width": 0.6 }),
    caption(one.title ?? one.id, number, w, h, look),
  ];
}
function piece(maker, one, number, look) {
  const [w, h] = extentOf(one, look.cmPerPx);
  const reach = Math.max(0, (24 * look.cmPerPx - Math.min(w, h)) / 2); // small pieces still fit a finger
  const ring = () => box(-w / 2 - 1.5, -h / 2 - 1.5, w + 3, h + 3, { class: "ring" });
  const live = look.live ? { role: "button", tabindex: 0, "aria-label": describe(one, number) } : {};
  return s(
    "g",
    { class: "piece", "data-id": one.id, ...live },
    body(maker, one, number, look),
    box(-w / 2 - reach, -h / 2 - reach, w + 2 * reach, h + 2 * reach, { fill: "transparent" }),
    ring(),
    ring(),
  );
}

/** The drawing's own width in cm, margins included. */
export const widthDrawn = (plan, live = true) => plan.stand.width + (live ? MARGIN.left + MARGIN.right : 8);

let drawings = 0; // ids of textures must differ between drawings of one page

/** `look`: {colour, href} of the cloth; `live` makes the pieces buttons; `cmPerPx` keeps words readable at any size. */
export function drawWall(maker, plan, look = {}) {
  const { width, wall_height: high } = plan.stand;
  const up = (y) => high - y;
  look = { cmPerPx: 0.5, id: ++drawings, ...look };
  const spare = look.live || look.framed ? MARGIN : { left: 4, right: 4, top: 4, bottom: 4 };
  const view = [-spare.left, -spare.top, width + spare.left + spare.right, high + spare.top + spare.bottom];
  const svg = s(
    "svg",
    {
      viewBox: view.join(" "),
      direction: "ltr",
      role: look.live ? "group" : "img",
      "aria-label": look.words ?? _("The wall to scale"),
    },
    textures(look.id),
    box(0, 0, width, high, { fill: plan.stand.wall_colour ?? defaults().stand.wall_colour, stroke: "#000", "stroke-width": 0.6 }),
    cloth(maker, plan, up, look),
    look.live ? figure(plan, up) : null,
    look.live ? sight(plan, up, width) : null,
    furniture(plan, up, high, look),
    s("path", { d: `M${-spare.left + 2} ${high}H${width + spare.right - 2}`, stroke: "#000", "stroke-width": 1.2 }),
  );
  const places = new Map();
  for (const one of plan.pieces ?? []) {
    if (!one.at) continue;
    const group = piece(maker, one, numberOf(plan, one), look);
    group.setAttribute("transform", `translate(${one.at[0]} ${up(one.at[1])})`);
    places.set(one.id, group);
    svg.append(group);
  }
  if (look.live) svg.append(scale(high, look), s("g", { class: "guides", "pointer-events": "none" }));
  return { svg, places, up, cmPerPx: look.cmPerPx, view };
}

function scale(high, look) {
  const y = high + 8;
  return s(
    "g",
    { "font-size": Math.min(14, 13 * look.cmPerPx), "dominant-baseline": "central" },
    [0, 1, 2, 3].map((i) => box(25 * i, y, 25, 3, { fill: i % 2 ? "#fff" : "#000", stroke: "#000", "stroke-width": 0.4 })),
    s(
      "text",
      { x: 104, y: y + 1.5, fill: "#000", ...(runsRightToLeft() ? { direction: "rtl", "text-anchor": "end" } : {}) },
      length(100),
    ),
  );
}
