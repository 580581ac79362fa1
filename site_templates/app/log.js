// The log of a take: events are added and never changed or removed, and what is ticked follows from them.
// Two phones' logs of one take join as a union of sets.

import { ON_DISK, committed, openBase, result } from "./idb.js";

/**
 * @typedef {{take: string, shot: string, device: string, counter: number, utc_ms: number, kind: string,
 *   payload: Object<string, *>}} LogEvent
 *   counter is one more than the highest this device knew in the take, so an event stands after all it could know of.
 * @typedef {{value: string, utc_ms: number, device: string, keys: string[]}} Tick
 *   keys: the events to name in order to take the tick back
 * @typedef {{ticks: Map<string, Tick>, fields: Map<string, string>, as_set: Map<string, string>,
 *   photos: Map<number, string>, fired_ms: number | null, changes: Object<string, *>, ended: boolean}} TakeState
 *   fields: what was written in, by item; as_set: what the rig showed, by "KEYFRAME.AXIS"; photos: the event that
 *   kept the last photo of each keyframe; fired_ms: when frame 1 fired, null where that was not kept or taken back
 */

/** @param {import("./site.js").Site} site */
export function logName(site) {
  return site.prefix + "log";
}

/** @param {LogEvent} event */
function eventKey(event) {
  return `${event.device}:${event.counter}`;
}

/**
 * The union of two logs, each event once, in an order that does not depend on which came first: causes before
 * effects, then the clock, then the device.
 * @param {LogEvent[]} a @param {LogEvent[]} b
 * @returns {LogEvent[]}
 */
export function merge(a, b) {
  const seen = new Set();
  return [...a, ...b].sort(inOrder).filter((event) => {
    const key = `${event.take} ${eventKey(event)}`;
    return !seen.has(key) && seen.add(key);
  });
}

/** @param {LogEvent} a @param {LogEvent} b */
function inOrder(a, b) {
  const [textA, textB] = a.device === b.device ? [JSON.stringify(a), JSON.stringify(b)] : [a.device, b.device];
  return a.counter - b.counter || a.utc_ms - b.utc_ms || (textA < textB ? -1 : Number(textA > textB));
}

/**
 * What the events of one take add up to, whatever order they arrive in. The last tick of an item that was not
 * taken back holds; an untick takes back only the ticks it names; the last changes, and the last thing written in
 * at a place, replace earlier ones.
 * @param {LogEvent[]} events
 * @returns {TakeState}
 */
export function reduce(events) {
  const ordered = merge(events, []);
  const takenBack = new Set(ordered.filter((event) => event.kind === "untick").flatMap((event) => event.payload.events));
  /** @type {TakeState} */
  const state = {
    ...{ ticks: new Map(), fields: new Map(), as_set: new Map(), photos: new Map() },
    ...{ fired_ms: null, changes: {}, ended: false },
  };
  for (const event of ordered) {
    const { kind, payload, utc_ms, device } = event;
    if (kind === "tick" && !takenBack.has(eventKey(event))) {
      const keys = [...(state.ticks.get(payload.item)?.keys ?? []), eventKey(event)];
      state.ticks.set(payload.item, { value: payload.value, utc_ms, device, keys });
    }
    if (kind === "field") state.fields.set(payload.item, payload.value);
    if (kind === "as-set") state.as_set.set(`${payload.keyframe}.${payload.axis}`, payload.value);
    if (kind === "photo") state.photos.set(payload.keyframe, eventKey(event));
    if (kind === "start") state.fired_ms = payload.utc_ms;
    if (kind === "take" || kind === "changes") state.changes = payload.changes ?? {};
    if (kind === "end") state.ended = true;
  }
  return state;
}

/**
 * Whether an item is ticked for the value it shows now: a tick of another value no longer counts.
 * @param {TakeState} state @param {string} item @param {string} value
 */
export function isDone(state, item, value) {
  return state.ticks.get(item)?.value === value;
}

/**
 * Why the phone did not keep something, in words for the page.
 * @param {unknown} error
 */
export function logWords(error) {
  const name = error instanceof Error || error instanceof DOMException ? error.name : "";
  if (name === "QuotaExceededError") return "Not kept: this phone's storage is full. Use the card.";
  if (name === "NoTakeError") return "Not kept: this take is not on this phone. Use the card.";
  return "Not kept: this browser does not let the page store anything. Use the card.";
}

/**
 * @typedef {{take: string, shot: string, utc_ms: number, ended: boolean}} Take
 *
 * @typedef {object} Log
 * @property {(shot: string, plan: object, changes?: object) => Promise<string>} beginTake the open take of the shot, begun now if there is none; it carries its plan
 * @property {(take: string, kind: string, payload: object) => Promise<LogEvent>} append resolves when the event is on disk
 * @property {(take: string) => Promise<LogEvent[]>} events
 * @property {(shot: string) => Promise<Take[]>} takes newest first
 * @property {() => Promise<Take[]>} openTakes of every shot, newest first
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
  const tabs = "BroadcastChannel" in self ? new BroadcastChannel(name) : null;
  const device = await deviceId(base);
  let asked = false;

  /** @param {LogEvent["take"]} take @param {string} kind @param {object} payload */
  async function write(take, kind, payload) {
    const work = base.transaction("events", "readwrite", ON_DISK);
    const events = work.objectStore("events");
    const earlier = /** @type {LogEvent[]} */ (await result(events.index("take").getAll(take)));
    if (earlier.length === 0) throw new DOMException("no such take", "NoTakeError");
    const counter = earlier.reduce((most, event) => Math.max(most, event.counter), 0) + 1;
    const event = { take, shot: earlier[0].shot, device, counter, utc_ms: now(), kind, payload };
    events.add(event);
    await committed(work);
    tabs?.postMessage(take);
    return event;
  }

  /** @param {string} index @param {string} key @returns {Promise<LogEvent[]>} */
  function all(index, key) {
    return result(base.transaction("events").objectStore("events").index(index).getAll(key));
  }

  return {
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
    async events(take) {
      return merge(await all("take", take), []);
    },
    async takes(shot) {
      return takesOf(await all("shot", shot));
    },
    async openTakes() {
      const takes = takesOf([...(await all("kind", "take")), ...(await all("kind", "end"))]);
      return takes.filter(({ ended }) => !ended);
    },
    onChange(listener) {
      tabs?.addEventListener("message", () => listener());
      document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && listener());
    },
  };
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

/** The phone's own name in the log, made once. @param {IDBDatabase} base @returns {Promise<string>} */
async function deviceId(base) {
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
