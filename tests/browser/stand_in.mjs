// SPDX-License-Identifier: MIT
// Stands in for the program while the page is tested by itself: the calls of docs/page.md, answered from the
// demo. Readings, faces, packing and findings are the program's own (BACKCLOTH, FACE_CASES); photos stand
// for their cut-outs. Nothing is kept. `trouble` makes it fail on purpose.
import { execFile, execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync, mkdtempSync } from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const source = process.env.SOURCE ?? fileURLToPath(new URL("../..", import.meta.url));
const program = process.env.BACKCLOTH ?? join(source, "build/backcloth");
const facesOf = process.env.FACE_CASES ?? join(source, "build/face_cases");
const demo = join(source, "assets/demo");
const page = join(source, "assets/page");
const names = readdirSync(join(demo, "photos")).map((name) => name.replace(".jpg", "")).sort();
const TYPES = { css: "text/css", js: "text/javascript", svg: "image/svg+xml", jpg: "image/jpeg", png: "image/png", html: "text/html; charset=utf-8" };

function run(args) {
  try {
    return execFileSync(program, args, { maxBuffer: 1 << 26, stdio: ["ignore", "pipe", "ignore"] }).toString();
  } catch (error) {
    if (error.status !== 1) throw error; // 1: done, and something fails a check
    return error.stdout.toString();
  }
}

const plan = JSON.parse(readFileSync(join(demo, "plan.json")));
function readPhotos() {
  const paths = names.map((name) => join(demo, "photos", `${name}.jpg`));
  const readings = run(["read", "--json", ...paths]).trim().split("\n").map((line) => JSON.parse(line));
  const faces = execFileSync(facesOf, paths, { maxBuffer: 1 << 28 }).toString().split("\n").filter((line) => line.startsWith('{"face"'));
  return names.map((id, i) => {
    const piece = plan.pieces.find((one) => one.id === id);
    const urls = { preview: `/demo/photos/${id}.jpg`, cutout: `/demo/photos/${id}.jpg`, mask: `/demo/truth/${id}.mask.png` };
    return { id, name: `${id}.jpg`, title: piece?.title ?? id, kind: "piece", pixels: readings[i].pixels, reading: readings[i], face: JSON.parse(faces[i]).face, help: {}, width_cm: piece?.width ?? null, height_cm: piece?.height ?? null, weight_g: piece?.weight_g ?? null, urls };
  });
}

const cloth = (id, name, css, lab, luminance) => ({ id, name, css, lab, luminance, spread_l: 0 });

