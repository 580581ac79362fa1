// The screen kept on while the shot runs, where the browser lets a page ask for it.

const KEPT = "The screen is kept on while this page is in sight.";
const REFUSED = "The screen may go dark: keep it on in the phone's settings.";

/** @param {() => void} changed called when the answer is another */
export function makeAwake(changed) {
  /** @type {WakeLockSentinel | null} */
  let lock = null;
  let is_wanted = false;
  let is_asking = false;
  document.addEventListener("visibilitychange", ask);

  /** A lock is lost whenever the page goes out of sight. */
  async function ask() {
    if (!is_wanted || lock || is_asking || document.visibilityState !== "visible") return;
    is_asking = true;
    try {
      lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => {
        lock = null;
        changed();
      });
      if (!is_wanted) lock.release(); // no longer, by the time that it was granted
    } catch {
      lock = null; // refused, or not there: said
    }
    is_asking = false;
    changed();
  }

  return {
    /** @param {boolean} wanted */
    want(wanted) {
      if (is_wanted === wanted) return;
      is_wanted = wanted;
      if (wanted) ask();
      else lock?.release();
    },
    words: () => (lock ? KEPT : REFUSED),
  };
}
