// SPDX-License-Identifier: MIT
// One maker on the desk: the wall in small, what is weak, what is open, and what can be done.
import { _, day, plural } from "./words.js";
import { ask, attempt, button, field, h, tell } from "./dom.js";
import { address, call, get } from "./server.js";
import { verdictFrom, verdictLabel } from "./verdict.js";
import { wallInSmall } from "./wall_small.js";

export const pathOf = (maker, more = "") => `/api/makers/${encodeURIComponent(maker.id)}${more}`;

function needs(maker) {
  const label = maker.weakest && verdictLabel();
  label?.show(verdictFrom(maker.weakest.verdict));
  return [
    h("span", null, plural("%d photo", "%d photos", maker.photos)),
    maker.weakest && h("span", { class: "row" }, _("weakest:"), label),
    maker.waiting ? h("span", null, _("being looked at …")) : null,
    !maker.waiting && maker.photos && !maker.weakest ? h("span", null, _("no cloth yet to judge them on")) : null,
    maker.comments ? h("strong", null, plural("%d open remark", "%d open remarks", maker.comments)) : null,
  ];
}

function pieceShot(maker) {
  const shown = maker.weakest?.photo ?? maker.photo;
  const picture = () =>
    h("img", {
      src: address(`/api/photos/${encodeURIComponent(shown)}/cutout`),
      alt: maker.weakest ? _("The weakest piece of %s", maker.name) : "",
      loading: "lazy",
    });
  return h("div", { class: shown ? "shot" : "shot none" }, shown && picture());
}

const seen = new IntersectionObserver((entries) => {
  for (const one of entries) if (one.isIntersecting) (seen.unobserve(one.target), one.target.dispatchEvent(new Event("seen")));
});

/** The wall, drawn when the row comes into sight; the weakest piece lies at its corner. */
function wallShot(maker) {
  const box = h("div", { class: "wall-shot", "aria-hidden": "true" });
  const fill = async () => {
    try {
      const glance = await (maker.glance ??= get(pathOf(maker, "/glance"))); // a row that is drawn anew asks no second time
      if (glance.plan.cloth || glance.plan.pieces.some((piece) => piece.at)) box.prepend(wallInSmall(glance));
    } catch {
      // The row says the rest; the picture comes with the next visit.
    }
  };
  box.addEventListener("seen", fill, { once: true });
  seen.observe(box);
  box.append(pieceShot(maker));
  return box;
}

function rename(maker, changed) {
  return attempt(async () => {
    const name = h("input", { required: true, maxlength: 120, value: maker.name });
    const choices = [
      { words: _("Save"), value: true },
      { words: _("Cancel"), value: false },
    ];
    if (!(await ask(_("Rename"), field(_("Name"), name), choices)) || !name.value.trim()) return;
    await call("PUT", pathOf(maker), { name: name.value.trim() });
    await changed();
  });
}

/** To the trash, to the archive, or back; with the way back in the notice. */
function move(maker, way, words, changed) {
  const undo = attempt(async () => (await call("POST", pathOf(maker, way === "restore" ? "/archive" : "/restore")), changed()));
  return attempt(async () => {
    await (way === "trash" ? call("DELETE", pathOf(maker)) : call("POST", pathOf(maker, `/${way}`)));
    await changed();
    tell(words, { words: _("Undo"), run: undo });
  });
}

function more(maker, { addressOf, changed, archived }) {
  const invite = h(
    "a",
    { class: "button", href: addressOf(maker.id, "share"), "aria-label": _("Invite %s", maker.name) },
    _("Invite"),
  );
  const shelf = archived
    ? button(_("Back to the desk"), move(maker, "restore", _("%s is back on the desk.", maker.name), changed))
    : button(_("Put away"), move(maker, "archive", _("%s is put away.", maker.name), changed));
  const gone = move(maker, "trash", _("%s is in the trash for 30 days.", maker.name), changed);
  return h(
    "details",
    { class: "more" },
    h("summary", { "aria-label": _("More for %s", maker.name) }, _("More")),
    h(
      "div",
      { class: "row" },
      invite,
      button(_("Rename"), rename(maker, changed)),
      shelf,
      button(_("Delete"), gone, { class: "button quiet" }),
    ),
  );
}

function feedbackLink(maker) {
  const gifts = { href: address(pathOf(maker, "/files/feedback.pdf"), { save: 1 }), download: "" };
  return h("a", { class: "button", "aria-label": _("Feedback sheet for %s", maker.name), ...gifts }, _("Feedback sheet"));
}

export function row(maker, place) {
  return h(
    "li",
    { class: "sheet maker" },
    wallShot(maker),
    h(
      "div",
      null,
      h("h2", null, h("a", { href: place.addressOf(maker.id) }, maker.name)),
      h("p", { class: "small row" }, needs(maker)),
    ),
    h("div", { class: "row" }, maker.photos ? feedbackLink(maker) : null, more(maker, place)),
  );
}

export function trashRow(maker, changed) {
  const back = attempt(async () => (await call("POST", pathOf(maker, "/restore")), changed()));
  const gone = attempt(async () => {
    const warning = h("p", null, _("Photos, cloths, plan and remarks go at once and cannot be brought back."));
    const choices = [
      { words: _("Keep it"), value: false },
      { words: _("Delete for ever"), value: true },
    ];
    if (!(await ask(_("Delete %s for ever?", maker.name), warning, choices))) return;
    await call("DELETE", `${pathOf(maker)}?for=ever`);
    await changed();
  });
  return h(
    "li",
    { class: "sheet maker" },
    pieceShot({}),
    h("div", null, h("h2", null, maker.name), h("p", { class: "small" }, _("Deleted on %s", day(maker.deleted)))),
    h(
      "div",
      { class: "row" },
      button(_("Bring it back"), back, { class: "button main", "aria-label": _("Bring %s back", maker.name) }),
      button(_("Delete for ever"), gone, { class: "button quiet", "aria-label": _("Delete %s for ever", maker.name) }),
    ),
  );
}
