// SPDX-License-Identifier: MIT
// The wall: the stage that stays in sight, the sheet of the chosen piece, what is wrong, what each point carries.
import { _ } from "./words.js";
import { length } from "./measures.js";
import { button, empty, field, fill, h, say } from "./dom.js";
import { numberOf } from "./drawing.js";
import { wallAsker } from "./fixings.js";
import { loadsList } from "./loads_words.js";
import { nudge, place, putUp } from "./moves.js";
import { pieceSheet } from "./piece_sheet.js";
import { remarks } from "./remarks.js";
import { sizeAsker } from "./sizes.js";
import { stage } from "./stage.js";
import { standForm } from "./stand.js";
import { standAsker } from "./stand_size.js";
import { checker, findingLines, history, tray, viewChooser } from "./wall_parts.js";
import { ways } from "./ways.js";

const EYES = 137; // cm; where a remark goes that is pinned to no piece
const READ_MS = 80;
const EVENTS = ["plan", "change"];
const WRITTEN_IN = "input:not([type=radio], [type=checkbox]), textarea, select";
const isWrittenIn = (box) => box.contains(document.activeElement) && document.activeElement.matches(WRITTEN_IN);
const disclaimer = () => _("This is planning help. Local codes, the venue's rules and a licensed person decide.");

class WallView {
  chosen = null;
  sheet = null; // of the chosen piece

  constructor(maker, { me, addressOf }) {
    Object.assign(this, { maker, addressOf, mayEdit: me.role !== "viewer" });
    this.found = h("ul", { "aria-live": "polite", "aria-label": _("Warnings") });
    this.loads = h("div", { hidden: true });
    const advice = h("p", { class: "small" }, disclaimer());
    this.checks = h("section", { class: "sheet" }, h("h2", null, _("Before it is hung")), this.found, advice);
    [this.asker, this.stand, this.standBox] = [h("div"), h("div"), h("div")];
    this.bench = h("div", { class: "bench" });
    this.byName = h("select", { onchange: () => this.choose(this.byName.value || null) });
    this.table = stage(maker, this.stageCalls());
    this.check = checker(maker, (answer) => this.judge(answer));
    this.waiting = tray(maker, this.mayEdit, (id) => this.hangUp(id));
    this.talk = remarks(maker, { wall: true }, me);
    this.arranged = ways(maker, { show: (plan) => this.table.show(plan), unready: () => this.pointToAsker() });
    this.past = history(maker, this.table);
    this.views = viewChooser(this.table, (name) => this.showView(name));
  }

  // --- the chosen piece ---------------------------------------------------------------------------------

  piece(plan = this.maker.plan) {
    return plan.pieces.find((one) => one.id === this.chosen);
  }
  change(work) {
    this.maker.edit((plan) => work(this.piece(plan), plan));
  }
  nudge(dx, dy) {
    this.change((one, plan) => nudge(plan, one, dx, dy));
    const at = this.piece()?.at;
    if (at) say(_("Middle %1$s from the left, %2$s above the floor.", length(at[0]), length(at[1])));
  }
  stageCalls() {
    return {
      mayEdit: this.mayEdit,
      onchoose: (id, focus) => (this.choose(id), focus && this.sheet?.focus()),
      onmove: (id, result, way) => (way ? this.nudge(...way) : this.change((one, plan) => place(plan, one, result))),
      onlift: () => this.keepInSight(),
      onlive: (result) => {
        this.tellLive(result.at);
        this.check(() => {
          const trial = structuredClone(this.maker.plan);
          place(trial, this.piece(trial), result);
          return trial;
        });
      },
    };
  }
  /** Fields have the page laid out again: they follow the finger as fast as an eye reads, the piece in every frame. */
  tellLive(at) {
    clearTimeout(this.telling);
    const wait = READ_MS - (performance.now() - (this.told ?? 0));
    if (wait > 0) return void (this.telling = setTimeout(() => this.tellLive(at), wait));
    this.told = performance.now();
    if (this.table.held) this.sheet?.live(at);
  }
  /** On a phone the sheet at the bottom must not lie over the wall; nothing moves while a finger is on it. */
  keepInSight() {
    const isPhone = matchMedia("(max-width: 59.9rem)").matches;
    const isOver = this.bench.getBoundingClientRect().top < this.table.frame.getBoundingClientRect().bottom;
    if (this.chosen && isPhone && isOver) this.table.frame.scrollIntoView({ block: "start" });
  }
  sheetOf(piece) {
    return pieceSheet(this.maker, piece, {
      mayEdit: this.mayEdit,
      nudge: (dx, dy) => this.nudge(dx, dy),
      change: (work) => this.change(work),
      close: () => this.choose(null),
      putUp: () => (this.change((one, plan) => putUp(plan, one)), this.table.focus(this.chosen)),
      remark: () => this.talk.write({ wall: this.piece()?.at ?? [this.maker.plan.stand.width / 2, EYES] }),
    });
  }
  choose(id) {
    this.chosen = this.maker.plan.pieces.some((one) => one.id === id) ? id : null;
    this.table.select(this.chosen);
    this.byName.value = this.chosen ?? "";
    this.bench.classList.toggle("open", this.chosen !== null);
    this.sheet = this.chosen && this.sheetOf(this.piece());
    this.sheet?.update(this.piece(), this.maker.findings ?? []);
    const howTo = this.mayEdit
      ? _("Touch a piece on the wall to move it, or to say how it is held.")
      : _("Touch a piece on the wall to read about it.");
    empty(this.bench, this.sheet ? this.sheet.box : h("p", { class: "small" }, howTo));
  }
  hangUp(id) {
    this.maker.edit((plan) =>
      putUp(
        plan,
        plan.pieces.find((one) => one.id === id),
      ),
    );
    this.choose(id);
    this.table.focus(id);
  }

