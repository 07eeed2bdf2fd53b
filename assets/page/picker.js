// SPDX-License-Identifier: MIT
// Picking a colour of cloth: a field of hue and lightness, and three sliders that say the same in words.
// Every movement is told at once; what it leads to is the caller's.
import { _, number } from "./words.js";
import { h } from "./dom.js";
import { fillPlane, labOf, mostChroma, paint } from "./colour.js";

const WIDE = 48; // a smooth field: the screen makes it larger
const HIGH = 24;
const PART = 6; // columns at a time when nothing waits for them: a slow phone stays free for a finger
const TOP = 96; // woven cloth gets hardly lighter or darker than these
const BOTTOM = 12;

const hueNames = () => [
  _("pink"),
  _("red"),
  _("orange"),
  _("yellow"),
  _("yellow green"),
  _("green"),
  _("blue green"),
  _("sky blue"),
  _("blue"),
  _("violet"),
  _("purple"),
];
const hueName = (angle) => hueNames()[Math.round(angle / 33) % 11];

function slider(now, [words, most, key, speak], moved) {
  const oninput = () => ((now[key] = Number(input.value)), moved(key));
  const least = key === "L" ? BOTTOM : 0;
  const input = h("input", { type: "range", dir: "ltr", min: least, max: most, step: 1, "aria-label": words, oninput });
  const shown = h("span", { "aria-hidden": "true" });
  const put = () => {
    input.value = now[key];
    shown.textContent = speak(now[key]);
    input.setAttribute("aria-valuetext", speak(now[key]));
  };
  return { box: h("div", { class: "slider" }, h("span", null, words), shown, input), put };
}

const whole = (v) => number(Math.round(v));
const threeSliders = () => [
  [_("Lightness"), TOP, "L", whole],
  [_("Strength of colour"), 100, "C", whole],
  [_("Hue"), 359, "h", (v) => _("%1$s, %2$s°", hueName(v), whole(v))],
];
const whenIdle = (work) => (globalThis.requestIdleCallback ?? setTimeout)(work);

/** The field of hue and lightness at one strength: {canvas, draw(chroma)}; first drawn when nothing else waits. */
function field(first) {
  const canvas = h("canvas", { width: WIDE, height: HIGH });
  const pen = () => canvas.getContext("2d");
  let drawn = -1;
  const draw = (chroma) => {
    if (drawn === chroma) return;
    drawn = chroma;
    const image = pen().createImageData(WIDE, HIGH);
    fillPlane(image, chroma, TOP, BOTTOM);
    pen().putImageData(image, 0, 0);
  };
  const drawFirst = (image, from = 0) => {
    if (drawn >= 0) return;
    if (from >= WIDE) return void (drawn = first);
    fillPlane(image, first, TOP, BOTTOM, from, from + PART);
    pen().putImageData(image, 0, 0);
    whenIdle(() => drawFirst(image, from + PART));
  };
  whenIdle(() => drawFirst(pen().createImageData(WIDE, HIGH))); // after the pieces are there
  return { canvas, draw };
}

/** What a finger on the field means; `moved` is told. */
function follow(plane, now, moved) {
  const share = (v) => Math.min(1, Math.max(0, v));
  const take = (event) => {
    const edge = plane.getBoundingClientRect();
    now.h = Math.round(359 * share((event.clientX - edge.left) / edge.width));
    now.L = Math.round(TOP - (TOP - BOTTOM) * share((event.clientY - edge.top) / edge.height));
    moved();
  };
  plane.addEventListener("pointerdown", (event) => (plane.setPointerCapture(event.pointerId), take(event)));
  plane.addEventListener("pointermove", (event) => event.buttons && take(event));
}

export function picker(start, onpick) {
  const now = { L: 40, C: 20, h: 60, ...start };
  const ring = h("b");
  const colours = field(now.C);
  const plane = h("div", { class: "plane", dir: "ltr", "aria-hidden": "true" }, colours.canvas, ring);
  // A colour that no screen and hardly any cloth has is drawn in to the strongest there is.
  const lab = () => labOf({ ...now, C: Math.min(now.C, mostChroma(now.L, now.h)) });
  const drawPlane = () => colours.draw(now.C);
  const put = () => {
    sliders.forEach((one) => one.put());
    ring.style.left = `${(100 * now.h) / 360}%`;
    ring.style.top = `${(100 * (TOP - now.L)) / (TOP - BOTTOM)}%`;
    ring.style.background = paint(lab());
  };
  let frame = 0;
  const moved = (key) => {
    put();
    if (key === "C") requestAnimationFrame(drawPlane);
    if (!frame) frame = requestAnimationFrame(() => ((frame = 0), onpick(lab())));
  };
  const sliders = threeSliders().map((one) => slider(now, one, moved));
  const set = (lch) => {
    Object.assign(now, { L: Math.min(TOP, Math.max(BOTTOM, lch.L)), C: lch.C, h: lch.h });
    requestAnimationFrame(drawPlane);
    put();
  };
  follow(plane, now, moved);
  put();
  return {
    box: h(
      "div",
      { class: "stack" },
      plane,
      sliders.map((one) => one.box),
    ),
    lab,
    set,
  };
}
