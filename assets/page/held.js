// SPDX-License-Identifier: MIT
// How a piece is held: whether it hangs or stands is asked, never assumed, and what stands, stands on something.
import { _ } from "./words.js";
import { mass } from "./measures.js";
import { defaults } from "./defaults.js";

const STANDING = ["shelf", "table", "floor"];
const HEAVY_G = 1000; // from here on most makers let a piece stand (common practice, no source)
const LIGHT_G = 500;
const LOW = 0.75; // height by width of a bowl or a basket

export const stands = (piece) => STANDING.includes(piece.mount?.kind);
export const isHeldSomehow = (piece) => Boolean(piece.mount?.kind);

/** Everything that a piece can stand on: {kind, id, y, left, right}, cm; the floor last. */
export function surfaces(plan) {
  const middle = plan.stand.width / 2;
  const given = defaults();
  const tables = (plan.tables ?? []).map((one, i) => ({
    kind: "table",
    id: one.id ?? `table-${i + 1}`,
    y: one.height ?? given.table.height,
    left: one.x ?? middle - (one.width ?? given.table.width) / 2,
    wide: one.width ?? given.table.width,
  }));
  const shelves = (plan.shelves ?? []).map((one, i) => ({
    kind: "shelf",
    id: one.id ?? `shelf-${i + 1}`,
    y: one.y ?? given.shelf.y,
    left: one.x ?? middle - (one.width ?? given.shelf.width) / 2,
    wide: one.width ?? given.shelf.width,
  }));
  const risers = (plan.risers ?? []).map((one, i) => {
    const table = tables.find((other) => other.id === one.on) ?? tables[0];
    return {
      kind: "table",
      id: one.id ?? `riser-${i + 1}`,
      y: (table?.y ?? 0) + (one.height ?? given.riser.height),
      left: one.x ?? (table ? table.left + (table.wide - (one.width ?? given.riser.width)) / 2 : 0),
      wide: one.width ?? given.riser.width,
    };
  });
  return [...tables, ...shelves, ...risers, { kind: "floor", id: null, y: 0, left: 0, wide: plan.stand.width }].map((one) => ({
    ...one,
    right: one.left + one.wide,
  }));
}

const footOf = (piece) => (piece.at?.[1] ?? 0) - (Number(piece.height) || 0) / 2;

/** What a standing piece stands on: the one it names, else the nearest of its kind below its middle. */
export function surfaceOf(plan, piece) {
  const all = surfaces(plan).filter((one) => one.kind === piece.mount?.kind);
  const named = all.find((one) => one.id === piece.mount?.on);
  if (named || !piece.at) return named ?? all[0] ?? null;
  const far = (one) => Math.abs(one.y - footOf(piece)) + Math.max(0, one.left - piece.at[0], piece.at[0] - one.right);
  return all.sort((a, b) => far(a) - far(b))[0] ?? null;
}

const within = (v, low, high) => (low > high ? (low + high) / 2 : Math.min(high, Math.max(low, v)));
const tenth = (v) => Math.round(v * 10) / 10;

/** Puts a piece that stands onto its surface; one that hangs, or has no place, stays as it is. */
export function settle(plan, piece) {
  const under = stands(piece) && piece.at ? surfaceOf(plan, piece) : null;
  if (!under) return;
  const half = (Number(piece.width) || 0) / 2;
  piece.at = [
    tenth(within(piece.at[0], under.left + half, under.right - half)),
    tenth(under.y + (Number(piece.height) || 0) / 2),
  ];
}

/** Lets a piece stand on this surface from now on. */
export function standOn(plan, piece, surface) {
  const alike = surfaces(plan).filter((one) => one.kind === surface.kind);
  piece.mount = { kind: surface.kind, ...(surface.id && alike.length > 1 ? { on: surface.id } : {}) };
  settle(plan, piece);
}

/** Lets a piece hang or stand as it is told; what does not belong to the new way goes. */
export function hold(plan, piece, kind) {
  if (!STANDING.includes(kind)) return void (piece.mount = { ...(stands(piece) ? {} : piece.mount), kind });
  const surface = surfaceOf(plan, { ...piece, mount: { kind } }) ?? surfaces(plan).at(-1);
  standOn(plan, piece, surface);
}

/** "hangs", "stands" or null, with the reason in words: a proposal, nothing is done by it. */
export function proposal(piece) {
  const [wide, high, weight] = [piece.width, piece.height, piece.weight_g].map(Number);
  if (weight >= HEAVY_G) return { way: "stands", why: _("It weighs %s: a heavy piece is safer standing.", mass(weight)) };
  if (wide > 0 && high > 0 && high < LOW * wide && weight > LIGHT_G)
    return { way: "stands", why: _("It is wide and low, as bowls and baskets are.") };
  if (weight > 0 && weight <= LIGHT_G) return { way: "hangs", why: _("It weighs only %s.", mass(weight)) };
  return null;
}
