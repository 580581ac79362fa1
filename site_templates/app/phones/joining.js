// What comes from another phone, as a code or as a file: told first, and kept only by a tap. Kept, it is joined to the
// log as a union: nothing is written over, nothing comes twice.

import { amount } from "../touch/amount.js";
import { logFrom } from "../codes/carry.js";
import { areChanges } from "./common.js";
import { clock } from "../core/say.js";
import { CodeError } from "../codes/digits.js";
import { make } from "../touch/dom.js";
import { clockToSecond } from "../takes/fired.js";
import { hasShot } from "../keep/host.js";
import { eventKey, merge, reduce } from "../takes/added.js";
import { logWords } from "../takes/log.js";
import { oneLine } from "../takes/loglines.js";
import { MOST_BYTES, TakeFileError, planOf, readTake, writeTake } from "../takes/takefile.js";

const MOST_MISSING = 5000; // entries that codes left out, of takes that are handed on by codes

/**
 * @typedef {import("../takes/added.js").LogEvent} LogEvent
 * @typedef {{via: "code" | "file", take: string, shot: string, revision: string, left: number, events: LogEvent[]}} Arrived
 *   left: how many more the file has
 * @typedef {{text: string, act: () => unknown}} Answer
 */

/**
 * @param {Element} before what it is told in front of
 * @param {object} page
 * @param {import("../keep/site.js").Site} page.site
 * @param {Promise<import("../takes/log.js").Log>} page.log
 * @param {import("../codes/carry.js").Page} page.common
 * @param {(begun: Plan, changes: object) => string} page.cannot why there is no plan of a take with these changes
 * @param {() => import("../list/take.js").Now} page.now the open take of this shot
 * @param {() => Promise<void>} page.read takes up what the log holds now
 * @param {() => unknown} page.hold keeps that this phone has the watch
 * @param {() => HTMLElement} page.naming where this phone is given its name
 */
