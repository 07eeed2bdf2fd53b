// SPDX-License-Identifier: MIT
// What to take: the packing list to tick off, bag by bag, and the papers for whoever hangs the wall.
import { _, number, plural } from "./words.js";
import { length, mass } from "./measures.js";
import { fill, h } from "./dom.js";
import { address, get } from "./server.js";

export const paper = (maker, file, words, main) =>
  h(
    "a",
    { class: `button ${main ? "main" : ""}`, href: address(`${maker.path}/files/${file}`, { save: 1 }), download: "" },
    words,
  );

/** Ticks are this browser's own: whoever packs has the list in the hand. */
function ticks(maker) {
  const key = `backcloth packed ${maker.id}`;
  let done;
  try {
    done = new Set(JSON.parse(localStorage.getItem(key)) ?? []);
  } catch {
    done = new Set();
  }
  const keep = () => {
    try {
      localStorage.setItem(key, JSON.stringify([...done]));
    } catch {
      /* a private window: the ticks last as long as the page */
    }
  };
  return { has: (name) => done.has(name), set: (name, on) => (on ? done.add(name) : done.delete(name), keep()) };
}

function list(title, entries, packed, group) {
  if (!entries.length) return null;
  return h(
    "section",
    { class: "sheet" },
    h("h2", null, title),
    h(
      "ul",
      { class: "lines" },
      entries.map(({ what, more }) => {
        const name = `${group} ${what}`;
        return h(
          "li",
          null,
          h(
            "label",
            { class: "row" },
            h("input", {
              type: "checkbox",
              checked: packed.has(name),
              onchange: (event) => packed.set(name, event.target.checked),
            }),
            h("span", null, what),
          ),
          more && h("span", { class: "small" }, more),
        );
      }),
    ),
  );
}

const counted = (item) => ({
  what: item.count > 1 ? _("%1$s × %2$s", item.count, item.what) : item.what,
  more: item.mass_g ? mass(item.mass_g * item.count) : item.place === "lent" ? "" : _("not weighed"),
});

function inAll({ bags_kg: bags = [], total_kg: total, padding_kg: padding, unweighed }) {
  const notWeighed = () =>
    plural(
      "%d piece is not weighed and counts as nothing here.",
      "%d pieces are not weighed and count as nothing here.",
      unweighed,
    );
  return h(
    "p",
    null,
    plural("%1$d bag, %2$s in all.", "%1$d bags, %2$s in all.", bags.length, mass(1000 * total)),
    padding > 0 ? [" ", _("Wrapping is counted, about %s.", mass(1000 * padding))] : null,
    unweighed ? h("strong", null, " ", notWeighed()) : null,
  );
}

function clothToCut({ cloth }) {
  if (!cloth?.cut_width_cm) return null;
  const [wide, long] = [length(cloth.cut_width_cm), length(cloth.cut_height_cm)];
  return h("p", null, _("Cut the cloth %1$s wide and %2$s long; hems and shrinking are allowed for.", wide, long));
}

function lists(all, packed) {
  const inPlace = (place, bag) =>
    all.items.filter((item) => item.place === place && (bag === undefined || item.bag === bag)).map(counted);
  const bag = (kg, i) => list(_("Bag %1$d, %2$s", i + 1, mass(1000 * kg)), inPlace("bag", i + 1), packed, `bag ${i + 1}`);
  const hardware = (all.hardware ?? []).map((one) => ({
    what: _("%1$s × %2$s", one.count, one.what),
    more: one.spares ? plural("%d spare", "%d spares", one.spares) : "",
  }));
  const tools = (all.tools ?? []).map((what) => ({ what }));
  return h(
    "div",
    { class: "bags" },
    (all.bags_kg ?? []).map(bag),
    list(_("Carried by itself"), inPlace("apart"), packed, "apart"),
    list(_("Small hardware, spares included"), hardware, packed, "hardware"),
    list(_("Tools"), tools, packed, "tools"),
    list(_("Lent by the venue: ask whether it is there"), inPlace("lent"), packed, "lent"),
  );
}

export async function show(main, maker, { addressOf }) {
  const all = await get(`${maker.path}/packing`);
  const title = h("h1", null, _("What to take"));
  const first = h("a", { href: addressOf(maker.id) }, _("Add photos first."));
  if (!maker.plan.pieces?.length) return void fill(main, title, h("p", null, _("There is no piece to show yet. "), first));
  const papers = [
    paper(maker, "sheet.pdf", _("Set-up sheet for hanging"), true),
    paper(maker, "packing.csv", _("List for a spreadsheet")),
    paper(maker, "loads.csv", _("Loads for a spreadsheet")),
  ];
  const most = all.bag_limit_kg && _("A bag is filled to %s kg at most.", number(all.bag_limit_kg));
  fill(
    main,
    [title, inAll(all), clothToCut(all), h("div", { class: "row" }, papers), lists(all, ticks(maker))],
    h(
      "ul",
      { class: "stack" },
      (all.notes ?? []).map((note) => h("li", null, note)),
    ),
    most ? h("p", { class: "small" }, most) : null,
  );
  return null;
}
