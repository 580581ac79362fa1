// In place of app/keep/idb.js, which is disk.js here: where the browser refuses a base on the disk, one in memory, whose rows
// outlive a reload of the tab.

import * as disk from "./disk.js";
import { makeBase } from "../memory.js";
import { ofTab, putInTab } from "../tab.js";

export const { ON_DISK, committed, result } = disk;

const HEAVY = /photos$/; // megabytes, which a tab's history may not hold

let is_refused = false;

/** Whether what is stored goes when the tab is closed. */
export function keepsNothing() {
  return is_refused;
}

/** @param {string} name @param {(base: IDBDatabase) => void} make @returns {Promise<IDBDatabase>} */
export async function openBase(name, make) {
  try {
    return await disk.openBase(name, make);
  } catch {
    is_refused = true;
    const kept = (/** @type {object} */ rows) => HEAVY.test(name) || putInTab(name, rows);
    return /** @type {*} */ (makeBase(make, ofTab(name) ?? {}, kept));
  }
}
