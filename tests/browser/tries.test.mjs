// SPDX-License-Identifier: MIT
// What people type stays text on every view, for the owner and for whoever may only look; no address but a link's own holds
// its token; a drawing that is opened alone shows its colours; a broken address gets our words.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { photo, start } from "./real.mjs";
import { readFileSync } from "node:fs";

const TRIES = ["<img src=/x onerror='hit(1)'>", "\"><script>hit(2)</script>", "</text></svg><script>hit(3)</script>", "javascript:hit(4)", "{{hit(5)}}${hit(6)}", "&lt;img src=x onerror=hit(7)&gt;", "' onmouseover='hit(8)", "<iframe srcdoc='<script>parent.hit(9)</script>'>", "constructor", "__proto__", "</style><script>hit(10)</script>", "url(/x);} * { background: url(/x)"];
const VIEWS = ["", "/cloths", "/compare", "/wall", "/take", "/share"];
let server;
let browser;
let maker;
let piece;
let link;
before(async () => {
  server = await start();
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  maker = (await server.call("POST", "/api/makers", { name: TRIES[0] })).id;
  await server.call("POST", "/api/makers", { name: TRIES[1] });
  const here = `/api/makers/${maker}`;
  for (const [i, name] of ["jar", "bowl"].entries()) {
    const { id } = await server.call("POST", `${here}/photos`, readFileSync(photo(name)), { "X-Name": encodeURIComponent(`${TRIES[i]}.jpg`) });
    await server.call("PUT", `/api/photos/${id}`, { title: TRIES[i], width_cm: 20, height_cm: 20, weight_g: 300 });
    piece = id;
  }
  for (const text of TRIES) {
    await server.call("POST", `${here}/cloths`, { css: "#22432f", name: text });
    const remarks = await server.call("POST", `${here}/comments`, { text, on: { wall: [100, 100] } });
    await server.call("POST", `${here}/comments`, { text, answers: remarks.at(-1).id });
    await server.call("POST", `${here}/comments`, { text, on: { photo: piece, at: [0.5, 0.5] } });
  }
  const now = await server.call("GET", `${here}/plan`);
  const placed = (one, i) => ({ ...one, at: [20 + 30 * (i % 9), 100 + 50 * Math.floor(i / 9)] });
  const typed = TRIES.map((text, i) => ({ id: `p${i}`, title: text, width: 20, height: 20, weight_g: 300, notes: text, material: text, technique: text, function: text, group: text }));
  const plan = { ...now.plan, title: TRIES[2], notes: TRIES, cloth: { colour: "#22432f", width: 300, height: 240 }, drawing: { author: TRIES[1] }, zones: [{ x: 0, y: 0, width: 5, height: 5, reason: TRIES[2] }], tables: [{ id: TRIES[3] }], pieces: [...now.plan.pieces, ...typed].map(placed) };
  await server.call("PUT", `${here}/plan`, { base: now.revision, plan });
  link = new URL((await server.call("POST", `${here}/links`, { kind: "share" })).url).pathname;
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0);
});

// The page's policy would stop a script that got in; it is off here, so that one which gets in is seen.
async function open(path, bypassCSP = true) {
  const context = await browser.newContext({ viewport: { width: 1200, height: 800 }, bypassCSP, serviceWorkers: bypassCSP ? "block" : "allow" });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const page = await context.newPage();
  const seen = { hits: [], asked: [], said: [] };
  await page.exposeFunction("hit", (n) => seen.hits.push(n));
  page.on("request", (one) => seen.asked.push(one));
  page.on("dialog", (one) => (seen.hits.push(one.message()), one.dismiss()));
  page.on("console", (one) => one.type() === "error" && seen.said.push(one.text()));
  page.on("pageerror", (one) => seen.said.push(one.message));
  const answer = await page.goto(server.address + path, { waitUntil: "networkidle" });
  return { page, seen, answer, close: () => context.close() };
}

const strange = (page) =>
  page.evaluate(() => {
    const told = [...document.querySelectorAll("*")].filter((one) => [...one.attributes].some(({ name, value }) => name.startsWith("on") || (/^(src|href|srcdoc|action|formaction)$/.test(name) && /^\s*(javascript|data:text)/i.test(value))));
    return [...told, ...document.querySelectorAll("iframe, object, embed, img[src='/x'], script:not([src])")].map((one) => one.outerHTML.slice(0, 200));
  });

