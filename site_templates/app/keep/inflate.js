// What was deflated, made whole by hand, for browsers of before 2023 that cannot do it. Source: RFC 1950, RFC 1951.

const LONGEST_CODE = 15;
/** In which order the lengths of the lengths' own codes come. Source: RFC 1951, 3.2.7. */
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
/** Length and distance symbols: what the first of them means, and how many bits more are read. Source: RFC 1951, 3.2.5. */
const LENGTHS = [...steps(3, 28, 4, 8), [258, 0]];
const DISTANCES = steps(1, 30, 2, 4);

/**
 * @param {Uint8Array} packed a zlib stream @param {number} most bytes that may come of it
 * @returns {Uint8Array} Throws Error where the stream is damaged or longer than that.
 */
export function inflate(packed, most) {
  const out = new Uint8Array(most);
  let size = 0;
  let at = 2; // bytes
  let held = 0; // bits that were read and not used
  let count = 0;
  if ((packed[0] & 15) !== 8 || ((packed[0] << 8) | packed[1]) % 31 !== 0 || packed[1] & 32) fail();
  while (block()) {}
  const ends = packed.subarray(at).slice(0, 4);
  if (ends.reduce((sum, byte) => sum * 256 + byte, 0) !== adler(out.subarray(0, size)) || ends.length < 4) fail();
  return out.subarray(0, size);

  /** Whether another one follows. */
  function block() {
    const is_last = bits(1) === 1;
    const kind = bits(2);
    if (kind === 3) fail();
    if (kind === 0) stored();
    else coded(...(kind === 1 ? fixedTrees() : dynamicTrees()));
    return !is_last;
  }

  function stored() {
    held = count = 0; // to the next whole byte: no more than seven bits are ever held
    const length = bits(16);
    if (bits(16) !== (length ^ 65535) || at + length > packed.length) fail();
    for (let left = length; left > 0; left -= 1) put(packed[at++]);
  }

  /** @param {Tree} literals @param {Tree} distances */
  function coded(literals, distances) {
    for (let symbol = next(literals); symbol !== 256; symbol = next(literals)) {
      if (symbol < 256) put(symbol);
      else repeat(measured(LENGTHS, symbol - 257), measured(DISTANCES, next(distances)));
    }
  }

  /** @param {number} length @param {number} back */
  function repeat(length, back) {
    if (back > size) fail();
    for (let left = length; left > 0; left -= 1) put(out[size - back]);
  }

  /** @param {number[][]} table @param {number} symbol */
  function measured(table, symbol) {
    if (symbol >= table.length) fail();
    const [first, more] = table[symbol];
    return first + bits(more);
  }

  /** @returns {[Tree, Tree]} */
  function dynamicTrees() {
    const literals = bits(5) + 257;
    const all = literals + bits(5) + 1;
    const own = new Uint8Array(19);
    for (let left = bits(4) + 4, index = 0; left > 0; left -= 1) own[ORDER[index++]] = bits(3);
    const tree = treeOf(own);
    /** @type {number[]} */
    const lengths = [];
    while (lengths.length < all) {
      const symbol = next(tree);
      if (symbol < 16) lengths.push(symbol);
      else if (symbol === 16) again(lengths, lengths.length > 0 ? lengths[lengths.length - 1] : fail(), 3 + bits(2));
      else again(lengths, 0, symbol === 17 ? 3 + bits(3) : 11 + bits(7));
    }
    if (lengths.length > all) fail();
    return [treeOf(lengths.slice(0, literals)), treeOf(lengths.slice(literals))];
  }

  /** @param {Tree} tree */
  function next({ counts, symbols }) {
    let code = 0;
    let first = 0;
    let index = 0;
    for (let length = 1; length <= LONGEST_CODE; length += 1) {
      code += bits(1);
      if (code - first < counts[length]) return symbols[index + code - first];
      index += counts[length];
      first = (first + counts[length]) * 2;
      code *= 2;
    }
    return fail();
  }

  /** @param {number} wanted at most 16 */
  function bits(wanted) {
    for (; count < wanted; count += 8) held |= (at < packed.length ? packed[at++] : fail()) << count;
    const value = held & ((1 << wanted) - 1);
    held >>= wanted;
    count -= wanted;
    return value;
  }

  /** @param {number} byte */
  function put(byte) {
    if (size === most) fail();
    out[size++] = byte;
  }
}

/** @typedef {{counts: Uint16Array, symbols: number[]}} Tree codes by their length: how many, and for which symbols in order */

/** @param {ArrayLike<number>} lengths of each symbol's code; 0 where it has none @returns {Tree} */
function treeOf(lengths) {
  const counts = new Uint16Array(LONGEST_CODE + 1);
  const symbols = Array.from(lengths, (_, symbol) => symbol).filter((symbol) => lengths[symbol] > 0);
  for (const symbol of symbols) counts[lengths[symbol]] += 1;
  if (counts.reduce((left, some, length) => (length ? left * 2 - some : left), 1) < 0) fail();
  return { counts, symbols: symbols.sort((a, b) => lengths[a] - lengths[b] || a - b) };
}

/** @returns {[Tree, Tree]} */
function fixedTrees() {
  const lengths = Array.from({ length: 288 }, (_, symbol) =>
    symbol < 144 ? 8 : symbol < 256 ? 9 : symbol < 280 ? 7 : 8,
  );
  return [treeOf(lengths), treeOf(new Array(30).fill(5))];
}

/** @param {number[]} list @param {number} value @param {number} times */
function again(list, value, times) {
  for (let left = times; left > 0; left -= 1) list.push(value);
}

/** @param {number} first @param {number} amount @param {number} each symbols of a kind @param {number} plain that read no more bits */
function steps(first, amount, each, plain) {
  const table = [];
  for (let symbol = 0, start = first; symbol < amount; symbol += 1) {
    const more = symbol < plain ? 0 : Math.floor((symbol - plain) / each) + 1;
    table.push([start, more]);
    start += 1 << more;
  }
  return table;
}

/** Source: RFC 1950, 8.2. @param {Uint8Array} bytes */
function adler(bytes) {
  let a = 1;
  let b = 0;
  for (const byte of bytes) {
    a = (a + byte) % 65521;
    b = (b + a) % 65521;
  }
  return b * 65536 + a;
}

/** @returns {never} */
function fail() {
  throw new Error("what was packed is damaged");
}
