// SPDX-License-Identifier: MIT
// One piece: its cut-out corrected by touching, its name and size, and remarks pinned to its photo.
import { _ } from "./words.js";
import { ask, button, empty, field, fill, h, measureOf, say, tell } from "./dom.js";
import { address, call } from "./server.js";
import { titleOf } from "./maker.js";
import { remarks } from "./remarks.js";

const tools = () => [
  ["keep", _("Keep"), _("Draw over parts of the piece that are missing.")],
  ["drop", _("Drop"), _("Draw over background that was taken for the piece.")],
  ["box", _("Box"), _("Draw a box tightly round the piece.")],
  ["white", _("White paper"), _("Draw a box on white paper in the photo; the colours are then corrected by it.")],
  ["remark", _("Remark"), _("Touch the place that you want to say something about.")],
];

const load = (src) => new Promise((resolve, reject) => {
  const image = new Image();
  image.onload = () => resolve(image);
  image.onerror = reject;
  image.src = src;
});

// The background is veiled in grey, so that what is kept is what is seen.
function veilOf(mask, width, height) {
  const veil = h("canvas", { width, height });
  const pen = veil.getContext("2d", { willReadFrequently: true });
  pen.drawImage(mask, 0, 0, width, height);
  const pixels = pen.getImageData(0, 0, width, height);
  for (let i = 0; i < pixels.data.length; i += 4) {
    const kept = pixels.data[i];
    const edge = kept > 96 && kept < 160;
    pixels.data.fill(edge ? 255 : 110, i, i + 3);
    pixels.data[i + 3] = edge ? 255 : (255 - kept) * 0.82;
  }
  pen.putImageData(pixels, 0, 0);
  return veil;
}

function paint(canvas, view) {
  const { width, height } = canvas;
  const pen = canvas.getContext("2d");
  const k = width / view.photo.pixels[0];
  const px = width / (canvas.clientWidth || width); // marks are as large on a phone as on a desk
  pen.drawImage(view.image, 0, 0, width, height);
  if (view.veil) pen.drawImage(view.veil, 0, 0);
  pen.lineWidth = 2 * px;
  for (const [x, y, keep] of [...view.help.keep.map((p) => [...p, true]), ...view.help.drop.map((p) => [...p, false])]) {
    pen.beginPath();
    pen.arc(x * k, y * k, 5 * px, 0, 7);
    pen.fillStyle = keep ? "#fff" : "#000";
    pen.strokeStyle = keep ? "#000" : "#fff";
    pen.fill();
    pen.stroke();
  }
  for (const [box, dash] of [[view.help.box, []], [view.help.white, [6 * px, 4 * px]], [view.drawn, [2 * px, 2 * px]]]) {
    if (!box) continue;
    for (const [colour, wide] of [["#000", 4], ["#fff", 2]]) {
      Object.assign(pen, { strokeStyle: colour, lineWidth: wide * px });
      pen.setLineDash(dash);
      pen.strokeRect(box[0] * k, box[1] * k, box[2] * k, box[3] * k);
    }
    pen.setLineDash([]);
  }
  view.pins.forEach(([x, y], i) => {
    pen.beginPath();
    pen.arc(x * k, y * k, 11 * px, 0, 7);
    Object.assign(pen, { fillStyle: "#fff", strokeStyle: "#000", lineWidth: 2 * px, font: `bold ${13 * px}px sans-serif`, textAlign: "center", textBaseline: "middle" });
    pen.fill();
    pen.stroke();
    pen.fillStyle = "#000";
    pen.fillText(i + 1, x * k, y * k);
  });
  if (!view.cross) return;
  const [x, y] = [view.cross[0] * k, view.cross[1] * k];
  for (const [colour, wide] of [["#fff", 5], ["#000", 2]]) {
    Object.assign(pen, { strokeStyle: colour, lineWidth: wide * px });
    pen.beginPath();
    pen.moveTo(x - 14 * px, y); pen.lineTo(x + 14 * px, y); pen.moveTo(x, y - 14 * px); pen.lineTo(x, y + 14 * px);
    pen.stroke();
  }
}

const boxOf = ([x, y], [u, v]) => [Math.min(x, u), Math.min(y, v), Math.max(1, Math.abs(u - x)), Math.max(1, Math.abs(v - y))];

