// SPDX-License-Identifier: MIT
// One maker's photos, cloths and plan as the page holds them. Changes to the plan show at once, wait in the
// browser until the program has saved them, and are merged there with what others did meanwhile.
import { _, languageInUse } from "./words.js";
import { decodeFace } from "./contrast.js";
import { call, connection, get, viaLink } from "./server.js";

const WAIT = 500; // ms without a further change before a plan is sent

/** Events: "change" (anything), "plan" (the plan alone), "saving" (state of saving). */
export class Maker extends EventTarget {
  constructor(id) {
    super();
    this.id = id;
    this.path = `/api/makers/${encodeURIComponent(id)}`;
    this.faces = new Map();
    this.saved = true;
    this.outbox = `backcloth plan ${viaLink ? "link" : "own"} ${id}`;
  }

  async load() {
    const [all, plan] = await Promise.all([get(this.path), get(`${this.path}/plan`)]);
    Object.assign(this, { name: all.name, photos: all.photos ?? [], cloths: all.cloths ?? [], comments: all.comments ?? [], links: all.links ?? [] });
    this.begin(plan);
    this.emit("change");
    return this;
  }

  async loadPlan() {
    this.begin(await get(`${this.path}/plan`));
  }
  begin(answer) {
    if (answer.revision < this.revision) return; // overtaken on its way by a newer answer
    this.take(answer);
    const kept = this.kept();
    if (!kept) return;
    Object.assign(this, { plan: kept.plan, base: kept.base, saved: false });
    this.send();
  }

  emit(name) {
    this.dispatchEvent(new Event(name));
  }

  // --- photos and cloths ---------------------------------------------------------------------------

  pieces() {
    return this.photos.filter((photo) => photo.kind !== "cloth");
  }
  photo(id) {
    return this.photos.find((photo) => photo.id === id);
  }
  putPhoto(photo) {
    const at = this.photos.findIndex((other) => other.id === photo.id);
    if (at < 0) this.photos.push(photo);
    else this.photos[at] = photo;
    this.emit("change");
  }
  face(photo) {
    const known = this.faces.get(photo.id);
    if (known?.from === photo.face) return known.face;
    const face = decodeFace(photo.face);
    this.faces.set(photo.id, { from: photo.face, face });
    return face;
  }
  async change(photo, values) {
    this.putPhoto(await call("PUT", `/api/photos/${encodeURIComponent(photo.id)}`, values));
  }
  async help(photo, help) {
    const better = await call("PUT", `/api/photos/${encodeURIComponent(photo.id)}/help`, help);
    this.putPhoto(better);
    return better;
  }
  async addCloth(cloth) {
    const made = await call("POST", `${this.path}/cloths`, cloth);
    if (!this.cloths.some((other) => other.id === made.id)) this.cloths.push(made);
    this.emit("change");
    return made;
  }
  async dropCloth(cloth) {
    await call("DELETE", `${this.path}/cloths/${encodeURIComponent(cloth.id)}`);
    this.cloths = this.cloths.filter((other) => other !== cloth);
    this.emit("change");
  }

  // --- the plan ------------------------------------------------------------------------------------

  take(answer) {
    this.revision = answer.revision;
    this.plan = answer.plan;
    this.base = answer.revision;
    this.canUndo = answer.undo ?? answer.revision > 1;
    this.canRedo = answer.redo ?? false;
    this.judge(answer);
  }
  judge(answer) {
    this.findings = answer.findings ?? [];
    this.loads = answer.loads ?? null;
  }

  /** Changes the plan by a function of a copy; it shows at once and is sent a little later. */
  edit(work) {
    const plan = structuredClone(this.plan);
    if (work(plan) === false) return;
    this.plan = plan;
    this.saved = false;
    this.changes = (this.changes ?? 0) + 1;
    this.keep();
    this.emit("plan");
    this.emit("saving");
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.send(), WAIT);
  }

  keep() {
    try {
      localStorage.setItem(this.outbox, JSON.stringify({ base: this.base, plan: this.plan }));
    } catch {
      this.fragile = true; // full or forbidden: it is still sent, only not kept over a closed page
    }
  }
  kept() {
    try {
      return JSON.parse(localStorage.getItem(this.outbox));
    } catch {
      return null;
    }
  }

  async send() {
    clearTimeout(this.timer);
    if (this.sending) return void (this.sendAgain = true);
    this.sending = true;
    this.problem = null;
    const changes = this.changes;
    try {
      const answer = await call("PUT", `${this.path}/plan`, { base: this.base, plan: this.plan });
      if (this.changes === changes) this.settle(answer);
      else this.base = answer.revision; // more was changed meanwhile: that is sent next, on this base
    } catch (error) {
      if (!error.unreachable) this.refused(error);
      else if (error.status) this.timer = setTimeout(() => this.send(), 4000); // answered, but busy: asked again until it is saved
    }
    this.sending = false;
    this.emit("saving");
    if (this.sendAgain || (!this.saved && !this.problem && !connection.lost && this.changes !== changes)) {
      this.sendAgain = false;
      this.send();
    }
  }

  settle(answer) {
    localStorage.removeItem(this.outbox);
    this.saved = true;
    const merged = answer.merged;
    this.take({ undo: true, ...answer });
    this.emit("plan");
    if (merged) this.dispatchEvent(Object.assign(new Event("merged"), { overruled: answer.overruled ?? [] }));
  }
  refused(error) {
    this.problem = error.message;
    this.dispatchEvent(Object.assign(new Event("refused"), { message: error.message }));
  }
  /** Gives up what could not be saved and shows what the program has. */
  async abandon() {
    localStorage.removeItem(this.outbox);
    Object.assign(this, { saved: true, problem: null });
    this.take(await get(`${this.path}/plan`));
    this.emit("plan");
    this.emit("saving");
  }

  async step(way) {
    if (!this.saved) await this.send();
    this.take(await call("POST", `${this.path}/plan/${way}`, { base: this.revision }));
    this.emit("plan");
  }

  /** Warnings for a plan that isn't saved; asked while a piece is dragged, only the newest answer counts. */
  async check(plan) {
    this.checking?.abort();
    this.checking = new AbortController();
    try {
      return await call("POST", `${this.path}/plan/check`, { plan }, { signal: this.checking.signal });
    } catch (error) {
      if (error.name !== "AbortError" && !error.unreachable) return { findings: [{ serious: true, text: error.message }] };
      return null;
    }
  }
}

/** By the reader's alphabet. */
export const byTitle = (a, b) => a.title.localeCompare(b.title, languageInUse());
export const titleOf = (photo) => photo.title || photo.name || _("piece without a name");
