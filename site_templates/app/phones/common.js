// What the page of a shot knows on every phone, so that a code need not carry it; and whether what came from
// elsewhere can be of that page at all.

import { isDate } from "../takes/loglines.js";
import { plannedOf } from "../takes/programmes.js";
import { itemTexts, valueOf } from "../list/rows.js";

const MOST_PLANS = 12; // each takes a moment to compute, and a hand's changes are few
const LAST_MS = 4102444800000; // the year 2100
const WORD = /^[a-z-]{1,40}$/;

/**
 * @param {*} printed the printed plan @param {import("../keep/site.js").Site} site @param {import("../list/rows.js").Row[]} rows
 * @param {(changes: object) => {plan: Plan, sheet: Sheet} | {why: string}} compute
 * @returns {import("../codes/carry.js").Page}
 */
export function commonOf(printed, site, rows, compute) {
  const byItem = new Map(rows.map((row) => [row.item, row]));
  const items = itemTexts(rows);
  /** @type {Map<string, import("../codes/carry.js").Under>} */
  const known = new Map();

  /** @param {object} changes */
  function under(changes) {
    const name = JSON.stringify(changes);
    const found = known.get(name) ?? (known.size < MOST_PLANS && areChanges(changes) ? computed(changes) : null);
    if (found) known.set(name, found);
    return found;
  }

  /** @param {object} changes @returns {import("../codes/carry.js").Under | null} */
  function computed(changes) {
    const found = compute(changes);
    if ("why" in found) return null;
    return {
      plan: { ...found.plan, brief: printed.brief, items },
      planned: plannedOf(found.plan, changes).planned,
      shown(item) {
        const row = byItem.get(item);
        return row && valueOf(row, found.sheet);
      },
      heads: found.sheet.warnings.map(({ head }) => head),
    };
  }

  return {
    catalog: site.catalog,
    shot: printed.shot.id,
    revision: printed.revision,
    items: rows.map(({ item }) => item),
    under,
  };
}

/** @param {*} value */
const isNumber = (value) => typeof value === "number" && Number.isFinite(value);
/** @param {*} value */
const isMoment = (value) => Number.isInteger(value) && 0 <= value && value <= LAST_MS;

/** What each change must be; others are a newer version's, and passed over. @type {Object<string, (value: *) => boolean>} */
const CHANGES = {
  night: (value) => typeof value === "string" && isDate(value),
  start_ms: isMoment,
  interval_ms: (value) => isMoment(value) && value > 0,
  exposure_shift_ev: (value) => isNumber(value) && Math.abs(value) <= 30,
  spot: (value) => isSpot(value ?? {}),
  stopped: (value) => isMoment(value?.frame) && isMoment(value.rolling_ms),
  way: (value) => isWay(value ?? {}),
  run: (value) => isMoment(value?.start_ms) && isNumber(value.ratio) && value.ratio > 0,
};

/** @param {*} way */
function isWay({ id, after = {}, ...rest }) {
  return typeof id === "string" && WORD.test(id) && areChanges(after) && Object.values(rest).every(isMoment);
}

/** @param {*} spot */
function isSpot({ latitude_deg, longitude_deg, elevation_m }) {
  const within = (/** @type {*} */ value, /** @type {number} */ most) => isNumber(value) && Math.abs(value) <= most;
  return within(latitude_deg, 90) && within(longitude_deg, 180) && within(elevation_m, 9000);
}

/** Whether changes that came from elsewhere are of the kind that a page makes. @param {*} changes */
export function areChanges(changes) {
  if (typeof changes !== "object" || changes === null || Array.isArray(changes)) return false;
  return Object.entries(changes).every(([name, value]) => !Object.hasOwn(CHANGES, name) || CHANGES[name](value));
}
