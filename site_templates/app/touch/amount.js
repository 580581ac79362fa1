// How many of something, in words.

/** "1 entry", "2 entries". @param {number} count @param {string} one @param {string} many */
export function amount(count, one, many = `${one}s`) {
  return `${count} ${count === 1 ? one : many}`;
}
