// SPDX-License-Identifier: MIT
// The mentor's desk with the program itself: walls in small, what hangs is judged, find and filter, all feedback sheets
// in one archive.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { start } from "./real.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const NAMES = ["Ilse Quarrow", "Teodor Venn", "Amaru Lindqvist", "Nadi Oyelar-Finch"];
const MORE = ["Ola Brand", "Mira Coll", "Ivo Danner", "Pia Ebner", "Ken Frost"]; // so many that finding is offered
const PIECES = { "Ilse Quarrow": "jar", "Nadi Oyelar-Finch": "vase" };
let server;
let browser;
const ids = {};
before(async () => {
  server = await start();
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  for (const name of [...NAMES, ...MORE]) ids[name] = (await server.call("POST", "/api/makers", { name })).id;
  for (const [name, piece] of Object.entries(PIECES)) {
    const photo = await server.upload(ids[name], piece);
    await server.call("PUT", `/api/photos/${photo.id}`, { width_cm: 20, height_cm: 24, weight_g: 900 });
    const now = await server.call("GET", `/api/makers/${ids[name]}/plan`);
    Object.assign(now.plan.pieces[0], { mount: { kind: "hook" }, at: [150, 140] });
    await server.call("PUT", `/api/makers/${ids[name]}/plan`, { base: now.revision, plan: now.plan });
  }
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0);
});

async function open(path, more = {}) {
  const context = await browser.newContext({ viewport: { width: 1366, height: 768 }, bypassCSP: true, acceptDownloads: true, ...more });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const page = await context.newPage();
  await page.goto(server.address + path);
  await page.waitForSelector("main h1");
  return { page, close: () => context.close() };
}
const row = (page, name) => page.locator("li.maker", { has: page.getByRole("heading", { name, exact: true }) });
// The rows come after the fields above them: waited for, not looked at once.
const lists = (page, wanted) =>
  page.waitForFunction((names) => [...document.querySelectorAll("li.maker h2")].map((one) => one.textContent).join() === names, wanted.join());

test("what is hung on the wall is kept among the cloths, and the desk judges by it", { timeout: 270000 }, async () => {
  const maker = ids["Ilse Quarrow"];
  const desk = await open("/");
  await row(desk.page, "Ilse Quarrow").getByText("no cloth yet to judge them on").waitFor();
  await desk.close();
  const { page, close } = await open(`/maker/${maker}/cloths`, { viewport: { width: 360, height: 740 } });
  await page.getByRole("button", { name: /^Bottle green/ }).click();
  await page.getByRole("button", { name: "Hang Bottle green" }).click();
  await page.getByText("hangs now").first().waitFor();
  await page.getByRole("group", { name: "Your cloths" }).getByRole("button", { name: /^Bottle green/, pressed: true }).waitFor();
  await page.locator(".state", { hasText: "All saved" }).waitFor();
  const { cloths, plan } = await server.call("GET", `/api/makers/${maker}`);
  assert.deepEqual(cloths.map((one) => [one.name, one.css]), [["Bottle green", plan.cloth.colour]]);
  await page.goto(server.address);
  await row(page, "Ilse Quarrow").locator(".verdict").waitFor();
  await close();
});

test("each row shows its wall in small, in the cloth's and the pieces' colours", { timeout: 180000 }, async () => {
  const { page, close } = await open("/");
  const wall = row(page, "Ilse Quarrow").locator(".wall-shot > svg");
  await wall.waitFor();
  const { plan, colours } = await server.call("GET", `/api/makers/${ids["Ilse Quarrow"]}/glance`);
  const fills = await wall.locator("> rect").evaluateAll((all) => all.map((one) => one.getAttribute("fill")));
  assert.ok(fills.includes(plan.cloth.colour), `${fills}`);
  assert.ok(fills.includes(Object.values(colours)[0]), `${fills} without ${Object.values(colours)}`);
  await page.addScriptTag({ content: axe });
  const { violations } = await page.evaluate(() => axe.run(document));
  assert.deepEqual(violations.map((one) => `${one.id} ${one.nodes[0].html}`), []);
  await close();
});

test("find takes words in any order and Enter; only those with a remark; Back keeps it", { timeout: 180000 }, async () => {
  const { page, close } = await open("/");
  await server.call("POST", `/api/makers/${ids["Nadi Oyelar-Finch"]}/comments`, { text: "Bring the tall one.", on: {} });
  await page.reload();
  await page.getByLabel("Show").selectOption({ label: "open remarks" });
  await lists(page, ["Nadi Oyelar-Finch"]);
  await page.getByLabel("Show").selectOption({ label: "all" });
  await page.getByLabel("Find a maker").fill("quar ils");
  await lists(page, ["Ilse Quarrow"]);
  await page.getByLabel("Find a maker").press("Enter");
  await page.waitForURL(/\/maker\//);
  await page.goBack();
  await row(page, "Ilse Quarrow").waitFor();
  await lists(page, ["Ilse Quarrow"]);
  await close();
});

test("whoever goes back while a maker is still on its way stays back", { timeout: 180000 }, async () => {
  const { page, close } = await open("/", { serviceWorkers: "block" }); // its requests cannot be held
  const path = `/api/makers/${ids["Ilse Quarrow"]}`;
  let letCome;
  const held = new Promise((done) => (letCome = done));
  await page.route((url) => url.pathname === path, async (route) => {
    await held;
    await route.continue();
  });
  const asks = page.waitForRequest((request) => new URL(request.url()).pathname === path);
  await row(page, "Ilse Quarrow").getByRole("link").first().click();
  await asks;
  await page.goBack();
  await row(page, "Teodor Venn").waitFor();
  const came = page.waitForEvent("requestfinished", (request) => new URL(request.url()).pathname === path);
  letCome();
  await came;
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
  await row(page, "Teodor Venn").waitFor();
  assert.equal(new URL(page.url()).pathname, "/");
  assert.equal(await page.locator("nav.rod").isVisible(), false);
  await close();
});

test("all feedback sheets come in one archive, named by maker", { timeout: 360000 }, async () => {
  const { page, close } = await open("/");
  const coming = page.waitForEvent("download");
  await page.getByRole("button", { name: "All feedback sheets" }).click();
  const path = await (await coming).path();
  const python = "import sys, zipfile; z = zipfile.ZipFile(sys.argv[1]); assert z.testzip() is None; print(*[n + '|' + z.read(n)[:4].decode() for n in z.namelist()], sep='\\n')";
  const names = execFileSync("python3", ["-c", python, path]).toString().trim().split("\n").sort();
  assert.deepEqual(names, Object.keys(PIECES).map((name) => `${name}.pdf|%PDF`).sort());
  await page.getByText("2 sheets are ready.").waitFor();
  await close();
});
