// SPDX-License-Identifier: MIT
// How to photograph a piece, in drawn pictures: each shows it done so, and not so.
import { _ } from "./words.js";
import { h, s } from "./dom.js";

const basket = (x, y, k = 1) =>
  s(
    "g",
    { transform: `translate(${x} ${y}) scale(${k})`, class: "piece-ink" },
    s("path", { d: "M-26-16h52l-7 36q-19 6-38 0z" }),
    s("path", { d: "M-24-16q24-40 48 0", fill: "none" }),
    s("path", { d: "M-25-8h50M-23 0h46M-21 9h42M-14-16l3 37M0-16v40M14-16l-3 37", class: "fine" }),
  );
const ground = (tone) => s("rect", { x: 0, y: 0, width: 150, height: 110, rx: 6, class: tone });
const paper = () =>
  s("g", { class: "paper" }, s("rect", { x: 104, y: 50, width: 34, height: 44, transform: "rotate(6 121 72)" }));
const sun = () =>
  s(
    "g",
    { class: "line" },
    s("circle", { cx: 18, cy: 18, r: 8 }),
    s("path", { d: "M18 3v-2M18 33v3M33 18h3M3 18h-2M29 7l2-2M29 29l2 2M7 29l-2 2M7 7l-2-2" }),
  );
const windowPane = () =>
  s("g", { class: "line" }, s("rect", { x: 8, y: 10, width: 34, height: 44 }), s("path", { d: "M25 10v44M8 32h34" }));
const hardShadow = () => s("path", { d: "M88 80l52 14-16 8-60-14z", class: "shadow" });
const phone = (x, y, turn) =>
  s(
    "g",
    { transform: `translate(${x} ${y}) rotate(${turn})`, class: "line" },
    s("rect", { x: -7, y: -13, width: 14, height: 26, rx: 3 }),
    s("circle", { cx: 0, cy: 8, r: 1.2 }),
  );
const sight = (d) => s("path", { d, class: "sight" });

const rules = () => [
  [_("The whole piece, with room round it"), [ground("plain"), basket(75, 62)], [ground("plain"), basket(112, 84, 1.7)]],
  [
    _("A plain ground of another colour"),
    [ground("plain"), basket(75, 62)],
    [ground("busy"), ...[12, 34, 56, 78, 100, 122].map((x) => s("path", { d: `M${x} 0v110`, class: "stripe" })), basket(75, 62)],
  ],
  [
    _("Even light from a window, no sun, no flash"),
    [ground("plain"), windowPane(), basket(88, 66)],
    [ground("plain"), sun(), hardShadow(), basket(75, 62)],
  ],
  [
    _("A sheet of white paper beside it, in the same light"),
    [ground("plain"), paper(), basket(62, 62)],
    [ground("warm"), basket(75, 62)],
  ],
  [
    _("From straight ahead, at the height of the piece"),
    [ground("plain"), basket(48, 62), phone(128, 62, 0), sight("M118 62h-36")],
    [ground("plain"), basket(48, 72), phone(120, 20, 40), sight("M112 28l-34 28")],
  ],
];

const panel = (good, drawing) =>
  h(
    "span",
    { class: "shown" },
    s(
      "svg",
      { viewBox: "0 0 150 110", "aria-hidden": "true" },
      drawing,
      s(
        "g",
        { transform: "translate(136 14)" },
        s("circle", { r: 10, class: good ? "yes" : "no" }),
        s("path", { d: good ? "M-5 0l4 4 6-8" : "M-4-4l8 8M4-4l-8 8", class: "sign" }),
      ),
    ),
    h("span", { class: "small" }, good ? _("Like this") : _("Not like this")),
  );

export const photoHelp = () =>
  h(
    "ol",
    { class: "photo-help" },
    rules().map(([words, good, bad]) =>
      h("li", null, h("p", null, h("strong", null, words)), h("div", { class: "pair" }, panel(true, good), panel(false, bad))),
    ),
  );

/** As a page of its own. */
export function show(main, maker, { addressOf }) {
  main.append(
    h("h1", null, _("Photos that tell the truth")),
    h("p", null, _("Any phone will do. Photograph each piece by itself.")),
    h("div", { class: "sheet" }, photoHelp()),
    h("a", { class: "button main", href: addressOf(maker.id) }, _("To the photos")),
  );
  return null;
}
