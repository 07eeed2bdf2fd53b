// SPDX-License-Identifier: MIT
// What mentor and maker say to each other, pinned to a place on a photo or on the wall.
import { _, dayAndTime } from "./words.js";
import { ask, button, empty, field, h, tell } from "./dom.js";
import { call } from "./server.js";

const concerns = (remark, on) => (on.photo ? remark.on?.photo === on.photo : on.wall ? !remark.on?.photo : true);

export function remarks(maker, on, me) {
  const list = h("ol", { class: "stack" });
  const mayWrite = me.role !== "viewer";
  const talk = { onpins: null };
  const here = () => maker.comments.filter((remark) => concerns(remark, on));
  const attempt = async (work) => {
    try {
      await work();
      maker.emit("change");
    } catch (error) {
      tell(error.message);
    }
  };
  talk.write = async (place) => {
    const text = h("textarea", { rows: 4, required: true, maxlength: 2000 });
    const sure = await ask(_("A remark for this place"), field(_("Remark"), text), [{ words: _("Pin it here"), value: true }, { words: _("Cancel"), value: false }]);
    if (!sure || !text.value.trim()) return;
    await attempt(async () => (maker.comments = await call("POST", `${maker.path}/comments`, { text: text.value.trim(), on: place })));
  };
  const line = (remark, number) => h("li", { class: "sheet stack" },
    h("p", null, h("strong", null, `${number} `), remark.done ? h("s", null, remark.text) : remark.text),
    remark.added && h("p", { class: "small" }, dayAndTime(remark.added)),
    mayWrite && h("div", { class: "row" },
      !remark.done && button(_("Done"), () => attempt(async () => (await call("PUT", `/api/comments/${encodeURIComponent(remark.id)}`, { done: true }), (remark.done = true))), { "aria-label": _("Remark %d is done", number) }),
      me.role === "owner" && button(_("Remove"), () => attempt(async () => (await call("DELETE", `/api/comments/${encodeURIComponent(remark.id)}`), (maker.comments = maker.comments.filter((other) => other !== remark)))), { class: "button quiet", "aria-label": _("Remove remark %d", number) })));
  talk.draw = () => {
    const all = here();
    const pinned = all.filter((remark) => remark.on?.at || remark.on?.wall);
    const ordered = [...pinned, ...all.filter((remark) => !pinned.includes(remark))];
    empty(list, ordered.map((remark, i) => line(remark, i + 1)));
    talk.onpins?.(pinned);
  };
  maker.addEventListener("change", talk.draw);
  talk.stop = () => maker.removeEventListener("change", talk.draw);
  talk.box = h("section", { class: "stack" }, h("h2", null, _("Remarks")), list, mayWrite && h("div", null, button(_("Add a remark"), () => talk.write(on.photo ? { photo: on.photo } : {}))));
  return talk;
}
