// Plans from elsewhere that this phone keeps beside the site's own shots, each as the text of a plan file. What is read
// from here passes the same gate as a file.

import { baseAtNeed } from "../keep/atneed.js";
import { ON_DISK, committed, result } from "../keep/idb.js";

/** @typedef {{name: string, text: string, is_short: boolean, kept_ms: number}} Kept name: of this text and no other */

/** @param {import("../keep/site.js").Site} site */
export function openPlans(site) {
  const opened = baseAtNeed(`${site.prefix}plans`, (made) => made.createObjectStore("plans", { keyPath: ["name"] }));

  /** @param {IDBTransactionMode} mode */
  async function store(mode) {
    return (await opened()).transaction("plans", mode, ON_DISK).objectStore("plans");
  }

  return {
    /** The last kept first. @returns {Promise<Kept[]>} */
    async all() {
      const kept = await result((await store("readonly")).getAll());
      return kept.sort((a, b) => b.kept_ms - a.kept_ms);
    },
    /** @param {string} name @returns {Promise<Kept | undefined>} */
    async get(name) {
      return result((await store("readonly")).get([name]));
    },
    /** @param {Kept} plan */
    async keep(plan) {
      const plans = await store("readwrite");
      plans.put(plan);
      await committed(plans.transaction);
    },
    /** @param {string} name */
    async remove(name) {
      const plans = await store("readwrite");
      plans.delete([name]);
      await committed(plans.transaction);
    },
  };
}
