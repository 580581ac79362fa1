// A base that is not opened before it is needed.

import { openBase } from "./idb.js";

/**
 * A base that is opened when it is first asked for. One that was refused is asked for again: there may be room by then.
 * @param {string} name @param {(base: IDBDatabase) => void} make
 * @returns {() => Promise<IDBDatabase>}
 */
export function baseAtNeed(name, make) {
  /** @type {Promise<IDBDatabase> | null} */
  let base = null;
  return () => {
    base ??= openBase(name, make).catch((error) => {
      base = null;
      throw error;
    });
    return base;
  };
}
