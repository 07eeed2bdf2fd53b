// SPDX-License-Identifier: MIT
// Ways to arrange the wall: each is shown on the wall itself, as large as it will be; the chosen one stays.
import { _, plural } from "./words.js";
import { button, empty, h, say, tell } from "./dom.js";
import { call } from "./server.js";
import { drawWall } from "./drawing.js";
import { lookOf } from "./stage.js";
import { isReady } from "./sizes.js";

const taken = (way) => (plan) => {
  const placed = new Map(way.plan.pieces.map((one) => [one.id, one]));
  Object.assign(plan, way.plan, { pieces: plan.pieces.map((one) => placed.get(one.id) ?? one) });
};

/** {box, ask()}; `show(plan or null)` puts a plan on the stage for a while. */
export function ways(maker, { show, unready }) {
  const box = h("div", { class: "stack" });
  const close = () => (empty(box), show(null));
  const choose = (all) => {
    const reasons = h("div", { class: "stack" });
    const tabs = all.map((way, i) =>
      h(
        "button",
        { type: "button", class: "way", "aria-label": _("Arrangement %d, to scale", i + 1), onclick: () => look(i) },
        drawWall(maker, way.plan, { ...lookOf(maker, way.plan), words: " " }).svg,
        h("span", null, _("Arrangement %d", i + 1)),
      ),
    );
    const look = (at) => {
      tabs.forEach((tab, i) => tab.setAttribute("aria-pressed", String(i === at)));
      show(all[at].plan);
      empty(
        reasons,
        (all[at].reasons ?? []).slice(0, 3).map((reason) => h("p", { class: "small" }, reason)),
        all[at].left_off?.length
          ? h("p", null, plural("%d piece finds no place.", "%d pieces find no place.", all[at].left_off.length))
          : null,
        h(
          "div",
          { class: "row" },
          button(_("Use this arrangement"), () => (maker.edit(taken(all[at])), close(), say(_("The wall is arranged."))), {
            class: "button main",
            "aria-label": _("Use arrangement %d", at + 1),
          }),
          button(_("Keep the wall as it is"), close, { class: "button quiet" }),
        ),
      );
    };
    empty(
      box,
      h(
        "section",
        { class: "sheet stack" },
        h("h2", { tabindex: -1 }, _("Choose an arrangement")),
        h("div", { class: "ways" }, tabs),
        reasons,
      ),
    );
    look(0);
    box.querySelector("h2").focus({ preventScroll: true });
  };
  const ask = async () => {
    // A piece without a size, or of which nobody said whether it hangs or stands, is not placed by guess: it waits.
    const known = { ...maker.plan, pieces: maker.plan.pieces.filter((one) => isReady(maker, one)) };
    if (!known.pieces.length) return void (unready(), tell(_("Measure the pieces first; then they can be arranged.")));
    empty(box, h("p", { role: "status" }, _("Trying arrangements …")));
    try {
      const answer = await call("POST", `${maker.path}/plan/arrange`, { plan: known, seed: 1 + Math.floor(Math.random() * 1e6) });
      if (answer.ways?.length) choose(answer.ways);
    } catch (error) {
      empty(box, h("p", { role: "alert" }, error.message));
    }
  };
  return { box, ask, close };
}
