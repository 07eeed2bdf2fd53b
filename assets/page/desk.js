// SPDX-License-Identifier: MIT
// The mentor's desk: every maker, those in most need of a word first. Rows come at once, what has to be worked out
// follows; Back keeps the search and the place.
import { _, day, plural } from "./words.js";
import { ask, button, empty, field, fill, h, tell } from "./dom.js";
import { address, call, get } from "./server.js";
import { verdictFrom, verdictLabel } from "./verdict.js";

/** The list as it is asked for first: src/web/http/preload.c begins it. */
export const MAKERS = "/api/makers?figures=kept";
const AT_ONCE = 3; // figures asked for together
const place = { find: "", shelf: "desk", scroll: 0 }; // as it was left
const pathOf = (maker, more = "") => `/api/makers/${encodeURIComponent(maker.id)}${more}`;

const attempt = (work) => async () => {
  try {
    await work();
  } catch (error) {
    tell(error.message);
  }
};

/** Words in any order, anywhere in the name. */
export const fitsWords = (name, wanted) => wanted.toLocaleLowerCase().split(/\s+/).filter(Boolean).every((word) => name.toLocaleLowerCase().includes(word));

function needs(maker) {
  const label = maker.weakest && verdictLabel();
  label?.show(verdictFrom(maker.weakest.verdict));
  return [h("span", null, plural("%d photo", "%d photos", maker.photos)), maker.weakest && h("span", { class: "row" }, _("weakest:"), label),
    maker.waiting ? h("span", null, _("being looked at …")) : maker.photos && !maker.weakest ? h("span", null, _("no cloth yet to judge them on")) : null,
    maker.comments ? h("span", null, plural("%d open remark", "%d open remarks", maker.comments)) : null];
}
function shot(maker) {
  const shown = maker.weakest?.photo ?? maker.photo;
  return h("div", { class: shown ? "shot" : "shot none" }, shown && h("img", { src: address(`/api/photos/${encodeURIComponent(shown)}/cutout`), alt: maker.weakest ? _("The weakest piece of %s", maker.name) : "", loading: "lazy" }));
}

function row(maker, { addressOf, changed }) {
  const rename = attempt(async () => {
    const name = h("input", { required: true, maxlength: 120, value: maker.name });
    if (!(await ask(_("Rename"), field(_("Name"), name), [{ words: _("Save"), value: true }, { words: _("Cancel"), value: false }])) || !name.value.trim()) return;
    await call("PUT", pathOf(maker), { name: name.value.trim() });
    await changed();
  });
  const put = (way, words) => attempt(async () => {
    await (way === "trash" ? call("DELETE", pathOf(maker)) : call("POST", pathOf(maker, `/${way}`)));
    await changed();
    tell(words, { words: _("Undo"), run: attempt(async () => (await call("POST", pathOf(maker, way === "restore" ? "/archive" : "/restore")), changed())) });
  });
  const archived = place.shelf === "archive";
  return h("li", { class: "sheet maker" }, shot(maker),
    h("div", null, h("h2", null, h("a", { href: addressOf(maker.id) }, maker.name)), h("p", { class: "small row" }, needs(maker))),
    h("div", { class: "row" },
      maker.photos ? h("a", { class: "button", href: address(pathOf(maker, "/files/feedback.pdf"), { save: 1 }), download: "", "aria-label": _("Feedback sheet for %s", maker.name) }, _("Feedback sheet")) : null,
      h("a", { class: "button", href: addressOf(maker.id, "share"), "aria-label": _("Invite %s", maker.name) }, _("Invite")),
      h("details", { class: "more" }, h("summary", { "aria-label": _("More for %s", maker.name) }, _("More")), h("div", { class: "row" }, button(_("Rename"), rename),
        archived ? button(_("Back to the desk"), put("restore", _("%s is back on the desk.", maker.name))) : button(_("Put away"), put("archive", _("%s is put away.", maker.name))),
        button(_("Delete"), put("trash", _("%s is in the trash for 30 days.", maker.name)), { class: "button quiet" })))));
}

