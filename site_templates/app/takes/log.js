// The log of a take: events are added and never changed or removed, and what is ticked follows from them.
// Two phones' logs of one take join as a union of sets. The desk adds them up alike: fieldsheet/exchange/takes.py.

import { ON_DISK, committed, openBase, result } from "../keep/idb.js";
import { stopOf } from "./stops.js";

/**
 * @typedef {{take: string, shot: string, device: string, counter: number, utc_ms: number, kind: string,
 *   payload: Object<string, *>}} LogEvent
 *   counter is one more than the highest this device knew in the take, so an event stands after all it could know of.
 * @typedef {{value: string, night: string | null, spot: object | null, stop: object | null, utc_ms: number, device: string, keys: string[]}} Tick
 *   night, spot: of the changes, null as printed; stop: the way that went on after one, null before any; keys: the events to name in order to take the tick back
 * @typedef {{utc_ms: number, device: string, key: string}} Kept when, by which phone, and the event to name in an undo
 * @typedef {{frame: number, utc_ms: number, key: string}} Count the frame that the rig showed at that moment
 * @typedef {Kept & {what: string, frame: number | null, file: string, way: *}} Mark way: of the changes, as it was made
 * @typedef {{ticks: Map<string, Tick>, fields: Map<string, string>, as_set: Map<string, string>,
 *   photos: Map<number, string>, changes: Object<string, *>, ended: boolean,
 *   fired_ms: number | null, counts: Count[], acts: Map<string, Kept>, closed: Map<string, Kept>,
 *   ready: (Kept & {open: string[], forced: boolean}) | null,
 *   marks: Mark[], notes: (Kept & {text: string})[], watch: (Kept & {who: string}) | null, names: Map<string, string>,
 *   joined: {via: string, from: string, events: number, utc_ms: number, key: string}[]}} TakeState
 *   fields: what was written in, by item; as_set: what the rig showed, by "KEYFRAME.AXIS"; photos: the event that
 *   kept the last photo of each keyframe; fired_ms: when frame 1 fired, null where that was not kept or taken back;
 *   acts: what of the plan is done, by its name; closed: the warnings that were, whatever the rig is told; names: what each phone is called
 */

/** What an undo takes back. */
const UNDONE = ["start", "count", "mark", "note", "act", "ready", "watch"];
/** What says which programme of the rig it is. */
const PLANS = ["take", "changes"];

/** @param {import("../keep/site.js").Site} site */
export function logName(site) {
  return site.prefix + "log";
}

/** How other events name this one. @param {LogEvent} event */
export function eventKey(event) {
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
  return a.counter - b.counter || a.utc_ms - b.utc_ms || inOrderOfText(a, b);
}

/** By device, else by all they hold: a plan's text is long, so that none is made where the counters differ.
 *  @param {LogEvent} a @param {LogEvent} b */
function inOrderOfText(a, b) {
  const [textA, textB] = a.device === b.device ? [JSON.stringify(a), JSON.stringify(b)] : [a.device, b.device];
  return textA < textB ? -1 : Number(textA > textB);
}

/** @returns {TakeState} */
function nothing() {
  return {
    ...{ ticks: new Map(), fields: new Map(), changes: {}, ended: false },
    ...{ marks: [], notes: [], watch: null, names: new Map(), joined: [], closed: new Map() },
    ...newSettings(),
    ...newProgramme(),
  };
}

/** What was read off the rig at its keyframes, before anything is. @returns {Pick<TakeState, "as_set" | "photos">} */
function newSettings() {
  return { as_set: new Map(), photos: new Map() };
}

/** What is known of a programme of the rig before it runs. @returns {Pick<TakeState, "fired_ms" | "counts" | "acts" | "ready">} */
function newProgramme() {
  return { fired_ms: null, counts: [], acts: new Map(), ready: null };
}

/**
 * Whether an event counts no more: it was taken back by one that names it, or it is a mark in whose place another stands.
 * @param {LogEvent[]} events @returns {(event: LogEvent) => boolean}
 */
export function takenBack(events) {
  const named = (/** @type {string} */ by) =>
    events.filter(({ kind }) => kind === by).flatMap(({ payload }) => payload.events);
  const [unticked, undone] = [new Set(named("untick")), new Set(named("undo"))];
  const replaced = new Set(
    events
      .filter(({ kind, payload }) => kind === "mark" && payload.of)
      .map(({ device, payload }) => `${device}:${payload.of}`),
  );
  return (event) => {
    const key = eventKey(event);
    if (event.kind === "tick") return unticked.has(key);
    return (UNDONE.includes(event.kind) && undone.has(key)) || (event.kind === "mark" && replaced.has(key));
  };
}

