// SPDX-License-Identifier: MIT
// The wall: pieces dragged with snapping, or moved by keys and buttons in centimetres; warnings follow.
import { _, length, plural } from "./words.js";
import { button, empty, field, fill, h, s, say, tell } from "./dom.js";
import { address, call } from "./server.js";
import { paint } from "./colour.js";
import { drawWall, extentOf, isMeasured, numberOf, photoOf, stands, widthDrawn } from "./drawing.js";
import { remarks } from "./remarks.js";
import { inspector } from "./inspector.js";
import { standForm } from "./stand.js";
import { isSized, sizeAsker, unsized } from "./sizes.js";

const SNAP = 3; // cm
const round = (v) => Math.round(v * 10) / 10;

/** Where a piece would rather be: centre lines, tops, bottoms and gaps of its neighbours, and the wall's middle. */
export function snap(plan, piece, [x, y], within = SNAP) {
  const gap = plan.gap ?? 8;
  const others = plan.pieces.filter((one) => one !== piece && one.id !== piece.id && one.at && isMeasured(one));
  const half = isMeasured(piece) ? [piece.width / 2, piece.height / 2] : [0, 0];
  const xs = [[plan.stand.width / 2, plan.stand.width / 2]];
  const ys = [];
  for (const one of others) {
    const [w, t] = [one.width / 2, one.height / 2];
    xs.push([one.at[0], one.at[0]], [one.at[0] + w + gap + half[0], one.at[0] + w + gap / 2], [one.at[0] - w - gap - half[0], one.at[0] - w - gap / 2]);
    ys.push([one.at[1], one.at[1]], [one.at[1] + t - half[1], one.at[1] + t], [one.at[1] - t + half[1], one.at[1] - t]);
  }
  for (const shelf of [...(plan.shelves ?? []), ...(plan.tables ?? []).map((table) => ({ y: table.height ?? 74 }))]) ys.push([(shelf.y ?? 120) + half[1], shelf.y ?? 120]);
  const nearest = (list, v) => list.reduce((best, one) => (Math.abs(one[0] - v) < Math.abs((best?.[0] ?? Infinity) - v) ? one : best), null);
  const take = (best, v) => (best && Math.abs(best[0] - v) <= within ? best : [v, null]);
  const [sx, lineX] = take(nearest(xs, x), x);
  const [sy, lineY] = take(nearest(ys, y), y);
  return { at: [round(sx), round(sy)], lineX, lineY };
}

function lookOf(maker, plan) {
  const c = plan.cloth;
  if (!c) return {};
  const photo = c.photo && maker.photos.find((one) => c.photo.includes(one.id));
  const known = maker.cloths.find((one) => one.css && one.css === c.colour);
  return photo ? { href: address(photo.urls.cutout) } : { colour: known ? paint(known.lab) : c.colour };
}

function findingLines(maker, answer) {
  const loads = answer.loads ?? {};
  const over = [...(loads.points ?? []), ...(loads.shelves ?? []), ...(loads.rods ?? [])].filter((one) => one.ok === false).length;
  const findings = answer.findings ?? [];
  // Of those that hang the findings say it, one by one.
  const unweighed = (maker.plan.pieces ?? []).filter((piece) => piece.at && stands(piece) && !(piece.weight_g > 0)).length;
  return [
    over ? h("li", { class: "finding serious" }, h("b", { "aria-hidden": "true" }, "▲"), plural("%d place carries more than it is rated for. Look at the set-up sheet before anything is hung.", "%d places carry more than they are rated for. Look at the set-up sheet before anything is hung.", over)) : null,
    findings.map((one) => h("li", { class: `finding ${one.serious ? "serious" : ""}` }, h("b", { "aria-hidden": "true" }, one.serious ? "▲" : "·"), h("span", null, one.text))),
    unweighed ? h("li", { class: "finding" }, h("b", { "aria-hidden": "true" }, "·"), plural("%d piece is not weighed and counts as nothing here.", "%d pieces are not weighed and count as nothing here.", unweighed)) : null,
    !over && !findings.length ? h("li", { class: "finding" }, h("b", { "aria-hidden": "true" }, "✓"), _("Nothing stands in the way: no piece overlaps another, and no rating that you gave is exceeded.")) : null,
  ];
}

