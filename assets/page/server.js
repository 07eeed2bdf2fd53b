// SPDX-License-Identifier: MIT
// Talking with the program: JSON both ways, the link's token or the session's check value, and whether
// there is a connection at all. Sentences of refusals come from the program, already in the reader's language.
import { _ } from "./words.js";

const link = location.pathname.match(/^\/with\/([^/]+)/)?.[1] ?? null;
export const base = link ? `/with/${link}` : "";
export const viaLink = link !== null;

const PATIENCE = 120000; // ms; a connection that is dead without saying so

let csrf = "";
export const useCsrf = (value) => (csrf = value ?? "");

/** What the program said no to, or that it could not be reached (status 0). */
export class Refusal extends Error {
  constructor(status, what, about) {
    super(what);
    this.status = status;
    this.about = about;
  }
  get unreachable() {
    return this.status === 0 || this.status === 502 || this.status === 503 || this.status === 504;
  }
}

/** "change" is sent when the connection goes or comes back. */
export const connection = Object.assign(new EventTarget(), { lost: false });
export function noteConnection(lost) {
  if (connection.lost === lost) return;
  connection.lost = lost;
  connection.dispatchEvent(new Event("change"));
}
addEventListener("offline", () => noteConnection(true));
addEventListener("online", () => probe());

let probing = 0;
/** Asks until there is an answer; called when something failed to be sent. */
export async function probe(wait = 1000) {
  const turn = ++probing;
  try {
    const answer = await fetch("/api/health", { cache: "no-store" });
    if (answer.ok) return noteConnection(false);
  } catch {
    noteConnection(true);
  }
  setTimeout(() => turn === probing && probe(Math.min(2 * wait, 20000)), wait);
}

export function headers(extra = {}) {
  return { ...(link ? { "X-Link": link } : {}), ...(csrf ? { "X-Backcloth": csrf } : {}), ...extra };
}

export function refusalOf(status, body) {
  const error = body?.error;
  return new Refusal(status, error?.what ?? _("The program answered something unexpected. Load the page again."), error?.about);
}

async function send(method, path, body, signal) {
  try {
    return await fetch(path, {
      method,
      signal: signal ?? AbortSignal.timeout?.(PATIENCE),
      credentials: "same-origin",
      // A question goes without headers of its own: then it is the one that the shell's Link header began already.
      headers: method === "GET" ? {} : headers(body === undefined ? {} : { "Content-Type": "application/json" }),
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    noteConnection(true);
    probe();
    throw new Refusal(0, _("There is no connection just now."));
  }
}

/** Calls the program; gives the JSON of its answer or throws a Refusal. */
export async function call(method, path, body, { signal } = {}) {
  const answer = await send(method, path, body, signal);
  const kept = answer.headers.has("X-Kept"); // worker.js answers for a network that is not there
  noteConnection(kept);
  if (kept) probe();
  const json = await answer.json().catch(() => null);
  if (!answer.ok) throw refusalOf(answer.status, json);
  return json;
}
export const get = (path, options) => call("GET", address(path), undefined, options);

/** Pictures and downloads cannot send headers, and a token in an address would be written down on its way: it is in a
 * cookie, which the address names by the token's first letters. */
export function address(path, questions = {}) {
  const query = new URLSearchParams(questions);
  if (link) query.set("with", link.slice(0, 8));
  const text = query.toString();
  return text ? `${path}${path.includes("?") ? "&" : "?"}${text}` : path;
}
