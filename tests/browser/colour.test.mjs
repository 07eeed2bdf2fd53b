// SPDX-License-Identifier: MIT
// The page's colours are the library's: colour.js against bc_lab_to_hex, bc_colour_from_lab and
// bc_colour_from_linear_srgb on the cases that colour_cases prints, and against published figures.
// COLOUR_CASES names that program. merge.js against the rules of src/web/store/merge.c.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

const screen = { matches: false };
globalThis.matchMedia = () => screen; // the screen is asked for its gamut when the script is read
const { fillPlane, fitsScreen, hexOf, labOf, labOfSrgb, lchOf, luminanceOf, mostChroma, paint, srgbBytes } = await import("../../assets/page/colour.js");
const { merge } = await import("../../assets/page/merge.js");
const source = process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url));
const lines = execFileSync(process.env.COLOUR_CASES ?? join(source, "build/colour_cases"), { maxBuffer: 1 << 26 }).toString().trim().split("\n").map((line) => JSON.parse(line));
const cases = lines.filter((one) => one.hex);
const wide = lines.filter((one) => one.p3);
const far = (a, b) => Math.max(...a.map((v, i) => Math.abs(v - b[i])));
const bytes = (hex) => [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));

test("the page and the library agree on every colour", () => {
  assert.ok(cases.length > 10000);
  for (const { lab, luminance, hex, back } of cases) {
    assert.ok(Math.abs(luminanceOf(lab) - luminance) < 1e-9, `luminance of ${lab}: ${luminanceOf(lab)}, library ${luminance}`);
    // One step of 255 where a value lies between two codes: chroma is lowered by halving, and the two stop apart.
    assert.ok(far(bytes(hexOf(lab)), bytes(hex)) <= 1, `${lab}: ${hexOf(lab)}, library ${hex}`);
    assert.ok(far(labOfSrgb(bytes(hex)), back) < 1e-6, `${hex}: ${labOfSrgb(bytes(hex))}, library ${back}`);
    assert.ok(far(labOf(lchOf(lab)), lab) < 1e-9);
  }
  const different = cases.filter(({ lab, hex }) => hexOf(lab) !== hex).length;
  assert.ok(different < cases.length / 200, `${different} of ${cases.length} differ by a step`);
  console.log(`${cases.length} colours, ${different} differ by one step of 255`);
});

test("a wide screen is given the colour that the library reads from such words; a narrow one its sRGB", () => {
  let beyond = 0;
  for (const { p3, lab } of wide) {
    screen.matches = true;
    const words = paint(lab);
    screen.matches = false;
    assert.equal(paint(lab), hexOf(lab));
    if (fitsScreen(lab, false)) assert.equal(words, hexOf(lab));
    else {
      const painted = words.match(/^color\(display-p3 ([\d.]+) ([\d.]+) ([\d.]+)\)$/).slice(1).map(Number);
      assert.ok(far(painted, p3) < 2e-4, `${p3}: ${words}`);
      beyond++;
    }
  }
  assert.ok(beyond > 500, `only ${beyond} of ${wide.length} are beyond sRGB`);
});

test("the field of colours is the colours themselves, and its edge what a screen can just show", () => {
  const [width, height, top, bottom] = [48, 24, 96, 12];
  for (const C of [5, 40, 90]) {
    const data = new Uint8ClampedArray(4 * width * height);
    fillPlane({ data, width, height }, C, top, bottom, 0, 30);
    fillPlane({ data, width, height }, C, top, bottom, 30);
    for (let x = 0; x < width; x++)
      for (let y = 0; y < height; y++) {
        const lab = labOf({ L: top - ((top - bottom) * y) / (height - 1), C, h: (360 * x) / width });
        const at = 4 * (y * width + x);
        // Where chroma is lowered the field stops at a thousandth of it, which is a few codes where a channel is near 0.
        assert.ok(far([...data.slice(at, at + 3)], srgbBytes(lab)) <= (fitsScreen(lab, false) ? 0 : 3), `${lab}: ${data.slice(at, at + 3)}, alone ${srgbBytes(lab)}`);
        assert.equal(data[at + 3], 255);
      }
  }
  for (const isWide of [false, true])
    for (let L = 20; L < 95; L += 15)
      for (let h = 0; h < 360; h += 20) {
        const C = mostChroma(L, h, isWide);
        assert.ok(C < 133.9 && fitsScreen(labOf({ L, C, h }), isWide) && !fitsScreen(labOf({ L, C: C + 0.1, h }), isWide), `${L} ${h}: ${C}`);
      }
});

test("published figures: sRGB of IEC 61966-2-1 to CIELAB D50 by ICC.1 (Bradford, annex E) and WCAG luminance", () => {
  // Worked from the standards in full precision; LittleCMS 2.14 gives the same within 5.7e-5.
  const known = [[[0, 0, 0], [0, 0, 0], 0], [[0, 255, 0], [87.81941, -79.27494, 80.99272], 0.7152], [[255, 0, 255], [60.16732, 93.54666, -60.50272], 0.2848], [[153, 153, 153], [63.22259, 0, 0], 0.31854678], [[184, 90, 58], [49.79835, 37.09013, 36.59351], 0.17808164], [[186, 146, 100], [63.59305, 11.21673, 30.39956], 0.31916972]];
  for (const [rgb, lab, y] of known) {
    assert.ok(far(labOfSrgb(rgb), lab) < 3e-4, `${rgb}: ${labOfSrgb(rgb)}, published ${lab}`);
    assert.ok(Math.abs(luminanceOf(lab) - y) < 1e-4, `${rgb}: ${luminanceOf(lab)}, published ${y}`);
  }
});

const piece = (id, x, more = {}) => ({ id, at: [x, 100], ...more });
test("two changes of one plan are brought together as the program does it", () => {
  const base = { gap: 8, pieces: [piece("a", 1), piece("b", 2), piece("c", 3)] };
  const mine = { gap: 8, pieces: [piece("a", 10), piece("b", 2)] };
  const theirs = { gap: 9, pieces: [piece("a", 1), piece("b", 20, { count: 2 }), piece("c", 3), piece("d", 4)] };
  assert.deepEqual(merge(base, mine, theirs), { gap: 9, pieces: [piece("a", 10), piece("b", 20, { count: 2 }), piece("d", 4)] });
  assert.deepEqual(merge(base, { ...base, gap: 5 }, { ...base, gap: 6 }).gap, 5); // both: mine stands
  assert.deepEqual(merge(base, { ...base, pieces: [] }, { ...base, pieces: [piece("a", 7), piece("b", 2), piece("c", 3)] }).pieces, [piece("a", 7)]); // changed by one, taken away by the other: it stays
  assert.equal(merge(base, base, theirs), theirs);
  assert.equal(merge(base, mine, base), mine);
});
