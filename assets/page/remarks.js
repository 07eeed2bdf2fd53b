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

const byline = (remark) =>
  h("p", { class: "small" }, authors[remark.author] && [authors[remark.author](), " · "], dayAndTime(remark.added));

/** What can be done with one remark; each says "change" when it is done. */
function doings(maker, waiting) {
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
    const choices = [
      { words, value: true },
      { words: _("Cancel"), value: false },
    ];
    const sure = await ask(title, field(_("Remark"), text), choices);
    if (sure && text.value.trim()) await attempt(() => post({ text: text.value.trim(), ...gifts }));
  };
  const bringBack = (remark) => attempt(async () => (maker.comments = await call("POST", pathOf(remark, "/restore"))));
  const remove = (remark) =>
    attempt(async () => {
      await call("DELETE", pathOf(remark));
      maker.comments = maker.comments.filter((other) => other !== remark);
      tell(_("The remark is removed."), { words: _("Undo"), run: () => bringBack(remark) });
    });
  const setDone = (remark, done) => attempt(async () => (await call("PUT", pathOf(remark), { done }), (remark.done = done)));
  const answer = (remark) => write(_("An answer"), _("Answer"), { on: remark.on ?? {}, answers: remark.id });
  return { write, answer, remove, setDone };
}

function buttonsOf(remark, number, does, role) {
  const done = remark.done
    ? button(_("Open again"), () => does.setDone(remark, false), { "aria-label": _("Open remark %d again", number) })
    : button(_("Done"), () => does.setDone(remark, true), { "aria-label": _("Remark %d is done", number) });
  const away = { class: "button quiet", "aria-label": _("Remove remark %d", number) };
  return h(
    "div",
    { class: "row" },
    button(_("Answer"), () => does.answer(remark), { "aria-label": _("Answer remark %d", number) }),
    done,
    role === "owner" && button(_("Remove"), () => does.remove(remark), away),
  );
}

function line(remark, number, does, role) {
  const answers = (remark.answers ?? []).map((one) => h("li", null, h("p", null, one.text), byline(one)));
  return h(
    "li",
    { class: "sheet stack" },
    h("p", null, h("strong", null, `${number} `), remark.done ? h("s", null, remark.text) : remark.text),
    remark.added && byline(remark),
    answers.length ? h("ul", { class: "answers stack" }, answers) : null,
    role !== "viewer" && buttonsOf(remark, number, does, role),
  );
}
const waitingLine = (remark) =>
  h(
    "li",
    { class: "sheet stack" },
    h("p", null, remark.text),
    h("p", { class: "small" }, _("waits until there is a connection")),
  );

/** The remarks on a photo or on the wall: {box, draw(), write(place), stop(), onpins}. */
export function remarks(maker, on, { role }) {
  const list = h("ol", { class: "stack" });
  const waiting = outbox(maker);
  const does = doings(maker, waiting);
  const talk = { onpins: null, write: (place) => does.write(_("A remark for this place"), _("Pin it here"), { on: place }) };
  talk.draw = () => {
    const all = maker.comments.filter((remark) => concerns(remark, on));
    const pinned = all.filter((remark) => remark.on?.at || remark.on?.wall);
    const ordered = [...pinned, ...all.filter((remark) => !pinned.includes(remark))];
    const unsent = waiting.all().filter((remark) => concerns(remark, on));
    empty(
      list,
      ordered.map((remark, i) => line(remark, i + 1, does, role)),
      unsent.map(waitingLine),
    );
    talk.onpins?.(pinned);
  };
  maker.addEventListener("change", talk.draw);
  connection.addEventListener("change", waiting.send);
  waiting.send();
  talk.stop = () => (maker.removeEventListener("change", talk.draw), connection.removeEventListener("change", waiting.send));
  const add = button(_("Add a remark"), () => talk.write(on.photo ? { photo: on.photo } : {}));
  talk.box = h("section", { class: "stack" }, h("h2", null, _("Remarks")), list, role !== "viewer" && h("div", null, add));
  return talk;
}
