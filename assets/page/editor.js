// SPDX-License-Identifier: MIT
// Mending a cut-out. Nothing happens by touching the photo until a tool is chosen; Undo stands beside the tools.
import { _ } from "./words.js";
import { button, h, say } from "./dom.js";
import { address } from "./server.js";
import { titleOf } from "./maker.js";
import { load, photoView } from "./photo_view.js";

const tools = () => [
  ["keep", _("Keep"), _("Draw over parts of the piece that are missing.")],
  ["drop", _("Drop"), _("Draw over background that was taken for the piece.")],
  ["box", _("Box"), _("Draw a box tightly round the piece.")],
  ["white", _("White paper"), _("Draw a box on white paper in the photo; the colours are then corrected by it.")],
  ["remark", _("Remark"), _("Touch the place that you want to say something about.")],
];
const idle = () =>
  _(
    "The grey part is left out. Is the piece whole, and nothing else with it? If not, choose Keep or Drop first, then draw. Two fingers make the photo larger.",
  );
const isBox = (tool) => tool === "box" || tool === "white";
const boxOf = ([x, y], [u, v]) => [Math.min(x, u), Math.min(y, v), Math.max(1, Math.abs(u - x)), Math.max(1, Math.abs(v - y))];
const afresh = () => ({ box: null, keep: [], drop: [], white: null });

/** What is drawn and taken back, without the screen: `changed` gets the whole help each time. */
function strokes(view, pin, changed) {
  const past = [];
  const state = { tool: null, from: null };
  const remember = () => past.push(structuredClone(view.help));
  return Object.assign(state, {
    past,
    begin(place) {
      if (!state.tool) return;
      if (state.tool === "remark") return pin(place);
      state.from = place;
      remember();
      if (!isBox(state.tool)) view.help[state.tool].push(place);
    },
    move(place) {
      if (!state.from) return;
      if (isBox(state.tool)) view.drawn = boxOf(state.from, place);
      else if (Math.hypot(place[0] - state.from[0], place[1] - state.from[1]) > view.photo.pixels[0] / 40)
        view.help[state.tool].push((state.from = place));
    },
    end() {
      if (!state.from) return;
      state.from = null;
      if (isBox(state.tool)) {
        if (!view.drawn || view.drawn[2] < 8 || view.drawn[3] < 8) return void (past.pop(), (view.drawn = null));
        view.help[state.tool] = view.drawn;
        view.drawn = null;
      }
      changed();
    },
    /** A second finger came: the stroke was never meant. */
    drop() {
      if (!state.from) return;
      view.help = past.pop();
      state.from = view.drawn = null;
    },
    undo: () => past.length && ((view.help = past.pop()), changed()),
    clear: () => (remember(), (view.help = afresh()), changed()),
  });
}

function fingers(canvas, screen, hand, view, photo) {
  const at = (event) => {
    const edge = canvas.getBoundingClientRect();
    return [event.clientX - edge.left, event.clientY - edge.top].map((v, i) =>
      Math.round(Math.min(Math.max(0, (v / (i ? edge.height : edge.width)) * photo.pixels[i]), photo.pixels[i] - 1)),
    );
  };
  let pulled = null; // a mouse moves an enlarged photo while no tool is chosen
  canvas.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || screen.isTwo()) return;
    if (!hand.tool && event.pointerType !== "touch") pulled = [event.clientX, event.clientY];
    if (hand.tool || pulled) canvas.setPointerCapture(event.pointerId);
    view.cross = null;
    hand.begin(at(event));
    screen.draw();
  });
  canvas.addEventListener("pointermove", (event) => {
    if (pulled) (screen.move(event.clientX - pulled[0], event.clientY - pulled[1]), (pulled = [event.clientX, event.clientY]));
    if (hand.from && event.isPrimary) (hand.move(at(event)), screen.draw());
  });
  canvas.addEventListener("pointerup", () => ((pulled = null), hand.end(), screen.draw()));
  canvas.addEventListener("pointercancel", () => ((pulled = null), hand.drop(), screen.draw()));
}

function keys(canvas, screen, hand, view, photo) {
  canvas.addEventListener("keydown", (event) => {
    const step = photo.pixels[0] / (event.shiftKey ? 12 : 80);
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!way && event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    view.cross ??= photo.pixels.map((side) => side / 2);
    if (way) {
      view.cross = view.cross.map((v, i) => Math.round(Math.min(Math.max(0, v + way[i] * step), photo.pixels[i] - 1)));
      if (isBox(hand.tool)) hand.move(view.cross);
    } else if (!hand.tool) say(_("Choose Keep or Drop first."));
    else if (isBox(hand.tool) && !hand.from)
      (hand.begin([...view.cross]), say(_("First corner set. Move to the opposite corner and press Enter.")));
    else if (isBox(hand.tool)) hand.end();
    else (hand.begin([...view.cross]), hand.end());
    screen.draw();
  });
}

/** The photo with its tools: {frame, bar, more, again, pins}. `apply` gets the whole help each time; `pin` gets a place. */
export function editor(photo, { apply, pin, mayEdit }) {
  const canvas = h("canvas", {
    tabindex: 0,
    role: "application",
    width: 10,
    height: 10,
    "aria-label": _("Photo of %s. Arrow keys move the cross, Shift makes larger steps, Enter marks the place.", titleOf(photo)),
  });
  const view = { photo, help: { ...afresh(), ...structuredClone(photo.help ?? {}) }, pins: [], cross: null };
  view.help.keep ??= [];
  view.help.drop ??= [];
  const screen = photoView(canvas, view, () => (hand.drop(), screen.draw()));
  const hint = h("p", { class: "hint" });
  const undo = button(_("Undo"), () => hand.undo(), { disabled: true });
  const hand = strokes(view, pin, () => ((undo.disabled = !hand.past.length), screen.draw(), apply(structuredClone(view.help))));
  fingers(canvas, screen, hand, view, photo);
  keys(canvas, screen, hand, view, photo);
  const buttons = tools()
    .filter(([name]) => mayEdit || name === "remark")
    .map(([name, words, explained]) =>
      button(words, () => use(hand.tool === name ? null : name), { data: { name }, "aria-description": explained }),
    );
  const use = (name) => {
    hand.drop();
    hand.tool = name;
    for (const one of buttons) one.setAttribute("aria-pressed", one.dataset.name === name);
    screen.frame.classList.toggle("armed", name !== null);
    hint.textContent = tools().find(([other]) => other === name)?.[2] ?? (mayEdit ? idle() : "");
  };
  use(null);
  const named = (...names) => buttons.filter((one) => names.includes(one.dataset.name));
  return {
    frame: screen.frame,
    hint,
    bar: h("div", { class: "row", role: "group", "aria-label": _("What a touch does") }, named("keep", "drop"), mayEdit && undo),
    more: h(
      "div",
      { class: "row" },
      named("box", "white", "remark"),
      button(_("Larger"), () => screen.closer()),
      button(_("Whole photo"), () => screen.whole()),
      mayEdit && button(_("Start afresh"), () => hand.clear(), { class: "button quiet" }),
    ),
    async again(fresh) {
      view.photo = photo = fresh;
      const [image, mask] = await Promise.all([load(address(fresh.urls.preview)), load(address(fresh.urls.mask))]);
      screen.show(image, mask);
    },
    pins: (pins) => ((view.pins = pins), screen.draw()),
  };
}
