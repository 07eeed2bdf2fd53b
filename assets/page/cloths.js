// SPDX-License-Identifier: MIT
// The collection on a cloth: given ones, photographed ones, or any colour; figures follow the finger.
import { _, number, plural } from "./words.js";
import { button, empty, field, fill, h, tell } from "./dom.js";
import { address, get } from "./server.js";
import { clothOf, collectionOn } from "./contrast.js";
import { cssOf, lchOf, luminanceOf, paint } from "./colour.js";
import { figures, summary, verdictLabel } from "./verdict.js";
import { adder, isDoubtful, picture, waiting } from "./pieces.js";
import { titleOf } from "./maker.js";
import { queue } from "./queue.js";
import { picker } from "./picker.js";

/** Paints an element as the cloth looks: the part of its photo that is measured, or its colour. */
export function dress(element, maker, cloth) {
  const photo = cloth.photo && maker.photo(cloth.photo);
  element.style.setProperty("--cloth", photo ? `url("${address(photo.urls.cutout)}") center / cover` : paint(cloth.lab));
}

/** All pieces on one cloth; `put(cloth)` changes figures in place and gives the pairs. */
export function board(maker, { detailed = false, addressOf = null } = {}) {
  const pieces = maker.pieces();
  const labels = pieces.map(() => verdictLabel());
  const details = pieces.map(() => h("p", { class: "tag small", hidden: !detailed }));
  const list = h("ul", { class: "onCloth" }, pieces.map((photo, i) =>
    h("li", null, picture(photo), h("span", { class: "tag" }, labels[i]),
      isDoubtful(photo) && addressOf ? h("a", { class: "tag doubt", href: addressOf(maker.id, "piece", photo.id), "aria-label": _("%1$s: %2$s", titleOf(photo), _("Look at the outline")) }, _("Look at the outline")) : null, details[i])));
  const put = (cloth) => {
    dress(list, maker, cloth);
    const result = collectionOn(pieces.map((photo) => maker.face(photo)), clothOf(cloth));
    result.pairs.forEach((pair, i) => {
      labels[i].show(pair.verdict);
      if (!details[i].hidden) details[i].textContent = figures(pair);
    });
    return result;
  };
  return { list, put, pieces, withFigures: (on) => (list.classList.toggle("told", on), details.forEach((one) => (one.hidden = !on))) };
}

export const asCloth = (lab, name) => ({ name, lab, luminance: luminanceOf(lab), spread_l: 0 });

export function swatch(maker, cloth, pressed, onclick) {
  const patch = h("i");
  dress(patch, maker, cloth);
  return h("button", { type: "button", class: "swatch", "aria-pressed": String(pressed), onclick }, patch, cloth.name);
}

