// SPDX-License-Identifier: MIT
// What has to be told of a piece, on one card: name, width, weight, whether it hangs or stands, whether it speaks for
// the maker. Each answer is kept as soon as it is given.
import { _ } from "./words.js";
import { empty, field, h, measureOf, say, tell } from "./dom.js";
import { hold, proposal, stands, isHeldSomehow } from "./held.js";
import { pieceOf } from "./todo.js";

const hangings = () => [["hook", _("on a hook")], ["nail", _("on a nail")], ["pin", _("on a pin")], ["cord", _("on a cord")], ["clip", _("by clips")]];
const standings = () => [["table", _("stands on the table")], ["shelf", _("stands on a shelf")], ["floor", _("stands on the floor")]];

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
  const ways = [["hangs", _("It hangs"), "hook"], ["stands", _("It stands"), "table"]];
  const exact = way && (way === "stands" ? standings() : hangings());
  const known = way && exact.some(([kind]) => kind === piece.mount.kind);
  return h("fieldset", { class: "asked" }, h("legend", null, _("Does it hang or stand?")),
    h("div", { class: "choices" }, ways.map(([value, words, kind]) => tag(group, value, words, way === value, () => take(kind)))),
    proposed && h("p", { class: "hint" }, proposed.way === "stands" ? _("We would let it stand. %s", proposed.why) : _("We would hang it. %s", proposed.why)),
    way && field(plain ? _("How") : _("Held"), h("select", { onchange: (event) => take(event.target.value) }, known ? null : h("option", { value: piece.mount.kind }, piece.mount.kind), exact.map(([kind, words]) => h("option", { value: kind, selected: kind === piece.mount.kind }, words)))));
}

/** {box, update()}: the answers follow the plan; a field that somebody is writing in is left alone. */
export function pieceAsker(maker, given, mayEdit) {
  const now = () => maker.photo(given.id) ?? given;
  const save = async (values) => {
    try {
      if (!maker.saved) await maker.send();
      await maker.change(now(), values);
      await maker.loadPlan();
      say(_("Saved."));
    } catch (error) {
      tell(error.message);
    }
  };
  const number = (key, words, hint) => {
    const input = h("input", { type: "number", inputmode: "decimal", min: 0, step: "any", value: given[key] ?? "", disabled: !mayEdit, onchange: () => save({ [key]: input.value === "" ? null : measureOf(input) }) });
    return field(words, input, hint);
  };
  const title = h("input", { value: given.title ?? "", disabled: !mayEdit, maxlength: 120, onchange: () => save({ title: title.value }) });
  const change = (work) => maker.edit((plan) => void work(pieceOf({ plan }, given), plan));
  const held = h("div");
  const speaks = h("input", { type: "checkbox", disabled: !mayEdit, onchange: () => change((one) => (speaks.checked ? (one.role = "statement") : delete one.role)) });
  const speaking = h("label", { class: "row" }, speaks, _("This one speaks for me: it hangs where visitors look first."));
  const update = () => {
    const piece = pieceOf(maker, given);
    speaking.hidden = !piece;
    speaks.checked = piece?.role === "statement";
    const focused = held.contains(document.activeElement) ? document.activeElement : null;
    empty(held, piece && mayEdit && heldAsker(piece, change, { plain: true }));
    if (focused) held.querySelector(focused.type === "radio" ? `input[value="${focused.value}"]` : "select")?.focus();
  };
  update();
  const box = h("section", { class: "sheet stack" }, h("h2", null, _("About this piece")),
    h("div", { class: "fields" }, number("width_cm", _("How wide, cm")), number("weight_g", _("How heavy, g"))),
    h("p", { class: "hint" }, _("Measure it at its widest, and weigh it. Leave empty what you do not know: nothing is guessed.")),
    held, speaking, h("div", { class: "fields" }, number("height_cm", _("Height, cm"), _("Follows from the photo if left empty.")), field(_("Name"), title)));
  return { box, update };
}
