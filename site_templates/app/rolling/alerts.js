// What calls for a person: each act once when it falls due, a swap also before its last frame. What is seen is always
// shown; vibration and sound are switched on by the person, and say what they cannot promise.

import { make } from "../touch/dom.js";
import { isDone } from "./order.js";

const MINUTE_MS = 60000;
const LAST_CALL_MS = 5 * MINUTE_MS;
const BUZZ_MS = [300, 150, 300];
const TONE = { hertz: 880, long_s: 0.18, every_s: 0.3, times: 3, loudness: 0.3 };
const SWITCHES = {
  buzz: "Vibrate",
  sound: "Sound",
  every: "Also for clicks, counts and keyframes",
};
const NO_PROMISE = "With the screen off or the page put away this phone may stay silent.";

/**
 * The alerts that come in (from_ms, to_ms]: acts that fall due or are called for a last time, and are not done.
 * @param {import("./due.js").Act[]} acts @param {import("../takes/added.js").TakeState} state @param {number} from_ms @param {number} to_ms
 * @param {boolean} every also the quiet ones
 */
export function calls(acts, state, from_ms, to_ms, every) {
  return acts.filter((act) => {
    const { due_ms, until_ms, loud } = act;
    const times = until_ms > due_ms ? [due_ms, until_ms - LAST_CALL_MS, until_ms] : [due_ms];
    return (loud || every) && !isDone(act, state) && times.some((ms) => from_ms < ms && ms <= to_ms);
  });
}

/**
 * The switches, remembered on this phone, and what they set off.
 * @param {string} key a name in the phone's store @param {() => string} awake what holds of the screen
 */
export function makeAlerts(key, awake) {
  /** @type {Object<string, boolean>} */
  const on = remembered(key);
  /** @type {Object<string, boolean>} */
  const can = { buzz: "vibrate" in navigator, sound: "AudioContext" in globalThis, every: true };
  /** @type {AudioContext | null} */
  let audio = null;
  let heard_ms = 0;
  const screen = make("p", {});
  const wants = make("p", { hidden: true }, "Sound needs one tap on this page first.");
  const buttons = Object.entries(SWITCHES).map(([name, text]) => {
    const button = make(
      "button",
      { type: "button", disabled: !can[name] },
      can[name] ? text : `${text}: not on this phone`,
    );
    button.addEventListener("click", () => {
      on[name] = !on[name];
      remember(key, on);
      if (name === "sound" && on.sound) beep();
      if (name === "buzz" && on.buzz) navigator.vibrate(BUZZ_MS);
      show();
    });
    return button;
  });
  const place = make(
    "details",
    { className: "alerts" },
    make("summary", {}, "Alerts"),
    ...buttons,
    wants,
    screen,
    make("p", {}, NO_PROMISE),
  );
  place.addEventListener("toggle", show);
  document.addEventListener("pointerdown", ready, { capture: true });

  /** A browser lets a page sound only once it has been touched. */
  function ready() {
    if (!on.sound || !can.sound) return;
    audio ??= new AudioContext();
    if (audio.state !== "running") audio.resume().then(show, show);
  }

  function beep() {
    ready();
    if (!audio) return;
    for (let time = 0; time < TONE.times; time += 1) tone(audio, audio.currentTime + time * TONE.every_s);
  }

  function show() {
    Object.keys(SWITCHES).forEach((name, at) => buttons[at].setAttribute("aria-pressed", String(on[name])));
    wants.hidden = !on.sound || audio?.state === "running";
    screen.textContent = awake();
  }

  return {
    place,
    show,
    /** @param {{acts: import("./due.js").Act[], state: import("../takes/added.js").TakeState}[]} takes @param {number} now_ms */
    hear(takes, now_ms) {
      const from_ms = heard_ms || now_ms;
      heard_ms = now_ms;
      if (!takes.some(({ acts, state }) => calls(acts, state, from_ms, now_ms, on.every).length > 0)) return;
      if (on.buzz) navigator.vibrate(BUZZ_MS);
      if (on.sound) beep();
    },
  };
}

/** @param {AudioContext} audio @param {number} at_s */
function tone(audio, at_s) {
  const [source, gain] = [audio.createOscillator(), audio.createGain()];
  source.frequency.value = TONE.hertz;
  gain.gain.value = TONE.loudness;
  source.connect(gain).connect(audio.destination);
  source.start(at_s);
  source.stop(at_s + TONE.long_s);
}

/** @param {string} key @returns {Object<string, boolean>} */
function remembered(key) {
  const off = { buzz: false, sound: false, every: false };
  try {
    return { ...off, ...JSON.parse(localStorage.getItem(key) ?? "{}") };
  } catch {
    return off;
  }
}

/** @param {string} key @param {Object<string, boolean>} on */
function remember(key, on) {
  try {
    localStorage.setItem(key, JSON.stringify(on));
  } catch {
    // Not remembered; it still holds for this page.
  }
}
