// SPDX-License-Identifier: MIT
// All pieces on one cloth: verdicts change in place while a finger moves. Also a cloth as a swatch.
import { _, number } from "./words.js";
import { empty, h } from "./dom.js";
import { address } from "./server.js";
import { clothOf, collectionOn } from "./contrast.js";
import { paint } from "./colour.js";
import { figures, summary, verdictLabel } from "./verdict.js";
import { picture } from "./pieces.js";
import { isDoubtful } from "./todo.js";
import { titleOf } from "./maker.js";

/** Paints an element as the cloth looks: the part of its photo that is measured, or its colour. */
export function dress(element, maker, cloth) {
  const photo = cloth.photo && maker.photo(cloth.photo);
  element.style.setProperty("--cloth", photo ? `url("${address(photo.urls.cutout)}") center / cover` : paint(cloth.lab));
  element.classList.toggle("woven", !photo && !cloth.bare);
}

/** `put(cloth)` changes figures in place and gives the result of the collection. */
export function board(maker, { addressOf = null } = {}) {
  const pieces = maker.pieces();
  const faces = pieces.map((photo) => maker.face(photo));
  const labels = pieces.map(() => verdictLabel());
  const details = pieces.map(() => h("p", { class: "tag small", hidden: true }));
  const list = h(
    "ul",
    { class: "onCloth" },
    pieces.map((photo, i) =>
      h(
        "li",
        null,
        picture(photo),
        h("span", { class: "tag" }, labels[i]),
        isDoubtful(photo) && addressOf
          ? h(
              "a",
              {
                class: "tag doubt",
                href: addressOf(maker.id, "piece", photo.id),
                "aria-label": _("%1$s: %2$s", titleOf(photo), _("Look at the outline")),
              },
              _("Look at the outline"),
            )
          : null,
        details[i],
      ),
    ),
  );
  const put = (cloth) => {
    dress(list, maker, cloth);
    const result = collectionOn(faces, clothOf(cloth));
    result.pairs.forEach((pair, i) => {
      labels[i].show(pair.verdict);
      if (!details[i].hidden) details[i].textContent = figures(pair);
    });
    return result;
  };
  return {
    list,
    put,
    pieces,
    withFigures: (on) => (list.classList.toggle("told", on), details.forEach((one) => (one.hidden = !on))),
  };
}

/** A board under its words: which cloth, how it serves, and the button that hangs it. */
export function judgedBoard(maker, { addressOf, hangs }) {
  const said = h("p", { "aria-live": "polite" });
  const score = h("p", { class: "small" });
  const onBoard = board(maker, { addressOf });
  const button = h("div");
  let speak;
  const put = (cloth) => {
    const result = onBoard.put(cloth);
    score.textContent = result.pairs.length
      ? _(
          "%1$s: %2$s of 100. Weakest here: %3$s.",
          cloth.name,
          number(Math.round(result.score)),
          titleOf(onBoard.pieces[result.weakest]),
        )
      : "";
    empty(button, hangs(cloth));
    const words = summary(result.pairs);
    if (said.textContent === words) return result;
    clearTimeout(speak); // a screen reader hears where the finger came to rest, the eye sees every frame
    said.dataset.now = words;
    speak = setTimeout(() => (said.textContent = words), 90);
    return result;
  };
  return {
    ...onBoard,
    put,
    box: h(
      "section",
      { class: "stack judged-board" },
      h("div", { class: "judged" }, h("div", null, said, score), button),
      onBoard.list,
    ),
  };
}

export function swatch(maker, cloth, { pressed, hung, onclick }) {
  const patch = h("i");
  dress(patch, maker, cloth);
  const said = h("span", { class: "small" });
  const element = h(
    "button",
    { type: "button", class: "swatch", "aria-pressed": String(pressed), onclick },
    patch,
    h("span", { class: "name" }, cloth.name),
    said,
    hung ? h("span", { class: "hung" }, _("hangs now")) : null,
  );
  return { element, tell: (score) => (said.textContent = _("%s of 100", number(Math.round(score)))) };
}
