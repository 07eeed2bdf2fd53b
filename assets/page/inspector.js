// SPDX-License-Identifier: MIT
// What the chosen piece on the wall is, where, and how it is held; every move that dragging does, by button.
import { _, length, mass } from "./words.js";
import { button, field, h, measureOf, tell } from "./dom.js";
import { isMeasured } from "./drawing.js";
import { measure } from "./sizes.js";

const mounts = () => [["nail", _("on a nail")], ["pin", _("on a pin")], ["hook", _("on a hook")], ["cord", _("on a cord")], ["clip", _("by clips")], ["shelf", _("stands on a shelf")], ["table", _("stands on the table")], ["floor", _("stands on the floor")]];
const roles = () => [["statement", _("statement piece")], ["support", _("beside it")], ["small", _("small piece")], ["sign", _("sign")], ["mirror", _("mirror")]];

const choice = (options, value, onchange) => h("select", { onchange: (event) => onchange(event.target.value) }, options.map(([key, words]) => h("option", { value: key, selected: key === value }, words)));

export function inspector(maker, piece, { mayEdit, nudge, change, number }) {
  const title = h("h2", { tabindex: -1 }, `${number}  ${piece.title ?? piece.id}`);
  const facts = h("p", { class: "small" }, isMeasured(piece) ? _("%1$s wide, %2$s high.", length(piece.width), length(piece.height)) : _("Its size is missing. Measure it."), " ", piece.weight_g ? mass(piece.weight_g) : _("Its weight is not known."));
  if (!mayEdit) return [title, facts];
  const figure = (key, gifts = {}) => h("input", { type: "number", inputmode: "decimal", step: "any", value: piece[key] ?? "", onchange: (event) => change((one) => (event.target.value === "" ? delete one[key] : (one[key] = measureOf(event.target)), undefined)), ...gifts });
  const size = (key, least) => figure(key, { min: least, onchange: (event) => Number(event.target.value) > 0 && measure(maker, piece, { [key]: measureOf(event.target) }).catch((error) => tell(error.message)) });
  const place = (i) => h("input", { type: "number", inputmode: "decimal", step: "any", value: piece.at?.[i] ?? "", onchange: (event) => change((one) => void (one.at = [0, 1].map((k) => (k === i ? measureOf(event.target) : (one.at?.[k] ?? 0))))) });
  const mount = (work) => change((one) => void work((one.mount ??= {})));
  const hold = piece.mount ?? {};
  const carriers = [...(maker.plan.rods ?? []), ...(maker.plan.shelves ?? []), ...(maker.plan.tables ?? [])].map((one) => one.id).filter(Boolean);
  const move = (words, sign, dx, dy) => button(sign, () => nudge(dx, dy), { "aria-label": words });
  return [title, facts,
    h("div", { class: "row" }, h("div", { class: "pad", role: "group", "aria-label": _("Move by 1 cm"), dir: "ltr" },
      h("span"), move(_("Up 1 cm"), "↑", 0, 1), h("span"), move(_("Left 1 cm"), "←", -1, 0), h("span"), move(_("Right 1 cm"), "→", 1, 0), h("span"), move(_("Down 1 cm"), "↓", 0, -1), h("span")),
      h("div", { class: "stack" }, button(_("To the middle"), () => change((one, plan) => void (one.at = [plan.stand.width / 2, one.at?.[1] ?? 137]))), button(_("Take off the wall"), () => change((one) => void delete one.at), { class: "button quiet" }))),
    h("div", { class: "fields" }, field(_("Middle from the left, cm"), place(0)), field(_("Middle above the floor, cm"), place(1))),
    h("div", { class: "fields" }, field(_("Held"), choice(mounts(), hold.kind ?? "nail", (value) => mount((m) => (m.kind = value)))),
      carriers.length ? field(_("Carried by"), choice([["", _("the wall")], ...carriers.map((id) => [id, id])], hold.on ?? "", (value) => mount((m) => (value ? (m.on = value) : delete m.on)))) : null,
      field(_("Hanging points"), h("input", { type: "number", min: 1, max: 64, value: hold.points ?? 1, onchange: (event) => mount((m) => (m.points = Math.max(1, Math.round(Number(event.target.value))))) })),
      field(_("Each point rated, kg"), h("input", { type: "number", step: "any", min: 0, value: hold.rated_kg ?? "", onchange: (event) => mount((m) => (Number(event.target.value) > 0 ? (m.rated_kg = measureOf(event.target)) : delete m.rated_kg)) }))),
    h("p", { class: "hint" }, _("Read the rating on the packaging; leave it empty if you do not know it.")),
    h("details", null, h("summary", null, _("Size, weight, part in the whole")), h("div", { class: "stack" }, h("div", { class: "fields" }, field(_("Width, cm"), size("width", 0.1)), field(_("Height, cm"), size("height", 0.1)), field(_("Depth, cm"), figure("depth", { min: 0.1 })), field(_("Weight, g"), size("weight_g", 1)), field(_("How many you bring"), figure("count", { min: 1, step: 1 }))),
      field(_("Part in the whole"), choice(roles(), piece.role ?? "support", (value) => change((one) => void (one.role = value)))),
      h("label", { class: "row" }, h("input", { type: "checkbox", checked: Boolean(piece.pinned), onchange: (event) => change((one) => void (one.pinned = event.target.checked)) }), _("Stays here when the wall is arranged")))),
  ];
}
