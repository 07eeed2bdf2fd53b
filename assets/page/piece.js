// SPDX-License-Identifier: MIT
// One piece after another: is the outline right, and what has to be told about it. Doubtful ones come first.
import { _, plural } from "./words.js";
import { ask, button, empty, fill, h, tell } from "./dom.js";
import { call } from "./server.js";
import { titleOf } from "./maker.js";
import { remarks } from "./remarks.js";
import { editor } from "./editor.js";
import { pieceAsker } from "./ask_piece.js";
import { lookedAt, nextAfter, waitingCount } from "./todo.js";

/** Sends the newest help only; the picture follows when it is there. */
function cutter(maker, photo, busy, shown) {
  let wanted = null;
  let working = false;
  return async (help) => {
    wanted = help;
    if (working) return;
    working = true;
    busy.textContent = _("Cutting out …");
    while (wanted) {
      const now = wanted;
      wanted = null;
      try {
        const better = await maker.help(maker.photo(photo.id), now);
        await shown(better, wanted === null);
      } catch (error) {
        tell(error.message);
      }
    }
    working = false;
    busy.textContent = "";
  };
}

async function remove(maker, photo, { addressOf, go }) {
  const sure = await ask(
    _("Take %s away?", titleOf(photo)),
    h("p", null, _("The photo and its place on the wall go. You can bring it back within 30 days.")),
    [
      { words: _("Take away"), value: true },
      { words: _("Keep it"), value: false },
    ],
  );
  if (!sure) return;
  try {
    await call("DELETE", `/api/photos/${encodeURIComponent(photo.id)}`);
    await maker.load();
  } catch (error) {
    return tell(error.message);
  }
  go(addressOf(maker.id));
  const back = async () => {
    await call("POST", `/api/photos/${encodeURIComponent(photo.id)}/restore`);
    await maker.load();
  };
  tell(_("%s is taken away.", titleOf(photo)), {
    words: _("Bring it back"),
    run: () => back().catch((error) => tell(error.message)),
  });
}

/** What is always in reach of a thumb: the tools, and onward to the next piece. */
function thumbBar(maker, photo, edit, { addressOf, go }) {
  const next = nextAfter(maker, photo);
  const onward = () => {
    lookedAt(photo);
    const other = nextAfter(maker, photo);
    go(other ? addressOf(maker.id, "piece", other.id) : addressOf(maker.id, "cloths"));
  };
  const left = waitingCount(maker) - (nextAfter(maker, null)?.id === photo.id ? 1 : 0);
  const words = next ? _("Looks right, next piece") : _("Looks right, to the cloths");
  const more = left > 0 && h("span", { class: "small" }, plural("%d more to look at", "%d more to look at", left));
  return h(
    "div",
    { class: "thumb" },
    edit.bar,
    h("div", { class: "row" }, button(words, onward, { class: "button main" }), more),
  );
}

/** The photo with its tools and notes; strokes are cut out as they come. */
function photoSide(maker, photo, talk, mayEdit) {
  const notes = h("ul", { class: "stack small" });
  const busy = h("p", { role: "status", class: "small" });
  const tellNotes = (one) =>
    empty(
      notes,
      (one.reading?.notes ?? []).map((note) => h("li", null, note)),
    );
  const apply = cutter(maker, photo, busy, async (better, newest) => {
    if (newest) await edit.again(better);
    tellNotes(better);
  });
  const edit = editor(photo, { apply, mayEdit, pin: (at) => talk.write({ photo: photo.id, at }) });
  talk.onpins = (pins) => edit.pins(pins.map((one) => one.on.at).filter(Boolean));
  tellNotes(photo);
  const tools = h("details", { class: "tools" }, h("summary", null, _("More tools")), edit.more);
  return { edit, box: h("div", { class: "stack" }, edit.frame, edit.hint, busy, tools, notes) };
}

export async function show(main, maker, { me, parts, addressOf, go }) {
  const photo = maker.photo(parts[0]);
  if (!photo) throw new Error(_("This piece is no longer here. Go back to all pieces."));
  const mayEdit = me.role !== "viewer";
  const talk = remarks(maker, { photo: photo.id }, me);
  const { edit, box } = photoSide(maker, photo, talk, mayEdit);
  // The program opens the photo while it is looked at, so that the first touch need not wait for that.
  if (mayEdit) call("POST", `/api/photos/${encodeURIComponent(photo.id)}/ready`).catch(() => {});
  const asker = pieceAsker(maker, photo, mayEdit);
  maker.addEventListener("plan", asker.update);
  const away = () => remove(maker, photo, { addressOf, go });
  const all = h("a", { class: "button quiet", href: addressOf(maker.id) }, _("All pieces"));
  const aside = [asker.box, talk.box, mayEdit && button(_("Take this piece away"), away, { class: "button quiet" })];
  fill(
    main,
    h("div", { class: "row apart head" }, h("h1", null, titleOf(photo)), all),
    h("div", { class: "two look" }, box, h("aside", { class: "stack" }, aside)),
    mayEdit && thumbBar(maker, photo, edit, { addressOf, go }),
  );
  await edit.again(photo);
  talk.draw();
  return () => (talk.stop(), maker.removeEventListener("plan", asker.update));
}
