// SPDX-License-Identifier: MIT
// Fingers and keys on the drawn wall: one finger drags a piece, or the enlarged wall beside all pieces; two zoom.
import { extentOf } from "./drawing.js";
import { snap } from "./moves.js";

const MOVED = 1; // cm; less is a touch

/** What a finger means: the smallest piece under it, else the nearest within its own width. */
function pick(drawn, plan, { x, y }, reach) {
  const size = (one) => extentOf(one, drawn.cmPerPx);
  const far = (one) =>
    Math.hypot(
      Math.max(0, Math.abs(x - one.at[0]) - size(one)[0] / 2),
      Math.max(0, Math.abs(y - drawn.up(one.at[1])) - size(one)[1] / 2),
    );
  const near = plan.pieces
    .filter((one) => drawn.places.has(one.id))
    .map((one) => ({ id: one.id, far: far(one), area: size(one)[0] * size(one)[1] }))
    .filter((one) => one.far <= reach);
  return near.sort((a, b) => a.far - b.far || a.area - b.area)[0]?.id ?? null;
}

const spread = ({ touches: [a, b] }) => ({
  far: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY),
  middle: { clientX: (a.clientX + b.clientX) / 2, clientY: (a.clientY + b.clientY) / 2 },
});
/** By style, so that the held piece is a layer of its own and nothing else is painted again (wall.css). */
const putAt = ({ held, drawn }, [x, y]) => held.group.style.setProperty("transform", `translate(${x}px, ${drawn.up(y)}px)`);

/** One finger or the mouse. `stage` is what stage.js shares: it holds a piece, or pulls the enlarged wall. */
function oneFinger(svg, stage) {
  const { lens, calls } = stage;
  let pulled = null;
  svg.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary || stage.two || stage.shown) return;
    const reach = (event.pointerType === "touch" ? 20 : 6) / svg.getScreenCTM().a;
    const id = pick(stage.drawn, stage.plan(), stage.point(event), reach);
    if (!id && lens.zoom.k > 1.01) ((pulled = stage.point(event)), svg.setPointerCapture(event.pointerId));
    if (!id) return;
    calls.onchoose(id);
    if (!calls.mayEdit) return void calls.onlift();
    svg.setPointerCapture(event.pointerId);
    stage.take(id, stage.point(event));
  });
  svg.addEventListener("pointermove", (event) => {
    if (!event.isPrimary || stage.two) return;
    const to = stage.point(event);
    if (pulled) return lens.shift(pulled.x - to.x, pulled.y - to.y);
    if (stage.held) drag(stage, to, event.altKey);
  });
  const end = (keep) => () => ((pulled = null), stage.held && stage.letGo(keep));
  svg.addEventListener("pointerup", end(true));
  svg.addEventListener("pointercancel", end(false));
  return { isPulling: () => pulled !== null };
}

function drag(stage, to, freely) {
  const { held } = stage;
  const piece = stage.plan().pieces.find((one) => one.id === stage.chosen);
  const [dx, dy] = [to.x - held.from.x, to.y - held.from.y];
  held.result = snap(stage.plan(), piece, [held.at[0] + dx, held.at[1] - dy], freely ? 0 : undefined);
  held.moved ||= Math.hypot(dx, dy) > MOVED;
  putAt(stage, held.result.at);
  stage.guide(held.result);
  stage.calls.onlive(held.result);
}

/** A second finger came: the piece goes back to where it was. */
function putBack(stage) {
  stage.held.moved = false;
  stage.letGo(false);
}

function twoFingers(svg, stage, one) {
  const { lens } = stage;
  // Comes after pointerdown: a finger that holds a piece does not scroll the page, one beside all pieces does.
  const start = (event) => {
    if (event.touches.length === 2) {
      if (stage.held) putBack(stage);
      stage.two = spread(event);
    }
    if (stage.held || one.isPulling() || stage.two) event.preventDefault();
  };
  const move = (event) => {
    if (!stage.two || event.touches.length !== 2) return;
    event.preventDefault();
    const now = spread(event);
    const [from, to] = [stage.point(stage.two.middle), stage.point(now.middle)];
    lens.shift(from.x - to.x, from.y - to.y);
    lens.by(now.far / stage.two.far, stage.point(now.middle));
    stage.two = now;
  };
  const end = (event) => stage.two && event.touches.length === 0 && ((stage.two = null), stage.draw());
  const wheel = (event) => event.ctrlKey && (event.preventDefault(), lens.by(Math.exp(-event.deltaY / 200), stage.point(event)));
  svg.addEventListener("touchstart", start, { passive: false });
  svg.addEventListener("touchmove", move, { passive: false });
  svg.addEventListener("touchend", end);
  svg.addEventListener("wheel", wheel, { passive: false });
}

export function fingers(svg, stage) {
  stage.two = null;
  twoFingers(svg, stage, oneFinger(svg, stage));
}

/** Arrow keys move a piece, Enter and Space choose it; a screen reader's press has no pointer. */
export function keys(group, id, stage) {
  const { onchoose, onlift, onmove, mayEdit } = stage.calls;
  group.addEventListener("click", (event) => event.detail === 0 && (onchoose(id), onlift()));
  group.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 5 : 1;
    const way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
    if (way && mayEdit) (event.preventDefault(), stage.chosen === id || onchoose(id), onmove(id, null, way));
    else if (event.key === "Enter" || event.key === " ") (event.preventDefault(), onchoose(id, true), onlift());
  });
}