  // --- what is wrong, what is carried, what is asked ------------------------------------------------------

  judge(answer) {
    const { maker } = this;
    maker.judge({ ...answer, loads: answer.loads ?? maker.loads });
    this.tellFindings();
    const list = () => loadsList(maker.plan, maker.loads, (id) => this.choose(id));
    if (!this.loads.hidden)
      empty(this.loads, h("section", { class: "sheet stack" }, h("h2", null, _("What each point carries")), list()));
    if (this.piece()) this.sheet?.update(this.piece(), maker.findings);
    this.table.mark();
  }
  /** The list is built anew only when it says something else. */
  tellFindings() {
    const lines = h("ul", null, findingLines(this.maker.plan, this.maker));
    if (lines.textContent !== this.found.textContent) this.found.replaceChildren(...lines.children);
  }
  showView(name) {
    this.loads.hidden = name !== "loads";
    this.checks.hidden = name === "loads";
    this.judge(this.maker);
  }
  pointToAsker() {
    this.asker.querySelector("h2")?.focus();
    this.asker.scrollIntoView({ block: "center" });
  }
  drawAsker() {
    if (isWrittenIn(this.asker)) return;
    const focused = this.asker.contains(document.activeElement);
    empty(this.asker, this.mayEdit && sizeAsker(this.maker));
    if (focused) (this.asker.querySelector("h2") ?? this.table.frame).focus({ preventScroll: true });
  }
  drawNames() {
    const { plan } = this.maker;
    const name = (one) => h("option", { value: one.id }, `${numberOf(plan, one)}  ${one.title ?? one.id}`);
    empty(this.byName, h("option", { value: "" }, _("none")), plan.pieces.filter((one) => one.at).map(name));
    if (this.chosen && !this.piece()) this.choose(null);
    this.byName.value = this.chosen ?? "";
  }
  draw() {
    const { maker, mayEdit } = this;
    this.table.draw();
    this.drawNames();
    this.table.select(this.chosen);
    this.waiting.draw();
    this.past.draw();
    this.drawAsker();
    if (!isWrittenIn(this.stand)) empty(this.stand, mayEdit && (standAsker(maker) ?? wallAsker(maker)));
    if (!isWrittenIn(this.standBox)) empty(this.standBox, mayEdit && standForm(maker));
    if (this.piece()) this.sheet?.update(this.piece(), maker.findings ?? []);
    if (maker.saved) this.judge(maker);
    else this.check(() => maker.plan);
  }

  // --- on the page ----------------------------------------------------------------------------------------

  pinned() {
    const press = () => larger.setAttribute("aria-pressed", String(this.table.larger()));
    const larger = button(_("Larger"), press, { "aria-pressed": "false" });
    const shown = h("div", { class: "row apart" }, this.views.box, larger);
    return h("div", { class: "pinned" }, this.table.frame, shown, h("div", { class: "row" }, this.mayEdit && this.past.row));
  }
  beside() {
    const { maker, mayEdit } = this;
    const keys =
      mayEdit && _("Drag a piece, or move it with the arrow keys: 1 cm, with Shift 5 cm. The dashed lines are the sight band.");
    const next = h("a", { class: "button", href: this.addressOf(maker.id, "take") }, _("Next: what to take"));
    return h(
      "div",
      { class: "stack" },
      [this.arranged.box, this.loads, this.stand, this.bench, this.waiting.box, this.asker, this.checks],
      h("div", { class: "named" }, field(_("Chosen piece"), this.byName, keys)),
      [this.talk.box, this.standBox, h("p", { class: "onward" }, next)],
    );
  }
  followSize() {
    let seen = this.table.frame.clientWidth;
    const redraw = () => ((seen = this.table.frame.clientWidth), this.table.draw());
    const sizes = new ResizeObserver(() => Math.abs(this.table.frame.clientWidth - seen) > 8 && redraw());
    sizes.observe(this.table.frame);
    return sizes;
  }
}

export async function show(main, maker, place) {
  const view = new WallView(maker, place);
  const draw = () => view.draw();
  for (const name of EVENTS) maker.addEventListener(name, draw);
  const arrange = view.mayEdit && button(_("Arrange it for me"), view.arranged.ask, { class: "button main" });
  fill(
    main,
    h("div", { class: "row apart head" }, h("h1", null, _("The wall")), arrange),
    h("div", { class: "wall-view" }, view.pinned(), view.beside()),
  );
  draw();
  const sizes = view.followSize();
  view.choose(null);
  view.talk.draw();
  return () => {
    sizes.disconnect();
    view.talk.stop();
    for (const name of EVENTS) maker.removeEventListener(name, draw);
  };
}
