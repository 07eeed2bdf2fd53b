// SPDX-License-Identifier: MIT
// The wall: the stage that stays in sight, the sheet of the chosen piece, what is wrong, what each point carries.
import { _, length, plural } from "./words.js";
import { button, empty, field, fill, h, say, tell } from "./dom.js";
import { address } from "./server.js";
import { numberOf, photoOf } from "./drawing.js";
import { stands } from "./held.js";
import { wallAsker } from "./fixings.js";
import { loadsList, carriers, UNKNOWN, WEAK } from "./loads_words.js";
import { nudge as nudged, place, putUp } from "./moves.js";
import { pieceSheet } from "./piece_sheet.js";
import { remarks } from "./remarks.js";
import { isReady, sizeAsker } from "./sizes.js";
import { stage } from "./stage.js";
import { standForm } from "./stand.js";
import { standAsker } from "./stand_size.js";
import { ways } from "./ways.js";

const finding = (serious, content, sign = serious ? "▲" : "·") => h("li", { class: serious ? "finding serious" : "finding" }, h("b", { "aria-hidden": "true" }, sign), h("span", null, content));

function findingLines(plan, answer) {
  const states = carriers(plan, answer.loads).map((one) => one.state);
  const [over, unknown] = [WEAK, UNKNOWN].map((state) => states.filter((one) => one === state).length);
  const findings = answer.findings ?? [];
  // Of those that hang the findings say it, one by one.
  const unweighed = plan.pieces.filter((piece) => piece.at && stands(piece) && !(piece.weight_g > 0)).length;
  return [
    over ? finding(true, plural("%d place does not hold. Look at the set-up sheet before anything is hung.", "%d places do not hold. Look at the set-up sheet before anything is hung.", over)) : null,
    findings.map((one) => finding(one.serious, one.text)),
    unknown ? finding(false, plural("Of %d place it is not known whether it holds.", "Of %d places it is not known whether they hold.", unknown), "?") : null,
    unweighed ? finding(false, plural("%d piece is not weighed: the real load is higher.", "%d pieces are not weighed: the real load is higher.", unweighed), "?") : null,
    !over && !findings.length && !unknown && !unweighed ? finding(false, _("Nothing stands in the way: no piece overlaps another, and no rating that you gave is exceeded. Not checked: the wall itself, wind, the venue's rules."), "✓") : null,
  ];
}

/** Pieces beside the wall. */
function tray(maker, mayEdit, onchoose) {
  const box = h("div", { class: "stack" });
  const draw = () => {
    const left = (maker.plan.pieces ?? []).filter((one) => !one.at && isReady(maker, one));
    empty(box, left.length ? [h("h2", null, _("Not on the wall yet")), h("ul", { class: "row" }, left.map((one) => {
      const photo = photoOf(maker, one);
      const words = one.title ?? one.id;
      return h("li", null, mayEdit ? button([photo && h("img", { src: address(photo.urls.cutout), alt: "", width: 32, height: 32 }), h("span", null, words)], () => onchoose(one.id), { class: "button in-tray", "aria-label": _("Put %s on the wall", words) }) : words);
    }))] : []);
  };
  return { box, draw };
}

/** Undo, redo, and the wall as it was when it was opened, while a finger or key holds the button. */
function history(maker, table) {
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
  const before = button(_("Before"), () => {
    const on = before.getAttribute("aria-pressed") !== "true";
    before.setAttribute("aria-pressed", String(on));
    table.show(on ? opened : null);
  }, { "aria-pressed": "false", "aria-description": _("Shows the wall as it was when you came.") });
  return { row: [undo, redo, before], draw: () => ((undo.disabled = !maker.canUndo), (redo.disabled = !maker.canRedo)) };
}

/** Front, loads, or from the aisle. */
function viewChooser(table, onview) {
  const views = [["front", _("Front")], ["loads", _("Loads")], ["aisle", _("From the aisle")]];
  const buttons = views.map(([name, words]) => button(words, () => use(name), { "aria-pressed": String(name === "front") }));
  const use = (name) => {
    buttons.forEach((one, i) => one.setAttribute("aria-pressed", String(views[i][0] === name)));
    table.look(name);
    onview(name);
  };
  return { box: h("div", { class: "row views", role: "group", "aria-label": _("How the wall is shown") }, buttons), use };
}

/** Warnings for what is being done just now: the newest answer counts. */
function checker(maker, onanswer) {
  let asked = 0;
  return (plan) => {
    const turn = ++asked;
    setTimeout(async () => {
      if (turn !== asked) return;
      const answer = await maker.check(plan);
      if (answer && turn === asked) onanswer(answer);
    }, 40);
  };
}

