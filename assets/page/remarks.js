// SPDX-License-Identifier: MIT
// What mentor and maker say to each other, pinned to a place on a photo or on the wall. Written without a network, a
// remark waits in this browser and is sent as soon as there is one.
import { _, dayAndTime } from "./words.js";
import { ask, button, empty, field, h, tell } from "./dom.js";
import { call, connection } from "./server.js";

const concerns = (remark, on) => (on.photo ? remark.on?.photo === on.photo : on.wall ? !remark.on?.photo : true);
const pathOf = (remark, more = "") => `/api/comments/${encodeURIComponent(remark.id)}${more}`;
const authors = { mentor: () => _("mentor"), maker: () => _("maker") };

/** Remarks that could not be sent yet, of one maker. */
function outbox(maker) {
  const key = `${maker.outbox} remarks`;
  const all = () => {
    try {
      return JSON.parse(localStorage.getItem(key)) ?? [];
    } catch {
      return [];
    }
  };
  const put = (list) => {
    try {
      localStorage.setItem(key, JSON.stringify(list));
      return true;
    } catch {
      return false; // full or forbidden: it is said that it was not kept
    }
  };
  let sending = false;
  const send = async () => {
    if (sending || connection.lost) return;
    sending = true;
    try {
      for (let [first, ...rest] = all(); first; [first, ...rest] = all()) {
        maker.comments = await call("POST", `${maker.path}/comments`, first);
        put(rest);
      }
      maker.emit("change");
    } catch (error) {
      if (!error.unreachable) (put(all().slice(1)), tell(error.message));
    }
    sending = false;
  };
  return { all, add: (remark) => put([...all(), remark]), send };
}

export function remarks(maker, on, me) {
  const list = h("ol", { class: "stack" });
  const mayWrite = me.role !== "viewer";
  const talk = { onpins: null };
  const waiting = outbox(maker);
  const attempt = async (work) => {
    try {
      await work();
      maker.emit("change");
    } catch (error) {
      tell(error.message);
    }
  };
  const post = async (remark) => {
    try {
      maker.comments = await call("POST", `${maker.path}/comments`, remark);
    } catch (error) {
      if (!error.unreachable || !waiting.add(remark)) throw error;
    }
  };
  const write = async (title, words, gifts) => {
    const text = h("textarea", { rows: 4, required: true, maxlength: 2000 });
    const sure = await ask(title, field(_("Remark"), text), [{ words, value: true }, { words: _("Cancel"), value: false }]);
    if (sure && text.value.trim()) await attempt(() => post({ text: text.value.trim(), ...gifts }));
  };
  talk.write = (place) => write(_("A remark for this place"), _("Pin it here"), { on: place });
  const answer = (remark) => write(_("An answer"), _("Answer"), { on: remark.on ?? {}, answers: remark.id });
  const setDone = (remark, done) => attempt(async () => (await call("PUT", pathOf(remark), { done }), (remark.done = done)));
  const remove = (remark) => attempt(async () => {
    await call("DELETE", pathOf(remark));
    maker.comments = maker.comments.filter((other) => other !== remark);
    tell(_("The remark is removed."), { words: _("Undo"), run: () => attempt(async () => (maker.comments = await call("POST", pathOf(remark, "/restore")))) });
  });
  const byline = (remark) => h("p", { class: "small" }, authors[remark.author] && [authors[remark.author](), " · "], dayAndTime(remark.added));
  const line = (remark, number) => h("li", { class: "sheet stack" },
    h("p", null, h("strong", null, `${number} `), remark.done ? h("s", null, remark.text) : remark.text), remark.added && byline(remark),
    remark.answers?.length ? h("ul", { class: "answers stack" }, remark.answers.map((one) => h("li", null, h("p", null, one.text), byline(one)))) : null,
    mayWrite && h("div", { class: "row" },
      button(_("Answer"), () => answer(remark), { "aria-label": _("Answer remark %d", number) }),
      remark.done ? button(_("Open again"), () => setDone(remark, false), { "aria-label": _("Open remark %d again", number) }) : button(_("Done"), () => setDone(remark, true), { "aria-label": _("Remark %d is done", number) }),
      me.role === "owner" && button(_("Remove"), () => remove(remark), { class: "button quiet", "aria-label": _("Remove remark %d", number) })));
  talk.draw = () => {
    const all = maker.comments.filter((remark) => concerns(remark, on));
    const pinned = all.filter((remark) => remark.on?.at || remark.on?.wall);
    const ordered = [...pinned, ...all.filter((remark) => !pinned.includes(remark))];
    empty(list, ordered.map((remark, i) => line(remark, i + 1)),
      waiting.all().filter((remark) => concerns(remark, on)).map((remark) => h("li", { class: "sheet stack" }, h("p", null, remark.text), h("p", { class: "small" }, _("waits until there is a connection")))));
    talk.onpins?.(pinned);
  };
  maker.addEventListener("change", talk.draw);
  connection.addEventListener("change", waiting.send);
  waiting.send();
  talk.stop = () => (maker.removeEventListener("change", talk.draw), connection.removeEventListener("change", waiting.send));
  talk.box = h("section", { class: "stack" }, h("h2", null, _("Remarks")), list, mayWrite && h("div", null, button(_("Add a remark"), () => talk.write(on.photo ? { photo: on.photo } : {}))));
  return talk;
}
