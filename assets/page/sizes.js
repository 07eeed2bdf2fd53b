// SPDX-License-Identifier: MIT
// Pieces whose size nobody has told: asked for kindly, never guessed. Until then such a piece waits beside the wall.
import { _ } from "./words.js";
import { field, h, measureOf, say, tell } from "./dom.js";
import { address } from "./server.js";
import { photoOf } from "./drawing.js";

const told = (value) => Number(value) > 0; // a plan may hold "?" for what is still to be measured

export function isSized(maker, piece) {
  const photo = photoOf(maker, piece);
  return told(piece.width) && told(piece.height) && (!photo || told(photo.width_cm) || told(photo.height_cm));
}
export const unsized = (maker) => (maker.plan.pieces ?? []).filter((piece) => !isSized(maker, piece));

/** Notes sizes where they are kept: with the photo, which the plan follows, or in the plan for a piece without one. */
export async function measure(maker, piece, { width, height, weight_g }) {
  const photo = photoOf(maker, piece);
  const given = (values) => Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined));
  if (!photo) return maker.edit((plan) => void Object.assign(plan.pieces.find((one) => one.id === piece.id), given({ width, height, weight_g })));
  if (!maker.saved) await maker.send();
  await maker.change(photo, given({ width_cm: width, height_cm: height, weight_g }));
  if (maker.saved) await maker.loadPlan();
  maker.emit("plan");
}

function line(maker, piece) {
  const title = piece.title ?? piece.id;
  const photo = photoOf(maker, piece);
  const figure = (gifts = {}) => h("input", { type: "number", inputmode: "decimal", min: 0.1, step: "any", ...gifts });
  const [width, height, weight] = [figure({ required: true }), figure(photo ? {} : { required: true }), figure()];
  const value = (input) => (input.value === "" ? undefined : measureOf(input));
  const save = async (event) => {
    event.preventDefault();
    try {
      await measure(maker, piece, { width: value(width), height: value(height), weight_g: value(weight) });
      say(_("Saved."));
    } catch (error) {
      tell(error.message);
    }
  };
  return h("li", null, h("form", { class: "ask-size", "aria-label": title, onsubmit: save },
    photo ? h("span", { class: "shot" }, h("img", { src: address(photo.urls.cutout), alt: "" })) : null,
    h("strong", null, title),
    h("div", { class: "fields" }, field(_("Width, cm"), width), field(_("Height, cm"), height), field(_("Weight, g"), weight), h("button", { class: "button", "aria-label": _("Save the size of %s", title) }, _("Save")))));
}

/** The pieces still to be measured, a few at a time; nothing when all are known. */
export function sizeAsker(maker) {
  const list = unsized(maker);
  if (!list.length) return null;
  return h("section", { class: "sheet stack sizes" }, h("h2", { tabindex: -1 }, _("How large are they?")),
    h("p", null, _("Measure each piece at its widest. Nothing is guessed: a piece without a size waits here. The height may stay empty, it then follows from the photo.")),
    h("ul", { class: "stack" }, list.map((piece) => line(maker, piece))));
}
