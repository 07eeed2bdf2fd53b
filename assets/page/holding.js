// SPDX-License-Identifier: MIT
// How the chosen piece is held, in the sheet beside the wall.
import { _ } from "./words.js";
import { choice, field, h, measureOf } from "./dom.js";
import { heldAsker } from "./ask_piece.js";
import { isHeldSomehow, standOn, stands, surfaces } from "./held.js";

/** What carries a hanging piece, by a name that a person would use. */
function carriersOf(plan) {
  const named = (list, words) =>
    (list ?? []).filter((one) => one.id).map((one, i, all) => [one.id, all.length > 1 ? `${words} ${i + 1}` : words]);
  return [...named(plan.rods, _("the rod")), ...named(plan.grids, _("the grid")), ...named(plan.posts, _("the post"))];
}

/** Which of several tables or shelves it stands on. */
function standingOn(maker, piece, change) {
  const alike = surfaces(maker.plan).filter((one) => one.kind === piece.mount.kind && one.id);
  if (alike.length < 2) return null;
  const put = (id) =>
    change((one, plan) =>
      standOn(
        plan,
        one,
        surfaces(plan).find((surface) => surface.id === id),
      ),
    );
  const options = alike.map((one, i) => [one.id, _("number %d from the left", i + 1)]);
  return field(_("Which one"), choice(options, piece.mount.on ?? alike[0].id, put));
}

/** What a hanging piece is carried by, at how many points, and what each is rated for. */
function hangingBy(maker, piece, mount) {
  const hold = piece.mount ?? {};
  const carriers = carriersOf(maker.plan);
  const carry = (value) => mount((m) => (value ? (m.on = value) : delete m.on));
  const count = (event) => mount((m) => (m.points = Math.max(1, Math.round(Number(event.target.value)))));
  const rate = ({ target }) => mount((m) => (Number(target.value) > 0 ? (m.rated_kg = measureOf(target)) : delete m.rated_kg));
  const points = h("input", { type: "number", min: 1, max: 64, value: hold.points ?? 1, onchange: count });
  const rated = h("input", { type: "number", step: "any", min: 0, value: hold.rated_kg ?? "", onchange: rate });
  const unknown = _("Read the rating on the packaging; leave it empty if you do not know it.");
  return [
    carriers.length > 0 && field(_("Carried by"), choice([["", _("the wall")], ...carriers], hold.on ?? "", carry)),
    isHeldSomehow(piece) && [field(_("Hanging points"), points), field(_("Each point rated, kg"), rated, unknown)],
  ];
}

/** Something that is so, or not, of what holds the piece. */
function tick(piece, key, words, mount) {
  const onchange = ({ target }) => mount((m) => (target.checked ? (m[key] = true) : delete m[key]));
  const box = h("input", { type: "checkbox", checked: Boolean(piece.mount?.[key]), onchange });
  return h("label", { class: "row" }, box, words);
}
const safeties = (piece, mount) => [
  tick(piece, "second_fixing", _("A second, independent fixing catches it"), mount),
  tick(piece, "out_of_reach", _("No child can reach it: something stands in front of it"), mount),
];

export function holding(maker, piece, change) {
  const mount = (work) => change((one) => void work((one.mount ??= {})));
  const by = stands(piece) ? standingOn(maker, piece, change) : hangingBy(maker, piece, mount);
  const safe = !stands(piece) && isHeldSomehow(piece) && safeties(piece, mount);
  return h("div", { class: "stack" }, heldAsker(piece, change), h("div", { class: "fields" }, by), safe);
}
