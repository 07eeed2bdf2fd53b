// SPDX-License-Identifier: MIT
// Two cloths side by side, every piece at the same place on both.
import { _, number } from "./words.js";
import { empty, field, fill, h } from "./dom.js";
import { summary } from "./verdict.js";
import { board } from "./cloths.js";

export function show(main, maker, { addressOf }) {
  if (maker.cloths.length < 2) {
    fill(main, h("h1", null, _("Compare two cloths")), h("p", null, _("Keep two cloths first, then they can be seen side by side.")), h("a", { class: "button main", href: addressOf(maker.id, "cloths") }, _("Choose cloths")));
    return null;
  }
  const scores = [];
  const better = h("p", { "aria-live": "polite" });
  const sides = [0, 1].map((side) => {
    const onBoard = board(maker);
    const words = h("p");
    const choice = h("select", { onchange: () => put() }, maker.cloths.map((cloth, i) => h("option", { value: cloth.id, selected: i === side }, cloth.name)));
    const put = () => {
      const cloth = maker.cloths.find((one) => one.id === choice.value);
      const result = onBoard.put(cloth);
      words.textContent = summary(result.pairs);
      scores[side] = { score: result.score, name: cloth.name };
      if (scores.length === 2) say();
    };
    return { box: h("section", { class: "stack" }, field(side ? _("Second cloth") : _("First cloth"), choice), words, onBoard.list), put };
  });
  const say = () => {
    const [first, second] = scores;
    const far = Math.abs(first.score - second.score);
    const [best, other] = first.score >= second.score ? [first, second] : [second, first];
    empty(better, far < 0.5 ? _("Both serve the collection equally well; choose by taste.") : _("%1$s serves the collection better: %2$s of 100 against %3$s.", best.name, number(Math.round(best.score)), number(Math.round(other.score))));
  };
  fill(main, h("div", { class: "row apart" }, h("h1", null, _("Compare two cloths")), h("a", { class: "button", href: addressOf(maker.id, "cloths") }, _("All cloths"))), better, h("div", { class: "beside" }, sides.map((side) => side.box)));
  sides.forEach((side) => side.put());
  return null;
}
