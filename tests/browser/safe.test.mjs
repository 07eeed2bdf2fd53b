// SPDX-License-Identifier: MIT
// What a maker's finger must not do by accident, and what is asked rather than assumed: a swipe over the photo, two
// fingers, hanging or standing, the stand's size, centimetres that follow.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { start } from "./real.mjs";

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
  for (const [name, width_cm, height_cm, weight_g] of [["jar", 20, 23, 2400], ["bowl", 23, 10.5, 900]]) {
    ids[name] = (await server.upload(maker, name)).id;
    await server.call("PUT", `/api/photos/${ids[name]}`, { width_cm, height_cm, weight_g });
  }
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0);
});

async function open(view) {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const page = await context.newPage();
  const tools = await context.newCDPSession(page);
  await page.goto(`${server.address}/maker/${maker}${view}`);
  await page.waitForSelector("main h1");
  const touch = (type, points) => tools.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const frames = () => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  /** Fingers go from their places to others. */
  const fingers = async (from, to) => {
    await touch("touchStart", from);
    for (let i = 1; i <= 6; i++) (await touch("touchMove", from.map((one, n) => [0, 1].map((k) => one[k] + ((to[n][k] - one[k]) * i) / 6))), await frames());
    await touch("touchEnd", []);
    await frames();
  };
  return { page, fingers, touch, close: () => context.close() };
}
const saved = (page) => page.locator(".state", { hasText: "All saved" }).waitFor();

test("a swipe over the photo scrolls the page and marks nothing; two fingers enlarge it", { timeout: 180000 }, async () => {
  const { page, fingers, close } = await open(`/piece/${ids.jar}`);
  await page.waitForFunction(() => document.querySelector(".photo canvas").width > 100);
  const helps = [];
  page.on("request", (one) => one.url().endsWith("/help") && helps.push(one.url()));
  const box = await page.locator(".photo").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await fingers([[x, y + 60]], [[x, y - 60]]);
  await page.waitForFunction(() => scrollY > 20);
  assert.ok(await page.getByRole("button", { name: "Undo" }).isDisabled());
  await page.evaluate(() => scrollTo(0, 0));
  await fingers([[x - 20, y], [x + 20, y]], [[x - 80, y], [x + 80, y]]);
  assert.ok(Number(await page.locator(".photo").getAttribute("data-zoom")) > 2);
  assert.deepEqual(helps, []);
  await close();
});

test("keep is chosen first; a stroke is taken back by Undo beside it, and dropped when a second finger comes", { timeout: 180000 }, async () => {
  const { page, fingers, touch, close } = await open(`/piece/${ids.jar}`);
  await page.waitForFunction(() => document.querySelector(".photo canvas").width > 100);
  const [keep, undo] = [page.getByRole("button", { name: "Keep", exact: true }), page.getByRole("button", { name: "Undo" })];
  for (const one of [keep, undo]) {
    const { y, height } = await one.boundingBox();
    assert.ok(y > 370 && y + height <= 740, `within a thumb's reach: ${y}`);
  }
  await keep.tap();
  const box = await page.locator(".photo").boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await touch("touchStart", [[x, y]]);
  await touch("touchMove", [[x + 30, y]]);
  await touch("touchStart", [[x + 30, y], [x + 60, y]]);
  await touch("touchEnd", []);
  assert.ok(await undo.isDisabled());
  const help = page.waitForResponse((one) => one.url().endsWith("/help"));
  await fingers([[x, y]], [[x + 40, y + 40]]);
  assert.ok((await (await help).json()).help.keep.length >= 2);
  const back = page.waitForResponse((one) => one.url().endsWith("/help"));
  await undo.tap();
  assert.deepEqual((await (await back).json()).help.keep, []);
  await close();
});

