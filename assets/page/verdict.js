// SPDX-License-Identifier: MIT
// A verdict as shape and word, never as colour: a full disc is seen, a striped one half, a dotted ring hardly.
import { _, number, plural } from "./words.js";
import { GETS_LOST, SOFT, STANDS_OUT, VERDICT_WORDS } from "./contrast.js";
import { h, s } from "./dom.js";

export const verdictText = (verdict) =>
  verdict === STANDS_OUT ? _("stands out") : verdict === SOFT ? _("soft") : _("gets lost");
export const verdictFrom = (word) => VERDICT_WORDS.indexOf(word);

/** The shape alone; it always stands beside its word or is decoration. */
export function mark(verdict) {
  const shapes =
    verdict === STANDS_OUT
      ? [s("circle", { cx: 8, cy: 8, r: 7, fill: "currentColor" })]
      : verdict === SOFT
        ? [
            s("circle", { cx: 8, cy: 8, r: 6.25, fill: "none", stroke: "currentColor", "stroke-width": 1.5 }),
            s("path", { d: "M3.2 11.9 11.9 3.2M2.2 8.8 8.8 2.2M7.2 13.8 13.8 7.2", stroke: "currentColor", "stroke-width": 1.5 }),
          ]
        : [
            s("circle", {
              cx: 8,
              cy: 8,
              r: 6.25,
              fill: "none",
              stroke: "currentColor",
              "stroke-width": 1.5,
              "stroke-dasharray": "2 2.9",
            }),
          ];
  return s("svg", { class: "mark", viewBox: "0 0 16 16", "aria-hidden": "true" }, shapes);
}

/** Changes a label in place: only when the verdict changes is anything built. */
export function verdictLabel() {
  const label = h("span", { class: "verdict" });
  let shown = null;
  label.show = (verdict) => {
    if (verdict === shown) return;
    shown = verdict;
    label.dataset.verdict = VERDICT_WORDS[verdict];
    label.replaceChildren(mark(verdict), h("span", null, verdictText(verdict)));
  };
  return label;
}

/** The whole collection in one sentence, the weak ones first. */
export function summary(pairs) {
  const count = (verdict) => pairs.filter((pair) => pair.verdict === verdict).length;
  const lost = count(GETS_LOST);
  const soft = count(SOFT);
  const all = pairs.length;
  if (!all) return _("Add a photo, and this says how clearly the piece stands out.");
  if (lost === all && all > 1) return _("Every piece gets lost on this cloth.");
  if (lost && soft)
    return lost + soft < all
      ? _("Lost: %1$d, soft: %2$d; the others stand out.", lost, soft)
      : _("Lost: %1$d, soft: %2$d.", lost, soft);
  if (lost) return plural("%d piece gets lost on this cloth.", "%d pieces get lost on this cloth.", lost);
  if (soft) return plural("No piece gets lost; %d is soft.", "No piece gets lost; %d are soft.", soft);
  return all === 1 ? _("The piece stands out on this cloth.") : _("Every piece stands out on this cloth.");
}

/** The figures behind a verdict, as a sentence for whoever wants them. */
export const figures = (pair) =>
  _(
    "Contrast %1$s to 1; %2$s %% of the outline is at 3 to 1 or more; difference in lightness %3$s, in colour %4$s.",
    number(pair.contrastRatio, 1),
    number(Math.round(100 * pair.outlineShare)),
    number(pair.deltaL, 0),
    number(pair.deltaE00, 0),
  );
