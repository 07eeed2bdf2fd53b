// SPDX-License-Identifier: MIT
// Five people at one wall on a slow connection: each moves only their own 4 of 20 pieces, answers come 150 to 900 ms
// late, and nobody's work is lost. SECONDS=120 makes the long run.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { start } from "./real.mjs";

const SECONDS = Number(process.env.SECONDS ?? 20);
const PEOPLE = 5;
const OWN = 4;
const QUIET = 5000; // ms after the last move until all are the same
let server;
let browser;
let maker;
before(async () => {
  server = await start();
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  maker = (await server.call("POST", "/api/makers", { name: "Ilse Quarrow" })).id;
  const now = await server.call("GET", `/api/makers/${maker}/plan`);
  now.plan.pieces = Array.from({ length: PEOPLE * OWN }, (_, i) => ({ id: `p${i}`, title: `piece ${i}`, width: 8, height: 8, weight_g: 100, at: [25 + 26 * (i % 10), 120 + 50 * Math.floor(i / 10)] }));
  await server.call("PUT", `/api/makers/${maker}/plan`, { base: now.revision, plan: now.plan });
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0);
});

// The same sequence on each run: what differs is only when answers come.
function dice(seed) {
  let state = seed;
  return () => (state = (1103515245 * state + 12345) % 2147483648) / 2147483648;
}

async function person(n, told) {
  const context = await browser.newContext({ viewport: { width: 800, height: 700 }, serviceWorkers: "block" });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const page = await context.newPage();
  const random = dice(n + 1);
  await page.route(/\/plan(\?.*)?$/, async (route) => {
    const answer = await route.fetch().catch(() => null);
    if (!answer) return;
    if (route.request().method() === "PUT") {
      told.saves++;
      told.overruled += (await answer.json()).overruled?.length ?? 0;
    }
    await new Promise((done) => setTimeout(done, 150 + 750 * random()));
    await route.fulfill({ response: answer }).catch(() => {});
  });
  await page.goto(`${server.address}/maker/${maker}/wall`);
  await page.getByRole("button", { name: /^piece 0,/ }).waitFor();
  return { page, random, wanted: {}, n };
}

const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
async function move({ page, random, wanted, n }, at) {
  const id = `p${OWN * n + Math.floor(random() * OWN)}`;
  const key = Object.keys(KEYS)[Math.floor(random() * 4)];
  const from = wanted[id] ?? at.find((piece) => piece.id === id).at;
  await page.locator(`.wall [data-id="${id}"]`).press(key);
  wanted[id] = [from[0] + KEYS[key][0], from[1] + KEYS[key][1]];
}

const places = (plan) => Object.fromEntries(plan.pieces.map((piece) => [piece.id, piece.at]));
const shown = (page) => page.evaluate(() => Object.fromEntries([...document.querySelectorAll(".wall .piece")].map((one) => [one.dataset.id, one.getAttribute("transform")])));

test(`five people, ${SECONDS} s: nothing wrong, nothing overruled, all the same soon after`, { timeout: 1000 * (SECONDS + 90) }, async () => {
  const told = { saves: 0, overruled: 0 };
  const before_ = (await server.call("GET", `/api/makers/${maker}/plan`)).plan;
  const people = await Promise.all(Array.from({ length: PEOPLE }, (_, n) => person(n, told)));
  const end = Date.now() + 1000 * SECONDS;
  let moves = 0;
  await Promise.all(people.map(async (one) => {
    while (Date.now() < end) {
      await move(one, before_.pieces);
      moves++;
      await new Promise((done) => setTimeout(done, 100 + 500 * one.random()));
    }
  }));
  const wanted = Object.assign(places(before_), ...people.map((one) => one.wanted));
  const quiet = Date.now();
  await Promise.all(people.map(({ page }) => page.waitForFunction((all) => {
    const high = document.querySelector(".wall svg").viewBox.baseVal;
    return [...document.querySelectorAll(".wall .piece")].every((one) => {
      const [x, y] = one.getAttribute("transform").match(/-?[\d.]+/g).map(Number);
      return Math.abs(x - all[one.dataset.id][0]) < 0.01 && Math.abs(240 - y - all[one.dataset.id][1]) < 0.01 && high;
    });
  }, wanted, { timeout: 20000 }).catch(() => {})));
  const took = Date.now() - quiet;
  const now = places((await server.call("GET", `/api/makers/${maker}/plan`)).plan);
  const wrong = Object.keys(wanted).filter((id) => String(now[id]) !== String(wanted[id]));
  const seen = await Promise.all(people.map(({ page }) => shown(page)));
  console.log(`${moves} moves, ${told.saves} saves: ${wrong.length} of ${Object.keys(wanted).length} wrong, ${told.overruled} overruled, all the same after ${took} ms`);
  assert.deepEqual(wrong, []);
  assert.equal(told.overruled, 0);
  for (const one of seen) assert.deepEqual(one, seen[0]);
  assert.ok(took < QUIET, `${took} ms`);
  await Promise.all(people.map(({ page }) => page.context().close()));
});
