// SPDX-License-Identifier: MIT
// A photo under its cut-out: what is not kept lies under a grey veil. Two fingers zoom and move it; one finger
// scrolls the page as everywhere, until the caller takes it (`armed`).
import { h } from "./dom.js";

const MOST = 6; // times larger
const WIDE = 1280; // as the preview comes

export const load = (src) =>
  new Promise((resolve, reject) => {
    const image = new Image();
    image.onload = () => resolve(image);
    image.onerror = reject;
    image.src = src;
  });

// The background is veiled in grey, so that what is kept is what is seen.
function veilOf(mask, width, height) {
  const veil = h("canvas", { width, height });
  const pen = veil.getContext("2d", { willReadFrequently: true });
  pen.drawImage(mask, 0, 0, width, height);
  const pixels = pen.getImageData(0, 0, width, height);
  for (let i = 0; i < pixels.data.length; i += 4) {
    const kept = pixels.data[i];
    const edge = kept > 96 && kept < 160;
    pixels.data.fill(edge ? 255 : 110, i, i + 3);
    pixels.data[i + 3] = edge ? 255 : (255 - kept) * 0.82;
  }
  pen.putImageData(pixels, 0, 0);
  return veil;
}

function twice(pen, px, stroke, [wideFirst, wide] = [4, 2], [first, second] = ["#000", "#fff"]) {
  for (const [colour, line] of [
    [first, wideFirst],
    [second, wide],
  ]) {
    Object.assign(pen, { strokeStyle: colour, lineWidth: line * px });
    stroke();
  }
}
function dots(pen, points, k, px, keep) {
  Object.assign(pen, { lineWidth: 2 * px, fillStyle: keep ? "#fff" : "#000", strokeStyle: keep ? "#000" : "#fff" });
  for (const [x, y] of points) {
    pen.beginPath();
    pen.arc(x * k, y * k, 5 * px, 0, 7);
    pen.fill();
    pen.stroke();
  }
}
function numbered(pen, pins, k, px) {
  pins.forEach(([x, y], i) => {
    pen.beginPath();
    pen.arc(x * k, y * k, 11 * px, 0, 7);
    Object.assign(pen, {
      fillStyle: "#fff",
      strokeStyle: "#000",
      lineWidth: 2 * px,
      font: `bold ${13 * px}px sans-serif`,
      textAlign: "center",
      textBaseline: "middle",
    });
    pen.fill();
    pen.stroke();
    pen.fillStyle = "#000";
    pen.fillText(i + 1, x * k, y * k);
  });
}
function cross(pen, [x, y], px) {
  twice(
    pen,
    px,
    () => {
      pen.beginPath();
      pen.moveTo(x - 14 * px, y);
      pen.lineTo(x + 14 * px, y);
      pen.moveTo(x, y - 14 * px);
      pen.lineTo(x, y + 14 * px);
      pen.stroke();
    },
    [5, 2],
    ["#fff", "#000"],
  );
}

function paint(canvas, view) {
  const { width, height } = canvas;
  const pen = canvas.getContext("2d");
  const k = width / view.photo.pixels[0];
  const px = width / (canvas.clientWidth || width) / view.zoom.k; // marks are as large on a phone as on a desk
  pen.drawImage(view.image, 0, 0, width, height);
  if (view.veil) pen.drawImage(view.veil, 0, 0);
  dots(pen, view.help.keep, k, px, true);
  dots(pen, view.help.drop, k, px, false);
  for (const [box, dash] of [
    [view.help.box, []],
    [view.help.white, [6 * px, 4 * px]],
    [view.drawn, [2 * px, 2 * px]],
  ]) {
    if (!box) continue;
    pen.setLineDash(dash);
    twice(pen, px, () => pen.strokeRect(box[0] * k, box[1] * k, box[2] * k, box[3] * k));
    pen.setLineDash([]);
  }
  numbered(pen, view.pins, k, px);
  if (view.cross)
    cross(
      pen,
      view.cross.map((v) => v * k),
      px,
    );
}

const middleOf = (a, b) => [(a.clientX + b.clientX) / 2, (a.clientY + b.clientY) / 2];
const apart = (a, b) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);

/** Two fingers zoom and move what the frame shows; a wheel with Ctrl zooms. */
function twoFingers(frame, view, zoomAt, ontwo) {
  let two = null;
  const both = ({ touches }) => ({ far: apart(...touches), middle: middleOf(...touches) });
  const start = (event) => {
    if (event.touches.length !== 2) return;
    event.preventDefault();
    ontwo();
    two = both(event);
  };
  const move = (event) => {
    if (!two || event.touches.length !== 2) return;
    event.preventDefault();
    const now = both(event);
    view.zoom.x += now.middle[0] - two.middle[0];
    view.zoom.y += now.middle[1] - two.middle[1];
    zoomAt(now.far / two.far, now.middle);
    two = now;
  };
  const end = (event) => event.touches.length < 2 && (two = null);
  const wheel = (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    zoomAt(Math.exp(-event.deltaY / 200), [event.clientX, event.clientY]);
  };
  frame.addEventListener("touchstart", start, { passive: false });
  frame.addEventListener("touchmove", move, { passive: false });
  frame.addEventListener("touchend", end);
  frame.addEventListener("touchcancel", end);
  frame.addEventListener("wheel", wheel, { passive: false });
  return { isTwo: () => two !== null };
}

/** `view`: {photo, help, pins, cross, drawn}. `ontwo` is told when a second finger comes. */
export function photoView(canvas, view, ontwo) {
  const frame = h("div", { class: "photo" }, canvas);
  view.zoom = { k: 1, x: 0, y: 0 };
  const draw = () => view.image && paint(canvas, view);
  const put = () => {
    const { zoom } = view;
    zoom.k = Math.min(MOST, Math.max(1, zoom.k));
    zoom.x = Math.min(0, Math.max(zoom.x, canvas.clientWidth * (1 - zoom.k)));
    zoom.y = Math.min(0, Math.max(zoom.y, canvas.clientHeight * (1 - zoom.k)));
    canvas.style.transform = zoom.k === 1 ? "" : `translate(${zoom.x}px, ${zoom.y}px) scale(${zoom.k})`;
    frame.dataset.zoom = zoom.k.toFixed(2);
    draw();
  };
  const zoomAt = (factor, [x, y]) => {
    const edge = frame.getBoundingClientRect();
    const { zoom } = view;
    const real = Math.min(MOST, Math.max(1, zoom.k * factor)) / zoom.k;
    const [left, top] = [edge.left + canvas.offsetLeft, edge.top + canvas.offsetTop];
    zoom.x = x - left - (x - left - zoom.x) * real;
    zoom.y = y - top - (y - top - zoom.y) * real;
    zoom.k *= real;
    put();
  };
  const two = twoFingers(frame, view, zoomAt, ontwo);
  const centre = () => {
    const edge = frame.getBoundingClientRect();
    return [edge.left + edge.width / 2, edge.top + edge.height / 2];
  };
  return {
    frame,
    draw,
    closer: () => zoomAt(1.6, centre()),
    whole: () => ((view.zoom.k = 1), put()),
    isTwo: two.isTwo,
    move: (dx, dy) => ((view.zoom.x += dx), (view.zoom.y += dy), put()),
    show(image, mask) {
      view.image = image;
      canvas.width = Math.min(image.naturalWidth, WIDE);
      canvas.height = Math.round((canvas.width * view.photo.pixels[1]) / view.photo.pixels[0]);
      view.veil = mask && veilOf(mask, canvas.width, canvas.height);
      put();
    },
  };
}