export function makeJoining(before, { site, log, common, cannot, now, read, hold, naming }) {
  const said = make("div", {});
  const answers = make("div", { className: "answers" });
  const place = make("section", { id: "arrived", className: "warning", hidden: true }, said, answers);
  place.setAttribute("aria-label", "From another phone");
  place.tabIndex = -1;
  said.setAttribute("role", "status");
  before.before(place);

  /** @param {string[]} lines the first is the heading @param {Answer[]} choices @param {HTMLElement[]} fields */
  function tell([head, ...lines], choices, fields = []) {
    said.replaceChildren(make("strong", {}, head), ...lines.map((line) => make("p", {}, line)));
    answers.replaceChildren(...fields, ...choices.map(button));
    place.hidden = false;
    place.scrollIntoView({ block: "start" });
    place.focus({ preventScroll: true });
  }

  /** @param {Answer} answer */
  function button({ text, act }) {
    const one = make("button", { type: "button" }, text);
    one.addEventListener("click", async () => {
      for (const other of answers.querySelectorAll("button")) other.disabled = true;
      await act();
    });
    return one;
  }

  function close() {
    place.hidden = true;
    if (codeIn(location.hash) !== null) history.replaceState(null, "", location.pathname + location.search);
  }
  async function takeWatch() {
    await hold();
    close();
  }
  const leave = { text: "Leave it", act: close };

  /** Tells why it is not taken up; all stored stays as it is. @param {unknown} error */
  function refuse(error) {
    const is_told = error instanceof CodeError || error instanceof TakeFileError;
    if (!is_told && !(error instanceof DOMException)) throw error;
    const why = is_told ? error.message : logWords(error);
    tell(["Not taken in.", why, "Nothing on this phone has changed."], [{ text: "Close", act: close }]);
  }

  /** Tells what was found, or why it is refused. @param {() => Arrived | Promise<Arrived>} find */
  async function receive(find) {
    try {
      await offer(gated(await find()));
    } catch (error) {
      refuse(error);
    }
  }

  /** @param {Arrived} arrived */
  async function offer(arrived) {
    const opened = await log;
    const { shot } = common;
    const mine = await opened.events(arrived.take);
    if (!isOneTake(mine, arrived))
      return refuse(damaged(arrived, "it does not begin as the take of that name on this phone"));
    const lock = arrived.shot === shot ? cannot(planOf(arrived.events), changesOf(mine, arrived)) : "";
    if (lock !== "") return refuse(noPlan(arrived, lock));
    const here = new Set(mine.map(eventKey));
    const fresh = arrived.events.filter((event) => !here.has(eventKey(event))).length;
    const lines = [
      ...linesOf(arrived, opened.device),
      freshText(fresh, arrived.events.length),
      ...alteredText(mine, arrived),
    ];
    if (fresh === 0) return tell(lines, [{ text: "Close", act: close }]);
    if (arrived.revision !== common.revision && arrived.shot === shot)
      lines.push(revisionText(arrived.revision, common.revision));
    const own = (await opened.takes(arrived.shot)).find((take) => !take.ended && take.take !== arrived.take);
    const is_open = !reduce(arrived.events).ended;
    if (arrived.shot !== shot) return offerElsewhere(arrived, lines, own !== undefined && is_open);
    if (!own || !is_open) return tell(lines, [{ text: "Keep it", act: () => keep(arrived, "") }, leave]);
    const begun = clock(own.utc_ms, spansOf(arrived));
    lines.push(
      `This phone has an open take of this shot of its own, begun ${begun}. Which one goes on? Mine, once ended, stays in the log; theirs, where it is left, stays on the other phone.`,
    );
    tell(lines, [
      { text: "Keep theirs, end mine", act: () => keep(arrived, own.take) },
      { text: "Go on with mine, leave theirs", act: close },
    ]);
  }

  /** A log of another shot of this site. @param {Arrived} arrived @param {string[]} lines @param {boolean} is_taken */
  async function offerElsewhere(arrived, lines, is_taken) {
    const { title } = planOf(arrived.events).shot;
    if (!(await hasShot(site.root, arrived.shot)))
      return refuse(new TakeFileError(`It is the log of ${title}, a shot that is not on this site.`));
    if (is_taken)
      return refuse(
        new TakeFileError(
          `It is the log of ${title}, of which this phone has an open take: take it in on that shot's page.`,
        ),
      );
    lines.push(`It is the log of another shot: ${title}. It would stand on that shot's page.`);
    tell(lines, [{ text: `Keep it with ${title}`, act: () => keep(arrived, "") }, leave]);
  }

  /** @param {Arrived} arrived @param {string} ends the own take that ends by it; "" for none */
  async function keep(arrived, ends) {
    const { via, take, shot, events } = arrived;
    const opened = await log;
    const from = writerOf(events, opened.device);
    const told = (/** @type {number} */ count) => [
      { take, kind: "joined", payload: { via, from, events: count } },
      ...(ends ? [{ take: ends, kind: "end", payload: {} }] : []),
    ];
    const count = await opened.join(events, told).catch(refuse);
    if (count === undefined) return;
    close();
    if (shot === common.shot) await read();
    const kept = `Kept: ${entries(count)} from ${nameOf(arrived, from)}.`;
    const is_open = shot === common.shot && now().id === take;
    const end = { text: "Close", act: close };
    if (is_open) tell([kept], [{ text: "I have it", act: takeWatch }, end], [naming()]);
    else tell([kept], [end]);
  }

  return {
    /** Takes up the code that the address holds, if it holds one. */
    look() {
      const digits = codeIn(location.hash);
      return digits === null ? null : receive(() => ofCode(digits, common));
    },
    /** @param {File} file */
    take: (file) => receive(() => ofFile(file)),
  };
}

/** What a code holds passes the same gate as a file. @param {string} digits @param {import("../codes/carry.js").Page} common @returns {Arrived} */
function ofCode(digits, common) {
  const { left, events } = logFrom(digits, common);
  try {
    return { via: "code", left, ...readTake(writeTake(events)) };
  } catch (error) {
    if (!(error instanceof TakeFileError)) throw error;
    throw new CodeError(error.message.replace("This file", "This code"));
  }
}

/** @param {File} file @returns {Promise<Arrived>} */
async function ofFile(file) {
  if (file.size > MOST_BYTES) throw new TakeFileError("This file is larger than 10 MB: it is not the log of a take.");
  return { via: "file", left: 0, ...readTake(await file.text()) };
}

/**
 * No page can be turned to what is no change: it would be locked by it. And a number that no log comes to would be gone on
 * from here, until nobody reads this phone's own entries.
 * @param {Arrived} arrived
 */
function gated(arrived) {
  const { left, events } = arrived;
  const isWrong = (/** @type {LogEvent} */ { kind, payload }) =>
    ["take", "changes"].includes(kind) && !areChanges(payload.changes ?? {});
  if (events.some(isWrong)) throw damaged(arrived, "it has changes that no page makes");
  const most = events.length + left + MOST_MISSING;
  if (events.some(({ counter }) => counter > most))
    throw damaged(arrived, "its entries have numbers that no log comes to");
  return arrived;
}

