// SPDX-License-Identifier: MIT
// Parts of the wall's view: what is wrong in lines, pieces beside the wall, undo and before, the three views, and warnings
// for what is being done just now.
import { _, plural } from "./words.js";
import { button, empty, h, say, tell } from "./dom.js";
import { address } from "./server.js";
import { photoOf } from "./drawing.js";
import { stands } from "./held.js";
import { carriers, UNKNOWN, WEAK } from "./loads_words.js";
import { isReady } from "./sizes.js";

const finding = (serious, content, sign = serious ? "▲" : "·") =>
  h("li", { class: serious ? "finding serious" : "finding" }, h("b", { "aria-hidden": "true" }, sign), h("span", null, content));

export function findingLines(plan, answer) {
  const states = carriers(plan, answer.loads).map((one) => one.state);
  const [over, unknown] = [WEAK, UNKNOWN].map((state) => states.filter((one) => one === state).length);
  const findings = answer.findings ?? [];
  // Of those that hang the findings say it, one by one.
  const unweighed = plan.pieces.filter((piece) => piece.at && stands(piece) && !(piece.weight_g > 0)).length;
  return [
    over
      ? finding(
          true,
          plural(
            "%d place does not hold. Look at the set-up sheet before anything is hung.",
            "%d places do not hold. Look at the set-up sheet before anything is hung.",
            over,
          ),
        )
      : null,
    findings.map((one) => finding(one.serious, one.text)),
    unknown
      ? finding(
          false,
          plural("For %d place it is not known whether it holds.", "For %d places it is not known whether they hold.", unknown),
          "?",
        )
      : null,
    unweighed
      ? finding(
          false,
          plural(
            "%d piece is not weighed: the real load is higher.",
            "%d pieces are not weighed: the real load is higher.",
            unweighed,
          ),
          "?",
        )
      : null,
    !over && !findings.length && !unknown && !unweighed
      ? finding(
          false,
          _(
            "Nothing stands in the way: no piece overlaps another, and no rating that you gave is exceeded. Not checked: the wall itself, wind, the venue's rules.",
          ),
          "✓",
        )
      : null,
  ];
}

/** Pieces beside the wall. */
export function tray(maker, mayEdit, onchoose) {
  const box = h("div", { class: "stack" });
  const put = (one, words) => {
    const photo = photoOf(maker, one);
    const shown = [
      photo && h("img", { src: address(photo.urls.cutout), alt: "", width: 32, height: 32 }),
      h("span", null, words),
    ];
    return button(shown, () => onchoose(one.id), { class: "button in-tray", "aria-label": _("Put %s on the wall", words) });
  };
  const line = (one) => h("li", null, mayEdit ? put(one, one.title ?? one.id) : (one.title ?? one.id));
  const draw = () => {
    const left = (maker.plan.pieces ?? []).filter((one) => !one.at && isReady(maker, one));
    empty(box, left.length ? [h("h2", null, _("Not on the wall yet")), h("ul", { class: "row" }, left.map(line))] : []);
  };
  return { box, draw };
}

/** Undo, redo, and the wall as it was when it was opened, while a finger or key holds the button. */
export function history(maker, table) {
  const step = async (way) => {
    try {
      await maker.step(way);
      say(way === "undo" ? _("Undone.") : _("Done again."));
    } catch (error) {
      if (error.status === 409) maker.look();
      tell(error.message);
    }
  };
  const undo = button(_("Undo"), () => step("undo"));
  const redo = button(_("Redo"), () => step("redo"));
  const opened = maker.plan;
  const before = button(
    _("Before"),
    () => {
      const on = before.getAttribute("aria-pressed") !== "true";
      before.setAttribute("aria-pressed", String(on));
      table.show(on ? opened : null);
    },
    { "aria-pressed": "false", "aria-description": _("Shows the wall as it was when you came.") },
  );
  return { row: [undo, redo, before], draw: () => ((undo.disabled = !maker.canUndo), (redo.disabled = !maker.canRedo)) };
}

/** Front, loads, or from the aisle. */
export function viewChooser(table, onview) {
  const views = [
    ["front", _("Front")],
    ["loads", _("Loads")],
    ["aisle", _("From the aisle")],
  ];
  const buttons = views.map(([name, words]) => button(words, () => use(name), { "aria-pressed": String(name === "front") }));
  const use = (name) => {
    buttons.forEach((one, i) => one.setAttribute("aria-pressed", String(views[i][0] === name)));
    table.look(name);
    onview(name);
  };
  return { box: h("div", { class: "row views", role: "group", "aria-label": _("How the wall is shown") }, buttons), use };
}

/** Warnings for what is being done just now, when it rests for a moment: the newest answer counts. */
export function checker(maker, onanswer) {
  let asked = 0;
  return (planNow) => {
    const turn = ++asked;
    setTimeout(async () => {
      if (turn !== asked) return;
      const answer = await maker.check(planNow());
      if (answer && turn === asked) onanswer(answer);
    }, 40);
  };
}
