// SPDX-License-Identifier: MIT
// The wall that stays in sight: drawn to scale, zoomed by two fingers, pieces dragged with one. It shows the plan as it
// is, or another one for a while (as it was before, a way to arrange it), and marks what is wrong where it is wrong.
import { _ } from "./words.js";
import { h } from "./dom.js";
import { address } from "./server.js";
import { paint } from "./colour.js";
import { drawWall, widthDrawn } from "./drawing.js";
import { pointMarks } from "./loads_words.js";
import { fingers, keys } from "./stage_fingers.js";
import { flags, guideLines, pins } from "./stage_marks.js";

const MOST = 5; // times larger

export function lookOf(maker, plan) {
  const c = plan.cloth;
  if (!c) return {};
  const photo = c.photo && maker.photos.find((one) => c.photo.includes(one.id));
  const known = maker.cloths.find((one) => one.css && one.css === c.colour);
  return photo ? { href: address(photo.urls.cutout) } : { colour: known ? paint(known.lab) : c.colour };
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

const EYES = 137; // cm; where most visitors look first

/** The stand from the aisle, as the program draws it. */
function showAisle(frame, maker) {
  const image = h("img", {
    src: address(`${maker.path}/files/aisle.png`, { crowd: 4, revision: maker.base }),
    alt: _("The stand seen from the aisle, with visitors before it"),
  });
  const wait = h("p", { role: "status", class: "drawing" }, _("It is being drawn …"));
  image.addEventListener("load", () => wait.remove());
  image.addEventListener("error", () => (wait.textContent = _("This cannot be shown just now")));
  frame.replaceChildren(wait, image);
  frame.classList.remove("faint");
}

/** `calls`: mayEdit, onchoose(id), onmove(id, result or null, way), onlive(result) while a finger moves, onlift(). */
class Stage {
  frame = h("div", { class: "wall", tabindex: -1 });
  drawn = null;
  chosen = null;
  shown = null; // another plan, shown for a while
  view = "front";
  held = null; // what a finger holds: {from, at, moved, group}
  waiting = false; // something changed while a finger held a piece
  lens = zoomer(this.frame, () => this.drawn);

  constructor(maker, calls) {
    Object.assign(this, { maker, calls });
  }
  plan() {
    return this.shown ?? this.maker.plan;
  }
  point(one) {
    // Nothing scrolls under a held piece: asking anew would have the whole page laid out at every move.
    const toWall = this.held?.toWall ?? this.drawn.svg.getScreenCTM().inverse();
    return new DOMPoint(one.clientX, one.clientY).matrixTransform(toWall);
  }

  // --- drawing ------------------------------------------------------------------------------------------

  mark() {
    const { drawn, maker } = this;
    if (!drawn || this.view === "aisle") return;
    drawn.svg.querySelectorAll(".pins, .flags, .points").forEach((one) => one.remove());
    if (this.shown) return;
    if (this.view === "front") drawn.svg.append(flags(this.plan(), drawn, maker.findings ?? []), pins(maker, drawn));
    drawn.svg.append(pointMarks(maker.loads, { ...drawn, figures: this.view === "loads" }));
  }
  ring() {
    if (!this.drawn || this.shown) return;
    for (const [id, group] of this.drawn.places) group.setAttribute("aria-pressed", String(id === this.chosen));
  }
  draw() {
    if (this.held) return void (this.waiting = true);
    this.waiting = false;
    if (this.view === "aisle") return;
    const { frame, lens } = this;
    const focused = document.activeElement?.closest?.(".piece")?.dataset.id;
    const wide = Math.max(200, (frame.clientWidth || innerWidth) - 12);
    const cmPerPx = widthDrawn(this.plan()) / wide / Math.max(1, lens.zoom.k);
    const look = { ...lookOf(this.maker, this.plan()), live: !this.shown, framed: true, cmPerPx };
    this.drawn = drawWall(this.maker, this.plan(), look);
    fingers(this.drawn.svg, this);
    for (const [id, group] of this.drawn.places) keys(group, id, this);
    frame.replaceChildren(this.drawn.svg);
    frame.classList.toggle("faint", this.view === "loads");
    if (lens.zoom.k > 1) lens.put();
    this.mark();
    this.ring();
    if (focused) this.drawn.places.get(focused)?.focus();
  }
  guide(result) {
    guideLines(this.drawn, this.plan(), result);
  }

  // --- a piece in the hand --------------------------------------------------------------------------------

  take(id, from) {
    this.maker.held = true; // what others do is taken in when the finger has let go
    const at = [...this.plan().pieces.find((one) => one.id === id).at];
    const toWall = this.drawn.svg.getScreenCTM().inverse();
    this.held = { from, at, toWall, moved: false, group: this.drawn.places.get(id) };
    this.held.group.classList.add("held");
    this.frame.classList.add("holds");
  }
  letGo(keep) {
    const was = this.held;
    this.held = null;
    was?.group.classList.remove("held");
    was?.group.style.removeProperty("transform");
    this.frame.classList.remove("holds");
    this.maker.held = false;
    this.guide(null);
    if (was?.moved && keep) this.calls.onmove(this.chosen, was.result);
    else if (was?.moved || this.waiting) this.draw();
    this.calls.onlift();
  }

  // --- what the views ask for -----------------------------------------------------------------------------

  select(id) {
    this.chosen = id;
    this.ring();
  }
  focus(id) {
    this.drawn?.places.get(id)?.focus();
  }
  /** Another plan for a while, or null for the plan itself. */
  show(other) {
    this.shown = other;
    this.draw();
  }
  /** "front", "loads" or "aisle". */
  look(next) {
    this.view = next;
    this.lens.zoom.k = 1;
    this.frame.classList.remove("zoomed");
    if (next === "aisle") showAisle(this.frame, this.maker);
    else this.draw();
  }
  /** Larger shows the chosen piece, or else the wall's middle; true while it is larger. */
  larger() {
    const { lens, drawn, maker } = this;
    const isLarge = lens.zoom.k > 1.01;
    if (isLarge) lens.whole();
    else {
      const at = maker.plan.pieces.find((one) => one.id === this.chosen)?.at ?? [maker.plan.stand.width / 2, EYES];
      Object.assign(lens.zoom, { x: drawn.view[0], y: drawn.view[1] });
      lens.by(2.3, { x: at[0], y: drawn.up(at[1]) });
    }
    this.draw();
    return !isLarge;
  }
}

export const stage = (maker, calls) => new Stage(maker, calls);
