// Values in a row as one whole number, each in as little room as its range needs: for what a camera carries across.
// A reader and a writer go through the same steps; no size that is read makes anything larger than what was read.

/** Why a code is not taken up, in words for the page. */
export class CodeError extends Error {}

/** @param {string} why */
export const damaged = (why) => new CodeError(`This code is damaged: ${why}. Scan it again.`);

const MOST_LISTED = 4096;
const MOST_DEPTH = 32;
const SHORT = 2 ** 16;
const LENGTHS = 42; // of texts: 40 signs is what a field holds

/**
 * Takes the value that is written, which is not there yet when it is read, and of how many values it is one; answers
 * with the value.
 * @typedef {(value: number, size: number) => number} Step
 * @typedef {(step: Step, value?: *) => *} Codec
 */

/** What steps wrote, as one number. */
export function makeWriter() {
  /** @type {[bigint, bigint][]} */
  const steps = [];
  return {
    /** @type {Step} */
    step(value, size) {
      steps.push([BigInt(value), BigInt(size)]);
      return value;
    },
    /** A one on top of all marks the end. */
    digits: () => String(steps.reduceRight((number, [value, size]) => number * size + value, 1n)),
  };
}

/** @param {string} digits */
function makeReader(digits) {
  let number = BigInt(digits);
  return {
    /** @type {Step} */
    step(_, size) {
      if (number < 1n || size < 1) throw damaged("it ends too early");
      const value = Number(number % BigInt(size));
      number /= BigInt(size);
      return value;
    },
    isAtEnd: () => number === 1n,
  };
}

/** @type {Codec} true or false */
export const truth = (step, value) => step(Number(value), 2) === 1;

/** @type {Codec} from 0 to 2^52 */
export function whole(step, value = 0) {
  const length = 1 + step(value.toString(16).length - 1, 13);
  return step(value, 16 ** length);
}

/** @type {Codec} the same, where it is mostly less than 3 */
export function small(step, value) {
  const low = step(Math.min(value, 3), 4);
  return low < 3 ? low : low + whole(step, value - 3);
}

/** @type {Codec} of either sign */
export function signed(step, value) {
  const folded = whole(step, value < 0 ? -2 * value - 1 : 2 * value);
  return folded % 2 ? -(folded + 1) / 2 : folded / 2;
}

/** @param {Codec} codec @returns {Codec} */
export const orNull = (codec) => (step, value) => (truth(step, value === null) ? null : codec(step, value));

/** @param {Codec} codec @param {number} most how long it often is at most @returns {Codec} */
export const listOf =
  (codec, most = 3) =>
  (step, values) => {
    const short = step(Math.min(values?.length, most), most + 1);
    const length = short < most ? short : short + whole(step, values?.length - most);
    if (length > MOST_LISTED) throw damaged("a list in it has no end");
    return Array.from({ length }, (_, at) => codec(step, values?.[at]));
  };

const SIGNS = ["0123456789.,+-\u2212: ", "abcdefghijklmnopqrstuvwxyz0123456789.-: "];
const UNITS = [256, SHORT]; // else by the numbers of its letters

/** In the first of the alphabets that has all its letters. @param {string[]} alphabets @returns {Codec} */
export const textOf =
  (alphabets) =>
  (step, value = "") => {
    /** @type {string[]} */
    const letters = value.split("");
    const fits = alphabets.findIndex((signs) => letters.every((letter) => signs.includes(letter)));
    const wide = letters.some((letter) => letter.charCodeAt(0) > 255);
    const way = step(fits < 0 ? alphabets.length + Number(wide) : fits, alphabets.length + UNITS.length);
    const signs = alphabets[way];
    const size = signs ? signs.length : UNITS[way - alphabets.length];
    const numbers = letters.map((letter) => (signs ? signs.indexOf(letter) : letter.charCodeAt(0)));
    /** @type {number[]} */
    const read = listOf((_, number) => step(number, size), LENGTHS)(step, numbers);
    return read.map((number) => (signs ? signs[number] : String.fromCharCode(number))).join("");
  };

