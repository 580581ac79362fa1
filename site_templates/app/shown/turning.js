// Turning the page of a shot to another night, start, spot, interval or way to go on and back: what is asked for, what
// comes of it, and what is refused; and how it follows the rig, once that is seen to run.

import { dayNumber } from "../core/civil.js";
import { whole } from "../core/pieces.js";
import { PlanProblem } from "../core/problem.js";
import { dayText, say } from "../core/say.js";
import { makeSheet } from "../core/sheet.js";
import { focusTop, part, put, tell } from "../touch/dom.js";
import { whenIdle } from "../touch/idle.js";
import { isSameSpot } from "./samespot.js";
import { notPrinted, runningText, takenText } from "./turned.js";

const UNDERLINED = "Underlined: changed from the card.";
/** What is of one night and no other. */
const OF_A_NIGHT = ["start_ms", "way"];
const MOST_FORESEEN = 3;

/**
 * @typedef {{start_ms: number, ratio: number}} Run when frame 1 fired, and how many times as long its intervals are
 * @typedef {{night?: string, start_ms?: number, spot?: import("./samespot.js").Spot, exposure_shift_ev?: number,
 *   interval_ms?: number, way?: import("./turned.js").Way, run?: Run}} Changes
 * {}: as printed; run is never kept: it follows from the log
 * @typedef {import("./others.js").Computed} Computed
 */

/**
 * @param {Plan} printed the printed plan
 * @param {string} kept_as a name in the tab's own store: what is asked for outlives a reload there, though no take is begun
 * @param {object} page
 * @param {() => import("./nights.js").Reach} page.reach
 * @param {{plan: Plan, sheet: Sheet, printed_sheet: Sheet}} page.face what is shown
 * @param {(plan: Plan, sheet: Sheet, kept: Said) => void} page.show
 *   kept: what is kept and what ticks stand by, however the rig runs
 * @param {(may: boolean) => void} page.allow whether anything may be ticked
 * @param {(changes: Changes) => void} page.keep with the take, where one is open
 */
