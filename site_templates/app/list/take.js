// The take of a shot, as its page uses it: begun by the first thing that is kept, read again when another tab wrote.

import { reduce } from "../takes/added.js";
import { plannedOf } from "../takes/programmes.js";

/**
 * id is "" before the take is begun; events is what it holds, state what follows from them.
 * @typedef {{id: string, begun_ms: number, events: import("../takes/added.js").LogEvent[], state: import("../takes/added.js").TakeState}} Now
 */

/** @typedef {import("../takes/added.js").LogEvent} LogEvent */

/** @returns {Now} */
const none = () => ({ id: "", begun_ms: 0, events: [], state: reduce([]) });

/**
 * @param {Promise<import("../takes/log.js").Log>} log @param {string} shot
 * @param {object} page
 * @param {() => {plan: Plan, changes: Changes}} page.carried what a take that begins now carries
 * @param {() => void} page.shown called after everything read or written
 * @param {() => void} page.turned called when a take was begun or ended
 * @param {(error: unknown) => void} page.fault
 */
export function makeTake(log, shot, { carried, shown, turned, fault }) {
  let now = none();
  let [device, work] = ["", Promise.resolve()];

  /**
   * Runs what reads or writes the log one after the other: two quick taps must not begin two takes.
   * @param {(log: import("../takes/log.js").Log) => Promise<void>} action
   */
  function inTurn(action) {
    const done = work
      .then(async () => {
        const opened = await log;
        device = opened.device;
        return action(opened);
      })
      .catch(fault)
      .then(shown);
    work = done.catch(() => {}); // what cannot be shown holds up nothing that is kept after it
    return done;
  }

  /** @param {import("../takes/log.js").Log} opened @param {(id: string) => Promise<LogEvent | null>} write */
  async function within(opened, write) {
    if (now.id === "") {
      const { plan, changes } = carried();
      const id = await opened.beginTake(shot, plan, changes);
      const begun = await opened.events(id);
      now = { id, begun_ms: begun[0].utc_ms, events: begun, state: reduce(begun) };
      turned();
    }
    const event = await write(now.id);
    const events = (event && followed(now.events, event)) ?? (await opened.events(now.id));
    now = { ...now, events, state: reduce(events) };
  }

  return {
    get now() {
      return now;
    },
    /** This phone's name in the log; "" before anything was read. */
    get device() {
      return device;
    },
    /** Takes up the open take of this shot, if there is one. @param {() => void} done */
    read(done) {
      return inTurn(async (opened) => {
        const open = (await opened.takes(shot)).find(({ ended }) => !ended);
        const events = open ? await opened.events(open.take) : [];
        now = open ? { id: open.take, begun_ms: open.utc_ms, events, state: reduce(events) } : none();
        done();
      });
    },
    /** Keeps an event; `first` is done within the take before it, and the event is left out if that fails.
     *  @param {string} kind @param {object} payload @param {(take: string) => Promise<unknown>} first */
    keep(kind, payload, first = async () => {}) {
      return inTurn((opened) =>
        within(opened, async (take) => {
          await first(take);
          return opened.append(take, kind, payload);
        }),
      );
    },
    /** @param {string} item @param {string} value @param {boolean} ticked */
    tick(item, value, ticked) {
      return inTurn((opened) =>
        within(opened, async (take) => {
          const keys = now.state.ticks.get(item)?.keys ?? [];
          if (ticked) return opened.append(take, "tick", { item, value });
          return keys.length > 0 ? opened.append(take, "untick", { events: keys }) : null;
        }),
      );
    },
    /** Another night chosen while a take is open goes with it. @param {Changes} changes */
    keepChanges(changes) {
      return inTurn(async (opened) => {
        const planned = plannedOf(carried().plan, changes);
        if (now.id !== "") await within(opened, (take) => opened.append(take, "changes", { changes, ...planned }));
      });
    },
    /** Ends a take, unless another tap or another tab has ended it meanwhile. @param {string} id */
    end(id) {
      return inTurn(async (opened) => {
        if (id === "" || id !== now.id) return;
        await opened.append(id, "end", {});
        now = none();
        turned();
      });
    },
  };
}

/**
 * The events with the one that was kept after them; null where it was kept after others, which another tab wrote: those
 * are read. What a take holds need not be, for its plan is long.
 * @param {LogEvent[]} events @param {LogEvent} event
 */
function followed(events, event) {
  const last = events.reduce((most, { counter }) => Math.max(most, counter), 0);
  return events.length > 0 && event.counter === last + 1 ? [...events, event] : null;
}
