// twin: fieldsheet/sheet/power.py
// Power and storage in words.

import { say, word } from "./say.js";

/**
 * {name, text, brief} of what is known of power and storage; brief: of those that the small card tells.
 * @param {Plan} plan @param {string} swap @param {ClockText} at
 */
export function powerLines(plan, swap, at) {
  const { supplies } = plan.power;
  const lines = supplies.flatMap((supply) =>
    supply.id === "rig" ? rigLines(plan, supply, swap, at) : [own(plan, supply, at)],
  );
  return [...lines, ...cards(plan.storage, at), ...cabin(supplies)];
}

/** @param {Plan} plan */
function rigOf({ power }) {
  return power.supplies.find(({ id }) => id === "rig");
}

/**
 * How long the pack lasts that the run begins with; "" where nothing is known of it.
 * @param {Plan} plan @param {ClockText} at
 */
export function lastsText(plan, at) {
  const rig = rigOf(plan);
  return rig ? fate(rig.reserve, at) : "";
}

/** Of every pack after the first, those that a stop left behind too, what is to be said of its swap. @param {Plan} plan @param {ClockText} at */
export function swapTexts(plan, at) {
  const gone = word(plan.changes.way?.after?.swapped?.length ? "power.swapped" : "power.over");
  return [...Array(packsGone(plan)).fill(gone), ...swapsAhead(plan, at)];
}

/** How many of the rig's packs were done with before frame 1, where the shot goes on after a stop. @param {Plan} plan */
export function packsGone(plan) {
  const rig = rigOf(plan);
  return rig ? (plan.brief.rig.power?.packs.length ?? 0) - rig.packs.length : 0;
}

/**
 * Of every pack after the one that frame 1 begins with its range in words, or that it is not needed; one at least.
 * @param {Plan} plan @param {ClockText} at
 */
export function swapsAhead(plan, at) {
  const rig = rigOf(plan);
  const texts = plan.power.changes.map((swap) => swapText(swap, at));
  const idle = rig && (texts.length > 0 || rig.reserve === null) ? word("power.no-swap") : "";
  for (let n = texts.length + 1; rig && n < rig.packs.length; n += 1) texts.push(idle);
  return texts.length > 0 ? texts : [""];
}

/**
 * The range of frames inside a swap's, first to last, with their clock times.
 * @param {Power["changes"][number]} change @param {ClockText} at
 */
function swapText({ from, until }, at) {
  const args = {
    first: Math.ceil(from.frame),
    last: Math.floor(until.frame),
    from: at(from.time.utc_ms),
    until: at(until.time.utc_ms),
  };
  return say("value.swap", args, []);
}

/** What the frames take of the cards; "" where that is not known. @param {Plan} plan */
export function storedText({ storage }) {
  return storage === null ? "" : say("power.stored", { needed: storage.needed_gb, cards: sum(storage.card_gb) }, []);
}

/** @param {Plan} plan @param {Supply} supply @param {string} swap @param {ClockText} at */
function rigLines(plan, { phases, packs, ...supply }, swap, at) {
  const whole = Object.fromEntries(Object.entries(phases).map(([phase, draws]) => [phase, sum(Object.values(draws))]));
  const draw = (/** @type {"electronics_wh" | "holding_wh" | "moving_wh"} */ key) =>
    sum(Object.values(phases).map((draws) => draws[key] ?? 0));
  const lines = [
    line("rig", supply.before_wh ? "rig-on" : "rig", { ...whole, before: supply.before_wh, total: supply.total_wh }),
    line("draws", "draws", {
      electronics: draw("electronics_wh"),
      holding: draw("holding_wh"),
      moving: draw("moving_wh"),
    }),
  ];
  if (supply.lift_wh !== null) lines.push(line("lift", "lift", { lift: supply.lift_wh }));
  if (supply.peak_w !== null) {
    const output = Math.min(...packs.map(({ output_w }) => output_w ?? 0));
    lines.push(line("peak", "peak", { peak: supply.peak_w, output }));
  }
  packs.forEach((pack, n) => {
    const args = { ...held(pack, plan), runs: pack.runs };
    const swap_in = plan.power.changes[n - 1];
    if (n === 0) Object.assign(args, { fate: fate(supply.reserve, at) });
    else if (swap_in) Object.assign(args, { at: Math.ceil(swap_in.from.frame), fate: fate(swap_in.reserve, at) });
    const later = swap_in ? "pack-in" : "pack";
    lines.push(line("pack", n === 0 ? "pack-fate" : later, args, true));
  });
  if (swap !== "") {
    const enough = supply.enough_mah;
    const text = enough === null ? swap : say("power.swap-or", { swap, enough }, []);
    lines.push({ name: word("power.name.swap"), text, brief: false });
  }
  const { rest } = plan.power;
  if (rest)
    lines.push(line("rest", "rest", { needed: rest.needed_wh, name: packs[0].name, fate: fate(rest.reserve, at) }));
  return lines;
}

/**
 * A camera's battery or a heater's pack: what is taken, of what, and how long it lasts.
 * @param {Plan} plan @param {Supply} supply @param {ClockText} at
 */
function own(plan, { id, phases, packs, before_wh: before, total_wh: total, reserve }, at) {
  const needs = Object.fromEntries(Object.entries(phases.shooting).map(([name, wh]) => [name.slice(0, -3), wh]));
  return line(
    id,
    before ? `${id}-on` : id,
    { ...needs, ...held(packs[0], plan), before, total, fate: fate(reserve, at) },
    true,
  );
}

/** @param {Plan["storage"]} storage @param {ClockText} at */
function cards(storage, at) {
  if (storage === null) return [];
  const { needed_gb: needed, card_gb, full, spare_gb: spare, fit } = storage;
  const args = { needed, cards: sum(card_gb) };
  if (full !== null) {
    return [line("cards", "cards-full", { ...args, frame: full.frame, clock: at(full.time.utc_ms) }, true)];
  }
  const fill = Math.floor(storage.fill_ms / 60000) * 60000;
  return [line("cards", "cards", { ...args, spare, fit, fill }, true)];
}

/** How the packs may fly: those of a kind together. @param {Supply[]} supplies */
function cabin(supplies) {
  /** @type {Object<string, string[]>} */
  const kinds = {};
  for (const { id, packs } of supplies) {
    for (const pack of packs) (kinds[pack.cabin] ??= []).push(pack.name ?? word(`power.name.${id}`));
  }
  return Object.entries(kinds).map(([kind, names]) =>
    line("cabin", "airline", { names: names.join(", "), cabin: kind }),
  );
}

/** @param {string} name @param {string} text @param {Args} args @param {boolean} [brief] */
function line(name, text, args, brief = false) {
  return { name: say(`power.name.${name}`, args, []), text: say(`power.${text}`, args, []), brief };
}

/** @param {Supply["packs"][number]} pack @param {Plan} plan */
function held({ name, usable_wh: usable, rated_wh: rated }, plan) {
  return { usable, rated, degrees: plan.power.temperature_c, name };
}

/** @param {Supply["reserve"]} reserve @param {ClockText} at */
function fate(reserve, at) {
  if (reserve === null) return word("power.lasts");
  return say("power.reserve", { frame: reserve.frame, clock: at(reserve.time.utc_ms) }, []);
}

/** @param {number[]} parts */
function sum(parts) {
  return parts.reduce((total, part) => total + part, 0);
}
