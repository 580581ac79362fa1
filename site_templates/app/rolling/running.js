// The takes that run on this phone, on pages that are not their own: which frame, what is next, across all first.
// A shot's page leaves here what falls due in it; whether that still holds, and what is done, the log says.

import { makeAlerts } from "./alerts.js";
import { makeAwake } from "../touch/awake.js";
import { makeCells } from "../touch/cells.js";
import { frameAt } from "../core/pace.js";
import { make, put } from "../touch/dom.js";
import { reduce } from "../takes/added.js";
import { refill } from "../touch/refill.js";
import { leftOf, lengthCell, openActs, pressing } from "./order.js";

const SECOND_MS = 1000;
const SHOWN_AFTER_MS = 6 * 3600 * SECOND_MS; // then it is another evening

/**
 * What a shot's page leaves of its take: what falls due, and of what it follows.
 * @typedef {{of: string, shot: string, letter: string, title: string, timing: Pick<Timing, "segments" | "frames">, closes_ms: number,
 *   acts: import("./due.js").Act[]}} Left
 */

/** What a take's acts follow from, beside the page it is of. @param {import("../takes/added.js").TakeState} state */
function basis({ fired_ms, counts, changes }) {
  return JSON.stringify([fired_ms, counts, changes]);
}

/** @param {string} prefix of the site's stores @param {string} take */
function keyOf(prefix, take) {
  return `${prefix}running|${take}`;
}

/**
 * Leaves what falls due in a take that runs for other pages, or with null takes it away.
 * @param {string} prefix @param {string} take @param {import("../takes/added.js").TakeState} state @param {Omit<Left, "of"> | null} left
 */
export function leave(prefix, take, state, left) {
  try {
    if (left) localStorage.setItem(keyOf(prefix, take), JSON.stringify({ of: basis(state), ...left }));
    else localStorage.removeItem(keyOf(prefix, take));
  } catch {
    // Other pages then say only since when it runs.
  }
}

/** @param {string} prefix @param {string} take @param {import("../takes/added.js").TakeState} state @returns {Left | null} */
function leftFor(prefix, take, state) {
  try {
    const left = JSON.parse(localStorage.getItem(keyOf(prefix, take)) ?? "null");
    return left?.of === basis(state) ? left : null;
  } catch {
    return null;
  }
}

/** What was left of takes that are over goes. @param {string} prefix @param {string[]} open */
function tidy(prefix, open) {
  try {
    const kept = new Set(open.map((take) => keyOf(prefix, take)));
    const over = Object.keys(localStorage).filter((key) => key.startsWith(keyOf(prefix, "")) && !kept.has(key));
    for (const key of over) localStorage.removeItem(key);
  } catch {
    // nothing was left
  }
}

/**
 * Shows every take of this phone that runs, after `place`, by the second, and alerts for them.
 * @param {ReturnType<typeof import("../shell.js").startShell>} shell @param {Element} place
 */
export async function showRunning({ site, log }, place) {
  const boxes = make("div", { className: "running", hidden: true });
  const awake = makeAwake(() => alerts.show());
  const alerts = makeAlerts(`${site.prefix}alerts`, awake.words);
  place.after(boxes);
  const known = await log.catch(() => null);
  if (!known) return;
  const opened = known; // for the functions below it is there
  /** @type {ReturnType<typeof makeBox>[]} */
  let all = [];

  async function read() {
    const takes = await opened.openTakes();
    tidy(
      site.prefix,
      takes.map(({ take }) => take),
    );
    const found = await Promise.all(takes.map(async (one) => ({ ...one, events: await opened.events(one.take) })));
    const all_of = found.map((one) => ({ ...one, state: reduce(one.events) }));
    const fired = all_of.filter(({ state }) => state.fired_ms !== null);
    all = fired.map(({ take, shot, events, state }) => {
      const plan = events.find(({ kind }) => kind === "take")?.payload.plan;
      return makeBox(new URL(`shots/${shot}/`, site.root), state, plan, leftFor(site.prefix, take, state));
    });
    show();
  }

  /** The one that wants a person first stands first. */
  function show() {
    const now_ms = Date.now();
    const shown = all.filter((box) => box.until_ms > now_ms).sort((a, b) => a.wants_ms(now_ms) - b.wants_ms(now_ms));
    for (const box of shown) box.show(now_ms);
    refill(boxes, ...shown.map(({ node }) => node));
    boxes.hidden = alerts.place.hidden = shown.length === 0;
    if (shown.length > 0 && !alerts.place.isConnected) boxes.after(alerts.place);
    awake.want(shown.some(({ closes_ms }) => now_ms < closes_ms));
    alerts.hear(shown, now_ms);
  }

  opened.onChange(read);
  await read();
  setInterval(show, SECOND_MS);
}

/**
 * A take, each a link to its shot.
 * @param {URL} url @param {import("../takes/added.js").TakeState} state @param {Plan} plan the one that the take was begun on
 * @param {Left | null} left null where another page must be asked first
 */
function makeBox(url, state, plan, left) {
  const [letter, title] = left ? [left.letter, left.title] : [plan?.brief?.rig?.letter, plan?.shot?.title];
  const [name, what] = [make("p", { className: "small" }), make("strong", {})];
  const cells = makeCells();
  const node = make("a", { href: url.href, className: "next keyed" }, name, what, cells.place);
  node.dataset.of = url.href;
  const fired_ms = /** @type {number} */ (state.fired_ms);
  const next = (/** @type {number} */ now_ms) => (left ? openActs(left.acts, state, now_ms)[0] : undefined);
  return {
    node,
    state,
    acts: left?.acts ?? [],
    closes_ms: left?.closes_ms ?? fired_ms,
    until_ms: (left?.closes_ms ?? fired_ms) + SHOWN_AFTER_MS,
    /** @param {number} now_ms */
    wants_ms(now_ms) {
      const act = next(now_ms);
      return act ? pressing(act, now_ms) : Number.MAX_SAFE_INTEGER;
    },
    /** @param {number} now_ms */
    show(now_ms) {
      const act = next(now_ms);
      put(name, [letter, title, ...(left ? [frameText(left, now_ms)] : [])].filter(Boolean).join(" · "));
      put(what, act ? act.text : left ? "Ended: open it" : "Runs: open it for what is next");
      cells.show(
        act ? [leftOf(act, now_ms)] : left ? [] : [lengthCell("since frame 1", Math.max(now_ms - fired_ms, 0))],
      );
    },
  };
}

/** @param {Left} left @param {number} now_ms */
function frameText({ timing, closes_ms }, now_ms) {
  if (now_ms >= closes_ms) return "last shutter closed";
  return `frame ${Math.max(1, Math.floor(frameAt(timing, now_ms)))} of ${timing.frames}`;
}
