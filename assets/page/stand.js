// SPDX-License-Identifier: MIT
// The stand and what stands in it: wall, cloth, tables, rods and shelves, by measure.
import { _ } from "./words.js";
import { button, field, h, measureOf } from "./dom.js";
import { defaults } from "./defaults.js";
import { wallFields } from "./fixings.js";

export function standForm(maker) {
  const plan = maker.plan;
  const usual = defaults();
  const figure = (words, value, set, fallback) => field(words, h("input", { type: "number", inputmode: "decimal", step: "any", value: value ?? fallback ?? "", onchange: (event) => event.target.value !== "" && maker.edit((next) => void set(next, measureOf(event.target))) }));
  const keyed = (list, i, key, words, fallback) => figure(words, plan[list][i][key], (next, v) => (next[list][i][key] = v), fallback);
  const group = (list, title, keys, made) => h("div", { class: "stack" }, h("h3", null, title),
    (plan[list] ?? []).map((one, i) => h("fieldset", { class: "part stack" }, h("legend", { class: "unseen" }, one.id ?? title), h("div", { class: "fields" }, keys.map(([key, words, fallback]) => keyed(list, i, key, words, fallback))),
      button(_("Take it away"), () => maker.edit((next) => void next[list].splice(i, 1)), { class: "button quiet", "aria-label": _("Take away %s", one.id ?? title) }))),
    h("div", null, button(made.words, () => maker.edit((next) => void (next[list] ??= []).push({ id: free(next, made.id), ...made.values(next) })))));
  const free = (next, word) => {
    const taken = new Set(["rods", "shelves", "tables"].flatMap((list) => (next[list] ?? []).map((one) => one.id)));
    let i = 1;
    while (taken.has(`${word}-${i}`)) i++;
    return `${word}-${i}`;
  };
  const cloth = (key, words, fallback) => figure(words, plan.cloth?.[key], (next, v) => ((next.cloth ??= {})[key] = v), fallback);
  return h("details", { class: "sheet" }, h("summary", null, _("Stand, cloth, table, rods and shelves")), h("div", { class: "stack" },
    h("div", { class: "fields" }, figure(_("Wall width, cm"), plan.stand.width, (next, v) => (next.stand.width = v)), figure(_("Wall height, cm"), plan.stand.wall_height, (next, v) => (next.stand.wall_height = v)), figure(_("Least gap between pieces, cm"), plan.gap, (next, v) => (next.gap = v), usual.gap)),
    h("div", { class: "fields" }, wallFields(maker)),
    h("h3", null, _("The cloth as it hangs")),
    h("div", { class: "fields" }, cloth("width", _("Width, cm"), plan.stand.width), cloth("height", _("Height, cm"), plan.stand.wall_height), cloth("top", _("Top edge above the floor, cm"), plan.stand.wall_height), cloth("grams_per_m2", _("Weight of the cloth, g per m²"))),
    group("tables", _("Tables"), [["x", _("Left edge, cm")], ["width", _("Width, cm"), usual.table.width], ["depth", _("Depth, cm"), usual.table.depth], ["height", _("Height, cm"), usual.table.height]], { words: _("Add a table"), id: "table", values: (next) => ({ x: Math.max(0, (next.stand.width - usual.table.width) / 2), ...usual.table }) }),
    group("rods", _("Rods"), [["x", _("Left end, cm")], ["y", _("Above the floor, cm")], ["length", _("Length, cm")], ["outer_mm", _("Thickness, mm")], ["rated_kg", _("Each bracket rated, kg")]], { words: _("Add a rod"), id: "rod", values: (next) => ({ x: 4, y: next.stand.wall_height - 18, length: next.stand.width - 8 }) }),
    group("shelves", _("Shelves"), [["x", _("Left edge, cm")], ["y", _("Top above the floor, cm"), usual.shelf.y], ["width", _("Width, cm"), usual.shelf.width], ["depth", _("Depth, cm"), usual.shelf.depth], ["rated_kg", _("Rated, kg")]], { words: _("Add a shelf"), id: "shelf", values: () => ({ x: 10, ...usual.shelf }) })));
}
