// SPDX-License-Identifier: MIT
// The page without a network: worker.js keeps what was seen; here it is started, and asked to keep more.

/** Where the browser allows it (https, or this machine itself). */
export async function startWorker() {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/worker.js");
  } catch {
    // Private windows and plain http elsewhere have none: the page then needs its network.
  }
}

/** Asks for these once, so that the worker keeps them; false when one of them could not be had. */
export async function keepForLater(paths) {
  await navigator.serviceWorker.ready;
  let whole = true;
  for (const path of paths) {
    try {
      whole = (await fetch(path)).ok && whole;
    } catch {
      whole = false;
    }
  }
  return whole;
}
/** Whoever leaves takes what was kept along: the next person at this browser must not see it. */
export const forgetAll = () => globalThis.caches?.delete("backcloth kept");
