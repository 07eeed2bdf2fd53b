// SPDX-License-Identifier: MIT
// The collection on a cloth, or on two side by side: swatches under the pieces, one tap dresses the board.
import { _, plural } from "./words.js";
import { button, empty, field, fill, h, tell } from "./dom.js";
import { get } from "./server.js";
import { clothOf, collectionOn } from "./contrast.js";
import { cssOf, lchOf } from "./colour.js";
import { judgedBoard, swatch } from "./board.js";
import { adder, waiting } from "./pieces.js";
import { isDoubtful } from "./todo.js";
import { titleOf } from "./maker.js";
import { queue } from "./queue.js";
import { picker } from "./picker.js";
import { asCloth, bareWall, hang, isHung, ordinaryCloths, sameCloth } from "./cloth_choice.js";

const attempt = (work) => async (...values) => {
  try {
    await work(...values);
  } catch (error) {
    tell(error.message);
  }
};

/** The swatches in groups; scores follow when there is time for them. */
function tray(maker, chosen, ontap) {
  const box = h("div", { class: "tray" });
  let suggested = [];
  const draw = () => {
    const kept = maker.cloths;
    const isKept = (cloth) => kept.some((one) => sameCloth({ ...one, id: undefined }, cloth));
    const groups = [[_("Your cloths"), kept], [_("For these pieces"), suggested.filter((one) => !isKept(one))], [_("Ordinary cloths"), [...ordinaryCloths().filter((one) => !isKept(one)), bareWall(maker)]]];
    const later = [];
    empty(box, groups.filter(([, cloths]) => cloths.length).map(([words, cloths]) => h("section", null, h("h2", { class: "small" }, words),
      h("div", { class: "swatches", role: "group", "aria-label": words }, cloths.map((cloth) => {
        const one = swatch(maker, cloth, { pressed: chosen().some((other) => sameCloth(other, cloth)), hung: isHung(maker, cloth), onclick: () => ontap(cloth) });
        later.push([one, cloth]);
        return one.element;
      })))));
    judge(later);
  };
  const judge = (later) => {
    const faces = maker.pieces().map((photo) => maker.face(photo));
    if (!faces.length) return;
    (globalThis.requestIdleCallback ?? setTimeout)(() => {
      for (const [one, cloth] of later) if (one.element.isConnected) one.tell(collectionOn(faces, clothOf(cloth)).score);
    });
  };
  const suggest = async () => {
    if (!maker.pieces().length) return;
    const answer = await get(`${maker.path}/suggest?n=3`);
    suggested = (answer.suggested ?? answer).map((one) => asCloth(one.lab, one.name));
    if (!box.contains(document.activeElement)) draw();
  };
  return { box, draw, suggest };
}

/** A colour of one's own and a photo of cloth, behind a door: they never cover the pieces. */
function another(maker, { mayEdit, now, choose, photos }) {
  const name = h("input", { maxlength: 60 });
  const pick = picker(lchOf(now().lab), (lab) => choose(asCloth(lab, _("a colour of your own")), false));
  const keep = attempt(async () => choose(await maker.addCloth({ css: now().css ?? cssOf(now().lab), ...(name.value ? { name: name.value } : {}) })));
  const drop = attempt(async () => {
    const gone = now();
    if (!gone.id) return;
    await maker.dropCloth(gone);
    choose(asCloth(gone.lab, gone.name));
  });
  const box = h("details", { class: "sheet" }, h("summary", null, _("Another cloth")), h("div", { class: "stack" },
    mayEdit && adder(maker, "cloth", _("Photograph the cloth itself, flat and in daylight.")), photos.list,
    h("h3", null, _("Any colour")), pick.box,
    mayEdit && h("div", { class: "row end" }, field(_("Name of this cloth"), name), button(_("Keep this colour among your cloths"), keep)),
    mayEdit && h("div", null, button(_("Take this cloth off the list"), drop, { class: "button quiet" }))));
  return { box, set: pick.set };
}

