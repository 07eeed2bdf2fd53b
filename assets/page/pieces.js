// SPDX-License-Identifier: MIT
// The maker's pieces, and adding photos: many at once, each with its own progress and result.
import { _, plural } from "./words.js";
import { button, empty, fill, h, say } from "./dom.js";
import { address, connection } from "./server.js";
import { add, again, forget, queue } from "./queue.js";
import { titleOf } from "./maker.js";

/** Two ways in: the camera, and files; dropping works on the whole box. */
export function adder(maker, kind, words) {
  const take = (files) => add(maker.id, [...files].filter((file) => !file.type || file.type.startsWith("image/")), kind);
  const input = (id, gifts) => h("input", { type: "file", id, accept: "image/*", onchange: (event) => (take(event.target.files), (event.target.value = "")), ...gifts });
  const box = h("div", { class: "add" },
    h("p", null, words),
    h("div", { class: "row" },
      input(`${kind}-files`, { multiple: true }), h("label", { class: "button main", for: `${kind}-files` }, kind === "cloth" ? _("Choose a photo of cloth") : _("Choose photos")),
      input(`${kind}-camera`, { capture: "environment" }), h("label", { class: "button", for: `${kind}-camera` }, _("Take a photo"))));
  const over = (on) => (event) => (event.preventDefault(), box.classList.toggle("over", on));
  box.addEventListener("dragover", over(true));
  box.addEventListener("dragleave", over(false));
  box.addEventListener("drop", (event) => (over(false)(event), take(event.dataTransfer.files)));
  return box;
}

const states = () => ({ waits: connection.lost ? _("waits until there is a connection") : _("waits for its turn"), sends: _("on its way"), refused: _("could not be read") });

function line(item) {
  return h("li", null,
    h("div", { class: "stack", style: { gap: ".2rem" } },
      h("span", null, _("%1$s: %2$s", item.name, item.state === "sends" && item.share >= 1 ? _("has arrived and is being cut out") : states()[item.state])),
      item.state === "sends" && h("progress", { value: item.share, max: 1, "aria-label": item.name }),
      item.message && h("p", { role: "alert" }, item.message)),
    item.state === "refused" && button(_("Try again"), () => again(item)),
    item.state !== "sends" && button(_("Remove"), () => forget(item), { class: "button quiet", "aria-label": _("Remove %s from the list", item.name) }));
}

export function waiting(maker, kind) {
  const list = h("ul", { class: "lines sheet", hidden: true });
  const draw = () => {
    const items = queue.items.filter((item) => item.maker === maker.id && item.kind === kind);
    list.hidden = !items.length;
    empty(list, items.map(line), queue.fragile && items.length ? h("li", null, _("This browser keeps nothing for later. Leave the page open until every photo is saved.")) : null);
  };
  queue.addEventListener("change", draw);
  draw();
  return { list, stop: () => queue.removeEventListener("change", draw) };
}

export const picture = (photo, gifts = {}) =>
  h("img", { src: address(photo.urls.cutout ?? photo.urls.preview), alt: titleOf(photo), loading: "lazy", decoding: "async", ...gifts });

/** Below this an outline is to be looked at: BC_CUTOUT_SURE. */
export const isDoubtful = (photo) => (photo.reading?.piece?.confidence ?? 1) < 0.8;

function card(maker, photo, addressOf) {
  return h("li", null, h("a", { class: "card", href: addressOf(maker.id, "piece", photo.id) },
    h("span", { class: "shot" }, picture(photo, { alt: "" })),
    h("span", { class: "words" }, h("strong", null, titleOf(photo)), h("span", { class: "small" }, isDoubtful(photo) ? _("Look at the outline") : photo.width_cm || photo.height_cm ? _("Ready") : _("How wide is it?")))));
}

export function show(main, maker, { me, addressOf }) {
  const grid = h("ul", { class: "grid" });
  const title = h("h1", null);
  const next = h("p", null);
  const mayAdd = me.role !== "viewer";
  const queueList = waiting(maker, "piece");
  const draw = () => {
    const pieces = maker.pieces();
    title.textContent = pieces.length ? plural("%d piece", "%d pieces", pieces.length) : _("Start with your pieces");
    empty(grid, pieces.map((photo) => card(maker, photo, addressOf)));
    empty(next, pieces.length ? h("a", { class: "button main", href: addressOf(maker.id, "cloths") }, _("See them on cloths")) : _("Photograph each piece by itself, in daylight, with a sheet of white paper beside it. A plain background of another colour helps."));
  };
  const saved = (event) => event.maker === maker.id && say(_("%s is saved.", titleOf(event.photo)));
  queue.addEventListener("saved", saved);
  maker.addEventListener("change", draw);
  draw();
  fill(main, h("div", { class: "row apart" }, title, next), mayAdd && adder(maker, "piece", _("Add photos of your pieces, as many as you like at once.")), queueList.list, grid);
  return () => (queueList.stop(), maker.removeEventListener("change", draw), queue.removeEventListener("saved", saved));
}