export function makeTurning(printed, kept_as, { reach, face, show, allow, keep }) {
  /** What the page should show; where that cannot be computed it shows something else and is locked. @type {Changes} */
  let asked = kept(kept_as);
  /** What it shows, but for how the rig runs. */
  let shown = { plan: printed, sheet: face.printed_sheet };
  /** @type {Run | null} */
  let run = null;
  /** What may be asked for next, by its changes. @type {Map<string, Computed>} */
  const foreseen = new Map();
  let is_of_take = false;
  let is_taken_up = false;

  return {
    /** What is asked for. */
    get asked() {
      return asked;
    },
    /** The timing as the rig was told it, however it is seen to run. */
    get told() {
      return shown.plan.timing;
    },
    /** A take was begun on what is asked for. */
    taken() {
      is_of_take = true;
      ask(asked);
    },
    /**
     * Takes up what the open take is for, or without one what was asked for last; but of a take that is over no start
     * and no way on is another one's. @param {Changes | null} of_take
     */
    takeUp(of_take) {
      const is_over = is_of_take && of_take === null;
      is_of_take = of_take !== null;
      is_taken_up = true;
      ask(tidied(of_take ?? (is_over ? lasting(asked) : asked)));
      const found = same(asked, shown.plan.changes) ? shown : computed(asked);
      allow("plan" in found);
      if ("plan" in found) {
        tell("refused", "");
        if (!isShown(found)) showRunning(found);
      }
      showBanner("why" in found ? found.why : "");
    },
    /** Turns the page, if there is such a plan; else it says why not and the page stays. @param {Changes} to */
    change(to) {
      const changes = onItsNight(tidied(to));
      const found = computed(changes);
      if ("why" in found) {
        tell("refused", `No plan for that ${whatOf(changes)}: ${found.why}. The page still shows ${face.sheet.night}.`);
        showRunning(shown);
        return false;
      }
      if (!same(changes.way, asked.way)) run = null; // another programme of the rig has not begun
      ask(changes);
      keep(changes);
      tell("refused", "");
      showRunning(found);
      showBanner("");
      allow(is_taken_up);
      return true;
    },
    /**
     * Times the page as the rig is seen to run, or (null) as it was told to; what is kept, and what ticks stand by, stays.
     * Where there is no plan for it, the page stays as it was.
     * @param {Run | null} as_seen @returns {boolean} whether the page follows
     */
    follow(as_seen) {
      if (same(as_seen, run)) return same(face.plan.changes.run ?? null, run);
      run = as_seen;
      if (!same(asked, shown.plan.changes)) return false; // a locked page
      const follows = showRunning(shown);
      showBanner("");
      return follows;
    },
    /** The shot on another night, with whatever else is asked for that holds on it. @param {string} night */
    planned: (night) => computed(turnedTo(night)),
    /** Computes a night before it is asked for, so that the tap that asks is answered at once. @param {string} night */
    async foresee(night) {
      const changes = turnedTo(night);
      const found = await whenIdle(computing(changes));
      if (!("plan" in found)) return;
      foreseen.set(JSON.stringify(changes), found);
      if (foreseen.size > MOST_FORESEEN) foreseen.delete([...foreseen.keys()][0]);
    },
    /** The shot with these changes. @param {Changes} changes */
    compute: (changes) => computed(changes.run ? { ...tidied(changes), run: changes.run } : tidied(changes)),
    /**
     * Why there is no plan of a brief with changes that came from elsewhere; "" where there is one, or where that cannot
     * be known here. @param {Brief} brief @param {Changes} changes
     */
    cannot(brief, { run: _run, ...changes }) {
      const { sky, bar, makePlan } = reach();
      if (bar !== "" || sky === null || makePlan === null) return "";
      try {
        whole(makePlan(brief, sky, changes));
        return "";
      } catch (error) {
        return error instanceof PlanProblem ? whyNot(error) : "";
      }
    },
  };

  /**
   * Always in the same order and without what is as printed, so that equal changes read alike.
   * @param {Changes} changes @returns {Changes}
   */
  function tidied({ night, start_ms, spot, exposure_shift_ev, interval_ms, way }) {
    return {
      ...(night === undefined || night === printed.window.night ? {} : { night }),
      ...(start_ms === undefined ? {} : { start_ms }),
      ...(!spot || isSameSpot(spot, printed.brief.place) ? {} : { spot }),
      ...(exposure_shift_ev ? { exposure_shift_ev } : {}),
      ...(interval_ms === undefined ? {} : { interval_ms }),
      ...(way === undefined ? {} : { way }),
    };
  }

  /** @param {string} night */
  function turnedTo(night) {
    return onItsNight(tidied({ ...asked, night }));
  }

  /** Without what was asked for on the night shown, where it is for another one. @param {Changes} changes @returns {Changes} */
  function onItsNight(changes) {
    if (changes.night === asked.night) return changes;
    const rest = Object.entries(changes).filter(
      ([name, value]) => !OF_A_NIGHT.includes(name) || !same(value, asked[/** @type {keyof Changes} */ (name)]),
    );
    return Object.fromEntries(rest);
  }

  /** What is of an open take stands in the log, which knows when it is over. @param {Changes} changes */
  function ask(changes) {
    asked = changes;
    store(kept_as, is_of_take ? lasting(changes) : changes);
  }

  /** Whether the page stands as it would. @param {{plan: Plan, sheet: Sheet}} found */
  function isShown(found) {
    return found === shown && same(face.plan.changes.run ?? null, run);
  }

  /** Shows a plan as the rig runs, where it does and there is a plan for that. @param {{plan: Plan, sheet: Sheet}} found */
  function showRunning(found) {
    shown = found;
    const running = run ? followed({ ...found.plan.changes, run }) : found;
    const follows = "plan" in running;
    const { plan, sheet } = follows ? running : found;
    show(plan, sheet, found);
    return follows;
  }

  /** What is shown already is not computed anew, whenever the log is read. @param {Changes} changes @returns {Computed} */
  function followed(changes) {
    return same(changes, face.plan.changes) ? { plan: face.plan, sheet: face.sheet } : computed(changes);
  }

  /** @param {Changes} changes */
  function computed(changes) {
    return whole(computing(changes));
  }

  /** What is printed needs no sky. @param {Changes} changes @returns {Generator<void, Computed, void>} */
  function* computing(changes) {
    if (same(changes, {})) return { plan: printed, sheet: face.printed_sheet };
    const known = foreseen.get(JSON.stringify(changes));
    if (known) return known;
    const { sky, bar, makePlan } = reach();
    if (bar !== "" || sky === null || makePlan === null) return { why: bar };
    try {
      const plan = { ...(yield* makePlan(printed.brief, sky, changes)), revision: printed.revision };
      yield;
      return { plan, sheet: makeSheet(plan) };
    } catch (error) {
      if (!(error instanceof PlanProblem)) throw error;
      return { why: whyNot(error) };
    }
  }

  /** @param {PlanProblem} problem */
  function whyNot({ id, args }) {
    return say(`${id}.found`, args, printed.brief.place.zone.spans);
  }

  /** What was asked for in vain. @param {Changes} changes */
  function whatOf({ spot, way, interval_ms, exposure_shift_ev }) {
    if (!same(spot, asked.spot)) return "spot";
    if (way !== undefined && !same(way, asked.way)) return "way to go on";
    if (!same(interval_ms, asked.interval_ms)) return "interval";
    return same(exposure_shift_ev, asked.exposure_shift_ev) ? "night" : "exposure";
  }

  /** What the page shows otherwise than it is printed; or what it should show and cannot. @param {string} why */
  function showBanner(why) {
    const running = why === "" ? runningText(face.plan) : "";
    if (same(asked, {}) && document.activeElement === part("printed")) focusTop();
    part("changed").hidden = same(asked, {}) && running === "";
    part("printed").hidden = same(asked, {});
    part("changed").classList.toggle("locked", why !== "");
    part("changed").classList.toggle("long", "way" in asked || running !== "");
    put(part("changed-what"), why === "" ? changedText(running) : lockText());
    put(part("changed-rest"), why === "" ? UNDERLINED : `No plan for it: ${why}. Nothing can be ticked here.`);
  }

  /** @param {string} running how the rig runs, in words */
  function changedText(running) {
    const names = notPrinted(asked);
    const texts = [names && `Not the printed ${names}.`, takenText(asked.way, shown.plan), running];
    return texts.filter((text) => text !== "").join(" ");
  }

  function lockText() {
    const night = dayText(dayNumber(asked.night ?? printed.window.night));
    const where = asked.spot ? " from another spot" : "";
    const instead = same(face.plan.changes, {}) ? "the printed plan" : face.sheet.night;
    return `This ${is_of_take ? "take is for" : "page was turned to"} ${night}${where}; it shows ${instead}.`;
  }
}

/** @param {unknown} a @param {unknown} b */
function same(a, b) {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** What of a take's changes may be another one's. @param {Changes} changes @returns {Changes} */
function lasting(changes) {
  return { ...changes, start_ms: undefined, way: undefined };
}

/** @param {string} name @returns {Changes} */
function kept(name) {
  try {
    return JSON.parse(sessionStorage.getItem(name) ?? "{}") ?? {};
  } catch {
    return {};
  }
}

/** Where the browser keeps nothing, a reload shows the printed plan. @param {string} name @param {Changes} changes */
function store(name, changes) {
  try {
    sessionStorage.setItem(name, JSON.stringify(changes));
  } catch {
    // the banner says what is shown
  }
}
