// The take on the page of a shot: what is ticked, written in and fired, what there is to say of the take, and its end.

import { makeAsSet } from "./asset.js";
import { fillTable } from "./bind.js";
import { localDay } from "./core/civil.js";
import { clock, dayText } from "./core/say.js";
import { part, tell } from "./dom.js";
import { countsToCompare, makeFired } from "./fired.js";
import { logWords } from "./log.js";
import { allow, countLeft, itemTexts, listen, makeRows, showRows } from "./rows.js";
import { makeTake } from "./take.js";

const END_TAKE_MS = 6000;
const OLD_TAKE_MS = 18 * 3600 * 1000; // past that, ticks are another evening's

/**
 * @param {ReturnType<typeof import("./shell.js").startShell>} shell
 * @param {ReturnType<typeof import("./face.js").makeFace>} face
 * @param {(of_take: object | null) => void} takeUp the changes that the open take is for, or that none is open
 */
export function makeTaking(shell, face, takeUp) {
  const printed = face.plan;
  const { spans } = printed.brief.place.zone;
  const rows = makeRows(document);
  const take = makeTake(shell.log, printed.shot.id, {
    carried: () => ({ plan: { ...face.plan, items: itemTexts(rows) }, changes: face.plan.changes }),
    shown: show,
    turned: () => {
      if (take.now.id === "") warnOfOlderPlan([]);
      shell.offline.refresh(); // an update that waited for the take may come, or must wait now
    },
    fault: storeFault,
  });
  const as_set = makeAsSet(document, shell.site, face.sheet.axes, take);
  const fired = makeFired(part("fired"), spans, (utc_ms) => take.keep("start", { utc_ms }));
  /** The take that one tap asked to end: until the second, or for END_TAKE_MS. @type {string | null} */
  let asked_to_end = null;
  let question = 0;
  document.addEventListener("visibilitychange", keepField);
  part("end-take").addEventListener("click", askEndTake);
  part("next-open").addEventListener("click", goToNextOpen);

  return {
    /** The take first: nothing may be ticked before it is known whether one is open. */
    async start() {
      const log = await shell.log.catch(storeFault);
      if (!log) return;
      await read();
      const write = (/** @type {string} */ item, /** @type {string} */ value) => take.keep("field", { item, value });
      listen(rows, () => face.sheet, { tick: take.tick, write });
      log.onChange(read);
    },
    read,
    show,
    keepChanges: take.keepChanges,
    /** Where the rig's settings are written in, at each keyframe. */
    places: as_set.places,
    /** @param {boolean} may */
    allow(may) {
      allow(rows, may);
      as_set.allow(may);
      fired.allow(may);
    },
  };

  /** Takes up the open take of this shot, if there is one: its ticks and its changes. */
  function read() {
    return take.read(() => {
      const { id, events, state } = take.now;
      warnOfOlderPlan(events);
      takeUp(id === "" ? null : state.changes);
    });
  }

  /** Ticks, what was written in, and what there is to say of the take. */
  function show() {
    const { id, begun_ms, state } = take.now;
    showRows(rows, face.sheet, state);
    countLeft(document);
    as_set.show();
    fired.show(state.fired_ms);
    showCounts();
    showEnd();
    const is_old = id !== "" && Date.now() - begun_ms > OLD_TAKE_MS;
    const begun = `${dayText(localDay(spans, begun_ms / 1000))}, ${clock(begun_ms, spans)}`;
    tell("older-take", is_old ? `These ticks are of a take begun ${begun}. End it to begin anew.` : "");
  }

  /** The counts to compare; a short shot has none. */
  function showCounts() {
    const table = document.getElementById("rolling");
    if (!table) return;
    const { file = "", roll } = part("fired").dataset;
    const { fields, fired_ms } = take.now.state;
    const files = { first: fields.get(file) ?? "", roll: Number(roll) };
    const counts = countsToCompare(face.plan, face.sheet, fired_ms, files);
    fillTable(table, counts, countsToCompare(printed, face.printed_sheet, null, files));
  }

  /** A take carries the plan it was begun on; the page may have been built anew since. @param {import("./log.js").LogEvent[]} events */
  function warnOfOlderPlan(events) {
    const begun = events.find(({ kind }) => kind === "take")?.payload.plan?.revision;
    const is_same = begun === undefined || begun === printed.revision;
    const words = `This take was begun on revision ${begun}; the page is revision ${printed.revision}. End it to begin anew.`;
    tell("older-plan", is_same ? "" : words);
  }

  /** Two taps for each take, because one is easily a slip of a glove. */
  function askEndTake() {
    const { id } = take.now;
    const is_second = asked_to_end === id;
    clearTimeout(question);
    asked_to_end = is_second ? null : id;
    showEnd();
    if (is_second) take.end(id);
    else question = setTimeout(forgetQuestion, END_TAKE_MS);
  }

  function forgetQuestion() {
    asked_to_end = null;
    showEnd();
  }

  function showEnd() {
    const { id } = take.now;
    part("end-take").hidden = id === "";
    part("end-take").textContent = asked_to_end === id ? "Tap again: end the take, untick all" : "End this take";
  }
}

/** What was typed last is kept when the phone is put away. */
function keepField() {
  if (document.visibilityState === "hidden") /** @type {HTMLElement | null} */ (document.activeElement)?.blur();
}

/** The first row that is still open, or the checklist's beginning where all is done. @param {Event} event */
function goToNextOpen(event) {
  const open = document.querySelector("input[data-item]:not(:checked)");
  if (!open) return;
  event.preventDefault();
  /** @type {HTMLElement} */ (open).focus({ preventScroll: true });
  open.closest(".item")?.scrollIntoView({ block: "center" });
}

/** @param {unknown} error */
function storeFault(error) {
  tell("store-fault", logWords(error));
}
