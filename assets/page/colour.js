// SPDX-License-Identifier: MIT
// Colours of cloth as a person turns them: lightness, chroma, hue (CIE LCh, D50), and what a screen can show.
// The matrices are those of src/colour/spaces.c, so that a colour picked here is the same colour there.

const WHITE = [0.9642, 1, 0.8249]; // D50, ICC.1
const SRGB = [
  [3.134186364236819, -1.6172089589982748, -0.49069406400638393],
  [-0.9787485041906944, 1.9161300967735873, 0.03343339915999554],
  [0.07196392780224674, -0.22899387345320327, 1.4057537328964445],
];
const LUMINANCE = [-0.028477113573114693, 1.0100642628661152, 0.021085428586594873];
// Display P3 from XYZ D50: its primaries with D65 white and the Bradford matrix of ICC.1 annex E.
const P3 = [
  [2.403984, -0.9899069, -0.3976415],
  [-0.8422229, 1.7988437, 0.0160354],
  [0.0482059, -0.0974068, 1.2740049],
];
const EPSILON = 216 / 24389;
const KAPPA = 24389 / 27;

const inverse = (f) => (f * f * f > EPSILON ? f * f * f : (116 * f - 16) / KAPPA);
const rows = (matrix, v) => matrix.map((m) => m[0] * v[0] + m[1] * v[1] + m[2] * v[2]);

export function xyzOf([L, a, b]) {
  const fy = (L + 16) / 116;
  return [WHITE[0] * inverse(fy + a / 500), WHITE[1] * inverse(fy), WHITE[2] * inverse(fy - b / 200)];
}

/** Relative luminance (WCAG 2.2), as bc_colour_from_lab has it. */
export function luminanceOf(lab) {
  const xyz = xyzOf(lab);
  return LUMINANCE[0] * xyz[0] + LUMINANCE[1] * xyz[1] + LUMINANCE[2] * xyz[2];
}

export function labOf({ L, C, h }) {
  const turn = (h * Math.PI) / 180;
  return [L, C * Math.cos(turn), C * Math.sin(turn)];
}
export function lchOf([L, a, b]) {
  return { L, C: Math.hypot(a, b), h: ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360 };
}

const encode = (v) => (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
const inside = (rgb) => rgb.every((v) => v >= -1e-4 && v <= 1.0001);
const clip = (v) => Math.min(1, Math.max(0, v));

// Chroma is lowered at constant lightness and hue until the colour fits, so that a red stays a red.
function fitted(lab, matrix) {
  const at = (share) => rows(matrix, xyzOf([lab[0], share * lab[1], share * lab[2]]));
  if (inside(at(1))) return at(1);
  let low = 0;
  let high = 1;
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (inside(at(middle))) low = middle;
    else high = middle;
  }
  return at(low);
}

export const fitsScreen = (lab, wide) => inside(rows(wide ? P3 : SRGB, xyzOf(lab)));
export const srgbBytes = (lab) => fitted(lab, SRGB).map((v) => Math.round(255 * encode(clip(v))));
export const hexOf = (lab) =>
  `#${srgbBytes(lab)
    .map((v) => v.toString(16).padStart(2, "0"))
    .join("")}`;

const wideScreen = matchMedia("(color-gamut: p3)");
export const isWide = () => wideScreen.matches;

/** The inverse of a matrix of three rows, by its cofactors. */
function inverted(m) {
  const minor = (i, j) => {
    const [p, q] = [0, 1, 2].filter((k) => k !== i);
    const [r, t] = [0, 1, 2].filter((k) => k !== j);
    return m[p][r] * m[q][t] - m[p][t] * m[q][r];
  };
  const cofactor = (i, j) => (-1) ** (i + j) * minor(i, j);
  const whole = [0, 1, 2].reduce((sum, j) => sum + m[0][j] * cofactor(0, j), 0);
  return [0, 1, 2].map((i) => [0, 1, 2].map((j) => cofactor(j, i) / whole));
}
const FROM_SRGB = inverted(SRGB);
const decode = (v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
const forward = (t) => (t > EPSILON ? Math.cbrt(t) : (KAPPA * t + 16) / 116);

/** CIELAB D50 of an sRGB colour, each part from 0 to 255. */
export function labOfSrgb(bytes) {
  const [x, y, z] = rows(
    FROM_SRGB,
    bytes.map((v) => decode(v / 255)),
  ).map((v, i) => forward(v / WHITE[i]));
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}
/** CIELAB of any colour that the browser knows, as the screen's sRGB shows it. */
export function labOfCss(css) {
  const pen = document.createElement("canvas").getContext("2d");
  pen.fillStyle = css;
  pen.fillRect(0, 0, 1, 1);
  return labOfSrgb([...pen.getImageData(0, 0, 1, 1).data.slice(0, 3)]);
}

/** What the page paints with: the screen's own wide gamut where it has one. */
export function paint(lab) {
  if (!isWide() || fitsScreen(lab)) return hexOf(lab);
  return `color(display-p3 ${fitted(lab, P3)
    .map((v) => encode(clip(v)).toFixed(4))
    .join(" ")})`;
}

/** What is sent to the program: CSS Color 4 Lab, which is D50 as CIELAB here. */
export const cssOf = (lab) => `lab(${lab[0].toFixed(2)}% ${lab[1].toFixed(2)} ${lab[2].toFixed(2)})`;

/** The most vivid colour of this lightness and hue that cloth and screen both have. */
export function mostChroma(L, h, wide = isWide()) {
  let low = 0;
  let high = 134;
  for (let i = 0; i < 12; i++) {
    const middle = (low + high) / 2;
    if (fitsScreen(labOf({ L, C: middle, h }), wide)) low = middle;
    else high = middle;
  }
  return low;
}

/** Paints hue across and lightness down at one chroma: srgbBytes of each place, without an object a pixel. */
export function fillPlane({ data, width, height }, C, top, bottom, from = 0, to = width) {
  const [red, green, blue] = SRGB;
  const out = (v) => v < -1e-4 || v > 1.0001;
  const byte = (v) => Math.round(255 * encode(clip(v)));
  for (let x = from; x < to; x++) {
    const turn = (2 * Math.PI * x) / width;
    const [a, b] = [(C * Math.cos(turn)) / 500, (C * Math.sin(turn)) / 200];
    for (let y = 0; y < height; y++) {
      const f = (top - ((top - bottom) * y) / (height - 1) + 16) / 116;
      const Y = WHITE[1] * inverse(f);
      let low = 0,
        high = 1,
        share = 1,
        r = Y,
        g = Y,
        bl = Y;
      for (let i = 0; i < 12; i++) {
        const X = WHITE[0] * inverse(f + share * a),
          Z = WHITE[2] * inverse(f - share * b);
        const tryR = red[0] * X + red[1] * Y + red[2] * Z,
          tryG = green[0] * X + green[1] * Y + green[2] * Z,
          tryB = blue[0] * X + blue[1] * Y + blue[2] * Z;
        if (out(tryR) || out(tryG) || out(tryB)) high = share;
        else {
          low = share;
          r = tryR;
          g = tryG;
          bl = tryB;
          if (high - low < 1e-3) break;
        }
        share = (low + high) / 2;
      }
      const at = 4 * (y * width + x);
      data[at] = byte(r);
      data[at + 1] = byte(g);
      data[at + 2] = byte(bl);
      data[at + 3] = 255;
    }
  }
}
