// SPDX-License-Identifier: MIT
// Pieces that were taken away: they come back within 30 days, or go for ever when that is wanted.
import { _, day } from "./words.js";
import { ask, attempt, button, empty, h } from "./dom.js";
import { call, get } from "./server.js";
import { titleOf } from "./maker.js";

const pathOf = (photo, more = "") => `/api/photos/${encodeURIComponent(photo.id)}${more}`;

export function takenAway(maker) {
  const list = h("ul", { class: "lines" });
  const draw = async () => {
    const { photos } = await get(`${maker.path}/trash`);
    empty(list, photos.length ? photos.map(line) : h("li", null, _("There is nothing here.")));
  };
  const back = (photo) =>
    attempt(async () => {
      await call("POST", pathOf(photo, "/restore"));
      await maker.load();
      await draw();
    });
  const gone = (photo) =>
    attempt(async () => {
      if (
        !(await ask(
          _("Delete %s for ever?", titleOf(photo)),
          h("p", null, _("The photo goes at once and cannot be brought back.")),
          [
            { words: _("Keep it"), value: false },
            { words: _("Delete for ever"), value: true },
          ],
        ))
      )
        return;
      await call("DELETE", pathOf(photo, "?for=ever"));
      await draw();
    });
  const line = (photo) =>
    h(
      "li",
      null,
      h(
        "div",
        { class: "stack tight" },
        h("strong", null, titleOf(photo)),
        photo.deleted && h("span", { class: "small" }, _("Deleted on %s", day(photo.deleted))),
      ),
      button(_("Bring it back"), back(photo), { "aria-label": _("Bring %s back", titleOf(photo)) }),
      button(_("Delete for ever"), gone(photo), { class: "button quiet", "aria-label": _("Delete %s for ever", titleOf(photo)) }),
    );
  return h(
    "details",
    {
      class: "sheet",
      ontoggle: (event) => event.target.open && draw().catch((error) => empty(list, h("li", null, error.message))),
    },
    h("summary", null, _("Taken away")),
    list,
  );
}