export const text = textOf(SIGNS);

/** @param {string[]} likely texts @param {Codec} other what else there may be @returns {Codec} */
export const oneOf =
  (likely, other = text) =>
  (step, value) => {
    const at = step(likely.indexOf(value) + 1, likely.length + 1);
    return at > 0 ? likely[at - 1] : other(step, value);
  };

const ID = /^[0-9a-f]{32}$|^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

/** @type {Codec} 128 random bits as phones write them, with dashes or without; else any text */
export function id(step, value = "") {
  if (!truth(step, ID.test(value))) return text(step, value);
  const dashed = truth(step, value.includes("-"));
  const hex = value.replaceAll("-", "");
  const parts = Array.from({ length: 8 }, (_, at) => step(parseInt(hex.slice(4 * at, 4 * at + 4), 16), SHORT));
  const read = parts.map((part) => part.toString(16).padStart(4, "0")).join("");
  return dashed ? read.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-") : read;
}

/**
 * Anything that JSON knows; pairs: an object, written from its entries.
 * @param {string[]} names keys that are likely
 * @returns {{plain: Codec, pairs: Codec}}
 */
export function plainOf(names) {
  const name = oneOf(names);
  let depth = 0;
  /** @type {Codec} */
  const pairs = (step, entries) => Object.fromEntries(listOf(pair)(step, entries));
  /** @type {Codec} */
  const pair = (step, value) => [name(step, value?.[0]), plain(step, value?.[1])];
  /** @type {[(value: *) => boolean, Codec][]} */
  const sorts = [
    [(value) => value === null, () => null],
    [(value) => typeof value === "boolean", truth],
    [(value) => Number.isSafeInteger(value) && Math.abs(value) < 2 ** 50 && !Object.is(value, -0), signed],
    [
      (value) => typeof value === "number",
      (step, value) => Number(text(step, value === undefined ? "" : String(value))),
    ],
    [(value) => typeof value === "string", text],
    [(value) => Array.isArray(value), (step, value) => listOf(plain)(step, value)],
    [() => true, (step, value) => pairs(step, value && Object.entries(value))],
  ];
  /** @type {Codec} */
  function plain(step, value) {
    if (depth === MOST_DEPTH) throw damaged("something in it is nested too deep");
    depth += 1;
    try {
      const sort = step(
        sorts.findIndex(([is]) => is(value)),
        sorts.length,
      );
      return sorts[sort][1](step, value);
    } finally {
      depth -= 1;
    }
  }
  return { plain, pairs };
}

export const MOST_DIGITS = 3000; // before any of them becomes a number
export const SEAL = 11; // the version's digit and ten of the checksum

/** @param {string} body */
function checksum(body) {
  return String(crc32(body)).padStart(10, "0");
}

/** The digits of a code: its version, its checksum, what it holds. @param {number} version one digit @param {string} body */
export function sealed(version, body) {
  return `${version}${checksum(body)}${body}`;
}

/**
 * What the digits of a code hold. Throws CodeError.
 * @template T
 * @param {string} digits @param {string} of what it should be of, in words @param {number} known the version that is read
 * @param {(step: Step) => T} read
 */
export function unsealed(digits, of, known, read) {
  if (digits.length > MOST_DIGITS) throw new CodeError(`This code is too long to be that of ${of}.`);
  if (!/^[0-9]+$/.test(digits)) throw new CodeError(`This is not the code of ${of}.`);
  const version = Number(digits[0]);
  if (version > known)
    throw new CodeError(`This code is of version ${version}, and this page reads version ${known}: update it first.`);
  const body = digits.slice(SEAL);
  if (version !== known || digits.slice(1, SEAL) !== checksum(body)) throw damaged("its checksum is wrong");
  const reader = makeReader(body);
  const value = read(reader.step);
  if (!reader.isAtEnd()) throw damaged("it does not end where it should");
  return value;
}

/** Of a text's UTF-8. Source: IEEE 802.3, reflected, as in zlib. @param {string} words */
export function crc32(words) {
  let crc = -1;
  for (const byte of new TextEncoder().encode(words)) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}
