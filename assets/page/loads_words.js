// SPDX-License-Identifier: MIT
// What each point carries, from the program's own loads: in words, and as marks for the wall. Three states, never two:
// it holds, it is too weak, or it is not known.
import { _, number } from "./words.js";
import { mass, massAlone } from "./measures.js";
import { h, s } from "./dom.js";

const G = 9.80665; // m/s², CGPM 1901
const gramsOf = (newtons) => (1000 * newtons) / G;

export const HOLDS = "holds";
export const WEAK = "weak";
export const UNKNOWN = "unknown";
/** Holds only what is said to hold against a rating that somebody gave. */
export const stateOf = (one) =>
  one.ok === false ? WEAK : one.ok === true && (one.utilisation != null || one.rated_n > 0) ? HOLDS : UNKNOWN;
const stateWords = { [HOLDS]: () => _("holds"), [WEAK]: () => _("too weak"), [UNKNOWN]: () => _("not known") };

/** The shape of a state: a full disc, a triangle, a ring with a question mark. */
export function stateMark(state) {
  if (state === HOLDS)
    return [
      s("circle", { r: 6, fill: "#fff", stroke: "#000" }),
      s("path", { d: "M-3 0l2 2.4 4-5", fill: "none", stroke: "#000", "stroke-width": 1.6 }),
    ];
  if (state === WEAK)
    return [
      s("path", { d: "M0-8.5 8 6H-8z", fill: "#000", stroke: "#fff", "stroke-width": 1.5 }),
      s("path", { d: "M0-4v5M0 2.6v1.4", stroke: "#fff", "stroke-width": 1.8 }),
    ];
  return [
    s("circle", { r: 6.5, fill: "#fff", stroke: "#000", "stroke-dasharray": "2.5 2" }),
    s(
      "text",
      { "text-anchor": "middle", "dominant-baseline": "central", "font-size": 9.5, "font-weight": 700, fill: "#000" },
      "?",
    ),
  ];
}

/** Everything that carries: {name, state, carries, rated, share, x, y}; the failing first, then the unknown. */
export function carriers(plan, loads) {
  const title = (one) => one.title ?? plan.pieces.find((piece) => piece.id === one.piece)?.title ?? one.piece;
  const points = (loads?.points ?? []).map((one) => ({
    ...one,
    name: _("%1$s, point %2$d", title(one), one.point),
    carries_n: one.tension_n ?? one.demand_n,
    state: stateOf(one),
  }));
  const shelves = (loads?.shelves ?? []).map((one) => ({ ...one, name: one.id, carries_n: one.load_n, state: stateOf(one) }));
  const rods = (loads?.rods ?? []).map((one) => ({
    ...one,
    name: one.id,
    carries_n: (one.reactions_n ?? [one.reaction_left_n, one.reaction_right_n]).reduce((a, b) => a + (b ?? 0), 0),
    state: stateOf(one),
  }));
  const tables = (loads?.tables ?? []).map((one) => ({ ...one, name: one.id, carries_n: one.load_n, state: stateOf(one) }));
  const order = { [WEAK]: 0, [UNKNOWN]: 1, [HOLDS]: 2 };
  return [...points, ...shelves, ...rods, ...tables].sort((a, b) => order[a.state] - order[b.state]);
}

// The program's reasons (src/loads/findings.c) that the figures beside them do not say already.
const reasons = () => ({
  tips: _("the frame tips over"),
  lifts: _("the frame lifts off its feet"),
  sags: _("it sags too far"),
  weak: _("it bends too far"),
  beyond: _("it lies beyond what carries it"),
  fixing: _("this fixing does not hold in this wall"),
  childs_pull: _("it does not hold when a child pulls at it"),
  carrier_fails: _("what carries it does not hold"),
  no_weight: _("something on it is not weighed"),
  no_material: _("its material or thickness is not known"),
  no_bracket_height: _("the height of its brackets is not known"),
  carrier_unknown: _("whether what carries it holds is not known"),
});
const why = (one) =>
  (one.why ?? [])
    .map((word) => reasons()[word])
    .filter(Boolean)
    .join("; ");

