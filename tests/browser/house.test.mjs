// SPDX-License-Identifier: MIT
// How the page's scripts are written is held by machine: Prettier's form, lines of 130 characters, functions of 60 lines,
// files of 300, and every file reached from main.js or the worker.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { parse } from "acorn";
import { full } from "acorn-walk";
import prettier from "prettier";

const WIDTH = 130;
const FUNCTION_LINES = 60;
const FILE_LINES = 300;
const folder = join(process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url)), "assets/page");
const files = readdirSync(folder).filter((name) => /\.(js|css)$/.test(name));
const scripts = files.filter((name) => name.endsWith(".js"));
const text = (name) => readFileSync(join(folder, name), "utf8");
const isSentence = (line) => /^\s*"[^"]*",?$/.test(line); // a sentence stays in one piece, so that it can be found

test("scripts and styles have Prettier's form at 130 characters", async () => {
  const wrong = [];
  for (const name of files) if (!(await prettier.check(text(name), { filepath: name, printWidth: WIDTH }))) wrong.push(name);
  assert.deepEqual(wrong, [], "npx prettier --print-width 130 --write assets/page/*.js assets/page/*.css");
});

test("no line, function or file is too long", () => {
  const long = [];
  for (const name of scripts) {
    const lines = text(name).split("\n");
    if (lines.length > FILE_LINES) long.push(`${name}: ${lines.length} lines`);
    lines.forEach((line, i) => line.length > WIDTH && !isSentence(line) && long.push(`${name}:${i + 1}: ${line.length} characters`));
    full(parse(text(name), { ecmaVersion: 2023, sourceType: "module", locations: true }), ({ type, loc }) => {
      const size = loc.end.line - loc.start.line + 1;
      if (/Function/.test(type) && size > FUNCTION_LINES) long.push(`${name}:${loc.start.line}: a function of ${size} lines`);
    });
  }
  assert.deepEqual(long, []);
});

test("every script is used", () => {
  const used = new Set(["main.js", "worker.js"]);
  for (const name of used) for (const [, other] of text(name).matchAll(/(?:from|import\() ?"\.\/([\w.]+)"/g)) used.add(other);
  assert.deepEqual(scripts.filter((name) => !used.has(name)), []);
});

// Defaults of a plan are told by the program (/api/me). That a thing is one where nobody says how many, and that nothing is
// 0, stays; units are those of the screen.
test("no script retypes what a plan's values are where it says nothing", () => {
  const defaults = new Map();
  const row = /^\| ((?:`\w+`(?:, | or )?)+)[^|]*\|[^|]*\| ([^|]*) \|$/gm;
  for (const [, keys, told] of readFileSync(join(folder, "../../docs/plan.md"), "utf8").matchAll(row)) {
    const values = [...told.matchAll(/`([^`]+)`|(?<![\w.])(\d+(?:\.\d+)?)(?!\w)/g)].map(([, word, number]) => (word ? `"${word}"` : number));
    for (const [, key] of keys.matchAll(/`(\w+)`/g)) {
      if (["count", "points", "units"].includes(key)) continue;
      defaults.set(key, [...(defaults.get(key) ?? []), ...values.filter((value) => value !== "0")]);
    }
  }
  for (const [key, value] of [["wall_colour", '"#ffffff"'], ["role", '"support"'], ["gap", "8"], ["stature", "165"], ["fixing", '"not-known"']])
    assert.ok(defaults.get(key)?.includes(value), `docs/plan.md has ${key}: ${defaults.get(key)}`);
  const retyped = [];
  for (const name of scripts)
    for (const [words, key, value] of text(name).matchAll(/\b(\w+)(?:\]| ?: \w+)? (?:\?\?|\|\||=) (-?[\d.]+|"[^"]*")/g))
      if (defaults.get(key)?.includes(value)) retyped.push(`${name}: ${words}`);
  assert.deepEqual(retyped, []);
});
