// SPDX-License-Identifier: MIT
// The page in Debian's Chromium at a phone's and a desk's size: every view by axe-core and by reflow, the flow
// by touch and by keyboard alone, lost connections, right-to-left, zoom, forced colours.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { standIn } from "./stand_in.mjs";

const source = process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url));
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const photo = (name) => join(source, "assets/demo/photos", `${name}.jpg`);
const SIZES = { phone: { width: 360, height: 740 }, desk: { width: 1366, height: 768 } };
const VIEWS = ["/", "/maker/m", "/maker/m/piece/jar", "/maker/m/cloths", "/maker/m/compare", "/maker/m/wall", "/maker/m/take", "/maker/m/share", "/maker/m/photos"];
let server;
let browser;
before(async () => {
  server = await standIn();
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
});
after(async () => {
  await browser?.close();
  server?.stop();
});

async function open(path, size = "desk", gifts = {}) {
  const context = await browser.newContext({ viewport: SIZES[size] ?? size, bypassCSP: true, hasTouch: size === "phone", ...gifts });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const page = await context.newPage();
  const errors = [];
  page.on("pageerror", (error) => errors.push(error.message));
  await page.goto(server.address + path);
  await page.waitForSelector("main h1");
  return { page, errors, close: () => context.close() };
}
// What happens in the stand-in is asked for, under a bound that even a busy machine does not reach.
async function until(holds) {
  for (let i = 0; i < 900; i++) {
    if (holds()) return;
    await new Promise((done) => setTimeout(done, 100));
  }
  assert.fail(`never came true: ${holds}`);
}
const sideways = (page) => page.evaluate(() => document.documentElement.scrollWidth - innerWidth);

