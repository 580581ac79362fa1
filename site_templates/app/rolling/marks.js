// MARK: one tap stamps the frame and its file at once; a second, if there is time for it, says what it was. Post lives
// on it. A mark that was named is a mark of its own, which says in the place of which of this phone it stands.

import { make, put } from "../touch/dom.js";

const NAMED_WITHIN_MS = 20000;
/** Without typing. */
export const WHAT = ["touched", "plane", "headlights", "cloud", "dew", "sound wrong"];

/**
 * @param {object} page
 * @param {ReturnType<typeof import("../list/take.js").makeTake>} page.take
 * @param {() => {frame: number | null, file: string}} page.stamp what a mark is made with now
 */
export function makeMarks({ take, stamp }) {
  const button = make("button", { type: "button", className: "mark-now", disabled: true }, "MARK");
  const said = make("p", {});
  said.setAttribute("role", "status");
  const words = WHAT.map((what) => make("button", { type: "button" }, what));
  const undo = make("button", { type: "button" }, "Undo");
  let named_ms = 0;
  undo.setAttribute("aria-label", "Undo: mark");
  const choice = make("div", { className: "words" }, ...words);
  const place = make("div", { className: "marked", hidden: true }, said, choice, undo);
  button.addEventListener("click", () => take.keep("mark", { what: "", ...stamp() }));
  undo.addEventListener("click", takeBack);
  words.forEach((word, at) => word.addEventListener("click", () => name(WHAT[at])));

  /** The newest mark of this phone that stands. */
  function takeBack() {
    const { key } = last() ?? {};
    named_ms = 0; // the mark before it was not named just now
    if (key) take.keep("undo", { events: [key] });
    button.focus({ preventScroll: true });
  }

  function last() {
    return take.now.state.marks.findLast(({ device }) => device === take.device);
  }

  /** @param {string} what */
  async function name(what) {
    const bare = last();
    if (!bare) return;
    const { frame, file, key } = bare;
    named_ms = Date.now();
    await take.keep("mark", { what, frame, file, of: Number(key.split(":")[1]) });
    button.focus({ preventScroll: true });
  }

  return {
    button,
    place,
    /** @param {number} now_ms */
    show(now_ms) {
      const mark = last();
      const is_fresh =
        mark !== undefined && [mark.utc_ms, named_ms].some((at_ms) => Math.abs(now_ms - at_ms) < NAMED_WITHIN_MS);
      place.hidden = !is_fresh;
      if (!is_fresh) return;
      const text = mark.what === "" ? `Marked${placeOf(mark)}. What was it?` : `Marked${placeOf(mark)}: ${mark.what}`;
      put(said, text);
      choice.hidden = mark.what !== "";
    },
  };
}

/** @param {{frame: number | null, file: string}} mark */
function placeOf({ frame, file }) {
  if (frame === null) return "";
  return file ? ` at frame ${frame}, file ${file}` : ` at frame ${frame}`;
}