/** The photo with its tools. `apply` gets the whole help each time; `pin` gets a place. */
function editor(maker, photo, { apply, pin, mayEdit }) {
  const canvas = h("canvas", { tabindex: 0, role: "application", width: 10, height: 10, "aria-label": _("Photo of %s. Arrow keys move the cross, Shift makes larger steps, Enter marks the place.", titleOf(photo)) });
  const view = { photo, help: { box: null, keep: [], drop: [], white: null, ...structuredClone(photo.help ?? {}) }, pins: [], cross: null };
  view.help.keep ??= [];
  view.help.drop ??= [];
  const past = [];
  let tool = mayEdit ? "keep" : "remark";
  let from = null;
  const hint = h("p", { class: "hint" });
  const undo = button(_("Undo"), () => past.length && ((view.help = past.pop()), done()), { disabled: true });
  const draw = () => view.image && paint(canvas, view);
  const done = () => ((undo.disabled = !past.length), draw(), apply(structuredClone(view.help)));
  const remember = () => past.push(structuredClone(view.help));

  const at = (event) => {
    const frame = canvas.getBoundingClientRect();
    return [event.clientX - frame.left, event.clientY - frame.top].map((v, i) => Math.round(Math.min(Math.max(0, (v / (i ? frame.height : frame.width)) * photo.pixels[i]), photo.pixels[i] - 1)));
  };
  const begin = (place) => {
    if (tool === "remark") return pin(place);
    from = place;
    remember();
    if (tool === "keep" || tool === "drop") view.help[tool].push(place);
  };
  const move = (place) => {
    if (!from) return;
    if (tool === "box" || tool === "white") view.drawn = boxOf(from, place);
    else if (Math.hypot(place[0] - from[0], place[1] - from[1]) > photo.pixels[0] / 40) view.help[tool].push((from = place));
    draw();
  };
  const end = () => {
    if (!from) return;
    from = null;
    if (tool === "box" || tool === "white") {
      if (!view.drawn || view.drawn[2] < 8 || view.drawn[3] < 8) return void (past.pop(), (view.drawn = null), draw());
      view.help[tool] = view.drawn;
      view.drawn = null;
    }
    done();
  };
  canvas.addEventListener("pointerdown", (event) => (canvas.setPointerCapture(event.pointerId), (view.cross = null), begin(at(event)), draw()));
  canvas.addEventListener("pointermove", (event) => move(at(event)));
  canvas.addEventListener("pointerup", end);
  canvas.addEventListener("pointercancel", end);
  canvas.addEventListener("keydown", (event) => {
    const step = photo.pixels[0] / (event.shiftKey ? 12 : 80);
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    view.cross ??= photo.pixels.map((side) => side / 2);
    if (way) {
      view.cross = view.cross.map((v, i) => Math.round(Math.min(Math.max(0, v + way[i] * step), photo.pixels[i] - 1)));
      if (from && (tool === "box" || tool === "white")) view.drawn = boxOf(from, view.cross);
    } else if (event.key === "Enter" || event.key === " ") {
      const corner = tool === "box" || tool === "white";
      if (corner && !from) (begin([...view.cross]), say(_("First corner set. Move to the opposite corner and press Enter.")));
      else if (corner) end();
      else (begin([...view.cross]), end());
    } else return;
    event.preventDefault();
    draw();
  });
  const choice = h("div", { class: "row", role: "group", "aria-label": _("What a touch does") }, tools().filter(([name]) => mayEdit || name === "remark").map(([name, words, explained]) =>
    button(words, () => use(name), { data: { name }, "aria-description": explained })));
  const use = (name) => {
    tool = name;
    from = view.drawn = null;
    for (const one of choice.children) one.setAttribute("aria-pressed", one.dataset.name === name);
    hint.textContent = tools().find(([other]) => other === name)[2];
  };
  use(tool);
  const again = async (fresh) => {
    view.photo = photo = fresh;
    [view.image, view.mask] = await Promise.all([load(address(fresh.urls.preview)), load(address(fresh.urls.mask))]);
    canvas.width = Math.min(view.image.naturalWidth, 1000);
    canvas.height = Math.round((canvas.width * fresh.pixels[1]) / fresh.pixels[0]);
    view.veil = veilOf(view.mask, canvas.width, canvas.height);
    draw();
  };
  const box = h("div", { class: "stack" }, choice, hint, h("div", { class: "editor" }, canvas),
    mayEdit && h("div", { class: "row" }, undo, button(_("Start afresh"), () => (remember(), (view.help = { box: null, keep: [], drop: [], white: null }), done()))));
  return { box, again, pins: (pins) => ((view.pins = pins), draw()) };
}

