// All that falls due in a shot, with the way to take back what was said to be done.

import { clock } from "../core/say.js";
import { make } from "../touch/dom.js";
import { refill } from "../touch/refill.js";

/** @param {(act: string) => void} undo */
export function makeActs(undo) {
  const list = make("ul", {});
  const place = make("details", { className: "acts" }, make("summary", {}, "All that falls due"), list);
  let drawn = "";
  place.addEventListener("toggle", () => {
    drawn = "";
  });
  return {
    place,
    /** @param {import("./due.js").Act[]} acts @param {Map<string, {utc_ms: number}>} done @param {Span[]} spans @param {number} now_ms */
    show(acts, done, spans, now_ms) {
      if (!place.open) return;
      const ordered = [...acts].sort((a, b) => a.due_ms - b.due_ms);
      const lines = ordered.map(({ act, text, due_ms, lapses_ms }) => {
        const done_ms = done.get(act)?.utc_ms;
        return { act, text, at: clock(due_ms, spans), done_ms, is_past: lapses_ms <= now_ms || done_ms !== undefined };
      });
      const now = JSON.stringify(lines);
      if (now === drawn) return;
      drawn = now;
      refill(list, ...lines.map((line) => actLine(line, spans, undo)));
    },
  };
}

/** @param {{act: string, text: string, at: string, done_ms?: number, is_past: boolean}} one @param {Span[]} spans @param {(act: string) => void} undo */
function actLine({ act, text, at, done_ms, is_past }, spans, undo) {
  const line = make("li", { className: is_past ? "past" : "" }, make("b", {}, at), make("span", {}, text));
  line.dataset.of = act;
  if (done_ms === undefined) return line;
  const back = make("button", { type: "button" }, `done ${clock(done_ms, spans)}: undo`);
  back.addEventListener("click", () => undo(act));
  line.append(back);
  return line;
}