function trashRow(maker, changed) {
  const back = attempt(async () => (await call("POST", pathOf(maker, "/restore")), changed()));
  const gone = attempt(async () => {
    if (!(await ask(_("Delete %s for ever?", maker.name), h("p", null, _("Photos, cloths, plan and remarks go at once and cannot be brought back.")), [{ words: _("Keep it"), value: false }, { words: _("Delete for ever"), value: true }]))) return;
    await call("DELETE", `${pathOf(maker)}?for=ever`);
    await changed();
  });
  return h("li", { class: "sheet maker" }, shot({}), h("div", null, h("h2", null, maker.name), h("p", { class: "small" }, _("Deleted on %s", day(maker.deleted)))),
    h("div", { class: "row" }, button(_("Bring it back"), back, { class: "button main", "aria-label": _("Bring %s back", maker.name) }), button(_("Delete for ever"), gone, { class: "button quiet", "aria-label": _("Delete %s for ever", maker.name) })));
}

const asked = { desk: MAKERS, archive: "/api/makers?shelf=archive&figures=kept" };

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

export async function show(main, { addressOf, go, makers: given }) {
  const list = h("ul", { class: "stack" });
  const title = h("h1", null);
  const lead = h("p", { class: "small" });
  const find = h("input", { type: "search", value: place.find, oninput: () => draw(), onkeydown: (event) => event.key === "Enter" && list.querySelector("h2 a")?.click() });
  const finder = field(_("Find a maker"), find);
  const rows = new Map();
  let makers = [];
  let here = true;
  const build = (maker) => (place.shelf === "trash" ? trashRow(maker, load) : row(maker, { addressOf, changed: load }));
  const draw = () => {
    place.find = find.value;
    empty(list, makers.filter((maker) => fitsWords(maker.name, find.value)).map((maker) => rows.get(maker.id)));
    if (!list.children.length && (find.value || place.shelf !== "desk")) fill(list, h("li", null, find.value ? _("No maker is called that.") : _("There is nothing here.")));
  };
  const load = async () => {
    makers = given ?? (place.shelf === "trash" ? (await get("/api/trash")).makers : await get(asked[place.shelf]));
    given = null;
    rows.clear();
    for (const maker of makers) rows.set(maker.id, build(maker));
    title.textContent = makers.length || place.shelf !== "desk" ? _("Makers") : _("A cloth behind your work, a wall to scale");
    lead.textContent = makers.length ? _("Those whose work is hardest to see come first.") : _("Photograph your pieces, see which cloth makes them stand out, and plan the back wall before you pack.");
    lead.hidden = place.shelf !== "desk";
    finder.hidden = makers.length < 9;
    add.textContent = makers.length || place.shelf !== "desk" ? _("Add a maker") : _("Begin");
    draw();
    fillIn(makers, (maker) => {
      const old = rows.get(maker.id);
      rows.set(maker.id, build(maker));
      if (old?.isConnected && !old.contains(document.activeElement)) old.replaceWith(rows.get(maker.id));
    }, () => here);
  };
  const begin = async () => {
    const name = h("input", { required: true, maxlength: 120, autocomplete: "off" });
    const sure = await ask(makers.length ? _("A new maker") : _("Whose stand is it?"), field(_("Name"), name), [{ words: _("Begin"), value: true }, { words: _("Cancel"), value: false }]);
    if (!sure || !name.value.trim()) return;
    await attempt(async () => go(addressOf((await call("POST", "/api/makers", { name: name.value.trim() })).id)))();
  };
  const add = button("", begin, { class: "button main" });
  const shelves = [["desk", _("On the desk")], ["archive", _("Put away")], ["trash", _("Trash")]];
  const tabs = shelves.map(([shelf, words]) => button(words, attempt(async () => {
    place.shelf = shelf;
    tabs.forEach((tab, i) => tab.setAttribute("aria-pressed", String(shelves[i][0] === shelf)));
    await load();
  }), { "aria-pressed": String(shelf === place.shelf) }));
  fill(main, h("div", { class: "row apart" }, title, add), lead, finder, list, h("div", { class: "row", role: "group", "aria-label": _("Which makers") }, tabs));
  await load();
  requestAnimationFrame(() => scrollTo(0, place.scroll));
  const scrolled = () => (place.scroll = scrollY);
  addEventListener("scroll", scrolled, { passive: true });
  return () => ((here = false), removeEventListener("scroll", scrolled));
}
