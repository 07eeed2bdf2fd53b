// SPDX-License-Identifier: MIT
// The page's lengths and masses are the program's: measures.js against bc_length_words and bc_mass_words on the cases that
// measure_cases (MEASURE_CASES) prints. The inch and the pound are those of the international agreement of 1959.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { length, mass, massAlone } from "../../assets/page/measures.js";
import { useUnits } from "../../assets/page/words.js";

const source = process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url));
const program = process.env.MEASURE_CASES ?? join(source, "build/measure_cases");
const cases = execFileSync(program, { maxBuffer: 1 << 26 }).toString().trim().split("\n").map((line) => JSON.parse(line));

test("every length and mass reads on the page as in the program's sentences, in both units", () => {
  assert.ok(cases.length > 15000);
  for (const units of ["metric", "imperial"]) {
    useUnits(units);
    for (const one of cases) assert.equal("cm" in one ? length(one.cm) : mass(one.grams), one[units], JSON.stringify(one));
  }
});

test("published figures: a yard, a foot, an ounce, a pound", () => {
  useUnits("imperial");
  assert.equal(length(91.44), "3 ft 0 in (91.4 cm)");
  assert.equal(length(30.48), "12 in (30.5 cm)");
  assert.equal(massAlone(28.349523125), "1 oz");
  assert.equal(massAlone(453.59237), "1 lb 0 oz");
  useUnits("metric");
});
