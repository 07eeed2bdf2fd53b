// SPDX-License-Identifier: MIT
// How a piece stands out on a cloth, computed in the page so that the figures follow the finger.
// In: the `face` of a photo (bc_match_face_json) and a cloth. Out: the library's own figures; the
// equality is tested on 10,000 cases (tests/browser/contrast.test.mjs). docs/method/match.md explains them.

const OUTLINE_RATIO = 3; // WCAG 2.2 SC 1.4.11
const OUTLINE_WEIGHT = 2 / 3; // the outline counts twice the body
const FULL_CLARITY = 30; // CIEDE2000 from which a place is as clear as can be
const PATTERN = 2; // a pattern hides edges no stronger than so many times its own spread
const HAIR = 1e-9;

export const GETS_LOST = 0;
export const SOFT = 1;
export const STANDS_OUT = 2;
export const VERDICT_WORDS = ["gets lost", "soft", "stands out"]; // as JSON has them; never shown to people

// --- the face ------------------------------------------------------------------------------------

function bytesOf(base64) {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes.buffer;
}

function patchesFrom(figures, first, count) {
  const figure = (n) => figures[n];
  return Array.from({ length: count }, (_, i) => {
    const at = first + 5 * i;
    return { L: figure(at), a: figure(at + 1), b: figure(at + 2), Y: figure(at + 3), share: figure(at + 4) };
  });
}

/** A face as it travels → what `onCloth` needs. */
export function decodeFace(face) {
  // Least significant byte first, as every processor has it that a browser runs on.
  const figures = new Float64Array(bytesOf(face.figures));
  const figure = (n) => figures[n];
  const bodyCount = figure(1);
  return {
    seeThrough: figure(0),
    mean: { L: figure(3), a: figure(4), b: figure(5), Y: figure(6) },
    body: patchesFrom(figures, 7, bodyCount),
    patches: patchesFrom(figures, 7 + 5 * bodyCount, figure(2)),
    rim: new Float32Array(bytesOf(face.rim)),
  };
}

const colourFrom = ({ lab, luminance }) => ({ L: lab[0], a: lab[1], b: lab[2], Y: luminance });

/** A cloth as the server gives it ({lab, luminance, spread_l, parts}) → what `onCloth` needs. */
export function clothOf(cloth) {
  const parts = (cloth.parts ?? []).map((part) => ({ ...colourFrom(part), share: part.share }));
  const mean = colourFrom(cloth);
  const squares = parts.reduce((sum, part) => sum + part.share * deltaE00(part, mean) ** 2, 0);
  return { ...mean, spread: Math.max(cloth.spread_l ?? 0, Math.sqrt(squares)), parts };
}

// --- measures ------------------------------------------------------------------------------------

/** WCAG 2.2: (L1 + 0.05) / (L2 + 0.05). */
export function contrastRatio(first, second) {
  const x = Math.max(0, first) + 0.05;
  const y = Math.max(0, second) + 0.05;
  return x > y ? x / y : y / x;
}

const DEGREES = 180 / Math.PI;
const power7 = (v) => {
  const v2 = v * v;
  return v2 * v2 * v2 * v;
};

function hueDegrees(b, a) {
  if (a === 0 && b === 0) return 0;
  const h = Math.atan2(b, a) * DEGREES;
  return h < 0 ? h + 360 : h;
}

