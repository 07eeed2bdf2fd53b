// SPDX-License-Identifier: MIT
// What is still to be looked at or told of each piece, and in which order a maker is led through them.
import { _ } from "./words.js";
import { isHeldSomehow } from "./held.js";

const SEEN = "backcloth outlines looked at";
const SURE = 0.8; // of a reading's confidence

function seen() {
  try {
    return new Set(JSON.parse(localStorage.getItem(SEEN)) ?? []);
  } catch {
    return new Set();
  }
}
/** The maker has said that this outline is right. */
export function lookedAt(photo) {
  try {
    localStorage.setItem(SEEN, JSON.stringify([...seen().add(photo.id)]));
  } catch {
    // A private window: it is asked again on the next visit.
  }
}

export const isDoubtful = (photo) =>
  (photo.reading?.piece?.doubtful ?? (photo.reading?.piece?.confidence ?? 1) < SURE) && !seen().has(photo.id);
export const isMeasuredPhoto = (photo) => photo.width_cm > 0 || photo.height_cm > 0;
export const pieceOf = (maker, photo) =>
  maker.plan?.pieces?.find((piece) => piece.id === photo.id || piece.photo?.includes(photo.id));

/** In words what this piece waits for, the most important first; null when nothing is missing. */
export function missing(maker, photo) {
  if (isDoubtful(photo)) return _("Look at the outline");
  if (!isMeasuredPhoto(photo)) return _("How wide is it?");
  const piece = pieceOf(maker, photo);
  if (piece && !isHeldSomehow(piece)) return _("Does it hang or stand?");
  return null;
}
const urgency = (maker, photo) => (isDoubtful(photo) ? 0 : !isMeasuredPhoto(photo) ? 1 : missing(maker, photo) ? 2 : 3);

/** The pieces in the order in which they are looked at: doubtful ones, unmeasured ones, then the others. */
export const walk = (maker) =>
  maker
    .pieces()
    .map((photo, i) => [photo, urgency(maker, photo), i])
    .sort((a, b) => a[1] - b[1] || a[2] - b[2])
    .map(([photo]) => photo);

/** The next piece that waits for something, after this one; null when all are done. */
export const nextAfter = (maker, photo) => walk(maker).find((other) => other.id !== photo?.id && missing(maker, other)) ?? null;
export const waitingCount = (maker) => maker.pieces().filter((photo) => missing(maker, photo)).length;
