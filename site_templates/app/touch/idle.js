// When the page has nothing else to do.

const SOON_MS = 300;

/**
 * What comes of work in pieces: between two of them a tap is answered. Throws what the work throws.
 * @template T @param {Generator<void, T, void>} pieces @returns {Promise<T>}
 */
export async function whenIdle(pieces) {
  for (;;) {
    await new Promise((idle) => {
      if ("requestIdleCallback" in globalThis) requestIdleCallback(idle);
      else setTimeout(idle, SOON_MS); // not every browser tells
    });
    const piece = pieces.next();
    if (piece.done) return piece.value;
  }
}
