// When the page has nothing else to do.

const SOON_MS = 300;

/**
 * What comes of work in pieces: between two of them a tap is answered. Throws what the work throws.
 * @template T @param {Generator<void, T, void>} pieces @returns {Promise<T>}
 */
export async function whenIdle(pieces) {
  for (;;) {
    await idle();
    const { done, value } = pieces.next();
    if (done) return value;
  }
}

function idle() {
  return new Promise((done) => {
    if ("requestIdleCallback" in globalThis) requestIdleCallback(done);
    else setTimeout(done, SOON_MS); // not every browser tells
  });
}
