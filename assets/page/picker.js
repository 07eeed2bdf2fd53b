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

const hueNames = () => [_("pink"), _("red"), _("orange"), _("yellow"), _("yellow green"), _("green"), _("blue green"), _("sky blue"), _("blue"), _("violet"), _("purple")];
const hueName = (angle) => hueNames()[Math.round(angle / 33) % 11];

export function picker(start, onpick) {
  const now = { L: 40, C: 20, h: 60, ...start };
  const canvas = h("canvas", { width: WIDE, height: HIGH });
  const ring = h("b");
  const plane = h("div", { class: "plane", dir: "ltr", "aria-hidden": "true" }, canvas, ring);
  const slider = (words, most, key, speak) => {
    const input = h("input", { type: "range", dir: "ltr", min: key === "L" ? BOTTOM : 0, max: most, step: 1, "aria-label": words, oninput: () => ((now[key] = Number(input.value)), moved(key)) });
    const shown = h("span", { "aria-hidden": "true" });
    const box = h("div", { class: "slider" }, h("span", null, words), shown, input);
    return { box, put: () => ((input.value = now[key]), (shown.textContent = speak(now[key])), input.setAttribute("aria-valuetext", speak(now[key]))) };
  };
  const sliders = [
    slider(_("Lightness"), TOP, "L", (v) => number(Math.round(v))),
    slider(_("Strength of colour"), 100, "C", (v) => number(Math.round(v))),
    slider(_("Hue"), 359, "h", (v) => _("%1$s, %2$s°", hueName(v), number(Math.round(v)))),
  ];
  let drawn = -1;
  const drawPlane = () => {
    if (drawn === now.C) return;
    drawn = now.C;
    const pen = canvas.getContext("2d");
    const image = pen.createImageData(WIDE, HIGH);
    fillPlane(image, now.C, TOP, BOTTOM);
    pen.putImageData(image, 0, 0);
  };
  const put = () => {
    sliders.forEach((one) => one.put());
    ring.style.left = `${(100 * now.h) / 360}%`;
    ring.style.top = `${(100 * (TOP - now.L)) / (TOP - BOTTOM)}%`;
    ring.style.background = paint(lab());
  };
  // A colour that no screen and hardly any cloth has is drawn in to the strongest there is.
  const lab = () => labOf({ ...now, C: Math.min(now.C, mostChroma(now.L, now.h)) });
  let frame = 0;
  const moved = (key) => {
    put();
    if (key === "C") requestAnimationFrame(drawPlane);
    if (!frame) frame = requestAnimationFrame(() => ((frame = 0), onpick(lab())));
  };
  plane.addEventListener("pointerdown", (event) => (plane.setPointerCapture(event.pointerId), follow(event)));
  plane.addEventListener("pointermove", (event) => event.buttons && follow(event));
  const follow = (event) => {
    const frameOf = plane.getBoundingClientRect();
    const share = (v) => Math.min(1, Math.max(0, v));
    now.h = Math.round(359 * share((event.clientX - frameOf.left) / frameOf.width));
    now.L = Math.round(TOP - (TOP - BOTTOM) * share((event.clientY - frameOf.top) / frameOf.height));
    moved();
  };
  const whenIdle = (work) => (globalThis.requestIdleCallback ?? setTimeout)(work);
  const drawFirst = (image, from = 0) => {
    if (drawn >= 0 || from >= WIDE) return void (drawn < 0 && (drawn = image.chroma));
    fillPlane(image.field, image.chroma, TOP, BOTTOM, from, from + PART);
    canvas.getContext("2d").putImageData(image.field, 0, 0);
    whenIdle(() => drawFirst(image, from + PART));
  };
  whenIdle(() => drawFirst({ field: canvas.getContext("2d").createImageData(WIDE, HIGH), chroma: now.C })); // after the pieces are there
  put();
  return {
    box: h("div", { class: "stack" }, plane, sliders.map((one) => one.box)),
    lab,
    set: (lch) => (Object.assign(now, { L: Math.min(TOP, Math.max(BOTTOM, lch.L)), C: lch.C, h: lch.h }), requestAnimationFrame(drawPlane), put()),
  };
}
