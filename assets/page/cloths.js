// SPDX-License-Identifier: MIT
// The collection on a cloth, or on two side by side: swatches under the pieces, one tap dresses the board.
import { _, plural } from "./words.js";
import { attempt, button, empty, fill, h, tell } from "./dom.js";
import { lchOf } from "./colour.js";
import { anotherCloth } from "./another_cloth.js";
import { judgedBoard } from "./board.js";
import { tray } from "./cloth_tray.js";
import { hang, hungCloth, isHung, ordinaryCloths, sameCloth } from "./cloth_choice.js";
import { waiting } from "./pieces.js";
import { isDoubtful } from "./todo.js";
import { titleOf } from "./maker.js";
import { queue } from "./queue.js";

/** Which one or two cloths are looked at, and which of the two the next tap dresses. */
function choice(maker, two) {
  const others = [...maker.cloths, ...ordinaryCloths().toReversed()];
  const besides = (cloth) => others.find((one) => !sameCloth(one, cloth));
  const first = hungCloth(maker) ?? maker.cloths[0] ?? ordinaryCloths()[1];
  const state = { cloths: two ? [first, besides(first)] : [first], turn: two ? 1 : 0 };
  return Object.assign(state, {
    isPair: () => state.cloths.length === 2,
    now: () => state.cloths[state.isPair() ? state.turn : 0],
    put(cloth, move) {
      const at = state.isPair() ? state.turn : 0;
      state.cloths = state.cloths.map((one, i) => (i === at ? cloth : one));
      if (state.isPair() && move) state.turn = 1 - state.turn;
    },
    /** The cloth is the same one, only kept now. */
    replace: (old, cloth) => (state.cloths = state.cloths.map((one) => (one === old ? cloth : one))),
    pair() {
      state.cloths = state.isPair() ? [state.cloths[0]] : [state.cloths[0], besides(state.cloths[0])];
      state.turn = state.cloths.length - 1;
    },
  });
}

function hanger(maker, mayEdit, kept) {
  const put = (cloth) =>
    attempt(async () => {
      kept(cloth, await hang(maker, cloth));
      tell(_("%s hangs on the wall now.", cloth.name));
    });
  return (cloth) => {
    if (!mayEdit) return null;
    if (isHung(maker, cloth)) return h("strong", { class: "hung" }, _("hangs now"));
    return button(_("Hang this"), put(cloth), { class: "button main", "aria-label": _("Hang %s", cloth.name) });
  };
}

function doubtsOf(maker) {
  const doubtful = maker.pieces().filter(isDoubtful).length;
  if (!doubtful) return "";
  return plural(
    "The outline of %d piece is doubtful; its figures may be wrong until you have looked at it.",
    "The outlines of %d pieces are doubtful; their figures may be wrong until you have looked at them.",
    doubtful,
  );
}

/** The boards of the chosen cloths: {box, draw(), put()}. */
function boardsOf(maker, chosen, { addressOf, hangs, withFigures }) {
  const boards = h("div", { class: "boards" });
  const doubts = h("p", { class: "small" });
  let shown = [];
  const put = () => shown.forEach((one, i) => one.put(chosen.cloths[i]));
  const tellFigures = () => shown.forEach((one) => one.withFigures(withFigures.checked));
  const nothing = () =>
    h("p", null, _("There is no piece to show yet. "), h("a", { href: addressOf(maker.id) }, _("Add photos first.")));
  const draw = () => {
    boards.classList.toggle("pair", chosen.isPair());
    doubts.textContent = doubtsOf(maker);
    doubts.hidden = !doubts.textContent;
    shown = maker.pieces().length ? chosen.cloths.map(() => judgedBoard(maker, { addressOf, hangs })) : [];
    tellFigures();
    empty(boards, shown.length ? shown.map((one) => one.box) : nothing());
    put();
  };
  withFigures.addEventListener("change", () => (tellFigures(), put()));
  return { box: [h("div", { class: "neutral stack" }, boards), doubts], draw, put };
}

export function show(main, maker, { me, addressOf, two = false }) {
  const mayEdit = me.role !== "viewer";
  const chosen = choice(maker, two);
  const withFigures = h("input", { type: "checkbox" });
  const hangs = hanger(maker, mayEdit, (old, cloth) => (chosen.replace(old, cloth), dressed()));
  const boards = boardsOf(maker, chosen, { addressOf, hangs, withFigures });
  const choose = (cloth, move = true) => {
    chosen.put(cloth, move);
    if (move) own.set(lchOf(cloth.lab));
    dressed();
  };
  const swatches = tray(maker, () => chosen.cloths, choose);
  const photos = waiting(maker, "cloth");
  const own = anotherCloth(maker, { mayEdit, now: chosen.now, choose, photos });
  const changed = () => (swatches.draw(), boards.draw());
  const dressed = () => (swatches.draw(), boards.put());
  const both = () => (chosen.pair(), pair.setAttribute("aria-pressed", String(chosen.isPair())), changed());
  const pair = button(_("Two side by side"), both, { "aria-pressed": String(two) });
  const saved = attempt(async (event) => {
    if (event.maker !== maker.id || event.kind !== "cloth") return;
    maker.putPhoto(event.photo);
    choose(await maker.addCloth({ photo: event.photo.id, name: titleOf(event.photo) }));
  });
  queue.addEventListener("saved", saved);
  maker.addEventListener("change", changed);
  maker.addEventListener("plan", dressed);
  const neutral = h("p", { class: "small" }, _("The surround is a plain grey, so that it does not change how colours look."));
  fill(
    main,
    h("div", { class: "row apart head" }, h("h1", null, _("On which cloth?")), pair),
    boards.box,
    swatches.box,
    h("div", { class: "row apart" }, h("label", { class: "row" }, withFigures, _("Show the figures")), neutral),
    own.box,
    h("p", { class: "onward" }, h("a", { class: "button", href: addressOf(maker.id, "wall") }, _("Next: the wall"))),
  );
  changed();
  swatches.suggest().catch(() => {}); // only an offer
  return () => {
    photos.stop();
    queue.removeEventListener("saved", saved);
    maker.removeEventListener("change", changed);
    maker.removeEventListener("plan", dressed);
  };
}
