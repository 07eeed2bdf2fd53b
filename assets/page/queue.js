// SPDX-License-Identifier: MIT
// Photos being sent to the program. Each is kept in the browser's own store until the program has said
// that it is saved, so a lost connection, a closed page or an empty battery loses none.
import { _ } from "./words.js";
import { connection, headers, noteConnection, probe, refusalOf } from "./server.js";

const AT_ONCE = 2; // a phone's upload is the bottleneck, more only makes each slower
const WAITS = [2, 5, 10, 20, 40, 60]; // seconds

/** "change": something moved on; "saved": event.photo is what the program made of it. */
export const queue = Object.assign(new EventTarget(), { items: [] });

// --- the browser's store ------------------------------------------------------------------------

let opening;
function store() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open("backcloth", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("photos", { keyPath: "key" });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opening;
}

async function inStore(mode, work) {
  try {
    const transaction = (await store()).transaction("photos", mode);
    const request = work(transaction.objectStore("photos"));
    return await new Promise((resolve, reject) => {
      transaction.oncomplete = () => resolve(request.result);
      transaction.onabort = transaction.onerror = () => reject(transaction.error);
    });
  } catch {
    queue.fragile = true; // private windows may have no store: photos wait in memory, and that is said
    return null;
  }
}

// --- the queue ----------------------------------------------------------------------------------

const changed = () => queue.dispatchEvent(new Event("change"));

/** Takes files for a maker. `kind` is "piece" or "cloth". */
export async function add(maker, files, kind = "piece") {
  for (const file of files) {
    const item = {
      key: crypto.randomUUID?.() ?? `${Date.now()}-${Math.random()}`,
      maker,
      kind,
      name: file.name || _("photo"),
      file,
    };
    queue.items.push({ ...item, state: "waits", share: 0, tries: 0 });
    changed();
    await inStore("readwrite", (photos) => photos.put(item));
  }
  work();
}

/** Takes up what an earlier visit could not send. */
export async function resume() {
  const kept = (await inStore("readonly", (photos) => photos.getAll())) ?? [];
  for (const item of kept)
    if (!queue.items.some((other) => other.key === item.key)) queue.items.push({ ...item, state: "waits", share: 0, tries: 0 });
  changed();
  work();
}

export async function forget(item) {
  item.request?.abort();
  queue.items.splice(queue.items.indexOf(item), 1);
  changed();
  await inStore("readwrite", (photos) => photos.delete(item.key));
}

export function again(item) {
  Object.assign(item, { state: "waits", tries: 0, message: null, until: 0 });
  changed();
  work();
}

function work() {
  if (connection.lost) return;
  const now = Date.now();
  const busy = queue.items.filter((item) => item.state === "sends").length;
  queue.items
    .filter((item) => item.state === "waits" && (item.until ?? 0) <= now)
    .slice(0, Math.max(0, AT_ONCE - busy))
    .forEach(upload);
}
connection.addEventListener("change", () => {
  for (const item of queue.items) item.until = 0;
  changed();
  work();
});

// What was under way when the network went would hang until its time is up: it waits for the network instead.
addEventListener("offline", () => {
  for (const item of queue.items.filter((one) => one.state === "sends")) {
    item.request.abort();
    later(item);
  }
});

function later(item) {
  item.state = "waits";
  item.share = 0;
  const wait = WAITS[Math.min(item.tries++, WAITS.length - 1)] * 1000;
  item.until = Date.now() + wait;
  setTimeout(work, wait + 50);
  changed();
}

// XMLHttpRequest, since fetch cannot say how much has been sent.
function upload(item) {
  const request = new XMLHttpRequest();
  Object.assign(item, { state: "sends", share: 0, request });
  request.open("POST", `/api/makers/${encodeURIComponent(item.maker)}/photos?kind=${item.kind}`);
  const extra = {
    "X-Name": encodeURIComponent(item.name),
    "X-Sending": item.key,
    "Content-Type": item.file.type || "application/octet-stream",
  };
  for (const [name, value] of Object.entries(headers(extra))) request.setRequestHeader(name, value);
  request.responseType = "json";
  request.timeout = 300000;
  request.upload.onprogress = (event) => {
    item.share = event.lengthComputable ? event.loaded / event.total : 0;
    changed();
  };
  request.onload = () => answered(item, request);
  request.ontimeout = () => later(item);
  request.onerror = () => {
    later(item);
    noteConnection(true);
    probe();
  };
  request.send(item.file);
  changed();
}

async function answered(item, request) {
  if (request.status === 429 || request.status >= 500) return later(item);
  if (request.status >= 200 && request.status < 300) {
    const photo = request.response; // forgetting aborts the request, which empties it
    await forget(item);
    queue.dispatchEvent(Object.assign(new Event("saved"), { photo, maker: item.maker, kind: item.kind }));
  } else {
    // Never accepted, so the photo stays on the phone where it was; the sentence says what to do.
    Object.assign(item, { state: "refused", message: refusalOf(request.status, request.response).message });
    await inStore("readwrite", (photos) => photos.delete(item.key));
  }
  changed();
  work();
}