export function show(main, maker, { me, addressOf, parts: _parts, two = false }) {
  const mayEdit = me.role !== "viewer";
  const doubts = h("p", { class: "small" });
  const boards = h("div", { class: "boards" });
  const hungNow = maker.cloths.find((one) => isHung(maker, one)) ?? ordinaryCloths().find((one) => isHung(maker, one));
  const second = [...maker.cloths, ...ordinaryCloths().toReversed()];
  const start = hungNow ?? maker.cloths[0] ?? ordinaryCloths()[1];
  let cloths = two ? [start, second.find((one) => !sameCloth(one, start))] : [start];
  let shown = [];
  let turn = 0; // which of the two the next tap dresses
  const hangs = (cloth) => mayEdit && (isHung(maker, cloth) ? h("strong", { class: "hung" }, _("hangs now")) : button(_("Hang this"), () => (hang(maker, cloth), tell(_("%s hangs on the wall now.", cloth.name))), { class: "button main", "aria-label": _("Hang %s", cloth.name) }));
  const put = () => shown.forEach((one, i) => one.put(cloths[i]));
  const choose = (cloth, move = true) => {
    const both = cloths.length === 2;
    const at = both ? turn : 0;
    cloths = cloths.map((one, i) => (i === at ? cloth : one));
    if (both && move) turn = 1 - turn;
    if (move) own.set(lchOf(cloth.lab));
    swatches.draw();
    put();
  };
  const swatches = tray(maker, () => cloths, choose);
  const photos = waiting(maker, "cloth");
  const own = another(maker, { mayEdit, now: () => cloths[cloths.length === 2 ? turn : 0], choose, photos });
  const withFigures = h("input", { type: "checkbox", onchange: () => (shown.forEach((one) => one.withFigures(withFigures.checked)), put()) });
  const drawBoards = () => {
    boards.classList.toggle("pair", cloths.length === 2);
    if (!maker.pieces().length) return void empty(boards, h("p", null, _("There is no piece to show yet. "), h("a", { href: addressOf(maker.id) }, _("Add photos first."))));
    shown = cloths.map(() => judgedBoard(maker, { addressOf, hangs }));
    shown.forEach((one) => one.withFigures(withFigures.checked));
    empty(boards, shown.map((one) => one.box));
    const doubtful = maker.pieces().filter(isDoubtful).length;
    doubts.textContent = doubtful ? plural("The outline of %d piece is doubtful; its figures may be wrong until you have looked at it.", "The outlines of %d pieces are doubtful; their figures may be wrong until you have looked at them.", doubtful) : "";
    doubts.hidden = !doubtful;
    put();
  };
  const pair = button(_("Two side by side"), () => {
    cloths = cloths.length === 2 ? [cloths[0]] : [cloths[0], second.find((one) => !sameCloth(one, cloths[0]))];
    turn = cloths.length - 1;
    pair.setAttribute("aria-pressed", String(cloths.length === 2));
    swatches.draw();
    drawBoards();
  }, { "aria-pressed": String(two) });
  if (two) turn = 1;
  const saved = async (event) => {
    if (event.maker !== maker.id || event.kind !== "cloth") return;
    maker.putPhoto(event.photo);
    await attempt(async () => choose(await maker.addCloth({ photo: event.photo.id, name: titleOf(event.photo) })))();
  };
  queue.addEventListener("saved", saved);
  const changed = () => (swatches.draw(), drawBoards());
  const dressed = () => (swatches.draw(), put());
  maker.addEventListener("change", changed);
  maker.addEventListener("plan", dressed);
  fill(main, h("div", { class: "row apart" }, h("h1", null, _("On which cloth?")), h("div", { class: "row" }, pair)),
    h("div", { class: "neutral stack" }, boards), doubts, swatches.box,
    h("div", { class: "row apart" }, h("label", { class: "row" }, withFigures, _("Show the figures")), h("p", { class: "small" }, _("The surround is a plain grey, so that it does not change how colours look."))),
    own.box, h("p", { class: "onward" }, h("a", { class: "button", href: addressOf(maker.id, "wall") }, _("Next: the wall"))));
  swatches.draw();
  drawBoards();
  swatches.suggest().catch(() => {}); // only an offer
  return () => (photos.stop(), queue.removeEventListener("saved", saved), maker.removeEventListener("change", changed), maker.removeEventListener("plan", dressed));
}
