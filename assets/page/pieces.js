// SPDX-License-Identifier: MIT
// The maker's pieces, and adding photos: many at once, each with its own progress and result.
import { _, plural } from "./words.js";
import { button, empty, fill, h, say, tell } from "./dom.js";
import { address, connection } from "./server.js";
import { add, again, forget, queue } from "./queue.js";
import { titleOf } from "./maker.js";
import { missing, nextAfter } from "./todo.js";
import { standAsker } from "./stand_size.js";
import { photoHelp } from "./photo_help.js";
import { takenAway } from "./taken_away.js";

const isPicture = (file) => !file.type || file.type.startsWith("image/");

/** Two ways in: the camera, and files; dropping works on the whole box. */
export function adder(maker, kind, words, look = "button main") {
  const take = (files) => {
    const others = [...files].filter((file) => !isPicture(file));
    if (others.length) tell(_("%s is no picture and was left out.", others.map((file) => file.name).join(", ")));
    add(maker.id, [...files].filter(isPicture), kind);
  };
  const input = (id, gifts) => {
    const onchange = (event) => (take(event.target.files), (event.target.value = ""));
    return h("input", { type: "file", id, accept: "image/*", onchange, ...gifts });
  };
  const choose = kind === "cloth" ? _("Choose a photo of cloth") : _("Choose photos");
  const box = h(
    "div",
    { class: "add" },
    h("p", null, words),
    h(
      "div",
      { class: "row" },
      input(`${kind}-files`, { multiple: true }),
      h("label", { class: look, for: `${kind}-files` }, choose),
      input(`${kind}-camera`, { capture: "environment" }),
      h("label", { class: "button", for: `${kind}-camera` }, _("Take a photo")),
    ),
  );
  const over = (on) => (event) => (event.preventDefault(), box.classList.toggle("over", on));
  box.addEventListener("dragover", over(true));
  box.addEventListener("dragleave", over(false));
  box.addEventListener("drop", (event) => (over(false)(event), take(event.dataTransfer.files)));
  return box;
}

const states = () => ({
  waits: connection.lost ? _("waits until there is a connection") : _("waits for its turn"),
  sends: _("on its way"),
  refused: _("could not be read"),
});

function line(item) {
  return h(
    "li",
    null,
    h(
      "div",
      { class: "stack", style: { gap: ".2rem" } },
      h(
        "span",
        null,
        _(
          "%1$s: %2$s",
          item.name,
          item.state === "sends" && item.share >= 1 ? _("has arrived and is being cut out") : states()[item.state],
        ),
      ),
      item.state === "sends" && h("progress", { value: item.share, max: 1, "aria-label": item.name }),
      item.message && h("p", { role: "alert" }, item.message),
    ),
    item.state === "refused" && button(_("Try again"), () => again(item)),
    item.state !== "sends" &&
      button(_("Remove"), () => forget(item), { class: "button quiet", "aria-label": _("Remove %s from the list", item.name) }),
  );
}

export function waiting(maker, kind) {
  const list = h("ul", { class: "lines sheet", hidden: true });
  const draw = () => {
    const items = queue.items.filter((item) => item.maker === maker.id && item.kind === kind);
    list.hidden = !items.length;
    empty(
      list,
      items.map(line),
      queue.fragile && items.length
        ? h("li", null, _("This browser keeps nothing for later. Leave the page open until every photo is saved."))
        : null,
    );
  };
  queue.addEventListener("change", draw);
  draw();
  return { list, stop: () => queue.removeEventListener("change", draw) };
}

export const picture = (photo, gifts = {}) =>
  h("img", {
    src: address(photo.urls.cutout ?? photo.urls.preview),
    alt: titleOf(photo),
    loading: "lazy",
    decoding: "async",
    ...gifts,
  });

/** Below this an outline is to be looked at: BC_CUTOUT_SURE. */
function card(maker, photo, addressOf) {
  const waits = missing(maker, photo);
  return h(
    "li",
    null,
    h(
      "a",
      { class: "card", href: addressOf(maker.id, "piece", photo.id) },
      h("span", { class: "shot" }, picture(photo, { alt: "" })),
      h(
        "span",
        { class: "words" },
        h("strong", null, titleOf(photo)),
        h("span", { class: waits ? "small waits" : "small" }, waits ?? _("Ready")),
      ),
    ),
  );
}

/** What to do next, in one button. */
function nextStep(maker, addressOf, mayEdit) {
  const first = mayEdit && nextAfter(maker, null);
  if (first)
    return [
      h("a", { class: "button main", href: addressOf(maker.id, "piece", first.id) }, _("Look at them one by one")),
      " ",
      h("a", { class: "button quiet", href: addressOf(maker.id, "cloths") }, _("See them on cloths")),
    ];
  return h("a", { class: "button main", href: addressOf(maker.id, "cloths") }, _("See them on cloths"));
}

export function show(main, maker, { me, addressOf }) {
  const grid = h("ul", { class: "grid" });
  const title = h("h1", null);
  const next = h("p", { class: "row" });
  const stand = h("div");
  const advice = h("div");
  const mayAdd = me.role !== "viewer";
  const queueList = waiting(maker, "piece");
  const draw = () => {
    const pieces = maker.pieces();
    title.textContent = pieces.length ? plural("%d piece", "%d pieces", pieces.length) : _("Start with your pieces");
    empty(
      grid,
      pieces.map((photo) => card(maker, photo, addressOf)),
    );
    empty(next, pieces.length ? nextStep(maker, addressOf, mayAdd) : null);
    if (!stand.contains(document.activeElement) || document.activeElement.matches("button"))
      empty(stand, mayAdd && standAsker(maker));
    empty(
      advice,
      !mayAdd
        ? null
        : pieces.length
          ? h("a", { class: "small", href: addressOf(maker.id, "photos") }, _("How to take good photos"))
          : h("section", { class: "sheet stack" }, h("h2", null, _("Photos that tell the truth")), photoHelp()),
    );
  };
  const saved = (event) => event.maker === maker.id && say(_("%s is saved.", titleOf(event.photo)));
  queue.addEventListener("saved", saved);
  for (const name of ["change", "plan"]) maker.addEventListener(name, draw);
  draw();
  fill(
    main,
    h("div", { class: "row apart" }, title, next),
    stand,
    // One thing to do next is marked: the first photos, then what the photos ask for.
    mayAdd &&
      adder(
        maker,
        "piece",
        _("Add photos of your pieces, as many as you like at once."),
        maker.pieces().length ? "button" : "button main",
      ),
    queueList.list,
    grid,
    advice,
    mayAdd && takenAway(maker),
  );
  return () => {
    queueList.stop();
    for (const name of ["change", "plan"]) maker.removeEventListener(name, draw);
    queue.removeEventListener("saved", saved);
  };
}
