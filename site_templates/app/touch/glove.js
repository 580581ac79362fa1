// A glove bounces on the glass: a second touch of one spot right after the first is the first once more, and does nothing.

const BOUNCE_MS = 400; // nobody reads what came of a tap, and taps again, in less
const SPOT_PX = 30;
/** What is stepped is tapped fast on purpose, and says at once where it stands. */
const STEPPED = ".steps, .pace, .at, .night";

/** Swallows the clicks of bounces, whatever they would have hit by then. @param {Document} page */
export function calm(page) {
  let before = { at_ms: -Infinity, x: 0, y: 0, target: /** @type {Element} */ (page.documentElement) };
  let is_bounce = false;
  page.addEventListener(
    "pointerdown",
    ({ pointerType, timeStamp: at_ms, clientX: x, clientY: y, target }) => {
      const is_near = Math.hypot(x - before.x, y - before.y) < SPOT_PX;
      const is_there = target === before.target || before.target.getClientRects().length === 0; // or gone, by that tap
      const is_touch = pointerType === "touch";
      is_bounce = is_touch && is_near && is_there && at_ms - before.at_ms < BOUNCE_MS;
      if (is_touch && !is_bounce) before = { at_ms, x, y, target: /** @type {Element} */ (target) };
    },
    true,
  );
  page.addEventListener(
    "pointerup",
    ({ timeStamp }) => {
      if (!is_bounce) before.at_ms = timeStamp; // one that was held bounces when it is let go
    },
    true,
  );
  page.addEventListener(
    "input",
    ({ target }) => {
      if (/** @type {HTMLInputElement} */ (target).type === "text") before.at_ms = -Infinity; // written between: meant
    },
    true,
  );
  page.addEventListener(
    "click",
    (event) => {
      const is_touched = event.detail > 0; // not by a key or a voice
      if (!is_touched || !is_bounce || /** @type {Element} */ (event.target).closest(STEPPED)) return;
      event.preventDefault();
      event.stopPropagation();
    },
    true,
  );
}