for (const size of Object.keys(SIZES))
  test(`every view at ${size} size: no axe violation, no sideways scroll, no error`, async () => {
    for (const view of VIEWS) {
      const { page, errors, close } = await open(view, size);
      await page.addScriptTag({ content: axe });
      const { violations } = await page.evaluate(() => axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"] }));
      assert.deepEqual(violations.map((one) => `${view} ${one.id} ${one.nodes[0].html}`), []);
      assert.ok((await sideways(page)) <= 0, `${view} scrolls sideways`);
      assert.deepEqual(errors, [], view);
      await close();
    }
  });

test("in the dark every view's words can be read", async () => {
  for (const view of VIEWS) {
    const { page, close } = await open(view, "phone", { colorScheme: "dark" });
    await page.addScriptTag({ content: axe });
    const { violations } = await page.evaluate(() => axe.run(document, { runOnly: ["color-contrast"] }));
    assert.deepEqual(violations.flatMap((one) => one.nodes.map((node) => `${view} ${node.html} ${node.any[0]?.message}`)), []);
    await close();
  }
});

test("200 % text breaks no step's name", async () => {
  const { page, close } = await open("/maker/m/wall", "phone");
  await page.addStyleTag({ content: "html { font-size: 200% }" });
  const broken = await page.evaluate(() => {
    const lines = (one) => {
      const range = document.createRange();
      range.selectNodeContents(one);
      return new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size;
    };
    return [...document.querySelectorAll("nav a")].filter((one) => !one.textContent.includes(" ") && lines(one) > 1).map((one) => one.textContent);
  });
  assert.deepEqual(broken, []);
  assert.ok((await sideways(page)) <= 0);
  await close();
});

test("photos are added many at once, and a broken connection loses none", async () => {
  let cuts = 2;
  server.state.trouble = (request, path) => (path.endsWith("/photos") && cuts-- > 0 ? "cut" : null);
  const { page, close } = await open("/maker/m", "phone");
  const before_ = server.state.photos.length;
  await page.setInputFiles("#piece-files", [photo("jar"), photo("ring"), photo("bowl")]);
  await page.waitForFunction((count) => document.querySelectorAll(".grid li").length === count, before_ + 3, { timeout: 90000 });
  assert.equal(server.state.uploads, 3);
  server.state.trouble = null;
  await close();
});

test("a photo waits over a closed page until it is saved", async () => {
  const context = await browser.newContext({ viewport: SIZES.phone });
  context.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
  const first = await context.newPage();
  let cut = 0;
  server.state.trouble = (request, path) => (path.endsWith("/photos") ? (cut++, "cut") : null);
  await first.goto(`${server.address}/maker/m`);
  await first.waitForSelector("main h1");
  const uploads = server.state.uploads;
  await first.setInputFiles("#piece-files", [photo("vase")]);
  await first.waitForSelector(".lines li");
  await until(() => cut > 0); // it is kept by then: the browser's store is filled before anything is sent
  await first.close();
  server.state.trouble = null;
  const second = await context.newPage();
  await second.goto(`${server.address}/maker/m`);
  await second.waitForFunction(() => !document.querySelector(".lines:not([hidden]) li") && document.querySelectorAll(".grid li").length > 0);
  assert.equal(server.state.uploads, uploads + 1);
  await context.close();
  assert.equal(server.state.uploads, uploads + 1); // nothing of it comes any more
});

test("a photo that cannot be read is told by its sentence", async () => {
  server.state.trouble = (request, path) => (path.endsWith("/photos") ? 422 : null);
  const { page, close } = await open("/maker/m", "phone");
  await page.setInputFiles("#piece-files", [photo("cuff")]);
  await page.getByText("This photo cannot be read. Take it again.").waitFor();
  server.state.trouble = null;
  await close();
});

test("a lost connection is said plainly", async () => {
  const { page, close } = await open("/maker/m/wall");
  await page.context().setOffline(true);
  await page.locator(".lost").filter({ hasText: "There is no connection." }).waitFor();
  await close();
});

test("figures follow the finger over the colours within two frames", async () => {
  const { page, close } = await open("/maker/m/cloths", "phone");
  const score = () => page.locator(".judged .small").first().textContent();
  await page.getByText("Another cloth", { exact: true }).click();
  const seen = new Set([await score()]);
  const slider = page.getByRole("slider", { name: /Lightness/ });
  for (const value of [15, 50, 90]) {
    await slider.fill(String(value));
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
    seen.add(await score());
  }
  assert.ok(seen.size >= 3, [...seen].join(" "));
  await close();
});

test("by keyboard alone: a mark on the photo, a move on the wall, undo", async () => {
  const { page, close } = await open("/maker/m/piece/jar");
  await page.locator("canvas").focus();
  for (const key of ["ArrowRight", "Enter"]) await page.keyboard.press(key); // no tool is chosen yet: nothing is marked
  assert.ok(await page.getByRole("button", { name: "Undo" }).isDisabled());
  await page.getByRole("button", { name: "Keep", exact: true }).press("Enter");
  await page.locator("canvas").focus();
  for (const key of ["ArrowRight", "Shift+ArrowDown", "Enter"]) await page.keyboard.press(key);
  await until(() => server.state.photos.find((one) => one.id === "jar").help.keep?.length === 1);
  await page.getByRole("link", { name: "Wall" }).press("Enter");
  const banner = page.getByRole("button", { name: /Moonrise/ });
  await banner.focus();
  const place = () => server.state.plans.at(-1).pieces.find((one) => one.id === "banner").at;
  const before_ = place();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Shift+ArrowUp");
  await until(() => String(place()) === String([before_[0] - 1, before_[1] + 5]));
  await page.getByRole("button", { name: "Undo" }).press("Enter");
  await until(() => String(place()) !== String([before_[0] - 1, before_[1] + 5]));
  await close();
});

test("a piece is dragged, drawn to the middle line, and saved", async () => {
  const { page, close } = await open("/maker/m/wall");
  const piece = page.locator('[data-id="basket-round"]');
  const from = await piece.boundingBox();
  const [x, y] = [from.x + from.width / 2, from.y + from.height / 2];
  const at = server.state.plans.at(-1).pieces.find((one) => one.id === "basket-round").at;
  const perCm = await page.evaluate(() => document.querySelector(".wall svg").getScreenCTM().a);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 40, y, { steps: 3 });
  await page.mouse.move(x + (150 - at[0] + 0.2) * perCm, y + 30 * perCm, { steps: 5 });
  await page.mouse.up();
  await until(() => server.state.plans.at(-1).pieces.find((one) => one.id === "basket-round").at[0] === 150);
  await close();
});

test("right to left, 200 % zoom and forced colours", async () => {
  server.state.language = "ar";
  const rtl = await open("/maker/m/cloths", "phone");
  assert.equal(await rtl.page.evaluate(() => document.documentElement.dir), "rtl");
  assert.ok((await sideways(rtl.page)) <= 0);
  await rtl.close();
  server.state.language = "en";
  for (const view of VIEWS) {
    const zoomed = await open(view, { width: 640, height: 400 }, { deviceScaleFactor: 2, forcedColors: "active" });
    assert.ok((await sideways(zoomed.page)) <= 0, `${view} at 200 %`);
    const current = zoomed.page.locator("[aria-current=page]");
    if (await current.count()) assert.ok(await current.isVisible());
    await zoomed.close();
  }
});
