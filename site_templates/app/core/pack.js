// twin: fieldsheet/sky/pack.py
// Reads a sky pack: one calendar year of sun, moon, planets and stars. The layout stands in the twin.

/** @typedef {ReturnType<typeof makeCursor>} Cursor */

/**
 * @typedef {object} Channel one quantity over the year, as Chebyshev series
 * @property {string} name
 * @property {boolean} far a direction only, of length one
 * @property {number} segment_s length of a segment in seconds
 * @property {number} segments
 * @property {number} components 3 for a vector, 12 for the star frame, 1 for a plain quantity
 * @property {number} orders
 * @property {Float64Array} coefficients by segment, component, order
 */

/**
 * @typedef {object} Pack a year of sky
 * @property {number} year
 * @property {[number, number]} span_s from and to (excluded), POSIX UTC seconds
 * @property {number} start_tai_s start of the first segments, TAI seconds since 1970-01-01 TAI
 * @property {string} maker
 * @property {[number, number][]} leaps from (POSIX UTC seconds), TAI - UTC from then on (seconds)
 * @property {Channel[]} channels
 */

const MAGIC = "FSKY";
const VERSION = 2;
const HEADER_BYTES = 56;
const CRC_BYTES = 4;
const WIDEST_BYTES = 4;

/**
 * The pack in some bytes.
 * @param {ArrayBuffer} buffer
 * @returns {Pack}
 * @throws {Error} in words, unless the bytes are whole, sound and of this layout
 */
export function readPack(buffer) {
  check(buffer);
  const view = new DataView(buffer);
  const cursor = makeCursor(HEADER_BYTES, buffer.byteLength - CRC_BYTES);
  const leaps = Array.from({ length: view.getUint8(36) }, () => readLeap(view, cursor));
  const channels = Array.from({ length: view.getUint8(37) }, () => readChannel(view, cursor));
  cursor.mustBeAtEnd();
  return {
    year: view.getUint16(6, true),
    span_s: [view.getFloat64(12, true), view.getFloat64(20, true)],
    start_tai_s: view.getFloat64(28, true),
    maker: nameAt(view, 38, 18),
    leaps,
    channels,
  };
}

/**
 * Size, magic, version, length and CRC, in this order, before anything else is believed.
 * @param {ArrayBuffer} buffer
 */
function check(buffer) {
  const size = buffer.byteLength;
  if (size < HEADER_BYTES + CRC_BYTES) {
    throw new Error(`this is not a sky pack: ${size} bytes are too few`);
  }
  const view = new DataView(buffer);
  if (textAt(view, 0, 4) !== MAGIC) {
    throw new Error("this is not a sky pack: it does not begin like one");
  }
  const version = view.getUint16(4, true);
  if (version !== VERSION) {
    throw new Error(`this sky pack has layout ${version}; only layout ${VERSION} can be read here`);
  }
  const length = view.getUint32(8, true);
  if (length !== size) {
    throw new Error(`this sky pack is not whole: ${size} bytes of ${length}`);
  }
  if (view.getUint32(size - CRC_BYTES, true) !== crc32(new Uint8Array(buffer, 0, size - CRC_BYTES))) {
    throw new Error("this sky pack is damaged: its checksum does not match");
  }
}

/** Hands out where each piece begins and refuses to run past the end. @param {number} start @param {number} end */
function makeCursor(start, end) {
  let at = start;
  const fail = () => {
    throw new Error("this sky pack is damaged: its tables do not fit its length");
  };
  return {
    /** @param {number} size */
    take(size) {
      if (size > end - at) fail();
      at += size;
      return at - size;
    },
    mustBeAtEnd() {
      if (at !== end) fail();
    },
  };
}

/** @param {DataView} view @param {Cursor} cursor @returns {Pair} */
function readLeap(view, cursor) {
  const at = cursor.take(16);
  return [view.getFloat64(at, true), view.getFloat64(at + 8, true)];
}

/** @param {DataView} view @param {Cursor} cursor */
function readChannel(view, cursor) {
  const at = cursor.take(33);
  const scale = view.getFloat64(at + 16, true);
  const segments = view.getUint16(at + 28, true);
  const components = view.getUint8(at + 30);
  const orders = view.getUint8(at + 32);
  const widthsAt = cursor.take(orders);
  const widths = Array.from({ length: orders }, (_, order) => view.getUint8(widthsAt + order));
  if (orders === 0 || !widths.every((width) => 1 <= width && width <= WIDEST_BYTES)) {
    throw new Error("this sky pack is damaged: it has integers of no width");
  }
  const rowBytes = widths.reduce((sum, width) => sum + width, 0);
  const rows = segments * components;
  const coefficients = readRows(view, cursor.take(rows * rowBytes), rows, widths, scale);
  return {
    name: nameAt(view, at, 16),
    far: view.getUint8(at + 31) !== 0,
    segment_s: view.getUint32(at + 24, true),
    segments,
    components,
    orders,
    coefficients,
  };
}

/** @param {DataView} view @param {number} start @param {number} rows @param {number[]} widths @param {number} scale */
function readRows(view, start, rows, widths, scale) {
  const values = new Float64Array(rows * widths.length);
  let at = start;
  for (let row = 0; row < rows; row += 1) {
    widths.forEach((width, order) => {
      values[row * widths.length + order] = signedAt(view, at, width) * scale;
      at += width;
    });
  }
  return values;
}

/** A little-endian signed integer of 1 to 4 bytes. @param {DataView} view @param {number} at @param {number} width */
function signedAt(view, at, width) {
  let value = view.getInt8(at + width - 1);
  for (let byte = width - 2; byte >= 0; byte -= 1) {
    value = value * 256 + view.getUint8(at + byte);
  }
  return value;
}

/** @param {DataView} view @param {number} at @param {number} size */
function nameAt(view, at, size) {
  const name = textAt(view, at, size);
  if (/[^\0-\x7f]/.test(name)) throw new Error("this sky pack is damaged: a name in it is none");
  return name;
}

/** @param {DataView} view @param {number} at @param {number} size */
function textAt(view, at, size) {
  let text = "";
  for (let byte = at; byte < at + size; byte += 1) {
    const code = view.getUint8(byte);
    if (code !== 0) text += String.fromCharCode(code);
  }
  return text;
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let value = byte;
  for (let bit = 0; bit < 8; bit += 1) {
    value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  }
  return value;
});

/** The CRC32 of ISO 3309, as zlib's. @param {Uint8Array} bytes */
function crc32(bytes) {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = CRC_TABLE[(crc ^ byte) & 0xff] ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}