function figuresOf(one) {
  if (one.carries_n == null || one.unweighed) return _("Its load is not known: something on it is not weighed.");
  const sideways = one.horizontal_n > 0.05 * one.carries_n;
  const pull = sideways
    ? _(
        "It pulls with %s: %s down and %s sideways.",
        mass(gramsOf(one.carries_n)),
        mass(gramsOf(one.vertical_n)),
        mass(gramsOf(one.horizontal_n)),
      )
    : _("It carries %s.", mass(gramsOf(one.carries_n)));
  if (!(one.rated_n > 0)) return `${pull} ${_("Its rating is not known. Read it on the packaging.")}`;
  const rated =
    one.needed_n > 0
      ? _("It is rated for %1$s and needs %2$s.", mass(gramsOf(one.rated_n)), mass(gramsOf(one.needed_n)))
      : _("It is rated for %s.", mass(gramsOf(one.rated_n)));
  const used = one.utilisation != null && _("Used: %s %%.", number(Math.round(100 * one.utilisation)));
  return [pull, rated, used].filter(Boolean).join(" ");
}

const sign = (state) => s("svg", { class: "mark", viewBox: "-9 -9 18 18", "aria-hidden": "true" }, stateMark(state));

const sentence = (one) => [figuresOf(one), why(one)].filter(Boolean).join(" · ");

/** The list; `onchoose(piece)` shows it on the wall. */
export function loadsList(plan, loads, onchoose) {
  const all = carriers(plan, loads);
  if (!all.length) return h("p", null, _("Nothing hangs yet."));
  const weak = all.filter((one) => one.state === WEAK);
  const unknown = all.filter((one) => one.state === UNKNOWN);
  return h(
    "div",
    { class: "stack" },
    weak.length
      ? h(
          "p",
          { class: "stop" },
          h("strong", null, _("Stop: hang nothing until this is mended. Too weak: %s", weak.map((one) => one.name).join(", "))),
        )
      : null,
    !weak.length && unknown.length
      ? h("p", { class: "stop" }, h("strong", null, _("Not known yet: %s", unknown.map((one) => one.name).join(", "))))
      : null,
    h(
      "ul",
      { class: "lines loads" },
      all.map((one) =>
        h(
          "li",
          { class: one.state },
          sign(one.state),
          h(
            "div",
            null,
            one.piece
              ? h("button", { type: "button", class: "plain", onclick: () => onchoose(one.piece) }, one.name)
              : h("strong", null, one.name),
            " ",
            h("b", null, stateWords[one.state]()),
            h("p", { class: "small" }, sentence(one)),
          ),
        ),
      ),
    ),
    h("p", { class: "small" }, _("This is planning help. Local codes, the venue's rules and a licensed person decide.")),
  );
}

/** Marks at the hanging points; with `figures` each says what it carries. */
export function pointMarks(loads, { up, cmPerPx, figures }) {
  return s(
    "g",
    { class: "points", "pointer-events": "none" },
    (loads?.points ?? [])
      .filter((one) => one.x != null && (figures || stateOf(one) !== HOLDS))
      .map((one) =>
        s(
          "g",
          { transform: `translate(${one.x} ${up(one.y)}) scale(${cmPerPx})` },
          stateMark(stateOf(one)),
          figures &&
            one.tension_n != null &&
            [
              ["#fff", 3],
              [null, 0],
            ].map(([stroke, wide]) =>
              s(
                "text",
                {
                  x: 10,
                  y: -4,
                  "font-size": 11,
                  fill: "#000",
                  ...(stroke ? { stroke, "stroke-width": wide, "stroke-linejoin": "round" } : {}),
                },
                massAlone(gramsOf(one.tension_n)),
              ),
            ),
        ),
      ),
  );
}
