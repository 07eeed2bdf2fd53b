// SPDX-License-Identifier: MIT
// The soft shadow of a cut-out, made once for each photo: a picture costs nothing while a piece is dragged, a filter would.
import { address } from "./server.js";

const WIDE = 96; // a blurred thing needs no more
const shadows = new Map();

/** The address of its shadow, as a promise. */
export function shadowOf(photo) {
  const src = address(photo.urls.cutout);
  if (!shadows.has(src)) shadows.set(src, new Promise((done) => make(src, done)));
  return shadows.get(src);
}

function make(src, done) {
  const image = new Image();
  image.onload = () => {
    const canvas = document.createElement("canvas");
    canvas.width = WIDE;
    canvas.height = Math.max(1, Math.round((WIDE * image.naturalHeight) / image.naturalWidth));
    const pen = canvas.getContext("2d");
    pen.filter = "blur(2px)";
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    pen.filter = "none";
    pen.globalCompositeOperation = "source-in";
    pen.fillStyle = "#000";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    canvas.toBlob((blob) => blob && done(URL.createObjectURL(blob)));
  };
  image.src = src;
}
