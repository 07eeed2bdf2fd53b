// SPDX-License-Identifier: MIT
// The plan as this page holds it: changes show at once, wait in the browser until the program has saved them, and
// are put on top of whatever others did meanwhile. `base` is the revision that the program gave, `ground` its plan:
// the two are only ever taken together.
import { call, connection, get } from "./server.js";
import { merge } from "./merge.js";

const WAIT = 500; // ms without a further change before a plan is sent
const LOOK = 2000; // ms between looks for what others did
const BUSY = 4000; // ms until a program that is busy is asked again
const HELD = 409; // others save at the same moment

/** Events: "plan" (the plan alone), "saving" (state of saving), "merged", "refused". */
export class Planned extends EventTarget {
  saved = true;
  changes = 0;

  emit(name) {
    this.dispatchEvent(new Event(name));
  }

  async loadPlan() {
    this.begin(await get(`${this.path}/plan`));
    this.emit("plan");
  }

  /** Takes what the program has; changes of one's own that are not saved yet stay, on top of it. */
  begin(answer) {
    if (answer.revision < this.base) return; // overtaken on its way by a newer answer
    if (this.sending) return; // its own answer comes, merged
    const kept = this.saved ? this.kept() : { ground: this.ground, plan: this.plan };
    this.take(answer);
    if (!kept) return;
    this.plan = merge(kept.ground, kept.plan, answer.plan);
    this.saved = false;
    this.keep();
    this.send();
  }
  take(answer) {
    Object.assign(this, { revision: answer.revision, base: answer.revision, ground: answer.plan, plan: answer.plan });
    this.canUndo = answer.undo ?? answer.revision > 1;
    this.canRedo = answer.redo ?? false;
    this.judge(answer);
  }
  judge(answer) {
    this.findings = answer.findings ?? [];
    this.loads = answer.loads ?? null;
  }

  // --- following what others do ---------------------------------------------------------------------

  follow() {
    const look = () => document.visibilityState === "visible" && this.look();
    const timer = setInterval(look, LOOK);
    document.addEventListener("visibilitychange", look);
    return () => (clearInterval(timer), document.removeEventListener("visibilitychange", look));
  }
  async look() {
    if (this.looking || !this.saved || this.sending || this.held || connection.lost) return;
    this.looking = true;
    try {
      const answer = await get(`${this.path}/plan?since=${this.base}`);
      if (answer.plan && this.saved && !this.sending && answer.revision > this.base) {
        this.take(answer);
        this.emit("plan");
      }
    } catch {
      // Looked at again in a moment; a lost connection is told by server.js.
    }
    this.looking = false;
  }

  // --- changing and saving --------------------------------------------------------------------------

  /** Changes the plan by a function of a copy; it shows at once and is sent a little later. */
  edit(work) {
    const plan = structuredClone(this.plan);
    if (work(plan) === false) return;
    this.plan = plan;
    this.saved = false;
    this.changes++;
    this.keep();
    this.emit("plan");
    this.emit("saving");
    this.later(WAIT);
  }
  later(wait) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.send(), wait);
  }

  keep() {
    try {
      localStorage.setItem(this.outbox, JSON.stringify({ ground: this.ground, plan: this.plan }));
    } catch {
      this.fragile = true; // full or forbidden: it is still sent, only not kept over a closed page
    }
  }
  kept() {
    try {
      const kept = JSON.parse(localStorage.getItem(this.outbox));
      return kept?.plan && kept.ground ? kept : null;
    } catch {
      return null;
    }
  }
  forget() {
    try {
      localStorage.removeItem(this.outbox);
    } catch {
      // Never kept, then.
    }
  }

  send() {
    clearTimeout(this.timer);
    this.sending ??= this.sendNow().finally(() => {
      this.sending = null;
      this.emit("saving");
      if (this.sendAgain) this.later(0);
    });
    return this.sending;
  }
  async sendNow() {
    const [sent, changes] = [this.plan, this.changes];
    this.problem = null;
    this.sendAgain = false;
    try {
      this.settle(await call("PUT", `${this.path}/plan`, { base: this.base, plan: sent }), sent);
    } catch (error) {
      if (error.status === HELD || (error.unreachable && error.status))
        this.later(error.status === HELD ? WAIT : BUSY); // asked again until it is saved
      else if (!error.unreachable) this.refused(error);
    }
    if (this.changes !== changes && !this.saved && !connection.lost) this.sendAgain = true;
  }
  /** The program has saved `sent`; what was changed since then goes on top of what it answered. */
  settle(answer, sent) {
    const changed = this.plan !== sent;
    const now = this.plan;
    this.take({ undo: true, ...answer });
    if (changed) {
      this.plan = merge(sent, now, answer.plan);
      this.keep();
    } else {
      this.saved = true;
      this.forget();
    }
    this.emit("plan");
    if (answer.merged) this.dispatchEvent(Object.assign(new Event("merged"), { overruled: answer.overruled ?? [] }));
  }
  refused(error) {
    this.problem = error.message;
    this.dispatchEvent(Object.assign(new Event("refused"), { message: error.message }));
  }
  /** Gives up what could not be saved and shows what the program has. */
  async abandon() {
    this.forget();
    Object.assign(this, { saved: true, problem: null });
    this.take(await get(`${this.path}/plan`));
    this.emit("plan");
    this.emit("saving");
  }

  async step(way) {
    while (!this.saved && !this.problem && !connection.lost) await this.send();
    this.take(await call("POST", `${this.path}/plan/${way}`, { base: this.base }));
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