async function look(path, shown) {
  const { page, seen, close } = await open(path);
  await page.waitForSelector("main h1");
  assert.deepEqual(await strange(page), [], path);
  assert.deepEqual(seen.hits, [], path);
  const elsewhere = seen.asked.map((one) => one.url()).filter((url) => !/^(blob|data):/.test(url) && (new URL(url).origin !== server.address || new URL(url).pathname === "/x"));
  assert.deepEqual(elsewhere, [], path);
  if (shown) assert.ok((await page.locator("body").innerText()).includes(shown), `${path} shows what was typed`);
  await close();
  return seen;
}

test("tries at the page by every text that can be typed: nothing runs, nothing is fetched", { timeout: 540000 }, async () => {
  await look("/", TRIES[0]);
  for (const view of [...VIEWS, `/piece/${piece}`]) await look(`/maker/${maker}${view}`);
});

test("a link's token is in no address but its own", { timeout: 540000 }, async () => {
  const token = link.split("/")[2];
  let asked = 0;
  for (const view of ["", ...VIEWS.slice(0, 5).map((one) => `/maker/${maker}${one}`), `/maker/${maker}/piece/${piece}`]) {
    const { page, seen, close } = await open(`${link}${view}`, false);
    await page.waitForSelector("main h1");
    const telling = seen.asked.filter((one) => one.url().includes(token) && !one.isNavigationRequest()).map((one) => one.url());
    assert.deepEqual(telling, []);
    for (const one of seen.asked) assert.ok(!(one.headers().referer ?? "").includes(token), one.url());
    for (const shown of await page.locator("a[href], img[src]").evaluateAll((all) => all.map((one) => one.getAttribute("href") ?? one.getAttribute("src")))) assert.ok(!shown.includes(token) || shown.startsWith(link), shown);
    assert.deepEqual(seen.said, []);
    asked += seen.asked.filter((one) => one.url().includes("/api/")).length;
    await close();
  }
  assert.ok(asked > 20, `${asked} calls were looked at`);
});

// Shares of the picture's pixels: black, and coloured.
const shares = (page, png) =>
  page.evaluate(async (data) => {
    const picture = await createImageBitmap(await (await fetch(`data:image/png;base64,${data}`)).blob());
    const canvas = new OffscreenCanvas(picture.width, picture.height);
    const context = canvas.getContext("2d");
    context.drawImage(picture, 0, 0);
    const { data: pixels } = context.getImageData(0, 0, picture.width, picture.height);
    let [black, coloured] = [0, 0];
    for (let i = 0; i < pixels.length; i += 4) {
      const three = [pixels[i], pixels[i + 1], pixels[i + 2]];
      black += Math.max(...three) < 8;
      coloured += Math.max(...three) - Math.min(...three) > 16;
    }
    return [black, coloured].map((count) => (4 * count) / pixels.length);
  }, png);

test("a drawing that is opened alone shows its colours, and runs nothing", { timeout: 270000 }, async () => {
  const blank = await (await browser.newContext()).newPage();
  for (const file of ["wall.svg", "board.svg"]) {
    const { page, seen, answer, close } = await open(`/api/makers/${maker}/files/${file}`, false);
    assert.equal(answer.status(), 200);
    assert.ok((await page.locator("path, use, image").count()) > 20);
    const [black, coloured] = await shares(blank, (await page.screenshot()).toString("base64"));
    assert.ok(black < 0.25 && coloured > 0.05, `${file}: black ${black}, coloured ${coloured}`);
    assert.deepEqual([seen.hits, seen.said], [[], []]);
    await close();
  }
  await blank.context().close();
});

test("a broken address gets our words", { timeout: 180000 }, async () => {
  for (const path of ["/maker/%zz", "/with/%E0%A4", "/%00"]) {
    const { page, answer, close } = await open(path, false);
    assert.equal(answer.status(), 404);
    assert.match(await page.locator("body").innerText(), /incomplete/);
    await close();
  }
});
