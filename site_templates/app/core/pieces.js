// Work that can be done in pieces: a generator that stops between them, and ends with what came of it.

/**
 * All of it at once. Throws what the work throws.
 * @template T @param {Generator<void, T, void>} pieces @returns {T}
 */
export function whole(pieces) {
  let piece = pieces.next();
  while (!piece.done) piece = pieces.next();
  return piece.value;
}
