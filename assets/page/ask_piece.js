// SPDX-License-Identifier: MIT
// What has to be told of a piece, on one card: name, width, weight, whether it hangs or stands, whether it speaks for
// the maker. Each answer is kept as soon as it is given.
import { _ } from "./words.js";
import { length, mass } from "./measures.js";
import { attempt, empty, field, h, measureOf, say } from "./dom.js";
import { hold, proposal, stands, isHeldSomehow } from "./held.js";
import { pieceOf } from "./todo.js";

const hangings = () => [
  ["hook", _("on a hook")],
  ["nail", _("on a nail")],
  ["pin", _("on a pin")],
  ["cord", _("on a cord")],
  ["clip", _("by clips")],
];
const standings = () => [
  ["table", _("stands on the table")],
  ["shelf", _("stands on a shelf")],
  ["floor", _("stands on the floor")],
];

let groups = 0;
function tag(group, value, words, chosen, onchange) {
  const input = h("input", { type: "radio", name: group, value, checked: chosen, onchange: () => onchange(value) });
  return h("label", { class: "choice" }, input, h("span", null, words));
}

/** Hangs or stands, and then on what; `change(work)` changes the piece in the plan. */
export function heldAsker(piece, change, { plain = false } = {}) {
  const group = `held-${++groups}`;
  const answered = isHeldSomehow(piece);
  const proposed = answered ? null : proposal(piece);
  const way = !answered ? null : stands(piece) ? "stands" : "hangs";
  const take = (kind) => change((one, plan) => hold(plan, one, kind));
  const ways = [
    ["hangs", _("It hangs"), "hook"],
    ["stands", _("It stands"), "table"],
  ];
  const exact = way && (way === "stands" ? standings() : hangings());
  const known = way && exact.some(([kind]) => kind === piece.mount.kind);
  return h(
    "fieldset",
    { class: "asked" },
    h("legend", null, _("Does it hang or stand?")),
    h(
      "div",
      { class: "choices" },
      ways.map(([value, words, kind]) => tag(group, value, words, way === value, () => take(kind))),
    ),
    proposed &&
      h(
        "p",
        { class: "hint" },
        proposed.way === "stands" ? _("We would let it stand. %s", proposed.why) : _("We would hang it. %s", proposed.why),
      ),
    way &&
      field(
        plain ? _("How") : _("Held"),
        h(
          "select",
          { onchange: (event) => take(event.target.value) },
          known ? null : h("option", { value: piece.mount.kind }, piece.mount.kind),
          exact.map(([kind, words]) => h("option", { value: kind, selected: kind === piece.mount.kind }, words)),
        ),
      ),
  );
}

/** What is known, for whoever may only look: no field that would be refused. */
function told(maker, given) {
  const now = () => maker.photo(given.id) ?? given;
  const facts = h("ul", { class: "stack" });
  const line = (words, value) => h("li", null, _("%1$s: %2$s", words, value));
  const update = () => {
    const photo = now();
    const piece = pieceOf(maker, given);
    empty(
      facts,
      line(_("Width"), photo.width_cm > 0 ? length(photo.width_cm) : _("not measured")),
      line(_("Height"), photo.height_cm > 0 ? length(photo.height_cm) : _("follows from the photo")),
      line(_("Weight"), photo.weight_g > 0 ? mass(photo.weight_g) : _("not weighed")),
      piece && isHeldSomehow(piece) ? h("li", null, stands(piece) ? _("It stands") : _("It hangs")) : null,
    );
  };
  update();
  return { box: h("section", { class: "sheet stack" }, h("h2", null, _("About this piece")), facts), update };
}

/** A figure that is kept as soon as it is given. */
function figure(given, key, words, save, hint) {
  const onchange = () => save({ [key]: input.value === "" ? null : measureOf(input) });
  const input = h("input", { type: "number", inputmode: "decimal", min: 0, step: "any", value: given[key] ?? "", onchange });
  return field(words, input, hint);
}

/** Whether it hangs or stands, and whether it speaks for the maker: both are in the plan. */
function placeAsker(maker, given) {
  const change = (work) => maker.edit((plan) => void work(pieceOf({ plan }, given), plan));
  const held = h("div");
  const onchange = () => change((one) => (speaks.checked ? (one.role = "statement") : delete one.role));
  const speaks = h("input", { type: "checkbox", onchange });
  const speaking = h("label", { class: "row" }, speaks, _("This one speaks for me: it hangs where visitors look first."));
  const update = () => {
    const piece = pieceOf(maker, given);
    speaking.hidden = !piece;
    speaks.checked = piece?.role === "statement";
    const focused = held.contains(document.activeElement) ? document.activeElement : null;
    empty(held, piece && heldAsker(piece, change, { plain: true }));
    if (focused) held.querySelector(focused.type === "radio" ? `input[value="${focused.value}"]` : "select")?.focus();
  };
  update();
  return { parts: [held, speaking], update };
}

/** {box, update()}: the answers follow the plan; a field that somebody is writing in is left alone. */
export function pieceAsker(maker, given, mayEdit) {
  if (!mayEdit) return told(maker, given);
  const save = attempt(async (values) => {
    if (!maker.saved) await maker.send();
    await maker.change(maker.photo(given.id) ?? given, values);
    await maker.loadPlan();
    say(_("Saved."));
  });
  const title = h("input", { value: given.title ?? "", maxlength: 120, onchange: () => save({ title: title.value }) });
  const wide = figure(given, "width_cm", _("How wide, cm"), save);
  const heavy = figure(given, "weight_g", _("How heavy, g"), save);
  const high = figure(given, "height_cm", _("Height, cm"), save, _("Follows from the photo if left empty."));
  const place = placeAsker(maker, given);
  const advice = _("Measure it at its widest, and weigh it. Leave empty what you do not know: nothing is guessed.");
  const box = h(
    "section",
    { class: "sheet stack" },
    h("h2", null, _("About this piece")),
    h("div", { class: "fields" }, wide, heavy),
    h("p", { class: "hint" }, advice),
    place.parts,
    h("div", { class: "fields" }, high, field(_("Name"), title)),
  );
  return { box, update: place.update };
}