/** CIEDE2000 (Sharma, Wu and Dalal 2005); numbers are their equations. */
export function deltaE00(first, second) {
  const cAb = 0.5 * (Math.hypot(first.a, first.b) + Math.hypot(second.a, second.b)); // (2), (3)
  const c7 = power7(cAb);
  const g = 0.5 * (1 - Math.sqrt(c7 / (c7 + 6103515625))); // (4)
  const a1 = (1 + g) * first.a;
  const a2 = (1 + g) * second.a; // (5)
  const c1 = Math.hypot(a1, first.b);
  const c2 = Math.hypot(a2, second.b); // (6)
  const h1 = hueDegrees(first.b, a1);
  const h2 = hueDegrees(second.b, a2); // (7)
  const grey = c1 * c2 === 0;
  const apart = Math.abs(h2 - h1) > 180 + 1e-9; // the short way round passes 0°
  let dh = grey ? 0 : h2 - h1; // (10)
  if (!grey && apart) dh += dh > 0 ? -360 : 360;
  let hMean = h1 + h2; // (14)
  if (!grey) hMean = apart ? 0.5 * (hMean < 360 ? hMean + 360 : hMean - 360) : 0.5 * hMean;
  const lMean = 0.5 * (first.L + second.L); // (12)
  const cMean = 0.5 * (c1 + c2); // (13)
  const l50 = (lMean - 50) * (lMean - 50);
  const t =
    1 -
    0.17 * Math.cos((hMean - 30) / DEGREES) +
    0.24 * Math.cos((2 * hMean) / DEGREES) +
    0.32 * Math.cos((3 * hMean + 6) / DEGREES) -
    0.2 * Math.cos((4 * hMean - 63) / DEGREES); // (15)
  const l = (second.L - first.L) / (1 + (0.015 * l50) / Math.sqrt(20 + l50)); // (8), (18)
  const c = (c2 - c1) / (1 + 0.045 * cMean); // (9), (19)
  const h = (2 * Math.sqrt(c1 * c2) * Math.sin((0.5 * dh) / DEGREES)) / (1 + 0.015 * cMean * t); // (11), (20)
  const off = (hMean - 275) / 25;
  const theta = 30 * Math.exp(-off * off); // (16)
  const m7 = power7(cMean);
  const rotation = -Math.sin((2 * theta) / DEGREES) * 2 * Math.sqrt(m7 / (m7 + 6103515625)); // (17), (21)
  return Math.sqrt(Math.max(0, l * l + c * c + h * h + rotation * c * h)); // (22)
}

// --- clarity -------------------------------------------------------------------------------------

function clarityAgainst(colour, cloth) {
  const deltaE = deltaE00(colour, cloth);
  const plain = Math.min(1, Math.max(0, deltaE / FULL_CLARITY));
  // A pattern draws the eye from edges no stronger than itself.
  if (!(cloth.spread > 0)) return plain;
  return deltaE > 0 ? (plain * deltaE) / Math.hypot(deltaE, PATTERN * cloth.spread) : 0;
}

export function verdictOf(clarity) {
  if (clarity + HAIR >= 2 / 3) return STANDS_OUT;
  return clarity + HAIR >= 1 / 3 ? SOFT : GETS_LOST;
}

// CIELAB D50 (ICC.1) ↔ XYZ, for mixing light.
const WHITE = [0.9642, 1, 0.8249];
const KAPPA = 24389 / 27;
const EPSILON = 216 / 24389;
const cubed = (f) => (f * f * f > EPSILON ? f * f * f : (116 * f - 16) / KAPPA);
const rooted = (v) => (v > EPSILON ? Math.cbrt(v) : (KAPPA * v + 16) / 116);

function xyzOf({ L, a, b }) {
  const y = (L + 16) / 116;
  return [WHITE[0] * cubed(y + a / 500), WHITE[1] * cubed(y), WHITE[2] * cubed(y - b / 200)];
}

function labOf(xyz) {
  const [x, y, z] = xyz.map((v, i) => rooted(v / WHITE[i]));
  return { L: 116 * y - 16, a: 500 * (x - y), b: 200 * (y - z) };
}

// Glass lets the cloth through: their light is mixed.
function beforeCloth(own, seeThrough, cloth) {
  if (!(seeThrough > 0)) return own;
  const behind = xyzOf(cloth);
  const mixed = xyzOf(own).map((v, i) => v + seeThrough * (behind[i] - v));
  return { ...labOf(mixed), Y: own.Y + seeThrough * (cloth.Y - own.Y) };
}

