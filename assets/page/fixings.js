// SPDX-License-Identifier: MIT
// What the wall is made of, and what holds things in it: asked, since no load can be judged without it (docs/plan.md).
import { defaults } from "./defaults.js";
import { _ } from "./words.js";
import { field, h } from "./dom.js";

const walls = () => [
  ["solid", _("solid: brick, stone, wood")],
  ["plasterboard", _("plasterboard")],
  ["foam-board", _("foam board")],
  ["stretched-fabric", _("stretched fabric")],
  ["pipe-and-drape", _("pipes with a curtain")],
  ["hired-panel", _("hired panels of a shell scheme")],
  ["own-frame", _("a frame of my own")],
];
const fixings = () => [
  ["screw", _("screws")],
  ["nail", _("nails")],
  ["adhesive-hook", _("adhesive hooks")],
  ["over-panel-hook", _("hooks over the panel's edge")],
  ["clamp", _("clamps")],
  ["magnet", _("magnets")],
];
const unknown = (key) => [defaults().stand[key], _("I do not know yet")];

const choice = (maker, key, options) =>
  h(
    "select",
    { onchange: (event) => maker.edit((plan) => void (plan.stand[key] = event.target.value)) },
    [unknown(key), ...options].map(([value, words]) =>
      h("option", { value, selected: value === (maker.plan.stand[key] ?? defaults().stand[key]) }, words),
    ),
  );

export const wallFields = (maker) => [
  field(_("What is the wall?"), choice(maker, "wall", walls())),
  field(_("What holds things in it?"), choice(maker, "fixing", fixings())),
];

/** Asked beside the wall until it is told. */
export function wallAsker(maker) {
  const told = (key) => (maker.plan.stand[key] ?? defaults().stand[key]) !== defaults().stand[key];
  if (told("wall") && told("fixing")) return null;
  return h(
    "section",
    { class: "sheet stack" },
    h("h2", { tabindex: -1 }, _("What is the wall, and what holds in it?")),
    h("p", { class: "small" }, _("Ask the venue. Until that is known, nobody can say that anything here holds.")),
    h("div", { class: "fields" }, wallFields(maker)),
  );
}
