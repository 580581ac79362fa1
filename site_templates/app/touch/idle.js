// When the page has nothing else to do.

const SOON_MS = 300;

/** @param {() => void} act */
export function whenIdle(act) {
  if ("requestIdleCallback" in globalThis) requestIdleCallback(act);
  else setTimeout(act, SOON_MS); // not every browser tells
}
