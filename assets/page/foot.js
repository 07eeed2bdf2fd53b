// SPDX-License-Identifier: MIT
// The foot of every view: language and units, which this browser remembers, and the way out for whoever has a password.
import { _ } from "./words.js";
import { button, empty, h } from "./dom.js";
import { call } from "./server.js";
import { forgetAll } from "./offline.js";

const remember = (name, value) => {
  document.cookie = `${name}=${value}; path=/; max-age=31536000; samesite=strict`;
  location.reload();
};

/** Language, units, and the way out. */
export function drawFoot(foot, me) {
  const language = h(
    "select",
    { onchange: () => remember("language", language.value), "aria-label": _("Language") },
    me.languages.map((one) => h("option", { value: one.code, lang: one.code, selected: one.code === me.language }, one.name)),
  );
  const units = h(
    "select",
    { onchange: () => remember("units", units.value), "aria-label": _("Units") },
    h("option", { value: "metric", selected: me.units !== "imperial" }, _("Centimetres first")),
    h("option", { value: "imperial", selected: me.units === "imperial" }, _("Inches first")),
  );
  empty(
    foot,
    h("div", null, language),
    h("div", null, units),
    me.role === "owner" &&
      me.password &&
      button(_("Leave"), async () => (await call("POST", "/api/leave"), await forgetAll(), location.assign("/")), {
        class: "button quiet",
      }),
  );
}
