// What the events of a take add up to, in whatever order they arrive. Two phones' logs of one take join as a union of
// sets. The desk adds them up alike: fieldsheet/exchange/takes.py.

import { keyedBy, stopOf } from "./stops.js";

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

/** Causes before effects. @param {LogEvent} a @param {LogEvent} b */
export function inOrder(a, b) {
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
  const replaced = new Set(namedMarks(events).values());
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
  const marked_ms = markedMs(ordered);
  const state = nothing();
  const left = new Map();
  for (const event of ordered) {
    const { kind, payload } = event;
    if (PLANS.includes(kind)) takeChanges(state, left, payload.changes ?? {});
    else if (Object.hasOwn(EFFECTS, kind) && !isBack(event)) EFFECTS[kind](state, payload, keptOf(event, marked_ms));
  }
  return state;
}

/** A take whose rig was told another programme just now. @param {TakeState} state @returns {TakeState} */
export function toldAnew(state) {
  return { ...state, ...newProgramme() };
}

/** @param {LogEvent} event @param {Map<string, number>} marked_ms @returns {Kept} */
function keptOf(event, marked_ms) {
  const key = eventKey(event);
  return { utc_ms: marked_ms.get(key) ?? event.utc_ms, device: event.device, key };
}

/** By naming the mark that was named: the naming, a later mark of the same phone, stands in its place. @param {LogEvent[]} events */
function namedMarks(events) {
  const namings = events.filter(({ kind, counter, payload }) => kind === "mark" && payload.of < counter);
  return new Map(namings.map((event) => [eventKey(event), `${event.device}:${event.payload.of}`]));
}

/**
 * By mark when it was made: what was named happened at the tap, not when there was time to name it.
 * @param {LogEvent[]} events
 */
function markedMs(events) {
  const named = namedMarks(events);
  /** @type {Map<string, number>} */
  const made_ms = new Map();
  for (const event of events.filter(({ kind }) => kind === "mark")) {
    const key = eventKey(event);
    made_ms.set(key, made_ms.get(named.get(key) ?? "") ?? event.utc_ms);
  }
  return made_ms;
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
 * Another way to go on that keys in anything is another programme of the rig: it has not begun yet. After a stop its
 * keyframes are others, of which nothing has been read off the rig. What was left and is gone back to on its night is as
 * it was: it had gone on.
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
  turn(keyedBy, newProgramme);
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
