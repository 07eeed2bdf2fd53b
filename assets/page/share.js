// SPDX-License-Identifier: MIT
// Links that let others look or add photos, and the pictures and files to take along.
import { _, day } from "./words.js";
import { attempt, button, empty, field, fill, h, tell } from "./dom.js";
import { call } from "./server.js";
import { paper } from "./take.js";

const files = () => [
  ["wall.pdf", _("The wall, to print")],
  ["wall.png", _("The wall, a picture")],
  ["wall.svg", _("The wall, for drawing programs")],
  ["aisle.png", _("The stand seen from the aisle")],
  ["board.pdf", _("Every piece on every cloth, to print")],
  ["board.png", _("Every piece on every cloth, a picture")],
  ["sheet.pdf", _("Set-up sheet for hanging")],
  ["plan.json", _("The plan, for the command line")],
];

async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
    tell(_("The link is copied."));
  } catch {
    tell(_("Copying is not allowed here. Select the link and copy it by hand."));
  }
}

function linkLine(maker, link, draw) {
  const invites = link.kind === "invite";
  const until = day(link.expires);
  const withdraw = attempt(async () => {
    await call("DELETE", `/api/links/${encodeURIComponent(link.id)}`);
    maker.links = maker.links.filter((other) => other !== link);
    draw();
    tell(_("The link no longer works."));
  });
  const words = invites ? _("May look and add photos, until %s", until) : _("May look, until %s", until);
  const label = invites ? _("Withdraw the invitation") : _("Withdraw the link to look");
  return h("li", null, h("span", { style: { flex: "1" } }, words), button(_("Withdraw"), withdraw, { "aria-label": label }));
}

/** A link that was just made: it is shown this once. */
function showFresh(box, maker, link, kind) {
  const url = new URL(link.url, location.origin).href;
  const shown = h("input", { readonly: true, value: url, onfocus: (event) => event.target.select() });
  const send = () => navigator.share({ url, title: maker.name }).catch(() => {});
  const words =
    kind === "invite"
      ? _("Send this link to the maker; it is shown only now")
      : _("Send this link to whoever may look; it is shown only now");
  const copied = button(_("Copy the link"), () => copy(url), { class: "button main" });
  empty(box, field(words, shown), h("div", { class: "row" }, copied, navigator.share ? button(_("Send it"), send) : null));
  shown.focus();
}

function links(maker) {
  const list = h("ul", { class: "lines" });
  const fresh = h("div", { class: "stack" });
  const draw = () =>
    empty(
      list,
      maker.links.map((link) => linkLine(maker, link, draw)),
    );
  const days = h("input", { type: "number", min: 1, max: 365, value: 30 });
  const photos = h("input", { type: "number", min: 1, max: 400, value: 40 });
  const room = () => ({ photos: Number(photos.value), megabytes: 10 * Number(photos.value) });
  const make = (kind) =>
    attempt(async () => {
      const wanted = { kind, days: Number(days.value), ...(kind === "invite" ? room() : {}) };
      const link = await call("POST", `${maker.path}/links`, wanted);
      maker.links.push({ ...link, kind });
      draw();
      showFresh(fresh, maker, link, kind);
    });
  draw();
  return h(
    "section",
    { class: "sheet stack" },
    h("h2", null, _("Links")),
    h("p", null, _("Whoever has a link needs no password. It stops by itself, and you can withdraw it at any time.")),
    h("div", { class: "fields" }, field(_("Works for, days"), days), field(_("Photos at most, for invitations"), photos)),
    h(
      "div",
      { class: "row" },
      button(_("Make a link to look"), make("share"), { class: "button main" }),
      button(_("Invite the maker to add photos"), make("invite")),
    ),
    fresh,
    list,
  );
}

export function show(main, maker, { me }) {
  fill(
    main,
    h("h1", null, _("Share and download")),
    me.role === "owner" && links(maker),
    h(
      "section",
      { class: "sheet stack" },
      h("h2", null, _("Pictures and files")),
      h(
        "div",
        { class: "files" },
        files().map(([file, words], i) => paper(maker, file, words, i === 0)),
        me.role === "owner" && paper(maker, "feedback.pdf", _("Feedback sheet")),
      ),
    ),
  );
  return null;
}
