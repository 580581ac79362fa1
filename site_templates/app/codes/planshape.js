// Whether a brief is made as the table of a plan's code says: every field is there, of its kind, and within what its
// unit can measure.

import { FIELDS as TABLE } from "./planfields.js";

/**
 * @typedef {(string | number)[]} Path
 * @typedef {[key: string | number, sort: *, value: *][]} Rows
 */

/** Least and most by the unit that ends a field's name; what has none is within LARGEST either way.
 *  @type {Object<string, [number, number]>} */
const RANGES = {
  ms: [0, 1e9],
  s: [-1e6, 1e6],
  deg: [-3600, 3600],
  mm: [-1e6, 1e6],
  m: [-1e6, 1e6],
  wh: [0, 1e6],
  w: [0, 1e6],
  v: [0, 1e3],
  kg: [0, 1e4],
  c: [-200, 200],
  pct: [0, 100],
  ev: [-60, 60],
  gb: [0, 1e6],
  mb: [0, 1e6],
  hz: [1, 1e3],
  hpa: [100, 2000],
  fraction: [0, 1],
};
const LARGEST = 1e9;
const INSTANT = "until_s"; // no span of seconds
const DATE = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;

/** @param {*} value */
const isText = (value) => typeof value === "string";
/** @param {*} value */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
/** @param {*} value @param {Path} path */
const isNumber = (value, path) => typeof value === "number" && isWithin(value, path);
/** @param {*} value @param {Path} path */
const isWhole = (value, path) => Number.isSafeInteger(value) && isWithin(value, path);
/** @param {*} value */
const isSpan = (value) =>
  Array.isArray(value) && Number.isSafeInteger(value[0]) && isWhole(value[1], ["offset_s"]) && isText(value[2]);
/** @param {*} value */
const isRung = (value) => Array.isArray(value) && value.slice(0, 3).every(isText) && isWhole(value[3], ["open_ms"]);

/** The kinds that are not made of others. @type {Object<string, (value: *, path: Path) => boolean>} */
const PLAIN = {
  truth: (value) => typeof value === "boolean",
  text: isText,
  number: isNumber,
  in: isWhole,
  whole: (value, path) => value >= 0 && isWhole(value, path),
  date: (value) => isText(value) && DATE.test(value) && !Number.isNaN(Date.parse(value)),
  span: isSpan,
  ladder: (value) => Array.isArray(value) && value.every(isRung),
};
/** The kinds that are as another one. @type {Object<string, (parts: *[], value: *) => *>} */
const AS = {
  one: () => "text",
  likely: ([, sort]) => sort,
  again: ([sort]) => sort,
  any: (_, value) =>
    isObject(value)
      ? ["map", "any"]
      : Array.isArray(value)
        ? ["list", "any"]
        : typeof value === "number"
          ? "number"
          : "text",
};
/** What the others hold; null where a value is of another kind. @type {Object<string, (parts: *[], value: *) => Rows | null>} */
const HELD = {
  list: ([sort], value) => (Array.isArray(value) ? value.map((part, at) => [at + 1, sort, part]) : null),
  tuple: (sorts, value) =>
    Array.isArray(value) && value.length === sorts.length ? sorts.map((sort, at) => [at + 1, sort, value[at]]) : null,
  map: ([sort], value) => (isObject(value) ? Object.entries(value).map(([key, part]) => [key, sort, part]) : null),
  either: (options, value) =>
    heldBy(
      options.find((fields) => Object.keys(fields).every((key) => value && Object.hasOwn(value, key))),
      value,
    ),
};

/** The first part of a brief that is missing or out of range, in words; "" where all of it is well. @param {Brief} brief */
export function misshapen(brief) {
  const { needs, revision, ...fields } = TABLE.brief;
  const path = misfits({ ...fields, needs: ["list", "any"] }, brief, []).next().value ?? [];
  return path.join(" ").replaceAll("_", " ");
}

/**
 * @param {*} sort a name, fields by their names, or a list of a kind and its parts
 * @param {*} value @param {Path} path
 * @returns {Generator<Path>}
 */
function* misfits(sort, value, path) {
  const [kind, ...parts] = Array.isArray(sort) ? sort : [sort];
  const as = TABLE.types[kind] ?? AS[kind]?.(parts, value);
  if (as) yield* misfits(as, value, path);
  else if (kind === "const") yield* value === parts[0] ? [] : [path];
  else if (kind === "null") yield* value === null ? [] : misfits(parts[0], value, path);
  else if (PLAIN[kind]) yield* PLAIN[kind](value, path) ? [] : [path];
  else yield* inside(HELD[kind] ? HELD[kind](parts, value) : heldBy(kind, value), path);
}

/** @param {Rows | null} rows @param {Path} path @returns {Generator<Path>} */
function* inside(rows, path) {
  if (rows === null) yield path;
  for (const [key, sort, value] of rows ?? []) yield* misfits(sort, value, [...path, key]);
}

/** What an object holds by fields; one whose name ends in ? may be missing.
 *  @param {Object<string, *> | undefined} fields @param {*} value @returns {Rows | null} */
function heldBy(fields, value) {
  if (fields === undefined || !isObject(value)) return null;
  return Object.entries(fields).flatMap(([field, sort]) => {
    const key = field.replace("?", "");
    const may_lack = key !== field && !Object.hasOwn(value, key);
    return may_lack ? [] : [[key, sort, Object.hasOwn(value, key) ? value[key] : undefined]];
  });
}

/** Whether a number is within what the unit of its field can measure. @param {number} value @param {Path} path */
function isWithin(value, path) {
  const field = String(path.filter(isText).at(-1));
  const [least, most] = RANGES[field.split("_").at(-1) ?? ""] ?? [-LARGEST, LARGEST];
  return field === INSTANT || (least <= value && value <= most);
}
