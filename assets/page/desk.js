// SPDX-License-Identifier: MIT
// The mentor's desk: every maker, those in most need of a word first. Rows come at once, what has to be worked out
// follows; Back keeps the search and the place.
import { _ } from "./words.js";
import { ask, attempt, button, empty, field, fill, h } from "./dom.js";
import { call, get } from "./server.js";
import { pathOf, row, trashRow } from "./desk_row.js";
import { allSheets } from "./desk_sheets.js";

/** The list as it is asked for first: src/web/http/preload.c begins it. */
export const MAKERS = "/api/makers?figures=kept";
const AT_ONCE = 3; // figures asked for together
const FEW = 9; // fewer are overlooked at a glance
const place = { find: "", shelf: "desk", only: "all", scroll: 0 }; // as it was left
const ASKED = { desk: MAKERS, archive: "/api/makers?shelf=archive&figures=kept" };

/** Words in any order, anywhere in the name. */
export const fitsWords = (name, wanted) => {
  const words = wanted.toLocaleLowerCase().split(/\s+/).filter(Boolean);
  return words.every((word) => name.toLocaleLowerCase().includes(word));
};

const filters = () => [
  ["all", _("all"), () => true],
  ["lost", _("a piece gets lost"), (maker) => maker.weakest?.verdict === "gets lost"],
  ["remarks", _("open remarks"), (maker) => maker.comments > 0],
  ["photos", _("no photos yet"), (maker) => !maker.photos],
];
const fitsFilter = (maker) => filters().find(([name]) => name === place.only)[2](maker);

/** Figures that are not there yet, a few at a time; each row changes when its own have come. */
async function fillIn(makers, redraw, isHere) {
  const waiting = makers.filter((maker) => maker.waiting);
  const next = async () => {
    for (let maker = waiting.shift(); maker && isHere(); maker = waiting.shift()) {
      try {
        Object.assign(maker, await get(pathOf(maker, "/figures")), { waiting: false });
      } catch {
        maker.waiting = false; // it is asked for again on the next visit
      }
      redraw(maker);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, next));
}

async function fetched(given) {
  if (given) return given;
  return place.shelf === "trash" ? (await get("/api/trash")).makers : get(ASKED[place.shelf]);
}

/** Find by words, and show only some. */
function finder(draw, open) {
  const onkeydown = (event) => event.key === "Enter" && open();
  const find = h("input", { type: "search", value: place.find, onkeydown, oninput: () => ((place.find = find.value), draw()) });
  const option = ([name, words]) => h("option", { value: name, selected: name === place.only }, words);
  const only = h("select", { onchange: () => ((place.only = only.value), draw()) }, filters().map(option));
  return h("div", { class: "fields find" }, field(_("Find a maker"), find), field(_("Show"), only));
}

async function begin(isFirst, { addressOf, go }) {
  const name = h("input", { required: true, maxlength: 120, autocomplete: "off" });
  const choices = [
    { words: _("Begin"), value: true },
    { words: _("Cancel"), value: false },
  ];
  const sure = await ask(isFirst ? _("Whose stand is it?") : _("A new maker"), field(_("Name"), name), choices);
  if (!sure || !name.value.trim()) return;
  await attempt(async () => go(addressOf((await call("POST", "/api/makers", { name: name.value.trim() })).id)))();
}

function shelves(load) {
  const all = [
    ["desk", _("On the desk")],
    ["archive", _("Put away")],
    ["trash", _("Trash")],
  ];
  const use = (shelf) =>
    attempt(async () => {
      place.shelf = shelf;
      tabs.forEach((tab, i) => tab.setAttribute("aria-pressed", String(all[i][0] === shelf)));
      await load();
    });
  const tabs = all.map(([shelf, words]) => button(words, use(shelf), { "aria-pressed": String(shelf === place.shelf) }));
  return h("div", { class: "row", role: "group", "aria-label": _("Which makers") }, tabs);
}

/** What stands above the list, as it fits an empty desk or a full one. */
function headOf(add) {
  const title = h("h1", null);
  const lead = h("p", { class: "small" });
  const draw = (count) => {
    const begun = count > 0 || place.shelf !== "desk";
    title.textContent = begun ? _("Makers") : _("A cloth behind your work, a wall to scale");
    lead.textContent = begun
      ? _("Those whose work is hardest to see come first.")
      : _("Photograph your pieces, see which cloth makes them stand out, and plan the back wall before you pack.");
    lead.hidden = place.shelf !== "desk";
    add.textContent = begun ? _("Add a maker") : _("Begin");
  };
  return { box: [h("div", { class: "row apart" }, title, add), lead], draw };
}

export async function show(main, { addressOf, go, makers: given }) {
  const list = h("ul", { class: "makers" });
  const rows = new Map();
  let makers = [];
  let here = true;
  const build = (maker) =>
    place.shelf === "trash"
      ? trashRow(maker, load)
      : row(maker, { addressOf, changed: load, archived: place.shelf === "archive" });
  const listed = () =>
    makers.filter((maker) => fitsWords(maker.name, place.find) && (place.shelf !== "desk" || fitsFilter(maker)));
  const sheets = allSheets(listed);
  const draw = () => {
    empty(
      list,
      listed().map((maker) => rows.get(maker.id)),
    );
    const nobody = makers.length ? _("No maker is called that.") : _("There is nothing here.");
    if (!list.children.length && (makers.length || place.shelf !== "desk")) fill(list, h("li", null, nobody));
    sheets.draw();
  };
  const redraw = (maker) => {
    const old = rows.get(maker.id);
    rows.set(maker.id, build(maker));
    if (old?.isConnected && !old.contains(document.activeElement)) old.replaceWith(rows.get(maker.id));
  };
  const load = async () => {
    makers = await fetched(given);
    given = null;
    rows.clear();
    for (const maker of makers) rows.set(maker.id, build(maker));
    head.draw(makers.length);
    finding.hidden = makers.length < FEW;
    draw();
    fillIn(makers, redraw, () => here);
  };
  const add = button("", () => begin(!makers.length, { addressOf, go }), { class: "button main" });
  const head = headOf(add);
  const finding = finder(draw, () => list.querySelector("h2 a")?.click());
  fill(main, head.box, finding, list, h("div", { class: "row apart" }, shelves(load), sheets.box));
  await load();
  requestAnimationFrame(() => scrollTo(0, place.scroll));
  const scrolled = () => (place.scroll = scrollY);
  addEventListener("scroll", scrolled, { passive: true });
  return () => ((here = false), removeEventListener("scroll", scrolled));
}