/** Whether it is of one take, and of the one here, if that is here. @param {LogEvent[]} mine @param {Arrived} arrived */
function isOneTake(mine, { shot, events }) {
  const begins = events.filter(({ kind }) => kind === "take");
  const isBegun = (/** @type {LogEvent} */ one) => one.shot === shot && eventKey(one) === eventKey(begins[0]);
  return begins.length === 1 && (mine.length === 0 || mine.some(isBegun));
}

/** What would be in force here. @param {LogEvent[]} mine @param {Arrived} arrived */
function changesOf(mine, { events }) {
  return reduce(merge(mine, events)).changes;
}

/** A page that took it in would be locked by it. @param {Arrived} arrived @param {string} why */
function noPlan({ via }, why) {
  return new TakeFileError(`The take in this ${via} was turned to what has no plan: ${why}.`);
}

/** @param {Arrived} arrived @param {string} why */
function damaged({ via }, why) {
  return new TakeFileError(`This ${via} is damaged: ${why}.`);
}

/** The digits of a code in an address, null where there is none. @param {string} hash */
function codeIn(hash) {
  return hash.startsWith("#t=") ? hash.slice(3) : null;
}

/** The phone that wrote last in it, other than this one. @param {LogEvent[]} events @param {string} device */
function writerOf(events, device) {
  const others = events.filter((event) => event.device !== device);
  return (others.at(-1) ?? events[0]).device;
}

/** @param {Arrived} arrived @param {string} device */
function nameOf({ events }, device) {
  return oneLine(reduce(events).names.get(device) ?? "") || "another phone";
}

/** @param {Arrived} arrived */
function spansOf({ events }) {
  return planOf(events).brief.place.zone.spans;
}

/** What it is, before anything is kept. @param {Arrived} arrived @param {string} device this phone */
function linesOf(arrived, device) {
  const { events, left } = arrived;
  const state = reduce(events);
  const spans = spansOf(arrived);
  const begun = events.find(({ kind }) => kind === "take")?.utc_ms ?? 0;
  const facts = [
    `begun ${clock(begun, spans)}`,
    state.fired_ms === null ? "frame 1 not fired" : `frame 1 fired ${clockToSecond(state.fired_ms, spans)}`,
    amount(state.ticks.size, "tick"),
    amount(state.marks.length, "mark"),
    ...(state.notes.length > 0 ? [amount(state.notes.length, "note")] : []),
    ...(state.ended ? ["ended"] : []),
  ];
  const watch =
    state.watch && `${oneLine(state.watch.who) || "another phone"}, since ${clock(state.watch.utc_ms, spans)}`;
  return [
    `A take from ${nameOf(arrived, writerOf(events, device))}`,
    `${facts.join(", ")}.`,
    watch ? `Has the watch: ${watch}.` : "Nobody has said who has the watch.",
    ...(left > 0 ? [`In the file only: ${entries(left)} more.`] : []),
    "Photos are not in it.",
  ];
}

/** What would no longer hold here of a take that is on this phone already; nothing where all of it holds on.
 *  @param {LogEvent[]} mine @param {Arrived} arrived */
function alteredText(mine, arrived) {
  const spans = spansOf(arrived);
  const [is, becomes] = [mine, merge(mine, arrived.events)].map(reduce);
  const [fired, will] = [is, becomes].map(({ fired_ms }) => (fired_ms === null ? "" : clockToSecond(fired_ms, spans)));
  const opens = [...is.ticks.keys()].filter((item) => !becomes.ticks.has(item)).length;
  const parts = [
    ...(fired === "" || fired === will
      ? []
      : [will === "" ? `frame 1 is not kept as fired, here it was ${fired}` : `frame 1 fired ${will}, not ${fired}`]),
    ...(opens > 0 ? [`${amount(opens, "tick")} taken back`] : []),
    ...(mine.length > 0 && JSON.stringify(is.changes) !== JSON.stringify(becomes.changes)
      ? ["what is changed in the plan"]
      : []),
    ...(becomes.ended && mine.length > 0 && !is.ended ? ["the take is ended"] : []),
  ];
  return parts.length > 0 ? [`Kept, it alters here: ${parts.join("; ")}.`] : [];
}

/** @param {number} fresh @param {number} of */
function freshText(fresh, of) {
  if (fresh === 0) return `This phone has all ${entries(of)} already.`;
  return fresh === of ? `All ${entries(of)} are new here.` : `${fresh} of its ${entries(of)} are new here.`;
}

/** @param {string} revision @param {string} here */
function revisionText(revision, here) {
  return `It was begun on revision ${revision}; this page is revision ${here}. Their numbers may differ.`;
}

/** @param {number} count */
const entries = (count) => amount(count, "entry", "entries");
