// SPDX-License-Identifier: MIT
// The program itself, started on a free port with a data folder of its own, and calls to fill it.
import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const source = process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url));
const program = process.env.BACKCLOTH ?? join(source, "build/backcloth");
export const photo = (name) => join(source, "assets/demo/photos", `${name}.jpg`);
export const clothPhoto = (name) => join(source, "assets/demo/cloths", name);

/** Starts `backcloth serve`; its address, calls as the owner, stop(). */
export async function start(more = []) {
  const folder = mkdtempSync(join(tmpdir(), "backcloth-real-"));
  const child = spawn(program, ["serve", "--data", folder, "--port", "0", ...more], { stdio: ["ignore", "pipe", "inherit"] });
  const address = await new Promise((done, failed) => {
    child.stdout.once("data", (text) => done(String(text).trim().replace(/\/$/, "")));
    child.once("exit", (code) => failed(new Error(`serve ended with ${code}`)));
  });
  const { csrf } = await (await fetch(`${address}/api/me`)).json();
  const call = async (method, path, body, headers = {}) => {
    const raw = Buffer.isBuffer(body);
    const answer = await fetch(address + path, { method, headers: { "X-Backcloth": csrf, Origin: address, ...(body && !raw ? { "Content-Type": "application/json" } : {}), ...headers }, body: raw || !body ? body : JSON.stringify(body) });
    const text = await answer.text();
    if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${text}`);
    return JSON.parse(text);
  };
  const upload = (maker, name, kind = "piece", path = photo(name)) => call("POST", `/api/makers/${maker}/photos?kind=${kind}`, readFileSync(path), { "X-Name": encodeURIComponent(`${name}.jpg`) });
  const stop = () => new Promise((done) => {
    child.once("exit", (code) => (rmSync(folder, { recursive: true, force: true }), done(code)));
    child.kill("SIGTERM");
  });
  return { address, call, upload, stop, folder };
}
