// SPDX-License-Identifier: MIT
// The wall that stays in sight: drawn to scale, zoomed by two fingers, pieces dragged with one. It shows the plan as it
// is, or another one for a while (as it was before, a way to arrange it), and marks what is wrong where it is wrong.
import { _ } from "./words.js";
import { h, s } from "./dom.js";
import { address } from "./server.js";
import { paint } from "./colour.js";
import { drawWall, extentOf, widthDrawn } from "./drawing.js";
import { pointMarks } from "./loads_words.js";
import { snap } from "./moves.js";

const MOST = 5; // times larger
const MOVED = 1; // cm; less is a touch

export function lookOf(maker, plan) {
  const c = plan.cloth;
  if (!c) return {};
  const photo = c.photo && maker.photos.find((one) => c.photo.includes(one.id));
  const known = maker.cloths.find((one) => one.css && one.css === c.colour);
  return photo ? { href: address(photo.urls.cutout) } : { colour: known ? paint(known.lab) : c.colour };
}

/** What a finger means: the smallest piece under it, else the nearest within its own width. */
function pick(drawn, plan, { x, y }, reach) {
  const size = (one) => extentOf(one, drawn.cmPerPx);
  const far = (one) => Math.hypot(Math.max(0, Math.abs(x - one.at[0]) - size(one)[0] / 2), Math.max(0, Math.abs(y - drawn.up(one.at[1])) - size(one)[1] / 2));
  const near = plan.pieces.filter((one) => drawn.places.has(one.id)).map((one) => ({ id: one.id, far: far(one), area: size(one)[0] * size(one)[1] })).filter((one) => one.far <= reach);
  return near.sort((a, b) => a.far - b.far || a.area - b.area)[0]?.id ?? null;
}

function guideLines(drawn, plan, result) {
  const lines = [];
  if (result?.lineX != null) lines.push(`M${result.lineX} 0V${plan.stand.wall_height}`);
  if (result?.lineY != null) lines.push(`M0 ${drawn.up(result.lineY)}H${plan.stand.width}`);
  drawn.svg.querySelector(".guides")?.replaceChildren(...lines.flatMap((d) => [s("path", { d, stroke: "#fff", "stroke-width": 1.6 }), s("path", { d, stroke: "#000", "stroke-width": 0.6 })]));
}

// A pin's head stands beside its place, as large on a phone as on a desk: the place itself stays in sight.
const pins = (maker, drawn) => s("g", { class: "pins", "pointer-events": "none" }, maker.comments.filter((remark) => remark.on?.wall && !remark.done).map((remark, i) =>
  s("g", { transform: `translate(${remark.on.wall[0]} ${drawn.up(remark.on.wall[1])}) scale(${drawn.cmPerPx})` },
    s("path", { d: "M0 0 9 -15", stroke: "#fff", "stroke-width": 3.5 }), s("path", { d: "M0 0 9 -15", stroke: "#000", "stroke-width": 1.5 }),
    s("circle", { cx: 12, cy: -20, r: 9, fill: "#fff", stroke: "#000", "stroke-width": 1.5 }),
    s("text", { x: 12, y: -20, "font-size": 12, "font-weight": 700, "text-anchor": "middle", "dominant-baseline": "central", fill: "#000" }, String(i + 1)))));

/** A flag at the upper right corner of each piece that something is wrong with. */
function flags(plan, drawn, findings) {
  const wrong = new Map();
  for (const one of findings) if (one.piece && !(wrong.get(one.piece)?.serious)) wrong.set(one.piece, one);
  return s("g", { class: "flags", "pointer-events": "none" }, plan.pieces.filter((one) => drawn.places.has(one.id) && wrong.has(one.id)).map((one) => {
    const [w, t] = extentOf(one, drawn.cmPerPx);
    return s("g", { transform: `translate(${one.at[0] + w / 2} ${drawn.up(one.at[1]) - t / 2}) scale(${drawn.cmPerPx})` },
      s("path", { d: "M0-10 9 7H-9z", fill: wrong.get(one.id).serious ? "#000" : "#fff", stroke: wrong.get(one.id).serious ? "#fff" : "#000", "stroke-width": 1.5 }),
      s("path", { d: "M0-5v6M0 3.4v1.6", stroke: wrong.get(one.id).serious ? "#fff" : "#000", "stroke-width": 2 }));
  }));
}

