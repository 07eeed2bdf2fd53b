// SPDX-License-Identifier: MIT
// First use on a slow phone, judged by Lighthouse (its own default phone: 150 ms, 1.6 Mb/s, a processor four times
// slower, simulated from one load so that a busy machine matters little) against the program itself.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launch } from "chrome-launcher";
import lighthouse from "lighthouse";
import { start } from "../real.mjs";

const FIRST_USE_MS = 3000;
const WEIGHT = 250000; // bytes, compressed, pictures of the pieces included
let server;
let chrome;
let maker;
let invitation;
before(async () => {
  server = await start();
  maker = (await server.call("POST", "/api/makers", { name: "Ilse Quarrow" })).id;
  await server.call("POST", "/api/makers", { name: "Teodor Venn" }); // with one maker only, that maker would be shown
  for (const name of ["jar", "vase", "bowl"]) await server.upload(maker, name);
  invitation = (await server.call("POST", `/api/makers/${maker}/links`, { kind: "invite", days: 3, photos: 2, megabytes: 40 })).url;
  chrome = await launch({ chromePath: process.env.CHROMIUM ?? "/usr/bin/chromium", chromeFlags: ["--headless=new", "--no-sandbox"], logLevel: "silent" });
});
after(async () => {
  await chrome?.kill();
  assert.equal(await server?.stop(), 0);
});

const KINDS = ["accessibility", "best-practices"];
async function judge(path) {
  const { lhr } = await lighthouse(new URL(path, server.address).href, { port: chrome.port, logLevel: "error", onlyCategories: ["performance", ...KINDS] });
  assert.equal(lhr.runtimeError, undefined);
  return lhr;
}
const faults = (lhr) => Object.values(lhr.audits).filter((audit) => audit.score !== null && audit.score < 1 && KINDS.some((kind) => lhr.categories[kind].auditRefs.some((one) => one.id === audit.id && one.weight > 0)));
const middle = (list) => list.sort((a, b) => a - b)[list.length >> 1];

for (const [name, path] of [["the desk", () => "/"], ["an invitation", () => invitation], ["the cloths", () => `/maker/${maker}/cloths`]])
  test(`${name} on a slow phone: seen and used within 3 s, light, no fault in accessibility or good practice`, { timeout: 360000 }, async () => {
    const runs = [];
    for (let i = 0; i < 3; i++) runs.push(await judge(path()));
    const [seen, usable, weight] = ["largest-contentful-paint", "interactive", "total-byte-weight"].map((audit) => middle(runs.map((lhr) => lhr.audits[audit].numericValue)));
    console.log(`${name}: largest paint ${Math.round(seen)} ms, interactive ${Math.round(usable)} ms (the middle of 3), ${weight} bytes`);
    assert.deepEqual(faults(runs[0]).map((audit) => `${audit.id} ${audit.displayValue ?? ""} ${JSON.stringify(audit.details?.items?.slice(0, 2))}`), []);
    assert.ok(weight < WEIGHT, `${weight} bytes`);
    assert.ok(seen < FIRST_USE_MS && usable < FIRST_USE_MS, `${seen} ms, ${usable} ms`);
  });
