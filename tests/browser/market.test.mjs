// SPDX-License-Identifier: MIT
// The market day and the desk, with the program itself: sold with one tap, the moves that mend the wall, a day without
// a network, what is deleted and comes back or goes for ever.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { start } from "./real.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const SIZES = { jar: [20, 23, 2400], bowl: [23, 10.5, 900], "basket-round": [34, 27, 700], pendant: [6, 8, 40] };
let server;
let browser;
let maker;
const ids = {};
const plan = async () => (await server.call("GET", `/api/makers/${maker}/plan`)).plan;
const piece = async (name) => (await plan()).pieces.find((one) => one.id === ids[name]);
before(async () => {
  server = await start();
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  maker = (await server.call("POST", "/api/makers", { name: "Ilse Quarrow" })).id;
  for (const [name, [width_cm, height_cm, weight_g]] of Object.entries(SIZES)) {
    ids[name] = (await server.upload(maker, name)).id;
    await server.call("PUT", `/api/photos/${ids[name]}`, { width_cm, height_cm, weight_g });
  }
  const now = await server.call("GET", `/api/makers/${maker}/plan`);
  const at = { jar: [70, 140], bowl: [120, 140], "basket-round": [170, 140], pendant: [220, 140] };
  for (const one of now.plan.pieces) Object.assign(one, { mount: { kind: "hook" }, at: at[Object.keys(ids).find((name) => ids[name] === one.id)] });
  now.plan.pieces.find((one) => one.id === ids.bowl).count = 2;
  now.plan.title = "Ilse Quarrow";
  await server.call("PUT", `/api/makers/${maker}/plan`, { base: now.revision, plan: now.plan });
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0);
});

async function open(path, viewport = { width: 360, height: 740 }) {
  const context = await browser.newContext({ viewport, bypassCSP: true });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const page = await context.newPage();
  await page.goto(server.address + path);
  await page.waitForSelector("main h1");
  return { page, context, close: () => context.close() };
}
const saved = (page) => page.locator(".state", { hasText: "All saved" }).waitFor();
async function judge(page, view) {
  await page.addScriptTag({ content: axe });
  const { violations } = await page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"] }));
  assert.deepEqual(violations.map((one) => `${view} ${one.id} ${one.nodes[0].html}`), []);
  assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)) <= 0, `${view} scrolls sideways`);
}

test("sold with one tap and undone; the last one leaves a gap, and the fewest moves close it", { timeout: 270000 }, async () => {
  const { page, close } = await open(`/maker/${maker}/market`);
  await judge(page, "market day");
  await page.getByRole("button", { name: "bowl is sold" }).click();
  await saved(page);
  assert.equal((await piece("bowl")).count, 1);
  assert.deepEqual((await plan()).sold.map((one) => [one.id, one.count ?? 1]), [[ids.bowl, 1]]);
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await page.locator(".state", { hasText: "Saving" }).waitFor();
  await saved(page);
  assert.equal((await piece("bowl")).count, 2);
  assert.equal((await plan()).sold, undefined);
  await page.getByRole("button", { name: "basket round is sold" }).click();
  await saved(page);
  assert.equal((await piece("basket-round")).at, undefined);
  await page.getByRole("button", { name: "Show the fewest moves" }).click();
  await page.getByText(/closes? the gap$|nothing need be moved/).first().waitFor({ timeout: 90000 });
  await page.getByRole("heading", { name: "Bring or make again" }).waitFor();
  await close();
});

