// SPDX-License-Identifier: MIT
// The whole way by keyboard alone, with the program itself: a maker is made, photos are chosen, an outline is
// corrected, a cloth is hung, a piece is measured and moved in centimetres, the set-up sheet comes. No pointer is used;
// each thing is reached by Tab, as somebody without a mouse does.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";
import { photo, start } from "./real.mjs";

const STEPS_MOST = 90; // presses of Tab within one view
let server;
let browser;
let page;
before(async () => {
  server = await start();
  browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
  page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
  page.setDefaultTimeout(90000); // a bound for what never comes; what comes is waited for by event
});
after(async () => {
  await browser?.close();
  assert.equal(await server?.stop(), 0);
});

/** What a screen reader says of the focused element: its role, name and whether it is disabled. */
const focused = () => page.evaluate(() => {
  const one = document.activeElement;
  const by = (attribute) => one.getAttribute(attribute)?.split(" ").map((id) => document.getElementById(id)?.textContent).join(" ");
  return { tag: one.localName, name: (one.getAttribute("aria-label") ?? by("aria-labelledby") ?? one.labels?.[0]?.textContent ?? one.textContent).trim(), seen: one.matches(":focus-visible") };
});
/** Tabs on to what is called `name`; fails when it cannot be reached. */
async function reach(name, key = "Tab") {
  for (let i = 0; i < STEPS_MOST; i++) {
    const now = await focused();
    if (now.tag !== "body" && (name instanceof RegExp ? name.test(now.name) : now.name === name)) {
      assert.ok(now.seen, `the focus on ${now.name} can be seen`);
      return;
    }
    await page.keyboard.press(key);
  }
  assert.fail(`${name} is not reached by ${key}`);
}
async function press(name, key = "Enter") {
  await reach(name);
  await page.keyboard.press(key);
}
const heading = (name) => page.getByRole("heading", { name, level: 1 }).waitFor();
/** A view that was gone to is there, and the focus is at its beginning. */
const arrive = async (name) => (await heading(name), await page.waitForFunction(() => document.activeElement.id === "main"));
const saved = () => page.locator(".state", { hasText: "All saved" }).waitFor();
const plan = async (maker) => (await server.call("GET", `/api/makers/${maker}/plan`)).plan;

test("from the first view to the set-up sheet without a pointer", { timeout: 360000 }, async () => {
  const choosing = new Promise((done) => page.once("filechooser", done));
  await page.goto(server.address);
  await heading("A cloth behind your work, a wall to scale");
  await page.keyboard.press("Tab");
  assert.equal((await focused()).name, "Skip to the content");
  await press("Begin");
  await page.getByRole("dialog").waitFor();
  await reach("Name");
  await page.keyboard.type("Ilse Quarrow");
  await page.keyboard.press("Enter");
  await arrive("Start with your pieces");
  const maker = page.url().match(/maker\/([^/]+)/)[1];

  // Photos: the file chooser is the system's own, so only its opening is pressed.
  await reach("Choose photos");
  await page.keyboard.press("Enter");
  await (await choosing).setFiles([photo("jar"), photo("bowl")]);
  await heading("2 pieces");
  await page.waitForFunction(() => document.querySelector(".unseen[role=status]").textContent.includes("is saved")); // told aloud

  // An outline.
  await press(/^jar/);
  await arrive("jar");
  await press("Keep");
  await reach(/^Photo of jar/, "Shift+Tab");
  const [help] = await Promise.all([page.waitForResponse((one) => one.url().endsWith("/help")), (async () => { await page.keyboard.press("ArrowRight"); await page.keyboard.press("Enter"); })()]);
  assert.equal(help.status(), 200);
  await reach("How wide, cm");
  await page.keyboard.type("20");
  await reach("Height, cm");
  await page.keyboard.type("23");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector(".unseen[role=status]").textContent === "Saved.");
  await reach("It stands", "Shift+Tab"); // the group is entered at its end
  await page.keyboard.press("ArrowUp");
  await saved();
  assert.equal((await plan(maker)).pieces.find((one) => one.title === "jar").mount.kind, "hook");

  // A cloth.
  await reach("Cloths", "Shift+Tab");
  await page.keyboard.press("Enter");
  await arrive("On which cloth?");
  const said = () => page.locator(".judged .small").textContent();
  await page.waitForFunction(() => document.querySelector(".judged .small").textContent);
  const before_ = await said();
  await press("Another cloth");
  await reach("Lightness");
  for (let i = 0; i < 12; i++) await page.keyboard.press("ArrowRight");
  await page.waitForFunction((old) => document.querySelector(".judged .small").textContent !== old, before_);
  await reach(/^Hang /, "Shift+Tab");
  await page.keyboard.press("Enter");
  await saved();
  assert.ok((await plan(maker)).cloth.colour);

  // The wall: the unmeasured piece is asked for, the other put up and moved.
  await reach("Wall", "Shift+Tab");
  await page.keyboard.press("Enter");
  await arrive("The wall");
  await press("Put jar on the wall");
  await reach(/^jar, number \d/); // the focus is on it already
  const at = async () => (await plan(maker)).pieces.find((one) => one.title === "jar").at;
  await saved();
  const from = await at();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Shift+ArrowUp");
  await page.waitForFunction(() => /Middle .* from the left/.test(document.querySelector(".unseen[role=status]").textContent));
  await saved();
  assert.deepEqual(await at(), [from[0] - 1, from[1] + 5]);
  await reach("Width, cm");
  await page.keyboard.type("23");
  await page.keyboard.press("Enter");
  await page.getByRole("group", { name: "bowl", exact: true }).getByLabel("Width, cm").waitFor({ state: "detached" });
  await reach("It hangs");
  await page.keyboard.press("ArrowDown");
  await press("Put bowl on the wall");
  await saved();
  assert.ok((await plan(maker)).pieces.every((one) => one.at && one.width > 0));

  // The sheet.
  await reach("To take", "Shift+Tab");
  await page.keyboard.press("Enter");
  await arrive("What to take");
  await reach("Set-up sheet for hanging");
  const [sheet] = await Promise.all([page.waitForEvent("download", { timeout: 90000 }), page.keyboard.press("Enter")]);
  assert.equal(readFileSync(await sheet.path()).subarray(0, 4).toString(), "%PDF");
});

test("with inches first, sizes are asked for in inches and ounces and kept exactly", { timeout: 180000 }, async () => {
  const maker = (await server.call("POST", "/api/makers", { name: "Teodor Venn" })).id;
  await server.upload(maker, "jar");
  const { photos } = await server.call("GET", `/api/makers/${maker}`);
  const here = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  here.setDefaultTimeout(90000);
  await here.addCookies([{ name: "units", value: "imperial", url: server.address }]);
  const view = await here.newPage();
  await view.goto(new URL(`/maker/${maker}/piece/${photos[0].id}`, server.address).href);
  await view.getByLabel("How wide, in").fill("8");
  await view.getByLabel("How heavy, oz").fill("16");
  await view.getByLabel("How heavy, oz").press("Enter");
  await view.waitForFunction(() => document.querySelector(".unseen[role=status]").textContent === "Saved.");
  const kept = (await server.call("GET", `/api/makers/${maker}`)).photos[0];
  assert.equal(kept.width_cm, 20.32);
  assert.equal(kept.weight_g, 453.59);
  await view.reload();
  assert.equal(await view.getByLabel("How wide, in").inputValue(), "8");
  assert.equal(await view.getByLabel("How heavy, oz").inputValue(), "16");
  await here.close();
});
