// The log of takes as this browser keeps it: events are added and never changed; what they add up to is added.js.

import { ON_DISK, committed, openBase, result } from "../keep/idb.js";
import { inOrder, merge } from "./added.js";

/** @param {import("../keep/site.js").Site} site */
export function logName(site) {
  return site.prefix + "log";
}

/**
 * Why the phone did not keep something, in words for the page.
 * @param {unknown} error
 */
export function logWords(error) {
  const name = error instanceof Error || error instanceof DOMException ? error.name : "";
  if (name === "QuotaExceededError") return "Not kept: this phone's storage is full. Use the card.";
  if (name === "NoTakeError") return "Not kept: this take is not on this phone. Use the card.";
  if (name === "VersionError")
    return "Not kept: a newer version of this site has its log here. Load the page again, or use the card.";
  if (name === "InvalidStateError")
    return "Not kept: the log was closed, by a newer version of this site or by clearing it. Load the page again.";
  return "Not kept: this browser does not let the page store anything. Use the card.";
}

/**
 * @typedef {import("./added.js").LogEvent} LogEvent
 * @typedef {{take: string, shot: string, utc_ms: number, ended: boolean}} Take
 *
 * @typedef {object} Log
 * @property {string} device this phone's name in the log
 * @property {(shot: string, plan: object, changes?: object) => Promise<string>} beginTake the open take of the shot, begun now if there is none; it carries its plan
 * @property {(take: string, kind: string, payload: object) => Promise<LogEvent>} append resolves when the event is on disk
 * @property {(events: LogEvent[], told: (count: number) => {take: string, kind: string, payload: object}[]) => Promise<number>} join
 *   adds another phone's events that are not there, over none, and with them what this phone tells of so many, unless
 *   there are none: all of it or nothing; how many were new
 * @property {(take: string) => Promise<LogEvent[]>} events
 * @property {(shot: string) => Promise<Take[]>} takes newest first
 * @property {() => Promise<Take[]>} allTakes of every shot, newest first
 * @property {() => Promise<Take[]>} openTakes those of them that are not ended
 * @property {(take: string, events: number) => Promise<boolean>} remove a take that has so many events, whole; false where it has others by now
 * @property {(listener: () => void) => void} onChange calls when another tab wrote, or this one is looked at again
 */

/**
 * Opens the log of one site. Every method rejects where the browser refuses to store; `logWords` says it.
 * @param {string} name see `logName`
 * @param {() => number} now ms UTC
 * @returns {Promise<Log>}
 */
