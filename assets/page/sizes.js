// SPDX-License-Identifier: MIT
// Pieces of which something is missing before they can be placed: a size, or whether they hang or stand. Asked for
// kindly, never guessed. Until then such a piece waits beside the wall.
import { _ } from "./words.js";
import { field, h, measureOf, say, tell } from "./dom.js";
import { address } from "./server.js";
import { photoOf } from "./drawing.js";
import { heldAsker } from "./ask_piece.js";
import { isHeldSomehow } from "./held.js";

const told = (value) => Number(value) > 0; // a plan may hold "?" for what is still to be measured

export function isSized(maker, piece) {
  const photo = photoOf(maker, piece);
  return told(piece.width) && told(piece.height) && (!photo || told(photo.width_cm) || told(photo.height_cm));
}
/** It can be placed: measured, and told whether it hangs or stands; or it has a place already. */
export const isReady = (maker, piece) => isSized(maker, piece) && (isHeldSomehow(piece) || Boolean(piece.at));

/** Notes sizes where they are kept: with the photo, which the plan follows, or in the plan for a piece without one. */
export async function measure(maker, piece, { width, height, weight_g }) {
  const photo = photoOf(maker, piece);
  const given = (values) => Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined));
  if (!photo)
    return maker.edit(
      (plan) =>
        void Object.assign(
          plan.pieces.find((one) => one.id === piece.id),
          given({ width, height, weight_g }),
        ),
    );
  if (!maker.saved) await maker.send();
  await maker.change(photo, given({ width_cm: width, height_cm: height, weight_g }));
  await maker.loadPlan();
}

function sizeForm(maker, piece, photo) {
  const title = piece.title ?? piece.id;
  const figure = (gifts = {}) => h("input", { type: "number", inputmode: "decimal", min: 0.1, step: "any", ...gifts });
  const [width, height, weight] = [figure({ required: true }), figure(photo ? {} : { required: true }), figure()];
  const value = (input) => (input.value === "" ? undefined : measureOf(input));
  const save = async (event) => {
    event.preventDefault();
    event.target.closest("section").querySelector("h2").focus({ preventScroll: true }); // the field goes when it is answered
    try {
      await measure(maker, piece, { width: value(width), height: value(height), weight_g: value(weight) });
      say(_("Saved."));
    } catch (error) {
      tell(error.message);
    }
  };
  return h(
    "form",
    { "aria-label": title, onsubmit: save },
    h(
      "div",
      { class: "fields" },
      field(_("Width, cm"), width),
      field(_("Height, cm"), height),
      field(_("Weight, g"), weight),
      h("button", { class: "button", "aria-label": _("Save the size of %s", title) }, _("Save")),
    ),
  );
}

function line(maker, piece) {
  const photo = photoOf(maker, piece);
  const change = (work) =>
    maker.edit(
      (plan) =>
        void work(
          plan.pieces.find((one) => one.id === piece.id),
          plan,
        ),
    );
  return h(
    "li",
    null,
    h(
      "div",
      { class: "ask-size", role: "group", "aria-label": piece.title ?? piece.id },
      photo ? h("span", { class: "shot" }, h("img", { src: address(photo.urls.cutout), alt: "" })) : null,
      h("strong", null, piece.title ?? piece.id),
      isSized(maker, piece) ? null : sizeForm(maker, piece, photo),
      isHeldSomehow(piece) ? null : heldAsker(piece, change),
    ),
  );
}

/** The pieces of which something is missing; nothing when all is known. */
export function sizeAsker(maker) {
  const list = (maker.plan.pieces ?? []).filter((piece) => !isReady(maker, piece));
  if (!list.length) return null;
  return h(
    "section",
    { class: "sheet stack sizes" },
    h("h2", { tabindex: -1 }, _("How large are they, and do they hang or stand?")),
    h(
      "p",
      null,
      _(
        "Measure each piece at its widest. Nothing is guessed: a piece without a size waits here. The height may stay empty, it then follows from the photo.",
      ),
    ),
    h(
      "ul",
      { class: "stack" },
      list.map((piece) => line(maker, piece)),
    ),
  );
}