function details(maker, photo, mayEdit) {
  const number = (value, gifts) => h("input", { type: "number", inputmode: "decimal", min: 0, step: "any", value: value ?? "", disabled: !mayEdit, ...gifts });
  const title = h("input", { value: photo.title ?? "", disabled: !mayEdit, maxlength: 120 });
  const width = number(photo.width_cm);
  const height = number(photo.height_cm);
  const weight = number(photo.weight_g);
  const value = (input) => (input.value === "" ? null : measureOf(input));
  const save = async (event) => {
    event.preventDefault();
    try {
      await maker.change(photo, { title: title.value, width_cm: value(width), height_cm: value(height), weight_g: value(weight) });
      if (maker.saved) await maker.loadPlan();
      tell(_("Saved."));
    } catch (error) {
      tell(error.message);
    }
  };
  return h("form", { class: "sheet stack", onsubmit: save }, h("h2", null, _("Name and size")), field(_("Name"), title),
    h("div", { class: "fields" }, field(_("Width, cm"), width), field(_("Height, cm"), height), field(_("Weight, g"), weight)),
    h("p", { class: "hint" }, _("An inch is 2.54 cm, an ounce 28.35 g. Weigh what will hang: nothing is guessed.")), mayEdit && h("button", { class: "button main" }, _("Save")));
}

export async function show(main, maker, { me, parts, addressOf, go }) {
  const photo = maker.photo(parts[0]);
  if (!photo) throw new Error(_("This piece is no longer here. Go back to all pieces."));
  const mayEdit = me.role !== "viewer";
  const notes = h("ul", { class: "stack" });
  const busy = h("p", { role: "status", class: "small" });
  let wanted = null;
  let working = false;
  const apply = async (help) => {
    wanted = help;
    if (working) return;
    working = true;
    busy.textContent = _("Cutting out …");
    while (wanted) {
      const now = wanted;
      wanted = null;
      try {
        const better = await maker.help(maker.photo(photo.id), now);
        if (!wanted) await edit.again(better);
        tellNotes(better);
      } catch (error) {
        tell(error.message);
      }
    }
    working = false;
    busy.textContent = "";
  };
  const tellNotes = (one) => empty(notes, (one.reading?.notes ?? []).map((note) => h("li", null, note)));
  const talk = remarks(maker, { photo: photo.id }, me);
  const edit = editor(maker, photo, { apply, mayEdit, pin: (at) => talk.write({ photo: photo.id, at }) });
  talk.onpins = (pins) => edit.pins(pins.map((one) => one.on.at).filter(Boolean));
  const remove = async () => {
    const sure = await ask(_("Take %s away?", titleOf(photo)), h("p", null, _("The photo and its place on the wall go. You can bring it back within 30 days.")), [{ words: _("Take away"), value: true }, { words: _("Keep it"), value: false }]);
    if (!sure) return;
    await call("DELETE", `/api/photos/${encodeURIComponent(photo.id)}`);
    await maker.load();
    go(addressOf(maker.id));
    tell(_("%s is taken away.", titleOf(photo)), { words: _("Bring it back"), run: async () => (await call("POST", `/api/photos/${encodeURIComponent(photo.id)}/restore`), maker.load()) });
  };
  tellNotes(photo);
  // The program opens the photo while it is looked at, so that the first touch need not wait for that.
  if (mayEdit) call("POST", `/api/photos/${encodeURIComponent(photo.id)}/ready`).catch(() => {});
  fill(main, h("div", { class: "row apart" }, h("h1", null, titleOf(photo)), h("a", { class: "button", href: addressOf(maker.id) }, _("All pieces"))),
    h("div", { class: "two" }, h("div", { class: "stack" }, edit.box, busy, notes),
      h("aside", { class: "stack" }, details(maker, photo, mayEdit), talk.box, mayEdit && button(_("Take this piece away"), remove, { class: "button quiet" }))));
  await edit.again(photo);
  talk.draw();
  return talk.stop;
}