export function show(main, maker, { me, addressOf }) {
  const mayEdit = me.role !== "viewer";
  const said = h("p", { "aria-live": "polite" });
  const score = h("p", { class: "small" });
  const strip = h("div", { class: "swatches", role: "group", "aria-label": _("Your cloths"), tabindex: -1 });
  const offered = h("div", { class: "stack" });
  const doubts = h("p", { class: "small" });
  const field_ = h("div");
  let onBoard = null;
  let cloth = maker.cloths[0] ?? asCloth(maker.plan?.cloth?.lab ?? [32, -14, 6], _("a colour of your own"));
  let speak;
  const judge = () => {
    if (!onBoard) return;
    const result = onBoard.put(cloth);
    score.textContent = result.pairs.length ? _("%1$s: %2$s of 100. Weakest here: %3$s.", cloth.name, number(Math.round(result.score)), titleOf(onBoard.pieces[result.weakest])) : "";
    const words = summary(result.pairs);
    if (said.textContent === words) return;
    clearTimeout(speak); // a screen reader hears where the finger came to rest, the eye sees every frame
    said.dataset.now = words;
    speak = setTimeout(() => (said.textContent = words), 90);
  };
  const choose = (one) => {
    cloth = one;
    pick.set(lchOf(one.lab));
    drawStrip();
    judge();
  };
  const pick = picker(lchOf(cloth.lab), (lab) => {
    const wasOwn = !cloth.id;
    cloth = asCloth(lab, _("a colour of your own"));
    if (!wasOwn) drawStrip();
    judge();
  });
  const drawStrip = () => empty(strip, maker.cloths.map((one) => swatch(maker, one, one.id === cloth.id, () => choose(one))));
  const drawBoard = () => {
    onBoard = board(maker, { addressOf });
    onBoard.withFigures(withFigures.checked);
    empty(field_, maker.pieces().length ? onBoard.list : h("p", null, _("There is no piece to show yet. "), h("a", { href: addressOf(maker.id) }, _("Add photos first."))));
    const doubtful = maker.pieces().filter(isDoubtful).length;
    doubts.textContent = doubtful ? plural("The outline of %d piece is doubtful; its figures may be wrong until you have looked at it.", "The outlines of %d pieces are doubtful; their figures may be wrong until you have looked at them.", doubtful) : "";
    doubts.hidden = !doubtful;
    judge();
  };
  const withFigures = h("input", { type: "checkbox", onchange: () => (onBoard.withFigures(withFigures.checked), judge()) });
  const name = h("input", { maxlength: 60 });
  const attempt = (work) => async () => {
    try {
      await work();
    } catch (error) {
      tell(error.message);
    }
  };
  const keep = attempt(async () => choose(await maker.addCloth({ css: cssOf(cloth.lab), ...(name.value ? { name: name.value } : {}) })));
  const hang = () => {
    maker.edit((plan) => {
      const old = plan.cloth ?? {};
      delete old.colour;
      delete old.photo;
      plan.cloth = cloth.photo ? { photo: `photos/${cloth.photo}`, ...old } : { colour: cloth.css ?? cssOf(cloth.lab), ...old };
    });
    tell(_("%s hangs on the wall now.", cloth.name));
  };
  const suggest = attempt(async () => {
    const answer = await get(`${maker.path}/suggest?n=4`);
    const all = answer.suggested ?? answer;
    empty(offered, h("p", { class: "small" }, _("Best for the whole collection, of all colours that cloth can be dyed:")),
      h("div", { class: "swatches" }, all.map((one) => swatch(maker, { ...one }, false, () => choose(asCloth(one.lab, one.name))))));
  });
  const photos = waiting(maker, "cloth");
  const saved = async (event) => {
    if (event.maker !== maker.id || event.kind !== "cloth") return;
    maker.putPhoto(event.photo);
    await attempt(async () => choose(await maker.addCloth({ photo: event.photo.id, name: titleOf(event.photo) })))();
  };
  queue.addEventListener("saved", saved);
  const changed = () => (drawStrip(), drawBoard());
  maker.addEventListener("change", changed);
  const more = h("section", { class: "sheet stack", id: "more-cloths", hidden: true },
    mayEdit && adder(maker, "cloth", _("Photograph the cloth itself, flat and in daylight.")), photos.list,
    mayEdit && h("div", { class: "row end" }, field(_("Name of this cloth"), name), button(_("Keep this colour among your cloths"), keep)),
    h("div", { class: "row" }, button(_("Suggest colours"), suggest)), offered,
    mayEdit && h("div", null, button(_("Take this cloth off the list"), attempt(async () => cloth.id && (await maker.dropCloth(cloth), choose(maker.cloths[0] ?? cloth))), { class: "button quiet" })));
  const opener = button(mayEdit ? _("Add a cloth") : _("Suggest colours"), () => opener.setAttribute("aria-expanded", String(!(more.hidden = !more.hidden))), { "aria-expanded": "false", "aria-controls": "more-cloths" });
  fill(main, h("div", { class: "row apart" }, h("h1", null, _("On which cloth?")), h("div", { class: "row" }, opener, h("a", { class: "button", href: addressOf(maker.id, "compare") }, _("Compare two cloths")))),
    strip, more,
    h("div", { class: "two cloths" }, h("div", { class: "stack" }, field_, doubts, h("label", { class: "row" }, withFigures, _("Show the figures"))),
      h("aside", { class: "sheet stack" }, h("div", { class: "judged" }, h("div", null, said, score), mayEdit && button(_("Hang this cloth"), hang, { class: "button main" })), h("h2", { class: "unseen" }, _("Any colour")), pick.box)));
  drawStrip();
  drawBoard();
  return () => (photos.stop(), queue.removeEventListener("saved", saved), maker.removeEventListener("change", changed));
}
