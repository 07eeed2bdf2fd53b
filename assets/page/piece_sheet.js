// SPDX-License-Identifier: MIT
// The chosen piece: where it is, in centimetres that follow the finger and the keys; how it is held; what is wrong with
// it; and every move that dragging does, by button.
import { _, length, mass, unitsInUse } from "./words.js";
import { button, empty, field, h, measureOf, tell } from "./dom.js";
import { isMeasured, numberOf } from "./drawing.js";
import { heldAsker } from "./ask_piece.js";
import { isHeldSomehow, stands, surfaces, standOn } from "./held.js";
import { measure } from "./sizes.js";

const roles = () => [["statement", _("statement piece")], ["support", _("beside it")], ["small", _("small piece")], ["sign", _("sign")], ["mirror", _("mirror")]];
const choice = (options, value, onchange) => h("select", { onchange: (event) => onchange(event.target.value) }, options.map(([key, words]) => h("option", { value: key, selected: key === value }, words)));
const inUnits = (cm) => (unitsInUse() === "imperial" ? Math.round((cm / 2.54) * 100) / 100 : cm);

/** Two fields that say where the middle is, and change when the piece moves. */
function whereabouts(piece, change) {
  const input = (i) => h("input", { type: "number", inputmode: "decimal", step: "any", value: piece.at?.[i] ?? "", onchange: (event) => change((one) => void (one.at = [0, 1].map((k) => (k === i ? measureOf(event.target) : (one.at?.[k] ?? 0))))) });
  const inputs = [input(0), input(1)];
  const box = h("div", { class: "fields" }, field(_("Middle from the left, cm"), inputs[0]), field(_("Middle above the floor, cm"), inputs[1]));
  const put = (at) => inputs.forEach((one, i) => (one !== document.activeElement || !document.hasFocus()) && (one.value = at ? inUnits(at[i]) : ""));
  return { box, put };
}

function pad(nudge) {
  const move = (words, sign, dx, dy) => button(sign, () => nudge(dx, dy), { "aria-label": words });
  return h("div", { class: "pad", role: "group", "aria-label": _("Move by 1 cm"), dir: "ltr" },
    h("span"), move(_("Up 1 cm"), "↑", 0, 1), h("span"), move(_("Left 1 cm"), "←", -1, 0), h("span"), move(_("Right 1 cm"), "→", 1, 0), h("span"), move(_("Down 1 cm"), "↓", 0, -1), h("span"));
}

/** What carries a hanging piece, by a name that a person would use. */
function carriersOf(plan) {
  const named = (list, words) => (list ?? []).filter((one) => one.id).map((one, i, all) => [one.id, all.length > 1 ? `${words} ${i + 1}` : words]);
  return [...named(plan.rods, _("the rod")), ...named(plan.grids, _("the grid")), ...named(plan.posts, _("the post"))];
}

function holding(maker, piece, change) {
  const hold = piece.mount ?? {};
  const mount = (work) => change((one) => void work((one.mount ??= {})));
  const on = stands(piece)
    ? surfaces(maker.plan).filter((one) => one.kind === hold.kind && one.id).map((one, i, all) => [one.id, all.length > 1 ? _("number %d from the left", i + 1) : _("the only one")])
    : carriersOf(maker.plan);
  const carried = stands(piece)
    ? on.length > 1 && field(_("Which one"), choice(on, hold.on ?? on[0][0], (id) => change((one, plan) => standOn(plan, one, surfaces(plan).find((surface) => surface.id === id)))))
    : on.length > 0 && field(_("Carried by"), choice([["", _("the wall")], ...on], hold.on ?? "", (value) => mount((m) => (value ? (m.on = value) : delete m.on))));
  const figures = !stands(piece) && isHeldSomehow(piece) && [
    field(_("Hanging points"), h("input", { type: "number", min: 1, max: 64, value: hold.points ?? 1, onchange: (event) => mount((m) => (m.points = Math.max(1, Math.round(Number(event.target.value))))) })),
    field(_("Each point rated, kg"), h("input", { type: "number", step: "any", min: 0, value: hold.rated_kg ?? "", onchange: (event) => mount((m) => (Number(event.target.value) > 0 ? (m.rated_kg = measureOf(event.target)) : delete m.rated_kg)) }), _("Read the rating on the packaging; leave it empty if you do not know it."))];
  const second = !stands(piece) && isHeldSomehow(piece) && h("label", { class: "row" }, h("input", { type: "checkbox", checked: Boolean(hold.second_fixing), onchange: (event) => mount((m) => (event.target.checked ? (m.second_fixing = true) : delete m.second_fixing)) }), _("A second, independent fixing catches it"));
  const away = second && h("label", { class: "row" }, h("input", { type: "checkbox", checked: Boolean(hold.out_of_reach), onchange: (event) => mount((m) => (event.target.checked ? (m.out_of_reach = true) : delete m.out_of_reach)) }), _("No child gets at it: something stands before it"));
  return h("div", { class: "stack" }, heldAsker(piece, change), h("div", { class: "fields" }, carried, figures), second, away);
}

