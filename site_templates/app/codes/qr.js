// A code for a camera: an address as bytes and a number after it as digits, at level M, by ISO/IEC 18004.

export const LARGEST = 23; // with its quiet zone 117 modules wide: three pixels each on a phone of 360

// By version: error correction codewords in a block, and blocks, at level M (table 9).
const CHECKS = [10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28, 26, 26, 26, 26, 28, 28];
const BLOCKS = [1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10, 10, 11, 13, 14, 16, 17, 17, 18];
const BYTES = 4; // the mode indicators
const NUMBER = 1;
const PADS = [0xec, 0x11];
/** @type {((x: number, y: number) => number)[]} */
const MASKS = [
  (x, y) => (x + y) % 2,
  (_x, y) => y % 2,
  (x) => x % 3,
  (x, y) => (x + y) % 3,
  (x, y) => (((x / 3) | 0) + ((y / 2) | 0)) % 2,
  (x, y) => ((x * y) % 2) + ((x * y) % 3),
  (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2,
  (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2,
];
const LOOKS_LIKE_A_CORNER = [0b10111010000, 0b00001011101];

/** GF(256) by 0x11D: EXP[n] is 2 to the n. */
const EXP = [1];
while (EXP.length < 255) EXP.push((EXP[EXP.length - 1] << 1) ^ (EXP[EXP.length - 1] > 127 ? 0x11d : 0));
/** @type {number[]} */
const LOG = [];
EXP.forEach((value, power) => (LOG[value] = power));

/** @typedef {boolean[][]} Modules rows of dark (true) and light modules, without the quiet zone */

/**
 * How many digits a code of that version holds after an address.
 * @param {string} address plain ASCII @param {number} version 1 to LARGEST
 */
export function digitsWithin(address, version) {
  const bits =
    8 * dataBytes(version) - 8 - 8 * address.length - lengthBits(BYTES, version) - lengthBits(NUMBER, version);
  const left = bits % 10;
  return bits < 0 ? 0 : 3 * ((bits - left) / 10) + (left >= 7 ? 2 : Number(left >= 4));
}

/**
 * The smallest code that holds both, with the mask that stands out least; throws where LARGEST is too small.
 * @param {string} address plain ASCII @param {string} digits @param {number} [version] @param {number} [mask]
 * @returns {Modules}
 */
export function codeOf(address, digits, version = smallest(address, digits), mask = undefined) {
  const bits = interleaved(dataOf(address, digits, version), version).flatMap((byte) => bitsOf(byte, 8));
  const tries = (mask === undefined ? [...MASKS.keys()] : [mask]).map((one) => drawn(bits, version, one));
  return tries.map((modules) => ({ modules, cost: costOf(modules) })).sort((a, b) => a.cost - b.cost)[0].modules;
}

/** @param {string} address @param {string} digits */
function smallest(address, digits) {
  const found = CHECKS.findIndex((_, at) => digits.length <= digitsWithin(address, at + 1));
  if (found < 0) throw new RangeError("too long for a code");
  return found + 1;
}

/** Modules that carry data and checks, whole bytes. @param {number} version */
function allBytes(version) {
  const marks = version < 2 ? 0 : ((version / 7) | 0) + 2;
  const taken = marks && 25 * marks * marks - 10 * marks - 55;
  return ((16 * version + 128) * version + 64 - taken - (version > 6 ? 36 : 0)) >> 3;
}

/** @param {number} version */
function dataBytes(version) {
  return allBytes(version) - CHECKS[version - 1] * BLOCKS[version - 1];
}

/** @param {number} mode @param {number} version */
function lengthBits(mode, version) {
  return mode === BYTES ? (version < 10 ? 8 : 16) : version < 10 ? 10 : 12;
}

/** @param {number} value @param {number} length */
function bitsOf(value, length) {
  return Array.from({ length }, (_, at) => (value >> (length - 1 - at)) & 1);
}

/** Both segments, ended and filled up. @param {string} address @param {string} digits @param {number} version */
function dataOf(address, digits, version) {
  const head = (/** @type {number} */ mode, /** @type {string} */ text) => [
    ...bitsOf(mode, 4),
    ...bitsOf(text.length, lengthBits(mode, version)),
  ];
  const letters = [...address].flatMap((letter) => bitsOf(letter.charCodeAt(0), 8));
  const numbers = (digits.match(/.{1,3}/g) ?? []).flatMap((three) => bitsOf(Number(three), three.length * 3 + 1));
  const bits = [...head(BYTES, address), ...letters, ...head(NUMBER, digits), ...numbers];
  const size = dataBytes(version);
  bits.push(...Array(Math.min(4, 8 * size - bits.length)).fill(0));
  bits.push(...Array((8 - (bits.length % 8)) % 8).fill(0));
  const bytes = Array.from({ length: bits.length / 8 }, (_, at) =>
    parseInt(bits.slice(8 * at, 8 * at + 8).join(""), 2),
  );
  return [...bytes, ...Array.from({ length: size - bytes.length }, (_, at) => PADS[at % 2])];
}

/** Blocks with their checks, a byte of each in turn. @param {number[]} data @param {number} version */
function interleaved(data, version) {
  const count = BLOCKS[version - 1];
  const short = (data.length / count) | 0;
  const shorter = count - (data.length % count);
  const blocks = Array.from({ length: count }, (_, at) => {
    const from = at * short + Math.max(0, at - shorter);
    return data.slice(from, from + short + Number(at >= shorter));
  });
  const checks = blocks.map((block) => checksOf(block, CHECKS[version - 1]));
  return [...inTurn(blocks, short + 1), ...inTurn(checks, CHECKS[version - 1])];
}

/** @param {number[][]} blocks @param {number} length */
function inTurn(blocks, length) {
  return Array.from({ length }, (_, at) => blocks.flatMap((block) => block.slice(at, at + 1))).flat();
}

/** The remainder of a block by the generator of that degree (Reed-Solomon). @param {number[]} block @param {number} degree */
function checksOf(block, degree) {
  let generator = [1];
  for (let root = 0; root < degree; root += 1) {
    generator = [...generator, 0].map((value, at) => value ^ times(generator[at - 1] ?? 0, EXP[root]));
  }
  const rest = [...block, ...Array(degree).fill(0)];
  block.forEach((_, from) => {
    const factor = rest[from];
    generator.forEach((value, at) => (rest[from + at] ^= times(value, factor)));
  });
  return rest.slice(block.length);
}

/** @param {number} a @param {number} b */
function times(a, b) {
  return a && b && EXP[(LOG[a] + LOG[b]) % 255];
}

/** The modules with what every code has, the bits under a mask, and the word that names the mask.
 *  @param {number[]} bits @param {number} version @param {number} mask @returns {Modules} */
function drawn(bits, version, mask) {
  const size = 17 + 4 * version;
  /** @type {(boolean | undefined)[][]} */
  const modules = Array.from({ length: size }, () => Array(size).fill(undefined));
  drawFixed(modules, version);
  drawWords(modules, version, mask);
  let next = 0;
  for (let right = size - 1; right > 0; right -= 2) {
    if (right === 6) right = 5; // the column of the timing pattern carries nothing
    const is_up = ((size - 1 - right - Number(right < 6)) / 2) % 2 < 1;
    for (let step = 0; step < size; step += 1) {
      const y = is_up ? size - 1 - step : step;
      for (const x of [right, right - 1]) {
        if (modules[y][x] !== undefined) continue;
        modules[y][x] = ((bits[next] ?? 0) === 1) !== (MASKS[mask](x, y) === 0);
        next += 1;
      }
    }
  }
  return /** @type {Modules} */ (modules);
}

/** Corners, alignment and timing. @param {(boolean | undefined)[][]} modules @param {number} version */
function drawFixed(modules, version) {
  const size = modules.length;
  const last = size - 7;
  const count = version < 2 ? 0 : ((version / 7) | 0) + 2;
  const step = count && (((version * 8 + count * 3 + 5) / (count * 4 - 4)) | 0) * 2;
  const centres = Array.from({ length: count }, (_, at) => (at === 0 ? 6 : last - step * (count - 1 - at)));
  for (const [x, y] of [
    [3, 3],
    [size - 4, 3],
    [3, size - 4],
  ])
    square(modules, x, y, 4, [1, 1, 0, 1, 0]);
  for (const y of centres) {
    for (const x of centres) {
      if (modules[y][x] === undefined) square(modules, x, y, 2, [1, 0, 1]);
    }
  }
  for (let at = 8; at < size - 8; at += 1) modules[6][at] = modules[at][6] = at % 2 === 0;
}

/** Squares around a centre, one ring each. @param {(boolean | undefined)[][]} modules @param {number} x @param {number} y
 *  @param {number} reach @param {number[]} rings from the centre out */
function square(modules, x, y, reach, rings) {
  for (let dy = -reach; dy <= reach; dy += 1) {
    for (let dx = -reach; dx <= reach; dx += 1) {
      const row = modules[y + dy];
      if (row && x + dx in row) row[x + dx] = rings[Math.max(Math.abs(dx), Math.abs(dy))] === 1;
    }
  }
}

/**
 * The level with the mask (BCH 15,5; level M is 00) and from version 7 the version (BCH 18,6), each twice.
 * @param {(boolean | undefined)[][]} modules @param {number} version @param {number} mask
 */
function drawWords(modules, version, mask) {
  const size = modules.length;
  const format = bitsOf(((mask << 10) | remainder(mask << 10, 0x537, 10)) ^ 0x5412, 15)
    .reverse()
    .map((bit) => bit === 1);
  format.forEach((dark, at) => {
    const down = at < 6 ? at : at < 8 ? at + 1 : size - 15 + at;
    const along = at < 8 ? size - 1 - at : at === 8 ? 7 : 14 - at;
    modules[down][8] = modules[8][along] = dark;
  });
  modules[size - 8][8] = true;
  if (version < 7) return;
  const number = bitsOf((version << 12) | remainder(version << 12, 0x1f25, 12), 18)
    .reverse()
    .map((bit) => bit === 1);
  number.forEach((dark, at) => {
    const [across, off] = [(at / 3) | 0, size - 11 + (at % 3)];
    modules[across][off] = modules[off][across] = dark;
  });
}

/** @param {number} value @param {number} divisor @param {number} degree */
function remainder(value, divisor, degree) {
  let rest = value;
  for (let at = 17; at >= degree; at -= 1) {
    if ((rest >> at) & 1) rest ^= divisor << (at - degree);
  }
  return rest;
}

/** How much a code could mislead a camera: runs, blocks, what looks like a corner, too dark or too light. @param {Modules} modules */
function costOf(modules) {
  const columns = modules.map((_, x) => modules.map((row) => row[x]));
  const lines = [...modules, ...columns].reduce((cost, line) => cost + lineCost(line), 0);
  const dark = modules.reduce((count, row) => count + row.filter(Boolean).length, 0) / modules.length ** 2;
  return lines + blocksCost(modules) + 10 * Math.floor(Math.abs(dark * 100 - 50) / 5);
}

/** @param {boolean[]} line */
function lineCost(line) {
  let [cost, run, last_bits] = [0, 0, 0];
  line.forEach((dark, at) => {
    run = at > 0 && dark === line[at - 1] ? run + 1 : 1;
    if (run >= 5) cost += run === 5 ? 3 : 1;
    last_bits = ((last_bits << 1) | Number(dark)) & 0x7ff;
    if (at >= 10 && LOOKS_LIKE_A_CORNER.includes(last_bits)) cost += 40;
  });
  return cost;
}

/** Of two by two modules that are alike. @param {Modules} modules */
function blocksCost(modules) {
  let cost = 0;
  for (let y = 1; y < modules.length; y += 1) {
    const [above, row] = [modules[y - 1], modules[y]];
    for (let x = 1; x < row.length; x += 1) {
      if (row[x] === row[x - 1] && row[x] === above[x] && row[x] === above[x - 1]) cost += 3;
    }
  }
  return cost;
}
