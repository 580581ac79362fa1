// "Ready to roll": refused while a must-do is open, unless held; and what has come of it since. Frame 1 may fire
// whatever stands here: the clock matters more.

import { amount } from "../touch/amount.js";
import { make, put } from "../touch/dom.js";
import { clockToSecond } from "../takes/fired.js";
import { makePress } from "../touch/press.js";
import { refill } from "../touch/refill.js";
import { wordsOf } from "./rows.js";
import { asked, isOpen, openedAgain } from "./work.js";

const SHOWN = 7; // as many as stand at one pause

/**
 * @param {HTMLElement} before the place that it stands before
 * @param {import("./work.js").Part[]} parts
 * @param {object} page
 * @param {ReturnType<typeof import("./take.js").makeTake>} page.take
 * @param {*} page.spans of the place's zone
 * @param {(item: import("./work.js").Item) => void} page.go brings a row into view
 * @param {(step: import("../touch/undo.js").Step) => void} page.offer
 */
export function makeGate(before, parts, { take, spans, go, offer }) {
  let is_refused = false;
  let listed = "";
  const said = make("p", { className: "said" });
  said.setAttribute("role", "status");
  const list = make("div", { className: "reasons" });
  const ready = make("button", { type: "button", disabled: true }, "Ready to roll");
  const press = makePress("", () => declare());
  const back = make("button", { type: "button", disabled: true, hidden: true }, "Undo");
  back.setAttribute("aria-label", "Undo: ready to roll");
  const place = make(
    "div",
    { id: "ready" },
    said,
    list,
    make("div", { className: "answers" }, ready, press.button, back),
  );
  const buttons = [ready, press.button, back];
  press.button.hidden = press.button.disabled = true;
  ready.addEventListener("click", () => {
    if (asked(parts).some(isOpen)) refuse();
    else declare();
  });
  back.addEventListener("click", () => {
    takeBack();
    ready.hidden = false;
    ready.focus();
  });
  before.before(place);

  function refuse() {
    is_refused = true;
    show();
    place.scrollIntoView({ block: "start" }); // the reasons first
  }

  function declare() {
    const open = asked(parts)
      .filter(isOpen)
      .map(({ item }) => item);
    take.keep("ready", { open, forced: open.length > 0 }).then(land);
    offer({ text: "ready to roll", back: takeBack, land: () => ready.focus() });
  }

  /** What was pressed is gone: the eye and the focus go to what came of it. */
  function land() {
    is_refused = false;
    back.focus({ preventScroll: true });
    place.scrollIntoView({ block: "nearest" });
  }

  function takeBack() {
    const { ready: kept } = take.now.state;
    if (kept) take.keep("undo", { events: [kept.key] });
  }

  function show() {
    const { state } = take.now;
    const open = asked(parts).filter(isOpen);
    const again = openedAgain(parts, state);
    const is_ready = state.ready !== null && again.length === 0;
    const is_shut = open.length > 0 && (again.length > 0 || (is_refused && state.ready === null));
    const rolls = state.fired_ms !== null;
    put(said, verdict(take.now, open, again, is_shut));
    listReasons(again.length > 0 ? again : is_shut && !rolls ? open : []);
    press.name(`Hold: ready with ${open.length} open`);
    // The button that has the focus is hidden last, when another can take it.
    back.hidden = state.ready === null || again.length > 0 || rolls;
    press.button.hidden = !is_shut || rolls;
    ready.hidden = is_ready || rolls;
    place.classList.toggle("is-ready", is_ready);
  }

  /**
   * @param {import("./take.js").Now} now @param {import("./work.js").Item[]} open
   * @param {import("./work.js").Item[]} again @param {boolean} is_shut
   */
  function verdict({ state, events }, open, again, is_shut) {
    const { fired_ms, ready: kept } = state;
    if (again.length > 0)
      return `${amount(again.length, "item")} open again since “ready to roll”, ${kept ? at(kept) : ""}.`;
    if (kept)
      return (
        `Ready to roll ${at(kept)}` + (kept.open.length > 0 ? `, with ${amount(kept.open.length, "must-do")} open` : "")
      );
    if (fired_ms !== null) return firedUnready(events);
    return is_shut ? `Not yet: ${amount(open.length, "must-do")} ${open.length === 1 ? "is" : "are"} open.` : "";
  }

  /** @param {{utc_ms: number}} kept */
  function at({ utc_ms }) {
    return clockToSecond(utc_ms, spans);
  }

  /** The open ones, each a link to its row. @param {import("./work.js").Item[]} items */
  function listReasons(items) {
    const ids = items.map(({ item }) => item).join(" ");
    if (ids === listed) return;
    listed = ids;
    const [first, rest] = [items.slice(0, SHOWN), items.slice(SHOWN)];
    const more = make("details", {}, make("summary", {}, `and ${rest.length} more`), linksTo(rest));
    refill(list, ...(first.length > 0 ? [linksTo(first)] : []), ...(rest.length > 0 ? [more] : []));
  }

  /** @param {import("./work.js").Item[]} items */
  function linksTo(items) {
    const links = items.map((item) => {
      const link = make("a", { href: `#i${item.item}` }, wordsOf(item));
      link.addEventListener("click", (event) => {
        event.preventDefault();
        go(item);
      });
      return make("li", {}, link);
    });
    return make("ul", {}, ...links);
  }

  return {
    show,
    place,
    /** Where the answer is given. */
    button: ready,
    /** @param {boolean} may */
    allow(may) {
      for (const button of buttons) button.disabled = !may;
    },
    /** Another take has been asked nothing yet. */
    forget() {
      is_refused = false;
    },
    /** What a start is kept with: the open must-dos, where nobody has said "ready to roll". */
    unready() {
      return take.now.state.ready
        ? {}
        : {
            unready: asked(parts)
              .filter(isOpen)
              .map(({ item }) => item),
          };
    },
  };
}

/** @param {import("../takes/added.js").LogEvent[]} events */
function firedUnready(events) {
  const starts = events.filter(({ kind }) => kind === "start");
  const open = starts.at(-1)?.payload.unready?.length ?? 0;
  return "Frame 1 fired without “ready to roll”" + (open > 0 ? `: ${amount(open, "must-do")} open.` : ".");
}