export async function show(main, maker, { me }) {
  const mayEdit = me.role !== "viewer";
  const frame = h("div", { class: "wall", tabindex: -1 });
  const found = h("ul", { "aria-live": "polite", "aria-label": _("Warnings") });
  const tray = h("div", { class: "stack" });
  const asker = h("div");
  const byName = h("select", { onchange: () => select(byName.value) });
  const ways = h("div", { class: "stack" });
  const bench = h("div", { class: "stack" });
  let chosen = null;
  let drawn = null;
  const piece = (plan = maker.plan) => plan.pieces.find((one) => one.id === chosen);

  const guides = (plan, result) => {
    const lines = [];
    if (result?.lineX != null) lines.push(`M${result.lineX} 0V${plan.stand.wall_height}`);
    if (result?.lineY != null) lines.push(`M0 ${drawn.up(result.lineY)}H${plan.stand.width}`);
    const layer = drawn.svg.querySelector(".guides");
    layer.replaceChildren(...lines.flatMap((d) => [s("path", { d, stroke: "#fff", "stroke-width": 1.6 }), s("path", { d, stroke: "#000", "stroke-width": 0.6 })]));
  };
  const select = (id) => {
    chosen = id;
    for (const [key, group] of drawn.places) group.setAttribute("aria-pressed", String(key === id));
    byName.value = chosen ?? "";
    empty(bench, piece() ? inspector(maker, piece(), { mayEdit, nudge, change, number: numberOf(maker.plan, piece()) }) : h("p", { class: "small" }, mayEdit ? _("Touch a piece on the wall to move it, or to say how it is held.") : _("Touch a piece on the wall to read about it.")));
    if (piece() && mayEdit) bench.append(button(_("Pin a remark to this place"), () => talk.write({ wall: piece()?.at ?? [maker.plan.stand.width / 2, 137] }), { class: "button quiet" }));
  };
  const change = (work) => maker.edit((plan) => work(piece(plan), plan));
  const nudge = (dx, dy) => {
    change((one) => void (one.at = [round((one.at?.[0] ?? 0) + dx), round((one.at?.[1] ?? 0) + dy)]));
    say(_("Middle %1$s from the left, %2$s above the floor.", length(piece().at[0]), length(piece().at[1])));
  };
  let asked = 0;
  const checkLater = (plan) => {
    const turn = ++asked;
    setTimeout(async () => {
      if (turn !== asked) return;
      const answer = await maker.check(plan);
      if (answer && turn === asked) empty(found, findingLines(maker, answer));
    }, 40);
  };

  const place = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(drawn.svg.getScreenCTM().inverse());
  /** What a finger means: the smallest piece under it, else the nearest within its own width. */
  const pick = (event) => {
    const { x, y } = place(event);
    const reach = (event.pointerType === "touch" ? 20 : 6) / drawn.svg.getScreenCTM().a;
    const size = (one) => extentOf(one, drawn.cmPerPx);
    const far = (one) => Math.hypot(Math.max(0, Math.abs(x - one.at[0]) - size(one)[0] / 2), Math.max(0, Math.abs(y - drawn.up(one.at[1])) - size(one)[1] / 2));
    const near = maker.plan.pieces.filter((one) => drawn.places.has(one.id)).map((one) => ({ id: one.id, far: far(one), area: size(one)[0] * size(one)[1] })).filter((one) => one.far <= reach);
    return near.sort((a, b) => a.far - b.far || a.area - b.area)[0]?.id ?? null;
  };
  const drag = (svg) => {
    let start = null;
    svg.addEventListener("pointerdown", (event) => {
      const id = pick(event);
      if (!id) return;
      select(id);
      if (!mayEdit) return;
      svg.setPointerCapture(event.pointerId);
      start = { from: place(event), at: [...piece().at], moved: false, group: drawn.places.get(id) };
    });
    svg.addEventListener("pointermove", (event) => {
      if (!start) return;
      const to = place(event);
      const result = snap(maker.plan, piece(), [start.at[0] + to.x - start.from.x, start.at[1] - (to.y - start.from.y)], event.altKey ? 0 : SNAP);
      start.moved ||= Math.hypot(to.x - start.from.x, to.y - start.from.y) > 1;
      start.to = result.at;
      start.group.setAttribute("transform", `translate(${result.at[0]} ${drawn.up(result.at[1])})`);
      guides(maker.plan, result);
      const trial = structuredClone(maker.plan);
      piece(trial).at = result.at;
      checkLater(trial);
    });
    const end = (keep) => () => {
      if (start?.moved && keep) change((one) => void (one.at = start.to));
      else if (start) draw();
      start = null;
      guides(maker.plan, null);
    };
    // Comes after pointerdown: a finger that holds a piece does not scroll the page, one beside all pieces does.
    svg.addEventListener("touchstart", (event) => start && event.preventDefault(), { passive: false });
    svg.addEventListener("pointerup", end(true));
    svg.addEventListener("pointercancel", end(false));
  };
  const keys = (group, id) => {
    group.addEventListener("click", (event) => event.detail === 0 && select(id)); // a screen reader's press has no pointer
    group.addEventListener("keydown", (event) => {
      const step = event.shiftKey ? 5 : 1;
      const way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
      if (way && mayEdit) (event.preventDefault(), chosen === id || select(id), nudge(...way));
      else if (event.key === "Enter" || event.key === " ") (event.preventDefault(), select(id), bench.querySelector("h2")?.focus());
    });
  };

  // A pin's head stands beside its place, as large on a phone as on a desk: the place itself stays in sight.
  const pins = () => {
    drawn.svg.querySelector(".pins")?.remove();
    const here = maker.comments.filter((remark) => remark.on?.wall);
    const px = drawn.cmPerPx;
    drawn.svg.append(s("g", { class: "pins", "pointer-events": "none" }, here.map((remark, i) =>
      s("g", { transform: `translate(${remark.on.wall[0]} ${drawn.up(remark.on.wall[1])}) scale(${px})` },
        s("path", { d: "M0 0 9 -15", stroke: "#fff", "stroke-width": 3.5 }), s("path", { d: "M0 0 9 -15", stroke: "#000", "stroke-width": 1.5 }),
        s("circle", { cx: 12, cy: -20, r: 9, fill: "#fff", stroke: "#000", "stroke-width": 1.5 }),
        s("text", { x: 12, y: -20, "font-size": 12, "font-weight": 700, "text-anchor": "middle", "dominant-baseline": "central", fill: "#000" }, String(i + 1))))));
  };
  const waitingPieces = () => (maker.plan.pieces ?? []).filter((one) => !one.at && isSized(maker, one));
  const putUp = (id) => {
    maker.edit((plan) => {
      const one = plan.pieces.find((other) => other.id === id);
      one.at = [plan.stand.width / 2, round(Math.min(plan.stand.wall_height - one.height / 2, 137))];
    });
    select(id);
    drawn.places.get(id)?.focus();
  };
  const drawTray = () => {
    const left = waitingPieces();
    empty(tray, left.length ? [h("h2", null, _("Not on the wall yet")), h("ul", { class: "row" }, left.map((one) => {
      const photo = photoOf(maker, one);
      const words = one.title ?? one.id;
      return h("li", null, mayEdit ? button([photo && h("img", { src: address(photo.urls.cutout), alt: "", width: 32, height: 32, style: { "object-fit": "contain" } }), h("span", null, words)], () => putUp(one.id), { "aria-label": _("Put %s on the wall", words) }) : words);
    }))] : []);
  };
  // Larger shows the chosen piece, or else the wall's middle, where most visitors look first.
  const enlarge = () => {
    larger.setAttribute("aria-pressed", String(frame.classList.toggle("large")));
    draw();
    const side = getComputedStyle(frame).direction === "rtl" ? -1 : 1;
    frame.scrollLeft = (side * (frame.scrollWidth - frame.clientWidth)) / 2;
    frame.querySelector(".piece[aria-pressed=true]")?.scrollIntoView({ block: "nearest", inline: "center" });
  };
  const larger = button(_("Larger"), () => enlarge(), { "aria-pressed": "false" });
  const undo = button(_("Undo"), () => step("undo"));
  const redo = button(_("Redo"), () => step("redo"));
  const step = async (way) => {
    try {
      await maker.step(way);
      say(way === "undo" ? _("Undone.") : _("Done again."));
    } catch (error) {
      tell(error.message);
    }
  };
  const draw = () => {
    const focused = document.activeElement?.closest?.(".piece")?.dataset.id;
    const across = (frame.clientWidth || innerWidth) * (frame.classList.contains("large") ? 2.3 : 1);
    drawn = drawWall(maker, maker.plan, { ...lookOf(maker, maker.plan), live: true, cmPerPx: widthDrawn(maker.plan) / Math.max(200, across - 12) });
    drag(drawn.svg);
    for (const [id, group] of drawn.places) keys(group, id);
    empty(byName, h("option", { value: "" }, _("none")), [...drawn.places.keys()].map((id) => maker.plan.pieces.find((one) => one.id === id)).map((one) => h("option", { value: one.id }, `${numberOf(maker.plan, one)}  ${one.title ?? one.id}`)));
    byName.value = chosen ?? "";
    empty(frame, drawn.svg);
    pins();
    if (focused) drawn.places.get(focused)?.focus();
    if (chosen && !bench.contains(document.activeElement)) select(piece() ? chosen : null);
    else for (const [key, group] of drawn.places) group.setAttribute("aria-pressed", String(key === chosen));
    drawTray();
    if (!asker.contains(document.activeElement) || document.activeElement.matches("button")) empty(asker, mayEdit && sizeAsker(maker));
    undo.disabled = !maker.canUndo;
    redo.disabled = !maker.canRedo;
    if (maker.saved) empty(found, findingLines(maker, maker));
    else checkLater(maker.plan);
  };
  const arrange = async () => {
    // A piece without a size is not placed by guess: it waits until it is measured.
    const waits = new Set(unsized(maker).map((one) => one.id));
    const known = { ...maker.plan, pieces: maker.plan.pieces.filter((one) => !waits.has(one.id)) };
    if (!known.pieces.length) return void (asker.querySelector("h2")?.focus(), asker.scrollIntoView({ block: "center" }), tell(_("Measure the pieces first; then they can be arranged.")));
    const taken = (way) => (plan) => {
      const placed = new Map(way.plan.pieces.map((one) => [one.id, one]));
      Object.assign(plan, way.plan, { pieces: plan.pieces.map((one) => placed.get(one.id) ?? one) });
    };
    empty(ways, h("p", { role: "status" }, _("Trying ways to hang them …")));
    try {
      const answer = await call("POST", `${maker.path}/plan/arrange`, { plan: known, seed: 1 + Math.floor(Math.random() * 1e6) });
      empty(ways, h("h2", { tabindex: -1 }, _("Choose a way")), h("ul", { class: "ways" }, (answer.ways ?? []).map((way, i) =>
        h("li", { class: "sheet stack" }, h("h3", null, _("Way %d", i + 1)), h("div", { class: "wall" }, drawWall(maker, way.plan, { ...lookOf(maker, way.plan), words: _("Way %d, to scale", i + 1) }).svg),
          (way.reasons ?? []).slice(0, 3).map((reason) => h("p", { class: "small" }, reason)),
          way.left_off?.length ? h("p", null, plural("%d piece finds no place.", "%d pieces find no place.", way.left_off.length)) : null,
          button(_("Take this way"), () => (maker.edit(taken(way)), empty(ways), say(_("The wall is arranged."))), { class: "button main", "aria-label": _("Take way %d", i + 1) })))),
        h("div", null, button(_("Keep the wall as it is"), () => empty(ways), { class: "button quiet" })));
      ways.querySelector("h2").focus();
    } catch (error) {
      empty(ways, h("p", { role: "alert" }, error.message));
    }
  };
  const talk = remarks(maker, { wall: true }, me);
  const standBox = h("div");
  const drawStand = () => standBox.contains(document.activeElement) || empty(standBox, mayEdit && standForm(maker));
  const changed = () => (draw(), drawStand());
  maker.addEventListener("plan", changed);
  maker.addEventListener("change", changed);
  fill(main, h("div", { class: "row apart" }, h("h1", null, _("The wall")), mayEdit && h("div", { class: "row" }, undo, redo, button(_("Arrange it for me"), arrange, { class: "button main" }))),
    ways, h("div", { class: "two" }, h("div", { class: "stack" }, frame, h("div", { class: "row" }, larger, h("div", { class: "named" }, field(_("Chosen piece"), byName))), mayEdit && h("p", { class: "hint" }, _("Drag a piece, or move it with the arrow keys: 1 cm, with Shift 5 cm. The dashed lines are the sight band.")), tray, asker),
      h("aside", { class: "stack" }, h("div", { class: "sheet stack" }, bench), h("section", { class: "sheet" }, h("h2", null, _("Before it is hung")), found, h("p", { class: "small" }, _("This is planning help. Local codes, the venue's rules and a licensed person decide."))), talk.box), h("div", { class: "under" }, standBox)));
  draw();
  let seen = frame.clientWidth;
  const sizes = new ResizeObserver(() => Math.abs(frame.clientWidth - seen) > 8 && ((seen = frame.clientWidth), draw()));
  sizes.observe(frame);
  drawStand();
  select(null);
  talk.draw();
  return () => (sizes.disconnect(), talk.stop(), maker.removeEventListener("plan", changed), maker.removeEventListener("change", changed));
}
