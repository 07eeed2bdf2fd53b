// SPDX-License-Identifier: MIT
// What lies over the drawn wall: guide lines while a piece is held, pins of remarks, flags of what is wrong.
import { s } from "./dom.js";
import { extentOf } from "./drawing.js";

export function guideLines(drawn, plan, result) {
  const lines = [];
  if (result?.lineX != null) lines.push(`M${result.lineX} 0V${plan.stand.wall_height}`);
  if (result?.lineY != null) lines.push(`M0 ${drawn.up(result.lineY)}H${plan.stand.width}`);
  const guides = drawn.svg.querySelector(".guides");
  if (!guides || guides.dataset.lines === lines.join()) return; // most moves change no line
  guides.dataset.lines = lines.join();
  const twice = (d) => [
    s("path", { d, stroke: "#fff", "stroke-width": 1.6 }),
    s("path", { d, stroke: "#000", "stroke-width": 0.6 }),
  ];
  guides.replaceChildren(...lines.flatMap(twice));
}

// A pin's head stands beside its place, as large on a phone as on a desk: the place itself stays in sight.
export const pins = (maker, drawn) =>
  s(
    "g",
    { class: "pins", "pointer-events": "none" },
    maker.comments
      .filter((remark) => remark.on?.wall && !remark.done)
      .map((remark, i) =>
        s(
          "g",
          { transform: `translate(${remark.on.wall[0]} ${drawn.up(remark.on.wall[1])}) scale(${drawn.cmPerPx})` },
          s("path", { d: "M0 0 9 -15", stroke: "#fff", "stroke-width": 3.5 }),
          s("path", { d: "M0 0 9 -15", stroke: "#000", "stroke-width": 1.5 }),
          s("circle", { cx: 12, cy: -20, r: 9, fill: "#fff", stroke: "#000", "stroke-width": 1.5 }),
          s(
            "text",
            {
              x: 12,
              y: -20,
              "font-size": 12,
              "font-weight": 700,
              "text-anchor": "middle",
              "dominant-baseline": "central",
              fill: "#000",
            },
            String(i + 1),
          ),
        ),
      ),
  );

/** A flag at the upper right corner of each piece that something is wrong with. */
export function flags(plan, drawn, findings) {
  const wrong = new Map();
  for (const one of findings) if (one.piece && !wrong.get(one.piece)?.serious) wrong.set(one.piece, one);
  return s(
    "g",
    { class: "flags", "pointer-events": "none" },
    plan.pieces
      .filter((one) => drawn.places.has(one.id) && wrong.has(one.id))
      .map((one) => {
        const [w, t] = extentOf(one, drawn.cmPerPx);
        return s(
          "g",
          { transform: `translate(${one.at[0] + w / 2} ${drawn.up(one.at[1]) - t / 2}) scale(${drawn.cmPerPx})` },
          s("path", {
            d: "M0-10 9 7H-9z",
            fill: wrong.get(one.id).serious ? "#000" : "#fff",
            stroke: wrong.get(one.id).serious ? "#fff" : "#000",
            "stroke-width": 1.5,
          }),
          s("path", { d: "M0-5v6M0 3.4v1.6", stroke: wrong.get(one.id).serious ? "#fff" : "#000", "stroke-width": 2 }),
        );
      }),
  );
}