export async function openLog(name, now = Date.now) {
  const base = await openBase(name, makeStores);
  const tabs = channel(name);
  const device = await deviceId(base);
  /** Of which shot a take is. @type {Map<string, string>} */
  const shots = new Map();
  let asked = false;

  /** @param {IDBObjectStore} events @param {string} take @param {string} kind @param {object} payload */
  async function add(events, take, kind, payload) {
    // Keys alone: the event that begins a take holds a whole plan.
    const keys = /** @type {[string, string, number][]} */ (await result(events.getAllKeys(rangeOf(take))));
    if (keys.length === 0) throw new DOMException("no such take", "NoTakeError");
    const shot = shots.get(take) ?? /** @type {LogEvent} */ (await result(events.get(keys[0]))).shot;
    shots.set(take, shot);
    const counter = keys.reduce((most, [, , count]) => Math.max(most, count), 0) + 1;
    const event = { take, shot, device, counter, utc_ms: now(), kind, payload };
    events.add(event);
    return event;
  }

  /** @param {string} take @param {string} kind @param {object} payload */
  async function write(take, kind, payload) {
    const work = base.transaction("events", "readwrite", ON_DISK);
    const event = await add(work.objectStore("events"), take, kind, payload);
    await committed(work);
    tabs?.postMessage(take);
    return event;
  }

  /** @param {string} index @param {string} key @returns {Promise<LogEvent[]>} */
  function all(index, key) {
    return result(base.transaction("events").objectStore("events").index(index).getAll(key));
  }

  async function allTakes() {
    return takesOf([...(await all("kind", "take")), ...(await all("kind", "end"))]);
  }

  return {
    device,
    async beginTake(shot, plan, changes = {}) {
      // One transaction looks and begins, so that two tabs cannot both begin.
      const work = base.transaction("events", "readwrite", ON_DISK);
      const events = work.objectStore("events");
      const open = takesOf(await result(events.index("shot").getAll(shot))).find(({ ended }) => !ended);
      if (open) return open.take;
      const take = newId();
      events.add({ take, shot, device, counter: 1, utc_ms: now(), kind: "take", payload: { plan, changes } });
      await committed(work);
      tabs?.postMessage(take);
      return take;
    },
    async append(take, kind, payload) {
      const event = await write(take, kind, payload);
      if (kind === "tick" && !asked) {
        asked = true;
        askToKeep();
      }
      return event;
    },
    async join(events, told) {
      const work = base.transaction("events", "readwrite", ON_DISK);
      const store = work.objectStore("events");
      try {
        const known = await Promise.all(
          events.map(({ take, device: of, counter }) => result(store.getKey([take, of, counter]))),
        );
        const fresh = events.filter((_, at) => known[at] === undefined);
        for (const event of fresh) store.add(event);
        for (const own of fresh.length > 0 ? told(fresh.length) : []) await add(store, own.take, own.kind, own.payload);
        await committed(work);
        for (const take of new Set(fresh.map((event) => event.take))) tabs?.postMessage(take);
        return fresh.length;
      } catch (error) {
        if (work.error) throw work.error;
        work.abort();
        throw error;
      }
    },
    async events(take) {
      return merge(await all("take", take), []);
    },
    async takes(shot) {
      return takesOf(await all("shot", shot));
    },
    allTakes,
    async openTakes() {
      return (await allTakes()).filter(({ ended }) => !ended);
    },
    async remove(take, events) {
      const work = base.transaction("events", "readwrite", ON_DISK);
      const store = work.objectStore("events");
      const range = rangeOf(take);
      const is_same = (await result(store.count(range))) === events;
      if (is_same) store.delete(range);
      await committed(work);
      if (is_same) tabs?.postMessage(take);
      return is_same;
    },
    onChange(listener) {
      tabs?.addEventListener("message", () => listener());
      document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && listener());
    },
  };
}

/** Word between the tabs of this site, where the browser lets a page have it. @param {string} name */
function channel(name) {
  try {
    return new BroadcastChannel(name);
  } catch {
    return null;
  }
}

/** The takes that events hold, newest first. @param {LogEvent[]} events */
function takesOf(events) {
  const ended = new Set(events.filter(({ kind }) => kind === "end").map(({ take }) => take));
  const begun = events.filter(({ kind }) => kind === "take").sort((a, b) => b.utc_ms - a.utc_ms || inOrder(a, b));
  return begun.map(({ take, shot, utc_ms }) => ({ take, shot, utc_ms, ended: ended.has(take) }));
}

/** @param {IDBDatabase} base */
function makeStores(base) {
  const events = base.createObjectStore("events", { keyPath: ["take", "device", "counter"] });
  for (const index of ["take", "shot", "kind"]) events.createIndex(index, index);
  base.createObjectStore("device");
}

/** The events of a take, by their keys. @param {string} take */
function rangeOf(take) {
  return IDBKeyRange.bound([take], [take, []]);
}

/** The phone's own name in the log. Where there is one nothing is written, for that waits for the disk.
 *  @param {IDBDatabase} base @returns {Promise<string>} */
async function deviceId(base) {
  const known = await result(base.transaction("device").objectStore("device").get("id"));
  return known ?? newDeviceId(base);
}

/** Made once, also where two tabs ask. @param {IDBDatabase} base @returns {Promise<string>} */
async function newDeviceId(base) {
  const work = base.transaction("device", "readwrite", ON_DISK);
  const store = work.objectStore("device");
  const known = await result(store.get("id"));
  const device = known ?? newId();
  if (known === undefined) store.add(device, "id");
  await committed(work);
  return device;
}

/** 128 random bits; randomUUID is there only over https. */
function newId() {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Asks the browser not to clear this site when space is short; it may say no, and nothing rests on it. */
function askToKeep() {
  navigator.storage?.persist?.().catch(() => false);
}