function meanClarity(piece, patches, cloth) {
  let clarity = 0;
  let seen = 0;
  for (const patch of patches) {
    const here = clarityAgainst(beforeCloth(patch, piece.seeThrough, cloth), cloth);
    clarity += patch.share * here;
    if (verdictOf(here) === STANDS_OUT) seen += patch.share;
  }
  return { clarity, seen };
}

function placesUpTo(rim, limit) {
  let low = 0;
  let high = rim.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rim[middle] <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}

// Through glass a place keeps only a part of its own difference, so the limits lie farther away.
function outlineShare(piece, meanY, clothY) {
  const count = piece.rim.length;
  if (!count) return contrastRatio(meanY, clothY) >= OUTLINE_RATIO ? 1 : 0;
  const light = Math.max(0, clothY);
  const cloth = light + 0.05;
  const keep = Math.max(1e-9, 1 - piece.seeThrough);
  const darker = placesUpTo(piece.rim, light + (cloth / OUTLINE_RATIO - cloth) / keep + HAIR);
  const notLighter = placesUpTo(piece.rim, light + (cloth * OUTLINE_RATIO - cloth) / keep - HAIR);
  return (darker + count - notLighter) / count;
}

// A pattern is one of its colours behind each place, as often as its share says; a plain cloth is its only part.
function overParts(cloth, figure) {
  if (!cloth.parts?.length) return figure(cloth);
  return cloth.parts.reduce((sum, part) => sum + part.share * figure({ ...part, spread: cloth.spread }), 0);
}

/** One piece on one cloth: the figures of bc_match_pair. */
export function onCloth(piece, cloth) {
  const outline = piece.patches.length ? piece.patches : [{ ...piece.mean, share: 1 }];
  let seen = 0;
  const clarity = Math.min(
    1,
    overParts(cloth, (behind) => {
      const rim = meanClarity(piece, outline, behind);
      seen += (cloth.parts?.length ? behind.share : 1) * rim.seen;
      return Math.min(1, OUTLINE_WEIGHT * rim.clarity + (1 - OUTLINE_WEIGHT) * meanClarity(piece, piece.body, behind).clarity);
    }),
  );
  const mean = beforeCloth(piece.mean, piece.seeThrough, cloth);
  const share = overParts(cloth, (behind) => outlineShare(piece, beforeCloth(piece.mean, piece.seeThrough, behind).Y, behind.Y));
  const byLight = !(cloth.spread > 0) && !(piece.seeThrough > 0) ? share : 0;
  return {
    contrastRatio: contrastRatio(mean.Y, cloth.Y),
    deltaL: Math.abs(mean.L - cloth.L),
    deltaE00: deltaE00(mean, cloth),
    outlineShare: share,
    seenShare: Math.min(1, Math.max(seen, byLight)),
    clarity,
    verdict: verdictOf(clarity),
  };
}

// No piece counts for more than the least clear one allows.
function capOf(least) {
  if (least <= 1 / 3) return 1 / 6 + Math.max(0, least) / 2;
  if (least <= 2 / 3) return Math.min(2 / 3, 1 / 3 + 2 * (least - 1 / 3));
  return Math.min(1, 2 / 3 + 2 * (least - 2 / 3));
}

/** The collection on a cloth: its pairs in order, the score 0..100, and which piece is weakest. */
export function collectionOn(pieces, cloth) {
  const pairs = pieces.map((piece) => onCloth(piece, cloth));
  if (!pairs.length) return { pairs, score: 0, weakest: -1 };
  let weakest = 0;
  pairs.forEach((pair, i) => {
    if (pair.clarity < pairs[weakest].clarity) weakest = i;
  });
  const cap = capOf(pairs[weakest].clarity);
  const sum = pairs.reduce((so, pair) => so + Math.min(pair.clarity, cap), 0);
  return { pairs, score: (100 * sum) / pairs.length, weakest };
}