test("hangs or stands is asked, with a proposal and its reason; what stands, stands on its surface", { timeout: 270000 }, async () => {
  assert.equal((await piece("jar")).mount, undefined);
  const { page, close } = await open(`/piece/${ids.jar}`);
  await page.getByText("We would let it stand.").waitFor();
  await page.getByText("It weighs 2.4 kg").waitFor();
  await page.getByRole("radio", { name: "It stands" }).click();
  await saved(page);
  assert.equal((await piece("jar")).mount.kind, "table");
  await page.goto(`${server.address}/maker/${maker}/wall`);
  await page.getByRole("button", { name: "Put jar on the wall" }).click();
  await saved(page);
  assert.equal((await piece("jar")).at[1], 74 + 11.5);
  await page.locator(".bench").getByRole("button", { name: "Close" }).click();
  // One that hangs drops onto the table when it is told to stand.
  await page.getByRole("group", { name: "bowl", exact: true }).getByRole("radio", { name: "It hangs" }).click();
  await page.getByRole("button", { name: "Put bowl on the wall" }).click();
  await saved(page);
  assert.equal((await piece("bowl")).at[1], 137);
  await page.getByRole("radio", { name: "It stands" }).click();
  await saved(page);
  assert.ok(Math.abs((await piece("bowl")).at[1] - (74 + (await piece("bowl")).height / 2)) < 0.06, JSON.stringify(await piece("bowl")));
  await close();
});

test("centimetres follow the keys and buttons, and the sheet does not lie over the wall", { timeout: 180000 }, async () => {
  const { page, close } = await open("/wall");
  const jar = page.getByRole("button", { name: /^jar, number/ });
  await jar.focus();
  await page.keyboard.press("Enter");
  const across = page.getByLabel("Middle from the left, cm");
  const from = Number(await across.inputValue());
  for (let i = 0; i < 5; i++) await page.getByRole("button", { name: "Right 1 cm" }).click();
  await page.waitForFunction((wanted) => [...document.querySelectorAll("input")].some((one) => one.labels?.[0]?.textContent === "Middle from the left, cm" && Number(one.value) === wanted), from + 5);
  const [wall, sheet] = [await page.locator(".wall").boundingBox(), await page.locator(".bench").boundingBox()];
  assert.ok(wall.y >= 0 && wall.y + wall.height <= sheet.y + 1, `wall to ${wall.y + wall.height}, sheet from ${sheet.y}`);
  await close();
});

test("the stand's size is asked once, with sizes to tap, and the sheets bear the maker's name", { timeout: 180000 }, async () => {
  const { page, close } = await open("");
  await page.getByRole("heading", { name: "How large is your stand?" }).waitFor();
  await page.getByRole("button", { name: /^200 cm × 200 cm/ }).click();
  await page.getByRole("heading", { name: "How large is your stand?" }).waitFor({ state: "detached" });
  await saved(page);
  const { title, stand } = await plan();
  assert.deepEqual([title, stand.width, stand.depth, stand.wall_height], ["Ilse Quarrow", 200, 200, 240]);
  await page.reload();
  await page.getByRole("heading", { name: "2 pieces" }).waitFor();
  assert.equal(await page.getByRole("heading", { name: "How large is your stand?" }).count(), 0);
  await close();
});

test("what a plan does not say is the program's own default, not the page's", async () => {
  const { defaults } = await (await fetch(`${server.address}/api/me`)).json();
  // docs/plan.md
  assert.deepEqual(defaults, { gap: 8, stand: { wall_colour: "#ffffff", wall: "not-known", fixing: "not-known" }, table: { width: 180, depth: 75, height: 74 }, shelf: { y: 120, width: 80, depth: 20 }, riser: { width: 30, height: 15 }, viewers: { stature: 165, sight_low: 98, sight_high: 175 }, piece: { role: "support" } });
});

test("a file that is no picture is told by its name", { timeout: 180000 }, async () => {
  const { page, close } = await open("");
  await page.setInputFiles("#piece-files", { name: "prices.pdf", mimeType: "application/pdf", buffer: Buffer.from("%PDF") });
  await page.getByText("prices.pdf is no picture and was left out.").first().waitFor();
  await close();
});