/**
 * What the events of one take add up to, whatever order they arrive in. The last tick of an item that was not
 * taken back holds; an untick or undo takes back only the events it names; the last changes, and the last thing
 * written in at a place, replace earlier ones. Kinds that a newer version writes are passed over.
 * @param {LogEvent[]} events
 * @returns {TakeState}
 */
export function reduce(events) {
  const ordered = merge(events, []);
  const isBack = takenBack(ordered);
  const state = nothing();
  const left = new Map();
  for (const event of ordered) {
    const { kind, payload } = event;
    if (PLANS.includes(kind)) takeChanges(state, left, payload.changes ?? {});
    else if (Object.hasOwn(EFFECTS, kind) && !isBack(event)) EFFECTS[kind](state, payload, keptOf(event));
  }
  return state;
}

/** A take whose rig was told another programme just now. @param {TakeState} state @returns {TakeState} */
export function toldAnew(state) {
  return { ...state, ...newProgramme() };
}

/** @param {LogEvent} event @returns {Kept} */
function keptOf(event) {
  return { utc_ms: event.utc_ms, device: event.device, key: eventKey(event) };
}

/** What each kind of event does to the state. @type {Object<string, (state: TakeState, payload: *, kept: Kept) => void>} */
const EFFECTS = {
  tick(state, { item, value }, { utc_ms, device, key }) {
    const { night = null, spot = null } = state.changes;
    const keys = [...(state.ticks.get(item)?.keys ?? []), key];
    state.ticks.set(item, { value, night, spot, stop: stopOf(state.changes), utc_ms, device, keys });
  },
  field: (state, { item, value }) => state.fields.set(item, value),
  "as-set": (state, { keyframe, axis, value }) => state.as_set.set(`${keyframe}.${axis}`, value),
  photo: (state, { keyframe }, { key }) => state.photos.set(keyframe, key),
  start(state, { utc_ms }) {
    state.fired_ms = utc_ms;
  },
  count: (state, { frame }, { utc_ms, key }) => state.counts.push({ frame, utc_ms, key }),
  mark: (state, { what, frame, file }, kept) =>
    state.marks.push({ what, frame, file, way: state.changes.way ?? null, ...kept }),
  note: (state, { text }, kept) => state.notes.push({ text, ...kept }),
  act: (state, { act, text }, kept) => (text ? state.closed : state.acts).set(act, kept),
  ready(state, { open, forced }, kept) {
    state.ready = { open, forced, ...kept };
  },
  watch(state, { who }, kept) {
    state.watch = { who, ...kept };
  },
  name: (state, { name }, { device }) => state.names.set(device, name),
  joined: (state, { via, from, events }, { utc_ms, key }) => state.joined.push({ via, from, events, utc_ms, key }),
  end(state) {
    state.ended = true;
  },
};

/**
 * Another way to go on is another programme of the rig: it has not begun yet. After a stop its keyframes are others, of
 * which nothing has been read off the rig. What was left and is gone back to on its night is as it was: it had gone on.
 * @param {TakeState} state @param {Map<string, Partial<TakeState>>} left by the programmes and stops that were left
 * @param {*} changes
 */
function takeChanges(state, left, changes) {
  const turn = (/** @type {(changes: *) => unknown} */ partOf, /** @type {() => Partial<TakeState>} */ begun) => {
    const names = Object.keys(begun());
    const nameOf = (/** @type {*} */ asked) => JSON.stringify([names, partOf(asked) ?? null, asked.night ?? null]);
    if (JSON.stringify(partOf(changes)) === JSON.stringify(partOf(state.changes))) return;
    left.set(
      nameOf(state.changes),
      Object.fromEntries(names.map((name) => [name, state[/** @type {keyof TakeState} */ (name)]])),
    );
    Object.assign(state, left.get(nameOf(changes)) ?? begun());
  };
  turn(({ way }) => way, newProgramme);
  turn(stopOf, newSettings);
  state.changes = changes;
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
  if (name === "VersionError")
    return "Not kept: a newer version of this site has its log here. Load the page again, or use the card.";
  if (name === "InvalidStateError")
    return "Not kept: the log was closed, by a newer version of this site or by clearing it. Load the page again.";
  return "Not kept: this browser does not let the page store anything. Use the card.";
}

/**
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
