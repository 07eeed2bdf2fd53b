// SPDX-License-Identifier: MIT
// Lengths and masses as people read them: the same figures as in every sentence, drawing and list of the program. What is
// rounded how is decided in src/base/measures.c alone; tests/browser/measures.test.mjs holds this file to it.
import { _, runsRightToLeft, unitsInUse } from "./words.js";

const CM_PER_INCH = 2.54;
const GRAMS_PER_OUNCE = 28.349523125;
const EIGHTHS = ["", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
const FEET_FROM = 36; // inches

// One half as the language's catalogue writes it has its decimal mark between the digits.
const withMark = (figure) => figure.replace(".", _("0.5").replace(/[05]/g, ""));

/** As C's "%.0f" and "%.1f" print it: what lies in the middle goes to the even digit, toFixed would go up. */
const printed = (value, digits) => withMark(rounded(value, digits));
function rounded(value, digits) {
  const places = 10 ** digits;
  const isMiddle = digits ? Number.isInteger(4 * value) && !Number.isInteger(2 * value) : Math.abs(value % 1) === 0.5;
  if (!isMiddle) return value.toFixed(digits);
  const low = Math.floor(value * places);
  return ((low % 2 ? low + 1 : low) / places).toFixed(digits);
}

const sign = (value, parts) => (value < 0 && parts ? "−" : "");

function metricLength(cm) {
  const tenths = Math.round(Math.abs(cm) * 10);
  return _("%s cm", withMark(`${sign(cm, tenths)}${Math.floor(tenths / 10)}${tenths % 10 ? `.${tenths % 10}` : ""}`));
}

/** Inches to an eighth, feet from a yard on; what an eighth would make nothing of, in hundredths. */
function imperialLength(cm) {
  const inches = Math.abs(cm) / CM_PER_INCH;
  const eighths = Math.round(inches * 8);
  const part = EIGHTHS[eighths % 8];
  const minus = sign(cm, eighths);
  if (!eighths && Math.abs(cm) >= 0.005 * CM_PER_INCH)
    return _("%s in", withMark(`${sign(cm, 1)}0.${String(Math.round(inches * 100)).padStart(2, "0")}`));
  if (eighths >= 8 * FEET_FROM)
    return _("%1$s ft %2$s in", `${minus}${Math.floor(eighths / 96)}`, `${Math.floor((eighths % 96) / 8)}${part}`);
  return _("%s in", `${minus}${eighths < 8 && part ? part : `${Math.floor(eighths / 8)}${part}`}`);
}

function metricMass(grams) {
  if (grams < 999.5) return _("%s g", printed(grams, 0));
  return _("%s kg", printed(grams / 1000, grams < 99950 ? 1 : 0));
}

function imperialMass(grams) {
  const ounces = Math.round(grams / GRAMS_PER_OUNCE);
  if (grams < 0.95 * GRAMS_PER_OUNCE) return _("%s oz", printed(grams / GRAMS_PER_OUNCE, 1));
  if (ounces < 16) return _("%s oz", String(ounces));
  if (ounces < 16 * 20) return _("%1$s lb %2$s oz", String(Math.floor(ounces / 16)), String(ounces % 16));
  return _("%s lb", printed(grams / GRAMS_PER_OUNCE / 16, 0));
}

const isImperial = () => unitsInUse() === "imperial";
const readersFirst = (metric, imperial) => (isImperial() ? [imperial, metric] : [metric, imperial]);
const together = ([own, other]) => (runsRightToLeft() ? `\u2068${own} (${other})\u2069` : `${own} (${other})`);

/** [in the reader's units, in the other ones] */
export const lengths = (cm) => readersFirst(metricLength(cm), imperialLength(cm));
/** In both, the reader's first: "42 cm (16½ in)". */
export const length = (cm) => together(lengths(cm));
export const mass = (grams) => together(readersFirst(metricMass(grams), imperialMass(grams)));
/** In the reader's units alone, where there is no room for both. */
export const massAlone = (grams) => readersFirst(metricMass(grams), imperialMass(grams))[0];
