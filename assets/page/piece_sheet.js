// SPDX-License-Identifier: MIT
// The chosen piece: where it is, in centimetres that follow the finger and the keys; how it is held; what is wrong with
// it; and every move that dragging does, by button.
import { defaults } from "./defaults.js";
import { _, unitsInUse } from "./words.js";
import { length, mass } from "./measures.js";
import { button, choice, empty, field, h, measureOf, tell } from "./dom.js";
import { isMeasured, numberOf } from "./drawing.js";
import { isHeldSomehow } from "./held.js";
import { holding } from "./holding.js";
import { measure } from "./sizes.js";

const roles = () => [
  ["statement", _("statement piece")],
  ["support", _("beside it")],
  ["small", _("small piece")],
  ["sign", _("sign")],
  ["mirror", _("mirror")],
];
const inUnits = (cm) => (unitsInUse() === "imperial" ? Math.round((cm / 2.54) * 100) / 100 : cm);

/** Two fields that say where the middle is, and change when the piece moves. */
function whereabouts(piece, change) {
  const input = (i) =>
    h("input", {
      type: "number",
      inputmode: "decimal",
      step: "any",
      value: piece.at?.[i] ?? "",
      onchange: (event) =>
        change((one) => void (one.at = [0, 1].map((k) => (k === i ? measureOf(event.target) : (one.at?.[k] ?? 0))))),
    });
  const inputs = [input(0), input(1)];
  const box = h(
    "div",
    { class: "fields" },
    field(_("Middle from the left, cm"), inputs[0]),
    field(_("Middle above the floor, cm"), inputs[1]),
  );
  const put = (at) =>
    inputs.forEach(
      (one, i) => (one !== document.activeElement || !document.hasFocus()) && (one.value = at ? inUnits(at[i]) : ""),
    );
  return { box, put };
}

function pad(nudge) {
  const move = (words, sign, dx, dy) => button(sign, () => nudge(dx, dy), { "aria-label": words });
  return h(
    "div",
    { class: "pad", role: "group", "aria-label": _("Move by 1 cm"), dir: "ltr" },
    h("span"),
    move(_("Up 1 cm"), "↑", 0, 1),
    h("span"),
    move(_("Left 1 cm"), "←", -1, 0),
    h("span"),
    move(_("Right 1 cm"), "→", 1, 0),
    h("span"),
    move(_("Down 1 cm"), "↓", 0, -1),
    h("span"),
  );
}

function more(maker, piece, change) {
  const figure = (key, gifts = {}) =>
    h("input", {
      type: "number",
      inputmode: "decimal",
      step: "any",
      value: piece[key] ?? "",
      onchange: (event) =>
        change((one) => (event.target.value === "" ? delete one[key] : (one[key] = measureOf(event.target)), undefined)),
      ...gifts,
    });
  const size = (key, least) =>
    figure(key, {
      min: least,
      onchange: (event) =>
        Number(event.target.value) > 0 &&
        measure(maker, piece, { [key]: measureOf(event.target) }).catch((error) => tell(error.message)),
    });
  return h(
    "details",
    null,
    h("summary", null, _("Size, weight, role on the wall")),
    h(
      "div",
      { class: "stack" },
      h(
        "div",
        { class: "fields" },
        field(_("Width, cm"), size("width", 0.1)),
        field(_("Height, cm"), size("height", 0.1)),
        field(_("Depth, cm"), figure("depth", { min: 0.1 })),
        field(_("Weight, g"), size("weight_g", 1)),
        field(_("How many you bring"), figure("count", { min: 1, step: 1 })),
      ),
      field(
        _("Role on the wall"),
        choice(roles(), piece.role ?? defaults().piece.role, (value) => change((one) => void (one.role = value))),
      ),
      h(
        "label",
        { class: "row" },
        h("input", {
          type: "checkbox",
          checked: Boolean(piece.pinned),
          onchange: (event) => change((one) => void (one.pinned = event.target.checked)),
        }),
        _("Stays here when the wall is arranged"),
      ),
    ),
  );
}

const MIDDLE = 137; // cm; about eye height

/** Where it is and what can be done with it; a piece beside the wall is only held and put up. */
function bodyOf(maker, one, { held, where, change, nudge, putUp, remark }) {
  if (!one.at) return [held, isHeldSomehow(one) ? button(_("Put it on the wall"), putUp, { class: "button main" }) : null];
  const toMiddle = () => change((it, plan) => void (it.at = [plan.stand.width / 2, it.at?.[1] ?? MIDDLE]));
  const away = button(_("Take off the wall"), () => change((it) => void delete it.at), { class: "button quiet" });
  const moves = h("div", { class: "row" }, button(_("To the middle"), toMiddle), away);
  return [
    h("div", { class: "row" }, pad(nudge), h("div", { class: "stack tight" }, where.box, moves)),
    held,
    more(maker, one, change),
    button(_("Pin a remark to this place"), remark, { class: "button quiet" }),
  ];
}

const findingLine = (found) =>
  h(
    "li",
    { class: found.serious ? "finding serious" : "finding" },
    h("b", { "aria-hidden": "true" }, found.serious ? "▲" : "·"),
    h("span", null, found.text),
  );

function factsOf(one) {
  const size = isMeasured(one)
    ? _("%1$s wide, %2$s high.", length(one.width), length(one.height))
    : _("Its size is missing. Measure it.");
  return `${size} ${one.weight_g ? mass(one.weight_g) : _("Its weight is not known.")}`;
}

/** What decides which fields there are: only when it changes are they built anew. */
const shapeOf = (one, { tables, shelves, rods }) =>
  JSON.stringify([one.mount, Boolean(one.at), one.role, one.pinned, tables?.length, shelves?.length, rods?.length]);

/** The sheet for one piece: {box, update(piece, findings), live(at)}. */
export function pieceSheet(maker, piece, { mayEdit, close, ...does }) {
  const title = h("h2", { tabindex: -1 });
  const facts = h("p", { class: "small" });
  const wrong = h("ul", { class: "wrong", "aria-live": "polite" });
  const where = whereabouts(piece, does.change);
  const held = h("div");
  const body = h("div", { class: "stack" });
  let drawnFor = null;
  const build = (one) => {
    const chosen = held.querySelector("input:focus")?.value;
    const typing = body.contains(document.activeElement) && document.activeElement.matches("input[type=number]");
    if (mayEdit) empty(held, holding(maker, one, does.change));
    if (!typing) empty(body, mayEdit && bodyOf(maker, one, { held, where, ...does }));
    if (chosen) held.querySelector(`input[value="${chosen}"]`)?.focus();
  };
  const update = (one, findings) => {
    title.textContent = `${numberOf(maker.plan, one)}  ${one.title ?? one.id}`;
    facts.textContent = factsOf(one);
    empty(wrong, findings.filter((found) => found.piece === one.id).map(findingLine));
    where.put(one.at);
    const shape = shapeOf(one, maker.plan);
    if (shape === drawnFor) return;
    drawnFor = shape;
    build(one);
  };
  const head = h("div", { class: "row apart" }, title, button("×", close, { class: "button quiet", "aria-label": _("Close") }));
  const box = h("section", { class: "piece-sheet stack" }, head, wrong, facts, body);
  return { box, update, live: where.put, focus: () => title.focus() };
}