test("a day without a network: the page loads again, a sale and a remark wait, and are there afterwards", { timeout: 360000 }, async () => {
  const { page, context, close } = await open(`/maker/${maker}/market`);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await page.reload();
  await page.getByRole("button", { name: "Save everything on this phone" }).click();
  await page.getByText("Saved: this page now works without a network.").waitFor({ timeout: 90000 });
  await context.setOffline(true);
  await page.reload();
  await page.getByRole("heading", { name: "Market day" }).waitFor();
  await page.locator(".lost", { hasText: "There is no connection." }).waitFor();
  await page.getByRole("button", { name: "pendant is sold" }).click();
  await page.locator(".state", { hasText: "Waits to be saved" }).waitFor();
  await page.getByRole("link", { name: "Wall", exact: true }).click();
  await page.getByRole("button", { name: "Add a remark" }).click();
  await page.getByRole("dialog").getByRole("textbox").fill("Sold to a visitor from the next lane.");
  await page.getByRole("dialog").getByRole("button", { name: "Pin it here" }).click();
  await page.getByText("waits until there is a connection").first().waitFor();
  await page.reload(); // what waits outlasts the page
  await page.getByText("Sold to a visitor from the next lane.").waitFor();
  assert.ok((await piece("pendant")).at);
  await context.setOffline(false);
  await saved(page);
  await page.getByText("waits until there is a connection").first().waitFor({ state: "detached" });
  assert.equal((await piece("pendant")).at, undefined);
  assert.deepEqual((await server.call("GET", `/api/makers/${maker}/comments`)).map((one) => one.text), ["Sold to a visitor from the next lane."]);
  await close();
});

test("the page can be installed: a manifest with icons of its own", { timeout: 180000 }, async () => {
  const answer = await fetch(`${server.address}/app.webmanifest`);
  assert.equal(answer.headers.get("content-type"), "application/manifest+json");
  for (const icon of (await answer.json()).icons) assert.equal((await fetch(server.address + icon.src)).status, 200, icon.src);
});

test("with one maker that maker is shown; the desk renames, puts away, deletes, brings back, and deletes for ever", { timeout: 270000 }, async () => {
  const { page, close } = await open("/", { width: 1366, height: 768 });
  await page.getByRole("heading", { name: "4 pieces" }).waitFor();
  await page.getByRole("link", { name: "Ilse Quarrow" }).click();
  await page.getByRole("heading", { name: "Makers", exact: true }).waitFor();
  const other = (await server.call("POST", "/api/makers", { name: "Teodor Venn" })).id;
  await page.reload();
  const row = (name) => page.locator("li.maker", { has: page.getByRole("heading", { name, exact: true }) });
  await row("Teodor Venn").getByText("More", { exact: true }).click();
  await row("Teodor Venn").getByRole("button", { name: "Rename" }).click();
  await page.getByRole("dialog").getByLabel("Name").fill("Teo Venn");
  await page.getByRole("dialog").getByRole("button", { name: "Save" }).click();
  await row("Teo Venn").getByText("More", { exact: true }).click();
  await row("Teo Venn").getByRole("button", { name: "Delete" }).click();
  await row("Teo Venn").waitFor({ state: "detached" });
  await page.locator(".notice").getByRole("button", { name: "Undo" }).click();
  await row("Teo Venn").waitFor();
  await judge(page, "the desk");
  await row("Teo Venn").getByText("More", { exact: true }).click();
  await row("Teo Venn").getByRole("button", { name: "Delete" }).click();
  await row("Teo Venn").waitFor({ state: "detached" });
  await page.getByRole("button", { name: "Trash" }).click();
  await page.getByRole("button", { name: "Delete Teo Venn for ever" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Delete for ever" }).click();
  await page.getByText("There is nothing here.").waitFor();
  assert.deepEqual((await server.call("GET", "/api/trash")).makers, []);
  assert.ok(!(await server.call("GET", "/api/makers")).some((one) => one.id === other));
  await close();
});

test("a piece that was taken away comes back to its place, or goes for ever", { timeout: 180000 }, async () => {
  const then = await piece("jar");
  await server.call("DELETE", `/api/photos/${ids.jar}`);
  const { page, close } = await open(`/maker/${maker}`);
  await page.getByText("Taken away", { exact: true }).click();
  await page.getByRole("button", { name: "Bring jar back" }).click();
  await page.getByText("There is nothing here.").waitFor();
  assert.deepEqual(await piece("jar"), then);
  await server.call("DELETE", `/api/photos/${ids.jar}`);
  await page.reload();
  await page.getByText("Taken away", { exact: true }).click();
  await page.getByRole("button", { name: "Delete jar for ever" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Delete for ever" }).click();
  await page.getByText("There is nothing here.").waitFor();
  assert.deepEqual((await server.call("GET", `/api/makers/${maker}/trash`)).photos, []);
  await close();
});
