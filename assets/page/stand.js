// SPDX-License-Identifier: MIT
// The stand and what stands in it: wall, cloth, tables, rods and shelves, by measure.
import { _ } from "./words.js";
import { button, field, h, measureOf } from "./dom.js";
import { defaults } from "./defaults.js";
import { wallFields } from "./fixings.js";

/** A field that writes into the plan; empty, it says what the program takes where the plan says nothing. */
function figure(maker, words, value, set) {
  const onchange = (event) => event.target.value !== "" && maker.edit((plan) => void set(plan, measureOf(event.target)));
  return field(words, h("input", { type: "number", inputmode: "decimal", step: "any", value: value ?? "", onchange }));
}

function freeId(plan, word) {
  const taken = new Set(["rods", "shelves", "tables"].flatMap((list) => (plan[list] ?? []).map((one) => one.id)));
  let i = 1;
  while (taken.has(`${word}-${i}`)) i++;
  return `${word}-${i}`;
}

/** All things of one kind, and a button for one more. `keys`: [[key, words, where the plan says nothing]]. */
function group(maker, list, { title, keys, add, id, values }) {
  const part = (one, i) => {
    const input = ([key, words, usual]) => figure(maker, words, one[key] ?? usual, (plan, v) => (plan[list][i][key] = v));
    const away = () => maker.edit((plan) => void plan[list].splice(i, 1));
    return h(
      "fieldset",
      { class: "part stack" },
      h("legend", { class: "unseen" }, one.id ?? title),
      h("div", { class: "fields" }, keys.map(input)),
      button(_("Take it away"), away, { class: "button quiet", "aria-label": _("Take away %s", one.id ?? title) }),
    );
  };
  const another = () => maker.edit((plan) => void (plan[list] ??= []).push({ id: freeId(plan, id), ...values(plan) }));
  return h(
    "div",
    { class: "stack" },
    h("h3", null, title),
    (maker.plan[list] ?? []).map(part),
    h("div", null, button(add, another)),
  );
}

const tables = (usual) => ({
  title: _("Tables"),
  keys: [
    ["x", _("Left edge, cm")],
    ["width", _("Width, cm"), usual.width],
    ["depth", _("Depth, cm"), usual.depth],
    ["height", _("Height, cm"), usual.height],
  ],
  add: _("Add a table"),
  id: "table",
  values: (plan) => ({ x: Math.max(0, (plan.stand.width - usual.width) / 2), ...usual }),
});
const rods = () => ({
  title: _("Rods"),
  keys: [
    ["x", _("Left end, cm")],
    ["y", _("Above the floor, cm")],
    ["length", _("Length, cm")],
    ["outer_mm", _("Thickness, mm")],
    ["rated_kg", _("Each bracket rated, kg")],
  ],
  add: _("Add a rod"),
  id: "rod",
  values: (plan) => ({ x: 4, y: plan.stand.wall_height - 18, length: plan.stand.width - 8 }),
});
const shelves = (usual) => ({
  title: _("Shelves"),
  keys: [
    ["x", _("Left edge, cm")],
    ["y", _("Top above the floor, cm"), usual.y],
    ["width", _("Width, cm"), usual.width],
    ["depth", _("Depth, cm"), usual.depth],
    ["rated_kg", _("Rated, kg")],
  ],
  add: _("Add a shelf"),
  id: "shelf",
  values: () => ({ x: 10, ...usual }),
});

function wallSizes(maker) {
  const { stand, gap } = maker.plan;
  return h(
    "div",
    { class: "fields" },
    figure(maker, _("Wall width, cm"), stand.width, (plan, v) => (plan.stand.width = v)),
    figure(maker, _("Wall height, cm"), stand.wall_height, (plan, v) => (plan.stand.wall_height = v)),
    figure(maker, _("Least gap between pieces, cm"), gap ?? defaults().gap, (plan, v) => (plan.gap = v)),
  );
}

function clothSizes(maker) {
  const { stand, cloth } = maker.plan;
  const one = (key, words, usual) => figure(maker, words, cloth?.[key] ?? usual, (plan, v) => ((plan.cloth ??= {})[key] = v));
  return h(
    "div",
    { class: "fields" },
    one("width", _("Width, cm"), stand.width),
    one("height", _("Height, cm"), stand.wall_height),
    one("top", _("Top edge above the floor, cm"), stand.wall_height),
    one("grams_per_m2", _("Weight of the cloth, g per m²")),
  );
}

export function standForm(maker) {
  const usual = defaults();
  const inside = [
    wallSizes(maker),
    h("div", { class: "fields" }, wallFields(maker)),
    h("h3", null, _("The cloth as it hangs")),
    clothSizes(maker),
    group(maker, "tables", tables(usual.table)),
    group(maker, "rods", rods()),
    group(maker, "shelves", shelves(usual.shelf)),
  ];
  const title = h("summary", null, _("Stand, cloth, table, rods and shelves"));
  return h("details", { class: "sheet" }, title, h("div", { class: "stack" }, inside));
}
