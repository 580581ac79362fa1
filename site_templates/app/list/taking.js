// The take on the page of a shot: what is ticked, written in and fired, what there is to say of the take, and its end.

import { makeAsSet } from "./asset.js";
import { fillTable } from "../touch/bind.js";
import { makeCheck } from "./check.js";
import { makeChosen } from "./chosen.js";
import { localDay } from "../core/civil.js";
import { clock, dayText } from "../core/say.js";
import { part, tell } from "../touch/dom.js";
import { makeEnding } from "./ending.js";
import { countsToCompare, makeFired } from "../takes/fired.js";
import { logWords } from "../takes/log.js";
import { itemTexts } from "./rows.js";
import { firedSince } from "../takes/stops.js";
import { makeTake } from "./take.js";
import { makeUndo } from "../touch/undo.js";

const OLD_TAKE_MS = 18 * 3600 * 1000; // past that, ticks are another evening's

/**
 * @param {import("./rows.js").Row[]} rows
 * @param {object} page
 * @param {ReturnType<typeof import("../shell.js").startShell>} page.shell
 * @param {ReturnType<typeof import("../shown/face.js").makeFace>} page.face
 * @param {ReturnType<typeof import("./begun.js").makeBegun>} page.begun
 * @param {object} page.turning
 * @param {(of_take: object | null) => void} page.turning.takeUp the changes that the open take is for, or that none is open
 * @param {() => void} page.turning.taken a take was begun on what is asked for
 * @param {() => void} page.shown called after what the take holds was shown
 */
export function makeTaking(rows, { shell, face, begun, turning, shown }) {
  const printed = face.plan;
  const { spans } = printed.brief.place.zone;
  const take = makeTake(shell.log, printed.shot.id, {
    carried: () => ({
      plan: { ...face.kept.plan, brief: printed.brief, items: itemTexts(rows) },
      changes: face.kept.plan.changes,
    }),
    shown: show,
    turned: () => {
      if (take.now.id === "") {
        begun.show([]);
        turning.takeUp(null); // what kept the page locked may have been the take
      } else turning.taken();
      shell.offline.refresh(); // an update that waited for the take may come, or must wait now
    },
    fault: storeFault,
  });
  const as_set = makeAsSet(document, shell.site, face.sheet.axes, take);
  const fire = (/** @type {number | null} */ utc_ms) => take.keep("start", { utc_ms, ...(utc_ms && check.unready()) });
  const fired = makeFired(part("fired"), spans, fire);
  /** No step reaches behind a way that was taken since: that is another programme of the rig. */
  const programme = () => JSON.stringify(face.kept.plan.changes.way) ?? "";
  const undo = makeUndo(/** @type {HTMLElement} */ (document.querySelector(".jump")), programme);
  const check = makeCheck(rows, { take, kept: () => face.kept, spans, undo, key: `${shell.site.prefix}role` });
  const chosen = makeChosen(part("warnings"), { shown: () => face, take, offer: undo.offer });
  const ending = makeEnding(part("end-take"), part("older-take"), () => take.now.id, take.end);
  document.addEventListener("visibilitychange", keepField);

  return {
    /** The take first: nothing may be ticked before it is known whether one is open. */
    async start() {
      const log = await shell.log.catch(storeFault);
      if (!log) return show();
      check.listen();
      log.onChange(read);
      await read();
      check.settle();
    },
    read,
    show,
    take,
    rows,
    fire,
    /** What the camera was read at, where a take is open. @param {object} reading */
    reads: (reading) => take.now.id !== "" && take.keep("reads", reading),
    files,
    offer: undo.offer,
    keepChanges: take.keepChanges,
    /** Where the rig's settings are written in, at each keyframe. */
    places: as_set.places,
    /** @param {boolean} may */
    allow(may) {
      check.allow(may);
      chosen.allow(may);
      as_set.allow(may);
      fired.allow(may);
    },
  };

  /** Takes up the open take of this shot, if there is one: its ticks and its changes. */
  function read() {
    return take.read(() => {
      const { id, events, state } = take.now;
      begun.show(events);
      turning.takeUp(id === "" ? null : state.changes);
    });
  }

  /** Ticks, what was written in, and what there is to say of the take. */
  function show() {
    const { id, begun_ms, state } = take.now;
    check.show();
    chosen.show();
    as_set.show();
    fired.show(state.fired_ms);
    showCounts();
    const is_old = id !== "" && Date.now() - begun_ms > OLD_TAKE_MS;
    const begun = `${dayText(localDay(spans, begun_ms / 1000))}, ${clock(begun_ms, spans)}`;
    const end_ms = face.plan.window.end.utc_ms;
    const is_over = id !== "" && begun_ms < end_ms && end_ms < Date.now();
    tell(
      "older-take",
      is_old ? `These ticks are of a take begun ${begun}.` : is_over ? "This take has run to its end." : "",
    );
    ending.show();
    shown();
  }

  /** The counts to compare; a short shot has none. */
  function showCounts() {
    const table = document.getElementById("rolling");
    if (!table) return;
    fillTable(table, countsToCompare(face.sheet, files()), countsToCompare(face.printed_sheet, files()));
  }

  /** How the camera counts its files, from what was typed in. */
  function files() {
    const { file = "", roll } = part("fired").dataset;
    const { events, state } = take.now;
    return { first: state.fields.get(file) ?? "", before: firedSince(events, file), roll: Number(roll) };
  }
}

/** What was typed last is kept when the phone is put away. */
function keepField() {
  if (document.visibilityState === "hidden") /** @type {HTMLElement | null} */ (document.activeElement)?.blur();
}

/** @param {unknown} error */
function storeFault(error) {
  tell("store-fault", logWords(error));
}