/** Two fingers zoom and move by the drawing's own view box, so that lines stay sharp. */
function zoomer(frame, drawnNow) {
  const zoom = { k: 1, x: 0, y: 0 };
  const put = () => {
    const { svg, view } = drawnNow();
    const [w, t] = [view[2] / zoom.k, view[3] / zoom.k];
    zoom.x = Math.min(view[0] + view[2] - w, Math.max(view[0], zoom.x));
    zoom.y = Math.min(view[1] + view[3] - t, Math.max(view[1], zoom.y));
    svg.setAttribute("viewBox", `${zoom.x} ${zoom.y} ${w} ${t}`);
    frame.classList.toggle("zoomed", zoom.k > 1.01);
  };
  const by = (factor, at) => {
    const k = Math.min(MOST, Math.max(1, zoom.k * factor));
    zoom.x = at.x - ((at.x - zoom.x) * zoom.k) / k;
    zoom.y = at.y - ((at.y - zoom.y) * zoom.k) / k;
    zoom.k = k;
    put();
  };
  const whole = () => (Object.assign(zoom, { k: 1, x: drawnNow().view[0], y: drawnNow().view[1] }), put());
  return { zoom, put, by, whole, shift: (dx, dy) => ((zoom.x += dx), (zoom.y += dy), put()) };
}