function more(maker, piece, change) {
  const figure = (key, gifts = {}) => h("input", { type: "number", inputmode: "decimal", step: "any", value: piece[key] ?? "", onchange: (event) => change((one) => (event.target.value === "" ? delete one[key] : (one[key] = measureOf(event.target)), undefined)), ...gifts });
  const size = (key, least) => figure(key, { min: least, onchange: (event) => Number(event.target.value) > 0 && measure(maker, piece, { [key]: measureOf(event.target) }).catch((error) => tell(error.message)) });
  return h("details", null, h("summary", null, _("Size, weight, part in the whole")), h("div", { class: "stack" },
    h("div", { class: "fields" }, field(_("Width, cm"), size("width", 0.1)), field(_("Height, cm"), size("height", 0.1)), field(_("Depth, cm"), figure("depth", { min: 0.1 })), field(_("Weight, g"), size("weight_g", 1)), field(_("How many you bring"), figure("count", { min: 1, step: 1 }))),
    field(_("Part in the whole"), choice(roles(), piece.role ?? "support", (value) => change((one) => void (one.role = value)))),
    h("label", { class: "row" }, h("input", { type: "checkbox", checked: Boolean(piece.pinned), onchange: (event) => change((one) => void (one.pinned = event.target.checked)) }), _("Stays here when the wall is arranged"))));
}

/** The sheet for one piece: {box, update(piece, findings), live(at)}. */
export function pieceSheet(maker, piece, { mayEdit, nudge, change, putUp, remark, close }) {
  const title = h("h2", { tabindex: -1 });
  const facts = h("p", { class: "small" });
  const wrong = h("ul", { class: "wrong", "aria-live": "polite" });
  const where = whereabouts(piece, change);
  const held = h("div");
  const body = h("div", { class: "stack" });
  let drawnFor = null;
  const buildBody = (one) => empty(body, !mayEdit ? null : one.at
    ? [h("div", { class: "row" }, pad(nudge), h("div", { class: "stack tight" }, where.box, h("div", { class: "row" }, button(_("To the middle"), () => change((it, plan) => void (it.at = [plan.stand.width / 2, it.at?.[1] ?? 137]))), button(_("Take off the wall"), () => change((it) => void delete it.at), { class: "button quiet" })))),
      held, more(maker, one, change), button(_("Pin a remark to this place"), remark, { class: "button quiet" })]
    : [held, isHeldSomehow(one) ? button(_("Put it on the wall"), putUp, { class: "button main" }) : null]);
  const update = (one, findings) => {
    title.textContent = `${numberOf(maker.plan, one)}  ${one.title ?? one.id}`;
    facts.textContent = `${isMeasured(one) ? _("%1$s wide, %2$s high.", length(one.width), length(one.height)) : _("Its size is missing. Measure it.")} ${one.weight_g ? mass(one.weight_g) : _("Its weight is not known.")}`;
    empty(wrong, findings.filter((found) => found.piece === one.id).map((found) => h("li", { class: found.serious ? "finding serious" : "finding" }, h("b", { "aria-hidden": "true" }, found.serious ? "▲" : "·"), h("span", null, found.text))));
    const shape = JSON.stringify([one.mount, Boolean(one.at), one.role, one.pinned, maker.plan.tables?.length, maker.plan.shelves?.length, maker.plan.rods?.length]);
    where.put(one.at);
    if (shape === drawnFor) return;
    drawnFor = shape;
    const chosen = held.querySelector("input:focus")?.value;
    const typing = body.contains(document.activeElement) && document.activeElement.matches("input[type=number]");
    if (mayEdit) empty(held, holding(maker, one, change));
    if (!typing) buildBody(one);
    if (chosen) held.querySelector(`input[value="${chosen}"]`)?.focus();
  };
  const box = h("section", { class: "piece-sheet stack" }, h("div", { class: "row apart" }, title, button("×", close, { class: "button quiet", "aria-label": _("Close") })), wrong, facts, body);
  return { box, update, live: where.put, focus: () => title.focus() };
}
