// SPDX-License-Identifier: MIT
// The mentor's desk: every maker, those in most need of a word first.
import { _, plural } from "./words.js";
import { ask, button, empty, field, fill, h, tell } from "./dom.js";
import { address, call, get } from "./server.js";
import { verdictFrom, verdictLabel } from "./verdict.js";

function row(maker, addressOf) {
  const weak = maker.weakest;
  const shown = weak?.photo ?? maker.photo;
  const label = weak && verdictLabel();
  label?.show(verdictFrom(weak.verdict));
  return h("li", { class: "sheet maker" },
    h("div", { class: shown ? "shot" : "shot none" }, shown && h("img", { src: address(`/api/photos/${encodeURIComponent(shown)}/cutout`), alt: weak ? _("The weakest piece of %s", maker.name) : "", loading: "lazy" })),
    h("div", null, h("h2", null, h("a", { href: addressOf(maker.id) }, maker.name)),
      h("p", { class: "small row" }, h("span", null, plural("%d photo", "%d photos", maker.photos)), weak && h("span", { class: "row" }, _("weakest:"), label), maker.photos && !weak ? h("span", null, _("no cloth yet to judge them on")) : null, maker.comments ? h("span", null, plural("%d open remark", "%d open remarks", maker.comments)) : null)),
    h("div", { class: "row" },
      maker.photos ? h("a", { class: "button", href: address(`/api/makers/${encodeURIComponent(maker.id)}/files/feedback.pdf`, { save: 1 }), download: "", "aria-label": _("Feedback sheet for %s", maker.name) }, _("Feedback sheet")) : null,
      h("a", { class: "button", href: addressOf(maker.id, "share"), "aria-label": _("Invite %s", maker.name) }, _("Invite"))));
}

export async function show(main, { addressOf, go }) {
  const makers = await get("/api/makers");
  const list = h("ul", { class: "stack" });
  const find = h("input", { type: "search", oninput: () => draw() });
  const draw = () => {
    const wanted = find.value.trim().toLocaleLowerCase();
    empty(list, makers.filter((maker) => maker.name.toLocaleLowerCase().includes(wanted)).map((maker) => row(maker, addressOf)));
  };
  const add = async () => {
    const name = h("input", { required: true, maxlength: 120, autocomplete: "off" });
    const sure = await ask(makers.length ? _("A new maker") : _("Whose stand is it?"), field(_("Name"), name), [{ words: _("Begin"), value: true }, { words: _("Cancel"), value: false }]);
    if (!sure || !name.value.trim()) return;
    try {
      const made = await call("POST", "/api/makers", { name: name.value.trim() });
      go(addressOf(made.id));
    } catch (error) {
      tell(error.message);
    }
  };
  fill(main, h("div", { class: "row apart" }, h("h1", null, makers.length ? _("Makers") : _("A cloth behind your work, a wall to scale")), button(makers.length ? _("Add a maker") : _("Begin"), add, { class: "button main" })),
    makers.length ? h("p", { class: "small" }, _("Those whose work is hardest to see come first.")) : h("p", null, _("Photograph your pieces, see which cloth makes them stand out, and plan the back wall before you pack.")),
    makers.length > 8 ? field(_("Find a maker"), find) : null, list);
  draw();
  return null;
}
