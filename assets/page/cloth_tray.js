// SPDX-License-Identifier: MIT
// The cloths as swatches under the pieces, in groups; one tap dresses the board.
import { _ } from "./words.js";
import { empty, h } from "./dom.js";
import { get } from "./server.js";
import { clothOf, collectionOn } from "./contrast.js";
import { swatch } from "./board.js";
import { asCloth, bareWall, hungCloth, isHung, ordinaryCloths, sameCloth } from "./cloth_choice.js";

/** [[words, cloths]]: the maker's own, what hangs, the suggested, the ordinary ones; none is there twice. */
function groupsOf(maker, suggested) {
  const hung = hungCloth(maker);
  const own = [...maker.cloths, ...(hung && !hung.id && !ordinaryCloths().some((one) => isHung(maker, one)) ? [hung] : [])];
  const isOwn = (cloth) => own.some((one) => sameCloth({ ...one, id: undefined }, cloth));
  return [
    [_("Your cloths"), own],
    [_("For these pieces"), suggested.filter((one) => !isOwn(one))],
    [_("Ordinary cloths"), [...ordinaryCloths().filter((one) => !isOwn(one)), bareWall(maker)]],
  ].filter(([, cloths]) => cloths.length);
}

/** Scores follow when there is time for them. */
function judge(maker, swatches) {
  const faces = maker.pieces().map((photo) => maker.face(photo));
  if (!faces.length) return;
  (globalThis.requestIdleCallback ?? setTimeout)(() => {
    for (const [one, cloth] of swatches) if (one.element.isConnected) one.tell(collectionOn(faces, clothOf(cloth)).score);
  });
}

/** {box, draw(), suggest()}; `chosen()` gives the cloths on the boards. */
export function tray(maker, chosen, ontap) {
  const box = h("div", { class: "tray" });
  let suggested = [];
  const draw = () => {
    const made = [];
    const one = (cloth) => {
      const pressed = chosen().some((other) => sameCloth(other, cloth));
      made.push([swatch(maker, cloth, { pressed, hung: isHung(maker, cloth), onclick: () => ontap(cloth) }), cloth]);
      return made.at(-1)[0].element;
    };
    const group = ([words, cloths]) => {
      const list = h("div", { class: "swatches", role: "group", "aria-label": words }, cloths.map(one));
      return h("section", null, h("h2", { class: "small" }, words), list);
    };
    empty(box, groupsOf(maker, suggested).map(group));
    judge(maker, made);
  };
  const suggest = async () => {
    if (!maker.pieces().length) return;
    const answer = await get(`${maker.path}/suggest?n=3`);
    suggested = (answer.suggested ?? answer).map((one) => asCloth(one.lab, one.name));
    if (!box.contains(document.activeElement)) draw();
  };
  return { box, draw, suggest };
}
