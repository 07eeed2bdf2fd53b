// SPDX-License-Identifier: MIT
// Making elements without templates: text is always text, so nothing a maker types can become markup.

import { inReadersUnits } from "./words.js";

const SVG = "http://www.w3.org/2000/svg";

function give(element, key, value) {
  if (value === undefined || value === null || value === false) return;
  if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
  else if (key === "style") for (const [name, text] of Object.entries(value)) element.style.setProperty(name, text);
  else if (key === "data") Object.assign(element.dataset, value);
  else if (key === "value" || key === "checked" || key === "disabled" || key === "open") element[key] = value;
  else element.setAttribute(key, value === true ? "" : value);
}

function build(element, gifts, children) {
  for (const [key, value] of Object.entries(gifts ?? {})) give(element, key, value);
  fill(element, children);
  return element;
}

/** Appends texts and elements; false and null are left out, lists are opened. */
export function fill(element, ...children) {
  for (const child of children.flat(Infinity))
    if (child !== null && child !== undefined && child !== false) element.append(child);
  return element;
}

export const h = (tag, gifts, ...children) => build(document.createElement(tag), gifts, children);
export const s = (tag, gifts, ...children) => build(document.createElementNS(SVG, tag), gifts, children);
export function empty(element, ...children) {
  element.replaceChildren();
  return fill(element, ...children);
}

/** A button with words. `look`: "main" for the one thing to do next, "quiet" for the rest. */
export const button = (words, onclick, gifts = {}) => h("button", { type: "button", class: "button", onclick, ...gifts }, words);

const hundredths = (value) => Math.round(value * 100) / 100;
/** What a field says, in centimetres, grams or kilograms, whatever the reader's units are. */
export const measureOf = (input) =>
  input.dataset.scale ? hundredths(Number(input.value) * Number(input.dataset.scale)) : Number(input.value);

let fields = 0;
/** A labelled field: label above, hint below, both tied to the input. */
export function field(words, input, hint) {
  const id = input.id || `field-${++fields}`;
  input.id = id;
  if (hint) input.setAttribute("aria-describedby", `${id}-hint`);
  const { label, scale } = inReadersUnits(words);
  if (scale !== 1 && input.type === "number") {
    input.dataset.scale = scale;
    input.min = 0;
    if (input.value !== "") input.value = hundredths(Number(input.value) / scale);
  }
  return h(
    "div",
    { class: "field" },
    h("label", { for: id }, label),
    input,
    hint && h("p", { class: "hint", id: `${id}-hint` }, hint),
  );
}

/** One of several: `options` are [value, words]. */
export const choice = (options, value, onchange) =>
  h(
    "select",
    { onchange: (event) => onchange(event.target.value) },
    options.map(([key, words]) => h("option", { value: key, selected: key === value }, words)),
  );

// --- told aloud, and shown for a moment ------------------------------------------------------------

const live = h("div", { class: "unseen", "aria-live": "polite", role: "status" });
const notice = h("div", { class: "notice", hidden: true });
document.body.append(live, notice);

/** For a screen reader only. */
export function say(words) {
  live.textContent = "";
  setTimeout(() => (live.textContent = words), 60);
}

let hide;
/** Shown at the edge for a while, and told aloud; `action` is {words, run}, for example to undo. */
export function tell(words, action) {
  say(words);
  empty(
    notice,
    h("span", null, words),
    action && button(action.words, () => ((notice.hidden = true), action.run())),
    button("×", () => (notice.hidden = true), { class: "button quiet", "aria-label": closeWords() }),
  );
  notice.hidden = false;
  clearTimeout(hide);
  hide = setTimeout(() => !notice.matches(":hover, :focus-within") && (notice.hidden = true), action ? 20000 : 9000);
}
/** Work that tells what went wrong instead of failing. */
export const attempt =
  (work) =>
  async (...values) => {
    try {
      await work(...values);
    } catch (error) {
      tell(error.message);
    }
  };
let closeWords = () => "Close";
export const useCloseWords = (words) => (closeWords = () => words);

/** A dialogue over the page; resolves with the value of the button that closed it, or null. */
export function ask(title, content, choices) {
  return new Promise((resolve) => {
    const id = `ask-${++fields}`;
    const close = (value) => (box.close(), box.remove(), resolve(value));
    const box = h(
      "dialog",
      { class: "ask", "aria-labelledby": id, oncancel: (event) => (event.preventDefault(), close(null)) },
      h(
        "form",
        { method: "dialog", onsubmit: (event) => (event.preventDefault(), close(choices[0].value)) },
        h("h2", { id }, title),
        content,
        h(
          "div",
          { class: "row" },
          choices.map((choice, i) =>
            h(
              "button",
              {
                type: i ? "button" : "submit",
                class: `button ${i ? "" : "main"}`,
                onclick: i ? () => close(choice.value) : undefined,
              },
              choice.words,
            ),
          ),
        ),
      ),
    );
    document.body.append(box);
    box.showModal();
  });
}
