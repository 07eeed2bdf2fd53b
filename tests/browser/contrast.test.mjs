// SPDX-License-Identifier: MIT
// The page's figures are the library's: contrast.js against bc_match_pair and bc_match_score on more
// than 10,000 cases that face_cases prints. FACE_CASES names that program, SOURCE the source folder.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { clothOf, collectionOn, decodeFace, deltaE00, onCloth, VERDICT_WORDS } from "../../assets/page/contrast.js";

const source = process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url));
const program = process.env.FACE_CASES ?? join(source, "build/face_cases");
const folder = join(source, "assets/demo/photos");
const photos = readdirSync(folder).filter((name) => name.endsWith(".jpg")).sort();
const lines = execFileSync(program, photos.map((name) => join(folder, name)), { maxBuffer: 1 << 28 })
  .toString()
  .trim()
  .split("\n");

// 1e-9 relative where the library uses the same formula. Clarity and score rest on its quicker CIEDE2000,
// which agrees with the published one to 2e-6 (tests/reference of match): 1e-7 of a clarity, 1e-5 of a score.
const close = (got, wanted, limit, what) =>
  assert.ok(Math.abs(got - wanted) <= limit * Math.max(1, Math.abs(wanted)), `${what}: ${got}, library ${wanted}`);

function compare(piece, wanted) {
  const got = onCloth(piece, clothOf(wanted));
  close(got.contrastRatio, wanted.contrast_ratio, 1e-9, "contrast_ratio");
  close(got.deltaL, wanted.delta_l, 1e-9, "delta_l");
  close(got.deltaE00, wanted.delta_e00, 1e-9, "delta_e00");
  assert.equal(got.outlineShare, wanted.outline_share);
  close(got.seenShare, wanted.seen_share, 1e-9, "seen_share");
  close(got.clarity, wanted.clarity, 1e-7, "clarity");
  assert.equal(VERDICT_WORDS[got.verdict], wanted.verdict);
}

test("the page and the library agree on every case", () => {
  const faces = [];
  const verdicts = new Set();
  let cases = 0;
  let scores = 0;
  for (const line of lines) {
    const record = JSON.parse(line);
    if (record.face) {
      // Forty pieces are then 280 kB, before they are compressed.
      assert.ok(line.length <= 7000, `a face of ${line.length} bytes is no longer small`);
      faces.push(decodeFace(record.face));
    } else if ("score" in record) {
      const { score } = collectionOn(faces.slice(0, record.of), clothOf(record));
      close(score, record.score, 1e-5, "score");
      scores++;
    } else {
      compare(faces.at(-1), record);
      verdicts.add(record.verdict);
      cases++;
    }
  }
  assert.ok(cases >= 10000, `only ${cases} cases`);
  assert.ok(scores >= 100, `only ${scores} scores`);
  assert.equal(verdicts.size, 3);
});

test("CIEDE2000 gives the published figures", () => {
  // Sharma, Wu and Dalal 2005, table 1, pairs 1, 7, 9, 17, 25, 34: hues apart, grey, near opposite, dark.
  const published = [
    [50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425],
    [50, 0, 0, 50, -1, 2, 2.3669],
    [50, 2.49, -0.001, 50, -2.49, 0.0009, 7.1792],
    [50, 2.5, 0, 73, 25, -18, 27.1492],
    [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644],
    [2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082],
  ];
  for (const [L1, a1, b1, L2, a2, b2, wanted] of published)
    assert.equal(deltaE00({ L: L1, a: a1, b: b1 }, { L: L2, a: a2, b: b2 }).toFixed(4), wanted.toFixed(4));
});

test("a collection of seventeen pieces is judged within a frame", () => {
  const faces = lines.filter((line) => line.startsWith('{"face"')).slice(0, photos.length);
  const pieces = faces.map((line) => decodeFace(JSON.parse(line).face));
  const once = (i) => collectionOn(pieces, { L: i % 100, a: 20, b: -30, Y: 0.2, spread: 5 });
  for (let i = 0; i < 50; i++) once(i); // warm
  const start = process.cpuUsage();
  for (let i = 0; i < 50; i++) once(i);
  const { user, system } = process.cpuUsage(start);
  assert.ok((user + system) / 1000 / 50 < 16, `${(user + system) / 50000} ms`);
});
