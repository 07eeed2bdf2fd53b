// SPDX-License-Identifier: MIT
// How large the stand is: asked once, at the start, with ordinary sizes to tap.
import { _ } from "./words.js";
import { length, lengths } from "./measures.js";
import { defaults } from "./defaults.js";
import { button, field, h, measureOf, s, say } from "./dom.js";

const UNTOLD = "Stand"; // the title of a plan that nobody has said anything about: src/web/calls/newest_plan.c, web_first_plan
/** Width, depth and wall height, cm: our own choice of what markets usually let; the last is 10 ft by 10 ft. */
const ORDINARY = [
  [200, 200, 240],
  [300, 200, 240],
  [300, 300, 240],
  [400, 300, 240],
  [305, 305, 244],
];

export const isStandTold = (maker) => maker.plan?.title !== UNTOLD;

export function tellStand(maker, [width, depth, high]) {
  maker.edit((plan) => {
    const old = plan.stand;
    plan.title = maker.name;
    plan.stand = { ...old, width, depth, wall_height: high };
    // The table of the first plan stays in the middle of a wall of any width.
    for (const table of plan.tables ?? []) {
      table.width = Math.min(table.width ?? defaults().table.width, width);
      table.x = (width - table.width) / 2;
    }
  });
  say(_("Saved."));
}

// The wall with a person before it, all at one scale.
const drawn = ([width, , high]) =>
  s(
    "svg",
    { viewBox: "0 0 420 260", "aria-hidden": "true", class: "size" },
    s("rect", { x: 10, y: 250 - high, width, height: high, class: "wood" }),
    s(
      "g",
      { class: "ink", transform: `translate(${width - 20} 85)` },
      s("circle", { cx: 0, cy: 11, r: 11 }),
      s("path", { d: "M-17 30q17-10 34 0l5 55-6 2-4-30-1 108h-9l-2-66-2 66h-9l-1-108-4 30-6-2z" }),
    ),
  );

/** Width by depth in the reader's units, in the other ones below it, and how high the wall is. */
function sizeButton(maker, size) {
  const [wide, deep] = size.map(lengths);
  return h(
    "button",
    { type: "button", class: "tag-button", onclick: () => tellStand(maker, size) },
    drawn(size),
    h("strong", null, _("%1$s × %2$s", wide[0], deep[0])),
    h("span", { class: "small" }, _("%1$s × %2$s", wide[1], deep[1])),
    h("span", { class: "small" }, _("wall %s high", length(size[2]))),
  );
}

function ownSize(maker) {
  const gifts = { type: "number", inputmode: "decimal", min: 50, max: 2000, step: "any", required: true };
  const [wide, deep, high] = [300, 300, 240].map((value) => h("input", { ...gifts, value }));
  const own = (event) => (event.preventDefault(), tellStand(maker, [wide, deep, high].map(measureOf)));
  const fields = [field(_("Wall width, cm"), wide), field(_("Depth, cm"), deep), field(_("Wall height, cm"), high)];
  const form = h("form", { class: "fields", onsubmit: own }, fields, h("button", { class: "button" }, _("Save")));
  return h("details", null, h("summary", null, _("Another size")), form);
}

export function standAsker(maker) {
  if (isStandTold(maker)) return null;
  return h(
    "section",
    { class: "sheet stack" },
    h("h2", { tabindex: -1 }, _("How large is your stand?")),
    h("p", { class: "small" }, _("Width by depth. The back wall is as wide as the stand.")),
    h(
      "ul",
      { class: "sizes-row" },
      ORDINARY.map((size) => h("li", null, sizeButton(maker, size))),
    ),
    ownSize(maker),
  );
}
