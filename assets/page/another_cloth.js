// SPDX-License-Identifier: MIT
// A colour of one's own and a photo of cloth, behind a door: they never cover the pieces.
import { _ } from "./words.js";
import { attempt, button, field, h } from "./dom.js";
import { cssOf, lchOf } from "./colour.js";
import { asCloth } from "./cloth_choice.js";
import { picker } from "./picker.js";
import { adder } from "./pieces.js";

/** {box, set(lch)}; `now()` gives the cloth that is looked at, `choose(cloth, move)` puts another one there. */
export function anotherCloth(maker, { mayEdit, now, choose, photos }) {
  const name = h("input", { maxlength: 60 });
  const pick = picker(lchOf(now().lab), (lab) => choose(asCloth(lab, _("a colour of your own")), false));
  const keep = attempt(async () => {
    const named = name.value ? { name: name.value } : {};
    choose(await maker.addCloth({ css: now().css ?? cssOf(now().lab), ...named }));
  });
  const drop = attempt(async () => {
    const gone = now();
    if (!gone.id) return;
    await maker.dropCloth(gone);
    choose(asCloth(gone.lab, gone.name));
  });
  const keeping = () => [
    h("div", { class: "row end" }, field(_("Name of this cloth"), name), button(_("Keep this colour among your cloths"), keep)),
    h("div", null, button(_("Take this cloth off the list"), drop, { class: "button quiet" })),
  ];
  const inside = h(
    "div",
    { class: "stack" },
    mayEdit && adder(maker, "cloth", _("Photograph the cloth itself, flat and in daylight.")),
    photos.list,
    h("h3", null, _("Any colour")),
    pick.box,
    mayEdit && keeping(),
  );
  return { box: h("details", { class: "sheet" }, h("summary", null, _("Another cloth")), inside), set: pick.set };
}