export async function show(main, maker, { me, addressOf }) {
  const mayEdit = me.role !== "viewer";
  const found = h("ul", { "aria-live": "polite", "aria-label": _("Warnings") });
  const loads = h("div", { hidden: true });
  const checks = h("section", { class: "sheet" }, h("h2", null, _("Before it is hung")), found, h("p", { class: "small" }, _("This is planning help. Local codes, the venue's rules and a licensed person decide.")));
  const asker = h("div");
  const stand = h("div");
  const standBox = h("div");
  const bench = h("div", { class: "bench" });
  const byName = h("select", { onchange: () => choose(byName.value || null) });
  let chosen = null;
  let sheet = null;
  const piece = (plan = maker.plan) => plan.pieces.find((one) => one.id === chosen);
  const change = (work) => maker.edit((plan) => work(piece(plan), plan));
  const tellPlace = () => piece()?.at && say(_("Middle %1$s from the left, %2$s above the floor.", length(piece().at[0]), length(piece().at[1])));
  const nudge = (dx, dy) => (change((one, plan) => nudged(plan, one, dx, dy)), tellPlace());
  const table = stage(maker, {
    mayEdit,
    onchoose: (id, focus) => (choose(id), focus && sheet?.focus()),
    onmove: (id, result, way) => (way ? nudge(...way) : change((one, plan) => place(plan, one, result))),
    // On a phone the sheet at the bottom must not lie over the wall; nothing moves while a finger is on it.
    onlift: () => chosen && bench.getBoundingClientRect().top < table.frame.getBoundingClientRect().bottom && matchMedia("(max-width: 59.9rem)").matches && table.frame.scrollIntoView({ block: "start" }),
    onlive: (result) => {
      sheet?.live(result.at);
      const trial = structuredClone(maker.plan);
      place(trial, piece(trial), result);
      check(trial);
    },
  });
  const show_ = (answer) => {
    maker.judge({ ...answer, loads: answer.loads ?? maker.loads });
    empty(found, findingLines(maker.plan, maker));
    if (!loads.hidden) empty(loads, h("section", { class: "sheet stack" }, h("h2", null, _("What each point carries")), loadsList(maker.plan, maker.loads, choose)));
    if (piece()) sheet?.update(piece(), maker.findings);
    table.mark();
  };
  const check = checker(maker, show_);
  const choose = (id) => {
    chosen = maker.plan.pieces.some((one) => one.id === id) ? id : null;
    table.select(chosen);
    byName.value = chosen ?? "";
    bench.classList.toggle("open", chosen !== null);
    sheet = chosen && pieceSheet(maker, piece(), { mayEdit, nudge, change, close: () => choose(null), putUp: () => (change((one, plan) => putUp(plan, one)), table.focus(chosen)), remark: () => talk.write({ wall: piece()?.at ?? [maker.plan.stand.width / 2, 137] }) });
    sheet?.update(piece(), maker.findings ?? []);
    empty(bench, sheet ? sheet.box : h("p", { class: "small" }, mayEdit ? _("Touch a piece on the wall to move it, or to say how it is held.") : _("Touch a piece on the wall to read about it.")));
  };
  const waiting = tray(maker, mayEdit, (id) => {
    maker.edit((plan) => putUp(plan, plan.pieces.find((one) => one.id === id)));
    choose(id);
    table.focus(id);
  });
  const talk = remarks(maker, { wall: true }, me);
  const arranged = ways(maker, { show: table.show, unready: () => (asker.querySelector("h2")?.focus(), asker.scrollIntoView({ block: "center" })) });
  const past = history(maker, table);
  const views = viewChooser(table, (name) => ((loads.hidden = name !== "loads"), (checks.hidden = name === "loads"), show_(maker)));
  const typing = (box) => box.contains(document.activeElement) && document.activeElement.matches("input:not([type=radio], [type=checkbox]), textarea, select");
  const drawAsker = () => {
    if (typing(asker)) return;
    const focused = asker.contains(document.activeElement);
    empty(asker, mayEdit && sizeAsker(maker));
    if (focused) (asker.querySelector("h2") ?? table.frame).focus({ preventScroll: true });
  };
  const draw = () => {
    table.draw();
    const placed = maker.plan.pieces.filter((one) => one.at);
    empty(byName, h("option", { value: "" }, _("none")), placed.map((one) => h("option", { value: one.id }, `${numberOf(maker.plan, one)}  ${one.title ?? one.id}`)));
    if (chosen && !piece()) choose(null);
    byName.value = chosen ?? "";
    table.select(chosen);
    waiting.draw();
    past.draw();
    drawAsker();
    if (!typing(stand)) empty(stand, mayEdit && (standAsker(maker) ?? wallAsker(maker)));
    if (!typing(standBox)) empty(standBox, mayEdit && standForm(maker));
    if (piece()) sheet?.update(piece(), maker.findings ?? []);
    if (maker.saved) show_(maker);
    else check(maker.plan);
  };
  const larger = button(_("Larger"), () => larger.setAttribute("aria-pressed", String(table.larger())), { "aria-pressed": "false" });
  const events = ["plan", "change"];
  for (const name of events) maker.addEventListener(name, draw);
  fill(main, h("div", { class: "row apart" }, h("h1", null, _("The wall")), mayEdit && button(_("Arrange it for me"), arranged.ask, { class: "button main" })),
    h("div", { class: "wall-view" }, h("div", { class: "pinned" }, table.frame, h("div", { class: "row apart" }, views.box, larger), h("div", { class: "row" }, mayEdit && past.row)),
      h("div", { class: "stack" }, arranged.box, loads, stand, bench, waiting.box, asker, checks,
        h("div", { class: "named" }, field(_("Chosen piece"), byName, mayEdit && _("Drag a piece, or move it with the arrow keys: 1 cm, with Shift 5 cm. The dashed lines are the sight band."))),
        talk.box, standBox, h("p", { class: "onward" }, h("a", { class: "button", href: addressOf(maker.id, "take") }, _("Next: what to take"))))));
  draw();
  let seen = table.frame.clientWidth;
  const sizes = new ResizeObserver(() => Math.abs(table.frame.clientWidth - seen) > 8 && ((seen = table.frame.clientWidth), table.draw()));
  sizes.observe(table.frame);
  choose(null);
  talk.draw();
  return () => {
    sizes.disconnect();
    talk.stop();
    for (const name of events) maker.removeEventListener(name, draw);
  };
}