/** {frame, draw, select, show, larger}; calls onchoose(id), onmove(id, result or null, way), onlive(result) while a finger moves, onlift() when it goes. */
export function stage(maker, { mayEdit, onchoose, onmove, onlive, onlift }) {
  const frame = h("div", { class: "wall", tabindex: -1 });
  let drawn = null;
  let chosen = null;
  let shown = null; // another plan, shown for a while
  let view = "front";
  let held = null; // what a finger holds: {from, at, moved, group}
  let waiting = false; // something changed while a finger held a piece
  const plan = () => shown ?? maker.plan;
  const lens = zoomer(frame, () => drawn);
  const point = (one) => new DOMPoint(one.clientX, one.clientY).matrixTransform(drawn.svg.getScreenCTM().inverse());

  const mark = () => {
    drawn.svg.querySelectorAll(".pins, .flags, .points").forEach((one) => one.remove());
    if (shown) return;
    if (view === "front") drawn.svg.append(flags(plan(), drawn, maker.findings ?? []), pins(maker, drawn));
    drawn.svg.append(pointMarks(maker.loads, { ...drawn, figures: view === "loads" }));
  };
  const draw = () => {
    if (held) return void (waiting = true);
    waiting = false;
    if (view === "aisle") return;
    const focused = document.activeElement?.closest?.(".piece")?.dataset.id;
    const wide = Math.max(200, (frame.clientWidth || innerWidth) - 12);
    drawn = drawWall(maker, plan(), { ...lookOf(maker, plan()), live: !shown, framed: true, cmPerPx: widthDrawn(plan()) / wide / Math.max(1, lens.zoom.k) });
    fingers(drawn.svg);
    for (const [id, group] of drawn.places) keys(group, id);
    frame.replaceChildren(drawn.svg);
    frame.classList.toggle("faint", view === "loads");
    if (lens.zoom.k > 1) lens.put();
    mark();
    ring();
    if (focused) drawn.places.get(focused)?.focus();
  };
  const ring = () => {
    if (drawn && !shown) for (const [key, group] of drawn.places) group.setAttribute("aria-pressed", String(key === chosen));
  };
  const let_go = (keep) => {
    const was = held;
    held = null;
    maker.held = false;
    guideLines(drawn, plan(), null);
    if (was?.moved && keep) onmove(chosen, was.result);
    else if (was?.moved || waiting) draw();
    onlift();
  };

  function fingers(svg) {
    let two = null;
    let pulled = null;
    svg.addEventListener("pointerdown", (event) => {
      if (!event.isPrimary || two || shown) return;
      const reach = (event.pointerType === "touch" ? 20 : 6) / svg.getScreenCTM().a;
      const id = pick(drawn, plan(), point(event), reach);
      if (!id) return void (lens.zoom.k > 1.01 && (pulled = point(event), svg.setPointerCapture(event.pointerId)));
      onchoose(id);
      if (!mayEdit) return void onlift();
      svg.setPointerCapture(event.pointerId);
      maker.held = true; // what others do is taken in when the finger has let go
      held = { from: point(event), at: [...plan().pieces.find((one) => one.id === id).at], moved: false, group: drawn.places.get(id) };
    });
    svg.addEventListener("pointermove", (event) => {
      if (!event.isPrimary || two) return;
      const to = point(event);
      if (pulled) return lens.shift(pulled.x - to.x, pulled.y - to.y);
      if (!held) return;
      const piece = plan().pieces.find((one) => one.id === chosen);
      held.result = snap(plan(), piece, [held.at[0] + to.x - held.from.x, held.at[1] - (to.y - held.from.y)], event.altKey ? 0 : undefined);
      held.moved ||= Math.hypot(to.x - held.from.x, to.y - held.from.y) > MOVED;
      held.group.setAttribute("transform", `translate(${held.result.at[0]} ${drawn.up(held.result.at[1])})`);
      guideLines(drawn, plan(), held.result);
      onlive(held.result);
    });
    const end = (keep) => () => ((pulled = null), held && let_go(keep));
    svg.addEventListener("pointerup", end(true));
    svg.addEventListener("pointercancel", end(false));
    // Comes after pointerdown: a finger that holds a piece does not scroll the page, one beside all pieces does.
    svg.addEventListener("touchstart", (event) => {
      if (event.touches.length === 2) {
        if (held) (held.group.setAttribute("transform", `translate(${held.at[0]} ${drawn.up(held.at[1])})`), (held.moved = false), let_go(false));
        two = spread(event);
      }
      if (held || pulled || two) event.preventDefault();
    }, { passive: false });
    svg.addEventListener("touchmove", (event) => {
      if (!two || event.touches.length !== 2) return;
      event.preventDefault();
      const now = spread(event);
      const [from, to] = [point(two.middle), point(now.middle)];
      lens.shift(from.x - to.x, from.y - to.y);
      lens.by(now.far / two.far, point(now.middle));
      two = now;
    }, { passive: false });
    svg.addEventListener("touchend", (event) => two && event.touches.length === 0 && ((two = null), draw()));
    svg.addEventListener("wheel", (event) => event.ctrlKey && (event.preventDefault(), lens.by(Math.exp(-event.deltaY / 200), point(event))), { passive: false });
  }
  const spread = ({ touches: [a, b] }) => ({ far: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY), middle: { clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 } });

  function keys(group, id) {
    group.addEventListener("click", (event) => event.detail === 0 && (onchoose(id), onlift())); // a screen reader's press has no pointer
    group.addEventListener("keydown", (event) => {
      const step = event.shiftKey ? 5 : 1;
      const way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
      if (way && mayEdit) (event.preventDefault(), chosen === id || onchoose(id), onmove(id, null, way));
      else if (event.key === "Enter" || event.key === " ") (event.preventDefault(), onchoose(id, true), onlift());
    });
  }

  return {
    frame, draw, mark: () => drawn && view !== "aisle" && mark(),
    select: (id) => ((chosen = id), ring()),
    focus: (id) => drawn?.places.get(id)?.focus(),
    show: (other) => ((shown = other), draw()),
    /** "front", "loads" or "aisle". */
    look(next) {
      view = next;
      lens.zoom.k = 1;
      frame.classList.remove("zoomed");
      if (view !== "aisle") return draw();
      const image = h("img", { src: address(`${maker.path}/files/aisle.png`, { crowd: 4, revision: maker.base }), alt: _("The stand seen from the aisle, with visitors before it") });
      const wait = h("p", { role: "status", class: "drawing" }, _("It is being drawn …"));
      image.addEventListener("load", () => wait.remove());
      image.addEventListener("error", () => (wait.textContent = _("This cannot be shown just now")));
      frame.replaceChildren(wait, image);
      frame.classList.remove("faint");
    },
    /** Larger shows the chosen piece, or else the wall's middle, where most visitors look first. */
    larger() {
      if (lens.zoom.k > 1.01) return (lens.whole(), draw(), false);
      const at = maker.plan.pieces.find((one) => one.id === chosen)?.at ?? [maker.plan.stand.width / 2, 137];
      Object.assign(lens.zoom, { x: drawn.view[0], y: drawn.view[1] });
      lens.by(2.3, { x: at[0], y: drawn.up(at[1]) });
      draw();
      return true;
    },
  };
}