export async function standIn() {
  const folder = mkdtempSync(join(tmpdir(), "backcloth-page-"));
  const scratch = join(folder, "plan.json");
  const read = readPhotos();
  const state = {
    photos: [...read], plans: [structuredClone(plan)], comments: [], links: [], trouble: null, uploads: 0, language: "en",
    cloths: [cloth("a", "Forest green baize", "#22432f", [25.4185, -16.7547, 8.26356], 0.0455963), cloth("b", "Plum velvet", "#3c2036", [16.8178, 16.7474, -8.45558], 0.0226002), cloth("c", "White sheet", "#f1efe9", [94.5, 0, 3], 0.86)],
  };
  const answerPlan = () => ({ revision: state.plans.length, plan: state.plans.at(-1), findings: [], loads: null });
  const told = (given) => new Promise((resolve) => {
    writeFileSync(scratch, JSON.stringify({ ...given, pieces: given.pieces.map(({ photo, ...rest }) => rest) }));
    execFile(program, ["loads", scratch, "--json"], { maxBuffer: 1 << 24 }, (error, out) => resolve({ findings: [], loads: out ? JSON.parse(out) : null }));
  });
  const calls = {
    "GET /api/health": () => ({ ok: true }),
    "GET /api/me": () => ({ role: "owner", csrf: "check", maker: null, languages: [{ code: "en", name: "English" }, { code: "ar", name: "العربية", rtl: true }], language: state.language, units: "metric", limits: {}, defaults: { gap: 8, stand: { wall_colour: "#ffffff", wall: "not-known", fixing: "not-known" }, table: { width: 180, depth: 75, height: 74 }, shelf: { y: 120, width: 80, depth: 20 }, riser: { width: 30, height: 15 }, viewers: { stature: 165, sight_low: 98, sight_high: 175 }, piece: { role: "support" } } }),
    "GET /api/words": () => ({}),
    "GET /api/makers": () => [{ id: "m", name: "Ilse Quarrow", photos: read.length, weakest: { photo: "vase", verdict: "gets lost", score: 20 }, comments: 1, need: 1 }, { id: "n", name: "Teodor Venn", photos: 0, weakest: null, comments: 0, need: 0.5 }],
    "GET /api/makers/m": () => ({ id: "m", name: "Ilse Quarrow", photos: state.photos, cloths: state.cloths, comments: state.comments, links: state.links }),
    "GET /api/makers/m/plan": answerPlan,
    "PUT /api/makers/m/plan": (body) => (state.plans.push(body.plan), { ...answerPlan(), merged: false, overruled: [] }),
    "POST /api/makers/m/plan/undo": () => (state.plans.length > 1 && state.plans.pop(), answerPlan()),
    "POST /api/makers/m/plan/check": (body) => told(body.plan),
    "GET /api/makers/m/packing": () => JSON.parse(run(["packing", join(demo, "plan.json"), "--json"])),
    "POST /api/makers/m/cloths": (body) => (state.cloths.push(cloth(`n${state.cloths.length}`, body.name ?? "new", body.css, [30, 10, 10], 0.06)), state.cloths.at(-1)),
    "POST /api/makers/m/comments": (body) => (state.comments.push({ id: `k${state.comments.length}`, added: 0, ...body }), state.comments),
    "POST /api/makers/m/links": (body) => (state.links.push({ id: "l", kind: body.kind, url: "/with/token", expires: 4e12 }), state.links.at(-1)),
    "POST /api/makers/m/photos": (body, request) => {
      const name = decodeURIComponent(request.headers["x-name"]);
      const key = request.headers["x-sending"]; // sent again under the same key, it is the same photo
      const known = state.photos.find((one) => key && one.key === key);
      if (known) return known;
      state.uploads++;
      state.photos.push({ ...read[0], id: `new-${state.uploads}`, name, title: name.replace(/\.\w+$/, ""), key });
      return state.photos.at(-1);
    },
  };
  const body = (request) => new Promise((resolve) => {
    const parts = [];
    request.on("data", (part) => parts.push(part));
    request.on("end", () => resolve(Buffer.concat(parts)));
  });
  const server = createServer(async (request, response) => {
    const { pathname } = new URL(request.url, "http://localhost");
    const file = (path) => {
      response.writeHead(200, { "content-type": TYPES[path.split(".").pop()], "content-security-policy": "default-src 'self'; img-src 'self' blob: data:" });
      response.end(readFileSync(path));
    };
    const given = await body(request);
    if (pathname.startsWith("/page/")) return file(join(page, pathname.slice(6)));
    if (pathname.startsWith("/demo/")) return file(join(demo, pathname.slice(6)));
    if (!pathname.startsWith("/api/")) return file(join(page, "shell.html"));
    const say = (status, json) => (response.writeHead(status, { "content-type": "application/json" }), response.end(JSON.stringify(json)));
    const fault = state.trouble?.(request, pathname);
    if (fault) return fault === "cut" ? request.socket.destroy() : say(fault, { error: { what: "This photo cannot be read. Take it again." } });
    const weak = pathname.match(/^\/api\/photos\/([\w-]+)\/cutout$/);
    if (weak) return file(join(demo, "photos", `${weak[1]}.jpg`));
    const help = pathname.match(/^\/api\/photos\/([\w-]+)(\/help)?$/);
    const json = given.length && request.headers["content-type"] === "application/json" ? JSON.parse(given) : null;
    if (help && request.method === "PUT") {
      const photo = state.photos.find((one) => one.id === help[1]);
      Object.assign(photo, help[2] ? { help: json } : json);
      return say(200, photo);
    }
    const answer = calls[`${request.method} ${pathname}`];
    say(answer ? 200 : 404, answer ? await answer(json, request) : { error: { what: `No ${request.method} ${pathname}` } });
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  return { state, address: `http://127.0.0.1:${server.address().port}`, stop: () => (server.closeAllConnections?.(), server.close()) };
}
