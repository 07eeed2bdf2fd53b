// SPDX-License-Identifier: MIT
// Sentences, figures and lengths in the reader's language and units.
// In: English sentences marked _("…") and plural("…", "…", n). Out: text for people.

let words = {};
let language = "en";
let units = "metric";
let rightToLeft = false;

// Plural forms as gettext's manual gives them for these languages; the number is the form's index.
const FORMS = {
  fr: (n) => (n > 1 ? 1 : 0),
  ar: (n) => (n < 3 ? n : n % 100 >= 3 && n % 100 <= 10 ? 3 : n % 100 >= 11 ? 4 : 5),
};
const formOf = (n) => (FORMS[language.slice(0, 2)] ?? ((count) => (count === 1 ? 0 : 1)))(n);

export function useWords(code, catalogue, rtl = false) {
  language = code;
  rightToLeft = rtl;
  words = catalogue ?? {};
}
export const languageInUse = () => language;
export const runsRightToLeft = () => rightToLeft;
export const unitsInUse = () => units;
export function useUnits(name) {
  units = name === "imperial" ? "imperial" : "metric";
}

// A Latin name or a figure must not draw its neighbours to its own side (UAX 9, explicit directional isolates).
const isolated = (text) => `${/[\u0590-\u08ff\u200f]/.test(text) ? "\u2067" : "\u2066"}${text}\u2069`;

// %s, %d and %1$s: as in the catalogue, so that msgfmt can check the translations.
function fill(sentence, values) {
  let next = 0;
  return sentence.replace(/%(?:(\d+)\$)?([sd%])/g, (all, place, kind) => {
    if (kind === "%") return "%";
    const value = values[place ? place - 1 : next++];
    const text = typeof value === "number" ? number(value) : String(value);
    return rightToLeft ? isolated(text) : text;
  });
}

export function _(sentence, ...values) {
  const known = words[sentence];
  return fill((Array.isArray(known) ? known[0] : known) || sentence, values);
}

/** plural("%d piece", "%d pieces", n): the count is the first value. */
export function plural(one, many, count, ...values) {
  const known = words[one];
  const english = count === 1 ? one : many;
  const sentence = Array.isArray(known) ? known[Math.min(formOf(count), known.length - 1)] : undefined;
  return fill(sentence || english, [count, ...values]);
}

// Units alone, as the catalogue has them beside a figure: what a label ends with, what is read instead, and its size.
const alone = (text) => text.replace(/[\u2066-\u2069]/g, "").trim();
const fieldUnits = () => [
  [_("%s cm", ""), _("%s in", ""), 2.54],
  [_("%s kg", ""), _("%s lb", ""), 0.45359237],
  [_("%s g", ""), _("%s oz", ""), 28.349523125],
];

/** The label of a field, "Width, cm", in the reader's units, "Width, in", and how many of the label's own unit one is. */
export function inReadersUnits(label) {
  if (units === "imperial")
    for (const [metric, imperial, scale] of fieldUnits())
      if (label.endsWith(` ${alone(metric)}`)) return { label: label.slice(0, -alone(metric).length) + alone(imperial), scale };
  return { label, scale: 1 };
}

// Latin digits in every language, as in the drawings, so that a figure can be found again there.
const formats = new Map();
export function number(value, digits = 0) {
  if (!digits && Number.isInteger(value) && value >= 0 && value < 1000) return String(value); // the same in every language
  const most = digits || Number.isInteger(value) ? digits : 1;
  const key = `${language} ${digits} ${most}`;
  if (!formats.has(key))
    formats.set(
      key,
      new Intl.NumberFormat(language, { minimumFractionDigits: digits, maximumFractionDigits: most, numberingSystem: "latn" }),
    ); // slow to make on a phone
  return formats.get(key).format(value);
}

export const day = (when) =>
  new Intl.DateTimeFormat(language, { dateStyle: "medium", numberingSystem: "latn" }).format(new Date(when));
export const dayAndTime = (when) =>
  new Intl.DateTimeFormat(language, { dateStyle: "medium", timeStyle: "short", numberingSystem: "latn" }).format(new Date(when));
